//! The cheapest layout that meets the demand, the bound below which none does, and its second proof.

use cellarwright_model::case::Case;
use cellarwright_model::units::Money;

use super::built::built;
use super::program::{Sought, whole};
use super::search::{Search, cents_below, with_way};
use super::{Bought, Cheapest, LayoutError};
use crate::answer::{Options, Untold};
use crate::highs::{self, HighsError};

/// Share of the time for the search itself; the rest is for building and for the second search.
const SHARE_OF_SEARCH: f64 = 0.5;

/// What came of asking.
pub enum Found {
    /// The cheapest.
    Cheapest(Box<Cheapest>),
    /// Proven: nothing meets the demand.
    Nothing,
    /// Time was up; what was shown by then.
    OutOfTime(Option<Money>),
}

/// Finds the cheapest.
pub fn cheapest(search: &Search, case: &Case) -> Result<Found, LayoutError> {
    let mut best: Option<Cheapest> = None;
    let mut bound = f64::INFINITY;
    let mut is_complete = true;
    let first = search.within(SHARE_OF_SEARCH);
    let ways = search.ways();
    for (place, way) in ways.iter().enumerate() {
        let most = best.as_ref().map(|best| best.cost.units());
        let besides = search.a_year(way);
        if most.is_some_and(|most| besides >= most) {
            continue;
        }
        if first.is_over() {
            is_complete = false;
            bound = bound.min(besides);
            continue;
        }
        let part = first.within(1.0 / (ways.len() - place) as f64);
        let Some(found) = part.solve(case, way, Sought::Cost { most })? else {
            bound = bound.min(most.unwrap_or(f64::INFINITY));
            continue;
        };
        bound = bound.min(-found.bound);
        is_complete &= found.is_complete;
        let Some((vessels, _)) = found.best else { continue };
        let bought = Bought { vessels, further: way.clone() };
        let Some(built) = built(&search.within(0.5), case, &bought, 1.0)? else {
            is_complete = false;
            continue;
        };
        let cost = bought.a_year(search.layout) + built.running;
        if best.as_ref().is_none_or(|best| cost < best.cost) {
            let bound = Money::ZERO;
            best = Some(Cheapest { bought, built, cost, bound, confirmed: false, is_complete: false });
        }
    }
    let Some(mut best) = best else {
        let is_nothing = is_complete && bound == f64::INFINITY;
        return Ok(if is_nothing { Found::Nothing } else { Found::OutOfTime(cents_below(bound)) });
    };
    best.bound = cents_below(bound).unwrap_or_default().min(best.cost).max(Money::ZERO);
    best.is_complete = is_complete;
    let below = best.bound.units() - (1e-5 * best.bound.units()).max(0.01);
    let sought = Sought::Cost { most: Some(below) };
    best.confirmed = search.again(7).finds_nothing(case, below, sought)?;
    Ok(Found::Cheapest(Box::new(best)))
}

/// The lowest cost of any layout in cycles of any length: the best single week in fractions, with whole vessels, is as cheap as any mixture of weeks.
pub fn bound_for_ever(search: &Search) -> Result<Option<Money>, LayoutError> {
    let mut lowest = f64::INFINITY;
    if !crate::repeating::comes_every_week(search.case) {
        return Ok(None);
    }
    for way in search.ways() {
        if search.is_over() {
            return Ok(None);
        }
        let case = with_way(search.layout, search.case, &way);
        let whole = whole(search, &case, search.besides(&way), Sought::Cost { most: None }, 1)?;
        let options = Options { gap: 0.0, ..search.left() };
        match highs::solve(&whole.relaxed(), &options, 100.0, &Untold(search.observer)) {
            Ok(solved) if solved.bound.is_finite() => lowest = lowest.min(-solved.bound),
            Ok(_) => return Ok(None),
            Err(HighsError::Infeasible) => {}
            Err(error) => return Err(error.into()),
        }
    }
    // HiGHS keeps its rows to a tolerance: a millionth is more than that can be worth.
    Ok(cents_below(lowest - 1e-6 * lowest.abs()))
}
