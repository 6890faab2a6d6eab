//! What a plan changes against the one that is being carried out.

use serde::Serialize;

/// All changes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangesView {
    /// The first date that is planned again.
    pub from: String,
    /// The same as the screen shows it.
    #[serde(skip)]
    pub from_label: String,
    /// How many.
    pub count: usize,
    /// The most that was asked for.
    pub at_most: Option<usize>,
    /// Pieces of work that stay as they were.
    pub kept: usize,
    /// What the changes cost together, in `Units::objective`.
    pub cost: f64,
    /// What the plan is worth before that, in the same unit.
    pub worth_without: f64,
    /// By day.
    pub rows: Vec<ChangeRow>,
}

/// One change.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangeRow {
    /// `amount`, `shift`, `day`, `vessel`, `dropped` or `new`.
    pub change: &'static str,
    /// `brew`, `transfer`, `package`, `clean`, `carbonate`, `tank work`, `crop` or `dump`.
    pub work: &'static str,
    /// The beer.
    pub beer: Option<String>,
    /// The format.
    pub format: Option<String>,
    /// The piece of tank work.
    pub piece: Option<String>,
    /// As it was planned.
    pub before: Option<ChangedWork>,
    /// As it is now.
    pub after: Option<ChangedWork>,
    /// What it costs, in `Units::objective`.
    pub cost: f64,
}

/// Where, when and how much.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangedWork {
    /// The date.
    pub date: String,
    /// The day as the screen shows it.
    #[serde(skip)]
    pub day_label: String,
    /// The day and, where a day has several, the shift.
    #[serde(skip)]
    pub label: String,
    /// The shift's name.
    pub shift: String,
    /// The vessel that beer leaves.
    pub from: Option<String>,
    /// The vessel filled or worked on.
    pub vessel: Option<String>,
    /// Wort, what leaves a vessel, or what is packaged.
    pub volume_hl: Option<f64>,
}
