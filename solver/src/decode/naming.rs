//! Names for alike vessels: interval colouring from left to right, which always succeeds where the counts do.
//!
//! Beer in tank on day 0 stays where it is. Dirty vessels are cleaned in the order in which they were emptied.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Task, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use super::Values;
use super::batches::Cellar;
use crate::compile::columns::{Emptied, Filled, Leaving};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::{bright_rest, clean, outage};

/// Names the vessels of all batches and lots and lists the work in them, packaging apart.
pub fn name(context: &Context, values: Values, cellar: &mut Cellar) -> Vec<Task> {
    let mut tasks = Vec::new();
    for group in context.groups.ids() {
        if context.groups.get(group).like.is_bright_only() {
            name_bright_tanks(context, group, cellar);
        } else {
            name_fermenters(context, values, group, cellar, &mut tasks);
        }
    }
    list_batches(cellar, context, &mut tasks);
    tasks
}

fn name_bright_tanks(context: &Context, group: GroupId, cellar: &mut Cellar) {
    // For each tank the first period in which it may be filled by one transfer, and by two; none if it never is free again.
    let mut free: BTreeMap<VesselId, [Option<PeriodId>; 2]> =
        context.groups.get(group).vessels.iter().map(|&vessel| (vessel, [Some(0); 2])).collect();
    let mut order: Vec<usize> =
        (0..cellar.lots.len()).filter(|&position| cellar.lots[position].lot.group == group).collect();
    order.sort_by_key(|&position| match cellar.lots[position].lot.filled {
        Filled::Opening(_) => None,
        // Blends first: a tank that is emptied in the slot may be free for one transfer only.
        Filled::In(period) => Some((period, -cellar.lots[position].lot.transfers)),
    });
    for position in order {
        let lot = cellar.lots[position].lot;
        let vessel = match (cellar.lots[position].vessel, lot.filled) {
            (None, Filled::In(period)) => free
                .iter()
                .find(|(_, from)| from[usize::from(lot.transfers > 1)].is_some_and(|from| from <= period))
                .map(|(&vessel, _)| vessel)
                // Where the rule is left out there may be none: the first is filled over what is in it.
                .or_else(|| free.keys().next().copied().filter(|_| !context.keeps(RuleId::OneBatch))),
            (named, _) => named,
        };
        cellar.lots[position].vessel = vessel;
        let like = &context.groups.get(group).like;
        let from = match cellar.lots[position].emptied {
            Some(Emptied::At(period)) => [1, 2].map(|transfers| {
                let slot = Slot(period);
                let at_once = bright_rest::may_refill_at_once(context, lot.beer, like, transfers, slot);
                Some(if at_once { period } else { period + 1 })
            }),
            Some(Emptied::Dump(period)) => [Some(period + 1); 2],
            Some(Emptied::Stays) | None => [None; 2],
        };
        if let Some(vessel) = vessel {
            free.insert(vessel, from);
        }
    }
}

/// A fill that wants a vessel.
#[derive(Clone, Copy)]
enum Wanted {
    Batch(usize),
    Lot(usize),
}

/// An empty clean vessel.
struct Clean {
    vessel: VesselId,
    cleaned: Option<PeriodId>,
    /// It was emptied in the slot in which it was cleaned, and cannot be filled in that slot.
    at_once: bool,
}

