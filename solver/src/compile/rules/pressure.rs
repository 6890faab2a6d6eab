//! R11 pressure: the planned pressure stays a margin below relief and rating, and a line fed by pressure needs a vessel
//! that can give it.
//!
//! Formula: needed = max(0, equilibrium(volumes, temperature, altitude) + breakout margin);
//! limit = (1 - margin) x min(relief, rated). Source of the equilibrium: `model::carbonation`.
//! No rows: a vessel that cannot hold or feed has no column for it.

use cellarwright_model::carbonation::equilibrium;
use cellarwright_model::case::{Beer, Line, Vessel};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Pressure, Volume};

use crate::compile::context::Context;

fn limit(context: &Context, vessel: &Vessel) -> Pressure {
    let lower = vessel.relief.min(vessel.rated);
    Pressure(context.case.pressure.below_relief.taken_off(Volume(lower.0)).0)
}

/// Whether a beer may be carbonated in a vessel.
pub fn may_carbonate(context: &Context, beer: &Beer, vessel: &Vessel) -> bool {
    if !context.keeps(RuleId::Pressure) || !beer.is_forced() {
        return true;
    }
    let balance = equilibrium(beer.carbonation, beer.carbonated_at, context.case.altitude_metres);
    (balance + context.case.pressure.breakout).max(Pressure::ZERO) <= limit(context, vessel)
}

/// Whether a vessel can feed a beer to a line.
pub fn may_feed(context: &Context, beer: &Beer, vessel: &Vessel, line: &Line) -> bool {
    !context.keeps(RuleId::Pressure) || (line.pump && beer.pump) || line.feed <= limit(context, vessel)
}
