//! Days for which a fermenter is taken after its beer is ready, and the plan that takes the fewest.

use std::collections::BTreeMap;
use std::ops::Range;

use cellarwright_checker::Report;
use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;

use super::LayoutError;
use super::search::Search;
use crate::answer::{Options, Untold};
use crate::compile::columns::{Emptied, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::program::{ColumnId, Program, Terms};
use crate::highs::{self, HighsError};
use crate::repeating::fold::Folded;

/// A cent more is the same cost.
const SAME_COST: f64 = 0.01;
/// Near enough to the fewest days.
const GAP: f64 = 0.005;

/// What fermenters are taken for after the beer is ready, in days: the sum over batches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct After {
    /// Batches that leave a fermenter in a cycle of each season.
    pub batches: i64,
    /// From the ready day to the first beer that leaves: carbonating, waiting for a tank or the line.
    pub waiting: i64,
    /// From the first to the last beer that leaves.
    pub leaving: i64,
    /// From the last beer to the clean, after which the vessel can be filled.
    pub turnaround: i64,
}

impl After {
    /// Days for each batch.
    #[must_use]
    pub fn a_batch(&self) -> f64 {
        (self.waiting + self.leaving + self.turnaround) as f64 / self.batches.max(1) as f64
    }
}

/// What fermenters are taken for after their beer is ready: of the batches that leave in a cycle.
pub fn after(case: &Case, plan: &Plan, report: &Report, cycle: &Range<Slot>) -> After {
    let mut sum = After::default();
    let day = |slot: Slot| case.calendar.day(slot) as i64;
    let leaves = |work: &Work, from: VesselId| match *work {
        Work::Transfer { from: vessel, .. } | Work::Package { vessel, .. } => vessel == from,
        _ => false,
    };
    for stay in &report.usage.stays {
        let (Some(ready), Some(from), Some(until)) = (stay.ready, stay.from, stay.until) else { continue };
        if !cycle.contains(&until) {
            continue;
        }
        // In the slot of its fill the vessel may have been emptied of the batch before.
        let first = plan
            .tasks
            .iter()
            .find(|task| task.slot > from && task.slot <= until && leaves(&task.work, stay.vessel));
        let cleaned = plan.tasks.iter().find(|task| {
            task.slot >= until && matches!(task.work, Work::Clean { vessel, .. } if vessel == stay.vessel)
        });
        let Some(first) = first else { continue };
        sum.batches += 1;
        sum.waiting += (day(first.slot) - ready).max(0);
        sum.leaving += day(until) - day(first.slot);
        sum.turnaround += cleaned.map_or(0, |cleaned| day(cleaned.slot) - day(until));
    }
    sum
}

/// Of the points that cost no more than the one given, one whose vessels hold beer or lie dirty for the fewest days; the given one where none was
/// found in time.
pub fn fewest(
    search: &Search,
    context: &Context,
    folded: &Folded,
    values: Vec<f64>,
) -> Result<Vec<f64>, LayoutError> {
    let mut program: Program = folded.program.clone();
    let costs: Terms = program
        .columns
        .iter_mut()
        .enumerate()
        .filter(|(_, column)| column.cost != 0.0)
        .map(|(place, column)| (ColumnId(place), std::mem::take(&mut column.cost)))
        .collect();
    let worth: f64 = costs.iter().map(|&(column, cost)| cost * values[column.0]).sum();
    program.at_least(RuleId::Orders, costs, worth - SAME_COST);
    program.constant = 0.0;
    for (column, slots) in slots_taken(context, folded) {
        program.earn(column, -slots);
    }
    let options = Options { gap: GAP, ..search.left() };
    match highs::solve(&program, &options, 10.0, &Untold(search.observer)) {
        Ok(solved) => Ok(solved.values.unwrap_or(values)),
        Err(HighsError::Infeasible) => Ok(values),
        Err(error) => Err(error.into()),
    }
}

/// Slots for which a vessel other than a bright tank holds beer or is dirty, by column.
fn slots_taken(context: &Context, folded: &Folded) -> BTreeMap<ColumnId, f64> {
    let mut taken = BTreeMap::new();
    let mut takes = |column: ColumnId, slots: f64| {
        if let Some(column) = folded.columns[column.0] {
            taken.insert(column, slots);
        }
    };
    for ferment in &context.columns.ferments {
        let Some(filled) = ferment.filled else { continue };
        let until = match ferment.leaving {
            Leaving::Bright { last: Some(last), .. } => last,
            Leaving::Direct { first, .. } => first,
            Leaving::Moved { at, .. } | Leaving::Dump(at) => at,
            Leaving::Bright { last: None, .. } | Leaving::Stays => continue,
        };
        takes(ferment.column, (until - filled) as f64);
    }
    for hold in &context.columns.holds {
        if let (Source::Direct(lot), Emptied::At(end)) = (hold.source, hold.emptied) {
            takes(hold.column, (end - lot.first) as f64);
        }
    }
    for (&(group, _), &column) in &context.columns.dirty {
        if !context.groups.get(group).like.is_bright_only() {
            takes(column, 1.0);
        }
    }
    taken
}
