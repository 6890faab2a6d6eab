//! What came of a work item, in one line: the same bytes whichever machine did it, unless its time limit struck, which it then says.

use serde::{Deserialize, Serialize};

use super::lines::line_of;

/// What is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// The layout meets the demand.
    Met,
    /// It does not: proven.
    NotMet,
    /// The search ended before either was shown.
    Unknown,
}

/// What came of a work item. Money is that of a year, in cents; shares are in millionths of the demand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// The item.
    pub id: String,
    /// Its demand.
    pub scenario: String,
    /// Its layout.
    pub layout: String,
    /// What is known.
    pub status: Status,
    /// What is bought, by name.
    pub buys: Vec<String>,
    /// What that costs.
    pub bought_cents: Option<i64>,
    /// What it costs to run, as the checker replayed it.
    pub running_cents: Option<i64>,
    /// Both together.
    pub cost_cents: Option<i64>,
    /// It cannot be had for less.
    pub bound_cents: Option<i64>,
    /// The largest share that was found, where the demand is not met.
    pub share_millionths: Option<i64>,
    /// No more of the demand can be met.
    pub share_bound_millionths: Option<i64>,
    /// The search came to its own end: the bound is within the gap, or it is proven that the demand is not met.
    pub proven: bool,
    /// A second search with another seed found nothing beyond the bound.
    pub confirmed: bool,
    /// The time limit that struck, in seconds: more may be found with more time. Null where none did, and then the line is the same on every machine.
    pub stopped_after_seconds: Option<i64>,
}

impl Outcome {
    /// The line, with its end.
    #[must_use]
    pub fn line(&self) -> String {
        line_of(self)
    }

    /// Whether it says all that its status has to.
    pub(super) fn is_whole(&self) -> bool {
        self.status != Status::Met || (self.cost_cents.is_some() && self.bound_cents.is_some())
    }
}
