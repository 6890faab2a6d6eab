//! Why orders are short or late: the answer, what filling them displaces, or what forbids it and what would make it possible.

use maud::{Markup, html};

use super::page::{Part, page};
use super::table::{dates, names, numbers, table, units, words};
use crate::render::view::{Changed, DisplacesRows, ForbiddenRows, WhyView};
use crate::render::why::{changed_cells, members, order_cells, order_header};
use crate::render::words::why::{self as own, changes, members as reasons};
use crate::render::words::{self as all_words, report as report_words};

/// The report of `why`.
#[must_use]
pub fn of_why(view: &WhyView) -> String {
    let asked: Vec<String> = view.asked.iter().map(|row| own::asked(row, view.units)).collect();
    let verdict = html! {
        @for (place, sentence) in own::verdict(view).iter().enumerate() {
            p class=[(place == 0).then_some("first")] { (report_words::kept_together(sentence)) }
        }
    };
    let mut parts = vec![
        Part { id: "verdict", heading: report_words::VERDICT, body: verdict },
        Part::list("asked", own::ASKED, &asked),
    ];
    if let Some(found) = &view.displaces {
        displaces(&mut parts, view, found);
    }
    if let Some(found) = &view.forbidden {
        forbidden(&mut parts, found);
    }
    if !view.cautions.is_empty() {
        parts.push(Part::list("cautions", report_words::CAUTIONS, &all_words::listed(&view.cautions)));
    }
    page(&format!("{}, {}", view.title, view.cellar), own::CAPTION, &html! {}, &parts)
}

fn displaces(parts: &mut Vec<Part>, view: &WhyView, found: &DisplacesRows) {
    let header = order_header();
    let mut columns = vec![names(&header[0]), dates(&header[1])];
    columns.extend(header[2..].iter().map(|heading| numbers(heading)));
    let rows: Vec<Vec<String>> = found.orders.iter().map(|row| order_cells(view, row)).collect();
    let body = table(own::ORDERS, &columns, &rows, None);
    parts.push(Part { id: "orders", heading: own::ORDERS, body });
    for (id, heading, rows) in
        [("parts", own::PARTS, &found.parts), ("figures", own::FIGURES, &found.figures)]
    {
        if !rows.is_empty() {
            parts.push(Part { id, heading, body: changed(heading, rows) });
        }
    }
    if !found.binds_then.is_empty() {
        parts.push(Part::list("binds", own::BINDS, &found.binds_then));
    }
}

fn changed(heading: &str, rows: &[Changed]) -> Markup {
    let [what, unit, rest @ ..] = own::CHANGED_COLUMNS;
    let mut columns = vec![names(what), units(unit)];
    columns.extend(rest.iter().map(|heading| numbers(heading)));
    let rows: Vec<Vec<String>> = rows.iter().map(changed_cells).collect();
    html! {
        (table(heading, &columns, &rows, None))
        p { (own::BY_CHANCE) }
    }
}

fn forbidden(parts: &mut Vec<Part>, found: &ForbiddenRows) {
    let body = html! {
        p { (reasons::about_members(found)) }
        ul { @for item in members(&found.members) { li { (item) } } }
    };
    parts.push(Part { id: "forbids", heading: reasons::MEMBERS, body });
    let [what, once, a_week, less] = changes::COLUMNS;
    let columns = [names(what), numbers(once), numbers(a_week), words(less)];
    let rows: Vec<Vec<String>> = found.changes.iter().map(changes::cells).collect();
    let body = html! {
        @if rows.is_empty() { p { (changes::NO_CHANGE) } } @else {
            (table(changes::CHANGES, &columns, &rows, None))
        }
        @for sentence in changes::about(found) { p { (sentence) } }
    };
    parts.push(Part { id: "changes", heading: changes::CHANGES, body });
    if found.there.is_empty() {
        parts.push(Part::list("there", reasons::THERE, &[reasons::NOTHING_THERE]));
    } else {
        parts.push(Part::list("there", reasons::THERE, &found.there));
    }
}
