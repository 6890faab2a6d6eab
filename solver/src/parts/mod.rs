//! A plan of many weeks made better a part at a time: the whole numbers of some days, or of some beers, are decided anew while all others stay
//! as they are, then those of the next, over and over, until time is over or no part gives more.
//!
//! It begins with a plan by hand: what that brews, moves and runs is asked of the program, which decides the rest (`begin`). Nothing is proven
//! here; every plan is judged by the checker.

mod beside;
mod elsewhere;
mod near;
mod part;
mod relax_and_fix;

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use cellarwright_checker::{Report, check};
use cellarwright_model::ids::BeerId;
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;

use crate::answer::{OnlyStop, Options};
use crate::clock;
use crate::compile::context::Context;
use crate::compile::earlier;
use crate::compile::program::Program;
use crate::construct::{Effort, construct};
use crate::decode::decode;
use crate::highs::{self, Purpose};
use crate::search::relax_and_fix::Order;
use elsewhere::Elsewhere;
use part::Part;
use relax_and_fix::relax_and_fix;

pub use beside::{Extent, beside, pays};
pub use near::{Near, near};

/// Share of the time that the first point may take, and that one part may take, and seconds that it has at least.
const BEGIN: f64 = 0.3;
const PART: f64 = 0.08;
/// Share of what is left of the time that the relaxation may take where weeks are decided one after another in the same thread.
const RELAXATION: f64 = 0.3;
const LEAST_SECONDS: f64 = 0.3;
/// Tasks of plans by hand that are made for each second, before the first point, and plans that are made in vain at most.
const TASKS: f64 = 10_000.0;
const IN_VAIN: u64 = 200;
/// Share of what is earned that the first point may be away from the best of its kind, and that a part may.
const NEAR_AT_FIRST: f64 = 0.01;
const NEAR: f64 = 0.0005;
/// Share of what is earned that is no gain.
const NOTHING: f64 = 1e-6;
/// How often it is looked whether a point has come from elsewhere.
const EVERY: Duration = Duration::from_millis(20);

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
    /// Where another thread looks for points meanwhile.
    elsewhere: Option<&'a Elsewhere>,
}

/// What a search for a better plan works with.
struct Climb<'a> {
    context: &'a Context<'a>,
    order: Order,
    asked: &'a Asked<'a>,
    started: Instant,
    /// What a plan earns, in units of the program: what is near, and what is nothing, is a share of it.
    earned: f64,
}

impl<'a> Climb<'a> {
    /// From a plan of about the worth that is sought.
    fn new(context: &'a Context<'a>, asked: &'a Asked<'a>, earned: i64) -> Self {
        let earned = (earned as f64 / asked.to_units).max(1.0);
        let started = Instant::now();
        Self { context, order: Order::new(context), asked, started, earned }
    }

    fn left(&self) -> f64 {
        self.asked.options.seconds - self.started.elapsed().as_secs_f64()
    }

    /// A point of a program, as near to the best as asked for if time allows.
    fn search(&self, program: &Program, purpose: Purpose, share: f64, near: f64) -> Option<Vec<f64>> {
        let seconds = self.left().min((self.asked.options.seconds * share).max(LEAST_SECONDS));
        let options = Options { seconds, gap: 0.0, threads: 1, seed: self.asked.options.seed };
        let stop = OnlyStop(self.asked.is_over);
        // A failure of one search is no failure of the whole: what there is already stays.
        highs::solve_for(program, purpose, &options, 1.0 / (near * self.earned), &stop).ok()?.values
    }

    /// The first point: the best of a program, nearly, in a share of the time.
    fn first(&self, program: &Program, share: f64) -> Option<Vec<f64>> {
        self.search(program, Purpose::PlanAndBound, share, NEAR_AT_FIRST)
    }

    /// From a point on, each part anew in its turn, until a whole round gives nothing or time is over: the best point and plan, if there is any that
    /// keeps the rules.
    fn up(&self, mut point: Vec<f64>, parts: &[Part]) -> Option<Near> {
        let program = &self.context.program;
        let mut best: Option<Near> = None;
        let mut take = |point: &[f64]| {
            if let Some(elsewhere) = self.asked.elsewhere {
                elsewhere.is_worth(program.objective(point));
            }
            let objective = |plan: &(Plan, Report)| plan.1.objective(&self.context.case.aim);
            if let Some(plan) = planned(self.context, point)
                && best.as_ref().is_none_or(|best| objective(&plan) > objective(&best.plan))
            {
                (self.asked.tell)(&plan);
                best = Some(Near { point: point.to_vec(), plan });
            }
        };
        take(&point);
        let mut without_gain = 0;
        for part in parts.iter().cycle() {
            let all_in_vain = without_gain == parts.len();
            let other = if all_in_vain { self.wait(&point) } else { self.better_elsewhere(&point) };
            if let Some(other) = other {
                point = other;
                take(&point);
                without_gain = 0;
            }
            if without_gain == parts.len() || self.is_over() {
                break;
            }
            let anew = program.as_at(&point, |column| part.is_free(&self.order.about, column));
            let least = program.objective(&point) + NOTHING * self.earned;
            match self.search(&anew, Purpose::Above(least), PART, NEAR) {
                Some(found) if program.objective(&found) > least => {
                    point = found;
                    take(&point);
                    without_gain = 0;
                }
                _ => without_gain += 1,
            }
        }
        best
    }

