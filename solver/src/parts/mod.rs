//! A plan of many weeks made better a part at a time: the whole numbers of some days, or of some beers, are decided anew while all others stay
//! as they are, then those of the next, over and over, until time is over or no part gives more.
//!
//! It begins with a plan by hand: what that brews, moves and runs is asked of the program, which decides the rest (`begin`). Nothing is proven
//! here; every plan is judged by the checker.

mod beside;
mod columns;
mod part;

use std::collections::BTreeSet;
use std::time::Instant;

use cellarwright_checker::{Report, check};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;

use crate::answer::{OnlyStop, Options};
use crate::clock;
use crate::compile::context::Context;
use crate::compile::earlier;
use crate::compile::program::Program;
use crate::decode::decode;
use crate::highs::{self, Purpose};
use columns::Columns;

pub use beside::{beside, pays};

/// Share of the time that the first point may take, and that one part may take, and seconds that it has at least.
const BEGIN: f64 = 0.3;
const PART: f64 = 0.15;
const LEAST_SECONDS: f64 = 0.3;
/// Share of what is earned that the first point may be away from the best of its kind, and that a part may.
const NEAR_AT_FIRST: f64 = 0.01;
const NEAR: f64 = 0.0005;
/// Share of what is earned that is no gain.
const NOTHING: f64 = 1e-6;

/// What is asked.
struct Asked<'a> {
    /// Time, and the seed of HiGHS; it has one thread.
    options: Options,
    /// Units of the objective that a unit of the program has.
    to_units: f64,
    /// Whether to stop.
    is_over: &'a (dyn Fn() -> bool + Sync),
    /// Told of each better plan.
    tell: &'a (dyn Fn(&(Plan, Report)) + Sync),
}

/// Makes a plan better until time is over or no part gives more; gives the best, if there is any that keeps the rules.
fn improve(context: &Context, first: &(Plan, Report), asked: &Asked) -> Option<(Plan, Report)> {
    let started = Instant::now();
    let left = || asked.options.seconds - started.elapsed().as_secs_f64();
    let seconds = |share: f64| left().min((asked.options.seconds * share).max(LEAST_SECONDS));
    let program = &context.program;
    let worth = |point: &[f64]| program.objective(point);
    let earned = (first.1.breakdown.earned(&context.case.aim) as f64 / asked.to_units).max(1.0);
    let as_by_hand = as_planned(context, &first.0);
    let search =
        |program: &Program, purpose, share, near| search(program, purpose, asked, seconds(share), near);
    let mut point = search(&as_by_hand, Purpose::PlanAndBound, BEGIN, NEAR_AT_FIRST * earned)?;
    let mut best: Option<(Plan, Report)> = None;
    let mut take = |point: &[f64]| {
        let objective = |plan: &(Plan, Report)| plan.1.objective(&context.case.aim);
        let found = planned(context, point);
        if found.as_ref().map(objective) > best.as_ref().map(objective) {
            found.iter().for_each(asked.tell);
            best = found;
        }
    };
    take(&point);
    let (columns, parts) = (Columns::new(context), part::all(context));
    let mut without_gain = 0;
    for part in parts.iter().cycle() {
        if without_gain == parts.len() || left() <= 0.0 || (asked.is_over)() {
            break;
        }
        let anew = program.as_at(&point, |column| part.is_free(&columns, column));
        let least = worth(&point) + NOTHING * earned;
        match search(&anew, Purpose::Above(least), PART, NEAR * earned) {
            Some(found) if worth(&found) > least => {
                point = found;
                take(&point);
                without_gain = 0;
            }
            _ => without_gain += 1,
        }
    }
    best
}

/// The program with what a plan brews, moves, carbonates and pours away, and no runs of beers on lines but those of the plan.
fn as_planned(context: &Context, plan: &Plan) -> Program {
    let mut program = context.program.clone();
    for (terms, count) in earlier::counted(context, plan) {
        program.equal(RuleId::Pinned, terms, count as f64);
    }
    let mut runs = BTreeSet::new();
    for (task, of) in plan.tasks.iter().zip(plan.beers(&context.case.in_tank)) {
        if let (Work::Package { line, .. }, Some(beer)) = (task.work, of) {
            runs.insert((beer, line, task.slot.0));
        }
    }
    for (run, column) in &context.columns.runs {
        if context.grid.is_fine(run.2) && !runs.contains(run) {
            program.columns[column.0].upper = 0.0;
        }
    }
    program
}

/// A point of a program, as near to the best as asked for if time allows.
fn search(program: &Program, purpose: Purpose, asked: &Asked, seconds: f64, near: f64) -> Option<Vec<f64>> {
    let options = Options { seconds, gap: 0.0, threads: 1, seed: asked.options.seed };
    let stop = OnlyStop(asked.is_over);
    // A failure of one search is no failure of the whole: what there is already stays.
    highs::solve_for(program, purpose, &options, 1.0 / near, &stop).ok()?.values
}

/// The plan of a point, if it keeps the rules.
fn planned(context: &Context, point: &[f64]) -> Option<(Plan, Report)> {
    let mut plan = decode(context, point);
    if context.case.clock_times && !clock::put_in_order(context.case, &mut plan).is_empty() {
        return None;
    }
    let report = check(context.case, &plan);
    report.violations.is_empty().then_some((plan, report))
}
