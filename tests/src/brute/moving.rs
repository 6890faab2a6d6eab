//! Beer leaves its fermenter: transfers in one or several stages, carbonating for the direct route.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Split, Turnaround};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{Task, Work};
use cellarwright_model::units::{Minutes, Volume, mul_div};

use super::blending::blends;
use super::facts::Facts;
use super::filling::may_receive;
use super::full_clean;
use super::state::{Batch, Content, Emptied, Empty, Gas, Leaving, Lot, State, per_hectolitre};
use super::tank_work;

/// Working days within which all stages of a batch follow the first (R22).
const STAGE_DAYS: i64 = 3;
/// Transfers of one batch at most (R22).
const STAGES: usize = 4;

/// All ways to transfer from one fermenter in a slot, doing nothing included.
pub fn transfers(facts: &Facts, state: &State, slot: Slot, from: VesselId) -> Vec<State> {
    let mut found = vec![state.clone()];
    let Content::Batch(batch) = &state.vessels[from.0] else {
        return found;
    };
    if !facts.works(Role::Cellar, slot) {
        return found;
    }
    blends(facts, state, slot, from, &mut found);
    to_condition(facts, state, slot, from, batch, &mut found);
    match &batch.leaving {
        Leaving::NotYet => {
            if !matches!(batch.gas, Gas::In(_)) {
                part_of_it(facts, state, slot, from, batch, &mut found);
            }
            if may_begin_to_leave(facts, batch, slot)
                && facts.case.beer(batch.beer).bright
                && !matches!(batch.gas, Gas::In(_))
            {
                for stages in stage_lists(facts, batch) {
                    let mut begun = state.clone();
                    wait(facts, &mut begun, batch, facts.day(slot));
                    set_leaving(&mut begun, from, Leaving::Stages { first: slot, pending: stages });
                    move_some(facts, &begun, slot, from, &mut found);
                }
            }
        }
        Leaving::Stages { first, .. } => {
            if facts.working_days(Role::Cellar, facts.day(*first), facts.day(slot)) <= STAGE_DAYS {
                move_some(facts, state, slot, from, &mut found);
            }
        }
        Leaving::Direct(_) | Leaving::Parted => {}
    }
    found
}

/// A second round of transfers in a slot, into vessels that were cleaned in it.
pub fn late_transfers(facts: &Facts, state: &State, slot: Slot, from: VesselId) -> Vec<State> {
    let mut late = state.clone();
    late.is_late = true;
    transfers(facts, &late, slot, from)
}

/// Whether a vessel that is cleaned by work of its own is filled in this round of the slot's transfers: in the second, if it was
/// cleaned in the slot.
fn is_its_round(state: &State, slot: Slot, to: VesselId) -> bool {
    let Content::Empty(empty) = state.vessels[to.0] else { return false };
    state.is_late == empty.cleaned.is_some_and(|cleaned| cleaned.slot == Some(slot))
}

/// R21: adds every way to move a whole batch into a conditioning tank.
fn to_condition(
    facts: &Facts,
    state: &State,
    slot: Slot,
    from: VesselId,
    batch: &Batch,
    found: &mut Vec<State>,
) {
    let case = facts.case;
    let beer = case.beer(batch.beer);
    let Some(rest) = beer.conditions else { return };
    let day = facts.day(slot);
    let complete = batch.is_complete(beer);
    let in_time = day >= batch.ready - rest && day < batch.ready - i64::from(beer.during_chill);
    let bound = batch.moved || !matches!(batch.gas, Gas::None);
    let after_work = tank_work::may_be_moved(facts, batch, day);
    if !complete || !in_time || !after_work || bound || !matches!(batch.leaving, Leaving::NotYet) {
        return;
    }
    let arrives = case.transfer.arrives(batch.volume);
    for to in case.vessel_ids().filter(|&to| to != from && case.vessel(to).uses.condition) {
        let vessel = case.vessel(to);
        let mut next = state.clone();
        let fits = vessel.least <= arrives && arrives <= vessel.holds;
        if !fits || !is_its_round(state, slot, to) || !may_receive(facts, &mut next, slot, to) {
            continue;
        }
        next.job(facts, slot, &case.transfer.job);
        next.job(facts, slot, &vessel.purge.job);
        next.costs += (case.rates.transfer.0 + vessel.purge.gas.0) as f64;
        next.tasks.push(Task::new(slot, Work::Transfer { from, to, volume: batch.volume, full: false }));
        if !next.full_cleans.fill(facts, to, batch.beer) {
            continue;
        }
        transferred_out(facts, &mut next, slot, from, batch.beer);
        next.vessels[to.0] = Content::Batch(Batch { moved: true, volume: arrives, ..batch.clone() });
        found.push(next);
    }
}

