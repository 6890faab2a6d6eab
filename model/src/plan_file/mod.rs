//! A plan as YAML text that a person may edit, and back.
//!
//! ```yaml
//! plan: Week of 7 December
//! objective: 18250.75 in money
//! bound: 18301.2 in money
//! status: within gap
//! tasks:
//!   - {on: 2026-12-07, do: brew, beer: Lantern Pale, vessel: F1, turns: 2}
//!   - {on: 2026-12-08, do: transfer, from: F2, to: B1, volume: 37.6 hL}
//! ```
//!
//! Header, words and names are text; volumes and times carry their units and are exact; dates take the place of
//! slots (with the shift's name where a day has several). `objective`, `bound` and `status` are for the reader of the
//! file: they are worked out again and never read back.

mod fields;
mod outlook;
mod quantities;
mod read;
mod tree;
mod words;
mod write;

#[cfg(test)]
mod tests;

pub use read::read_plan;
pub use write::write_plan;

/// What is known about a plan besides its work, in the units of the solver's answer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlanSummary {
    /// Objective: cents with `aim: orders`, hundredths of a millilitre with `aim: output`.
    pub objective: i64,
    /// Proven bound, in the same unit.
    pub bound: i64,
    /// How the search ended, in words.
    pub status: String,
}

/// A larger file is refused unread, in bytes.
const LARGEST_FILE: usize = 16 * 1024 * 1024;

/// Days after day 0 that a date in a plan may lie at most.
const LAST_DAY: i64 = 3_660;
