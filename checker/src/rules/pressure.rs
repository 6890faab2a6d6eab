//! R11: planned pressures stay below relief and rating, and a line fed by pressure gets what it needs.

use std::collections::BTreeSet;

use cellarwright_model::carbonation::equilibrium;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, LineId, VesselId};
use cellarwright_model::units::{Pressure, Share, mul_div};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Carbonated, Kind, Ledger, Way};

/// Gauge pressure that a beer needs when carbonated and packaged.
#[must_use]
pub fn needed(case: &Case, beer: BeerId) -> Pressure {
    let beer = case.beer(beer);
    if !beer.is_forced() {
        return Pressure::ZERO;
    }
    let rest = equilibrium(beer.carbonation, beer.carbonated_at, case.altitude_metres);
    (rest + case.pressure.breakout).max(Pressure::ZERO)
}

/// The highest planned pressure of a vessel, rounded down to the pascal.
#[must_use]
pub fn limit(case: &Case, vessel: VesselId) -> Pressure {
    let data = case.vessel(vessel);
    let lower = data.relief.min(data.rated);
    let share = Share::WHOLE - case.pressure.below_relief;
    Pressure(mul_div(lower.0, share.0, Share::WHOLE.0))
}

/// Carbonating in vessels that are not rated for it, and lines that are not fed.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let case = ledger.case;
    for holding in &ledger.holdings {
        let about = About::Vessel(holding.vessel);
        let limit = limit(case, holding.vessel);
        if let Carbonated::In(slot) = holding.carbonated {
            let needed = needed(case, holding.beer);
            if needed > limit {
                let what = match holding.kind {
                    Kind::Batch => "carbonating in the fermenter",
                    Kind::Lot => "carbonating in the bright tank",
                };
                breaches.add(about, slot, what, Amount::Pressure(needed), Amount::Pressure(limit));
            }
        }
        let mut seen: BTreeSet<LineId> = BTreeSet::new();
        for out in &holding.outs {
            let Way::Line(line) = out.way else { continue };
            let data = case.line(line);
            let pumped = data.pump && case.beer(holding.beer).pump;
            if !pumped && data.feed > limit && seen.insert(line) {
                let (found, allowed) = (Amount::Pressure(data.feed), Amount::Pressure(limit));
                breaches.add(about, out.slot, "feeding the line", found, allowed);
            }
        }
    }
}
