//! R08: vessels that ferment are cleaned between two fills, on a cleaning set, and sanitised if they stood.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Turnaround;
use cellarwright_model::ids::VesselId;
use cellarwright_model::units::{MINUTES_PER_DAY, Minutes};
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
    /// Cleaned in this slot (none: 24 h before slot 0).
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
        if ledger.case.vessel(vessel).uses.ferment {
            walk(ledger, vessel, breaches);
        }
    }
    for (slot, used) in cleaning_time(ledger) {
        let available = sets_time(ledger, slot);
        if used > available + cellarwright_model::tolerance::TIME {
            let (found, allowed) = (Amount::Time(used), Amount::Time(available));
            breaches.add(About::CleaningSets, slot, "clock time", found, allowed);
        }
    }
}

/// Clock time of all cleans of each slot.
#[must_use]
pub fn cleaning_time(ledger: &Ledger) -> BTreeMap<Slot, Minutes> {
    let mut used: BTreeMap<Slot, Minutes> = BTreeMap::new();
    for charge in &ledger.charges {
        if charge.cleaning > Minutes::ZERO {
            *used.entry(charge.slot).or_default() += charge.cleaning;
        }
    }
    for &(slot, line) in ledger.line_slots.keys() {
        *used.entry(slot).or_default() += ledger.case.line(line).clean_down;
    }
    used
}

/// Clock time of all cleaning sets in a slot.
#[must_use]
pub fn sets_time(ledger: &Ledger, slot: Slot) -> Minutes {
    Minutes(ledger.case.cleaning_sets.saturating_mul(ledger.case.shift_hours(slot).0))
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

/// Judges a clean; tells whether it is in the slot of the emptying.
fn clean(ledger: &Ledger, vessel: VesselId, slot: Slot, state: State, breaches: &mut Breaches) -> bool {
    let data = ledger.case.vessel(vessel);
    let about = About::Vessel(vessel);
    let hours = ledger.case.shift_hours(slot);
    let emptied = match state {
        State::Dirty(emptied) => emptied.filter(|&(emptied, _)| emptied == slot),
        State::Full | State::Clean { .. } => None,
    };
    let Some((_, by)) = emptied else {
        if data.clean.takes > hours {
            breaches.add(about, slot, "cleaning", Amount::Time(data.clean.takes), Amount::Time(hours));
        }
        return false;
    };
    if by != EmptiedBy::Transfer || data.clean_after != Turnaround::SameShift {
        let allowed = Amount::Slot(Slot(slot.0 + 1));
        breaches.add(about, slot, "cleaning", Amount::Slot(slot), allowed);
        return true;
    }
    let needed = ledger.case.transfer.takes() + data.clean.takes;
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
            FilledBy::Transfer => case.transfer.takes(),
        };
        let emptying = if emptied_too { case.transfer.takes() } else { Minutes::ZERO };
        let needed = emptying + case.vessel(vessel).clean.takes + fill_takes;
        let hours = case.shift_hours(slot);
        if needed > hours {
            breaches.add(about, slot, "cleaning and filling", Amount::Time(needed), Amount::Time(hours));
        }
        return;
    }
    let day = Minutes(MINUTES_PER_DAY);
    let cleaned = since.map_or(case.calendar.start(Slot(0)) - day, |since| case.calendar.start(since));
    let stood = case.calendar.start(slot) - cleaned;
    if stood > day && sanitised != Some(slot) {
        breaches.add(about, slot, "clean for", Amount::Time(stood), Amount::Time(day));
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

/// Vessels that ferment and are empty and clean, however long since, when the planned days end.
#[must_use]
pub fn clean_at_end(ledger: &Ledger) -> Vec<VesselId> {
    let vessels = ledger.case.vessel_ids().filter(|&vessel| ledger.case.vessel(vessel).uses.ferment);
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

/// Days on which an empty vessel is dirty beyond its first working day, over all vessels that ferment.
#[must_use]
pub fn dirty_days(ledger: &Ledger) -> i64 {
    let vessels = ledger.case.vessel_ids().filter(|&vessel| ledger.case.vessel(vessel).uses.ferment);
    vessels.map(|vessel| dirty_days_of(ledger, vessel)).sum()
}

fn dirty_days_of(ledger: &Ledger, vessel: VesselId) -> i64 {
    let mut dirty_since = match opening_state(ledger, vessel) {
        State::Dirty(_) => Some(-1),
        State::Full | State::Clean { .. } => None,
    };
    let mut is_full = matches!(opening_state(ledger, vessel), State::Full);
    let mut count = 0;
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
                }
            }
        }
        if dirty_since.is_some_and(|since| ledger.working_days(Role::Cellar, since, day) >= 2) {
            count += 1;
        }
    }
    count
}
