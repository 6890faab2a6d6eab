//! What is said while a plan is watched over, and beside the search.

use cellarwright_model::case::Case;

use super::count;

/// Nothing to do until a file changes.
pub const WAITING: &str = "waiting for a file to change; Ctrl-C ends";

/// A file is another than it was.
#[must_use]
pub fn changed(file: &str) -> String {
    format!("{file} has changed: planning again")
}

/// What was read.
#[must_use]
pub fn was_read(case: &Case) -> String {
    format!(
        "{}, {}: {}, {}, {}, {}, {} + {} days",
        case.name,
        case.cellar,
        count(case.vessels.len(), "vessel", "vessels"),
        count(case.lines.len(), "line", "lines"),
        count(case.beers.len(), "beer", "beers"),
        count(case.orders.len(), "order", "orders"),
        case.calendar.planned_days,
        case.calendar.look_ahead_days
    )
}

/// How far a search has come after so many seconds.
#[must_use]
pub fn step(seconds: f64, progress: &str) -> String {
    let progress = progress.split("  (").next().unwrap_or(progress);
    format!("{seconds:6.1} s  {progress}")
}
