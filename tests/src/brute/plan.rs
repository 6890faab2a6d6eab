//! A discrete choice with its volumes, written as a plan in whole millilitres and minutes.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{FormatId, LineId};
use cellarwright_model::plan::{Delivery, Overtime, Plan, Task, Work};
use cellarwright_model::units::{Minutes, Volume};

use super::facts::Facts;
use super::leaf::Volumes;
use super::packaging::order_of_line;
use super::state::State;

fn millilitres(hectolitres: f64) -> Volume {
    Volume((hectolitres * 100_000.0).round() as i64)
}

/// The plan of a choice.
pub fn plan(facts: &Facts, state: &State, volumes: &Volumes) -> Plan {
    let mut tasks = Vec::new();
    let draws = whole_draws(state, volumes);
    for slot in (0..facts.slots()).map(Slot) {
        package(facts, state, volumes, &draws, slot, &mut tasks);
        tasks.extend(state.tasks.iter().filter(|task| task.slot == slot));
    }
    let overtime = volumes
        .meaning
        .overtime
        .iter()
        .map(|(&(slot, crew), &column)| {
            let minutes = (volumes.values[column] * 60.0 - 1e-4).ceil() as i64;
            Overtime { slot, crew, time: Minutes(minutes.max(0)) }
        })
        .filter(|overtime| overtime.time > Minutes::ZERO)
        .collect();
    let deliveries = volumes
        .meaning
        .deliveries
        .iter()
        .map(|(&(order, day), &column)| Delivery {
            order,
            day,
            volume: Volume((volumes.values[column] * 100_000.0 + 1e-3).floor() as i64),
        })
        .filter(|delivery| delivery.volume > Volume::ZERO)
        .collect();
    Plan { tasks, overtime, deliveries, ..Plan::default() }
}

/// Draws in whole millilitres; the last draw from a lot that is emptied takes what is left of it.
fn whole_draws(state: &State, volumes: &Volumes) -> BTreeMap<(Slot, LineId, usize), Volume> {
    let mut found = BTreeMap::new();
    for (index, lot) in state.lots.iter().enumerate() {
        let mut left = lot.volume;
        let mut last = None;
        for (&(slot, line, _, of), &column) in &volumes.meaning.draws {
            if of == index {
                let drawn = millilitres(volumes.values[column]).min(left);
                left -= drawn;
                found.insert((slot, line, index), drawn);
                if drawn > Volume::ZERO {
                    last = Some((slot, line, index));
                }
            }
        }
        if let (Some(key), Some(_)) = (last, lot.emptied)
            && let Some(drawn) = found.get_mut(&key)
        {
            *drawn += left;
        }
    }
    found
}

fn package(
    facts: &Facts,
    state: &State,
    volumes: &Volumes,
    draws: &BTreeMap<(Slot, LineId, usize), Volume>,
    slot: Slot,
    tasks: &mut Vec<Task>,
) {
    for line in facts.case.line_ids() {
        let (_, order) = order_of_line(facts, state, slot, line).unwrap_or_default();
        for (beer, formats) in order {
            let run = &state.slots[slot.0].runs[&(line, beer)];
            let mut from: Vec<(usize, Volume)> =
                run.lots.iter().map(|&lot| (lot, draws[&(slot, line, lot)])).collect();
            let all: Volume = from.iter().map(|&(_, drawn)| drawn).sum();
            // The line's loss falls on the formats in the order of their ids, so that the first draws it besides its own.
            let mut wanted: Vec<(FormatId, Volume)> = Vec::new();
            let mut given = Volume::ZERO;
            for (position, &format) in run.formats.iter().enumerate() {
                let own = millilitres(volumes.values[volumes.meaning.packs[&(slot, beer, format)]]);
                let loss = if position == 0 { facts.case.line(line).loss } else { Volume::ZERO };
                let last = position + 1 == run.formats.len();
                let volume = if last { all - given } else { (own + loss).min(all - given) };
                given += volume;
                wanted.push((format, volume));
            }
            wanted.sort_by_key(|&(format, _)| formats.iter().position(|&one| one == format));
            for (format, mut volume) in wanted {
                for (lot, left) in &mut from {
                    let drawn = volume.min(*left);
                    if drawn > Volume::ZERO {
                        let vessel = state.lots[*lot].vessel;
                        let work = Work::Package { line, format, vessel, volume: drawn };
                        tasks.push(Task::new(slot, work));
                        *left -= drawn;
                        volume -= drawn;
                    }
                }
            }
        }
    }
}
