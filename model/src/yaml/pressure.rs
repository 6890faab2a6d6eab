//! Whether vessels hold beers and feed lines, as far as reading the files has to know.

use crate::carbonation::{equilibrium, hydrostatic};
use crate::case::{Beer, Case, Vessel};
use crate::ids::BeerId;
use crate::units::{Pressure, Volume};

/// What a vessel may be held at: the lower of relief setting and rating, less the margin.
pub(crate) fn limit(case: &Case, vessel: &Vessel) -> Pressure {
    let lower = vessel.relief.min(vessel.rated);
    Pressure(case.pressure.below_relief.taken_off(Volume(lower.0)).0)
}

/// What the top of a full vessel may be held at: its rating counts at the bottom, below the beer.
fn limit_when_full(case: &Case, vessel: &Vessel) -> Pressure {
    let at_bottom = Pressure(case.pressure.below_relief.taken_off(Volume(vessel.rated.0)).0);
    limit(case, vessel).min(at_bottom - hydrostatic(vessel.beer_height))
}

/// Whether a vessel holds the pressure of a beer that is carbonated in it, or of one that needs none.
pub(super) fn holds(case: &Case, beer: &Beer, vessel: &Vessel) -> bool {
    if !beer.holds_gas() {
        return true;
    }
    let balance = equilibrium(beer.carbonation, beer.carbonated_at, case.altitude_metres);
    let nitrogen = beer.nitrogen.map_or(Pressure::ZERO, |nitrogen| nitrogen.pressure);
    (balance + case.pressure.breakout).max(nitrogen) <= limit_when_full(case, vessel)
}

/// Whether a beer may leave a vessel as from its fermenter: for a line, or into a tank that is only poured from.
pub(super) fn is_packaged_from(beer: &Beer, vessel: &Vessel) -> bool {
    let conditions = beer.conditions.is_some() && vessel.uses.condition;
    beer.direct && vessel.uses.package && (vessel.uses.ferment || conditions)
}

/// Whether a fermenter holds the pressure of a beer that ferments under it.
pub(super) fn may_spund(case: &Case, beer: &Beer, vessel: &Vessel) -> bool {
    beer.spund.is_none_or(|spund| {
        equilibrium(spund.carbonation, spund.at, case.altitude_metres) <= limit_when_full(case, vessel)
    })
}

/// Whether a vessel holds every beer that its uses and the beer's routes would let in, and feeds every line of it without a pump.
pub(crate) fn holds_all(case: &Case, vessel: &Vessel) -> bool {
    let holds = |(position, beer): (usize, &Beer)| {
        let is_packaged = is_packaged_from(beer, vessel) || beer.bright && vessel.uses.bright;
        let is_in = is_packaged || case.tap(vessel, BeerId(position)).is_some();
        let feeds = || {
            beer.packaged.iter().all(|packaged| {
                let line = case.line(case.format(packaged.format).line);
                (line.pump && beer.pump) || line.feed <= limit(case, vessel)
            })
        };
        (!vessel.uses.ferment || may_spund(case, beer, vessel))
            && (!is_in || holds(case, beer, vessel))
            && (!is_packaged || feeds())
    };
    case.beers.iter().enumerate().all(holds)
}
