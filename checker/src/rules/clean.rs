//! R08: vessels that ferment or condition are cleaned between two fills, on a cleaning set, and sanitised if they stood.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Reach, Turnaround};
use cellarwright_model::ids::VesselId;
use cellarwright_model::units::Minutes;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{EmptiedBy, Event, FilledBy, Ledger};

/// State of an empty vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    /// Holds beer.
    Full,
    /// Empty and dirty since this slot; none if since before day 0.
    Dirty(Option<(Slot, EmptiedBy)>),
    /// Cleaned in this slot (none: as long before slot 0 as it stays clean).
    Clean {
        /// Slot of the clean.
        since: Option<Slot>,
        /// It was also emptied in that slot.
        emptied_too: bool,
        /// Slot of its last sanitising since.
        sanitised: Option<Slot>,
    },
}

/// Fills into vessels that are not clean, cleans that come too early or do not fit, and cleaning sets in each slot.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        if ledger.case.vessel(vessel).is_cleaned_apart() {
            walk(ledger, vessel, breaches);
            too_long_dirty(ledger, vessel, breaches);
        }
    }
    for (slot, jobs) in jobs(ledger) {
        sets(ledger, slot, &jobs, breaches);
    }
}

/// Clock time of cleans in a slot by the sets that can do them.
type Jobs = BTreeMap<Reach, Minutes>;

/// Clock time of all cleans of each slot, by the sets that can do them.
fn jobs(ledger: &Ledger) -> BTreeMap<Slot, Jobs> {
    let mut jobs: BTreeMap<Slot, Jobs> = BTreeMap::new();
    let mut add = |slot: Slot, reach: Reach, time: Minutes| {
        if time > Minutes::ZERO {
            *jobs.entry(slot).or_default().entry(reach).or_default() += time;
        }
    };
    for charge in &ledger.charges {
        add(charge.slot, charge.reach, charge.cleaning);
    }
    for &(slot, line) in ledger.line_slots.keys() {
        let data = ledger.case.line(line);
        add(slot, data.reach, data.clean_down);
    }
    jobs
}

/// Cleans that only some sets can do take no more than the time of these sets, for every group of sets. Small groups
/// first: a group that holds a broken one says nothing new.
fn sets(ledger: &Ledger, slot: Slot, jobs: &Jobs, breaches: &mut Breaches) {
    let mut broken: Vec<Reach> = Vec::new();
    for group in set_groups(ledger) {
        if broken.iter().any(|&smaller| smaller.is_within(group)) {
            continue;
        }
        let used = time_within(jobs, group);
        let available = sets_time(ledger, slot, group);
        if used > available + cellarwright_model::tolerance::TIME {
            broken.push(group);
            let about = if group == Reach::ALL { About::CleaningSets } else { About::CleaningSet(group) };
            breaches.add(about, slot, "clock time", Amount::Time(used), Amount::Time(available));
        }
    }
}

fn time_within(jobs: &Jobs, group: Reach) -> Minutes {
    jobs.iter().filter(|(reach, _)| reach.is_within(group)).map(|(_, &time)| time).sum()
}

/// Groups of cleaning sets to be looked at: all sets together, or every choice of named ones, the small ones first.
fn set_groups(ledger: &Ledger) -> Vec<Reach> {
    let named = ledger.case.cleaning.named.len().min(8);
    if named == 0 {
        return vec![Reach::ALL];
    }
    let mut groups: Vec<Reach> = (1..1_u64 << named).map(Reach).collect();
    groups.sort_by_key(|group| (group.0.count_ones(), group.0));
    groups
}

/// Clock time of a group of cleaning sets in a slot.
fn sets_time(ledger: &Ledger, slot: Slot, group: Reach) -> Minutes {
    let sets = if group == Reach::ALL { ledger.case.cleaning_sets } else { i64::from(group.0.count_ones()) };
    Minutes(sets.saturating_mul(ledger.case.shift_hours(slot).0))
}

/// Use of the cleaning sets: (group, slot, clock time used, clock time available). Named sets singly, each with what
/// only it can do, and all together.
#[must_use]
pub fn sets_use(ledger: &Ledger) -> Vec<(Reach, Slot, Minutes, Minutes)> {
    let jobs = jobs(ledger);
    let mut uses = Vec::new();
    let groups = set_groups(ledger);
    let whole = groups.last().copied().unwrap_or_default();
    let shown = groups.into_iter().filter(|&group| group == whole || group.0.count_ones() == 1);
    for group in shown {
        for slot in (0..ledger.case.calendar.planned_slots()).map(Slot) {
            let used = jobs.get(&slot).map_or(Minutes::ZERO, |jobs| time_within(jobs, group));
            uses.push((group, slot, used, sets_time(ledger, slot, group)));
        }
    }
    uses
}

