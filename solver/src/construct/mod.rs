//! A plan made as a brewer makes one by hand: slot by slot, what is ready and wanted soonest is packaged, moved and carbonated,
//! vessels are cleaned, and what is short soonest is brewed into them.
//!
//! It is there at once, whatever the case, where nothing but brews is pinned. No step is proven beforehand: the checker judges the whole plan, and what it finds is not tried again
//! (`bans`), until the plan passes. What is planned beyond the planned days becomes totals (`tail`).

mod bans;
mod brewing;
mod demand;
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
/// Tasks of all plans together from which no further style is tried.
const MOST_TASKS: usize = 30_000;

/// Styles that are tried even when it is over.
const LEAST_STYLES: usize = 2;

/// How a plan is made.
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
pub fn construct(context: &Context, is_over: &dyn Fn() -> bool) -> Option<(Plan, Report)> {
    let case = context.case;
    let mut best: Option<(Plan, Report)> = None;
    let mut tasks = 0;
    for (number, style) in styles().into_iter().enumerate() {
        if best.is_some() && number >= LEAST_STYLES && (tasks > MOST_TASKS || is_over()) {
            break;
        }
        let Some((plan, report)) = of_style(context, style, &mut tasks) else { continue };
        let objective = |report: &Report| report.objective(&case.aim);
        if best.as_ref().is_none_or(|(_, best)| objective(&report) > objective(best)) {
            best = Some((plan, report));
        }
    }
    best
}

fn of_style(context: &Context, style: Style, tasks: &mut usize) -> Option<(Plan, Report)> {
    let case = context.case;
    let mut bans = Bans::default();
    for _ in 0..MOST_ROUNDS {
        let (mut plan, all) = plan(context, style, &bans);
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
fn plan(context: &Context, style: Style, bans: &Bans) -> (Plan, Vec<Task>) {
    let case: &Case = context.case;
    let mut walk = Walk::through(context, style, bans);
    decode::order_tasks(case, &mut walk.tasks);
    let mut plan = tail::fold(context, &walk.tasks, &walk.pours);
    plan.deliveries = decode::deliver_soonest(context, &plan);
    (plan, walk.tasks)
}
