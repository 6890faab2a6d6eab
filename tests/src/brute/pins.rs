//! Pins in the search by trying everything: R16 for brews, transfers and cleans.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::PinnedWork;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::Volume;

use super::facts::Facts;
use super::state::State;

/// A batch as the tasks tell it.
#[derive(Clone, Copy)]
struct Begun {
    slot: Slot,
    beer: BeerId,
    vessel: VesselId,
    turns: i64,
    part: Option<Volume>,
}

/// A transfer: slot, beer, from, to.
type Moved = (Slot, BeerId, VesselId, VesselId);

/// Batches begun, and transfers.
fn told(facts: &Facts, state: &State) -> (Vec<Begun>, Vec<Moved>) {
    let mut inside: BTreeMap<VesselId, BeerId> =
        facts.case.in_tank.iter().map(|tank| (tank.vessel, tank.beer)).collect();
    let mut open: BTreeMap<VesselId, usize> = BTreeMap::new();
    let (mut begun, mut moved) = (Vec::<Begun>::new(), Vec::new());
    for task in &state.tasks {
        match task.work {
            Work::Brew { beer, vessel, turns, part } => {
                let goes_on = open.get(&vessel).copied().filter(|&place| {
                    facts.start(task.slot) - facts.start(begun[place].slot)
                        <= facts.case.brewhouse.fill_within
                });
                match goes_on {
                    Some(place) => begun[place].turns += turns,
                    None => {
                        open.insert(vessel, begun.len());
                        begun.push(Begun { slot: task.slot, beer, vessel, turns, part });
                    }
                }
                inside.insert(vessel, beer);
            }
            Work::Transfer { from, to, .. } => {
                let beer = inside[&from];
                moved.push((task.slot, beer, from, to));
                inside.insert(to, beer);
                open.remove(&from);
            }
            Work::Carbonate { vessel } => {
                open.remove(&vessel);
            }
            _ => {}
        }
    }
    (begun, moved)
}

/// Whether a pin asks for a clean of a vessel in a slot.
pub fn asks_to_clean(facts: &Facts, slot: Slot, vessel: VesselId) -> bool {
    facts.case.fixed.pins.iter().any(|pin| {
        let on_day = pin.day.is_none_or(|day| facts.day(slot) == day as i64);
        let in_shift = pin.shift.is_none_or(|shift| slot.0 % facts.case.calendar.shifts.len() == shift);
        on_day && in_shift && pin.work == PinnedWork::Clean { vessel }
    })
}

/// Whether every pin is kept.
pub fn keeps_pins(facts: &Facts, state: &State) -> bool {
    let case = facts.case;
    if case.fixed.pins.is_empty() {
        return true;
    }
    let (begun, moved) = told(facts, state);
    case.fixed.pins.iter().all(|pin| {
        let on_time = |slot: Slot| {
            pin.day.is_none_or(|day| facts.day(slot) == day as i64)
                && pin.shift.is_none_or(|shift| slot.0 % case.calendar.shifts.len() == shift)
        };
        let wanted = case.fixed.pins.iter().filter(|other| *other == pin).count();
        let found = match pin.work {
            PinnedWork::Brew { beer, vessel, turns, part } => begun
                .iter()
                .filter(|one| {
                    one.beer == beer
                        && on_time(one.slot)
                        && vessel.is_none_or(|vessel| vessel == one.vessel)
                        && turns.is_none_or(|turns| turns == one.turns && one.part.is_none())
                        && part.is_none_or(|part| Some(part) == one.part)
                })
                .count(),
            PinnedWork::Tank { beer, work, vessel } => state
                .tasks
                .iter()
                .filter(|task| {
                    on_time(task.slot)
                        && matches!(task.work, Work::Tank { beer: of, work: done, vessel: held }
                            if of == beer && done == work && vessel.is_none_or(|vessel| vessel == held))
                })
                .count(),
            PinnedWork::Transfer { beer, from, to, .. } => moved
                .iter()
                .filter(|&&(slot, of, out, into)| {
                    of == beer
                        && on_time(slot)
                        && from.is_none_or(|from| from == out)
                        && to.is_none_or(|to| to == into)
                })
                .count(),
            PinnedWork::Clean { vessel: wanted } => state
                .tasks
                .iter()
                .filter(|task| {
                    on_time(task.slot) && matches!(task.work, Work::Clean { vessel, .. } if vessel == wanted)
                })
                .count(),
            // Not tried here: no case with such pins is given to the search.
            PinnedWork::Package { .. } | PinnedWork::Dump { .. } | PinnedWork::Crop { .. } => 0,
        };
        found >= wanted
    })
}
