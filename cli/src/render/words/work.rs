//! Work in a few words.

use crate::render::numbers::{UnitSystem, grouped, volume as number, volume_of};
use crate::render::view::WorkRow;

/// What is done, and after what in the same shift: brewing is listed before the cellar work that it waits for.
#[must_use]
pub fn what(row: &WorkRow) -> String {
    match &row.begins {
        Some(begins) => format!("{begins} {}", untimed(row)),
        None => untimed(row),
    }
}

/// The same without the time of day.
#[must_use]
pub fn untimed(row: &WorkRow) -> String {
    let pitched = work(row) + &yeast(row);
    let work = if row.pinned { format!("{pitched} (pinned)") } else { pitched };
    match row.after {
        Some("clean") => format!("{work}, after cleaning"),
        Some("sanitise") => format!("{work}, after sanitising"),
        _ => work,
    }
}

/// What a batch is pitched with: `, on house ale of F2 (generation 3)`.
fn yeast(row: &WorkRow) -> String {
    let mut words = String::new();
    for (place, pitched) in row.yeast.iter().enumerate() {
        let source = match (pitched.source, &pitched.cropped_from) {
            ("bought", _) => " bought".to_owned(),
            ("crop", Some(vessel)) => format!(" of {vessel}"),
            _ => " in store".to_owned(),
        };
        let generation =
            pitched.generation.map_or_else(String::new, |number| format!(" (generation {number})"));
        let joined = if place == 0 { ", on" } else { " and" };
        words += &format!("{joined} {}{source}{generation}", pitched.yeast);
    }
    words
}

fn work(row: &WorkRow) -> String {
    let beer = row.beer.as_deref().unwrap_or("what is in it");
    match row.work {
        "brew" if row.part_turn_hl.is_some() => match row.turns {
            Some(1) => format!("part turn {beer}"),
            turns => format!("{} part turns {beer}", turns.unwrap_or_default()),
        },
        "brew" => match row.turns {
            Some(1) => format!("1 turn {beer}"),
            turns => format!("{} turns {beer}", turns.unwrap_or_default()),
        },
        "transfer" => {
            let to = row.vessel.as_deref().unwrap_or_default();
            let before = match (row.cleans_before, row.purges_before) {
                (true, purges) if row.full_clean => {
                    format!("clean {to} in full{}, ", if purges { ", purge it" } else { "" })
                }
                (true, true) => format!("clean and purge {to}, "),
                (true, false) => format!("clean {to}, "),
                (false, true) => format!("purge {to}, "),
                (false, false) => String::new(),
            };
            let after = if row.carbonates_after { ", carbonate" } else { "" };
            {
                let through =
                    row.filter.as_ref().map_or_else(String::new, |filter| format!(" through {filter}"));
                format!("{before}transfer {beer}{through}{after}")
            }
        }
        "clean" if row.full_clean => "clean in full".to_owned(),
        "carbonate" => format!("carbonate {beer}"),
        "nitrogen" => format!("give nitrogen to {beer}"),
        "package" => {
            let line = row.line.as_deref().unwrap_or_default();
            format!("{line}: {beer}")
        }
        "crop" => format!("crop {} from {beer}", row.piece.as_deref().unwrap_or("yeast")),
        "tank work" => format!("{} {beer}", row.piece.as_deref().unwrap_or("work on")),
        "wash" => format!("wash {}", row.format.as_deref().unwrap_or_default()),
        "dump" => format!("pour away {beer}"),
        "filter" => format!("run {}", row.filter.as_deref().unwrap_or_default()),
        "tap" => format!("on tap: {beer}, until {}", row.until_label),
        "overtime" => format!("{} stay longer", row.crew.as_deref().unwrap_or_default()),
        "outage" | "upkeep" | "leave alone" => {
            let reason = row.reason.as_ref().map_or_else(String::new, |reason| format!(": {reason}"));
            let until = row.until.as_deref().filter(|&until| until != row.date);
            let until = until.map_or_else(String::new, |until| format!(" (to {until})"));
            format!("{}{reason}{until}", row.work)
        }
        other => other.to_owned(),
    }
}

/// Where.
#[must_use]
pub fn place(row: &WorkRow) -> String {
    let from = row.from.join(", ");
    let vessel = row.vessel.as_deref().unwrap_or_default();
    match row.work {
        "transfer" => format!("{from} to {vessel}"),
        "package" => from,
        "outage" | "upkeep" if row.vessel.is_none() => {
            row.line.clone().unwrap_or_else(|| "brewhouse".to_owned())
        }
        _ => vessel.to_owned(),
    }
}

/// How much.
#[must_use]
pub fn volume(row: &WorkRow, units: UnitSystem) -> String {
    let with_unit = |value: Option<f64>| volume_of(units, value.unwrap_or_default());
    match row.work {
        "tap" => with_unit(row.volume_hl),
        "brew" => format!("{} wort", with_unit(row.volume_hl)),
        "transfer" => {
            let (leaves, arrives) = (row.volume_hl.unwrap_or_default(), row.yields_hl.unwrap_or_default());
            let leaves = volume_of(units, leaves);
            // In the unit of what leaves, where that is the one of large volumes.
            let arrives = match leaves.ends_with(units.volume().name) {
                true => number(units, arrives),
                false => volume_of(units, arrives),
            };
            format!("{leaves}, {arrives} arrive")
        }
        "package" => {
            let format = row.format.as_deref().unwrap_or_default();
            match row.packages {
                Some(packages) => {
                    format!("{}, {} {format}", with_unit(row.yields_hl), grouped(packages as f64, 0))
                }
                None => format!("{} {format}", with_unit(row.yields_hl)),
            }
        }
        "wash" => {
            let pool = row.format.as_deref().unwrap_or_default();
            format!("{} {pool}", grouped(row.packages.unwrap_or_default() as f64, 0))
        }
        _ => String::new(),
    }
}