/// Whether a beer is carbonated in a tank.
pub fn is_forced(facts: &Facts, beer: BeerId) -> bool {
    facts.is_forced(beer)
}

/// R02, R04, R05: whether a batch may begin to leave in a slot.
pub fn may_begin_to_leave(facts: &Facts, batch: &Batch, slot: Slot) -> bool {
    let beer = facts.case.beer(batch.beer);
    let day = facts.day(slot);
    let complete = batch.is_complete(beer);
    let complete = complete && tank_work::may_leave(facts, batch, day);
    complete && day >= batch.ready && (batch.is_opening() || day <= batch.on + beer.must_leave)
}

/// R05: costs of waiting until a day.
pub fn wait(facts: &Facts, state: &mut State, batch: &Batch, until: i64) {
    let beer = facts.case.beer(batch.beer);
    let waited = (until - batch.ready - beer.may_wait).max(0);
    state.costs += per_hectolitre(waited * facts.case.rates.waiting.0, batch.volume);
    if batch.is_opening() {
        let over = (until - batch.on - beer.must_leave).max(0);
        state.last_resort += per_hectolitre(over * facts.case.rates.over_limit.0, batch.volume);
    }
}

/// Whether stages still to come may stay open on a day (R22).
pub fn stages_in_time(facts: &Facts, first: Slot, day: i64) -> bool {
    facts.working_days(Role::Cellar, facts.day(first), day) <= STAGE_DAYS
}

fn set_leaving(state: &mut State, vessel: VesselId, leaving: Leaving) {
    if let Content::Batch(batch) = &mut state.vessels[vessel.0] {
        batch.leaving = leaving;
    }
}

/// Whether a lot of this volume may be in a tank (R02, R11).
fn takes(facts: &Facts, beer: BeerId, tank: VesselId, leaves: Volume) -> bool {
    let arrives = facts.case.transfer.arrives(leaves);
    let vessel = facts.case.vessel(tank);
    vessel.least <= arrives && arrives <= vessel.holds && facts.may_carbonate(beer, tank)
}

/// All lists of bright tanks for one batch, in order of their numbers, one tank several times where it comes to that.
///
/// A split goes over the fewest tanks that take the batch: a restriction of the program.
fn stage_lists(facts: &Facts, batch: &Batch) -> Vec<Vec<(VesselId, Volume)>> {
    let case = facts.case;
    let tanks: Vec<VesselId> = case.vessel_ids().filter(|&id| case.vessel(id).uses.bright).collect();
    let fits_one = tanks.iter().any(|&tank| {
        let arrives = case.transfer.arrives(batch.volume);
        case.vessel(tank).least <= arrives && arrives <= case.vessel(tank).holds
    });
    let most = match case.beer(batch.beer).split {
        Split::Never => 1,
        Split::Needed if fits_one => 1,
        Split::Needed | Split::Free => STAGES,
    };
    let mut lists: Vec<Vec<VesselId>> = vec![Vec::new()];
    let mut found = Vec::new();
    for _ in 1..=most {
        if found.iter().any(|stages: &Vec<_>| stages.len() > 1) {
            break;
        }
        let mut longer = Vec::new();
        for list in &lists {
            for &tank in tanks.iter().filter(|&&tank| list.last().is_none_or(|&last| last <= tank)) {
                let mut list = list.clone();
                list.push(tank);
                longer.push(list);
            }
        }
        for list in &longer {
            let stages = in_proportion(facts, list, batch.volume);
            if stages.iter().all(|&(tank, leaves)| takes(facts, batch.beer, tank, leaves)) {
                found.push(stages);
            }
        }
        lists = longer;
    }
    found
}

