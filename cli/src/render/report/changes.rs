//! What changes against the plan that is being carried out.

use maud::html;

use super::page::Part;
use super::table::{dates, names, numbers, table};
use crate::render::numbers::grouped;
use crate::render::view::View;
use crate::render::words::changes as own;

/// Changes, where a plan is being carried out.
#[must_use]
pub fn part(view: &View) -> Option<Part> {
    let changes = view.changes.as_ref()?;
    let unit = view.units.objective;
    let columns = [dates(own::PLANNED_FOR), names(own::WHAT), numbers(own::WEIGHS)];
    let rows: Vec<Vec<String>> = changes
        .rows
        .iter()
        .map(|row| {
            let work = row.before.as_ref().or(row.after.as_ref());
            vec![
                work.map_or_else(String::new, |work| work.day_label.clone()),
                own::change(row, view.units.system),
                grouped(row.cost, 2),
            ]
        })
        .collect();
    let body = html! {
        p { (own::sum(changes, unit)) }
        @if !rows.is_empty() { (table(own::HEADING, &columns, &rows, None)) }
    };
    Some(Part { id: "changes", heading: own::HEADING, body })
}