fn opening_state(ledger: &Ledger, vessel: VesselId) -> State {
    if ledger.case.in_tank.iter().any(|in_tank| in_tank.vessel == vessel) {
        State::Full
    } else if ledger.case.dirty.contains(&vessel) {
        State::Dirty(None)
    } else {
        State::Clean { since: None, emptied_too: false, sanitised: None }
    }
}

fn walk(ledger: &Ledger, vessel: VesselId, breaches: &mut Breaches) {
    let mut state = opening_state(ledger, vessel);
    for entry in ledger.log(vessel) {
        let slot = entry.slot;
        match entry.event {
            Event::Filled(by, _) => {
                fill(ledger, vessel, slot, by, state, breaches);
                state = State::Full;
            }
            Event::Emptied(by, _) => state = State::Dirty(Some((slot, by))),
            Event::Cleaned => {
                let emptied_too = clean(ledger, vessel, slot, state, breaches);
                state = State::Clean { since: Some(slot), emptied_too, sanitised: None };
            }
            Event::CleanedOver(_) | Event::Sanitised(true) => {
                let (found, allowed) = (Amount::Words("with beer in it"), Amount::Words("empty"));
                breaches.add(About::Vessel(vessel), slot, "cleaning", found, allowed);
            }
            Event::Opened => {
                if let State::Clean { .. } = state {
                    state = State::Dirty(Some((slot, EmptiedBy::Packaging)));
                }
            }
            Event::Sanitised(false) => {
                if let State::Clean { sanitised, .. } = &mut state {
                    *sanitised = Some(slot);
                }
            }
            Event::Added(_)
            | Event::FilledOver(..)
            | Event::Vanished(..)
            | Event::Carbonated(_)
            | Event::TakenTooMuch(..)
            | Event::Nothing { .. } => {}
        }
    }
}

/// Clock time of the transfer that empties a vessel in a slot; through a filter, of all that was in it.
fn emptying_takes(ledger: &Ledger, vessel: VesselId, slot: Slot) -> Minutes {
    let emptied = ledger.holdings.iter().rfind(|held| held.vessel == vessel && held.emptied == Some(slot));
    emptied.map_or(ledger.case.transfer.takes(), |held| {
        ledger.case.transfer_takes(ledger.case.beer(held.beer), held.volume)
    })
}

/// Clock time of the transfer that fills a vessel in a slot.
fn filling_takes(ledger: &Ledger, vessel: VesselId, slot: Slot) -> Minutes {
    let filled = ledger.holdings.iter().find(|held| held.vessel == vessel && held.from == Some(slot));
    filled.map_or(ledger.case.transfer.takes(), |held| {
        ledger.case.transfer_takes(ledger.case.beer(held.beer), held.filled)
    })
}

/// Judges a clean; tells whether it is in the slot of the emptying.
fn clean(ledger: &Ledger, vessel: VesselId, slot: Slot, state: State, breaches: &mut Breaches) -> bool {
    let data = ledger.case.vessel(vessel);
    let takes = ledger.cleaning(slot, vessel).takes;
    let about = About::Vessel(vessel);
    let hours = ledger.case.shift_hours(slot);
    let emptied = match state {
        State::Dirty(emptied) => emptied.filter(|&(emptied, _)| emptied == slot),
        State::Full | State::Clean { .. } => None,
    };
    let Some((_, by)) = emptied else {
        if takes > hours {
            breaches.add(about, slot, "cleaning", Amount::Time(takes), Amount::Time(hours));
        }
        return false;
    };
    if by != EmptiedBy::Transfer || data.clean_after != Turnaround::SameShift {
        let allowed = Amount::Slot(Slot(slot.0 + 1));
        breaches.add(about, slot, "cleaning", Amount::Slot(slot), allowed);
        return true;
    }
    let needed = emptying_takes(ledger, vessel, slot) + takes;
    if needed > hours {
        breaches.add(about, slot, "emptying and cleaning", Amount::Time(needed), Amount::Time(hours));
    }
    true
}

fn fill(ledger: &Ledger, vessel: VesselId, slot: Slot, by: FilledBy, state: State, breaches: &mut Breaches) {
    let about = About::Vessel(vessel);
    let State::Clean { since, emptied_too, sanitised } = state else {
        breaches.add(about, slot, "fill", Amount::Words("dirty"), Amount::Words("clean"));
        return;
    };
    let case = ledger.case;
    if since == Some(slot) {
        let fill_takes = match by {
            FilledBy::Brew => case.brewhouse.next_turn.takes,
            FilledBy::Transfer => case.vessel(vessel).purge.job.takes + filling_takes(ledger, vessel, slot),
        };
        let emptying = if emptied_too { emptying_takes(ledger, vessel, slot) } else { Minutes::ZERO };
        let needed = emptying + ledger.cleaning(slot, vessel).takes + fill_takes;
        let hours = case.shift_hours(slot);
        if needed > hours {
            breaches.add(about, slot, "cleaning and filling", Amount::Time(needed), Amount::Time(hours));
        }
        return;
    }
    let stays = case.cleaning.stays_clean;
    let cleaned = since.map_or(case.calendar.start(Slot(0)) - stays, |since| case.calendar.start(since));
    let stood = case.calendar.start(slot) - cleaned;
    if stood > stays && sanitised != Some(slot) {
        breaches.add(about, slot, "clean for", Amount::Time(stood), Amount::Time(stays));
    }
}

