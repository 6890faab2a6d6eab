//! Two searches side by side: one of the whole program, which proves the bound, and one of a thinned program (`thinned`), which
//! finds a good plan sooner. The first ends as soon as its bound is near enough to the plan of the second.
//!
//! The same program and options give the same answer however fast either search is: the plan of the thinned program is waited
//! for, and the bound that counts is the first that is near enough to it.

mod thinned;

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, OnceLock, PoisonError};

use crate::answer::{NoObserver, Observer, OnlyStop, Options, Progress};
use crate::compile::program::Program;
use crate::highs::{self, HighsError, Purpose, SHARE_OF_GAP, Solved};

/// Nonzeros from which a second search pays. Measured: see DEVELOPERS.md.
const LEAST_NONZEROS: usize = 30_000;

/// Solves a program to a gap.
///
/// # Errors
/// If HiGHS fails or says that there is no solution.
pub fn solve(
    program: &Program,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    if program.size().nonzeros < LEAST_NONZEROS {
        return highs::solve(program, options, scale, observer);
    }
    side_by_side(program, options, scale, observer)
}

/// The best of a program in fractions, in units of the objective, rounded up; none if there was no time for it.
///
/// # Errors
/// If HiGHS fails.
pub fn relaxed(program: &Program, options: &Options, to_units: f64) -> Result<Option<i64>, HighsError> {
    let solved = highs::solve(&program.relaxed(), options, to_units, &NoObserver)?;
    // HiGHS keeps its rows to a tolerance: a millionth is more than that can be worth.
    let best = solved.bound * to_units;
    Ok(Some((best + 1e-6 * best.abs()).ceil() as i64).filter(|_| best.is_finite() && best.abs() < 9e17))
}

fn side_by_side(
    program: &Program,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    let pair = Pair {
        observer,
        gap: options.gap.max(0.0) * SHARE_OF_GAP,
        unit: 1.0 / scale,
        plan: OnceLock::new(),
        bounds: Mutex::new(Vec::new()),
        is_over: AtomicBool::new(false),
    };
    let find = || {
        // What it finds is told of when it is done.
        let beside = OnlyStop(|| observer.stop() || pair.is_over.load(Ordering::Relaxed));
        if let Some(values) = thinned::find(program, options, scale, &beside) {
            let objective = program.objective(&values);
            let _ = pair.plan.set(Plan { values, objective });
        }
    };
    let prove = || {
        let solved = highs::solve_for(program, Purpose::Bound, options, scale, &pair);
        let is_complete = solved.as_ref().is_ok_and(|solved| solved.is_complete);
        if !is_complete && !pair.is_near_enough() {
            pair.is_over.store(true, Ordering::Relaxed);
        }
        solved
    };
    // HiGHS keeps its number of threads for each thread that calls it: the second search has a thread of its own, and one only.
    let solved = if options.threads == 1 {
        find();
        prove()
    } else {
        std::thread::scope(|scope| {
            scope.spawn(find);
            prove()
        })
    };
    Ok(pair.better(program, solved?))
}

/// A plan of the thinned program, which keeps the whole one too.
struct Plan {
    values: Vec<f64>,
    objective: f64,
}

/// What the two searches know of each other.
struct Pair<'a> {
    observer: &'a dyn Observer,
    /// Relative gap to be reached.
    gap: f64,
    /// Absolute gap at which bound and objective meet.
    unit: f64,
    plan: OnceLock<Plan>,
    /// Bounds in the order in which they were proven.
    bounds: Mutex<Vec<f64>>,
    /// The search of the whole program was stopped or failed.
    is_over: AtomicBool,
}

impl Pair<'_> {
    fn is_within(&self, bound: f64, objective: f64) -> bool {
        bound - objective <= (self.gap * objective.abs()).max(self.unit)
    }

    fn is_near_enough(&self) -> bool {
        self.plan.get().is_some_and(|plan| self.first_bound_near(plan).is_some())
    }

    fn first_bound_near(&self, plan: &Plan) -> Option<f64> {
        let bounds = self.bounds.lock().unwrap_or_else(PoisonError::into_inner);
        bounds.iter().copied().find(|&bound| self.is_within(bound, plan.objective))
    }

    /// What both searches come to.
    fn better(self, program: &Program, whole: Solved) -> Solved {
        self.note(whole.bound);
        let Some(plan) = self.plan.get() else { return whole };
        let values = Some(plan.values.clone());
        if whole.bound < plan.objective - 1e-6 * plan.objective.abs().max(1.0) {
            // A bound that a plan beats is no bound.
            return Solved { values, bound: f64::INFINITY, is_complete: false };
        }
        if let Some(bound) = self.first_bound_near(plan) {
            return Solved { values, bound: bound.max(plan.objective), is_complete: true };
        }
        let objective = whole.values.as_ref().map(|values| program.objective(values));
        let is_better = !whole.is_complete && objective.is_none_or(|objective| plan.objective > objective);
        if is_better { Solved { values, ..whole } } else { whole }
    }

    fn note(&self, bound: f64) {
        let mut bounds = self.bounds.lock().unwrap_or_else(PoisonError::into_inner);
        if bounds.last().is_none_or(|&last| bound < last) {
            bounds.push(bound);
        }
    }
}

