//! A search towards a goal: a guess at what a plan is worth that can be found and proven to be near enough to the best.
//!
//! Two searches side by side settle it: one in a thinned program (`thinned`) for any plan worth the goal, one in the whole program
//! for any plan worth so much more that the first would not be near enough, which there seldom is. Where all but good plans are cut
//! off from the start, HiGHS fixes most columns at once, so both are far faster than one search for a best plan.
//!
//! Where the plan turns out to be impossible for a reason that the program did not know, the program comes back with more rows: what was
//! proven still holds, and first the plan is mended (`mended`): all but what is near the new rows stays as it is.
//!
//! Each search is waited for, so that the answer does not depend on which of them is faster. Where the first takes long, the whole program is
//! searched meanwhile as a small one is: what comes of it counts only if time is over, or the search is stopped, before the goal is settled.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::known::Known;
use super::thinned::{self, Thinned};
use crate::answer::{Observer, OnlyStop, Options, Progress, Untold};
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
/// Share of the time that is left after which a plan worth the goal is long in coming.
const LONG: f64 = 0.15;
/// How often it is looked whether it has come.
const EVERY: Duration = Duration::from_millis(10);

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
struct Search<'a> {
    program: &'a Program,
    options: Options,
    scale: f64,
    observer: &'a dyn Observer,
    started: Instant,
    known: Mutex<Known<'a>>,
    /// What the whole program came to while a plan worth the goal was long in coming.
    in_case: Mutex<Known<'a>>,
}

/// Solves a program to a gap, and leaves what it learnt. A point of it may be known before.
///
/// # Errors
/// If HiGHS fails or says that there is no solution.
pub fn solve(
    program: &Program,
    learnt: &mut Option<Learnt>,
    before: Option<Vec<f64>>,
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
    *learnt = alone(|| search.towards_goals(learnt.take(), is_begun))?;
    if !search.is_over() {
        let rest = Options { seconds: search.left(), ..*options };
        match highs::solve(program, &rest, scale, observer) {
            // Where a plan is known, that is not so.
            Err(HighsError::Infeasible) if search.with(|known| known.best().is_some()) => {}
            whole => search.take(whole?),
        }
    }
    Ok(search.end())
}

impl<'a> Search<'a> {
    /// Of a program of which nothing is known but a bound.
    fn new(
        program: &'a Program,
        bound: f64,
        options: &Options,
        scale: f64,
        observer: &'a dyn Observer,
    ) -> Self {
        let known = |bound| Mutex::new(Known::new(program, options.gap * SHARE_OF_GAP, 1.0 / scale, bound));
        Self {
            program,
            options: *options,
            scale,
            observer,
            started: Instant::now(),
            known: known(bound),
            in_case: known(f64::INFINITY),
        }
    }

    /// What is known. What the whole program came to meanwhile counts where the search was cut short alone: how far it is, the clock says.
    fn end(self) -> Solved {
        let is_cut_short = self.left() <= 0.0 || self.observer.stop();
        let mut known = self.known.into_inner().unwrap_or_else(PoisonError::into_inner);
        if is_cut_short && !known.is_near_enough() {
            known.take(self.in_case.into_inner().unwrap_or_else(PoisonError::into_inner).solved());
        }
        known.solved()
    }

