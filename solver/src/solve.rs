//! From a case to an answer.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use cellarwright_checker::{Report, check};
use cellarwright_model::case::{Case, Fixed};
use cellarwright_model::ids::OrderId;
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::Violation;

use crate::answer::{Answer, NoObserver, Observer, Options, Progress, Proof, Size, in_units};
use crate::carried_on;
use crate::clock::{self, Outcome};
use crate::compile::compile;
use crate::compile::context::Context;
use crate::compile::objective::{scale, shown};
use crate::compile::rules;
use crate::compile::without::{Part, Without};
use crate::conflict::{self, Conflict};
use crate::construct::{self, construct};
use crate::decode::{decode, idle_plan};
use crate::highs::{self, HighsError};
use crate::parts::{self, Extent};
use crate::search::{self, Searches};

/// Why there is no answer. None of these is the user's fault.
#[derive(Debug, thiserror::Error)]
pub enum SolveError {
    /// HiGHS or the way to it failed.
    #[error(transparent)]
    Highs(#[from] HighsError),
    /// What is pinned or settled cannot all be kept.
    #[error("what is pinned or settled cannot all be kept")]
    Conflict(Conflict),
    /// Time was up before there was a plan that keeps what is pinned or settled.
    #[error("no plan that keeps what is pinned was found in time")]
    NotInTime,
    /// The checker does not pass the plan that the program made.
    #[error("the plan breaks its own rules ({}); it is not shown", rules(.0))]
    BrokenPlan(Vec<Violation>),
}

/// The rules that a plan breaks, each once.
fn rules(violations: &[Violation]) -> String {
    let codes: BTreeSet<&str> = violations.iter().map(|violation| violation.rule.code()).collect();
    codes.into_iter().collect::<Vec<_>>().join(", ")
}

/// Turns the program's units of progress into those of the answer (money, or hL).
pub(crate) struct Scaled<'a> {
    pub(crate) inner: &'a dyn Observer,
    pub(crate) factor: f64,
    /// What the best plan is worth that was told of, in the program's units.
    pub(crate) held: Mutex<Option<f64>>,
}

impl Observer for Scaled<'_> {
    fn progress(&self, progress: Progress) {
        let scaled = |value: Option<f64>| value.map(|value| value * self.factor);
        let best = {
            let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
            *held = held.into_iter().chain(progress.best).reduce(f64::max);
            *held
        };
        self.inner.progress(Progress {
            seconds: progress.seconds,
            best: scaled(best),
            bound: scaled(progress.bound),
        });
    }

    fn stop(&self) -> bool {
        self.inner.stop()
    }

    fn stop_at(&self, bound: Option<f64>) -> bool {
        self.inner.stop_at(bound.map(|bound| bound * self.factor))
    }
}

/// A bound on the objective of a case for which nothing need be whole, in the objective's unit; none if there was no time for it.
///
/// # Errors
/// If HiGHS fails.
pub(crate) fn bound_in_fractions(case: &Case, options: &Options) -> Result<Option<i64>, HighsError> {
    let context = compile(case, &Without::default());
    search::relaxed(&context.program, options, scale(&case.aim))
}

/// Finds the best plan of a case within the time and gap asked for. There always is one, doing nothing,
/// unless something is pinned or settled that cannot be kept.
///
/// # Errors
/// If HiGHS fails, if what is pinned cannot be kept, or if the checker finds that the plan breaks a rule.
pub fn solve(case: &Case, options: &Options, observer: &dyn Observer) -> Result<Answer, SolveError> {
    solve_filling(case, &[], options, observer)
}

