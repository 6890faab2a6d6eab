//! How many vessels there are: in a cycle nothing says it on day 0, so it is counted at the beginning of the cycle.
//!
//! For each group of vessels that are cleaned by a task of their own: in use + dirty + clean after a slot = vessels. In use is what was
//! filled up to the slot and is emptied later; a batch longer than the cycle counts once for each repetition in which it began.

use cellarwright_model::rule::RuleId;

use super::fold::Folded;
use super::unroll::Unrolled;
use crate::compile::columns::{Emptied, Filled, Leaving, Source};
use crate::compile::context::{Context, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

/// Writes the rows.
pub fn add(context: &Context, unrolled: &Unrolled, folded: &mut Folded) {
    let slot = unrolled.first_slot();
    for group in context.groups.ids() {
        if context.groups.get(group).like.is_bright_only() {
            continue;
        }
        let mut terms = in_use(context, unrolled, group, slot);
        terms.push((context.columns.dirty[&(group, slot)], 1.0));
        terms.push((context.columns.ready[&(group, slot)], 1.0));
        let terms = folded.wrapped(&terms);
        let before = folded.program.rows.len();
        folded.program.equal(RuleId::Start, terms, context.groups.get(group).size() as f64);
        folded.program.counts_vessels(before, Some(group));
    }
}

/// Vessels of a group in use after a slot.
fn in_use(context: &Context, unrolled: &Unrolled, group: GroupId, slot: PeriodId) -> Terms {
    let mut terms = Terms::new();
    for brew in context.columns.brews.iter().filter(|brew| brew.group == group) {
        if brew.first() <= slot && slot < brew.last() {
            terms.push((brew.column, 1.0));
        }
    }
    // Batches that were filled so early have left: what is known of when they were moved and left adds up to nothing.
    let earliest = slot.saturating_sub(unrolled.reach * context.case.calendar.shifts.len());
    for ferment in &context.columns.ferments {
        let Some(filled) = ferment.filled.filter(|&filled| filled <= slot && filled >= earliest) else {
            continue;
        };
        let leaves = match ferment.leaving {
            Leaving::Bright { last: Some(last), .. } => last,
            Leaving::Direct { first, .. } => first,
            Leaving::Moved { at, .. } | Leaving::Dump(at) => at,
            Leaving::Bright { last: None, .. } | Leaving::Stays => continue,
        };
        let is_moved = matches!(context.kind(ferment.kind).origin, Origin::Moved { .. });
        if ferment.group == group && !is_moved && filled <= slot && slot < leaves {
            terms.push((ferment.column, 1.0));
        }
        // What was moved in counts from the move on, not from its brewing.
        if let Leaving::Moved { at, to } = ferment.leaving
            && to == group
            && at <= slot
        {
            terms.push((ferment.column, 1.0));
        }
        if ferment.group == group && is_moved && leaves <= slot {
            terms.push((ferment.column, -1.0));
        }
    }
    for hold in context.columns.holds.iter().filter(|hold| hold.source.group() == group) {
        let filled = match hold.source {
            Source::Direct(lot) => lot.first,
            Source::Bright(lot) => match lot.filled {
                Filled::In(filled) => filled,
                Filled::Opening(_) => continue,
            },
        };
        if let Emptied::At(end) = hold.emptied
            && filled <= slot
            && slot < end
        {
            terms.push((hold.column, 1.0));
        }
    }
    terms
}
