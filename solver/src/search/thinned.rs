//! A program without what its relaxation prices out: columns of the look-ahead and amounts that stand at a bound in the relaxation
//! and of which one unit costs much. It is far smaller to HiGHS, and its best plan is seldom worse than that of the whole program.

use std::sync::{Mutex, PoisonError};

use crate::answer::{Observer, Options, Progress};
use crate::compile::program::Program;
use crate::highs::{self, HighsError, Purpose, Relaxation};

/// Share of what the relaxation earns that a unit of a column must cost to be left out. Measured: see DEVELOPERS.md.
const SHARE: f64 = 0.00025;
/// What the share is multiplied by when the program without those columns has no solution.
const WIDER: f64 = 4.0;
/// Tries at most.
const TRIES: i32 = 3;
/// Bounds of the thinned program that are waited for: that of its relaxation, and one with each round of cuts.
const BOUNDS: usize = 6;

/// A thinned program.
pub struct Thinned {
    pub program: Program,
    /// What a unit of a column must cost to be left out.
    pub much: f64,
    /// What no plan of it beats, as the relaxation with cuts says.
    pub bound: f64,
}

/// Thins a program by its relaxation. None if there is nothing left of it, or no bound in time.
///
/// # Errors
/// If HiGHS fails.
pub fn thin(
    program: &Program,
    relaxation: &Relaxation,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Option<Thinned>, HighsError> {
    let earned: f64 = program
        .columns
        .iter()
        .zip(&relaxation.values)
        .map(|(column, value)| (column.cost * value).max(0.0))
        .sum();
    let mut much = earned * SHARE;
    for _ in 0..TRIES {
        let thinned = without_what_costs(program, relaxation, much);
        match bound_with_cuts(&thinned, options, scale, observer) {
            Err(HighsError::Infeasible) => much *= WIDER,
            bound => return Ok(bound?.map(|bound| Thinned { program: thinned, much, bound })),
        }
    }
    Ok(None)
}

/// The program with every amount kept at its bound that costs more than `much` by the unit.
pub fn without_what_costs(program: &Program, relaxation: &Relaxation, much: f64) -> Program {
    let mut thinned = program.clone();
    let priced = relaxation.values.iter().zip(&relaxation.reduced_costs);
    for (column, (&value, &cost)) in thinned.columns.iter_mut().zip(priced) {
        if column.is_integer || cost.abs() <= much {
            continue;
        }
        if (value - column.lower).abs() < 1e-7 {
            column.upper = column.lower;
        } else if (value - column.upper).abs() < 1e-7 {
            column.lower = column.upper;
        }
    }
    thinned
}

/// Bounds as cuts lower them.
struct Bounds<'a> {
    observer: &'a dyn Observer,
    found: Mutex<Vec<f64>>,
}

impl Observer for Bounds<'_> {
    fn progress(&self, _progress: Progress) {}

    fn stop(&self) -> bool {
        self.observer.stop()
    }

    fn stop_at(&self, bound: Option<f64>) -> bool {
        let mut found = self.found.lock().unwrap_or_else(PoisonError::into_inner);
        let last = found.last().copied().unwrap_or(f64::INFINITY);
        found.extend(bound.filter(|&bound| bound < last));
        found.len() >= BOUNDS || self.stop()
    }
}

fn bound_with_cuts(
    thinned: &Program,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Option<f64>, HighsError> {
    let bounds = Bounds { observer, found: Mutex::new(Vec::new()) };
    let solved = highs::solve_for(thinned, Purpose::Cuts, options, scale, &bounds)?;
    let found = bounds.found.into_inner().unwrap_or_else(PoisonError::into_inner);
    let last = found.last().copied().unwrap_or(solved.bound);
    Ok(last.is_finite().then_some(last))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::NoObserver;
    use cellarwright_model::rule::RuleId;

    /// Batches of two into an order of three, and a dear way to fill the rest: `2 batches + rest = 3`.
    fn order_of_three(rest_costs: f64) -> Program {
        let mut program = Program::default();
        let batches = program.column(0.0, 5.0, true);
        let rest = program.column(0.0, 3.0, false);
        program.earn(batches, 100.0);
        program.earn(rest, -rest_costs);
        program.equal(RuleId::FillLevel, vec![(batches, 2.0), (rest, 1.0)], 3.0);
        program
    }

    #[test]
    fn what_is_priced_out_is_left_out_and_whole_numbers_are_not() {
        // The relaxation makes one and a half batches; a unit of the rest costs its price and half a batch.
        let program = order_of_three(0.02);
        let relaxation = highs::relax(&program, 10.0, &NoObserver).unwrap().unwrap();
        assert!((relaxation.bound - 150.0).abs() < 1e-6);
        assert!((relaxation.values[0] - 1.5).abs() < 1e-6);
        assert!((relaxation.reduced_costs[1].abs() - 50.02).abs() < 1e-6);
        assert_eq!(without_what_costs(&program, &relaxation, 60.0), program);
        let thinned = without_what_costs(&program, &relaxation, 40.0);
        assert_eq!(thinned.columns[1].upper, 0.0);
        assert_eq!(thinned.columns[0], program.columns[0]);
    }

    #[test]
    fn where_nothing_is_left_less_is_left_out() {
        // At first the rest is left out, and three cannot be made of twos; it earns 150 in the relaxation.
        let mut program = order_of_three(0.0);
        let spare = program.column(0.0, 1.0, false);
        program.earn(spare, 100_000.0);
        let relaxation = highs::relax(&program, 10.0, &NoObserver).unwrap().unwrap();
        let options = Options { threads: 1, ..Options::default() };
        let thinned = thin(&program, &relaxation, &options, 100.0, &NoObserver).unwrap().unwrap();
        assert!(thinned.program.columns[1].upper > 0.0);
        assert!(thinned.bound >= 100_100.0 - 1e-6, "one batch and the spare, {}", thinned.bound);
    }
}
