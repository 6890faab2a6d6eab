//! The section of changes: by day, what is no longer done, what is new, what moves.

use super::text::wrapped;
use super::view::View;
use super::words;

/// Lines of the section; none where no plan is being carried out.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let Some(changes) = &view.changes else { return Vec::new() };
    let mut lines = wrapped(&words::changes::sum(changes, view.units.objective), 0);
    let mut day = "";
    for row in &changes.rows {
        let Some(work) = row.before.as_ref().or(row.after.as_ref()) else { continue };
        if work.day_label != day {
            day = &work.day_label;
            lines.push(day.to_owned());
        }
        lines.extend(wrapped(&words::changes::change(row, view.units.system), 2));
    }
    lines
}