/// A batch split over tanks in proportion to what they hold; the last takes the rest of the rounding.
fn in_proportion(facts: &Facts, tanks: &[VesselId], volume: Volume) -> Vec<(VesselId, Volume)> {
    let all: i64 = tanks.iter().map(|&tank| facts.case.vessel(tank).holds.0).sum();
    let mut parts: Vec<(VesselId, Volume)> = tanks
        .iter()
        .map(|&tank| (tank, Volume(mul_div(volume.0, facts.case.vessel(tank).holds.0, all))))
        .collect();
    let given: Volume = parts.iter().map(|&(_, part)| part).sum();
    if let Some(last) = parts.last_mut() {
        last.1 += volume - given;
    }
    parts
}

/// Adds every way to move a part of a batch whose rest is to be packaged from the fermenter: a bright tank full, or with no more than
/// it must have, and a tenth of the batch left (restrictions of the program).
fn part_of_it(
    facts: &Facts,
    state: &State,
    slot: Slot,
    from: VesselId,
    batch: &Batch,
    found: &mut Vec<State>,
) {
    let case = facts.case;
    let beer = case.beer(batch.beer);
    let can = beer.both
        && case.vessel(from).uses.package
        && matches!(batch.gas, Gas::None)
        && may_begin_to_leave(facts, batch, slot);
    if !can {
        return;
    }
    for to in case.vessel_ids().filter(|&to| to != from && case.vessel(to).uses.bright) {
        let tank = case.vessel(to);
        let nearly = |arrives: Volume| {
            // Losses are a fixed volume and a share: what leaves is near this, and rounding moves it by little.
            let kept = 1_000_000 - case.transfer.loss_share.0;
            mul_div((arrives + case.transfer.loss_fixed).0, 1_000_000, kept.max(1))
        };
        let around = |near: i64| (near - 5..=near + 5).map(Volume);
        let full = around(nearly(tank.holds)).rfind(|&leaves| case.transfer.arrives(leaves) <= tank.holds);
        let least = around(nearly(tank.least)).find(|&leaves| case.transfer.arrives(leaves) >= tank.least);
        let mut parts: Vec<Volume> = full.into_iter().chain(least).collect();
        parts.dedup();
        for leaves in parts {
            let rest = batch.volume - leaves;
            if leaves <= Volume::ZERO || rest.0 * 10 < batch.volume.0 || !takes(facts, batch.beer, to, leaves)
            {
                continue;
            }
            let mut next = state.clone();
            wait(facts, &mut next, batch, facts.day(slot));
            if fill(facts, &mut next, slot, from, batch.beer, (to, leaves), 1) {
                let parted =
                    Batch { volume: rest, parted: Some(slot), leaving: Leaving::Parted, ..batch.clone() };
                next.vessels[from.0] = Content::Batch(parted);
                found.push(next);
            }
        }
    }
}

/// Adds every state in which at least one of the pending stages is done in this slot.
fn move_some(facts: &Facts, state: &State, slot: Slot, from: VesselId, found: &mut Vec<State>) {
    let Content::Batch(batch) = &state.vessels[from.0] else {
        return;
    };
    let Leaving::Stages { first, pending } = &batch.leaving else {
        return;
    };
    for chosen in 1_u32..1 << pending.len() {
        let now = |index: &usize| chosen & (1 << *index) != 0;
        let moved: Vec<usize> = (0..pending.len()).filter(now).collect();
        let mut next = state.clone();
        if !moved.iter().all(|&index| fill(facts, &mut next, slot, from, batch.beer, pending[index], 1)) {
            continue;
        }
        let rest: Vec<_> = (0..pending.len()).filter(|index| !now(index)).map(|i| pending[i]).collect();
        if rest.is_empty() {
            transferred_out(facts, &mut next, slot, from, batch.beer);
        } else {
            set_leaving(&mut next, from, Leaving::Stages { first: *first, pending: rest });
        }
        found.push(next);
    }
}

/// The last of a batch has left by a transfer.
pub fn transferred_out(facts: &Facts, state: &mut State, slot: Slot, from: VesselId, beer: BeerId) {
    let emptied = Emptied {
        slot: Some(slot),
        day: facts.day(slot),
        by_transfer: true,
        is_late: state.is_late,
        beer: Some(beer),
    };
    state.vessels[from.0] = Content::Empty(Empty { cleaned: None, again: None, emptied });
}