/// The same among the plans that fill some orders in full on their due days.
///
/// # Errors
/// As `solve`; `HighsError::Infeasible` where no plan fills these orders, `NotInTime` where none was found in time.
pub(crate) fn solve_filling(
    case: &Case,
    orders: &[OrderId],
    options: &Options,
    observer: &dyn Observer,
) -> Result<Answer, SolveError> {
    let started = Instant::now();
    let mut context = compile(case, &Without::default());
    for &id in orders {
        if !rules::orders::fill(&mut context, id) {
            return Err(HighsError::Infeasible.into());
        }
    }
    let (size, by_rule) = (context.program.size(), context.program.size_by_rule());
    let to_units = scale(&case.aim);
    let left = || options.seconds - started.elapsed().as_secs_f64();
    let scaled = Scaled { inner: observer, factor: shown(&case.aim), held: Mutex::default() };
    let filled = |one: (Plan, Report)| fills(case, &one.1, orders).then_some(one);
    let mut best = at_once(&context, &|| left() <= 0.0 || observer.stop()).and_then(filled);
    if let Some((_, report)) = &best {
        let best = Some(report.objective(&case.aim) as f64 / to_units);
        scaled.progress(Progress { seconds: started.elapsed().as_secs_f64(), best, bound: None });
    }
    let search = || Options { seconds: left(), ..*options };
    let near = if orders.is_empty() { parts::near(&context, &search(), to_units, &scaled) } else { None };
    let search = search();
    // Where there is a plan near an earlier one, the search goes on from that.
    let has_more = |extent| extent == Extent::AllParts || near.is_none();
    let extent = parts::pays(&context).filter(|&extent| orders.is_empty() && has_more(extent));
    let (outcome, in_parts) = match best.clone().zip(extent) {
        Some((plan, extent)) => parts::beside(&mut context, &plan, extent, &search, to_units, &scaled),
        None => {
            let point = near.as_ref().map(|near| near.point.clone());
            (search_from(&mut context, point, &search, to_units, &scaled), None)
        }
    };
    let outcome = match outcome {
        // What a plan in hand does is not impossible, whatever the program says.
        Err(HighsError::Infeasible) if best.is_some() => {
            Outcome { best: None, bound: f64::INFINITY, is_complete: false }
        }
        Err(HighsError::Infeasible) if orders.is_empty() => return Err(impossible(case, options)?),
        other => other?,
    };
    let done = |(plan, report)| carried_on::with_what_is_done(case, plan, report);
    if !outcome.is_complete {
        best = better(case, best, in_parts.map(done));
        best = better(case, best, near.map(|near| done(near.plan)));
    }
    let found = outcome.best.map(done);
    if let Some((_, report)) = &found
        && !report.violations.is_empty()
    {
        return Err(SolveError::BrokenPlan(report.violations.clone()));
    }
    let is_complete = outcome.is_complete && found.is_some();
    best = better(case, found.and_then(filled), best);
    if let Some(unchanged) = carried_on::unchanged(case).and_then(filled) {
        // Nobody is asked to change anything for less than the gap asked for.
        let worth = unchanged.1.objective(&case.aim);
        let proof = Proof::new(worth, in_units(outcome.bound, to_units), to_units, true);
        let is_near_enough = proof.gap <= options.gap;
        best = if is_near_enough { Some(unchanged) } else { better(case, Some(unchanged), best) };
    }
    if best.is_none() {
        let least = construct::least(&mut context, to_units);
        best = least.map(done).and_then(filled);
    }
    let Some((plan, report)) = best else { return Err(SolveError::NotInTime) };
    let objective = report.objective(&case.aim);
    let bound = in_units(outcome.bound, to_units);
    let Proof { bound, gap, status } = Proof::new(objective, bound, to_units, is_complete);
    let seconds = started.elapsed().as_secs_f64();
    Ok(Answer { status, plan, report, objective, bound, gap, seconds, size, by_rule })
}

/// Whether a plan fills orders in full on their due days.
pub(crate) fn fills(case: &Case, report: &Report, orders: &[OrderId]) -> bool {
    let is_filled = |&id: &OrderId| {
        let mut results = report.usage.orders.iter();
        results.any(|result| result.order == id && !result.is_short_in_time(case))
    };
    orders.iter().all(is_filled)
}

/// The best plan that is there without a search: an earlier one, what is made by hand, or doing nothing. None where all break what is
/// pinned or settled.
fn at_once(context: &Context, is_over: &dyn Fn() -> bool) -> Option<(Plan, Report)> {
    let idle = idle_plan(context);
    let report = check(context.case, &idle);
    let best = better(context.case, Some((idle, report)), construct(context, construct::AT_ONCE, is_over));
    let best = better(context.case, carried_on::unchanged(context.case), best);
    best.filter(|best| best.1.violations.is_empty())
}

/// The better of two plans: one that keeps the rules before one that does not, the first where they are worth the same.
fn better(
    case: &Case,
    first: Option<(Plan, Report)>,
    second: Option<(Plan, Report)>,
) -> Option<(Plan, Report)> {
    let (Some(one), Some(other)) = (&first, &second) else { return first.or(second) };
    let key = |report: &Report| (report.violations.is_empty(), report.objective(&case.aim));
    if key(&other.1) > key(&one.1) { second } else { first }
}

/// Solves a program: by totals, or by the clock where the case goes by it.
pub(crate) fn search_for(
    context: &mut Context,
    options: &Options,
    to_units: f64,
    observer: &dyn Observer,
) -> Result<Outcome, HighsError> {
    search_from(context, None, options, to_units, observer)
}

/// The same where a point of the program may be known.
fn search_from(
    context: &mut Context,
    point: Option<Vec<f64>>,
    options: &Options,
    to_units: f64,
    observer: &dyn Observer,
) -> Result<Outcome, HighsError> {
    if context.case.clock_times {
        // By the clock the best of totals is only where it begins: a point of them is no plan yet.
        clock::solve(context, options, to_units, observer)
    } else {
        by_totals(context, point, options, to_units, observer)
    }
}

