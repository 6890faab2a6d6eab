//! Solving by the clock: solve, put every shift in order, forbid what has no order, solve again.

use std::time::Instant;

use cellarwright_checker::{Report, check};
use cellarwright_model::case::Case;
use cellarwright_model::plan::{Overtime, Plan};
use cellarwright_model::units::Minutes;

use super::{Trouble, proof, put_in_order};
use crate::answer::{Observer, Options, Progress};
use crate::compile::context::Context;
use crate::compile::rules::hours;
use crate::decode::decode;
use crate::highs::{HighsError, Solved};
use crate::search::Searches;

/// Rounds at most.
const MOST_ROUNDS: usize = 16;
/// Rounds after which a shift without an order is cut coarsely.
const FINE_ROUNDS: usize = 8;
/// Share of the time left that one round may take, so that there is time for another.
const SHARE_OF_TIME: f64 = 0.6;
/// Steps of overtime that a shift without an order is tried with, in minutes.
const MORE_OVERTIME: i64 = 30;

/// What the rounds came to.
pub struct Outcome {
    /// The best plan with a clock time for everything, if one was found.
    pub best: Option<(Plan, Report)>,
    /// Upper bound on the objective of the program with what is proven of the clock, in its units.
    pub bound: f64,
    /// The search for this bound and plan was complete (to the gap asked for).
    pub is_complete: bool,
}

/// Passes on bounds alone: a point of the program is no plan before it has an order by the clock.
struct OnlyBounds<'a>(&'a dyn Observer);

impl Observer for OnlyBounds<'_> {
    fn progress(&self, progress: Progress) {
        self.0.progress(Progress { best: None, ..progress });
    }

    fn stop(&self) -> bool {
        self.0.stop()
    }

    fn stop_at(&self, bound: Option<f64>) -> bool {
        self.0.stop_at(bound)
    }
}

/// Solves a program until its plan goes by the clock, or rounds or time are over.
///
/// # Errors
/// If HiGHS fails.
pub fn solve(
    context: &mut Context,
    options: &Options,
    scale: f64,
    observer: &dyn Observer,
) -> Result<Outcome, HighsError> {
    let started = Instant::now();
    let case = context.case;
    let mut outcome = Outcome { best: None, bound: f64::INFINITY, is_complete: false };
    let mut is_proven = true;
    let mut searches = Searches::of(context, None);
    for round in 0..MOST_ROUNDS {
        let left = options.seconds - started.elapsed().as_secs_f64();
        if round > 0 && (left < 0.05 || observer.stop()) {
            break;
        }
        let last = round + 1 == MOST_ROUNDS;
        let seconds = if last { left } else { left * SHARE_OF_TIME };
        let options = Options { seconds, ..*options };
        let solved = searches.solve(&context.program, &options, scale, &OnlyBounds(observer))?;
        if is_proven {
            outcome.bound = outcome.bound.min(solved.bound);
        }
        let Some(values) = &solved.values else { break };
        let mut plan = decode(context, values);
        let troubles = put_in_order(case, &mut plan);
        if troubles.is_empty() {
            keep(case, &mut outcome, plan);
            outcome.is_complete = solved.is_complete && is_proven;
            break;
        }
        if let Some(longer) = with_more_overtime(case, &plan, &troubles) {
            keep(case, &mut outcome, longer);
        }
        is_proven &= cut(context, &solved, &troubles, round);
    }
    Ok(outcome)
}

fn keep(case: &Case, outcome: &mut Outcome, plan: Plan) {
    let report = check(case, &plan);
    let objective = |report: &Report| report.objective(&case.aim);
    let is_better = outcome.best.as_ref().is_none_or(|(_, best)| objective(&report) > objective(best));
    if report.violations.is_empty() && is_better {
        outcome.best = Some((plan, report));
    }
}

/// Cuts off what has no order; tells whether all of it is proven.
fn cut(context: &mut Context, solved: &Solved, troubles: &[Trouble], round: usize) -> bool {
    let Some(values) = &solved.values else { return true };
    let mut is_proven = true;
    for trouble in troubles {
        let counts = hours::counts(context, values, trouble.slot);
        if let Some(smallest) = proof::proven(context, trouble.slot, &counts) {
            hours::forbid(context, &smallest);
            continue;
        }
        is_proven = false;
        if round < FINE_ROUNDS {
            hours::forbid(context, &counts);
        } else {
            hours::forbid_so_much(context, &counts);
        }
    }
    is_proven
}

/// The plan with longer overtime where a shift has no order, if that gives all of them one.
fn with_more_overtime(case: &Case, plan: &Plan, troubles: &[Trouble]) -> Option<Plan> {
    let mut longer = plan.clone();
    let mut troubles = troubles.to_vec();
    while !troubles.is_empty() {
        let mut is_longer = false;
        for trouble in &troubles {
            for crew in case.crew_ids() {
                let there = case.crew_hours(crew, trouble.slot) > Minutes::ZERO;
                let Some(limit) = case.crew(crew).overtime.filter(|_| there) else { continue };
                is_longer |= add_overtime(&mut longer, trouble, crew, limit.at_most);
            }
        }
        if !is_longer {
            return None;
        }
        troubles = put_in_order(case, &mut longer);
    }
    Some(longer)
}

fn add_overtime(
    plan: &mut Plan,
    trouble: &Trouble,
    crew: cellarwright_model::ids::CrewId,
    at_most: Minutes,
) -> bool {
    let found =
        plan.overtime.iter_mut().find(|overtime| overtime.slot == trouble.slot && overtime.crew == crew);
    match found {
        Some(overtime) => {
            let time = Minutes(overtime.time.0 + MORE_OVERTIME).min(at_most);
            let is_longer = time > overtime.time;
            overtime.time = time.max(overtime.time);
            is_longer
        }
        None => {
            let time = Minutes(MORE_OVERTIME).min(at_most);
            plan.overtime.push(Overtime { slot: trouble.slot, crew, time });
            plan.overtime.sort_unstable();
            time > Minutes::ZERO
        }
    }
}
