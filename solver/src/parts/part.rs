//! The parts of a plan that are planned anew, and their order.

use cellarwright_model::ids::BeerId;

use super::columns::Columns;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;

/// Days of a part, and days by which the next begins later. Measured: see DEVELOPERS.md.
const DAYS: usize = 7;
const NEXT: usize = 3;

/// What is planned anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// All work of some periods, and what reaches into them.
    Periods(PeriodId, PeriodId),
    /// All work of some beers.
    Beers(Vec<BeerId>),
}

impl Part {
    /// Whether a column is decided anew.
    pub fn is_free(&self, columns: &Columns, column: usize) -> bool {
        match self {
            Self::Periods(first, last) => columns.is_in(column, *first, *last),
            Self::Beers(beers) => columns.is_of(column, beers),
        }
    }
}

/// All parts in their order: days from the first to the last, each beer, each pair of beers.
pub fn all(context: &Context) -> Vec<Part> {
    let shifts = context.case.calendar.shifts.len();
    let end = context.grid.len();
    let mut all: Vec<Part> = (0..end)
        .step_by(NEXT * shifts)
        .map(|first| Part::Periods(first, (first + DAYS * shifts - 1).min(end - 1)))
        .collect();
    let beers: Vec<BeerId> = context.case.beer_ids().collect();
    all.extend(beers.iter().map(|&beer| Part::Beers(vec![beer])));
    all.extend(pairs(&beers).into_iter().map(Part::Beers));
    all
}

/// Each pair once: first of those that stand beside each other, then of those that are farther apart.
fn pairs(beers: &[BeerId]) -> Vec<Vec<BeerId>> {
    let mut pairs = Vec::new();
    for apart in 1..beers.len() {
        pairs.extend(beers.iter().zip(&beers[apart..]).map(|(&one, &other)| vec![one, other]));
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pair_comes_once_and_neighbours_first() {
        let beers: Vec<BeerId> = (0..4).map(BeerId).collect();
        let places: Vec<Vec<usize>> =
            pairs(&beers).iter().map(|pair| pair.iter().map(|beer| beer.0).collect()).collect();
        assert_eq!(places, [[0, 1], [1, 2], [2, 3], [0, 2], [1, 3], [0, 3]]);
        assert!(pairs(&beers[..1]).is_empty() && pairs(&[]).is_empty());
    }
}
