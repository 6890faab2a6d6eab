//! What a plan does in figures that cellars are weighed by: how often beer is moved, vessels cleaned, how long beer waits.
//!
//! All count up to the end of the planned days, so that those of a part of the days are the difference of two.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::ids::CrewId;
use cellarwright_model::units::{Minutes, Volume};

use crate::account::receiving;
use crate::exact::Fine;
use crate::ledger::{Event, Holding, Kind, Ledger, Way};
use crate::rules::{leaving_day, needed_people};

/// Figures of the planned days.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Measures {
    /// Batches begun.
    pub batches: i64,
    /// Turns of the brewhouse.
    pub turns: i64,
    /// Wort of the batches begun.
    pub wort: Volume,
    /// Transfers from tank to tank.
    pub transfers: i64,
    /// Volume that left a tank for another one: each time it does.
    pub moved: Volume,
    /// Volume drawn for lines straight from vessels that ferment or condition.
    pub from_fermenters: Volume,
    /// Volume drawn for lines from bright tanks.
    pub from_bright_tanks: Volume,
    /// Short cleans of vessels, those with a fill included.
    pub short_cleans: i64,
    /// Full cleans of vessels.
    pub full_cleans: i64,
    /// Vessels sanitised.
    pub sanitised: i64,
    /// Person-time by role, in the order of `Role::ALL`, to the minute in each slot.
    pub people: [Minutes; 3],
    /// Overtime in person-minutes by crew; those without are left out.
    pub overtime: BTreeMap<CrewId, Minutes>,
    /// Days that batches stayed where they were after their ready day, before the first of them left; added up.
    pub waiting_days: i64,
    /// The same days times the volume that waits, in millilitre-days.
    pub waiting: i64,
    /// Fermenters emptied of a batch.
    pub emptied: i64,
    /// Days from the last turn of these batches until the fermenter was empty, added up.
    pub fermenter_days: i64,
    /// Days from then until the last of their beer left its bright tank, added up: days of a fermenter that bright tanks saved.
    pub saved_days: i64,
}

impl Measures {
    /// What came after the end of shorter days.
    #[must_use]
    pub fn less(&self, before: &Self) -> Self {
        let mut overtime = self.overtime.clone();
        for (crew, time) in &before.overtime {
            *overtime.entry(*crew).or_default() -= *time;
        }
        overtime.retain(|_, time| *time > Minutes::ZERO);
        let mut people = self.people;
        for (time, earlier) in people.iter_mut().zip(before.people) {
            *time -= earlier;
        }
        Self {
            batches: self.batches - before.batches,
            turns: self.turns - before.turns,
            wort: self.wort - before.wort,
            transfers: self.transfers - before.transfers,
            moved: self.moved - before.moved,
            from_fermenters: self.from_fermenters - before.from_fermenters,
            from_bright_tanks: self.from_bright_tanks - before.from_bright_tanks,
            short_cleans: self.short_cleans - before.short_cleans,
            full_cleans: self.full_cleans - before.full_cleans,
            sanitised: self.sanitised - before.sanitised,
            people,
            overtime,
            waiting_days: self.waiting_days - before.waiting_days,
            waiting: self.waiting - before.waiting,
            emptied: self.emptied - before.emptied,
            fermenter_days: self.fermenter_days - before.fermenter_days,
            saved_days: self.saved_days - before.saved_days,
        }
    }
}

/// Counts them.
#[must_use]
pub fn measures(ledger: &Ledger) -> Measures {
    let mut found =
        Measures { turns: ledger.turns.values().map(|today| today.turns).sum(), ..Measures::default() };
    for holding in &ledger.holdings {
        ways(holding, &mut found);
        if holding.kind == Kind::Batch {
            batch(ledger, holding, &mut found);
        }
    }
    for vessel in ledger.case.vessel_ids() {
        for entry in ledger.log(vessel) {
            match ledger.cleaned_by(vessel, entry) {
                Some(true) => found.full_cleans += 1,
                Some(false) => found.short_cleans += 1,
                None => {}
            }
            found.sanitised += i64::from(matches!(entry.event, Event::Sanitised(_)));
        }
    }
    let slots = (0..ledger.case.calendar.planned_slots()).map(Slot);
    for needed in slots.map(|slot| needed_people(ledger, slot)) {
        for role in Role::ALL {
            let time: Fine = needed[role as usize];
            found.people[role as usize] += time.rounded_up();
        }
    }
    for (&(slot, crew), &time) in &ledger.overtime {
        let people = ledger.case.crew_people(crew, slot);
        *found.overtime.entry(crew).or_default() += Minutes(time.0.saturating_mul(people));
    }
    found.overtime.retain(|_, time| *time > Minutes::ZERO);
    found
}

/// What leaves a vessel, and how.
fn ways(holding: &Holding, found: &mut Measures) {
    for out in &holding.outs {
        match out.way {
            Way::Transfer { .. } | Way::Condition { .. } | Way::Serve { .. } => {
                found.transfers += 1;
                found.moved += out.volume;
            }
            Way::Line(_) if holding.kind == Kind::Batch => found.from_fermenters += out.volume,
            Way::Line(_) => found.from_bright_tanks += out.volume,
            Way::Pour | Way::Dump => {}
        }
    }
}

fn batch(ledger: &Ledger, holding: &Holding, found: &mut Measures) {
    if holding.from.is_some() && !holding.moved {
        found.batches += 1;
        found.wort += holding.filled;
    }
    // What is moved into a conditioning tank waits there.
    if holding.moves().next().is_none() {
        let until = leaving_day(ledger, holding).unwrap_or_else(|| ledger.end());
        let days = (until - holding.ready).max(0);
        found.waiting_days += days;
        found.waiting = found.waiting.saturating_add(days.saturating_mul(holding.volume.0));
    }
    let is_in_fermenter = ledger.case.vessel(holding.vessel).uses.ferment && !holding.moved;
    let Some(emptied) = holding.emptied.filter(|_| is_in_fermenter) else { return };
    let emptied = ledger.day(emptied);
    found.emptied += 1;
    found.fermenter_days += emptied - holding.on;
    let lots = holding.transfers().filter_map(|out| match out.way {
        Way::Transfer { to, .. } => receiving(ledger, to, out.slot),
        Way::Condition { .. } | Way::Serve { .. } | Way::Line(_) | Way::Pour | Way::Dump => None,
    });
    let left = lots.map(|lot| ledger.holdings[lot].emptied.map_or(ledger.end(), |slot| ledger.day(slot)));
    found.saved_days += left.max().map_or(0, |day| (day - emptied).max(0));
}
