//! A better cycle where the search as a whole does not come to its end: from the best cycle so far the batches of a few beers at a time are free, those of all others
//! stay as they are. Each step is a small program, and never makes the cycle worse. Bounds do not come from here.

use std::collections::BTreeSet;
use std::time::Instant;

use cellarwright_model::ids::BeerId;

use super::fold::Folded;
use crate::answer::{Observer, Options, Progress, Untold};
use crate::compile::columns::beers::{of_batches, pairs};
use crate::compile::context::Context;
use crate::compile::program::Program;
use crate::highs::{self, HighsError};

/// Seconds for one step at most.
const STEP: f64 = 6.0;
/// Gap to which a step is solved.
const STEP_GAP: f64 = 1e-3;

/// The beer whose batches and lots each column of a cycle counts; none for what all beers share.
pub fn beers(context: &Context, folded: &Folded) -> Vec<Option<BeerId>> {
    let mut beers = vec![None; folded.program.columns.len()];
    for (&column, beer) in folded.columns.iter().zip(of_batches(context)) {
        if let (Some(column), Some(beer)) = (column, beer) {
            beers[column.0] = Some(beer);
        }
    }
    beers
}

/// What a search for a better cycle works with.
pub struct Improving<'a> {
    /// The program of the cycle.
    pub program: &'a Program,
    /// By column, the beer.
    pub beers: &'a [Option<BeerId>],
    /// Threads, seed; `seconds` in all, from `started` on.
    pub options: Options,
    /// When the whole began.
    pub started: Instant,
    /// A unit of the program in units of the objective.
    pub to_units: f64,
    /// Watches, and may stop it.
    pub observer: &'a dyn Observer,
}

impl Improving<'_> {
    fn left(&self) -> f64 {
        self.options.seconds - self.started.elapsed().as_secs_f64()
    }

    /// The best point with the batches of all beers as they are but for those of some.
    fn step(&self, values: &[f64], free: &[BeerId]) -> Result<Option<Vec<f64>>, HighsError> {
        let is_free = |column: usize| self.beers[column].is_none_or(|beer| free.contains(&beer));
        let program = self.program.as_at(values, is_free);
        let options = Options { seconds: STEP.min(self.left()), gap: STEP_GAP, ..self.options };
        // Bounds of steps are no bounds: nobody is told of them.
        match highs::solve(&program, &options, self.to_units, &Untold(self.observer)) {
            Ok(solved) => Ok(solved.values),
            // What was kept is a point of the program; of what was only said to be one this is the answer.
            Err(HighsError::Infeasible) => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// A point with these numbers of batches, whatever else belongs to it; none if there is none in time.
    ///
    /// # Errors
    /// If HiGHS fails.
    pub fn finished(&self, values: &[f64]) -> Result<Option<Vec<f64>>, HighsError> {
        self.step(values, &[])
    }

    /// The best cycle that comes of freeing two beers at a time, until a whole round is in vain or time is up.
    ///
    /// # Errors
    /// If HiGHS fails.
    pub fn improved(&self, start: Vec<f64>) -> Result<Vec<f64>, HighsError> {
        let all: Vec<BeerId> =
            self.beers.iter().flatten().copied().collect::<BTreeSet<_>>().into_iter().collect();
        let sets = pairs(&all);
        let mut best = start;
        let mut in_vain = 0;
        for set in sets.iter().cycle() {
            if in_vain >= sets.len() || self.left() < 0.1 || self.observer.stop() {
                break;
            }
            in_vain += 1;
            if let Some(found) = self.step(&best, set)?
                && self.program.objective(&found) > self.program.objective(&best) + 0.5 / self.to_units
            {
                best = found;
                in_vain = 0;
                let value = self.program.objective(&best);
                let seconds = self.started.elapsed().as_secs_f64();
                self.observer.progress(Progress { seconds, best: Some(value), bound: None });
            }
        }
        Ok(best)
    }
}
