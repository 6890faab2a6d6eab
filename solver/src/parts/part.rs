//! The parts of a plan that are planned anew, and their order.

use cellarwright_model::ids::BeerId;

use super::columns::Columns;
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
    pub fn is_free(&self, columns: &Columns, column: usize) -> bool {
        match self {
            Self::Periods(first, last) => columns.is_in(column, *first, *last),
            Self::Beers(beers) => columns.is_of(column, beers),
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

/// All parts in their order: days from the first to the last, each beer, each pair of beers.
pub fn all(context: &Context) -> Vec<Part> {
    let mut all = of_days(context);
    let beers: Vec<BeerId> = context.case.beer_ids().collect();
    all.extend(beers.iter().map(|&beer| Part::Beers(vec![beer])));
    all.extend(pairs(&beers).into_iter().map(Part::Beers));
    all
}
