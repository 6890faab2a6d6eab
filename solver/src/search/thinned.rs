//! A program without what its relaxation prices out: columns of the look-ahead and amounts that stand at a bound in the relaxation
//! and of which one unit costs much. It is far smaller to HiGHS, and its best plan is seldom worse than that of the whole program.

use crate::answer::{Observer, Options};
use crate::compile::program::Program;
use crate::highs::{self, HighsError, Purpose, Relaxation};

/// Share of what the relaxation earns that a unit of a column must cost to be left out. Measured: see DEVELOPERS.md.
const SHARE: f64 = 0.00025;
/// What the share is multiplied by when the program without those columns has no solution.
const WIDER: f64 = 4.0;
/// Tries at most.
const TRIES: i32 = 3;
/// Share of the gap asked for that the plan may stay below the best of the thinned program.
const SHARE_OF_GAP: f64 = 0.5;
/// The least gap of a thinned search: what is nearer to the best is left to the search of the whole program.
const LEAST_GAP: f64 = 0.001;

/// A plan of the thinned program: values of all columns. None if there is none in time.
pub fn find(program: &Program, options: &Options, scale: f64, observer: &dyn Observer) -> Option<Vec<f64>> {
    let started = std::time::Instant::now();
    let left = || options.seconds - started.elapsed().as_secs_f64();
    let relaxation = highs::relax(program, left()).ok()??;
    let earned: f64 = program
        .columns
        .iter()
        .zip(&relaxation.values)
        .map(|(column, value)| (column.cost * value).max(0.0))
        .sum();
    let gap = (options.gap * SHARE_OF_GAP).max(LEAST_GAP);
    let mut much = earned * SHARE;
    for _ in 0..TRIES {
        if observer.stop() || left() < 0.0 {
            return None;
        }
        let thinned = thin(program, &relaxation, much);
        let options = Options { gap, threads: 1, seconds: left(), ..*options };
        match highs::solve_for(&thinned, Purpose::Plan, &options, scale, observer) {
            Err(HighsError::Infeasible) => much *= WIDER,
            solved => return solved.ok()?.values,
        }
    }
    None
}

/// The program with every amount kept at its bound that costs more than `much` by the unit.
fn thin(program: &Program, relaxation: &Relaxation, much: f64) -> Program {
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
        let relaxation = highs::relax(&program, 10.0).unwrap().unwrap();
        assert!((relaxation.values[0] - 1.5).abs() < 1e-6);
        assert!((relaxation.reduced_costs[1].abs() - 50.02).abs() < 1e-6);
        assert_eq!(thin(&program, &relaxation, 60.0), program);
        let thinned = thin(&program, &relaxation, 40.0);
        assert_eq!(thinned.columns[1].upper, 0.0);
        assert_eq!(thinned.columns[0], program.columns[0]);
    }

    #[test]
    fn where_nothing_is_left_less_is_left_out() {
        // At first the rest is left out, and three cannot be made of twos; it earns 150 in the relaxation.
        let mut program = order_of_three(0.0);
        let spare = program.column(0.0, 1.0, false);
        program.earn(spare, 100_000.0);
        let options = Options { threads: 1, ..Options::default() };
        let values = find(&program, &options, 100.0, &NoObserver).unwrap();
        assert!((values[0] - 1.0).abs() < 1e-6 && (values[1] - 1.0).abs() < 1e-6);
    }
}
