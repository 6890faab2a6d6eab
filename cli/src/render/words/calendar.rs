//! Words of the crews' calendars.

use super::work;
use crate::render::numbers::{UnitSystem, hours};
use crate::render::view::WorkRow;

/// Said of work that goes on without anybody at it.
const RUNS_ON: &str = "runs on by itself";
/// Said in every entry.
const PLANNED: &str = "Planned with cellarwright. Planning figures: data plates, relief devices, local codes and licensed practice decide.";

/// The name of a crew's calendar; without commas, before which some programs show a backslash.
#[must_use]
pub fn name(crew: &str, cellar: &str) -> String {
    format!("{crew} ({cellar})")
}

/// A piece of work and its place; with the shift where an entry has no time of day and a day has several shifts.
#[must_use]
pub fn summary(row: &WorkRow, shift: Option<&str>) -> String {
    let (what, place) = (work::untimed(row), work::place(row));
    let place = if place.is_empty() { String::new() } else { format!(", {place}") };
    let shift = shift.map_or_else(String::new, |shift| format!("{shift}: "));
    format!("{shift}{what}{place}")
}

/// The same of work that is no longer planned: some calendars show it all the same.
#[must_use]
pub fn cancelled(summary: &str) -> String {
    format!("cancelled: {summary}")
}

/// How much, how long, and who else may do it; one line each.
#[must_use]
pub fn description(row: &WorkRow, units: UnitSystem) -> String {
    let mut lines = Vec::new();
    let volume = work::volume(row, units);
    if !volume.is_empty() {
        lines.push(volume);
    }
    if let Some(clock) = row.clock_hours {
        let runs_on = row.lasts.is_some_and(|lasts| (lasts as f64) < clock * 60.0 - 0.5);
        let runs_on = if runs_on && row.work != "package" { format!(", {RUNS_ON}") } else { String::new() };
        lines.push(format!("{} h by the clock{runs_on}", hours(clock)));
    }
    if let Some(people) = row.person_hours {
        lines.push(format!("{} person-hours", hours(people)));
    }
    if row.crews.len() > 1 {
        lines.push(format!("any of: {}", row.crews.join(" / ")));
    }
    lines.push(PLANNED.to_owned());
    lines.join("\n")
}

/// A calendar's file that is not one of ours, or cannot be read as one.
#[must_use]
pub fn not_ours(file: &str, crew: &str) -> String {
    format!(
        "cannot write the calendar of {crew} to {file}: what is there is not a crew calendar of cellarwright and is left as it is; \
         move it, or name another directory"
    )
}

/// A calendar of another brewery.
#[must_use]
pub fn of_another(file: &str, crew: &str, cellar: &str) -> String {
    format!(
        "cannot write the calendar of {crew} to {file}: it belongs to {cellar}; name a directory for each brewery"
    )
}

/// A directory that cannot be made because the one above it is missing, or a file is in its place.
#[must_use]
pub fn no_place(directory: &str) -> String {
    format!(
        "cannot write calendars to {directory}: name a directory, or one that can be made in a directory that is there"
    )
}

/// A plan that breaks rules.
pub const BROKEN: &str = "no calendar is written: the plan breaks rules";
