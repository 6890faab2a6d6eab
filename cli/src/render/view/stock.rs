//! Rows of packaged beer over time.

use serde::Serialize;

/// Packaged beer of one beer and format over the days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StockRow {
    /// The beer.
    pub beer: String,
    /// The format.
    pub format: String,
    /// There on day 0, at once or later.
    pub opening_hl: f64,
    /// The planned days one by one, then the periods of the look-ahead.
    pub days: Vec<StockDays>,
}

/// A planned day, or a period of the look-ahead.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct StockDays {
    /// As the screen shows it, the first day of a period.
    pub label: String,
    /// The last day of a period of several days.
    pub last_label: Option<String>,
    /// Counted in coarse periods.
    pub is_ahead: bool,
    /// Packaged in it.
    pub packaged_hl: f64,
    /// Due in it (on day 0 also what is overdue).
    pub due_hl: f64,
    /// Of what is due in it, never delivered: of orders that are short by a package or more.
    pub missed_hl: f64,
    /// Delivered in it.
    pub delivered_hl: f64,
    /// Packaged and not delivered at its end.
    pub left_hl: f64,
}
