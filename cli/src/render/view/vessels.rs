//! Rows of vessels and what is in them, and of crews.

use serde::Serialize;

/// A vessel across the days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VesselRow {
    /// The vessel.
    pub vessel: String,
    /// What happens on each day, in signs.
    pub cells: Vec<String>,
    /// Beer in it.
    pub stays: Vec<StayRow>,
}

/// A crew over the planned days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CrewRow {
    /// The crew.
    pub crew: String,
    /// Kinds of work that it does; none where it only checks.
    pub roles: Vec<&'static str>,
    /// Heads that are there on each planned day, over all its shifts.
    pub heads: Vec<i64>,
}

/// Beer in a vessel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StayRow {
    /// The beer.
    pub beer: String,
    /// Date of the fill; none if it was there before.
    pub from: Option<String>,
    /// As the screen shows the date of the fill, that of beer from before day 0 too.
    #[serde(skip)]
    pub from_label: String,
    /// Days from midnight of the first planned day to the middle of the shift of the fill; none if it was there before.
    #[serde(skip)]
    pub begins: Option<f64>,
    /// Days to the middle of the shift in which the last of it left; none if still there.
    #[serde(skip)]
    pub ends: Option<f64>,
    /// Ready date, in a fermenter.
    pub ready: Option<String>,
    /// As the screen shows it.
    #[serde(skip)]
    pub ready_label: Option<String>,
    /// Date on which the last of it left; none if still there.
    pub until: Option<String>,
    /// Volume: after the tank loss in a fermenter, arrived in a bright tank.
    pub volume_hl: f64,
    /// Still there when the planned days end.
    pub left_hl: f64,
}

/// A beer and its letters in the vessel chart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BeerCode {
    /// The letters.
    pub code: String,
    /// The beer.
    pub beer: String,
}
