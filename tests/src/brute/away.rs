//! Outages in the search by trying everything: R15, and vessels to be left alone.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Cause, Job, Outage, RoleTimes};
use cellarwright_model::plan::Work;
use cellarwright_model::units::Minutes;

use super::facts::Facts;
use super::state::{Content, Emptied, State};

/// Judges a slot by the outages, asks for their people and opens vessels for upkeep. False if the slot breaks one.
pub fn keeps_outages(facts: &Facts, state: &mut State, slot: Slot) -> bool {
    let day = facts.day(slot);
    for outage in &facts.case.fixed.outages {
        ask(facts, state, slot, outage);
        if day < outage.first_day || day > outage.last_day {
            continue;
        }
        if is_used(state, slot, outage.what) {
            return false;
        }
        let Away::Vessel(vessel) = outage.what else { continue };
        let content = &mut state.vessels[vessel.0];
        if outage.must_be_empty && !matches!(content, Content::Empty(_)) {
            return false;
        }
        let is_last =
            day == outage.last_day && facts.case.calendar.shift(slot) + 1 == facts.case.calendar.shifts.len();
        if let Content::Empty(empty) = content
            && is_last
            && outage.cause == Cause::Upkeep
            && outage.must_be_empty
            && empty.cleaned.is_some()
        {
            empty.cleaned = None;
            empty.emptied = Emptied { slot: Some(slot), day, by_transfer: false, is_late: false, beer: None };
        }
    }
    true
}

/// Person-time of an outage in the first of its slots that the role works.
fn ask(facts: &Facts, state: &mut State, slot: Slot, outage: &Outage) {
    for role in Role::ALL {
        let time = outage.crew.0[role as usize];
        let begun = outage.first_day.max(0) as usize * facts.case.calendar.shifts.len();
        let first = (begun..facts.slots()).map(Slot).find(|&slot| facts.works(role, slot));
        let in_time = first == Some(slot) && facts.day(slot) <= outage.last_day && outage.first_day >= 0;
        if in_time && time > Minutes::ZERO {
            state.job(facts, slot, &Job { takes: Minutes::ZERO, crew: RoleTimes::only(role, time) });
        }
    }
}

fn is_used(state: &State, slot: Slot, what: Away) -> bool {
    let by_task = state.tasks.iter().filter(|task| task.slot == slot).any(|task| match (what, task.work) {
        (Away::Brewhouse, Work::Brew { .. }) => true,
        (Away::Vessel(away), Work::Transfer { from, to, .. }) => away == from || away == to,
        (
            Away::Vessel(away),
            Work::Brew { vessel, .. }
            | Work::Clean { vessel, .. }
            | Work::Sanitise { vessel }
            | Work::Carbonate { vessel }
            | Work::Dump { vessel },
        ) => away == vessel,
        _ => false,
    });
    let mut runs = state.slots[slot.0].runs.iter();
    by_task
        || runs.any(|((line, _), run)| match what {
            Away::Line(away) => away == *line,
            Away::Vessel(away) => run.lots.iter().any(|&lot| state.lots[lot].vessel == away),
            Away::Brewhouse | Away::Filter(_) | Away::KegWasher => false,
        })
}
