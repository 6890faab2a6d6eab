//! R06 bright rest: clean, fill and carbonate begin in one shift; packaging in a later one; refill after the last packaging.
//!
//! Formula: first packaging slot `q > f` with `start(q) >= start(f) + clean + purge + transfer + carbonate`
//! (no carbonating where the beer is not forced); the tank is blocked through
//! the slot of its last packaging, or to the slot before where it may be refilled in the same shift.
//! With one shift a day this gives alternate days, with two every day.
//! Rows: none here; occupancy is in `one_batch`.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Turnaround, Vessel};
use cellarwright_model::ids::BeerId;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Volume};

use super::filter;
use crate::compile::columns::Lot;
use crate::compile::context::Context;

/// Clock time of what makes a vessel fit to be filled by a transfer, in the shift of the fill: cleaning and purging.
pub fn before_fill(vessel: &Vessel) -> Minutes {
    let clean = if vessel.is_bright_only() { vessel.clean.takes } else { Minutes::ZERO };
    clean + vessel.purge.job.takes
}

/// Whether cleaning and filling a vessel by so many transfers fit into a shift.
pub fn may_fill(
    context: &Context,
    beer: BeerId,
    vessel: &Vessel,
    (transfers, arrives): (i64, Volume),
    slot: Slot,
) -> bool {
    let takes = context.case.filling_takes(context.case.beer(beer), transfers, arrives);
    !context.keeps(RuleId::BrightRest) || before_fill(vessel) + takes <= context.case.shift_hours(slot)
}

/// Whether cleaning and filling a tank that is only poured from fit into a shift.
pub fn may_fill_to_serve(context: &Context, tank: &Vessel, slot: Slot) -> bool {
    let takes = before_fill(tank) + context.case.transfer.takes();
    !context.keeps(RuleId::BrightRest) || takes <= context.case.shift_hours(slot)
}

/// Whether beer of a lot is carbonated in its tank: not where it is only poured from.
pub fn is_carbonated_there(context: &Context, lot: &Lot) -> bool {
    context.case.beer(lot.beer).is_forced() && !context.groups.get(lot.group).like.is_serve_only()
}

/// Clock time of the transfers that fill a lot; to a tank that is only poured from beer comes filtered.
pub fn filling_takes(context: &Context, lot: &Lot) -> Minutes {
    if context.groups.get(lot.group).like.is_serve_only() {
        return context.case.transfer.takes();
    }
    context.case.filling_takes(context.case.beer(lot.beer), lot.transfers, lot.volume)
}

/// Whether a lot filled in one slot may be packaged in another.
pub fn may_package(context: &Context, lot: &Lot, vessel: &Vessel, filled: Slot, packaged: Slot) -> bool {
    if !context.keeps(RuleId::BrightRest) {
        return packaged >= filled;
    }
    let calendar = &context.case.calendar;
    let beer = context.case.beer(lot.beer);
    let gas = if beer.is_forced() { context.case.carbonating_takes(beer) } else { Minutes::ZERO };
    let work = before_fill(vessel) + context.case.filling_takes(beer, lot.transfers, lot.volume) + gas;
    packaged > filled && calendar.start(packaged) >= calendar.start(filled) + work
}

/// Whether a bright-only tank may be filled again, by so many transfers, in the slot of its last packaging of a beer.
pub fn may_refill_at_once(
    context: &Context,
    beer: BeerId,
    vessel: &Vessel,
    transfers: i64,
    slot: Slot,
) -> bool {
    if !context.keeps(RuleId::BrightRest) {
        return true;
    }
    if vessel.refill == Turnaround::NextShift || context.case.tap(vessel, beer).is_some() {
        return false;
    }
    let case = context.case;
    let packaging = case.beer(beer).packaged.iter().map(|packaged| {
        let pace = case.line(case.format(packaged.format).line).pace().0.max(1);
        Minutes((vessel.holds.0 * 60 + pace - 1).div_euclid(pace))
    });
    let slowest = packaging.max().unwrap_or_default();
    slowest + before_fill(vessel) + filter::longest_filling(context, vessel, transfers)
        <= case.shift_hours(slot)
}
