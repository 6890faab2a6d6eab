//! Replays a plan vessel by vessel in whole numbers, finds every rule it breaks and recomputes its objective.
//!
//! This crate sees cases and plans only; it knows nothing of the program that made the plan.

pub mod usage;

use cellarwright_model::case::Case;
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::Plan;
use cellarwright_model::violation::Violation;

use usage::Usage;

/// What the replay found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// Every breach, in order of rule, time and vessel. Empty for a plan that can be carried out.
    pub violations: Vec<Violation>,
    /// The objective in parts.
    pub breakdown: Breakdown,
    /// Use of every resource of the planned days.
    pub usage: Usage,
}