fn name_fermenters(
    context: &Context,
    values: Values,
    group: GroupId,
    cellar: &mut Cellar,
    tasks: &mut Vec<Task>,
) {
    let case = context.case;
    let like = &context.groups.get(group).like;
    let vessels = &context.groups.get(group).vessels;
    let mut dirty: Vec<VesselId> = vessels.iter().copied().filter(|id| case.dirty.contains(id)).collect();
    let is_full = |id: &VesselId| case.in_tank.iter().any(|tank| tank.vessel == *id);
    let mut was_cleaned: BTreeSet<VesselId> = BTreeSet::new();
    let mut clean: Vec<Clean> = vessels
        .iter()
        .copied()
        .filter(|id| !case.dirty.contains(id) && !is_full(id))
        .map(|vessel| Clean { vessel, cleaned: None, at_once: false })
        .collect();
    for period in 0..context.grid.fine() {
        let slot = Slot(period);
        let mut emptied_now = emptied(context, cellar, group, period, true);
        // Those that can be filled again in this slot come first.
        emptied_now.sort_by_key(|&(_, takes)| takes);
        let is_stuck = |vessel: &VesselId| {
            let found = emptied_now.iter().find(|(emptied, _)| emptied == vessel);
            found.is_some_and(|&(_, takes)| !clean::may_turn_around_at_once(context, like, slot, takes))
        };
        dirty.extend(emptied_now.iter().map(|&(vessel, _)| vessel));
        let count = context.columns.clean.get(&(group, period)).map_or(0, |&column| values.count(column));
        if let Some(&column) = context.columns.clean_opening.get(&(group, period)) {
            // Vessels dirty since before day 0 have no hard end: so many of them are cleaned, and the rest wait.
            let wanted = values.count(column);
            let is_opening = |id: &VesselId| case.dirty.contains(id) && !was_cleaned.contains(id);
            let (opening, others): (Vec<VesselId>, Vec<VesselId>) = dirty.drain(..).partition(is_opening);
            let rest = opening[wanted.min(opening.len())..].to_vec();
            dirty.extend(opening.into_iter().take(wanted));
            dirty.extend(others);
            dirty.extend(rest);
        }
        for vessel in dirty.drain(..count.min(dirty.len())) {
            tasks.push(Task::new(slot, Work::Clean { vessel }));
            was_cleaned.insert(vessel);
            clean.push(Clean { vessel, cleaned: Some(period), at_once: is_stuck(&vessel) });
        }
        let mut wanted = wanted(cellar, group, period).into_iter();
        for cleaned in std::iter::once(None).chain((0..=period).map(Some)) {
            let column = context.columns.fresh.get(&(group, cleaned, period));
            for _ in 0..column.map_or(0, |&column| values.count(column)) {
                let may_be_at_once = cleaned != Some(period);
                let found = clean
                    .iter()
                    .position(|one| one.cleaned == cleaned && !one.at_once)
                    .or_else(|| clean.iter().position(|one| one.cleaned == cleaned && may_be_at_once));
                if let (Some(found), Some(want)) = (found, wanted.next()) {
                    give(cellar, want, clean.remove(found).vessel);
                }
            }
        }
        // What is left wants a sanitised vessel (or any clean one, where the rule is left out).
        for want in wanted {
            let oldest = (0..clean.len()).min_by_key(|&position| clean[position].cleaned);
            if let Some(position) = oldest {
                let vessel = clean.remove(position).vessel;
                if context.columns.stale.contains_key(&(group, period)) {
                    tasks.push(Task::new(slot, Work::Sanitise { vessel }));
                }
                give(cellar, want, vessel);
            }
        }
        dirty.extend(emptied(context, cellar, group, period, false).into_iter().map(|(vessel, _)| vessel));
        if outage::soiled(context).contains(&(group, period)) {
            dirty.extend(clean.drain(..).map(|one| one.vessel));
        }
    }
}

fn give(cellar: &mut Cellar, want: Wanted, vessel: VesselId) {
    match want {
        Wanted::Batch(position) => cellar.batches[position].vessel = Some(vessel),
        Wanted::Lot(position) => cellar.lots[position].vessel = Some(vessel),
    }
}

fn wanted(cellar: &Cellar, group: GroupId, period: PeriodId) -> Vec<Wanted> {
    let mut wanted = Vec::new();
    for (position, batch) in cellar.batches.iter().enumerate() {
        if batch.group == group && batch.turns.first().is_some_and(|&(first, _)| first == period) {
            wanted.push(Wanted::Batch(position));
        }
    }
    for (position, run) in cellar.lots.iter().enumerate() {
        if run.lot.group == group && run.lot.filled == Filled::In(period) {
            wanted.push(Wanted::Lot(position));
        }
    }
    wanted
}

