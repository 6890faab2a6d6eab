//! R07: carbonating and packaging in the fermenter.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::units::Minutes;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Carbonated, Event, Holding, Kind, Ledger, Misfit, Out, Way};

/// Direct packaging without its carbonating, or at the wrong time after it.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for holding in ledger.holdings.iter().filter(|holding| holding.kind == Kind::Batch) {
        if let Some(draw) = holding.draws().next() {
            packaging(ledger, holding, draw.slot, breaches);
        }
        in_parts(ledger, holding, breaches);
    }
    twice(ledger, breaches);
    for &(position, misfit) in &ledger.misfits {
        if misfit == Misfit::CarbonatesLot {
            let task = &ledger.plan.tasks[position];
            if let cellarwright_model::plan::Work::Carbonate { vessel } = task.work {
                let (found, allowed) = (Amount::Words("a bright lot"), Amount::Words("a batch"));
                breaches.add(About::Vessel(vessel), task.slot, "carbonating", found, allowed);
            }
        }
    }
}

fn packaging(ledger: &Ledger, holding: &Holding, draw: Slot, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    if !ledger.case.beer(holding.beer).direct {
        let (found, allowed) = (Amount::Words("direct"), Amount::Words("bright"));
        breaches.add(about, draw, "route", found, allowed);
    }
    if !ledger.case.beer(holding.beer).is_forced() {
        return;
    }
    match holding.carbonated {
        Carbonated::Before => {}
        Carbonated::No => {
            let (found, allowed) = (Amount::Words("not carbonated"), Amount::Words("carbonated"));
            breaches.add(about, draw, "packaging", found, allowed);
        }
        Carbonated::In(slot) => {
            let takes = ledger.case.carbonating_takes(ledger.case.beer(holding.beer));
            if !is_early_enough(ledger, takes, slot, draw) {
                let (found, allowed) = (Amount::Slot(slot), Amount::Words("earlier"));
                breaches.add(about, draw, "carbonating", found, allowed);
            } else if later_chances(ledger, takes, slot, draw) > 1 {
                let found = Amount::Slot(slot);
                breaches.add(about, draw, "carbonating", found, Amount::Words("later"));
            }
        }
    }
}

/// A batch that leaves on both routes: only of a beer that lists them together, its transfers before carbonating and packaging.
fn in_parts(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    if let Some(slot) = holding.moved_carbonated {
        let (found, allowed) = (Amount::Words("after carbonating"), Amount::Words("before"));
        breaches.add(about, slot, "transfer", found, allowed);
    }
    let is_draw = |out: &Out| matches!(out.way, Way::Line(_) | Way::Serve { .. });
    let Some(draw) = holding.outs.iter().position(is_draw) else { return };
    let is_transfer = |out: &&Out| matches!(out.way, Way::Transfer { .. });
    if let Some(out) = holding.outs[draw..].iter().find(is_transfer) {
        let (found, allowed) = (Amount::Words("after packaging"), Amount::Words("before"));
        breaches.add(about, out.slot, "transfer", found, allowed);
    }
    if holding.transfers().next().is_some() && !ledger.case.beer(holding.beer).both {
        let (found, allowed) = (Amount::Words("both"), Amount::Words("one"));
        breaches.add(about, holding.outs[draw].slot, "route", found, allowed);
    }
}

/// Whether carbonating in a slot is over when packaging begins in another.
fn is_early_enough(ledger: &Ledger, takes: Minutes, carbonating: Slot, draw: Slot) -> bool {
    let calendar = &ledger.case.calendar;
    carbonating < draw && calendar.start(carbonating) + takes <= calendar.start(draw)
}

/// Working cellar slots after the carbonating that would have been early enough.
fn later_chances(ledger: &Ledger, takes: Minutes, carbonating: Slot, draw: Slot) -> usize {
    let later = (carbonating.0 + 1..draw.0).map(Slot);
    later
        .filter(|&slot| ledger.case.works(Role::Cellar, slot) && is_early_enough(ledger, takes, slot, draw))
        .count()
}

fn twice(ledger: &Ledger, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        let mut last = None;
        for entry in ledger.log(vessel) {
            let Event::Carbonated(held) = entry.event else { continue };
            if !ledger.case.beer(ledger.holdings[held].beer).is_forced() {
                let (found, allowed) = (Amount::Words("carbonated"), Amount::Words("never carbonated"));
                breaches.add(About::Vessel(vessel), entry.slot, "carbonating", found, allowed);
                continue;
            }
            let before = ledger.holdings[held].carbonated == Carbonated::Before;
            if before || last == Some(held) {
                let (found, allowed) = (Amount::Words("a second time"), Amount::Words("once"));
                breaches.add(About::Vessel(vessel), entry.slot, "carbonating", found, allowed);
            }
            last = Some(held);
        }
    }
}
