//! Every vessel in words: what is in it, since when, until when, and what happens to it.

use maud::{Markup, html};

use super::table::{Column, cell, dates, framed, head, names, numbers, words};
use crate::render::numbers::volume;
use crate::render::view::{StayRow, VesselRow, View, WorkRow};
use crate::render::words::report as own;

/// What happens to a vessel on a planned day: it is ready, work in its order, pouring.
#[must_use]
pub fn events(view: &View, vessel: &VesselRow, day: usize) -> Vec<String> {
    let Some(date) = view.days.get(day).map(|day| &day.date) else { return Vec::new() };
    let mut events = Vec::new();
    let is_there = |stay: &&StayRow| stay.until.as_ref().is_none_or(|until| until >= date);
    if vessel.stays.iter().filter(is_there).any(|stay| stay.ready.as_ref() == Some(date)) {
        events.push("ready".to_owned());
    }
    let name = &vessel.vessel;
    let touches = |row: &&WorkRow| row.day == day && own::in_vessel(row, name).is_some();
    let mut rows: Vec<&WorkRow> = view.work.iter().filter(touches).collect();
    put_first_what_comes_first(&mut rows, name);
    events.extend(rows.into_iter().filter_map(|row| own::in_vessel(row, name)));
    let pours = view.pours.iter().filter(|pour| pour.date == *date && pour.vessel == vessel.vessel);
    events.extend(pours.map(|pour| own::poured(view.units.system, pour.volume_hl)));
    events
}

/// Brewing is listed before the cellar work that it waits for: in a vessel it stands after it.
fn put_first_what_comes_first(rows: &mut Vec<&WorkRow>, vessel: &str) {
    let waits = |row: &WorkRow| row.after.is_some() && row.vessel.as_deref() == Some(vessel);
    let mut place = 0;
    while place < rows.len() {
        let fill = rows[place];
        let before = rows.iter().rposition(|row| fill.after == Some(row.work) && row.shift == fill.shift);
        match before.filter(|&before| waits(fill) && before > place) {
            Some(before) => rows[place..=before].rotate_left(1),
            None => place += 1,
        }
    }
}

/// Whether a vessel is away on a planned day; dates in their written form stand in order.
#[must_use]
pub fn is_away(view: &View, vessel: &VesselRow, day: usize) -> bool {
    let Some(date) = view.days.get(day).map(|day| &day.date) else { return false };
    view.work.iter().any(|row| {
        matches!(row.work, "outage" | "upkeep" | "leave alone")
            && row.vessel.as_ref() == Some(&vessel.vessel)
            && row.date <= *date
            && row.until.as_ref().is_none_or(|until| until >= date)
    })
}

/// The columns.
fn columns(view: &View) -> [Column<'static>; 7] {
    [
        words("vessel"),
        names("beer"),
        numbers(view.units.volume),
        dates("since"),
        dates("ready"),
        dates("until"),
        names("what happens"),
    ]
}

/// The table.
#[must_use]
pub fn table(view: &View) -> Markup {
    let rows = html! {
        (head(&columns(view)))
        @for vessel in &view.vessels { (block(view, vessel)) }
    };
    framed(own::VESSELS_CAPTION, &rows)
}

/// The rows of a vessel: one for each beer in it, or one that says that it is empty.
fn block(view: &View, vessel: &VesselRow) -> Markup {
    let stays: Vec<Option<&StayRow>> =
        if vessel.stays.is_empty() { vec![None] } else { vessel.stays.iter().map(Some).collect() };
    let columns = columns(view);
    html! {
        tbody {
            @for (place, stay) in stays.iter().enumerate() {
                tr {
                    @if place == 0 { th scope="rowgroup" rowspan=(stays.len()) { (vessel.vessel) } }
                    @for (column, text) in columns.iter().skip(1).zip(stay_cells(view, *stay)) { (cell(*column, &text)) }
                    @if place == 0 { td rowspan=(stays.len()) { (happenings(view, vessel)) } }
                }
            }
        }
    }
}

fn stay_cells(view: &View, stay: Option<&StayRow>) -> [String; 5] {
    let Some(stay) = stay else {
        return [own::EMPTY.to_owned(), String::new(), String::new(), String::new(), String::new()];
    };
    let label = |date: &String| {
        let day = view.days.iter().find(|day| day.date == *date);
        day.map_or_else(|| date.clone(), |day| day.label.clone())
    };
    [
        stay.beer.clone(),
        volume(view.units.system, stay.volume_hl),
        stay.from_label.clone(),
        stay.ready_label.clone().unwrap_or_default(),
        stay.until.as_ref().map_or_else(|| own::stays(view.units.system, stay, true), label),
    ]
}

fn happenings(view: &View, vessel: &VesselRow) -> Markup {
    let days: Vec<(&str, Vec<String>)> = view
        .days
        .iter()
        .enumerate()
        .map(|(number, day)| (day.label.as_str(), events(view, vessel, number)))
        .filter(|(_, events)| !events.is_empty())
        .collect();
    html! {
        @if !days.is_empty() {
            ul { @for (day, events) in &days { li { (day) ": " (events.join("; ")) } } }
        }
    }
}