/// What turns a vessel from full to dirty to clean to full.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Change {
    Filled,
    Emptied,
    Cleaned,
    Opened,
}

fn change(event: &Event) -> Option<Change> {
    match event {
        Event::Filled(..) => Some(Change::Filled),
        Event::Emptied(..) => Some(Change::Emptied),
        Event::Cleaned => Some(Change::Cleaned),
        Event::Opened => Some(Change::Opened),
        Event::Added(_)
        | Event::FilledOver(..)
        | Event::CleanedOver(_)
        | Event::Vanished(..)
        | Event::Sanitised(_)
        | Event::Carbonated(_)
        | Event::TakenTooMuch(..)
        | Event::Nothing { .. } => None,
    }
}

/// Vessels that ferment or condition and are empty and clean, however long since, when the planned days end.
#[must_use]
pub fn clean_at_end(ledger: &Ledger) -> Vec<VesselId> {
    let vessels = ledger.case.vessel_ids().filter(|&vessel| ledger.case.vessel(vessel).is_cleaned_apart());
    let is_clean = |vessel: &VesselId| {
        let mut clean = matches!(opening_state(ledger, *vessel), State::Clean { .. });
        for entry in ledger.log(*vessel) {
            if let Some(change) = change(&entry.event) {
                clean = change == Change::Cleaned;
            }
        }
        clean
    };
    vessels.filter(is_clean).collect()
}

/// Days on which an empty vessel is dirty beyond its first working day, over all vessels that ferment or condition.
#[must_use]
pub fn dirty_days(ledger: &Ledger) -> i64 {
    let vessels = ledger.case.vessel_ids().filter(|&vessel| ledger.case.vessel(vessel).is_cleaned_apart());
    vessels.map(|vessel| dirty_days_of(ledger, vessel)).sum()
}

/// For each planned day at whose end an empty vessel is dirty: the day, the day since which it is (-1 for day 0's), and
/// whether the plan emptied it.
fn dirty_ends(ledger: &Ledger, vessel: VesselId) -> Vec<(i64, i64, bool)> {
    let mut dirty_since = match opening_state(ledger, vessel) {
        State::Dirty(_) => Some(-1),
        State::Full | State::Clean { .. } => None,
    };
    let mut is_full = matches!(opening_state(ledger, vessel), State::Full);
    let mut by_plan = false;
    let mut ends = Vec::new();
    let mut events = ledger.log(vessel).iter().peekable();
    for day in 0..ledger.end() {
        while let Some(entry) = events.next_if(|entry| ledger.day(entry.slot) <= day) {
            if let Some(change) = change(&entry.event) {
                let soils = change == Change::Emptied
                    || (change == Change::Opened && dirty_since.is_none() && !is_full);
                let keeps = change == Change::Opened && !soils;
                is_full = change == Change::Filled || (is_full && change == Change::Opened);
                if !keeps {
                    dirty_since = soils.then(|| ledger.day(entry.slot));
                    by_plan = change == Change::Emptied;
                }
            }
        }
        ends.extend(dirty_since.map(|since| (day, since, by_plan)));
    }
    ends
}

fn dirty_days_of(ledger: &Ledger, vessel: VesselId) -> i64 {
    let ends = dirty_ends(ledger, vessel).into_iter();
    ends.filter(|&(day, since, _)| ledger.working_days(Role::Cellar, since, day) >= 2).count() as i64
}

/// Vessels emptied in the plan and not cleaned by the hard end; the first day of each.
fn too_long_dirty(ledger: &Ledger, vessel: VesselId, breaches: &mut Breaches) {
    let Some(within) = ledger.case.cleaning.clean_within else { return };
    let mut told = None;
    for (day, since, _) in dirty_ends(ledger, vessel).into_iter().filter(|&(.., by_plan)| by_plan) {
        let days = ledger.working_days(Role::Cellar, since, day);
        if days >= within && told != Some(since) {
            told = Some(since);
            let slot = usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0));
            let (found, allowed) = (Amount::Number(days), Amount::Number(within - 1));
            breaches.add(About::Vessel(vessel), slot, "working days dirty", found, allowed);
        }
    }
}
