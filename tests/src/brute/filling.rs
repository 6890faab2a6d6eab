//! Empty fermenters: cleaning, and turns of wort.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Job, RoleTimes, Turnaround};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{Task, Work};
use cellarwright_model::units::{Minutes, Volume};

use super::facts::Facts;
use super::full_clean;
use super::heat;
use super::pins;
use super::state::{Batch, Cleaned, Content, Empty, Gas, Leaving, State};
use super::tank_work::Progress;

/// Cleaning a dirty fermenter in a slot, or not.
pub fn cleaning(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Vec<State> {
    let mut found = vec![state.clone()];
    let case = facts.case;
    let tank = case.vessel(vessel);
    let takes = full_clean::job(facts, state, slot, vessel).takes;
    let Content::Empty(empty) = state.vessels[vessel.0] else {
        return found;
    };
    if !facts.is_apart(vessel) || !facts.works(Role::Cellar, slot) {
        return found;
    }
    // A clean vessel is cleaned for a pin alone, counts as clean since before and is filled later: as in the program.
    if empty.cleaned.is_some() {
        let before = empty.cleaned.is_some_and(|cleaned| cleaned.slot != Some(slot));
        if before
            && empty.again != Some(slot)
            && pins::asks_to_clean(facts, slot, vessel)
            && takes <= facts.clock(slot)
        {
            let mut next = cleaned_once(facts, state, slot, vessel);
            next.vessels[vessel.0] = Content::Empty(Empty { again: Some(slot), ..empty });
            found.push(next);
        }
        return found;
    }
    let clock = facts.clock(slot);
    let emptied_now = empty.emptied.slot == Some(slot);
    let in_time = if emptied_now {
        empty.emptied.by_transfer
            && tank.clean_after == Turnaround::SameShift
            && case.transfer.takes() + takes <= clock
    } else {
        takes <= clock
    };
    if in_time {
        let mut next = cleaned_once(facts, state, slot, vessel);
        let cleaned = Some(Cleaned { at: facts.start(slot), slot: Some(slot) });
        next.vessels[vessel.0] = Content::Empty(Empty { cleaned, ..empty });
        found.push(next);
    }
    found
}

/// The work of a clean.
fn cleaned_once(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> State {
    let tank = facts.case.vessel(vessel);
    let mut next = state.clone();
    let clean = full_clean::job(facts, state, slot, vessel);
    next.job(facts, slot, &clean);
    *next.slots[slot.0].cleaning.entry(tank.reach).or_default() += clean.takes;
    let full = next.full_cleans.clean(slot, vessel);
    next.costs += full_clean::cost(facts, full, vessel);
    next.tasks.push(Task::new(slot, Work::Clean { vessel, full }));
    next
}

/// Cleaning a fermenter that the second round of transfers has emptied in the slot, or not.
pub fn late_cleaning(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Vec<State> {
    match &state.vessels[vessel.0] {
        Content::Empty(empty) if empty.emptied.slot == Some(slot) && empty.emptied.is_late => {
            cleaning(facts, state, slot, vessel)
        }
        _ => vec![state.clone()],
    }
}

/// All ways to brew into one fermenter in a slot, not brewing included.
pub fn brewing(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Vec<State> {
    let mut found = vec![state.clone()];
    let case = facts.case;
    if !facts.works(Role::Brew, slot) || !case.vessel(vessel).uses.ferment {
        return found;
    }
    match &state.vessels[vessel.0] {
        Content::Empty(empty) => {
            let Some(cleaned) = empty.cleaned else {
                return found;
            };
            let takes = case.brewhouse.next_turn.takes;
            if empty.again == Some(slot)
                || !fits_after_cleaning(facts, state, (slot, vessel), empty, cleaned, takes)
            {
                return found;
            }
            let stale = facts.start(slot) - cleaned.at > case.cleaning.stays_clean;
            if stale && !facts.works(Role::Cellar, slot) {
                return found;
            }
            for beer in case.beer_ids().filter(|&beer| facts.may_ferment(beer, vessel)) {
                let whole = (1..=case.brewhouse.turns_per_day).map(|turns| (turns, None));
                let parts = case.beer(beer).part_turns.iter().map(|&part| (1, Some(part)));
                for turns in whole.chain(parts) {
                    let mut next = state.clone();
                    if stale {
                        sanitise(facts, &mut next, slot, vessel);
                    }
                    let may = next.full_cleans.fill(facts, vessel, beer);
                    if may && add_turns(facts, &mut next, slot, vessel, beer, Some(slot), 0, turns) {
                        found.push(next);
                    }
                }
            }
        }
        Content::Batch(batch) => {
            let Some(first) = batch.first else {
                return found;
            };
            let within = facts.start(slot) - facts.start(first) <= case.brewhouse.fill_within;
            if !batch.moved
                && batch.part.is_none()
                && batch.work.done == 0
                && first < slot
                && within
                && matches!(batch.leaving, Leaving::NotYet)
                && !is_gassed(batch)
            {
                for turns in (1..=case.brewhouse.turns_per_day).map(|turns| (turns, None)) {
                    let mut next = state.clone();
                    if add_turns(facts, &mut next, slot, vessel, batch.beer, Some(first), batch.turns, turns)
                    {
                        found.push(next);
                    }
                }
            }
        }
        Content::Lot(_) => {}
    }
    found
}

fn is_gassed(batch: &Batch) -> bool {
    !matches!(batch.gas, Gas::None)
}

/// R08: a fill in the slot of the clean needs the clock time of both, and of the transfer before them.
fn fits_after_cleaning(
    facts: &Facts,
    state: &State,
    (slot, vessel): (Slot, VesselId),
    empty: &Empty,
    cleaned: Cleaned,
    takes: Minutes,
) -> bool {
    if cleaned.slot != Some(slot) {
        return true;
    }
    let case = facts.case;
    let mut work = full_clean::job(facts, state, slot, vessel).takes + takes;
    if empty.emptied.slot == Some(slot) {
        work += case.transfer.takes();
    }
    work <= facts.clock(slot)
}

fn sanitise(facts: &Facts, state: &mut State, slot: Slot, vessel: VesselId) {
    state.job(facts, slot, &facts.case.sanitise);
    state.costs += facts.case.rates.sanitise.0 as f64;
    state.tasks.push(Task::new(slot, Work::Sanitise { vessel }));
}

/// R08: makes a vessel that is cleaned by work of its own ready for a transfer; false if it is dirty, or there is no time.
///
/// A vessel of several uses is not filled by a transfer in the slot in which one empties it: a restriction of the program.
pub fn may_receive(facts: &Facts, state: &mut State, slot: Slot, vessel: VesselId) -> bool {
    let Content::Empty(empty) = state.vessels[vessel.0] else { return false };
    let Some(cleaned) = empty.cleaned else { return false };
    let uses = facts.case.vessel(vessel).uses;
    let has_one_use =
        [uses.ferment, uses.condition, uses.bright].into_iter().filter(|&used| used).count() == 1;
    if empty.again == Some(slot) || empty.emptied.slot == Some(slot) && !has_one_use {
        return false;
    }
    if facts.start(slot) - cleaned.at > facts.case.cleaning.stays_clean {
        sanitise(facts, state, slot, vessel);
    }
    fits_after_cleaning(facts, state, (slot, vessel), &empty, cleaned, facts.case.transfer.takes())
}

#[allow(clippy::too_many_arguments)]
fn add_turns(
    facts: &Facts,
    state: &mut State,
    slot: Slot,
    vessel: VesselId,
    beer: BeerId,
    first: Option<Slot>,
    before: i64,
    (turns, part): (i64, Option<Volume>),
) -> bool {
    let case = facts.case;
    let of = case.beer(beer);
    let all = before + turns;
    let wort = Volume(all * part.unwrap_or(case.turn_of(beer)).0);
    let too_many = part.is_none() && of.turns.iter().all(|&allowed| allowed < all);
    if too_many || wort > case.vessel(vessel).holds {
        return false;
    }
    state.slots[slot.0].turns += turns;
    state.slots[slot.0].longer += turns * of.brewing.longer.takes.0;
    state.job(facts, slot, &times(&of.brewing.longer, turns));
    if day_turns(facts, state, slot) > turns_a_day(facts) || !day_is_long_enough(facts, state, slot) {
        return false;
    }
    state.tasks.push(Task::new(slot, Work::Brew { beer, vessel, turns, part }));
    if let Content::Batch(batch) = &state.vessels[vessel.0] {
        heat::ferment_on(facts, &mut state.heat, beer, batch.wort, batch.on);
    }
    heat::ferment(facts, &mut state.heat, beer, wort, facts.day(slot));
    state.vessels[vessel.0] = Content::Batch(Batch {
        moved: false,
        beer,
        wort,
        turns: all,
        part,
        first,
        on: facts.day(slot),
        ready: facts.day(slot) + of.stay_days(),
        volume: of.loss_tank.taken_off(wort),
        gas: Gas::None,
        parted: None,
        leaving: Leaving::NotYet,
        work: Progress::none(),
    });
    true
}

/// R03: turns that the brewhouse makes in a day.
pub fn turns_a_day(facts: &Facts) -> i64 {
    let brewhouse = &facts.case.brewhouse;
    let left = brewhouse.hours_per_day - brewhouse.first_turn.takes;
    if left < Minutes::ZERO {
        return 0;
    }
    let more =
        if brewhouse.next_turn.takes.0 > 0 { left.0 / brewhouse.next_turn.takes.0 } else { i64::MAX - 1 };
    brewhouse.turns_per_day.min(1 + more)
}

/// A job so many times.
fn times(job: &Job, count: i64) -> Job {
    Job {
        takes: Minutes(job.takes.0 * count),
        crew: RoleTimes(job.crew.0.map(|time| Minutes(time.0 * count))),
    }
}

/// R03: whether the turns of a day so far, with what their beers take longer, fit into the brewhouse's hours.
fn day_is_long_enough(facts: &Facts, state: &State, slot: Slot) -> bool {
    let shifts = facts.case.calendar.shifts.len();
    let first = slot.0 - slot.0 % shifts;
    let longer: i64 = state.slots[first..=slot.0].iter().map(|work| work.longer).sum();
    let brewhouse = &facts.case.brewhouse;
    let further = day_turns(facts, state, slot) - 1;
    brewhouse.first_turn.takes.0 + further * brewhouse.next_turn.takes.0 + longer <= brewhouse.hours_per_day.0
}

fn day_turns(facts: &Facts, state: &State, slot: Slot) -> i64 {
    let shifts = facts.case.calendar.shifts.len();
    let first = slot.0 - slot.0 % shifts;
    state.slots[first..=slot.0].iter().map(|work| work.turns).sum()
}

/// R01, R02: whether every batch that can take no more turns after a slot has a size that its beer lists and its vessel takes.
pub fn sizes_are_good(facts: &Facts, state: &State, slot: Slot) -> bool {
    let case = facts.case;
    let next = Slot(slot.0 + 1);
    case.vessel_ids().all(|vessel| match &state.vessels[vessel.0] {
        Content::Batch(batch) => {
            let open = batch.first.is_some_and(|first| {
                next.0 < facts.slots() && facts.start(next) - facts.start(first) <= case.brewhouse.fill_within
            });
            let wort = Volume(batch.turns * batch.part.unwrap_or(case.turn_of(batch.beer)).0);
            batch.is_opening()
                || batch.moved
                || open
                || (batch.is_complete(case.beer(batch.beer)) && wort >= case.vessel(vessel).least)
        }
        Content::Empty(_) | Content::Lot(_) => true,
    })
}
