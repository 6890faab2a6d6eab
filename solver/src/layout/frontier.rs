//! The frontier of money against output: from nothing bought to the most that can be met, every layout that no other beats in both.
//!
//! From each point on, the least that has to be spent a year for more than it meets, then the most that is met for that. Money is the yearly cost of
//! what is bought, output the share of the demand, all of it in proportion.

use cellarwright_model::case::Case;
use cellarwright_model::units::Money;

use super::LayoutError;
use super::purchases::{Least, least_for};
use super::search::Search;
use super::share::{Largest, largest};

/// What is this little more of the demand is no point of its own.
const STEP: f64 = 1e-3;
/// Share of the time that is left for each step.
const SHARE_OF_STEP: f64 = 0.3;
/// The same where a step is the only one.
const SHARE_OF_ALL: f64 = 0.9;
/// Points at most.
const MOST_POINTS: usize = 60;

/// A point of the frontier.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// What is bought and the share that it meets; no more can be met for its money than its bound.
    pub largest: Largest,
    /// What is bought, a year.
    pub a_year: Money,
    /// Whatever meets more than the point before costs at least so much a year to buy.
    pub least: Money,
}

/// The frontier.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Frontier {
    /// The points, the cheapest first.
    pub points: Vec<Point>,
    /// The most that any of the candidates meet, within the limits.
    pub most: Option<Largest>,
    /// It reaches up to the most; otherwise time was up.
    pub is_complete: bool,
}

/// Finds the frontier. `most` is the largest share where it is known already.
pub fn frontier(search: &Search, case: &Case, most: Option<Largest>) -> Result<Frontier, LayoutError> {
    let most = match most {
        Some(most) => Some(most),
        None => match largest(&search.within(SHARE_OF_STEP), case, None)? {
            // Without it there is nothing else to find: it may have nearly all of the time.
            None if !search.is_over() => largest(&search.within(SHARE_OF_ALL), case, None)?,
            most => most,
        },
    };
    let mut frontier = Frontier { points: Vec::new(), most, is_complete: false };
    while frontier.points.len() < MOST_POINTS && !search.is_over() {
        let met = frontier.points.last().map(|point| point.largest.share);
        let (spent, least) = match met {
            None => (Money::ZERO, Money::ZERO),
            Some(met) => match least_for(&search.within(SHARE_OF_STEP), case, met + STEP)? {
                Least::Found { bought, bound } => (bought.a_year(search.layout), bound),
                Least::Nothing => {
                    frontier.is_complete = true;
                    break;
                }
                Least::OutOfTime => break,
            },
        };
        let Some(largest) = largest(&search.within(SHARE_OF_STEP), case, Some(spent.units()))? else { break };
        if met.is_some_and(|met| largest.share < met + STEP / 2.0) {
            break;
        }
        let a_year = largest.bought.a_year(search.layout);
        frontier.points.push(Point { largest, a_year, least });
    }
    Ok(frontier)
}
