//! Changes against the plan that is being carried out.

use jiff::civil::Date;

use super::{amount, count};
use crate::render::numbers::{UnitSystem, volume_of};
use crate::render::view::{ChangeRow, ChangedWork, ChangesView};

/// Heading of the section.
pub const HEADING: &str = "What changes";
/// Heads the days of what was planned.
pub const PLANNED_FOR: &str = "planned for";
/// Heads the changes.
pub const WHAT: &str = "change";
/// Heads what each costs.
pub const WEIGHS: &str = "weighs";

/// The day from which is planned again is not one of the planned ones.
#[must_use]
pub fn not_a_planned_day(on: Date, first: Date, last: Date) -> String {
    format!("--on {on} is not one of the planned days, {first} to {last}")
}

/// How many changes there are and what they cost.
#[must_use]
pub fn sum(changes: &ChangesView, unit: &str) -> String {
    let stay = match changes.kept {
        1 => "1 piece of work stays as it was planned".to_owned(),
        kept => format!("{kept} pieces of work stay as they were planned"),
    };
    if changes.count == 0 {
        return format!("From {} on nothing changes; {stay}.", changes.from_label);
    }
    let (worth, cost) = (amount(changes.worth_without, unit), amount(changes.cost, unit));
    let number = count(changes.count, "change", "changes");
    let they = if changes.count == 1 { "the change weighs" } else { "the changes weigh" };
    let from = &changes.from_label;
    format!("From {from} on {number}; {stay}. By itself the plan is worth {worth}, and {they} {cost}.")
}

/// One change.
#[must_use]
pub fn change(row: &ChangeRow, units: UnitSystem) -> String {
    let (before, after) = (row.before.as_ref(), row.after.as_ref());
    let here = before.or(after);
    let what = what(row, here);
    match (row.change, before, after) {
        ("dropped", Some(was), _) => {
            format!("no longer: {what}{}{}", place(row, was), volume(row, was, units))
        }
        ("new", _, Some(is)) => format!("new: {what}{}{}", place(row, is), volume(row, is, units)),
        (_, Some(was), Some(is)) => {
            let is_elsewhere = (&was.from, &was.vessel) != (&is.from, &is.vessel);
            let mut text = format!("{what}{}", if is_elsewhere { String::new() } else { place(row, was) });
            if is_elsewhere {
                let (now, then) = (place(row, is), place(row, was));
                text += &format!("{now} instead of{then}");
            }
            if was.label != is.label {
                let to = if was.day_label == is.day_label { &is.shift } else { &is.label };
                text += &format!(", moves to {to}");
            }
            let apart = was.volume_hl.unwrap_or_default() - is.volume_hl.unwrap_or_default();
            if row.change == "amount" || (apart.abs() >= 0.05 && was.volume_hl.is_some()) {
                let amount = |work: &ChangedWork| volume_of(units, work.volume_hl.unwrap_or_default());
                text += &format!(", {} instead of {}", amount(is), amount(was));
            }
            text
        }
        _ => what,
    }
}

fn what(row: &ChangeRow, here: Option<&ChangedWork>) -> String {
    let beer = row.beer.as_deref().unwrap_or_default();
    let vessel = here.and_then(|work| work.vessel.as_deref()).unwrap_or_default();
    match row.work {
        "package" => format!("package {beer} in {}", row.format.as_deref().unwrap_or_default()),
        "tank work" => format!("{} {beer}", row.piece.as_deref().unwrap_or("work on")),
        "clean" => format!("clean {vessel}"),
        "carbonate" => format!("carbonate in {vessel}"),
        "crop" => format!("crop yeast from {vessel}"),
        "dump" => format!("pour away what is in {vessel}"),
        work => format!("{work} {beer}"),
    }
}

/// Where, for work that is not named by its vessel.
fn place(row: &ChangeRow, work: &ChangedWork) -> String {
    let vessel = work.vessel.as_deref().unwrap_or_default();
    match (row.work, work.from.as_deref()) {
        ("transfer", Some(from)) => format!(" from {from} to {vessel}"),
        ("brew", _) => format!(" into {vessel}"),
        ("tank work", _) if !vessel.is_empty() => format!(" in {vessel}"),
        _ => String::new(),
    }
}

fn volume(row: &ChangeRow, work: &ChangedWork, units: UnitSystem) -> String {
    let Some(volume) = work.volume_hl else { return String::new() };
    let wort = if row.work == "brew" { " wort" } else { "" };
    format!(", {}{wort}", volume_of(units, volume))
}
