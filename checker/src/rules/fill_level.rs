//! R02: every fill ends between `least` and `holds`.

use cellarwright_model::ids::VesselId;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Holding, Kind, Ledger};

/// Turns of a batch that its beer does not list, and levels of batches and lots.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for holding in &ledger.holdings {
        if let (true, Some(slot)) = (holding.moved, holding.from) {
            level(ledger, holding.vessel, slot, holding.filled, breaches);
        } else if holding.kind == Kind::Batch && !holding.opening {
            batch(ledger, holding, breaches);
        }
        if let (Kind::Lot, Some(slot)) = (holding.kind, holding.from) {
            level(ledger, holding.vessel, slot, holding.filled, breaches);
        }
    }
}

fn batch(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let Some(slot) = holding.from else { return };
    let turns = &ledger.case.beer(holding.beer).turns;
    if !turns.contains(&holding.turns) {
        let nearest = turns.iter().copied().min_by_key(|listed| (listed - holding.turns).abs());
        let allowed = Amount::Number(nearest.unwrap_or_default());
        breaches.add(About::Vessel(holding.vessel), slot, "turns", Amount::Number(holding.turns), allowed);
    }
    level(ledger, holding.vessel, slot, holding.filled, breaches);
}

fn level(
    ledger: &Ledger,
    vessel: VesselId,
    slot: cellarwright_model::calendar::Slot,
    volume: Volume,
    breaches: &mut Breaches,
) {
    let data = ledger.case.vessel(vessel);
    let allowed = volume.max(data.least).min(data.holds);
    if volume != allowed {
        breaches.add(About::Vessel(vessel), slot, "fill", Amount::Volume(volume), Amount::Volume(allowed));
    }
}
