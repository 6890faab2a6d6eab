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
use crate::compile::context::{Context, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::clean::Fill;
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
    /// Clock time of the transfer that emptied it in the slot in which it was cleaned.
    emptied: Option<Minutes>,
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
        .map(|vessel| Clean { vessel, cleaned: None, emptied: None })
        .collect();
    for period in 0..context.grid.fine() {
        let slot = Slot(period);
        let mut emptied_now = emptied(context, cellar, group, period, true);
        // Those that can be filled again in this slot come first.
        emptied_now.sort_by_key(|&(_, takes)| takes);
        let emptying = |vessel: &VesselId| {
            emptied_now.iter().find(|(emptied, _)| emptied == vessel).map(|&(_, takes)| takes)
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
            tasks.push(Task::new(slot, Work::Clean { vessel, full: false }));
            was_cleaned.insert(vessel);
            clean.push(Clean { vessel, cleaned: Some(period), emptied: emptying(&vessel) });
        }
        // A vessel that a pin may have cleaned again is a group of one.
        let again = context.columns.clean_again.get(&(group, period));
        if again.is_some_and(|&column| values.count(column) > 0) {
            tasks.extend(vessels.iter().map(|&vessel| Task::new(slot, Work::Clean { vessel, full: false })));
        }
        let mut wanted = wanted(cellar, group, period);
        // Where fills differ, vessels cleaned in this slot go first, and first of all those emptied in it: not every fill fits.
        let is_alike = wanted.windows(2).all(|pair| pair[0].1 == pair[1].1);
        let mut order: Vec<Option<PeriodId>> = std::iter::once(None).chain((0..=period).map(Some)).collect();
        if !is_alike {
            order.rotate_right(1);
        }
        for cleaned in order {
            let is_now = cleaned == Some(period);
            let column = context.columns.fresh.get(&(group, cleaned, period));
            let count = column.map_or(0, |&column| values.count(column));
            let rested = clean.iter().filter(|one| one.cleaned == cleaned && one.emptied.is_none()).count();
            for number in 0..count {
                let is_chain = is_now && !is_alike && number + rested < count;
                // The vessel and the fill for which there is time, rested vessels first.
                let mut fitting: Vec<(bool, usize, usize)> = Vec::new();
                for (found, one) in clean.iter().enumerate().filter(|(_, one)| one.cleaned == cleaned) {
                    let want = wanted.iter().position(|&(_, fill)| match one.emptied.filter(|_| is_now) {
                        Some(takes) => clean::may_turn_around_at_once(context, like, fill, slot, takes),
                        None => !is_now || clean::may_fill_at_once(context, like, fill, slot),
                    });
                    let is_emptied = is_now && one.emptied.is_some();
                    if !is_chain || is_emptied {
                        fitting.extend(want.map(|want| (is_emptied, found, want)));
                    }
                }
                if let Some(&(_, found, want)) = fitting.iter().min() {
                    give(cellar, wanted.remove(want).0, clean.remove(found).vessel);
                }
            }
        }
        // What is left wants a sanitised vessel (or any clean one, where the rule is left out).
        for (want, _) in wanted {
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

fn wanted(cellar: &Cellar, group: GroupId, period: PeriodId) -> Vec<(Wanted, Fill)> {
    let mut wanted = Vec::new();
    for (position, batch) in cellar.batches.iter().enumerate() {
        let brewed = batch.turns.first().map(|&(first, _)| first);
        let filled = brewed.or(batch.moved.map(|(at, _)| at));
        if batch.group == group && filled == Some(period) {
            let fill = if brewed.is_some() { Fill::Brew } else { Fill::Transfer };
            wanted.push((Wanted::Batch(position), fill));
        }
    }
    for (position, run) in cellar.lots.iter().enumerate() {
        if run.lot.group == group && run.lot.filled == Filled::In(period) {
            wanted.push((Wanted::Lot(position), Fill::Transfer));
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
        let (takes, is_transfer) = match batch.leaving {
            Some(Leaving::Moved { .. }) => (context.case.transfer.takes(), true),
            Some(Leaving::Bright { .. }) => (clean::emptying_takes(context, batch.kind), true),
            _ => (Minutes::ZERO, false),
        };
        let is_transfer = is_transfer && clean::may_clean_at_once(context, like, Slot(period), takes);
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
        let part = match context.kind(batch.kind).origin {
            Origin::New { part, .. } => part,
            Origin::Opening { .. } | Origin::Moved { .. } => None,
        };
        for &(period, turns) in batch.turns.iter().filter(|&&(period, _)| context.grid.is_fine(period)) {
            tasks.push(Task::new(Slot(period), Work::Brew { beer, vessel, turns, part }));
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
            Some(
                Leaving::Direct { .. } | Leaving::Bright { .. } | Leaving::Moved { .. } | Leaving::Stays,
            )
            | None => {}
        }
        let blended = batch.blend.and_then(|blend| cellar.blends[blend].1);
        if let (Some(lot), Some(period)) = (blended, batch.emptied) {
            taken[lot] = true;
            if let Some(to) = cellar.lots[lot].vessel {
                let volume = context.kind(batch.kind).tank_volume;
                tasks.push(Task::new(Slot(period), Work::Transfer { from: vessel, to, volume, full: false }));
            }
        }
        if let Some((at, from)) = batch.moved {
            let brewed = &cellar.batches[from];
            if let Some(from) = brewed.vessel {
                let volume = context.kind(brewed.kind).tank_volume;
                let work = Work::Transfer { from, to: vessel, volume, full: false };
                tasks.push(Task::new(Slot(at), work));
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
                    let work = Work::Transfer { from: vessel, to, volume: stage.leaves, full: false };
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
