//! R11: planned pressures stay below relief and rating, and a line fed by pressure gets what it needs.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Slot;
use cellarwright_model::carbonation::{equilibrium, hydrostatic};
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, LineId, VesselId};
use cellarwright_model::units::{Pressure, Share, mul_div};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Carbonated, Holding, Kind, Ledger, Way};

/// Gauge pressure that a beer needs when carbonated (or given nitrogen) and packaged.
#[must_use]
pub fn needed(case: &Case, beer: BeerId) -> Pressure {
    let beer = case.beer(beer);
    if !beer.holds_gas() {
        return Pressure::ZERO;
    }
    let rest = equilibrium(beer.carbonation, beer.carbonated_at, case.altitude_metres);
    let nitrogen = beer.nitrogen.map_or(Pressure::ZERO, |nitrogen| nitrogen.pressure);
    (rest + case.pressure.breakout).max(nitrogen)
}

/// Gauge pressure that a beer needs in its fermenter from its first turn on.
#[must_use]
pub fn needed_fermenting(case: &Case, beer: BeerId) -> Pressure {
    let spund = case.beer(beer).spund;
    let rest = spund.map(|spund| equilibrium(spund.carbonation, spund.at, case.altitude_metres));
    rest.unwrap_or_default().max(Pressure::ZERO)
}

/// The highest planned pressure of a vessel, rounded down to the pascal.
#[must_use]
pub fn limit(case: &Case, vessel: VesselId) -> Pressure {
    let data = case.vessel(vessel);
    less_margin(case, data.relief.min(data.rated))
}

fn less_margin(case: &Case, pressure: Pressure) -> Pressure {
    let share = Share::WHOLE - case.pressure.below_relief;
    Pressure(mul_div(pressure.0, share.0, Share::WHOLE.0))
}

/// The highest planned pressure at the top of a full vessel: the rating counts at the bottom, where the beer's height adds.
#[must_use]
pub fn limit_when_full(case: &Case, vessel: VesselId) -> Pressure {
    let data = case.vessel(vessel);
    limit(case, vessel).min(less_margin(case, data.rated) - hydrostatic(data.beer_height))
}

/// Carbonating and fermenting under pressure in vessels that are not rated for it, and lines that are not fed.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let case = ledger.case;
    for holding in &ledger.holdings {
        let about = About::Vessel(holding.vessel);
        let full = limit_when_full(case, holding.vessel);
        if let (Kind::Batch, Some(slot)) = (holding.kind, holding.from) {
            let needed = needed_fermenting(case, holding.beer);
            if needed > full {
                let (found, allowed) = (Amount::Pressure(needed), Amount::Pressure(full));
                breaches.add(about, slot, "fermenting under pressure", found, allowed);
            }
        }
        if let Some((slot, what)) = gassed(holding) {
            let needed = needed(case, holding.beer);
            if needed > full {
                breaches.add(about, slot, what, Amount::Pressure(needed), Amount::Pressure(full));
            }
        }
        let limit = limit(case, holding.vessel);
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

/// When a vessel of the plan must hold the beer's pressure first: at carbonating, at the transfer into it, or at the first
/// packaging from a fermenter whose beer is not carbonated by a task.
fn gassed(holding: &Holding) -> Option<(Slot, &'static str)> {
    // A tank that is only poured from is filled with beer that has its gas.
    if let (Carbonated::Before, Kind::Lot, Some(slot)) = (holding.carbonated, holding.kind, holding.from) {
        return Some((slot, "filling the serving tank"));
    }
    match (holding.carbonated, holding.kind) {
        (Carbonated::In(slot), Kind::Batch) => Some((slot, "carbonating in the fermenter")),
        (Carbonated::In(slot), Kind::Lot) => Some((slot, "carbonating in the bright tank")),
        (Carbonated::No, _) => holding.draws().next().map(|out| (out.slot, "packaging from the fermenter")),
        (Carbonated::Before, _) => None,
    }
}
