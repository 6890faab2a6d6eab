//! What every step of the search needs: the case, the time that is left, and one solve of one way to choose people, shifts and lines.

use std::time::{Duration, Instant};

use cellarwright_model::case::{Case, Layout};
use cellarwright_model::units::Money;

use super::program::{Besides, Sought, whole};
use super::{Bought, LayoutError};
use crate::answer::{Observer, Options, Untold};
use crate::highs::{self, HighsError};

/// A search and its part of the time.
#[derive(Clone, Copy)]
pub struct Search<'a> {
    /// The case as it is.
    pub case: &'a Case,
    /// What is asked for and what can be bought.
    pub layout: &'a Layout,
    /// Weeks of a cycle.
    pub weeks: usize,
    /// How well to search.
    pub options: Options,
    /// When it has to end.
    pub end: Instant,
    /// Asks for a stop.
    pub observer: &'a dyn Observer,
}

/// What one solve says.
pub struct Point {
    /// Vessels that are bought, by offer, and the objective; none where no point was found.
    pub best: Option<(Vec<i64>, f64)>,
    /// No point is better.
    pub bound: f64,
    /// The search came to its own end.
    pub is_complete: bool,
}

impl<'a> Search<'a> {
    /// The same with a share of the time that is left.
    pub fn within(&self, share: f64) -> Search<'a> {
        let seconds = self.seconds_left() * share.clamp(0.0, 1.0);
        Search { end: Instant::now() + Duration::from_secs_f64(seconds), ..*self }
    }

    /// The same with another seed.
    pub fn again(&self, seed: i32) -> Search<'a> {
        let seed = self.options.seed.wrapping_add(seed).max(0);
        Search { options: Options { seed, ..self.options }, ..*self }
    }

    fn seconds_left(&self) -> f64 {
        self.end.saturating_duration_since(Instant::now()).as_secs_f64()
    }

    /// Options of a solve that has all the time that is left.
    pub fn left(&self) -> Options {
        Options { seconds: self.seconds_left().max(0.01), ..self.options }
    }

    /// Whether time is up, or a stop is asked for.
    pub fn is_over(&self) -> bool {
        self.observer.stop() || Instant::now() >= self.end
    }

    /// Every way to choose people, shifts and lines, how often each is had; the cheapest first.
    pub fn ways(&self) -> Vec<Vec<i64>> {
        let mut all = vec![Vec::new()];
        for further in &self.layout.further {
            let longer = |way: &Vec<i64>| -> Vec<Vec<i64>> {
                (0..=further.at_most).map(|times| [way.clone(), vec![times]].concat()).collect()
            };
            all = all.iter().flat_map(longer).collect();
        }
        all.sort_by_key(|way| (self.besides(way).a_year, way.clone()));
        all
    }

    /// What a way costs.
    pub fn besides(&self, way: &[i64]) -> Besides {
        let bought = Bought { vessels: Vec::new(), further: way.to_vec() };
        Besides {
            price: bought.price(self.layout),
            floor: bought.floor(self.layout).0,
            a_year: bought.a_year(self.layout),
        }
    }

    /// What a way costs a year, in money.
    pub fn a_year(&self, way: &[i64]) -> f64 {
        self.besides(way).a_year.units()
    }

    /// Solves a case, as it is but for its routes or resources, with one way. None if there is nothing.
    pub fn solve(&self, case: &Case, way: &[i64], sought: Sought) -> Result<Option<Point>, LayoutError> {
        let case = with_way(self.layout, case, way);
        let whole = whole(self, &case, self.besides(way), sought, self.weeks)?;
        let (options, scale) = match sought {
            Sought::Cost { .. } | Sought::Purchases { .. } => (self.left(), 100.0),
            Sought::Share { .. } => {
                (Options { gap: self.options.gap.min(super::share::SAME), ..self.left() }, 1e6)
            }
        };
        match highs::solve(&whole.program, &options, scale, &Untold(self.observer)) {
            Ok(solved) => {
                let best = solved.values.map(|values| {
                    let vessels = whole.vessels(self.layout.vessels.len(), &values);
                    (vessels, whole.program.objective(&values))
                });
                Ok(Some(Point { best, bound: solved.bound, is_complete: solved.is_complete }))
            }
            Err(HighsError::Infeasible) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Whether nothing of a case answers, whichever way is chosen that costs less than `most` a year; not shown where time is up.
    pub fn finds_nothing(&self, case: &Case, most: f64, sought: Sought) -> Result<bool, LayoutError> {
        let ways: Vec<Vec<i64>> = self.ways().into_iter().filter(|way| self.a_year(way) < most).collect();
        for (place, way) in ways.iter().enumerate() {
            if self.is_over() {
                return Ok(false);
            }
            let part = self.within(1.0 / (ways.len() - place) as f64);
            if part.solve(case, way, sought)?.is_some() {
                return Ok(false);
            }
        }
        Ok(true)
    }
}

/// A case with the people, shifts and lines of a way.
pub fn with_way(layout: &Layout, case: &Case, way: &[i64]) -> Case {
    let further = layout.further.iter().zip(way);
    further.fold(case.clone(), |case, (further, &times)| case.with_change(further.change, times))
}

/// In whole cents, rounded down: a bound from below.
pub fn cents_below(money: f64) -> Option<Money> {
    let cents = (money * 100.0 - 1e-6 * money.abs().max(1.0)).floor();
    (cents.is_finite() && cents.abs() < 9e17).then_some(Money(cents as i64))
}