    fn with<T>(&self, work: impl FnOnce(&mut Known<'a>) -> T) -> T {
        work(&mut self.known.lock().unwrap_or_else(PoisonError::into_inner))
    }

    fn left(&self) -> f64 {
        self.options.seconds - self.started.elapsed().as_secs_f64()
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
    fn towards_goals(&self, learnt: Option<Learnt>, is_begun: bool) -> Result<Option<Learnt>, HighsError> {
        let Some((thinned, mut learnt)) = self.begin(learnt)? else { return Ok(None) };
        if let Some(values) = learnt.values.take() {
            self.at_least(&mended(&thinned, &values, learnt.rows), learnt.goal - SLACK * learnt.step)?;
        }
        if is_begun && let Some(best) = self.with(|known| known.best()) {
            // It may be near enough to the best: that is to be proven, and no goal to be reached before.
            learnt.goal = learnt.goal.min(best);
        }
        for _ in 0..GOALS {
            if self.is_over() {
                break;
            }
            self.settle(&thinned, learnt.goal, learnt.step)?;
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
    fn settle(&self, thinned: &Program, goal: f64, step: f64) -> Result<(), HighsError> {
        let (limit, best, bound) = self.with(|known| {
            (known.near(goal - SLACK * step), known.best().unwrap_or(f64::NEG_INFINITY), known.bound())
        });
        let find = || if best < goal { self.at_least(thinned, goal).map(|_| ()) } else { Ok(()) };
        let prove = || {
            if bound > limit {
                let proven = self.at_least(self.program, limit)?;
                self.learn(|known| known.no_plan_above(proven.max(limit)));
            }
            Ok(())
        };
        if self.options.threads == 1 {
            find()?;
            return prove();
        }
        let is_settled = AtomicBool::new(false);
        std::thread::scope(|scope| {
            let proof = scope.spawn(|| {
                prove()?;
                self.meanwhile(&|| is_settled.load(Ordering::SeqCst))
            });
            let found = find();
            is_settled.store(true, Ordering::SeqCst);
            found?;
            match proof.join() {
                Ok(proven) => proven,
                Err(panic) => std::panic::resume_unwind(panic),
            }
        })
    }

    /// Searches the whole program until a goal is settled, if that takes long.
    fn meanwhile(&self, is_settled: &(dyn Fn() -> bool + Sync)) -> Result<(), HighsError> {
        let is_over = || is_settled() || self.left() <= 0.0 || self.observer.stop();
        let long = self.left() * (1.0 - LONG);
        while self.left() > long && !is_over() {
            std::thread::sleep(EVERY);
        }
        if is_over() {
            return Ok(());
        }
        let options = Options { threads: 1, seconds: self.left(), ..self.options };
        match highs::solve(self.program, &options, self.scale, &OnlyStop(is_over)) {
            Err(HighsError::Infeasible) => Ok(()),
            Err(other) => Err(other),
            Ok(whole) => {
                self.in_case.lock().unwrap_or_else(PoisonError::into_inner).take(whole);
                Ok(())
            }
        }
    }

    /// Looks for a plan worth at least so much, and takes it. Returns what none of them beats.
    fn at_least(&self, program: &Program, least: f64) -> Result<f64, HighsError> {
        let options = Options { threads: 1, seconds: self.left(), ..self.options };
        let stop = Untold(self.observer);
        match highs::solve_for(program, Purpose::AtLeast(least), &options, self.scale, &stop) {
            Err(HighsError::Infeasible) => Ok(f64::NEG_INFINITY),
            Err(other) => Err(other),
            Ok(solved) => {
                // HiGHS keeps what it comes by on its way, however little that is worth.
                if let Some(values) = solved.values.filter(|values| program.objective(values) >= least) {
                    self.learn(|known| known.plan(values));
                }
                Ok(solved.bound)
            }
        }
    }
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
    use crate::answer::NoObserver;
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
                let solved = solve(&program, &mut None, None, &options(gap, 2), 1e4, &NoObserver).unwrap();
                judge(&program, &solved, gap);
            }
        }
    }

    #[test]
    fn one_thread_and_two_give_the_same_answer_every_time() {
        let program = sacks(&mut 3, 0.0);
        let solved =
            |threads| solve(&program, &mut None, None, &options(0.01, threads), 1e4, &NoObserver).unwrap();
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
                let solved = solve(&program, &mut learnt, None, &options(0.01, 2), 1e4, &NoObserver).unwrap();
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
        let solved = solve(&program, &mut None, None, &options(0.01, 2), 1e4, &NoObserver);
        assert!(matches!(solved, Err(HighsError::Infeasible)));
    }

    #[test]
    fn the_whole_program_is_searched_while_a_goal_is_long_in_coming_and_not_once_it_is_settled() {
        let program = sacks(&mut 3, 0.0);
        let options = Options { seconds: 4.0, ..options(0.0, 1) };
        for is_settled in [true, false] {
            let search = Search::new(&program, f64::INFINITY, &options, 1e4, &NoObserver);
            alone(|| search.meanwhile(&|| is_settled)).unwrap();
            assert_eq!(search.with(|known| known.best()), None);
            let in_case = search.in_case.into_inner().unwrap();
            match is_settled {
                true => assert_eq!((in_case.best(), in_case.bound()), (None, f64::INFINITY)),
                false => judge(&program, &in_case.solved(), 0.0),
            }
        }
    }

    #[test]
    fn what_came_of_the_whole_meanwhile_counts_only_where_time_is_over_or_it_is_stopped() {
        let program = sacks(&mut 3, 0.0);
        let known = |seconds: f64, observer: &dyn Observer| {
            let options = Options { seconds, ..options(0.0, 1) };
            let search = Search::new(&program, f64::INFINITY, &options, 1e4, observer);
            search.in_case.lock().unwrap().plan(vec![0.0; program.columns.len()]);
            search.end().values.is_some()
        };
        assert!(known(0.0, &NoObserver) && known(60.0, &OnlyStop(|| true)));
        // A bound that is enough, or nodes, end a search at the same point on every machine.
        assert!(!known(60.0, &NoObserver));
    }

    #[test]
    fn when_stopped_nothing_is_claimed() {
        let program = sacks(&mut 9, 0.0);
        let stop = OnlyStop(|| true);
        let solved = solve(&program, &mut None, None, &options(0.01, 2), 1e4, &stop).unwrap();
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
