//! Dates and slots as text.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;

/// The date of a day: `2026-12-07`.
#[must_use]
pub fn date(case: &Case, day: i64) -> String {
    case.calendar.date(day).to_string()
}

/// A day as the screen shows it: `Mon 7 Dec`.
#[must_use]
pub fn day_label(case: &Case, day: i64) -> String {
    case.calendar.date(day).strftime("%a %-d %b").to_string()
}

/// A slot as the screen shows it; with the shift's name where a day has several.
#[must_use]
pub fn slot_label(case: &Case, slot: Slot) -> String {
    let calendar = &case.calendar;
    let day = day_label(case, calendar.day(slot) as i64);
    if calendar.shifts.len() < 2 {
        return day;
    }
    format!("{day}, {}", calendar.shifts[calendar.shift(slot)].name)
}
