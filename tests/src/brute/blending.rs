//! Two whole batches of one beer into one bright tank in one slot (R01, R02, R06): the first opens the tank, the second fills it.

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Task, Work};

use super::facts::Facts;
use super::moving::{fill, is_forced, may_begin_to_leave, transferred_out, wait};
use super::state::{Batch, Content, Leaving, State, per_hectolitre};

/// Adds every way to move a whole batch into a tank together with another.
pub fn blends(facts: &Facts, state: &State, slot: Slot, from: VesselId, found: &mut Vec<State>) {
    let Content::Batch(batch) = &state.vessels[from.0] else { return };
    let beer = facts.case.beer(batch.beer);
    let may = beer.blend && beer.bright && matches!(batch.leaving, Leaving::NotYet);
    if !may || !may_begin_to_leave(facts, batch, slot) {
        return;
    }
    for to in facts.case.vessel_ids().filter(|&id| facts.case.vessel(id).is_bright_only()) {
        let mut next = state.clone();
        let is_done = match state.vessels[to.0] {
            Content::Empty(_) => opens(facts, &mut next, slot, from, to, batch),
            Content::Lot(_) => joins(facts, &mut next, slot, from, to, batch),
            Content::Batch(_) => false,
        };
        if is_done {
            wait(facts, &mut next, batch, facts.day(slot));
            transferred_out(facts, &mut next, slot, from, batch.beer);
            found.push(next);
        }
    }
}

fn opens(facts: &Facts, next: &mut State, slot: Slot, from: VesselId, to: VesselId, batch: &Batch) -> bool {
    let arrives = facts.case.transfer.arrives(batch.volume);
    let may = arrives <= facts.case.vessel(to).holds && facts.may_carbonate(batch.beer, to);
    may && fill(facts, next, slot, from, batch.beer, (to, batch.volume), 2)
}

fn joins(facts: &Facts, next: &mut State, slot: Slot, from: VesselId, to: VesselId, batch: &Batch) -> bool {
    let Content::Lot(index) = next.vessels[to.0] else { return false };
    let lot = &mut next.lots[index];
    let arrives = facts.case.transfer.arrives(batch.volume);
    let vessel = facts.case.vessel(to);
    let all = lot.volume + arrives;
    let is_open = lot.is_open && lot.filled_in == Some(slot) && lot.beer == batch.beer;
    if !is_open || all < vessel.least || all > vessel.holds {
        return false;
    }
    lot.volume = all;
    lot.is_open = false;
    next.job(facts, slot, &facts.case.transfer.job);
    next.costs += facts.case.rates.transfer.0 as f64;
    if is_forced(facts, batch.beer) {
        next.costs += per_hectolitre(facts.gas(batch.beer), arrives);
    }
    next.tasks.push(Task::new(slot, Work::Transfer { from, to, volume: batch.volume, full: false }));
    true
}