/// R06: fills one bright tank, by the first of so many transfers; false if it cannot be filled in this slot.
pub fn fill(
    facts: &Facts,
    state: &mut State,
    slot: Slot,
    from: VesselId,
    beer: BeerId,
    (to, leaves): (VesselId, Volume),
    transfers: i64,
) -> bool {
    let case = facts.case;
    let tank = case.vessel(to);
    let Content::Empty(empty) = state.vessels[to.0] else {
        return false;
    };
    let is_apart = facts.is_apart(to);
    if is_apart && (!is_its_round(state, slot, to) || !may_receive(facts, state, slot, to)) {
        return false;
    }
    if !is_apart && state.is_late {
        return false;
    }
    let clean = full_clean::job(facts, state, slot, to);
    let before = if is_apart { Minutes::ZERO } else { clean.takes } + tank.purge.job.takes;
    let work = before + Minutes(case.transfer.takes().0 * transfers);
    if work > facts.clock(slot) {
        return false;
    }
    if empty.emptied.slot == Some(slot) && !is_apart {
        let slowest = empty.emptied.beer.map_or(Minutes::ZERO, |beer| slowest_packaging(facts, beer, to));
        if tank.refill == Turnaround::NextShift || slowest + work > facts.clock(slot) {
            return false;
        }
    }
    let arrives = case.transfer.arrives(leaves);
    state.job(facts, slot, &case.transfer.job);
    let mut full = false;
    if !is_apart {
        state.job(facts, slot, &clean);
        *state.slots[slot.0].cleaning.entry(tank.reach).or_default() += clean.takes;
        full = state.full_cleans.clean(slot, to);
        state.costs += full_clean::cost(facts, full, to);
    }
    if !state.full_cleans.fill(facts, to, beer) {
        return false;
    }
    state.job(facts, slot, &tank.purge.job);
    if is_forced(facts, beer) {
        state.job(facts, slot, &case.carbonate);
        state.costs += per_hectolitre(facts.gas(beer), arrives);
    }
    state.costs += (case.rates.transfer.0 + tank.purge.gas.0) as f64;
    state.tasks.push(Task::new(slot, Work::Transfer { from, to, volume: leaves, full }));
    state.vessels[to.0] = Content::Lot(state.lots.len());
    state.lots.push(Lot {
        vessel: to,
        beer,
        volume: arrives,
        transfers,
        is_open: transfers > 1,
        is_direct: false,
        is_opening: false,
        filled: facts.day(slot),
        filled_in: Some(slot),
        first: None,
        emptied: None,
    });
    true
}

/// Clock time for packaging a full tank on the slowest line of the beer, rounded up to the minute.
fn slowest_packaging(facts: &Facts, beer: BeerId, tank: VesselId) -> Minutes {
    let case = facts.case;
    let holds = case.vessel(tank).holds.0;
    let times = case.beer(beer).packaged.iter().map(|packaged| {
        let pace = case.line(case.format(packaged.format).line).pace().0;
        Minutes((holds * 60 + pace - 1) / pace)
    });
    times.max().unwrap_or_default()
}

/// Carbonating a fermenter in a slot, or not.
pub fn carbonating(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Vec<State> {
    let mut found = vec![state.clone()];
    let Content::Batch(batch) = &state.vessels[vessel.0] else {
        return found;
    };
    let case = facts.case;
    let beer = case.beer(batch.beer);
    let early = i64::from(beer.during_chill);
    let complete = batch.is_complete(beer);
    let can = beer.direct
        && is_forced(facts, batch.beer)
        && complete
        && tank_work::is_done(facts, batch)
        && case.vessel(vessel).uses.package
        && matches!(batch.gas, Gas::None)
        && matches!(batch.leaving, Leaving::NotYet | Leaving::Parted)
        && facts.works(Role::Cellar, slot)
        && facts.day(slot) >= batch.ready - early
        && facts.may_carbonate(batch.beer, vessel);
    if can {
        let mut next = state.clone();
        next.job(facts, slot, &case.carbonate);
        let volume = beer.loss_direct.taken_off(batch.volume);
        next.costs += per_hectolitre(facts.gas(batch.beer), volume);
        next.tasks.push(Task::new(slot, Work::Carbonate { vessel }));
        if let Content::Batch(batch) = &mut next.vessels[vessel.0] {
            batch.gas = Gas::In(slot);
        }
        found.push(next);
    }
    found
}