/// Solves the program once; its plan counts totals and has no clock times.
fn by_totals(
    context: &Context,
    point: Option<Vec<f64>>,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Outcome, HighsError> {
    let solved = Searches::of(context, point).solve(&context.program, options, scale, observer)?;
    let best = solved.values.as_ref().map(|values| {
        let plan = decode(context, values);
        let report = check(context.case, &plan);
        (plan, report)
    });
    Ok(Outcome { best, bound: solved.bound, is_complete: solved.is_complete })
}

/// What to say of a case without a plan.
fn impossible(case: &Case, options: &Options) -> Result<SolveError, SolveError> {
    Ok(match conflict::explain(case, options)? {
        Some(conflict) => SolveError::Conflict(conflict),
        // The totals can be kept, the order of a shift by the clock cannot.
        None if case.clock_times && case.fixed != Fixed::default() => {
            SolveError::Conflict(Conflict::by_the_clock(case))
        }
        None => SolveError::Highs(HighsError::Infeasible),
    })
}

/// Finds a plan with one rule left out of the program, for tests of the checker. The plan is not checked.
///
/// # Errors
/// If HiGHS fails.
#[doc(hidden)]
pub fn solve_without(case: &Case, rule: RuleId, options: &Options) -> Result<Plan, SolveError> {
    let context = compile(case, &[Part::whole(rule)].into_iter().collect());
    let solved = highs::solve(&context.program, options, scale(&case.aim), &NoObserver)?;
    let mut plan = match solved.values {
        Some(values) => decode(&context, &values),
        None => idle_plan(&context),
    };
    if case.clock_times {
        if rule == RuleId::Hours {
            clock::put_carelessly(case, &mut plan);
        } else {
            clock::put_in_order(case, &mut plan);
        }
    }
    Ok(plan)
}

/// The best plan that is made by hand and its replay, without any search, for tests. None where that comes to nothing.
#[doc(hidden)]
#[must_use]
pub fn by_hand(case: &Case) -> Option<(Plan, Report)> {
    construct(&compile(case, &Without::default()), construct::AT_ONCE, &|| false)
}

/// The plan near an earlier one that cannot be kept, with which the search of a large brewery begins, for tests. None where the earlier plan can be
/// kept, or the brewery is small.
#[doc(hidden)]
#[must_use]
pub fn near_earlier(case: &Case, options: &Options) -> Option<(Plan, Report)> {
    let context = compile(case, &Without::default());
    let near = parts::near(&context, options, scale(&case.aim), &NoObserver)?;
    Some(carried_on::with_what_is_done(case, near.plan.0, near.plan.1))
}

/// The plan that does nothing and its replay, for tests.
#[doc(hidden)]
#[must_use]
pub fn idle(case: &Case) -> (Plan, Report) {
    let plan = idle_plan(&compile(case, &Without::default()));
    let report = check(case, &plan);
    (plan, report)
}

/// Writes the program of a case as an MPS file (to be minimised: HiGHS writes the sense with it).
///
/// # Errors
/// If HiGHS cannot write the file.
pub fn write_model(case: &Case, path: &Path) -> Result<(), SolveError> {
    let context = compile(case, &Without::default());
    highs::write(&context.program, path)?;
    Ok(())
}

/// What HiGHS makes of a program without any help, for comparison. Nothing of it is decoded or checked.
#[doc(hidden)]
#[derive(Clone, Copy, Debug)]
pub struct AsItComes {
    /// Seconds to compile the program.
    pub compile_seconds: f64,
    /// Seconds from start to end.
    pub seconds: f64,
    /// Objective of the best point of the program, money or hL, if there is a point.
    pub objective: Option<f64>,
    /// Proven bound, in the same unit.
    pub bound: f64,
    /// Size of the program.
    pub size: Size,
}

/// Hands the program of a case to HiGHS with its own settings, for so many seconds in all. Writes HiGHS's log to a file if there is a path.
///
/// # Errors
/// If HiGHS fails or says that there is no solution.
#[doc(hidden)]
pub fn solve_as_it_comes(
    case: &Case,
    seconds: f64,
    log: Option<&Path>,
    observer: &dyn Observer,
) -> Result<AsItComes, SolveError> {
    let started = Instant::now();
    let context = compile(case, &Without::default());
    let compile_seconds = started.elapsed().as_secs_f64();
    let factor = shown(&case.aim);
    let scaled = Scaled { inner: observer, factor, held: Mutex::default() };
    let solved = highs::solve_as_it_comes(&context.program, seconds - compile_seconds, log, &scaled)?;
    Ok(AsItComes {
        compile_seconds,
        seconds: started.elapsed().as_secs_f64(),
        objective: solved.values.as_ref().map(|values| context.program.objective(values) * factor),
        bound: solved.bound * factor,
        size: context.program.size(),
    })
}
