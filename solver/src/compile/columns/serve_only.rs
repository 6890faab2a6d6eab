//! Columns of filling tanks that are only poured from, out of bright lots and of fermenters whose beer is carbonated there:
//! whether (in a period of the look-ahead how often), and how much leaves.
//!
//! The tanks, and the vessels that they are filled from, are groups of one (`groups`), so that a source is one vessel and its
//! volume may be a column.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Role, Slot};

use super::{Emptied, Filled, Lot, ServeFill, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::{bright_rest, filter, outage, pressure, volume, wait};

/// Tanks that are only poured from and can take beer of a source, whenever that may be.
pub fn reached(context: &Context, source: Source) -> Vec<GroupId> {
    let from = source.group();
    let id = volume::beer_of(context, source);
    let beer = context.case.beer(id);
    if context.groups.get(from).like.is_serve_only() || context.case.taproom.tap(id).is_none() {
        return Vec::new();
    }
    let found = context.groups.ids().filter(|&to| {
        let tank = &context.groups.get(to).like;
        tank.is_serve_only()
            && pressure::may_carbonate(context, beer, tank)
            && filter::may_transfer(context, from, to)
    });
    found.collect()
}

/// Tanks that are only poured from and can be filled from a source in a period, each with the slots in which it can; from a
/// fermenter, if it may be drawn from then.
pub fn tanks(context: &Context, source: Source, period: PeriodId) -> Vec<(GroupId, Vec<Slot>)> {
    let tanks = reached(context, source);
    if tanks.is_empty() {
        return Vec::new();
    }
    let mut ready = outage::working_with(context, Role::Cellar, source.group(), period);
    ready.retain(|&slot| is_rested(context, source, slot));
    let with_slots = tanks.into_iter().map(|to| {
        let mut slots = outage::working_with(context, Role::Cellar, to, period);
        slots.retain(|&slot| {
            ready.contains(&slot)
                && bright_rest::may_fill_to_serve(context, &context.groups.get(to).like, slot)
        });
        (to, slots)
    });
    with_slots.filter(|(_, slots)| !slots.is_empty()).collect()
}

/// Whether beer of a bright lot may leave its tank in a slot; a fermenter is asked about where it is drawn from.
fn is_rested(context: &Context, source: Source, slot: Slot) -> bool {
    let Source::Bright(lot) = source else { return true };
    let from = &context.groups.get(lot.group).like;
    let day = |slot: Slot| context.case.calendar.day(slot) as i64;
    match lot.filled {
        Filled::Opening(_) => wait::may_empty(context, &lot, wait::fill_days(context, &lot).0, day(slot)),
        Filled::In(filled) => {
            let mut fills = outage::working_with(context, Role::Cellar, lot.group, filled).into_iter();
            fills.any(|filled| {
                bright_rest::may_package(context, &lot, from, filled, slot)
                    && wait::may_empty(context, &lot, day(filled), day(slot))
            })
        }
    }
}

/// The lot that a fill makes: as large as the tank at most.
fn filled_lot(context: &Context, source: Source, to: GroupId, period: PeriodId) -> Lot {
    let volume = context.groups.get(to).like.holds;
    let beer = volume::beer_of(context, source);
    Lot { beer, group: to, volume, filled: Filled::In(period), transfers: 1 }
}

/// Adds the fills from all lots and fermenters that there are, in every period in which they may be emptied; gives the lots that
/// they make.
pub fn add(context: &mut Context) -> Vec<Lot> {
    let mut sources: BTreeSet<(Source, PeriodId)> = BTreeSet::new();
    for hold in &context.columns.holds {
        if let Emptied::At(period) = hold.emptied {
            sources.insert((hold.source, period));
        }
    }
    let mut made = Vec::new();
    for (from, period) in sources {
        for (to, _) in tanks(context, from, period) {
            let lot = filled_lot(context, from, to, period);
            let is_fine = context.grid.is_fine(period);
            let filled = context.program.column(0.0, if is_fine { 1.0 } else { f64::INFINITY }, is_fine);
            let most = volume::volume_of(context, from).hectolitres();
            let leaves = context.program.column(0.0, if is_fine { most } else { f64::INFINITY }, false);
            context.columns.serve_fills.push(ServeFill { from, to: lot, period, filled, leaves });
            made.push(lot);
        }
    }
    made.sort_unstable();
    made.dedup();
    made
}
