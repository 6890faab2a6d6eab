//! From the values of the columns to a plan with named vessels.
//!
//! Nothing is repaired here: counts are rounded to whole numbers, volumes to whole millilitres, and alike vessels get their
//! names, kegs are washed only to be filled. What the program said is what the checker sees.

mod batches;
mod deliveries;
mod draws;
mod kegs;
mod naming;
mod outlook;
mod run_order;
mod ways;
mod yeast;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;
use cellarwright_model::plan::{Overtime, Plan, Task, Work};

use crate::compile::context::Context;
use crate::compile::program::ColumnId;

pub use deliveries::soonest as deliver_soonest;
pub use outlook::periods;

/// The values of the columns.
#[derive(Clone, Copy)]
pub struct Values<'a>(pub &'a [f64]);

impl Values<'_> {
    /// The value of a column.
    pub fn of(self, column: ColumnId) -> f64 {
        self.0[column.0]
    }

    /// The value of an integer column.
    pub fn count(self, column: ColumnId) -> usize {
        let rounded = self.of(column).round();
        if rounded > 0.0 { rounded as usize } else { 0 }
    }

    /// The value of a column in hectolitres, in millilitres.
    pub fn millilitres(self, column: ColumnId) -> i64 {
        (self.of(column) * 100_000.0).round() as i64
    }
}

/// Reads a plan from the values of the columns.
pub fn decode(context: &Context, values: &[f64]) -> Plan {
    let values = Values(values);
    let mut cellar = batches::read(context, values);
    let mut tasks = naming::name(context, values, &mut cellar);
    tasks.extend(yeast::tasks(context, values, &cellar));
    let (packaging, pours) = draws::read(context, values, &mut cellar);
    tasks.extend(packaging);
    tasks.extend(kegs::washing(context, values));
    mark_full_cleans(context, values, &mut tasks);
    order_tasks(context.case, &mut tasks);
    let mut plan = Plan { tasks, overtime: read_overtime(context, values), pours, ..Plan::default() };
    plan.outlook = outlook::read(context, values, &cellar);
    plan.deliveries = deliveries::read(context, values, &plan);
    plan
}

/// Says of cleans, and of fills that a tank is cleaned with, which are full; a vessel that has full cleans is a group of one.
fn mark_full_cleans(context: &Context, values: Values, tasks: &mut [Task]) {
    for (&(group, period), _) in
        context.columns.full_cleans.iter().filter(|(_, column)| values.count(**column) > 0)
    {
        let group = context.groups.get(group);
        for task in tasks.iter_mut().filter(|task| task.slot == Slot(period)) {
            match &mut task.work {
                Work::Clean { vessel, full } => *full |= *vessel == group.vessels[0],
                Work::Transfer { to, full, .. } => {
                    *full |= *to == group.vessels[0] && group.like.is_bright_only();
                }
                _ => {}
            }
        }
    }
}

fn read_overtime(context: &Context, values: Values) -> Vec<Overtime> {
    let mut all = Vec::new();
    for (&(crew, period), &column) in &context.columns.overtime {
        let minutes = (values.of(column) * 60.0 - 1e-4).ceil() as i64;
        if context.grid.is_fine(period) && minutes > 0 {
            let time = cellarwright_model::units::Minutes(minutes);
            all.push(Overtime { slot: Slot(period), crew, time });
        }
    }
    all.sort_unstable();
    all
}

/// Order of work within a slot: out of vessels first, then cleaning, then into them; a vessel that is emptied into another
/// one that had to be cleaned for it comes after that.
pub fn order_tasks(case: &Case, tasks: &mut Vec<Task>) {
    let is_apart = |to| case.vessel(to).is_cleaned_apart();
    let rank = |task: &Task| match task.work {
        Work::Wash { .. } | Work::Package { .. } => 0,
        Work::Crop { .. } => -1,
        Work::Dump { .. } => 1,
        Work::Transfer { to, .. } if !is_apart(to) => 2,
        Work::Clean { .. } => 3,
        Work::Sanitise { .. } => 4,
        Work::Transfer { .. } => 5,
        // After the brew of its batch, which is listed first.
        Work::Brew { .. } | Work::Pitch { .. } => 7,
        Work::Tank { .. } => 8,
        Work::Carbonate { .. } => 9,
    };
    // Stable: packaging of a line keeps the order it was given.
    tasks.sort_by_key(|task| (task.slot, rank(task)));
    let mut ordered: Vec<Task> = Vec::with_capacity(tasks.len());
    let mut waiting: Vec<Task> = Vec::new();
    for slot in tasks.chunk_by(|one, other| one.slot == other.slot) {
        waiting.extend(slot);
        while !waiting.is_empty() {
            let is_free = |task: &Task| !waiting.iter().any(|other| comes_before(&other.work, &task.work));
            let next = waiting.iter().position(is_free).unwrap_or(0);
            ordered.push(waiting.remove(next));
        }
    }
    *tasks = ordered;
}

/// Whether a vessel is emptied by one piece of work and cleaned by the other, or cleaned by one and filled by the other.
fn comes_before(first: &Work, second: &Work) -> bool {
    match (*first, *second) {
        // Tank work in the slot of a move into a conditioning tank is done before it.
        (Work::Tank { vessel, .. }, Work::Transfer { from, .. }) => vessel == from,
        (
            Work::Transfer { from: emptied, .. } | Work::Dump { vessel: emptied },
            Work::Clean { vessel, .. },
        ) => emptied == vessel,
        (
            Work::Clean { vessel, .. } | Work::Sanitise { vessel },
            Work::Transfer { to: filled, .. } | Work::Brew { vessel: filled, .. },
        ) => vessel == filled,
        _ => false,
    }
}

/// The plan that does nothing: what is in tank stays there, stock is delivered. It exists for every case.
pub fn idle_plan(context: &Context) -> Plan {
    let mut plan = Plan::default();
    if context.case.calendar.look_ahead_days > 0 {
        plan.outlook = outlook::idle(context);
    }
    plan.deliveries = deliveries::from_stock(context);
    plan
}
