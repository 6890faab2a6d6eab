//! Families of layouts: which way the beer takes from its fermenter to the line.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::case::{Case, Fixed, Vessel};
use cellarwright_model::ids::{BeerId, VesselId};

/// A family of layouts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Whatever the beers and vessels allow.
    Any,
    /// All beer is packaged straight from the vessel that it fermented or conditioned in.
    Direct,
    /// All beer goes through vessels that are bright tanks and nothing else.
    Bright,
    /// All beer goes through fermenters that are used as bright tanks; there are no others.
    Doubling,
}

impl Family {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Any, Self::Direct, Self::Bright, Self::Doubling];

    /// The case with the routes of the family alone.
    ///
    /// # Errors
    /// The beers that are asked for and do not list the route; none of them where no vessel, there or to be bought, is of the family.
    pub fn of(self, case: &Case) -> Result<Case, Vec<BeerId>> {
        let mut case = case.clone();
        let wanted: BTreeSet<BeerId> = case
            .layout
            .iter()
            .flat_map(|layout| &layout.seasons)
            .flat_map(|season| season.demand.iter().map(|asked| asked.beer))
            .collect();
        let lists = |case: &Case, beer: BeerId| match self {
            Self::Any => true,
            Self::Direct => case.beer(beer).direct,
            Self::Bright | Self::Doubling => case.beer(beer).bright,
        };
        let without: Vec<BeerId> = wanted.into_iter().filter(|&beer| !lists(&case, beer)).collect();
        if !without.is_empty() || !case.with_offers().vessels.iter().any(|vessel| self.has(vessel)) {
            return Err(without);
        }
        for beer in case.beers.iter_mut().filter(|_| self != Self::Any) {
            beer.both = false;
            if self == Self::Direct {
                beer.bright = false;
            } else {
                beer.direct = false;
            }
        }
        match self {
            Self::Any | Self::Direct => {}
            Self::Bright => {
                each_vessel(&mut case, |vessel| {
                    if vessel.is_cleaned_apart() {
                        (vessel.uses.bright, vessel.uses.package) = (false, false);
                    }
                });
            }
            Self::Doubling => without_bright_only(&mut case),
        }
        Ok(case)
    }
}

impl Family {
    /// Whether beer may take the way of the family through a vessel.
    fn has(self, vessel: &Vessel) -> bool {
        match self {
            Self::Any => true,
            Self::Direct => vessel.uses.package,
            Self::Bright => vessel.is_bright_only(),
            Self::Doubling => vessel.uses.bright && !vessel.is_bright_only(),
        }
    }
}

fn each_vessel(case: &mut Case, change: impl Fn(&mut Vessel)) {
    let offered = case.layout.iter_mut().flat_map(|layout| &mut layout.vessels);
    case.vessels.iter_mut().chain(offered.flat_map(|offer| &mut offer.vessels)).for_each(change);
}

/// Takes away all tanks that are bright tanks and nothing else. What is there on day 0 goes with them: a repeating week has none of it.
fn without_bright_only(case: &mut Case) {
    case.in_tank = Vec::new();
    case.dirty = Vec::new();
    case.since_full = BTreeMap::new();
    case.fixed = Fixed::default();
    case.yeast.in_tank = Vec::new();
    // Prices of one unit more, which go by vessels, are for the levers.
    case.prices = Vec::new();
    let kept: Vec<VesselId> =
        case.vessel_ids().filter(|&vessel| !case.vessel(vessel).is_bright_only()).collect();
    let place: BTreeMap<VesselId, VesselId> =
        kept.iter().enumerate().map(|(place, &vessel)| (vessel, VesselId(place))).collect();
    case.vessels.retain(|vessel| !vessel.is_bright_only());
    for reaches in case.vessels.iter_mut().filter_map(|vessel| vessel.reaches.as_mut()) {
        reaches.vessels = reaches.vessels.iter().filter_map(|vessel| place.get(vessel).copied()).collect();
    }
    for offer in case.layout.iter_mut().flat_map(|layout| &mut layout.vessels) {
        offer.vessels.retain(|vessel| !vessel.is_bright_only());
    }
}
