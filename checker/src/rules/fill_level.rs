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
    let beer = ledger.case.beer(holding.beer);
    let turns = &beer.turns;
    if let [part] = holding.part_turns[..]
        && holding.turns == 1
    {
        if !beer.part_turns.contains(&part) {
            let nearest = beer.part_turns.iter().copied().min_by_key(|listed| (listed.0 - part.0).abs());
            let allowed = Amount::Volume(nearest.unwrap_or(ledger.case.turn_of(holding.beer)));
            breaches.add(About::Vessel(holding.vessel), slot, "part turn", Amount::Volume(part), allowed);
        }
    } else if !holding.part_turns.is_empty() {
        let found = Amount::Number(holding.turns);
        breaches.add(About::Vessel(holding.vessel), slot, "turns with a part turn", found, Amount::Number(1));
    } else if !turns.contains(&holding.turns) {
        let nearest = turns.iter().copied().min_by_key(|listed| (listed - holding.turns).abs());
        let allowed = Amount::Number(nearest.unwrap_or_default());
        breaches.add(About::Vessel(holding.vessel), slot, "turns", Amount::Number(holding.turns), allowed);
    }
    // What was measured is as it is.
    if ledger.case.fixed.measured(holding.vessel, holding.on).is_none() {
        level(ledger, holding.vessel, slot, holding.filled, breaches);
    }
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
