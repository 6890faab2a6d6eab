//! A search towards a goal: a guess at what a plan is worth that can be found and proven to be near enough to the best.
//!
//! Two searches side by side settle it: one in a thinned program (`thinned`) for any plan worth the goal, one in the whole program
//! for any plan worth so much more that the first would not be near enough, which there seldom is. Where all but good plans are cut
//! off from the start, HiGHS fixes most columns at once, so both are far faster than one search for a best plan.
//!
//! Where the plan turns out to be impossible for a reason that the program did not know, the program comes back with more rows: what was
//! proven still holds, and first the plan is mended (`mended`): all but what is near the new rows stays as it is.
//!
//! How long a plan worth the goal takes is luck. So the first search has so many iterations, and a plan is made by days meanwhile (`by_days`),
//! where few are planned: it counts only where the first search found none with those, or was cut short, so that the answer does not depend
//! on which of them is faster. In very large programs it is made by days alone.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use super::TOO_MANY_NONZEROS;
use super::by_days::ByDays;
use super::known::Known;
use super::thinned::{self, Thinned};
use crate::answer::{Observer, Options, Progress, Untold, Within};
use crate::compile::program::Program;
use crate::highs::{self, HighsError, Purpose, Relaxation, SHARE_OF_GAP, Solved};
use crate::side_by_side::alone;

/// The first goal is so many gaps below the bound with cuts of the thinned program. Measured: see DEVELOPERS.md.
const FIRST_GOAL: f64 = 0.8;
/// A goal that no plan of the thinned program reaches is lowered by so many gaps.
const LOWER: f64 = 0.3;
/// The proof leaves a plan so many gaps below the goal near enough: a plan that has to be mended loses a little.
const SLACK: f64 = 0.1;
/// How many rows away from a new row what was planned may change, when a plan is mended.
const ROWS_AWAY: usize = 2;
/// Goals that are tried before the whole program is searched without one.
const GOALS: i32 = 3;
/// Iterations that the search for a plan worth the goal has at most where a plan is made by days too. Measured: see DEVELOPERS.md.
const ENOUGH: i64 = 20_000;

/// What a search leaves to that of the same program with more rows.
pub struct Learnt {
    relaxation: Relaxation,
    /// What a unit of a column must cost to be left out of the thinned program.
    much: f64,
    /// A gap, in units of the objective.
    step: f64,
    goal: f64,
    /// What no plan beats.
    bound: f64,
    /// Rows that it had.
    rows: usize,
    /// Its best plan.
    values: Option<Vec<f64>>,
}

/// What the searches share.
pub struct Search<'a> {
    pub program: &'a Program,
    pub options: Options,
    pub scale: f64,
    pub observer: &'a dyn Observer,
    started: Instant,
    known: Mutex<Known<'a>>,
    /// The best plan made by days.
    pub in_case: Mutex<Option<Vec<f64>>>,
}

