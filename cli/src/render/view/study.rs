//! The rows of a study.

use serde::Serialize;

use super::Caution;
use crate::render::numbers::UnitSystem;

/// A layout across all demands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TriedRow {
    /// The layout.
    pub layout: String,
    /// What it buys; of whatever is cheapest, nothing.
    pub buys: Vec<String>,
    /// Demands that it meets.
    pub met: usize,
    /// Demands that it does not meet: proven.
    pub not_met: usize,
    /// Demands of which neither is known.
    pub unknown: usize,
    /// Share of the demands that it meets at least.
    pub meets_at_least: f64,
    /// Share of the demands that it meets at most: those of which neither is known counted as met.
    pub meets_at_most: f64,
    /// Demands for which it is the cheapest.
    pub cheapest: usize,
    /// Of these, proven.
    pub proven_cheapest: usize,
    /// The lowest cost a year where it meets the demand.
    pub least_cost_a_year: Option<f64>,
    /// The highest.
    pub most_cost_a_year: Option<f64>,
}

/// A demand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DemandRow {
    /// Its name.
    pub scenario: String,
    /// What is asked for in a week, on average over the year.
    pub asked_a_week_hl: f64,
    /// Layouts that meet it.
    pub met_by: usize,
    /// Layouts of which that is not known.
    pub unknown: usize,
    /// The cheapest that meets it.
    pub cheapest: Option<String>,
    /// What that buys.
    pub buys: Vec<String>,
    /// What it costs a year.
    pub cost_a_year: Option<f64>,
    /// No other layout of the study is cheaper by more than the gap: proven.
    pub proven: bool,
}

/// An item without a result, or with one that its time limit cut short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LackingRow {
    /// Its line, from 1.
    pub item: usize,
    /// Its id.
    pub id: String,
    /// Its demand.
    pub scenario: String,
    /// Its layout.
    pub layout: String,
}

/// A study.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StudyView {
    /// Units of what is shown.
    #[serde(skip)]
    pub units: UnitSystem,
    /// How many items there are.
    pub items: usize,
    /// How many have a result.
    pub results: usize,
    /// Every layout, in the order of the items.
    pub layouts: Vec<TriedRow>,
    /// Every demand, in the order of the items.
    pub scenarios: Vec<DemandRow>,
    /// Items without a result.
    pub missing: Vec<LackingRow>,
    /// Items whose time limit struck.
    pub stopped: Vec<LackingRow>,
    /// What was wrong with lines.
    pub findings: Vec<Caution>,
}
