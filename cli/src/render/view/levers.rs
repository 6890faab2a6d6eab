//! The rows of what one unit more of each resource adds.

use serde::Serialize;

use super::Caution;
use crate::render::numbers::UnitSystem;

/// What a lever, or a pair of levers, adds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeverRow {
    /// One unit more of what, in words.
    pub lever: String,
    /// Kinds of the levers: `vessel`, `first_bright`, `person`, `hour`, `turn`, `cleaning_set`, `second_shift`, `stay`, `wait`, `rating`, `pump`.
    pub kinds: Vec<&'static str>,
    /// `nothing` (proven), `solved`, `cut` (by time or by hand), `not_tried` or `failed`.
    pub state: &'static str,
    /// Why it failed, if it did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
    /// Objective of the best plan found with it less that of the best without it, a week.
    pub found_a_week: Option<f64>,
    /// Proven: it adds at least so much a week.
    pub at_least_a_week: Option<f64>,
    /// Proven: it adds at most so much a week.
    pub at_most_a_week: Option<f64>,
    /// What the best plan found packages and pours beyond the best without it, a week.
    pub volume_a_week_hl: Option<f64>,
    /// The same of contribution.
    pub contribution_a_week: Option<f64>,
    /// More of it can never hurt, so that it adds at least nothing.
    pub never_hurts: bool,
    /// Paid for it once.
    pub price: Option<f64>,
    /// Paid for it every week, besides what is paid for work.
    pub costs_a_week: Option<f64>,
    /// What it costs a week is proven to come back (`yes`), proven not to (`no`), or neither (`open`); none where nothing is paid a week.
    pub pays_its_week: Option<&'static str>,
    /// Price over what is found a week, less what it costs a week; none where nothing is left of that.
    pub payback_weeks: Option<f64>,
    /// Price over the most that it adds a week.
    pub payback_at_least_weeks: Option<f64>,
    /// Price over the least that it adds a week; none where that is nothing.
    pub payback_at_most_weeks: Option<f64>,
}

/// A pair of levers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PairRow {
    /// What both add together.
    #[serde(flatten)]
    pub both: LeverRow,
    /// Proven: at least so much more a week than the sum of its parts; below nothing where that is not proven.
    pub beyond_at_least_a_week: Option<f64>,
    /// Proven: at most so much more a week than the sum of its parts.
    pub beyond_at_most_a_week: Option<f64>,
    /// It is proven to add more than the sum of its parts.
    pub is_more_than_sum: bool,
}

/// All levers of a brew plan.
#[derive(Clone, Debug, PartialEq)]
pub struct LeversView {
    /// The brew plan's title.
    pub title: String,
    /// The cellar's name.
    pub cellar: String,
    /// Unit of the objective: money, or that of volumes.
    pub unit: &'static str,
    /// Units of quantities.
    pub units: UnitSystem,
    /// Weeks that an objective is of.
    pub weeks: f64,
    /// Weeks of the cycle, where it repeats for ever.
    pub cycle: Option<usize>,
    /// The look-ahead is counted in coarse periods.
    pub looks_ahead: bool,
    /// Objective of the best plan as it is.
    pub objective: f64,
    /// No plan as it is is worth more.
    pub bound: Option<f64>,
    /// What the best plan as it is packages and pours, a week.
    pub volume_a_week_hl: f64,
    /// What is less than this a week is nothing.
    pub nothing_a_week: f64,
    /// Levers, the best first.
    pub rows: Vec<LeverRow>,
    /// Pairs were asked for.
    pub has_pairs: bool,
    /// Pairs, the most beyond the sum of its parts first.
    pub pairs: Vec<PairRow>,
    /// Pairs that there are of all levers.
    pub all_pairs: usize,
    /// Seconds from start to end.
    pub seconds: f64,
    /// Stopped by Ctrl-C.
    pub interrupted: bool,
    /// The same for ever, where both were asked for.
    pub for_ever: Option<Box<LeversView>>,
    /// What of the brew plan a cycle leaves out.
    pub left_out: Vec<&'static str>,
    /// What to heed.
    pub cautions: Vec<Caution>,
}

impl LeversView {
    /// Rows in a state.
    #[must_use]
    pub fn count(&self, state: &str) -> usize {
        let pairs = self.pairs.iter().map(|pair| &pair.both);
        self.rows.iter().chain(pairs).filter(|row| row.state == state).count()
    }

    /// Whether any lever has a price.
    #[must_use]
    pub fn has_prices(&self) -> bool {
        self.rows.iter().any(|row| row.price.is_some() || row.costs_a_week.is_some())
    }
}