impl Observer for Pair<'_> {
    fn progress(&self, progress: Progress) {
        let found = self.plan.get().map(|plan| plan.objective);
        let best = progress.best.into_iter().chain(found).reduce(f64::max);
        self.observer.progress(Progress { best, ..progress });
    }

    fn stop(&self) -> bool {
        self.observer.stop()
    }

    fn stop_at(&self, bound: Option<f64>) -> bool {
        if let Some(bound) = bound {
            self.note(bound);
        }
        self.observer.stop_at(bound) || self.is_near_enough()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::program::ColumnId;
    use cellarwright_model::rule::RuleId;

    /// Sixty items of which some may be cut, into eight sacks: weights and values by a fixed rule.
    fn sacks() -> Program {
        let mut program = Program::default();
        let columns: Vec<ColumnId> =
            (0..60).map(|number| program.column(0.0, 1.0, number % 4 != 0)).collect();
        for (number, &column) in columns.iter().enumerate() {
            program.earn(column, (11 + number * 7 % 23) as f64);
        }
        for sack in 1..9 {
            let weights = columns.iter().enumerate();
            let terms = weights.map(|(number, &column)| (column, (3 + number * (sack + 4) % 17) as f64));
            program.at_most(RuleId::FillLevel, terms.collect(), 150.0);
        }
        program
    }

    fn pair(bounds: Vec<f64>, objective: f64) -> Pair<'static> {
        let plan = OnceLock::from(Plan { values: vec![1.0], objective });
        let (bounds, is_over) = (Mutex::new(bounds), AtomicBool::new(false));
        Pair { observer: &NoObserver, gap: 0.01, unit: 0.01, plan, bounds, is_over }
    }

    fn whole(bound: f64, is_complete: bool) -> Solved {
        Solved { values: None, bound, is_complete }
    }

    #[test]
    fn side_by_side_comes_to_what_one_search_comes_to() {
        comes_to_the_same(2);
    }

    #[test]
    fn with_one_thread_one_search_after_the_other_comes_to_the_same() {
        comes_to_the_same(1);
    }

    fn comes_to_the_same(threads: i32) {
        let program = sacks();
        let options = Options { gap: 0.0, threads, ..Options::default() };
        let one = highs::solve(&program, &options, 1e6, &NoObserver).unwrap();
        let best = program.objective(&one.values.unwrap());
        for gap in [0.0, 0.01] {
            let options = Options { gap, ..options };
            let two = side_by_side(&program, &options, 1e6, &NoObserver).unwrap();
            let found = program.objective(&two.values.unwrap());
            assert!(two.is_complete);
            assert!(found <= best + 1e-6 && found >= best * (1.0 - gap) - 1e-6, "{found} for {best}");
            assert!(two.bound >= best - 1e-6);
            assert!(two.bound - found <= gap * found + 1e-5);
        }
    }

    #[test]
    fn side_by_side_is_repeatable_whichever_search_is_faster() {
        let program = sacks();
        let options = Options { gap: 0.01, ..Options::default() };
        let first = side_by_side(&program, &options, 100.0, &NoObserver).unwrap();
        for _ in 0..10 {
            let again = side_by_side(&program, &options, 100.0, &NoObserver).unwrap();
            assert_eq!((again.values, again.bound), (first.values.clone(), first.bound));
        }
    }

    #[test]
    fn the_first_bound_that_is_near_enough_counts_however_far_the_search_went_on() {
        let solved = pair(vec![120.0, 100.9, 100.5], 100.0).better(&Program::default(), whole(100.2, false));
        assert_eq!(solved.bound, 100.9);
        assert!(solved.is_complete && solved.values.is_some());
        let solved = pair(vec![120.0], 100.0).better(&Program::default(), whole(110.0, false));
        assert_eq!(solved.bound, 110.0);
        assert!(!solved.is_complete && solved.values.is_some());
    }

    #[test]
    fn a_bound_that_the_plan_of_the_other_search_beats_is_not_believed() {
        let solved = pair(vec![120.0], 100.0).better(&Program::default(), whole(99.0, true));
        assert!(solved.bound.is_infinite());
        assert!(!solved.is_complete);
    }
}
