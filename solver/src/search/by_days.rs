//! A plan of a few days out of the relaxation, some days after another (`relax_and_fix`), then made better where it differs from the relaxation.

use std::sync::PoisonError;
use std::sync::atomic::{AtomicBool, Ordering};

use super::goal::Search;
use super::relax_and_fix::{Good, Order, Step, Steps};
use crate::answer::{Options, Within};
use crate::compile::context::Context;
use crate::compile::program::Program;
use crate::highs::{self, HighsError, Purpose, Relaxation};

/// Days whose whole numbers are decided at once, and how many of them are decided anew with the next. Measured: see DEVELOPERS.md.
const DAYS: usize = 2;
const ANEW: usize = 1;
/// Days planned in full up to which it pays.
const MOST_DAYS: usize = 14;
/// Iterations that a step has at most, and a search for something better than what is there.
const STEP: i64 = 50_000;
const BETTER: i64 = 20_000;
/// Rounds at most in which the plan is made better.
const ROUNDS: usize = 3;
/// Shares of the gap asked for: how near to its best the first step is to come, how near all others, and what a step may lose.
const FIRST: f64 = 1.0;
const LATER: f64 = 0.3;
const LOSS: f64 = 0.4;

/// The days of a program.
#[derive(Debug)]
pub struct ByDays {
    order: Order,
    steps: Steps,
}

impl ByDays {
    /// Those of a program; none where too many are planned.
    pub fn new(context: &Context) -> Option<Self> {
        let is_meant = context.case.calendar.planned_days <= MOST_DAYS;
        is_meant.then(|| Self { order: Order::new(context), steps: Steps::of_days(context, DAYS, ANEW) })
    }

    /// Makes plans and puts each in `search.in_case`, until one is near enough to what is proven, none better is found, or a goal is found.
    ///
    /// # Errors
    /// If a search fails.
    pub fn climb(
        &self,
        search: &Search,
        relaxation: &Relaxation,
        is_found: &AtomicBool,
    ) -> Result<(), HighsError> {
        let is_over = || is_found.load(Ordering::SeqCst) || search.is_cut_short();
        let one = |program: &Program, purpose, share: f64, iterations| {
            let (gap, seconds) = (search.options.gap * share, search.left());
            let options = Options { gap, seconds, threads: 1, ..search.options };
            let within = Within { observer: search.observer, is_over, iterations: Some(iterations) };
            match highs::solve_for(program, purpose, &options, search.scale, &within) {
                Err(HighsError::Infeasible) => Ok(None),
                solved => Ok(solved?.values),
            }
        };
        let mut failed = None;
        let mut of_step = |program: &Program, step| {
            let found = match step {
                Step::First => one(program, Purpose::PlanAndBound, FIRST, STEP),
                Step::Later => one(program, Purpose::PlanAndBound, LATER, STEP),
                Step::Again(f64::NEG_INFINITY) => one(program, Purpose::PlanAndBound, LATER, BETTER),
                Step::Again(worth) => one(program, Purpose::Above(worth), LATER, BETTER),
            };
            found.unwrap_or_else(|error| {
                failed = Some(error);
                None
            })
        };
        let good = || Good {
            loss: LOSS * search.options.gap * relaxation.bound.abs(),
            worth: search.with(|known| known.enough()),
        };
        let order = &self.order;
        let point = order.decide(search.program, relaxation, self.steps, &good, &mut of_step, &is_over);
        if let Some(error) = failed {
            return Err(error);
        }
        let Some(mut point) = point else { return Ok(()) };
        let worth = |point: &[f64]| search.program.objective(point);
        let mut rounds = 0..ROUNDS;
        loop {
            *search.in_case.lock().unwrap_or_else(PoisonError::into_inner) = Some(point.clone());
            let is_enough = search.with(|known| known.is_enough(worth(&point)));
            if is_enough || is_over() || rounds.next().is_none() {
                return Ok(());
            }
            // What came to the program after its relaxation is decided anew too.
            let differs = |column: usize| {
                let relaxed = relaxation.values.get(column);
                relaxed.is_none_or(|&relaxed| (point[column] - relaxed).abs() > 1e-6)
            };
            let near = search.program.as_at(&point, differs);
            match one(&near, Purpose::Above(worth(&point)), LATER, BETTER)? {
                Some(better) if worth(&better) > worth(&point) => point = better,
                _ => return Ok(()),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use cellarwright_model::tolerance::FEASIBILITY;
    use cellarwright_model::yaml::read_case;

    use super::*;
    use crate::answer::{NoObserver, Observer, OnlyStop};
    use crate::compile::compile;
    use crate::side_by_side::alone;

    /// What is made by days of the brewpub's two weeks where so much is known to be the most, and what the best plan is worth.
    fn made(most: Option<f64>, is_found: bool, observer: &dyn Observer) -> (Option<f64>, f64) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/brewpub/brewplan.yaml");
        let case = read_case(&path).case.unwrap();
        let context = compile(&case, &Default::default());
        let program = &context.program;
        let options = Options { threads: 1, ..Options::default() };
        alone(|| {
            let exact = highs::solve(program, &options, 100.0, &NoObserver).unwrap();
            let best = program.objective(&exact.values.unwrap());
            let relaxation = highs::relax(program, 60.0, &NoObserver).unwrap().unwrap();
            let search = Search::new(program, most.unwrap_or(exact.bound), &options, 100.0, observer);
            let by_days = ByDays::new(&context).unwrap();
            by_days.climb(&search, &relaxation, &AtomicBool::new(is_found)).unwrap();
            let point = search.in_case.into_inner().unwrap();
            if let Some(point) = &point {
                assert!(program.worst_breach(point) <= 100.0 * FEASIBILITY);
            }
            (point.map(|point| program.objective(&point)), best)
        })
    }

    #[test]
    fn a_plan_made_by_days_keeps_the_rules_and_is_worth_nearly_as_much_as_the_best() {
        let (by_days, best) = made(None, false, &NoObserver);
        let by_days = by_days.unwrap();
        assert!(by_days >= best - 0.02 * best.abs(), "{by_days} of {best}");
        // Whatever is thought to be the most: then it is only looked for longer.
        let (longer, _) = made(Some(10.0 * best.abs()), false, &NoObserver);
        assert!(longer.unwrap() >= best - 0.02 * best.abs(), "{longer:?} of {best}");
    }

    #[test]
    fn nothing_is_made_by_days_once_a_goal_is_found_or_a_stop_is_asked_for() {
        assert_eq!(made(None, true, &NoObserver).0, None);
        assert_eq!(made(None, false, &OnlyStop(|| true)).0, None);
    }
}
