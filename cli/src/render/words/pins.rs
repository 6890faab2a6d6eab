//! Pins, outages and conflicts in words.

use cellarwright_model::case::{Away, Case, Cause, Outage, Pin, PinnedWork};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;
use cellarwright_solver::{Conflict, Settled};

use crate::render::gather::day_label;
use crate::render::words::count;

/// A pin.
#[must_use]
pub fn pin(case: &Case, pin: &Pin) -> String {
    let vessel = |name: &str, id: Option<cellarwright_model::ids::VesselId>| {
        id.map_or_else(String::new, |id| format!(" {name} {}", case.vessel(id).name))
    };
    let shown = |volume: Volume| case.show_units.exact_volume(volume);
    let work = match pin.work {
        PinnedWork::Brew { beer, vessel: into, turns, part } => {
            let turns = turns.and_then(|turns| usize::try_from(turns).ok());
            let turns = turns.map_or_else(String::new, |turns| format!(" {}", count(turns, "turn", "turns")));
            let part = part.map_or_else(String::new, |part| format!(" a part turn of {}", shown(part)));
            format!("brew{turns}{part} {}{}", case.beer(beer).name, vessel("into", into))
        }
        PinnedWork::Transfer { beer, from, to, volume } => {
            let volume = volume.map_or_else(String::new, |volume| format!(" {}", shown(volume)));
            format!("transfer{volume} {}{}{}", case.beer(beer).name, vessel("from", from), vessel("to", to))
        }
        PinnedWork::Tank { beer, work, vessel: held } => {
            let beer = case.beer(beer);
            let piece = beer.tank_work.get(work).map_or("", |piece| piece.name.as_str());
            format!("{piece} {}{}", beer.name, vessel("in", held))
        }
        PinnedWork::Crop { vessel } => format!("crop yeast from {}", case.vessel(vessel).name),
        PinnedWork::Dump { vessel } => format!("pour away what is in {}", case.vessel(vessel).name),
        PinnedWork::Clean { vessel } => format!("clean {}", case.vessel(vessel).name),
        PinnedWork::Package { beer, format, line, from, volume } => {
            let volume = volume.map_or_else(String::new, |volume| format!(" {}", shown(volume)));
            let format = format.map_or_else(String::new, |id| format!(" in {}", case.format(id).name));
            let line = line.map_or_else(String::new, |id| format!(" on {}", case.line(id).name));
            format!("package{volume} {}{format}{line}{}", case.beer(beer).name, vessel("from", from))
        }
    };
    let on = pin.day.map_or_else(String::new, |day| format!(" on {}", day_label(case, day as i64)));
    let shifts = &case.calendar.shifts;
    let shift = pin.shift.and_then(|shift| shifts.get(shift));
    let shift = shift.map_or_else(String::new, |shift| format!(" in the shift {}", shift.name));
    format!("pinned: {work}{on}{shift}")
}

/// An outage, upkeep or a vessel to be left alone.
#[must_use]
pub fn outage(case: &Case, outage: &Outage) -> String {
    let what = match outage.what {
        Away::Vessel(vessel) => case.vessel(vessel).name.clone(),
        Away::Line(line) => case.line(line).name.clone(),
        Away::Brewhouse => "the brewhouse".to_owned(),
        Away::Filter(place) => case.filters[place].name.clone(),
        Away::KegWasher => "the keg washer".to_owned(),
    };
    let (first, last) = (day_label(case, outage.first_day), day_label(case, outage.last_day));
    let days = if outage.first_day == outage.last_day {
        format!("on {first}")
    } else {
        format!("{first} to {last}")
    };
    let kind = match outage.cause {
        Cause::Outage => "outage of",
        Cause::Upkeep => "upkeep of",
        Cause::Left => "pinned: leave alone",
    };
    let reason = if outage.reason.is_empty() { String::new() } else { format!(" ({})", outage.reason) };
    let empty = if outage.must_be_empty { ", empty" } else { "" };
    format!("{kind} {what} {days}{empty}{reason}")
}

