//! R11 pressure: the planned pressure stays a margin below relief and rating, and a line fed by pressure needs a vessel
//! that can give it.
//!
//! Formula: needed = max(0, equilibrium(volumes, temperature, altitude) + breakout margin, nitrogen's pressure); while fermenting
//! under pressure max(0, equilibrium(its volumes, its temperature)); limit = (1 - margin) x min(relief, rated), with beer in it
//! at most (1 - margin) x rated - height x 9.79 kPa/m. Source of the equilibrium: `model::carbonation`.
//! No rows: a vessel that cannot hold or feed has no column for it.

use cellarwright_model::carbonation::{equilibrium, hydrostatic};
use cellarwright_model::case::{Beer, Line, Vessel};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Pressure, Volume};

use crate::compile::context::Context;

fn limit(context: &Context, vessel: &Vessel) -> Pressure {
    let lower = vessel.relief.min(vessel.rated);
    Pressure(context.case.pressure.below_relief.taken_off(Volume(lower.0)).0)
}

/// The limit at the top of a full vessel: the rating counts at the bottom.
fn limit_when_full(context: &Context, vessel: &Vessel) -> Pressure {
    let at_bottom = Pressure(context.case.pressure.below_relief.taken_off(Volume(vessel.rated.0)).0);
    limit(context, vessel).min(at_bottom - hydrostatic(vessel.beer_height))
}

/// Whether a beer may ferment in a vessel.
pub fn may_ferment(context: &Context, beer: &Beer, vessel: &Vessel) -> bool {
    if !context.keeps(RuleId::Pressure) {
        return true;
    }
    beer.spund.is_none_or(|spund| {
        let balance = equilibrium(spund.carbonation, spund.at, context.case.altitude_metres);
        balance.max(Pressure::ZERO) <= limit_when_full(context, vessel)
    })
}

/// Whether a beer may be carbonated, given nitrogen or packaged in a vessel.
pub fn may_carbonate(context: &Context, beer: &Beer, vessel: &Vessel) -> bool {
    if !context.keeps(RuleId::Pressure) || !beer.holds_gas() {
        return true;
    }
    let balance = equilibrium(beer.carbonation, beer.carbonated_at, context.case.altitude_metres);
    let nitrogen = beer.nitrogen.map_or(Pressure::ZERO, |nitrogen| nitrogen.pressure);
    (balance + context.case.pressure.breakout).max(nitrogen) <= limit_when_full(context, vessel)
}

/// Whether a vessel can feed a beer to a line.
pub fn may_feed(context: &Context, beer: &Beer, vessel: &Vessel, line: &Line) -> bool {
    !context.keeps(RuleId::Pressure) || (line.pump && beer.pump) || line.feed <= limit(context, vessel)
}