    fn is_over(&self) -> bool {
        self.left() <= 0.0 || (self.asked.is_over)()
    }

    /// A point that came from elsewhere, if it is better than one.
    fn better_elsewhere(&self, point: &[f64]) -> Option<Vec<f64>> {
        let worth = |point: &[f64]| self.context.program.objective(point);
        self.asked.elsewhere?.take().filter(|other| worth(other) > worth(point))
    }

    /// Waits until a point has come from elsewhere, none can come any more, or time is over.
    fn wait(&self, point: &[f64]) -> Option<Vec<f64>> {
        loop {
            let is_awaited = self.asked.elsewhere.is_some_and(Elsewhere::is_awaited);
            let better = self.better_elsewhere(point);
            if better.is_some() || !is_awaited || self.is_over() {
                return better;
            }
            std::thread::sleep(EVERY);
        }
    }
}

/// Makes a plan better until time is over or no part gives more, or only up to the first point: by hand first, then in parts. Gives the best, if
/// there is any that keeps the rules.
fn improve(
    context: &Context,
    first: &(Plan, Report),
    extent: Extent,
    asked: &Asked,
) -> Option<(Plan, Report)> {
    let is_soon = extent == Extent::FirstPoint || !relax_and_fix::are_weeks(context);
    let at_first = if is_soon { first_point(context, first, asked) } else { None };
    if extent == Extent::FirstPoint {
        return at_first;
    }
    let objective = |plan: &(Plan, Report)| plan.1.objective(&context.case.aim);
    let effort = Effort { tasks: (asked.options.seconds * TASKS) as usize, in_vain: IN_VAIN };
    let by_hand = construct(context, effort, asked.is_over).filter(|plan| objective(plan) > objective(first));
    by_hand.iter().for_each(asked.tell);
    let in_parts = climb(context, by_hand.as_ref().unwrap_or(first), asked);
    at_first.into_iter().chain(by_hand).chain(in_parts).max_by_key(objective)
}

/// The first point as a plan, if it keeps the rules.
fn first_point(context: &Context, first: &(Plan, Report), asked: &Asked) -> Option<(Plan, Report)> {
    let climb = Climb::new(context, asked, first.1.breakdown.earned(&context.case.aim));
    let found = planned(context, &climb.first(&as_planned(context, &first.0), BEGIN)?);
    found.iter().for_each(asked.tell);
    found
}

/// From what a plan brews, moves and runs on, each part anew in its turn.
fn climb(context: &Context, first: &(Plan, Report), asked: &Asked) -> Option<(Plan, Report)> {
    let climb = Climb::new(context, asked, first.1.breakdown.earned(&context.case.aim));
    let as_first = climb.first(&as_planned(context, &first.0), BEGIN)?;
    let parts = part::all(context);
    if asked.elsewhere.is_some() || !relax_and_fix::pays(context, asked.options.seconds) {
        return climb.up(as_first, &parts).map(|best| best.plan);
    }
    let shown = planned(context, &as_first);
    shown.iter().for_each(asked.tell);
    let worth = |point: &[f64]| context.program.objective(point);
    let seconds = climb.left() * RELAXATION;
    let relaxation = highs::relax(&context.program, seconds, &OnlyStop(asked.is_over)).ok().flatten();
    let from_relaxation = relaxation
        .and_then(|relaxation| relax_and_fix(&climb, &relaxation, relax_and_fix::DAYS[0], worth(&as_first)));
    let from_relaxation = from_relaxation.filter(|found| worth(found) > worth(&as_first));
    let best = climb.up(from_relaxation.unwrap_or(as_first), &parts).map(|best| best.plan);
    best.into_iter().chain(shown).max_by_key(|plan| plan.1.objective(&context.case.aim))
}

/// The program with what a plan brews, moves, carbonates and pours away, and no runs of beers on lines but those of the plan.
fn as_planned(context: &Context, plan: &Plan) -> Program {
    let mut program = context.program.clone();
    for (terms, count) in earlier::counted(context, plan) {
        program.equal(RuleId::Pinned, terms, count as f64);
    }
    no_other_runs(context, plan, &mut program, |_| true);
    program
}

/// No runs of some beers on lines but those of a plan.
fn no_other_runs(context: &Context, plan: &Plan, program: &mut Program, is_meant: impl Fn(BeerId) -> bool) {
    let mut runs = BTreeSet::new();
    for (task, of) in plan.tasks.iter().zip(plan.beers(&context.case.in_tank)) {
        if let (Work::Package { line, .. }, Some(beer)) = (task.work, of) {
            runs.insert((beer, line, task.slot.0));
        }
    }
    for (run, column) in &context.columns.runs {
        if context.grid.is_fine(run.2) && is_meant(run.0) && !runs.contains(run) {
            program.columns[column.0].upper = 0.0;
        }
    }
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
