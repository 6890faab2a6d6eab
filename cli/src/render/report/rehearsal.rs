//! A rehearsal.

use maud::html;

use super::page::{Part, page};
use super::table::{Column, dates, names, numbers, table, words as plain};
use crate::render::rehearsal::{batch_cells, batch_header, falls, is_cut, order_cells, order_header};
use crate::render::view::RehearsalView;
use crate::render::words::{self as all_words, rehearsal as own, report as report_words};

/// The report of `rehearse`.
#[must_use]
pub fn of_rehearsal(view: &RehearsalView) -> String {
    let verdict = html! {
        p class="first" { (own::verdict(view)) }
        @for sentence in own::kept_up(view) { p { (sentence) } }
        p { (own::about(view)) }
    };
    let mut parts = vec![Part { id: "verdict", heading: report_words::VERDICT, body: verdict }];
    if !view.batches.is_empty() {
        let header = batch_header();
        let columns: Vec<Column> = header
            .iter()
            .enumerate()
            .map(|(place, heading)| match place {
                0 => names(heading),
                1 | 2 | 7 => dates(heading),
                3 => numbers(heading),
                _ => plain(heading),
            })
            .collect();
        let rows: Vec<Vec<String>> = view.batches.iter().map(|row| batch_cells(view, row)).collect();
        let body = html! {
            (table(own::BATCHES, &columns, &rows, None))
            @if is_cut(view) { p { (own::cut()) } }
        };
        parts.push(Part { id: "batches", heading: own::BATCHES, body });
        parts.push(Part::list("fails", own::FAILS, &falls(view)));
    }
    if !view.draws.is_empty() {
        let header = order_header(view);
        let columns: Vec<Column> = std::iter::once(names(&header[0]))
            .chain(header[1..].iter().map(|heading| numbers(heading)))
            .collect();
        let rows: Vec<Vec<String>> = view.orders.iter().map(|row| order_cells(view, row)).collect();
        let body = html! {
            p { (own::drawn(view)) }
            @if !rows.is_empty() { (table(own::DRAWS, &columns, &rows, None)) }
        };
        parts.push(Part { id: "draws", heading: own::DRAWS, body });
    }
    if !view.cautions.is_empty() {
        parts.push(Part::list("cautions", report_words::CAUTIONS, &all_words::listed(&view.cautions)));
    }
    page(&format!("{}, {}", view.title, view.cellar), &own::verdict(view), &html! {}, &parts)
}
