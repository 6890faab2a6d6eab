//! Slack of every resource as bars, and the objective in parts.

use maud::{Markup, html};

use super::draw::n;
use super::page::Part;
use super::table::{dates, framed, head, names, numbers, table, words};
use crate::render::slack::{Parts, amount, outlook_sentence, part_cells};
use crate::render::view::{SlackRow, View};
use crate::render::words::report as own;

/// Width of a bar.
const WIDTH: f64 = 150.0;
/// Height of a bar.
const HEIGHT: f64 = 12.0;

/// Slack of every resource.
#[must_use]
pub fn part(view: &View) -> Part {
    let columns = [
        names("resource"),
        dates("unit"),
        words("used in these days"),
        numbers("left"),
        dates("tightest day"),
        words("used then"),
        numbers("left then"),
        words("binds"),
    ];
    let rows = html! {
        (head(&columns))
        tbody { @for row in &view.slack { (line(row)) } }
    };
    let body = html! {
        p { (own::ABOUT_SLACK) }
        (framed(own::SLACK_CAPTION, &rows))
    };
    Part { id: "slack", heading: own::SLACK, body }
}

fn line(row: &SlackRow) -> Markup {
    let number = |value: f64| amount(row, value);
    let used_then = row.available_then - row.left_then;
    html! {
        tr {
            th scope="row" class="resource" { (row.resource) }
            td class="date" { (row.unit) }
            td { (bar(row.used, row.available)) (number(row.used)) " of " (number(row.available)) }
            td class="number" { (number(row.left)) }
            td class="date" { (row.tightest_label) }
            td { (bar(used_then, row.available_then)) (number(used_then)) " of " (number(row.available_then)) }
            td class="number" { (number(row.left_then)) }
            td { @if row.binding { strong { "binds" } } }
        }
    }
}

/// What is used of what there is; the numbers stand beside it, so it says nothing by itself.
fn bar(used: f64, available: f64) -> Markup {
    let share = if available > 0.0 { (used / available).clamp(0.0, 1.0) } else { 1.0 };
    html! {
        svg class="level" aria-hidden="true" width=(n(WIDTH)) height=(n(HEIGHT)) viewBox={ "0 0 " (n(WIDTH)) " " (n(HEIGHT)) }
            xmlns="http://www.w3.org/2000/svg" {
            rect class="whole" x="0.5" y="0.5" width=(n(WIDTH - 1.0)) height=(n(HEIGHT - 1.0)) {}
            rect class="used" x="0.5" y="0.5" width=(n((WIDTH - 1.0) * share)) height=(n(HEIGHT - 1.0)) {}
        }
    }
}

/// The objective in parts that add up to it.
#[must_use]
pub fn parts(view: &View) -> Part {
    let Parts { is_split, rows, sum } = part_cells(view);
    let mut columns = vec![words("part")];
    if is_split {
        columns.extend([numbers("planned days"), numbers("look-ahead")]);
    }
    let together = format!("together, {}", view.units.objective);
    columns.push(numbers(&together));
    let body = html! {
        (table(own::PARTS_CAPTION, &columns, &rows, Some(&sum)))
        @if let Some(sentence) = outlook_sentence(view) { p { (sentence) } }
    };
    Part { id: "parts", heading: own::PARTS, body }
}
