//! The screen and the document of a study.

use super::json::pretty_in;
use super::numbers::{grouped, volume};
use super::slack::table_of;
use super::text::{heading, joined, list, wrapped};
use super::view::{DemandRow, StudyView, TriedRow};
use super::words::study as words;

/// The screen of `study sum`.
#[must_use]
pub fn text(view: &StudyView) -> String {
    let mut lines = Vec::new();
    for sentence in words::begins(view) {
        lines.extend(wrapped(&sentence, 0));
    }
    heading(&mut lines, words::LAYOUTS);
    lines.extend(table_of(&words::layout_columns(), 2, view.layouts.iter().map(layout_cells)));
    lines.extend(wrapped(words::OF_LAYOUTS, 0));
    heading(&mut lines, words::DEMANDS);
    lines.extend(table_of(
        &words::demand_columns(view.units),
        1,
        view.scenarios.iter().map(|row| demand_cells(view, row)),
    ));
    lines.extend(wrapped(words::OF_DEMANDS, 0));
    if !view.missing.is_empty() {
        list(&mut lines, words::MISSING, &words::lacking(&view.missing));
    }
    if !view.stopped.is_empty() {
        list(&mut lines, words::STOPPED, &words::lacking(&view.stopped));
    }
    joined(&lines)
}

fn layout_cells(row: &TriedRow) -> Vec<String> {
    let money = |value: Option<f64>| value.map_or_else(String::new, |value| grouped(value, 2));
    vec![
        row.layout.clone(),
        words::buys_in_all(row),
        words::meets(row),
        row.unknown.to_string(),
        words::cheapest(row.cheapest, row.proven_cheapest),
        money(row.least_cost_a_year),
        money(row.most_cost_a_year),
    ]
}

fn demand_cells(view: &StudyView, row: &DemandRow) -> Vec<String> {
    vec![
        row.scenario.clone(),
        volume(view.units, row.asked_a_week_hl),
        row.met_by.to_string(),
        words::cheapest_of(row),
        row.cost_a_year.map_or_else(String::new, |value| grouped(value, 2)),
        words::proven(row).to_owned(),
    ]
}

/// The document of `study sum`.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(view: &StudyView) -> Result<String, serde_json::Error> {
    pretty_in(view.units, view)
}
