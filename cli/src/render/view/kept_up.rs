//! The rows of a cycle that can be kept up for ever.

use serde::Serialize;

use super::View;

/// What a cycle makes of a beer in a format.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GoodsRow {
    /// The beer.
    pub beer: String,
    /// The format.
    pub format: String,
    /// Packaged in a cycle.
    pub packaged_hl: f64,
    /// The same in a week.
    pub packaged_a_week_hl: f64,
    /// Asked for in a week; none where the brew plan has no orders, or where every litre counts.
    pub asked_a_week_hl: Option<f64>,
    /// Asked for in a week and not packaged.
    pub short_a_week_hl: Option<f64>,
}

/// A cycle that can be kept up for ever.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptView {
    /// Work, vessels, slack and the objective's parts of one cycle.
    pub view: View,
    /// Weeks of the cycle.
    pub weeks: usize,
    /// Packaged in a week.
    pub a_week_hl: f64,
    /// Poured in the taproom in a week.
    pub poured_a_week_hl: f64,
    /// No cycle of any length is worth more a week, in the objective's unit; none where that is not known.
    pub for_ever: Option<f64>,
    /// By beer and format.
    pub goods: Vec<GoodsRow>,
    /// What of the brew plan is left out.
    pub left_out: Vec<&'static str>,
}