/// One of the things settled that cannot be kept together.
#[must_use]
pub fn settled(case: &Case, settled: Settled) -> String {
    let fixed = &case.fixed;
    match settled {
        Settled::Pin(position) => fixed.pins.get(position).map_or_else(String::new, |found| pin(case, found)),
        Settled::Outage(position) => {
            fixed.outages.get(position).map_or_else(String::new, |found| outage(case, found))
        }
        Settled::Done => fixed.earlier.as_deref().map_or_else(String::new, |earlier| {
            let day = i64::try_from(earlier.from_day).unwrap_or(i64::MAX);
            format!("what the earlier plan says was done before {}", day_label(case, day))
        }),
        Settled::Changes => {
            let most = fixed.earlier.as_deref().and_then(|earlier| earlier.at_most).unwrap_or_default();
            format!("at most {} to the earlier plan", count(most, "change", "changes"))
        }
    }
}

/// What is in the vessels that a conflict names on the first day: what a brewer looks up first.
#[must_use]
pub fn facts(case: &Case, conflict: &Conflict) -> Vec<String> {
    let mut named: Vec<cellarwright_model::ids::VesselId> = Vec::new();
    for one in &conflict.settled {
        match *one {
            Settled::Pin(position) => {
                named.extend(case.fixed.pins.get(position).map(Pin::vessels).unwrap_or_default())
            }
            Settled::Outage(position) => {
                let what = case.fixed.outages.get(position).map(|outage| outage.what);
                if let Some(Away::Vessel(vessel)) = what {
                    named.push(vessel);
                }
            }
            Settled::Done | Settled::Changes => {}
        }
    }
    named.sort_unstable();
    named.dedup();
    let tanks = case.in_tank.iter().filter(|tank| named.contains(&tank.vessel));
    tanks
        .map(|tank| {
            let (beer, vessel) = (&case.beer(tank.beer).name, &case.vessel(tank.vessel).name);
            let ready = if tank.is_bright || tank.ready < 0 {
                "ready".to_owned()
            } else {
                format!("ready on {}", day_label(case, tank.ready))
            };
            let filled = case.show_units.exact_volume(tank.filled);
            format!("{vessel} holds {filled} of {beer} on the first day, {ready}.")
        })
        .collect()
}

/// First sentence of a conflict.
pub const NO_PLAN: &str = "No plan keeps everything that is pinned or settled, so none is given.";

/// What stands before the pins and outages of a conflict, and before its rules.
#[must_use]
pub fn headings(conflict: &Conflict) -> (String, &'static str) {
    let together =
        if conflict.settled.len() == 1 { "This cannot be kept" } else { "These cannot be kept together" };
    let end = if conflict.rules.is_empty() { ", whatever the rules" } else { "" };
    (format!("{together}{end}:"), "because of:")
}

/// What to do about a conflict.
#[must_use]
pub fn advice(conflict: &Conflict) -> &'static str {
    if conflict.rules == [RuleId::Hours] {
        return "Each shift's totals can be kept, but no order of its work by the clock was found: change one of these.";
    }
    match (conflict.is_smallest, conflict.settled.len()) {
        (true, 1) => "Change it or leave it out. There may be other conflicts behind this one.",
        (true, _) => {
            "Change any one of them or leave it out, and the others can be kept together; which one gives way is for the \
             brewer to say. There may be other conflicts behind this one."
        }
        (false, _) => {
            "Time was up before each of them was tried: some may have no part in it. Give more `--seconds`, or change \
             the one that is least wanted."
        }
    }
}

/// There was no time to find a plan that keeps the pins.
pub const NOT_IN_TIME: &str = "no plan that keeps everything that is pinned or settled was found in the time; give more \
    `--seconds`, or pin less";
