//! R06: cleaning, filling and carbonating a bright tank, its first packaging, and its next fill.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Turnaround;
use cellarwright_model::ids::VesselId;
use cellarwright_model::units::{Minutes, Rate};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::exact::Fine;
use crate::ledger::{EmptiedBy, Event, FilledBy, Holding, Kind, Ledger, Way};

/// Fills that do not fit in their shift, packaging that is too early, refills that are too early.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for holding in &ledger.holdings {
        if let (Kind::Lot, Some(slot)) = (holding.kind, holding.from) {
            fill(ledger, holding, slot, breaches);
            first_packaging(ledger, holding, slot, breaches);
        }
    }
    for vessel in ledger.case.vessel_ids() {
        if ledger.case.vessel(vessel).is_bright_only() {
            refills(ledger, vessel, breaches);
        }
    }
}

/// Clock time of a bright tank's cleaning and purging that belong to its fill in a slot.
fn made_fit_takes(ledger: &Ledger, vessel: VesselId, slot: Slot) -> Minutes {
    let data = ledger.case.vessel(vessel);
    let clean = if data.is_bright_only() { ledger.cleaning(slot, vessel).takes } else { Minutes::ZERO };
    clean + data.purge.job.takes
}

/// Clock time of the transfers that fill a lot, one after another.
fn transfers_take(ledger: &Ledger, holding: &Holding) -> Minutes {
    ledger.lot_filling_takes(holding)
}

fn fill(ledger: &Ledger, holding: &Holding, slot: Slot, breaches: &mut Breaches) {
    let needed = made_fit_takes(ledger, holding.vessel, slot) + transfers_take(ledger, holding);
    let hours = ledger.case.shift_hours(slot);
    if needed > hours {
        let about = About::Vessel(holding.vessel);
        breaches.add(about, slot, "cleaning and filling", Amount::Time(needed), Amount::Time(hours));
    }
}

fn first_packaging(ledger: &Ledger, holding: &Holding, fill: Slot, breaches: &mut Breaches) {
    let Some(draw) = holding.draws().next() else { return };
    let calendar = &ledger.case.calendar;
    let beer = ledger.case.beer(holding.beer);
    let gas_takes = if beer.is_forced() { ledger.case.carbonating_takes(beer) } else { Minutes::ZERO };
    let carbonated = calendar.start(fill)
        + made_fit_takes(ledger, holding.vessel, fill)
        + transfers_take(ledger, holding)
        + gas_takes;
    if draw.slot > fill && calendar.start(draw.slot) >= carbonated {
        return;
    }
    let slots = (fill.0 + 1..).map(Slot).take(ledger.case.calendar.shifts.len() * 60);
    let earliest = slots.into_iter().find(|&slot| calendar.start(slot) >= carbonated);
    let allowed = earliest.map_or(Amount::Words("later"), Amount::Slot);
    breaches.add(About::Vessel(holding.vessel), draw.slot, "packaging", Amount::Slot(draw.slot), allowed);
}

fn refills(ledger: &Ledger, vessel: VesselId, breaches: &mut Breaches) {
    let mut emptied: Option<(Slot, EmptiedBy, usize)> = None;
    for entry in ledger.log(vessel) {
        match entry.event {
            Event::Emptied(by, held) => emptied = Some((entry.slot, by, held)),
            Event::Filled(FilledBy::Transfer, filled) => {
                let filling = transfers_take(ledger, &ledger.holdings[filled]);
                let Some((slot, by, held)) = emptied else { continue };
                let same = slot == entry.slot;
                if same && !same_shift_fits(ledger, vessel, slot, by, &ledger.holdings[held], filling) {
                    let about = About::Vessel(vessel);
                    breaches.add(
                        about,
                        entry.slot,
                        "refill",
                        Amount::Slot(slot),
                        Amount::Slot(Slot(slot.0 + 1)),
                    );
                }
            }
            Event::Cleaned | Event::CleanedOver(_) | Event::Vanished(..) => {
                let about = About::Vessel(vessel);
                let (found, allowed) = (Amount::Words("alone"), Amount::Words("with its fill"));
                if !matches!(entry.event, Event::Vanished(..)) {
                    breaches.add(about, entry.slot, "cleaning", found, allowed);
                }
            }
            Event::Filled(FilledBy::Brew, _)
            | Event::Added(_)
            | Event::FilledOver(..)
            | Event::Opened
            | Event::Sanitised(_)
            | Event::Carbonated(_)
            | Event::TakenTooMuch(..)
            | Event::Nothing { .. } => {}
        }
    }
}

/// Whether packaging a full tank, cleaning and filling fit in the shift of its last packaging.
fn same_shift_fits(
    ledger: &Ledger,
    vessel: VesselId,
    slot: Slot,
    by: EmptiedBy,
    held: &Holding,
    filling: Minutes,
) -> bool {
    let data = ledger.case.vessel(vessel);
    let is_served = ledger.case.tap(data, held.beer).is_some();
    if is_served || data.refill != Turnaround::SameShift || by != EmptiedBy::Packaging {
        return false;
    }
    if !matches!(held.outs.last().map(|out| out.way), Some(Way::Line(_))) {
        return false;
    }
    let formats = &ledger.case.beer(held.beer).packaged;
    let lines = formats.iter().map(|packaged| ledger.case.line(ledger.case.format(packaged.format).line));
    let slowest = lines.min_by_key(|line| line.pace());
    let packaging = slowest.map_or(Fine::ZERO, |line| Fine::running(line, data.holds));
    let exact = slowest.is_none_or(|line| line.pace() > Rate::ZERO);
    let needed = packaging.rounded_up() + made_fit_takes(ledger, vessel, slot) + filling;
    exact && needed <= ledger.case.shift_hours(slot)
}