/// Solves a program to a gap, and leaves what it learnt. A point of it may be known before, and what of it is decided on which day.
///
/// # Errors
/// If HiGHS fails or says that there is no solution.
pub fn solve(
    program: &Program,
    learnt: &mut Option<Learnt>,
    before: Option<Vec<f64>>,
    by_days: Option<&ByDays>,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Solved, HighsError> {
    let bound = learnt.as_ref().map_or(f64::INFINITY, |learnt| learnt.bound);
    let search = Search::new(program, bound, options, scale, observer);
    let is_begun = before.is_some();
    if let Some(values) = before {
        search.learn(|known| known.plan(values));
    }
    // HiGHS keeps its number of threads for each thread that calls it; every search towards a goal has one.
    *learnt = alone(|| search.towards_goals(learnt.take(), is_begun, by_days))?;
    if !search.is_over() {
        let rest = Options { seconds: search.left(), ..*options };
        match highs::solve(program, &rest, scale, observer) {
            // Where a plan is known, that is not so.
            Err(HighsError::Infeasible) if search.with(|known| known.best().is_some()) => {}
            whole => search.take(whole?),
        }
    }
    Ok(search.known.into_inner().unwrap_or_else(PoisonError::into_inner).solved())
}

impl<'a> Search<'a> {
    /// Of a program of which nothing is known but a bound.
    pub fn new(
        program: &'a Program,
        bound: f64,
        options: &Options,
        scale: f64,
        observer: &'a dyn Observer,
    ) -> Self {
        let known = Known::new(program, options.gap * SHARE_OF_GAP, 1.0 / scale, bound);
        let (known, in_case) = (Mutex::new(known), Mutex::new(None));
        Self { program, options: *options, scale, observer, started: Instant::now(), known, in_case }
    }

    /// Looks at what is known, or changes it.
    pub fn with<T>(&self, work: impl FnOnce(&mut Known<'a>) -> T) -> T {
        work(&mut self.known.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Seconds that are left.
    pub fn left(&self) -> f64 {
        self.options.seconds - self.started.elapsed().as_secs_f64()
    }

    /// Whether time is over, or a stop was asked for.
    pub fn is_cut_short(&self) -> bool {
        self.left() <= 0.0 || self.observer.stop()
    }

    fn is_over(&self) -> bool {
        let (is_near_enough, bound) = self.with(|known| (known.is_near_enough(), known.bound()));
        is_near_enough || self.left() <= 0.0 || self.observer.stop_at(bound.is_finite().then_some(bound))
    }

    /// Takes what was learnt, and tells of it.
    fn learn(&self, learnt: impl FnOnce(&mut Known<'a>)) {
        let (best, bound) = self.with(|known| {
            learnt(known);
            (known.best(), known.bound())
        });
        let bound = bound.is_finite().then_some(bound);
        self.observer.progress(Progress { seconds: self.started.elapsed().as_secs_f64(), best, bound });
    }

    /// Takes the bound of a search of the whole program, and its plan.
    fn take(&self, whole: Solved) {
        self.learn(|known| known.take(whole));
    }

    /// Tries goals until one does; returns what is to be known of the next program. A search is begun where a point was known before it.
    fn towards_goals(
        &self,
        learnt: Option<Learnt>,
        is_begun: bool,
        mut by_days: Option<&ByDays>,
    ) -> Result<Option<Learnt>, HighsError> {
        let Some((thinned, mut learnt)) = self.begin(learnt)? else { return Ok(None) };
        if let Some(values) = learnt.values.take() {
            let mended = mended(&thinned, &values, learnt.rows);
            self.at_least(&mended, learnt.goal - SLACK * learnt.step, None)?;
        }
        if is_begun && let Some(best) = self.with(|known| known.best()) {
            // It may be near enough to the best: that is to be proven, and no goal to be reached before.
            learnt.goal = learnt.goal.min(best);
        }
        for _ in 0..GOALS {
            if self.is_over() {
                break;
            }
            self.settle(&thinned, &learnt, by_days.take())?;
            // Either a plan is worth more than was thought possible, or the goal was too high.
            learnt.goal = self.with(|known| known.best()).unwrap_or(learnt.goal - LOWER * learnt.step);
        }
        (learnt.bound, learnt.values) = self.with(|known| (known.bound(), known.values().cloned()));
        learnt.rows = self.program.rows.len();
        Ok(Some(learnt))
    }

    /// The thinned program and a first goal. None if there is no time.
    fn begin(&self, learnt: Option<Learnt>) -> Result<Option<(Program, Learnt)>, HighsError> {
        if let Some(learnt) = learnt {
            let thinned = thinned::without_what_costs(self.program, &learnt.relaxation, learnt.much);
            return Ok(Some((thinned, learnt)));
        }
        let Some(relaxation) = highs::relax(self.program, self.left(), self.observer)? else {
            return Ok(None);
        };
        self.learn(|known| known.no_plan_above(relaxation.bound));
        let options = Options { threads: 1, seconds: self.left(), ..self.options };
        let stop = Untold(self.observer);
        let thinned = thinned::thin(self.program, &relaxation, &options, self.scale, &stop)?;
        Ok(thinned.filter(|_| !self.is_over()).map(|Thinned { program, much, bound }| {
            let step = self.options.gap * bound.abs();
            let goal = bound - FIRST_GOAL * step;
            (program, Learnt { bound: relaxation.bound, relaxation, much, step, goal, rows: 0, values: None })
        }))
    }

    /// Looks for a plan worth the goal, if there is none yet, and for one worth so much more that it would not do.
    fn settle(&self, thinned: &Program, learnt: &Learnt, by_days: Option<&ByDays>) -> Result<(), HighsError> {
        let goal = learnt.goal;
        let (limit, best, bound) = self.with(|known| {
            (known.near(goal - SLACK * learnt.step), known.best().unwrap_or(f64::NEG_INFINITY), known.bound())
        });
        let is_found = AtomicBool::new(best >= goal);
        let is_by_days_alone = by_days.is_some() && self.program.size().nonzeros >= TOO_MANY_NONZEROS;
        let find = || {
            if best < goal && !is_by_days_alone {
                let solved = self.at_least(thinned, goal, by_days.map(|_| ENOUGH))?;
                is_found.store(solved.is_found, Ordering::SeqCst);
            }
            Ok(())
        };
        let prove = || {
            if bound > limit {
                let proven = self.at_least(self.program, limit, None)?.bound;
                self.learn(|known| known.no_plan_above(proven.max(limit)));
            }
            Ok(())
        };
        let make = || by_days.map_or(Ok(()), |by_days| by_days.climb(self, &learnt.relaxation, &is_found));
        if self.options.threads == 1 {
            find()?;
            prove()?;
            make()?;
        } else {
            std::thread::scope(|scope| {
                let proof = scope.spawn(|| prove().and_then(|()| make()));
                // Where it fails, no plan is waited for.
                let found = find().inspect_err(|_| is_found.store(true, Ordering::SeqCst));
                match proof.join() {
                    Ok(proven) => found.and(proven),
                    Err(panic) => std::panic::resume_unwind(panic),
                }
            })?;
        }
        let in_case = self.in_case.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(values) = in_case.filter(|_| !is_found.into_inner()) {
            self.learn(|known| known.plan(values));
        }
        Ok(())
    }

    /// Looks for a plan worth at least so much, with so many iterations at most, and takes it.
    fn at_least(&self, program: &Program, least: f64, iterations: Option<i64>) -> Result<Sought, HighsError> {
        let options = Options { threads: 1, seconds: self.left(), ..self.options };
        let within = Within { observer: self.observer, is_over: || false, iterations };
        match highs::solve_for(program, Purpose::AtLeast(least), &options, self.scale, &within) {
            Err(HighsError::Infeasible) => Ok(Sought { is_found: false, bound: f64::NEG_INFINITY }),
            Err(other) => Err(other),
            Ok(solved) => {
                // HiGHS keeps what it comes by on its way, however little that is worth.
                let values = solved.values.filter(|values| program.objective(values) >= least);
                let is_found = values.is_some();
                if let Some(values) = values {
                    self.learn(|known| known.plan(values));
                }
                Ok(Sought { is_found, bound: solved.bound })
            }
        }
    }
}

/// What came of a search for a plan worth so much.
struct Sought {
    is_found: bool,
    /// What no plan of the program beats.
    bound: f64,
}

/// The program near a plan that keeps all of its first `rows`, but not the others: whole numbers that have little to do with the others stay
/// as they are in the plan.
fn mended(program: &Program, values: &[f64], rows: usize) -> Program {
    let mut is_free = vec![false; program.columns.len()];
    for row in &program.rows[rows..] {
        for &(column, _) in &row.terms {
            is_free[column.0] = true;
        }
    }
    for _ in 0..ROWS_AWAY {
        let was_free = is_free.clone();
        for row in &program.rows {
            if row.terms.iter().any(|&(column, _)| was_free[column.0]) {
                for &(column, _) in &row.terms {
                    is_free[column.0] = true;
                }
            }
        }
    }
    program.as_at(values, |column| is_free[column])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::{NoObserver, OnlyStop};
    use crate::compile::program::ColumnId;
    use cellarwright_model::rule::RuleId;

    /// A number from 0 to `most` that looks random.
    fn next(state: &mut u64, most: u64) -> f64 {
        *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((*state >> 33) % (most + 1)) as f64
    }

    /// Items of which some may be cut into sacks, with some that only go together.
    fn sacks(state: &mut u64, constant: f64) -> Program {
        let mut program = Program { constant, ..Program::default() };
        let columns: Vec<ColumnId> =
            (0..40).map(|number| program.column(0.0, 1.0, number % 4 != 0)).collect();
        for &column in &columns {
            program.earn(column, 10.0 + next(state, 30));
        }
        for _ in 0..6 {
            let terms: Vec<(ColumnId, f64)> =
                columns.iter().map(|&column| (column, next(state, 12))).collect();
            let all: f64 = terms.iter().map(|&(_, weight)| weight).sum();
            program.at_most(RuleId::FillLevel, terms, (all / 3.0).floor());
        }
        for pair in columns.chunks(7) {
            program.at_most(RuleId::FillLevel, vec![(pair[0], 1.0), (pair[1], -1.0)], 0.0);
        }
        program
    }

    fn options(gap: f64, threads: i32) -> Options {
        Options { gap, threads, ..Options::default() }
    }

    fn best(program: &Program) -> f64 {
        let exact = alone(|| highs::solve(program, &options(0.0, 1), 1e6, &NoObserver));
        program.objective(&exact.unwrap().values.unwrap())
    }

    /// The answer is true and near enough.
    fn judge(program: &Program, solved: &Solved, gap: f64) {
        let best = best(program);
        let found = program.objective(solved.values.as_ref().unwrap());
        assert!(program.worst_breach(solved.values.as_ref().unwrap()) < 1e-5);
        assert!(solved.is_complete);
        assert!(found <= best + 1e-4 && solved.bound >= best - 1e-4, "{found} <= {best} <= {}", solved.bound);
        assert!(solved.bound - found <= gap * found.abs() + 1e-4, "{found} to {}", solved.bound);
    }

    #[test]
    fn plan_and_bound_enclose_the_best_of_random_programs_and_are_near_enough() {
        let mut state = 7;
        // Earning, losing, and something of both.
        for constant in [0.0, 0.0, 0.0, 50.0, -2000.0, -2000.0, -420.0, -420.0] {
            let program = sacks(&mut state, constant);
            for gap in [0.002, 0.01, 0.05] {
                let solved =
                    solve(&program, &mut None, None, None, &options(gap, 2), 1e4, &NoObserver).unwrap();
                judge(&program, &solved, gap);
            }
        }
    }

    #[test]
    fn one_thread_and_two_give_the_same_answer_every_time() {
        let program = sacks(&mut 3, 0.0);
        let solved = |threads| {
            solve(&program, &mut None, None, None, &options(0.01, threads), 1e4, &NoObserver).unwrap()
        };
        let first = solved(2);
        for threads in [1, 2, 2, 2, 1] {
            let again = alone(|| solved(threads));
            assert_eq!((&again.values, again.bound), (&first.values, first.bound));
        }
    }

    #[test]
    fn with_more_rows_what_was_learnt_leads_to_a_true_answer_too() {
        for seed in 0..6 {
            let mut program = sacks(&mut (seed * 11 + 1), 0.0);
            let mut learnt = None;
            for _ in 0..4 {
                let solved =
                    solve(&program, &mut learnt, None, None, &options(0.01, 2), 1e4, &NoObserver).unwrap();
                judge(&program, &solved, 0.01);
                // What this plan does, or more of it, cannot be done.
                let values = solved.values.unwrap();
                let whole = program.columns.iter().zip(&values).enumerate();
                let done: Vec<(ColumnId, f64)> = whole
                    .filter(|(_, (column, value))| column.is_integer && **value > 0.5)
                    .map(|(position, _)| (ColumnId(position), 1.0))
                    .collect();
                let most = done.len() as f64 - 1.0;
                program.at_most(RuleId::Hours, done, most);
            }
        }
    }

    #[test]
    fn a_program_without_a_plan_is_said_to_have_none() {
        let mut program = sacks(&mut 5, 0.0);
        program.at_least(RuleId::FillLevel, vec![(ColumnId(1), 1.0), (ColumnId(2), 1.0)], 1.5);
        program.at_most(RuleId::FillLevel, vec![(ColumnId(1), 1.0), (ColumnId(2), 1.0)], 1.7);
        let solved = solve(&program, &mut None, None, None, &options(0.01, 2), 1e4, &NoObserver);
        assert!(matches!(solved, Err(HighsError::Infeasible)));
    }

    #[test]
    fn a_search_ends_after_so_many_iterations_as_it_would_by_a_limit_of_nodes() {
        let program = sacks(&mut 3, 0.0);
        let solved = |iterations| {
            let within = Within { observer: &NoObserver, is_over: || false, iterations };
            let solved = alone(|| {
                highs::solve_for(&program, Purpose::PlanAndBound, &options(0.0, 1), 1e4, &within).unwrap()
            });
            (solved.is_complete, solved.bound)
        };
        let (is_complete, bound) = solved(None);
        assert!(is_complete && (bound - best(&program)).abs() < 1e-3);
        let few = solved(Some(1));
        assert!(!few.0 && few.1 > bound);
        assert_eq!(solved(Some(1)), few);
    }

    #[test]
    fn when_stopped_nothing_is_claimed() {
        let program = sacks(&mut 9, 0.0);
        let stop = OnlyStop(|| true);
        let solved = solve(&program, &mut None, None, None, &options(0.01, 2), 1e4, &stop).unwrap();
        assert!(!solved.is_complete && solved.bound >= best(&program) - 1e-4);
    }

    #[test]
    fn what_is_near_new_rows_is_free_and_the_rest_stays() {
        // A chain of pairs: each row joins two neighbours; the new row touches the first column.
        let mut program = Program::default();
        let columns: Vec<ColumnId> = (0..8).map(|_| program.column(0.0, 1.0, true)).collect();
        for pair in columns.windows(2) {
            program.at_most(RuleId::FillLevel, vec![(pair[0], 1.0), (pair[1], 1.0)], 1.0);
        }
        let rows = program.rows.len();
        program.at_most(RuleId::Hours, vec![(columns[0], 1.0)], 0.0);
        let values = [1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0];
        let mended = mended(&program, &values, rows);
        let is_free: Vec<bool> = mended.columns.iter().map(|column| column.lower < column.upper).collect();
        assert_eq!(is_free, [true, true, true, false, false, false, false, false]);
        assert!((3..8).all(|position| mended.columns[position].lower == values[position]));
    }
}
