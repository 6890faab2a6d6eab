//! Cellars, brew plans and changes side by side: the rows that screen, document and report read.
//!
//! `gather` makes them from the view of each case and the checker's figures, `figures` names the figures, `screen` and `document`
//! show them. Nothing is counted here: a difference is one of numbers that stand in the views.

mod document;
mod figures;
mod gather;
mod screen;

use serde::Serialize;

use super::view::{Caution, PartRow};

pub use document::document;
pub use gather::{Case, OfCycle, letter, of_cases};
pub use screen::{cell_text, difference_cells, figure_text, heading_of, is_told, part_text, text};

/// Everything that is shown.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// Unit of the objective.
    pub unit: &'static str,
    /// Weeks of the cycle, where it is about what can be kept up.
    pub weeks: Option<usize>,
    /// The cases, the base first.
    pub cases: Vec<CaseRow>,
    /// Some case looks ahead.
    pub looks_ahead: bool,
    /// All objectives have the same unit.
    pub is_comparable: bool,
    /// The planned days are not the same.
    pub days_differ: bool,
    /// The case whose plan is worth most; the first of several.
    pub best: Option<usize>,
    /// Figures of all cases.
    pub figures: Vec<Figure>,
    /// Every case less every other one, from the base on.
    pub differences: Vec<Difference>,
    /// Every resource of any case.
    pub resources: Vec<ResourceRow>,
    /// Parts of the objective: by name and case.
    pub parts: Vec<(&'static str, Vec<Option<f64>>)>,
    /// What cycles leave out.
    pub left_out: Vec<&'static str>,
    /// What to heed, with the letters of the cases where it is not all of them.
    pub cautions: Vec<Caution>,
}

/// A case.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CaseRow {
    /// Its letter.
    pub letter: String,
    /// Its title.
    pub title: String,
    /// `brew plan`, `cellar` or `change`.
    pub kind: &'static str,
    /// Its file.
    pub file: String,
    /// `optimal`, `within_gap` or `stopped`.
    pub status: &'static str,
    /// What its plan is worth.
    pub objective: f64,
    /// Proven bound; none where there was no time for one.
    pub bound: Option<f64>,
    /// `bound - objective` over the objective's size.
    pub gap: Option<f64>,
    /// Seconds of its search.
    pub seconds: f64,
    /// Parts of its objective.
    pub breakdown: Vec<PartRow>,
}

/// A figure of all cases.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// What it is.
    pub figure: String,
    /// Its unit.
    pub unit: &'static str,
    /// Decimals that are shown.
    #[serde(skip)]
    pub decimals: usize,
    /// It is what nothing is worth more than, and is rounded up.
    #[serde(skip)]
    pub is_bound: bool,
    /// By case.
    pub values: Vec<Option<f64>>,
}

/// What is proven of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Proven {
    /// It is more than nothing.
    Better,
    /// It is less than nothing.
    Worse,
    /// It is next to nothing.
    Alike,
    /// It may be either.
    Not,
}

/// One case less another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// The case that is taken off.
    #[serde(skip)]
    pub from: usize,
    /// The case that it is taken off from.
    #[serde(skip)]
    pub to: usize,
    /// Plan less plan.
    pub plans: f64,
    /// At least so much: its own plan less the other's bound.
    pub low: Option<f64>,
    /// At most so much: its bound less the other's own plan.
    pub high: Option<f64>,
    /// What that proves.
    pub proven: Proven,
}

/// A resource in all cases.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ResourceRow {
    /// The rule that it belongs to.
    pub rule: &'static str,
    /// What the rule is about.
    pub about: &'static str,
    /// The resource.
    pub resource: String,
    /// Its unit.
    pub unit: &'static str,
    /// It binds in one case and not in another.
    pub differs: bool,
    /// By case; none where there is no such resource.
    pub cases: Vec<Option<ResourceCell>>,
}

/// A resource in one case.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ResourceCell {
    /// Its name there.
    pub name: String,
    /// Used in the planned days.
    pub used: f64,
    /// What there is of it.
    pub available: f64,
    /// What is left.
    pub left: f64,
    /// The day on which the least is left.
    pub tightest: String,
    /// What is left on that day.
    pub left_then: f64,
    /// Nothing worth speaking of is left on that day.
    pub binding: bool,
}
