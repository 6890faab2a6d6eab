//! The largest share of a demand that can be met, and the resource that forbids more.

use cellarwright_model::case::Case;

use super::built::{Built, built};
use super::program::{MOST_SHARE, Sought, whole};
use super::purchases::{Least, least_for};
use super::resource::{Resource, resources, with_plenty};
use super::search::{Search, with_way};
use super::{Bought, LayoutError};
use crate::answer::Untold;
use crate::highs::{self, HighsError};
use crate::repeating::comes_every_week;

/// Shares closer than this are the same.
pub const SAME: f64 = 1e-4;

/// What a resource, or two of them, would let be met if there were plenty.
#[derive(Clone, Debug, PartialEq)]
pub struct Freed {
    /// The resources.
    pub resources: Vec<Resource>,
    /// The share that a plan then meets, replayed by the checker.
    pub share: f64,
}

/// The largest share.
#[derive(Clone, Debug, PartialEq)]
pub struct Largest {
    /// What is bought to meet it.
    pub bought: Bought,
    /// The largest share found.
    pub share: f64,
    /// Built, solved season by season for this share (to half of `SAME`) and replayed; none where time was up.
    pub built: Option<Built>,
    /// No more of the demand can be met.
    pub bound: f64,
    /// A second search, with another seed, found nothing above the bound either.
    pub confirmed: bool,
}

/// Finds the largest share with purchases of at most so much a year; none if time is up before every way is tried.
pub fn largest(search: &Search, case: &Case, most: Option<f64>) -> Result<Option<Largest>, LayoutError> {
    let mut best: Option<(Bought, f64)> = None;
    let mut bound: f64 = 0.0;
    let first = search.within(0.5);
    let ways = search.ways();
    for (place, way) in ways.iter().enumerate() {
        if most.is_some_and(|most| search.a_year(way) > most) {
            continue;
        }
        if first.is_over() {
            return Ok(None);
        }
        let part = first.within(1.0 / (ways.len() - place) as f64);
        // What is bought besides is over a limit.
        let Some(found) = part.solve(case, way, Sought::Share { most })? else { continue };
        bound = bound.max(found.bound);
        if let Some((vessels, share)) = found.best
            && best.as_ref().is_none_or(|&(_, best)| share > best)
        {
            best = Some((Bought { vessels, further: way.clone() }, share));
        }
    }
    let Some((mut bought, share)) = best else { return Ok(None) };
    let share = share.max(0.0);
    // Where money is no matter, of all that meets the share what costs least.
    if most.is_none()
        && let Least::Found { bought: least, .. } = least_for(&search.within(0.3), case, share - SAME / 2.0)?
    {
        bought = least;
    }
    let built = built(&search.within(0.5), case, &bought, share - SAME / 2.0)?;
    let bound = bound.max(share);
    let sought = Sought::Purchases { share: bound + SAME, most };
    let ways_below = most.map_or(f64::INFINITY, |most| most + 0.005);
    let confirmed = search.again(7).finds_nothing(case, ways_below, sought)?;
    Ok(Some(Largest { bought, share, built, bound, confirmed }))
}

/// No more of the demand is met in cycles of any length, whichever way is chosen: the best week in fractions, with whole vessels. None if there was no
/// time for it.
pub fn in_fractions(search: &Search, case: &Case) -> Result<Option<f64>, LayoutError> {
    let weeks = if comes_every_week(case) { 1 } else { search.weeks };
    let mut most: f64 = 0.0;
    for way in search.ways() {
        if search.is_over() {
            return Ok(None);
        }
        let case = with_way(search.layout, case, &way);
        let whole = whole(search, &case, search.besides(&way), Sought::Share { most: None }, weeks)?;
        match highs::solve(&whole.relaxed(), &search.left(), 1e6, &Untold(search.observer)) {
            Ok(solved) if solved.bound < MOST_SHARE => most = most.max(solved.bound),
            Ok(_) => return Ok(None),
            // What is bought besides is over a limit.
            Err(HighsError::Infeasible) => {}
            Err(error) => return Err(error.into()),
        }
    }
    // HiGHS keeps its rows to a tolerance: a millionth is more than that can be worth.
    Ok(Some(most * (1.0 + 1e-6)))
}

/// Resources of which plenty lets more be met than a bound, each by itself; where none does, pairs. The largest gain first, and whether all were tried.
pub fn forbids(search: &Search, case: &Case, largest: &Largest) -> Result<(Vec<Freed>, bool), LayoutError> {
    let all = resources(case);
    let mut found = Vec::new();
    let mut sets: Vec<Vec<Resource>> = all.iter().map(|one| vec![one.clone()]).collect();
    for round in 0..2 {
        for (place, set) in sets.iter().enumerate() {
            if search.is_over() {
                return Ok((found, false));
            }
            let freed = set.iter().fold(case.clone(), with_plenty);
            let part = search.within(1.0 / (sets.len() - place) as f64);
            if let Some(share) = share_with(&part, &freed, &largest.bought.further, largest.bound + SAME)? {
                found.push(Freed { resources: set.clone(), share });
            }
        }
        if round == 0 && found.is_empty() {
            let pairs = all.iter().enumerate().flat_map(|(place, one)| {
                all[place + 1..].iter().map(move |other| vec![one.clone(), other.clone()])
            });
            sets = pairs.collect();
        } else {
            break;
        }
    }
    found.sort_by(|one, other| other.share.total_cmp(&one.share));
    Ok((found, true))
}

/// The share above a bound that a plan of a case meets: a plan that beats the bound is the proof that what was freed forbids more.
fn share_with(search: &Search, case: &Case, way: &[i64], bound: f64) -> Result<Option<f64>, LayoutError> {
    let found = search.within(0.5).solve(case, way, Sought::Share { most: None })?;
    let Some((vessels, share)) = found.and_then(|found| found.best).filter(|&(_, share)| share > bound)
    else {
        return Ok(None);
    };
    let bought = Bought { vessels, further: way.to_vec() };
    Ok(built(search, case, &bought, share)?.map(|_| share))
}
