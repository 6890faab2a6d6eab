//! R27: whether a clean is the full one is settled at the beginning of its slot; fills and the marks of the last beer are kept.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Job;
use cellarwright_model::ids::{BeerId, VesselId};

use super::facts::Facts;
use super::state::State;

/// What has been in a vessel since its last full clean.
#[derive(Clone, Copy, Debug, Default)]
pub struct History {
    fills: i64,
    marks: u64,
}

/// Full cleans so far.
#[derive(Clone, Debug, Default)]
pub struct FullCleans {
    /// By vessel.
    histories: Vec<History>,
    /// Vessels whose clean of this slot is to be the full one.
    wanted: BTreeSet<VesselId>,
    /// Those done.
    done: BTreeSet<(Slot, VesselId)>,
}

impl FullCleans {
    /// Day 0.
    pub fn opening(facts: &Facts) -> Self {
        let of = |id: VesselId| {
            let since = facts.case.since_full.get(&id).copied().unwrap_or_default();
            History { fills: since.fills, marks: since.marks.0 }
        };
        Self { histories: facts.case.vessel_ids().map(of).collect(), ..Self::default() }
    }

    /// Whether everything that was to be done in the slot was done.
    pub fn is_settled(&self) -> bool {
        self.wanted.is_empty()
    }

    /// Whether the clean of a vessel in a slot is the full one, done or about to be.
    pub fn is_full(&self, slot: Slot, vessel: VesselId) -> bool {
        self.wanted.contains(&vessel) || self.done.contains(&(slot, vessel))
    }

    /// Notes that a vessel is cleaned; tells whether in full.
    pub fn clean(&mut self, slot: Slot, vessel: VesselId) -> bool {
        let is_full = self.wanted.remove(&vessel);
        if is_full {
            self.done.insert((slot, vessel));
            self.histories[vessel.0] = History::default();
        }
        is_full
    }

    /// Notes a fill; false if a full clean had to come before it.
    pub fn fill(&mut self, facts: &Facts, vessel: VesselId, beer: BeerId) -> bool {
        let Some(full) = facts.case.vessel(vessel).full_clean else { return true };
        let history = &mut self.histories[vessel.0];
        let marks = facts.case.beer(beer).marks.0;
        let clashes = history.marks & full.after.0 & !marks != 0;
        *history = History { fills: history.fills + 1, marks };
        !clashes && full.every.is_none_or(|every| history.fills <= every)
    }
}

/// The clean of a vessel in a slot.
pub fn job(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Job {
    let tank = facts.case.vessel(vessel);
    match tank.full_clean {
        Some(full) if state.full_cleans.is_full(slot, vessel) => full.job,
        _ => tank.clean,
    }
}

/// What a clean costs besides people.
pub fn cost(facts: &Facts, is_full: bool, vessel: VesselId) -> f64 {
    let full = facts.case.vessel(vessel).full_clean.filter(|_| is_full);
    full.and_then(|full| full.cost).unwrap_or(facts.case.rates.clean).0 as f64
}

/// A vessel that has full cleans is cleaned in full in a slot, or not.
pub fn settle(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Vec<State> {
    let mut found = vec![state.clone()];
    if facts.case.vessel(vessel).full_clean.is_some() && facts.works(Role::Cellar, slot) {
        let mut next = state.clone();
        next.full_cleans.wanted.insert(vessel);
        found.push(next);
    }
    found
}
