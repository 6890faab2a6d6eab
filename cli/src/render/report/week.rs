//! Work by day, and a sheet for each crew.

use maud::{Markup, html};

use super::page::Part;
use super::table::{Column, cell, dates, framed, head, names, numbers, words};
use crate::render::numbers::hours;
use crate::render::view::{Day, View, WorkRow};
use crate::render::words::{report as own, work};

/// Whether something is away and nobody works on it: everybody should know.
fn is_for_all(row: &WorkRow) -> bool {
    row.crews.is_empty() && matches!(row.work, "outage" | "upkeep" | "leave alone")
}

fn time(row: &WorkRow) -> String {
    row.begins.clone().unwrap_or_default()
}

fn number(value: Option<f64>) -> String {
    value.map(hours).unwrap_or_default()
}

/// Columns of both tables that depend on the case: the shift where there are several, the time where there are any.
fn when(view: &View) -> Vec<Column<'static>> {
    let mut columns = Vec::new();
    if view.has_shifts {
        columns.push(names("shift"));
    }
    if view.work.iter().any(|row| row.begins.is_some()) {
        columns.push(dates("time"));
    }
    columns
}

fn cells(view: &View, row: &WorkRow) -> Vec<String> {
    let mut cells = Vec::new();
    if view.has_shifts {
        cells.push(row.shift.clone());
    }
    if view.work.iter().any(|row| row.begins.is_some()) {
        cells.push(time(row));
    }
    cells.extend([work::untimed(row), work::place(row), work::volume(row, view.units.system)]);
    cells.extend([number(row.clock_hours), number(row.person_hours)]);
    cells
}

fn columns<'a>(view: &View, first: Column<'a>) -> Vec<Column<'a>> {
    let mut columns = vec![first];
    columns.extend(when(view));
    columns.extend([
        words("what"),
        names("where"),
        names("how much"),
        numbers("clock h"),
        numbers("person-h"),
    ]);
    columns
}

/// Rows of a day one after another, by who does them.
fn by_crew(rows: Vec<&WorkRow>) -> Vec<(String, Vec<&WorkRow>)> {
    let mut groups: Vec<(String, Vec<&WorkRow>)> = Vec::new();
    for row in rows {
        let who = own::who(row);
        match groups.iter_mut().find(|(group, _)| *group == who) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((who, vec![row])),
        }
    }
    groups
}

/// The whole week: a block for each day, in it the crews.
#[must_use]
pub fn by_day(view: &View) -> Part {
    let columns = columns(view, names("who"));
    let is_shared = view.work.iter().any(|row| row.crews.len() > 1);
    let is_idle = |number: usize| !view.work.iter().any(|row| row.day == number);
    let idle = view.days.iter().enumerate().filter(|&(number, _)| is_idle(number));
    let idle: Vec<&str> = idle.map(|(_, day)| day.label.as_str()).collect();
    let days = html! {
        (head(&columns))
        @for (number, day) in view.days.iter().enumerate() {
            @let rows: Vec<&WorkRow> = view.work.iter().filter(|row| row.day == number).collect();
            @if !rows.is_empty() { (day_block(view, &columns, day, rows)) }
        }
    };
    let body = html! {
        @if is_shared { p { (own::SHARED) } }
        @if view.work.is_empty() { p { (own::NO_WORK) } } @else { (framed(&own::from_to(view), &days)) }
        @if !idle.is_empty() && !view.work.is_empty() { p { (own::no_work_on(&idle)) } }
    };
    Part { id: "week", heading: own::WEEK, body }
}

fn day_block(view: &View, columns: &[Column], day: &Day, rows: Vec<&WorkRow>) -> Markup {
    let groups = by_crew(rows);
    html! {
        tbody {
            tr class="day" {
                th scope="rowgroup" colspan=(columns.len()) { (day.label) }
            }
            @for (who, rows) in &groups {
                @for (place, row) in rows.iter().enumerate() {
                    tr {
                        @if place == 0 { th scope="row" class="name" rowspan=(rows.len()) { (who) } }
                        @for (column, text) in columns.iter().skip(1).zip(cells(view, row)) { (cell(*column, &text)) }
                    }
                }
            }
        }
    }
}

/// A sheet for each crew that has anything to do; nothing where nobody has.
#[must_use]
pub fn sheets(view: &View) -> Option<Part> {
    let with_work: Vec<(usize, &str)> = view
        .crews
        .iter()
        .enumerate()
        .map(|(place, crew)| (place, crew.crew.as_str()))
        .filter(|(_, crew)| view.work.iter().any(|row| row.crews.iter().any(|name| name == crew)))
        .collect();
    if with_work.is_empty() {
        return None;
    }
    let body = html! {
        p class="not-printed" { (own::ABOUT_SHEETS) }
        @for (place, crew) in with_work { (sheet(view, place, crew)) }
    };
    Some(Part { id: "sheets", heading: own::SHEETS, body })
}

fn sheet(view: &View, place: usize, crew: &str) -> Markup {
    let mut columns = columns(view, dates("day"));
    let is_shared = view.work.iter().any(|row| row.crews.len() > 1);
    if is_shared {
        columns.push(names("or with"));
    }
    columns.push(dates("done"));
    let of_crew = |row: &&WorkRow| row.crews.iter().any(|name| name == crew) || is_for_all(row);
    let heads = |day: usize| view.crews.get(place).and_then(|row| row.heads.get(day)).copied().unwrap_or(0);
    let days = html! {
        (head(&columns))
        @for (number, day) in view.days.iter().enumerate() {
            @let rows: Vec<&WorkRow> = view.work.iter().filter(|row| row.day == number).filter(of_crew).collect();
            @let there = own::heads(heads(number));
            tbody {
                @if rows.is_empty() {
                    tr {
                        th scope="row" class="date" { (day.label) br; span class="soft" { (there) } }
                        td colspan=(columns.len() - 1) { "\u{2013}" }
                    }
                }
                @for (place, row) in rows.iter().enumerate() {
                    tr {
                        @if place == 0 {
                            th scope="rowgroup" class="date" rowspan=(rows.len()) {
                                (day.label) br; span class="soft" { (there) }
                            }
                        }
                        @for (column, text) in columns.iter().skip(1).zip(cells(view, row)) { (cell(*column, &text)) }
                        @if is_shared { td class="name" { (own::others(row, crew)) } }
                        td class="tick" { span class="box" {} }
                    }
                }
            }
        }
    };
    html! {
        div class="sheet" {
            h3 { (crew) }
            (framed(&view.title, &days))
        }
    }
}
