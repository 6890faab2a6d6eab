//! The levers that make sense in a case.

use std::collections::BTreeMap;

use super::{Lever, alike, with};
use crate::case::Case;
use crate::ids::VesselId;
use crate::units::Volume;

/// Every lever that makes sense in a case and leaves it valid, in a fixed order.
#[must_use]
pub fn levers(case: &Case) -> Vec<Lever> {
    let kinds: Vec<VesselId> = case.vessel_ids().filter(|&id| alike(case, id).next() == Some(id)).collect();
    let mut found: Vec<Lever> = kinds.iter().map(|&like| Lever::Vessel { like }).collect();
    found.extend(first_bright(case));
    for crew in case.crew_ids() {
        found.extend(case.crew(crew).shifts().map(|shift| Lever::Person { crew, shift }));
    }
    let workers = || case.crew_ids().filter(|&crew| !case.crew(crew).check_only);
    found.extend(workers().map(|crew| Lever::Hour { crew }));
    found.extend(workers().map(|crew| Lever::SecondShift { crew }));
    found.extend([Lever::Turn, Lever::CleaningSet]);
    found.extend(case.line_ids().map(|line| Lever::Pump { line }));
    found.extend(kinds.iter().map(|&like| Lever::Rating { like }));
    found.extend(case.beer_ids().map(|beer| Lever::Stay { beer }));
    found.extend(case.beer_ids().map(|beer| Lever::Wait { beer }));
    found.retain(|&lever| with(case, &[lever]).is_some());
    found
}

/// A first bright tank of the commonest size of fermenters, the larger of two that are as common, where some beer may leave by one and there is none.
fn first_bright(case: &Case) -> Option<Lever> {
    let is_wanted = case.beers.iter().any(|beer| beer.bright);
    if !is_wanted || case.vessels.iter().any(|vessel| vessel.uses.bright) {
        return None;
    }
    let mut sizes: BTreeMap<Volume, (usize, VesselId)> = BTreeMap::new();
    for id in case.vessel_ids().filter(|&id| case.vessel(id).uses.ferment) {
        sizes.entry(case.vessel(id).holds).or_insert((0, id)).0 += 1;
    }
    let commonest = sizes.into_iter().max_by_key(|&(holds, (count, _))| (count, holds));
    commonest.map(|(_, (_, like))| Lever::FirstBright { like })
}
