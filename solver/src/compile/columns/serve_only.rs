//! Columns of filling tanks that are only poured from, out of bright lots, in the planned days: whether, and how much leaves.
//!
//! The tanks, and the bright tanks that they are filled from, are groups of one (`groups`), so that a lot is one tank and its
//! volume may be a column.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Taproom;

use super::{Filled, Lot, ServeFill, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::{bright_rest, filter, outage, pressure, wait};

/// Tanks that are only poured from and can be filled from a lot in a period.
pub fn tanks(context: &Context, lot: &Lot, period: PeriodId) -> Vec<GroupId> {
    let from = &context.groups.get(lot.group).like;
    let taproom: &Taproom = &context.case.taproom;
    if !context.grid.is_fine(period) || from.is_serve_only() || taproom.tap(lot.beer).is_none() {
        return Vec::new();
    }
    let slot = Slot(period);
    let day = context.case.calendar.day(slot) as i64;
    let is_ready = match lot.filled {
        Filled::Opening(_) => true,
        Filled::In(filled) => {
            context.grid.is_fine(filled) && bright_rest::may_package(context, lot, from, Slot(filled), slot)
        }
    };
    let is_there = outage::is_vessel_there(context, lot.group, slot);
    if !is_ready || !is_there || !wait::may_empty(context, lot, wait::fill_days(context, lot).0, day) {
        return Vec::new();
    }
    let beer = context.case.beer(lot.beer);
    let found = context.groups.ids().filter(|&to| {
        let tank = &context.groups.get(to).like;
        tank.is_serve_only()
            && outage::working_with(context, Role::Cellar, to, period).contains(&slot)
            && pressure::may_carbonate(context, beer, tank)
            && filter::may_transfer(context, lot.group, to)
            && bright_rest::may_fill_to_serve(context, tank, slot)
    });
    found.collect()
}

/// The lot that a fill makes: as large as the tank at most.
pub fn filled_lot(context: &Context, from: &Lot, to: GroupId, period: PeriodId) -> Lot {
    let volume = context.groups.get(to).like.holds;
    Lot { beer: from.beer, group: to, volume, filled: Filled::In(period), transfers: 1 }
}

/// Adds the fills from all lots that there are; gives the lots that they make.
pub fn add(context: &mut Context) -> Vec<Lot> {
    let mut sources: Vec<Lot> = Vec::new();
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source {
            sources.push(lot);
        }
    }
    sources.sort_unstable();
    sources.dedup();
    let mut made = Vec::new();
    for from in sources {
        for period in 0..context.grid.fine() {
            for to in tanks(context, &from, period) {
                let lot = filled_lot(context, &from, to, period);
                let filled = context.program.column(0.0, 1.0, true);
                let leaves = context.program.column(0.0, from.volume.hectolitres(), false);
                context.columns.serve_fills.push(ServeFill { from, to: lot, period, filled, leaves });
                made.push(lot);
            }
        }
    }
    made.sort_unstable();
    made.dedup();
    made
}
