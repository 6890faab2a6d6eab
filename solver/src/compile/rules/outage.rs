//! R15 outage: what is away is not used, a vessel is empty for its upkeep (and R16, a vessel that is to be left alone).
//!
//! Formula: no column does anything with a vessel, line or brewhouse in a slot of its outage; no batch or lot stays in a vessel
//! over a slot in which it must be empty. A vessel with an outage is a group of one (`groups`).
//! Rows: none here. Person-time of an outage is taken off the hours in `crew`; upkeep makes a clean vessel dirty in `clean`.
//! In the look-ahead a period can be used if one of its slots can.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Cause, Outage};
use cellarwright_model::rule::RuleId;

use super::{calendar, pinned};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;

/// Outages that are in force.
pub fn in_force<'a>(context: &'a Context) -> impl Iterator<Item = &'a Outage> {
    context.case.fixed.outages.iter().filter(|outage| match outage.cause {
        Cause::Outage | Cause::Upkeep => context.keeps(RuleId::Outage),
        Cause::Left => pinned::leaves_alone(context),
    })
}

/// Whether something can be used in a slot.
pub fn is_there(context: &Context, what: Away, slot: Slot) -> bool {
    let day = context.case.calendar.day(slot) as i64;
    !in_force(context).any(|outage| outage.what == what && outage.covers(day))
}

/// Whether the vessels of a group can be used in a slot: one that has an outage is a group of its own.
pub fn is_vessel_there(context: &Context, group: GroupId, slot: Slot) -> bool {
    let vessel = context.groups.get(group).vessels[0];
    is_there(context, Away::Vessel(vessel), slot)
}

/// Slots of a period in which a role works and the vessels of a group can be used.
pub fn working_with(context: &Context, role: Role, group: GroupId, period: PeriodId) -> Vec<Slot> {
    let mut slots = calendar::working(context, role, period);
    slots.retain(|&slot| is_vessel_there(context, group, slot));
    slots
}

/// Slots of a period in which turns can be made.
pub fn brewing_slots(context: &Context, period: PeriodId) -> Vec<Slot> {
    let mut slots = calendar::working(context, Role::Brew, period);
    slots.retain(|&slot| is_there(context, Away::Brewhouse, slot));
    slots
}

/// Days of a period on which turns can be made.
pub fn brewing_days(context: &Context, period: PeriodId) -> i64 {
    let slots = brewing_slots(context, period);
    let mut days: Vec<usize> = slots.into_iter().map(|slot| context.case.calendar.day(slot)).collect();
    days.dedup();
    days.len() as i64
}

/// Whether turns may be filled into a vessel of a group in these periods, the first of which begins the batch.
pub fn may_brew(context: &Context, group: GroupId, periods: &[PeriodId]) -> bool {
    let all_there = periods.iter().all(|&period| {
        let mut slots = brewing_slots(context, period).into_iter();
        slots.any(|slot| is_vessel_there(context, group, slot))
    });
    let (Some(&first), Some(&last)) = (periods.first(), periods.last()) else { return false };
    all_there && (first == last || may_stay(context, group, Some(first), Some(last)))
}

/// Whether beer may be in a vessel of a group from a period (none: day 0) to a period (none: the end): some pair of their
/// slots, usable both, has none between them in which the vessel must be empty.
pub fn may_stay(
    context: &Context,
    group: GroupId,
    filled: Option<PeriodId>,
    until: Option<PeriodId>,
) -> bool {
    let what = Away::Vessel(context.groups.get(group).vessels[0]);
    let empty: Vec<&Outage> =
        in_force(context).filter(|outage| outage.what == what && outage.must_be_empty).collect();
    if empty.is_empty() {
        return true;
    }
    let calendar = &context.case.calendar;
    let usable = |period: PeriodId| -> Vec<i64> {
        let slots = context.grid.slots(period).filter(|&slot| is_vessel_there(context, group, slot));
        slots.map(|slot| calendar.day(slot) as i64).collect()
    };
    let from = filled.map_or_else(|| vec![0], usable);
    let to = until.map_or_else(|| vec![calendar.days() as i64 - 1], usable);
    from.iter().any(|&first| {
        to.iter().any(|&last| {
            let mut days = first..=last;
            first <= last && !days.any(|day| empty.iter().any(|outage| outage.covers(day)))
        })
    })
}

/// Fermenters that upkeep leaves dirty: their group and the period that ends it.
pub fn soiled(context: &Context) -> Vec<(GroupId, PeriodId)> {
    let calendar = &context.case.calendar;
    let mut found = Vec::new();
    for outage in in_force(context).filter(|outage| outage.soils()) {
        let Away::Vessel(vessel) = outage.what else { continue };
        let day = usize::try_from(outage.last_day).ok().filter(|&day| day < calendar.planned_days);
        if let Some(day) = day.filter(|_| context.case.vessel(vessel).is_cleaned_apart()) {
            found.push((context.groups.of(vessel), calendar.slot(day + 1, 0).0 - 1));
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// Whether upkeep opens the vessel of a group after it was cleaned in a period (none: before day 0) and before another.
pub fn is_opened_between(
    context: &Context,
    group: GroupId,
    cleaned: Option<PeriodId>,
    filled: PeriodId,
) -> bool {
    let mut soiled = soiled(context).into_iter().filter(|&(of, _)| of == group);
    soiled.any(|(_, period)| cleaned.is_none_or(|cleaned| cleaned <= period) && period < filled)
}

/// Periods in which outages ask for person-time.
pub fn asking(context: &Context) -> Vec<PeriodId> {
    let periods = 0..context.grid.fine();
    let asks = |period: PeriodId| Role::ALL.iter().any(|&role| person_hours(context, role, period) > 0.0);
    periods.filter(|&period| !context.case.fixed.outages.is_empty() && asks(period)).collect()
}

/// Person-hours of a role that outages ask for in a period.
pub fn person_hours(context: &Context, role: Role, period: PeriodId) -> f64 {
    let here = in_force(context).filter(|outage| {
        let slot = context.case.outage_slot(outage, role);
        slot.is_some_and(|slot| context.grid.slots(period).any(|other| other == slot))
    });
    here.map(|outage| outage.crew.of(role).hours()).sum()
}
