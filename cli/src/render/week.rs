//! The week by day and role.

use super::numbers::hours;
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::view::{View, WorkRow};
use super::words::report::no_work_on;
use super::words::work as words;

/// The table's header.
const COLUMNS: [&str; 7] = ["", "", "what", "where", "how much", "clock h", "person-h"];

/// A block for each day: its work by role, with clock time and person-hours.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let mut table = plain_table(&COLUMNS, 5);
    let mut idle: Vec<&str> = Vec::new();
    for (number, day) in view.days.iter().enumerate() {
        let rows: Vec<&WorkRow> = view.work.iter().filter(|row| row.day == number).collect();
        if rows.is_empty() {
            idle.push(&day.label);
            continue;
        }
        if table.row_count() > 0 {
            table.add_row(vec![""; COLUMNS.len()]);
        }
        let mut before = ("", "");
        for (place, row) in rows.iter().enumerate() {
            let first = if place == 0 { day.label.clone() } else { String::new() };
            let role = if before == (row.shift.as_str(), row.role) {
                String::new()
            } else if view.has_shifts {
                format!("{} {}", row.shift, row.role)
            } else {
                row.role.to_owned()
            };
            before = (&row.shift, row.role);
            let time = |value: Option<f64>| value.map(hours).unwrap_or_default();
            table.add_row(vec![
                first,
                role,
                words::what(row),
                words::place(row),
                words::volume(row, view.units.system),
                time(row.clock_hours),
                time(row.person_hours),
            ]);
        }
    }
    let mut lines = if table.row_count() > 0 { table_lines(&table) } else { Vec::new() };
    if !idle.is_empty() {
        lines.extend(wrapped(&no_work_on(&idle), 0));
    }
    lines
}
