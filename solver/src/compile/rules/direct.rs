//! R07 direct: a fermenter may be carbonated and packaged from within two working cellar shifts; it stays occupied
//! through its last packaging.
//!
//! Formula: carbonating slot `c` is one of the last two working cellar slots with `c < f` and `start(c) + carbonate <= start(f)`
//! for the first packaging slot `f`; beer that is not forced has none. Rows: batches that begin direct packaging = fermenters packaged from.
//!
//! Of a beer that lists `both` a part may be moved before the rest is carbonated: by one transfer, which fills a bright tank or brings
//! it to its `least`, and leaves at least a tenth of the batch: a restriction of the program. Other parts have no column.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Beer;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::{calendar, fill_level, filter, pressure, ready, stages, uses};
use crate::compile::columns::{Course, DirectLot, Filled, Leaving, Lot, Source};
use crate::compile::context::{Context, KindId};
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

/// Working cellar slots in which a fermenter first packaged from in `first` may be carbonated, the latest first.
pub fn carbonating_slots(context: &Context, beer: &Beer, first: Slot) -> Vec<Slot> {
    let times = &context.case.calendar;
    let takes = context.case.carbonating_takes(beer);
    let mut found = Vec::new();
    for slot in (0..first.0).rev().map(Slot) {
        let is_early_enough =
            !context.keeps(RuleId::Direct) || times.start(slot) + takes <= times.start(first);
        if is_early_enough && calendar::works(context, Role::Cellar, slot) {
            found.push(slot);
        }
        if found.len() == 2 {
            break;
        }
    }
    found
}

/// Whether a batch that is packaged from its fermenter is carbonated in it by the plan.
pub fn is_carbonated_here(context: &Context, kind: KindId) -> bool {
    let beer = context.case.beer(context.kind(kind).beer);
    beer.is_forced() && context.opening(kind).is_none_or(|tank| !tank.carbonated)
}

/// Whether a batch that is first packaged from in a slot of the look-ahead can be carbonated in its fermenter before.
pub fn may_be_carbonated_before(context: &Context, kind: KindId, course: &Course, packaged: Slot) -> bool {
    let beer = context.case.beer(context.kind(kind).beer);
    let mut slots = carbonating_slots(context, beer, packaged).into_iter();
    !is_carbonated_here(context, kind)
        || slots.any(|slot| {
            let day = context.case.calendar.day(slot) as i64;
            ready::may_carbonate(context, kind, course.ready.0, day)
        })
}

/// What can be drawn from each fermenter of a lot: after the tank loss, what was moved before, and the direct loss.
pub fn volume(context: &Context, lot: DirectLot) -> Volume {
    let kind = context.kind(lot.kind);
    match lot.part {
        Some(part) => context.case.beer(kind.beer).loss_direct.taken_off(kind.tank_volume - part.leaves),
        None => kind.direct_volume,
    }
}

/// The bright lot of the part that is moved before the rest is packaged from the fermenter.
pub fn part_lot(context: &Context, kind: KindId, leaving: Leaving) -> Option<Lot> {
    let Leaving::Direct { part: Some(part), .. } = leaving else { return None };
    let beer = context.kind(kind).beer;
    let volume = context.case.arrives(context.case.beer(beer), part.leaves);
    Some(Lot { beer, group: part.to, volume, filled: Filled::In(part.at), transfers: 1 })
}

/// Parts of a batch that may be moved before the rest is packaged from a fermenter of `from`: bright tank, volume leaving.
pub fn parts(context: &Context, id: KindId, from: GroupId) -> Vec<(GroupId, Volume)> {
    let kind = context.kind(id);
    let beer = context.case.beer(kind.beer);
    let mut found = Vec::new();
    for to in context.groups.ids().filter(|&to| to != from) {
        let vessel = &context.groups.get(to).like;
        let may_go = uses::may_be_bright(beer, vessel)
            && pressure::may_carbonate(context, beer, vessel)
            && filter::reaches(context, kind, to);
        if !may_go {
            continue;
        }
        let full = stages::most_leaving(context, beer, kind.tank_volume, vessel.holds);
        let least =
            stages::most_leaving(context, beer, kind.tank_volume, vessel.least - Volume(1)) + Volume(1);
        for leaves in [full, least] {
            let rest = kind.tank_volume - leaves;
            let fits = fill_level::fits(context, vessel, context.case.arrives(beer, leaves));
            if fits && rest.0 * LEAST_REST >= kind.tank_volume.0 && !found.contains(&(to, leaves)) {
                found.push((to, leaves));
            }
        }
    }
    found
}

/// The rest that is packaged from the fermenter is at least one part in so many of the batch.
const LEAST_REST: i64 = 10;

/// Batches that leave by direct packaging become fermenters packaged from.
pub fn add(context: &mut Context) {
    let mut balance: BTreeMap<DirectLot, Terms> = BTreeMap::new();
    for ferment in &context.columns.ferments {
        if let Some(lot) = ferment.leaving.direct_lot(ferment.kind, ferment.group) {
            balance.entry(lot).or_default().push((ferment.column, 1.0));
        }
    }
    for hold in &context.columns.holds {
        if let Source::Direct(lot) = hold.source {
            balance.entry(lot).or_default().push((hold.column, -1.0));
        }
    }
    for terms in balance.into_values() {
        context.program.equal(RuleId::Direct, terms, 0.0);
    }
}
