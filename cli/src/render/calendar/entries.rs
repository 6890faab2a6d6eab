//! The entries of a crew: one for each piece of work that it may do, and for what is away.

use std::collections::BTreeMap;

use jiff::civil::{Date, Time};
use uuid::Uuid;

use crate::render::view::{View, WorkRow};
use crate::render::words::{calendar as own, work};

/// The space of names in which the marks of entries are unique (RFC 9562, version 5): drawn once, for this purpose alone.
const SPACE: Uuid = Uuid::from_u128(0x0f3d_9c1e_5b7a_4e62_9a41_6c8e_27d0_b35f);

/// When.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Whole days; the second is the day after the last.
    Days(Date, Date),
    /// From a time of day on, for so many minutes.
    Time(jiff::civil::DateTime, i64),
}

/// An entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its mark, the same from plan to plan as long as the work is the same.
    pub uid: String,
    /// When.
    pub when: When,
    /// What, in a line.
    pub summary: String,
    /// Where; nothing where it has no place.
    pub location: String,
    /// More, in lines.
    pub description: String,
    /// The crew has no time for other things then: not so where only the day is known, or something is away.
    pub is_busy: bool,
}

fn is_away(row: &WorkRow) -> bool {
    matches!(row.work, "outage" | "upkeep" | "leave alone")
}

/// Everything that a crew may do, and what is away; in the order of the plan.
#[must_use]
pub fn entries(view: &View, crew: &str) -> Vec<Entry> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let rows = view.work.iter().filter(|row| row.crews.iter().any(|name| name == crew) || is_away(row));
    let mut entries = Vec::new();
    for row in rows {
        let Some(when) = when(row) else { continue };
        let key = key(view, crew, row);
        let before = seen.entry(key.clone()).or_default();
        let uid = Uuid::new_v5(&SPACE, format!("{key}\u{1f}{before}").as_bytes()).to_string();
        *before += 1;
        let is_timed = matches!(when, When::Time(..));
        let shift = (view.has_shifts && !is_timed && !is_away(row)).then_some(row.shift.as_str());
        entries.push(Entry {
            uid,
            when,
            summary: clean(&own::summary(row, shift)),
            location: clean(&work::place(row)),
            description: clean(&own::description(row, view.units.system)),
            is_busy: is_timed && !is_away(row),
        });
    }
    entries
}

/// What makes an entry the same in a newer plan: brewery, crew, day, shift and kind of work with the vessel, line and beer. The time of
/// day, volumes, turns, and where beer comes from may change. What is away is the same as long as it ends on the same day.
fn key(view: &View, crew: &str, row: &WorkRow) -> String {
    let option = |text: &Option<String>| text.clone().unwrap_or_default();
    let (date, shift) = if is_away(row) {
        (option(&row.until), String::new())
    } else {
        (row.date.clone(), row.shift.clone())
    };
    let parts = [
        view.cellar.clone(),
        crew.to_owned(),
        date,
        shift,
        row.work.to_owned(),
        option(&row.beer),
        option(&row.piece),
        option(&row.vessel),
        option(&row.filter),
        option(&row.line),
        option(&row.format),
    ];
    parts.join("\u{1f}")
}

fn when(row: &WorkRow) -> Option<When> {
    let date: Date = row.date.parse().ok()?;
    if let Some(starts) = row.starts {
        let midnight = date.to_datetime(Time::midnight());
        let starts = midnight.saturating_add(jiff::Span::new().minutes(starts.clamp(-MOST, MOST)));
        return Some(When::Time(starts, row.lasts.unwrap_or_default().clamp(0, MOST)));
    }
    let last =
        row.until.as_ref().filter(|_| is_away(row)).and_then(|until| until.parse().ok()).unwrap_or(date);
    Some(When::Days(date, last.max(date).saturating_add(jiff::Span::new().days(1))))
}

/// Minutes of a year: more than any shift.
const MOST: i64 = 366 * 24 * 60;

/// A text without control characters, which the format does not allow, but for the ends of lines.
fn clean(text: &str) -> String {
    text.chars().filter(|&letter| letter == '\n' || !letter.is_control()).collect()
}