/// Vessels of a group emptied in a period, by transfers after which they may be cleaned in it or otherwise, with the clock time
/// of the transfer.
fn emptied(
    context: &Context,
    cellar: &Cellar,
    group: GroupId,
    period: PeriodId,
    by_transfer: bool,
) -> Vec<(VesselId, Minutes)> {
    let like = &context.groups.get(group).like;
    let mut vessels = Vec::new();
    for batch in cellar.batches.iter().filter(|batch| batch.group == group) {
        let takes = clean::emptying_takes(context, batch.kind);
        let is_transfer = matches!(batch.leaving, Some(Leaving::Bright { .. }))
            && clean::may_clean_at_once(context, like, Slot(period), takes);
        if batch.emptied == Some(period) && is_transfer == by_transfer {
            vessels.extend(batch.vessel.map(|vessel| (vessel, takes)));
        }
    }
    for run in cellar.lots.iter().filter(|run| run.lot.group == group && !by_transfer) {
        if let Some(Emptied::At(at) | Emptied::Dump(at)) = run.emptied
            && at == period
        {
            vessels.extend(run.vessel.map(|vessel| (vessel, Minutes::ZERO)));
        }
    }
    vessels
}

fn list_batches(cellar: &Cellar, context: &Context, tasks: &mut Vec<Task>) {
    let mut taken = vec![false; cellar.lots.len()];
    for batch in &cellar.batches {
        let Some(vessel) = batch.vessel else { continue };
        let beer = context.kind(batch.kind).beer;
        for &(period, turns) in batch.turns.iter().filter(|&&(period, _)| context.grid.is_fine(period)) {
            tasks.push(Task::new(Slot(period), Work::Brew { beer, vessel, turns }));
        }
        for &(work, period) in &batch.work {
            tasks.push(Task::new(Slot(period), Work::Tank { beer, work, vessel }));
        }
        match batch.leaving {
            Some(Leaving::Dump(period)) => {
                tasks.push(Task::new(Slot(period), Work::Dump { vessel }));
            }
            Some(Leaving::Direct { carbonated: Some(period), .. }) => {
                tasks.push(Task::new(Slot(period), Work::Carbonate { vessel }));
            }
            Some(Leaving::Direct { .. } | Leaving::Bright { .. } | Leaving::Stays) | None => {}
        }
        let blended = batch.blend.and_then(|blend| cellar.blends[blend].1);
        if let (Some(lot), Some(period)) = (blended, batch.emptied) {
            taken[lot] = true;
            if let Some(to) = cellar.lots[lot].vessel {
                let volume = context.kind(batch.kind).tank_volume;
                tasks.push(Task::new(Slot(period), Work::Transfer { from: vessel, to, volume }));
            }
        }
        for stage in &batch.stages {
            let Some(period) = stage.period else { continue };
            let found = (0..cellar.lots.len()).find(|&position| {
                let lot = cellar.lots[position].lot;
                !taken[position]
                    && lot.filled == Filled::In(period)
                    && lot.transfers == 1
                    && (lot.beer, lot.group, lot.volume) == (beer, stage.group, stage.arrives)
            });
            if let Some(position) = found {
                taken[position] = true;
                if let Some(to) = cellar.lots[position].vessel {
                    let work = Work::Transfer { from: vessel, to, volume: stage.leaves };
                    tasks.push(Task::new(Slot(period), work));
                }
            }
        }
    }
    for run in &cellar.lots {
        if let (Some(Emptied::Dump(period)), Some(vessel)) = (run.emptied, run.vessel) {
            tasks.push(Task::new(Slot(period), Work::Dump { vessel }));
        }
    }
}
