//! A plan made as a brewer makes one by hand: slot by slot, what is ready and wanted soonest is packaged, moved and carbonated,
//! vessels are cleaned, and what is short soonest is brewed into them.
//!
//! It is there at once, whatever the case, where nothing but brews is pinned. No step is proven beforehand: the checker judges the whole plan, and what it finds is not tried again
//! (`bans`), until the plan passes. What is planned beyond the planned days becomes totals (`tail`).

mod again;
mod bans;
mod brewing;
mod demand;
mod done;
mod hours;
mod least;
mod moving;
mod packaging;
mod tail;
mod vessel;
mod walk;

use cellarwright_checker::{Report, check};
use cellarwright_model::case::Case;
use cellarwright_model::plan::{Plan, Task};

use crate::clock;
use crate::compile::context::Context;
use crate::decode;

use bans::Bans;
pub use least::least;
use walk::Walk;

/// Plans that are tried with one style, each without what broke a rule in the one before.
const MOST_ROUNDS: usize = 24;
/// Styles that are tried even when it is over.
const LEAST_STYLES: usize = 2;
/// Days by which an order that is not firm stands back behind firm ones.
const STANDS_BACK: i64 = 28;

/// How long better plans are looked for.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Tasks of all plans together from which no further one is tried.
    pub tasks: usize,
    /// Plans that are tried one after another without one that is better.
    pub in_vain: u64,
}

/// There at once: some hundredths of a second for a brewpub, a third of one for the largest.
pub const AT_ONCE: Effort = Effort { tasks: 30_000, in_vain: 12 };

/// What a brewer goes by.
#[derive(Clone, Copy, Debug)]
struct Style {
    /// Days ahead of what is short that is brewed for.
    ahead: i64,
    /// What no order wants is packaged too.
    surplus: bool,
    /// What no order wants is brewed too.
    spare: bool,
    /// Fermenters that can be packaged from are, whatever bright tanks there are.
    direct: bool,
    /// What would be left in a tank is packaged with the rest, if it is less than this.
    rest: i64,
}

/// How a plan is made.
#[derive(Clone, Debug)]
struct Manner {
    style: Style,
    /// Days by which an order has its turn after it is due (before, if less than none), by order.
    after_due: Vec<i64>,
}

/// Days ahead of what is short that are tried.
const AHEAD: [i64; 3] = [10, 21, 5];

/// Styles in the order in which they are tried.
fn styles() -> Vec<Style> {
    let mut all = Vec::new();
    for ahead in AHEAD {
        for surplus in [true, false] {
            for direct in [false, true] {
                let rest = if direct { 300_000 } else { 1_000_000 };
                all.push(Style { ahead, surplus, spare: ahead > 14, direct, rest });
            }
        }
    }
    all
}

/// The best plan made by hand that the checker passes; of the first styles alone when it is over.
pub fn construct(context: &Context, effort: Effort, is_over: &dyn Fn() -> bool) -> Option<(Plan, Report)> {
    let case = context.case;
    let stands_back = |id| if case.order(id).firm { 0 } else { STANDS_BACK };
    let after_due: Vec<i64> = case.order_ids().map(stands_back).collect();
    let objective = |(_, report): &(Plan, Report)| report.objective(&case.aim);
    let mut best: Option<(Manner, (Plan, Report))> = None;
    let mut tasks = 0;
    for (number, style) in styles().into_iter().enumerate() {
        if best.is_some() && number >= LEAST_STYLES && (tasks > effort.tasks || is_over()) {
            break;
        }
        let manner = Manner { style, after_due: after_due.clone() };
        let Some(plan) = of_manner(context, &manner, &mut tasks) else { continue };
        if best.as_ref().is_none_or(|(_, best)| objective(&plan) > objective(best)) {
            best = Some((manner, plan));
        }
    }
    let (mut manner, mut best) = best?;
    let (mut step, mut in_vain) = (0, 0);
    while in_vain < effort.in_vain && tasks <= effort.tasks && !is_over() {
        let other = again::otherwise(case, &manner, &best, step);
        let plan = of_manner(context, &other, &mut tasks).filter(|plan| objective(plan) >= objective(&best));
        (step, in_vain) = (step + 1, in_vain + 1);
        if let Some(plan) = plan {
            if objective(&plan) > objective(&best) {
                in_vain = 0;
            }
            (manner, best) = (other, plan);
        }
    }
    Some(best)
}

fn of_manner(context: &Context, manner: &Manner, tasks: &mut usize) -> Option<(Plan, Report)> {
    let case = context.case;
    let mut bans = Bans::default();
    for _ in 0..MOST_ROUNDS {
        let (mut plan, all) = plan(context, manner, &bans);
        *tasks += all.len();
        if case.clock_times {
            let troubles = clock::put_in_order(case, &mut plan);
            if !troubles.is_empty() {
                bans.relieve(troubles.into_iter().map(|trouble| trouble.slot));
                continue;
            }
        }
        let report = check(case, &plan);
        if report.violations.is_empty() {
            return Some((plan, report));
        }
        if !bans.learn(case, &all, &report.violations) {
            break;
        }
    }
    None
}

/// A plan, and the tasks of all days that it is made of.
fn plan(context: &Context, manner: &Manner, bans: &Bans) -> (Plan, Vec<Task>) {
    let case: &Case = context.case;
    let mut walk = Walk::through(context, manner, bans);
    decode::order_tasks(case, &mut walk.tasks);
    let mut plan = tail::fold(context, &walk.tasks, &walk.pours);
    plan.overtime = done::overtime(case);
    // By the days on which it is packaged: the look-ahead alone says less.
    let in_slots = Plan { tasks: walk.tasks, ..Plan::default() };
    plan.deliveries = decode::deliver_soonest(context, &in_slots);
    (plan, in_slots.tasks)
}
