//! R21 use, of conditioning tanks: a batch is moved whole into one for the rest of its stay.
//!
//! A batch that may be moved has a second kind, what it is in its conditioning tank. Formula: `ready - rest <= day of the move
//! < ready - (1 with during_chill)`; the ready day and the hard end go with it. Rows: for each kind, group of tanks and period of
//! the last turn and course of tank work (and time between two upkeeps), batches moved in = batches by how they leave. Every move comes before every leaving, so that it does not
//! matter which batch is which. A batch of the look-ahead is moved by the period of its first possible ready day.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Away;
use cellarwright_model::rule::RuleId;

use super::{fill_level, filter, outage};
use crate::compile::columns::{Course, Leaving};
use crate::compile::context::{Context, Kind, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

/// Adds what batches become in conditioning tanks.
pub fn add_kinds(context: &mut Context) {
    let mut moved = Vec::new();
    for (of, kind) in context.kinds.iter().enumerate() {
        let beer = context.case.beer(kind.beer);
        let is_bound =
            context.opening(KindId(of)).is_some_and(|tank| tank.carbonated || context.case.was_moved(tank));
        if beer.conditions.is_none() || is_bound {
            continue;
        }
        let arrives = context.case.transfer.arrives(kind.tank_volume);
        let takes = |group: &GroupId| {
            let vessel = &context.groups.get(*group).like;
            vessel.uses.condition && fill_level::fits(context, vessel, arrives)
        };
        // Tanks of a kind reach the same.
        let mut by_reach: BTreeMap<Vec<GroupId>, Vec<GroupId>> = BTreeMap::new();
        for group in context.groups.ids().filter(takes) {
            by_reach.entry(filter::reached(context, group)).or_default().push(group);
        }
        for groups in by_reach.into_values() {
            moved.push(Kind {
                beer: kind.beer,
                origin: Origin::Moved { of: KindId(of) },
                groups,
                measured: None,
                tank_volume: arrives,
                direct_volume: beer.loss_direct.taken_off(arrives),
            });
        }
    }
    context.kinds.extend(moved);
}

/// Periods of the last turn, and courses, of batches of a kind that are moved into a group.
pub fn fills(context: &Context, of: KindId, to: GroupId) -> Vec<(Option<PeriodId>, Course)> {
    let mut fills = Vec::new();
    let mut known = BTreeSet::new();
    for ferment in context.columns.ferments.iter().filter(|ferment| ferment.kind == of) {
        let is_moved = matches!(ferment.leaving, Leaving::Moved { to: group, .. } if group == to);
        if is_moved && known.insert((ferment.filled, &ferment.course)) {
            fills.push((ferment.filled, ferment.course.clone()));
        }
    }
    fills
}

/// Groups of conditioning tanks that batches of a kind may be moved into from a group.
pub fn tanks(context: &Context, kind: KindId, from: GroupId) -> Vec<GroupId> {
    let may_be =
        |&to: &GroupId| context.moved_kind(kind, to).is_some() && filter::may_transfer(context, from, to);
    context.groups.ids().filter(may_be).collect()
}

/// Ways to be moved in a period.
pub fn ways(
    context: &Context,
    kind: KindId,
    from: GroupId,
    course: &Course,
    period: PeriodId,
) -> Vec<Leaving> {
    let mut groups = tanks(context, kind, from);
    if groups.is_empty() {
        return Vec::new();
    }
    let beer = context.case.beer(context.kind(kind).beer);
    let (first_ready, last_ready) = course.ready;
    let rest = beer.conditions.unwrap_or_default();
    let early = i64::from(beer.during_chill);
    let mut slots = outage::working_with(context, Role::Cellar, from, period);
    match &course.moves {
        Some(moves) if context.grid.is_fine(period) => groups.retain(|&to| moves.contains(&(period, to))),
        _ => {
            slots.retain(|&slot| {
                let day = context.case.calendar.day(slot) as i64;
                day >= first_ready - rest && day < last_ready - early
            });
            if context.grid.period(period).first_day > first_ready {
                return Vec::new();
            }
        }
    }
    groups.retain(|&to| slots.iter().any(|&slot| outage::is_vessel_there(context, to, slot)));
    groups.into_iter().map(|to| Leaving::Moved { at: period, to }).collect()
}

/// How many times the vessel of a group has had to be empty before a period (none: the end): what is moved in between two such
/// times leaves between them. In the look-ahead a period counts from its first day on which the vessel can be used.
pub fn segment(context: &Context, group: GroupId, period: Option<PeriodId>) -> usize {
    let vessel = Away::Vessel(context.groups.get(group).vessels[0]);
    let day = period.map_or(context.case.calendar.days() as i64, |period| {
        let slot = context.grid.slots(period).find(|&slot| outage::is_vessel_there(context, group, slot));
        slot.map_or(context.grid.period(period).first_day, |slot| context.case.calendar.day(slot) as i64)
    });
    let empty = outage::in_force(context).filter(|outage| outage.what == vessel && outage.must_be_empty);
    empty.filter(|outage| outage.last_day < day).count()
}

/// The segment in which a batch leaves a group.
pub fn leaving_segment(context: &Context, group: GroupId, leaving: Leaving) -> usize {
    segment(context, group, leaving.begins())
}

/// Batches moved in = batches by how they leave.
pub fn add(context: &mut Context) {
    let mut balance: BTreeMap<(KindId, GroupId, Option<PeriodId>, usize, &Course), Terms> = BTreeMap::new();
    for ferment in &context.columns.ferments {
        if let Origin::Moved { .. } = context.kind(ferment.kind).origin {
            let segment = leaving_segment(context, ferment.group, ferment.leaving);
            let key = (ferment.kind, ferment.group, ferment.filled, segment, &ferment.course);
            balance.entry(key).or_default().push((ferment.column, -1.0));
        }
        if let Leaving::Moved { at, to } = ferment.leaving
            && let Some(moved) = context.moved_kind(ferment.kind, to)
        {
            let key = (moved, to, ferment.filled, segment(context, to, Some(at)), &ferment.course);
            balance.entry(key).or_default().push((ferment.column, 1.0));
        }
    }
    let balance: Vec<Terms> = balance.into_values().collect();
    for terms in balance {
        context.program.equal(RuleId::Use, terms, 0.0);
    }
}
