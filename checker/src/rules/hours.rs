//! R23: where the plan goes by the clock, people, vessels, cleaning sets and the brewhouse do one thing at a time.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{KegPoolId, VesselId};
use cellarwright_model::units::Minutes;
use cellarwright_model::violation::{About, Amount};

use super::{Breaches, about};
use crate::clock::people::{Duty, first_without_people};
use crate::clock::sets::first_without_set;
use crate::clock::{Busy, Clock, has_times, read};
use crate::ledger::Ledger;

/// Tasks without a time, work outside its shift, two things at a time. A plan without any clock time is judged by totals.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    if !ledger.case.clock_times || !has_times(ledger) {
        return;
    }
    let clock = read(ledger);
    for &position in &clock.without {
        let task = &ledger.plan.tasks[position];
        let (found, allowed) = (Amount::Words("none"), Amount::Words("a time of day"));
        breaches.add(about(&task.work), task.slot, "beginning", found, allowed);
    }
    for late in clock.deadlines.iter().filter(|deadline| deadline.over > deadline.by) {
        let task = &ledger.plan.tasks[late.position];
        let at = |after: i64| Amount::Clock(late.slot, Minutes(after));
        breaches.add(about(&task.work), late.slot, late.what, at(late.over), at(late.by));
    }
    for beat in &clock.off_beat {
        let (found, allowed) = (Amount::Clock(beat.slot, beat.begins), Amount::Clock(beat.slot, beat.due));
        breaches.add(About::Line(beat.line), beat.slot, "beginning", found, allowed);
    }
    vessels(ledger, &clock, breaches);
    in_turn(ledger, &clock.brewhouse, About::Brewhouse, "turn begins", breaches);
    in_turn(ledger, &clock.washer, About::Kegs(KegPoolId(0)), "washing begins", breaches);
    filters(ledger, &clock, breaches);
    cleaning_sets(ledger, &clock, breaches);
    people(ledger, &clock, breaches);
}

/// A time of day, told from the slot of the later piece of work.
fn clock(ledger: &Ledger, slot: Slot, minutes: i64) -> Amount {
    Amount::Clock(slot, Minutes(minutes) - ledger.case.calendar.start(slot))
}

/// Each piece of work after those before it in the plan.
fn in_turn(ledger: &Ledger, busy: &[Busy], about: About, what: &'static str, breaches: &mut Breaches) {
    let mut free = i64::MIN;
    for one in busy {
        if one.from < free {
            let (found, allowed) = (clock(ledger, one.slot, one.from), clock(ledger, one.slot, free));
            breaches.add(about, one.slot, what, found, allowed);
        }
        free = free.max(one.to);
    }
}

fn vessels(ledger: &Ledger, clock: &Clock, breaches: &mut Breaches) {
    let mut by_vessel: BTreeMap<VesselId, Vec<(usize, Busy)>> = BTreeMap::new();
    for &(vessel, position, busy) in &clock.vessels {
        by_vessel.entry(vessel).or_default().push((position, busy));
    }
    for (vessel, mut busy) in by_vessel {
        busy.sort_by_key(|&(position, busy)| (busy.slot, position));
        let busy: Vec<Busy> = busy.into_iter().map(|(_, busy)| busy).collect();
        in_turn(ledger, &busy, About::Vessel(vessel), "work begins", breaches);
    }
}

/// A filter takes one transfer at a time, in any order.
fn filters(ledger: &Ledger, clock: &Clock, breaches: &mut Breaches) {
    for place in 0..ledger.case.filters.len() {
        let of_filter = clock.filters.iter().filter(|(of, _)| *of == place);
        let mut busy: Vec<Busy> = of_filter.map(|&(_, busy)| busy).collect();
        busy.sort_unstable();
        in_turn(ledger, &busy, About::Outlook, "filtering begins", breaches);
    }
}

fn cleaning_sets(ledger: &Ledger, clock: &Clock, breaches: &mut Breaches) {
    let cleans = clock.cleaning_sets.iter().filter(|(_, busy)| busy.to > busy.from).copied().collect();
    if let Some(first) = first_without_set(ledger.case, cleans) {
        let at = self::clock(ledger, first.slot, first.from);
        breaches.add(
            About::CleaningSets,
            first.slot,
            "no set free at",
            at,
            Amount::Words("a set for every clean"),
        );
    }
}

fn people(ledger: &Ledger, clock: &Clock, breaches: &mut Breaches) {
    let mut by_slot: BTreeMap<Slot, Vec<Duty>> = BTreeMap::new();
    for &(slot, duty) in &clock.duties {
        by_slot.entry(slot).or_default().push(duty);
    }
    for (slot, duties) in by_slot {
        if let Some(duty) = first_without_people(ledger, slot, &duties) {
            let crew = ledger.case.crew_ids().find(|&crew| ledger.case.crew(crew).has(duty.role));
            let about = crew.map_or(About::Brewhouse, About::Crew);
            let found = Amount::Clock(slot, Minutes(duty.from));
            breaches.add(about, slot, "nobody free at", found, Amount::Words("people for everything"));
        }
    }
}
