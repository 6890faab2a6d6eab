//! The parts of a plan that are planned anew, and their order.

use cellarwright_model::ids::BeerId;

use crate::compile::columns::about::About;
use crate::compile::columns::beers::pairs;
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
    pub fn is_free(&self, about: &About, column: usize) -> bool {
        match self {
            Self::Periods(first, last) => about.is_in(column, *first, *last),
            Self::Beers(beers) => about.is_of(column, beers),
        }
    }
}

/// Days from the first to the last.
pub fn of_days(context: &Context) -> Vec<Part> {
    let shifts = context.case.calendar.shifts.len();
    let end = context.grid.len();
    let firsts = (0..end).step_by(NEXT * shifts);
    firsts.map(|first| Part::Periods(first, (first + DAYS * shifts - 1).min(end - 1))).collect()
}

/// All parts in their order: each beer, days from the first to the last, each pair of beers.
pub fn all(context: &Context) -> Vec<Part> {
    let beers: Vec<BeerId> = context.case.beer_ids().collect();
    let mut all: Vec<Part> = beers.iter().map(|&beer| Part::Beers(vec![beer])).collect();
    all.extend(of_days(context));
    all.extend(pairs(&beers).into_iter().map(Part::Beers));
    all
}
