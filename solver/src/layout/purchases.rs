//! The least that has to be spent a year on what is bought to meet a share of the demand.

use cellarwright_model::case::Case;
use cellarwright_model::units::Money;

use super::program::Sought;
use super::search::{Search, cents_below};
use super::{Bought, LayoutError};

/// What came of it.
pub enum Least {
    /// What is bought for the least that was found; whatever meets the share costs at least `bound` a year to buy.
    Found { bought: Bought, bound: Money },
    /// Proven: nothing meets it.
    Nothing,
    /// Time was up.
    OutOfTime,
}

/// Finds the least purchases for a share.
pub fn least_for(search: &Search, case: &Case, share: f64) -> Result<Least, LayoutError> {
    let mut best: Option<(f64, Bought)> = None;
    let mut bound = f64::INFINITY;
    let ways = search.ways();
    for (place, way) in ways.iter().enumerate() {
        let most = best.as_ref().map(|(spent, _)| *spent);
        if most.is_some_and(|most| search.a_year(way) >= most) {
            continue;
        }
        if search.is_over() {
            return Ok(Least::OutOfTime);
        }
        let part = search.within(1.0 / (ways.len() - place) as f64);
        let Some(found) = part.solve(case, way, Sought::Purchases { share, most })? else { continue };
        bound = bound.min(-found.bound);
        match found.best {
            Some((vessels, objective)) if most.is_none_or(|most| -objective < most) => {
                best = Some((-objective, Bought { vessels, further: way.clone() }));
            }
            Some(_) => {}
            None if found.is_complete => {}
            None => return Ok(Least::OutOfTime),
        }
    }
    let Some((spent, bought)) = best else { return Ok(Least::Nothing) };
    let bound = cents_below(bound.min(spent)).unwrap_or_default().max(Money::ZERO);
    Ok(Least::Found { bought, bound })
}
