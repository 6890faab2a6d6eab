//! Ways of alike batches: how they leave, and when their tank work is done.

use std::collections::{BTreeMap, VecDeque};

use super::Values;
use crate::compile::columns::{Course, Leaving};
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::conditioning;
use crate::compile::rules::tank_work::{self, Way};
use crate::compile::rules::yeast::{ends_with_hop, hop_slot};

/// Parts of a batch or lot by what becomes of it in the look-ahead; they add up to one.
pub type Shares<T> = Vec<(T, f64)>;

/// How a batch goes on in the look-ahead: into a conditioning tank, perhaps, and how it leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Path {
    pub moved: Option<(PeriodId, GroupId)>,
    pub leaving: Leaving,
}

/// Ways to leave by kind, group, period of the last turn, course, and time between upkeeps for what was moved.
pub type Ways = BTreeMap<(KindId, GroupId, Option<PeriodId>, Option<Course>, usize), WaysOfOne>;

/// What becomes of a share of batches that leave in a way of the look-ahead.
pub fn paths(
    context: &Context,
    ways: &mut Ways,
    (kind, filled, course): (KindId, Option<PeriodId>, Option<Course>),
    leaving: Leaving,
    share: f64,
) -> Shares<Path> {
    let Leaving::Moved { at, to } = leaving else {
        return vec![(Path { moved: None, leaving }, share)];
    };
    let moved = Some((at, to));
    let segment = conditioning::segment(context, to, Some(at));
    let rest =
        context.moved_kind(kind, to).and_then(|kind| ways.get_mut(&(kind, to, filled, course, segment)));
    let taken = rest.map(|way| take(&mut way.later, share)).unwrap_or_default();
    taken.into_iter().map(|(leaving, share)| (Path { moved, leaving }, share)).collect()
}

/// Takes parts that add up to one from the front of a list.
pub fn take_one<T: Copy>(parts: &mut VecDeque<(T, f64)>) -> Shares<T> {
    take(parts, 1.0)
}

/// Takes parts that add up to an amount from the front of a list.
pub fn take<T: Copy>(parts: &mut VecDeque<(T, f64)>, amount: f64) -> Shares<T> {
    let mut needed = amount;
    let mut taken = Vec::new();
    while needed > 1e-9 {
        let Some((what, amount)) = parts.pop_front() else { break };
        let used = amount.min(needed);
        taken.push((what, used));
        needed -= used;
        if amount - used > 1e-9 {
            parts.push_front((what, amount - used));
        }
    }
    taken
}

/// Ways to leave of batches that are alike.
#[derive(Clone, Debug, Default)]
pub struct WaysOfOne {
    /// In the planned days, the earliest first.
    pub decided: VecDeque<Leaving>,
    /// In the look-ahead, and how many.
    pub later: VecDeque<(Leaving, f64)>,
}

/// Batches that are alike but for how they leave.
pub type Fill = (KindId, GroupId, Option<PeriodId>);

/// Ways of tank work that are taken, one entry for each batch.
pub fn works(context: &Context, values: Values, ways: &Ways) -> BTreeMap<Fill, VecDeque<Way>> {
    let mut works: BTreeMap<Fill, VecDeque<Way>> = BTreeMap::new();
    for way in &context.columns.tank_ways {
        for _ in 0..values.count(way.column) {
            works.entry((way.kind, way.group, way.filled)).or_default().push_back(way.way.clone());
        }
    }
    for (&fill, list) in &mut works {
        in_order_of_cropping(context, fill, list, ways);
    }
    works
}

/// Puts ways first that end the time for cropping first: by the dry hop where it does, then by how their batches leave.
fn in_order_of_cropping(
    context: &Context,
    (kind, group, filled): Fill,
    list: &mut VecDeque<Way>,
    ways: &Ways,
) {
    let mut taken: BTreeMap<Course, usize> = BTreeMap::new();
    let mut keyed: Vec<(PeriodId, PeriodId, Way)> = Vec::new();
    for way in list.drain(..) {
        let place = taken.entry(way.course.clone()).or_default();
        let leaving = ways.get(&(kind, group, filled, Some(way.course.clone()), 0));
        let leaving = leaving.and_then(|ways| ways.decided.get(*place));
        *place += 1;
        let leaves = leaving.and_then(|leaving| leaving.begins()).unwrap_or(PeriodId::MAX);
        let is_hopped = ends_with_hop(context, kind);
        let hop = if is_hopped { hop_slot(context, kind, &way).unwrap_or(PeriodId::MAX) } else { 0 };
        keyed.push((hop, leaves, way));
    }
    keyed.sort_by_key(|&(hop, leaves, _)| (hop, leaves));
    list.extend(keyed.into_iter().map(|(_, _, way)| way));
}

/// The ways to leave that are taken, of batches that begin in the planned days.
pub fn leavings(context: &Context, values: Values) -> Ways {
    let mut ways = Ways::new();
    for ferment in &context.columns.ferments {
        let is_moved = matches!(context.kind(ferment.kind).origin, Origin::Moved { .. });
        if !is_moved && ferment.filled.is_some_and(|period| !context.grid.is_fine(period)) {
            continue;
        }
        let has_work = !tank_work::pieces(context, ferment.kind).is_empty();
        let is_tied = has_work && tank_work::is_tied(context, ferment.leaving);
        let course = is_tied.then(|| ferment.course.clone());
        let segment = match is_moved {
            true => conditioning::leaving_segment(context, ferment.group, ferment.leaving),
            false => 0,
        };
        let key = (ferment.kind, ferment.group, ferment.filled, course, segment);
        let way = ways.entry(key).or_default();
        let is_decided = ferment.leaving.begins().is_some_and(|first| context.grid.is_fine(first));
        if is_decided {
            for _ in 0..values.count(ferment.column) {
                way.decided.push_back(ferment.leaving);
            }
        } else if values.of(ferment.column) > 1e-7 {
            way.later.push_back((ferment.leaving, values.of(ferment.column)));
        }
    }
    ways
}
