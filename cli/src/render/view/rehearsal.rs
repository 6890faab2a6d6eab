//! The rows of a rehearsal.

use serde::Serialize;

use super::Caution;
use crate::render::numbers::UnitSystem;

/// An order that fails.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FallRow {
    /// The order.
    pub order: String,
    /// How much less it gets than by the plan.
    pub short_hl: f64,
    /// How much more of it comes late than by the plan.
    pub late_hl: f64,
}

/// What comes of a batch that is so many days late.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LateRow {
    /// How many days.
    pub days: i64,
    /// `stands`, `planned_again`, `no_plan`, `not_in_time` or `not_done`.
    pub course: &'static str,
    /// Changes to the plan.
    pub changes: usize,
    /// A search was cut by time: a better plan might be there.
    pub is_cut: bool,
    /// Orders that fail.
    pub orders: Vec<FallRow>,
}

/// A batch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BatchRow {
    /// Beer and vessel.
    pub batch: String,
    /// The beer.
    pub beer: String,
    /// The fermenter.
    pub vessel: String,
    /// The date on which it is ready by the plan.
    pub ready: String,
    /// The same as the screen shows it.
    #[serde(skip)]
    pub ready_label: String,
    /// The date on which the plan first takes from it.
    pub used: Option<String>,
    /// The same as the screen shows it.
    #[serde(skip)]
    pub used_label: String,
    /// The date on which it is known whether it is late.
    pub known: String,
    /// The same as the screen shows it.
    #[serde(skip)]
    pub known_label: String,
    /// Days by which it may be late with nothing else changed, up to three.
    pub spare_days: i64,
    /// Days by which it may be late without an order that fails, up to three.
    pub bearable_days: i64,
    /// The date by which it must be ready so that no order fails; none where three days are borne, or where there was no time to tell.
    pub must_be_ready: Option<String>,
    /// The search with one day more was cut by time: a plan may be there that bears more.
    pub must_may_be_later: bool,
    /// The same as the screen shows it.
    #[serde(skip)]
    pub must_label: String,
    /// One, two and three days late.
    pub late: Vec<LateRow>,
}

/// An order in the draws.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawnOrder {
    /// The order.
    pub order: String,
    /// In how many draws it fails.
    pub fails: usize,
    /// How much it is short of the plan on average over all draws.
    pub short_on_average_hl: f64,
    /// And at most.
    pub short_at_most_hl: f64,
}

/// A draw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawRow {
    /// Batches that were late.
    pub late_batches: usize,
    /// Days on which a line stopped that was to run.
    pub line_stops: usize,
    /// As of a batch.
    #[serde(flatten)]
    pub outcome: LateRow,
    /// Times that was planned again.
    pub times: usize,
    /// Packaged and poured.
    pub output_hl: f64,
}

/// A rehearsal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RehearsalView {
    /// The brew plan's title.
    pub title: String,
    /// The cellar's title.
    pub cellar: String,
    /// Units of what is shown.
    #[serde(skip)]
    pub units: UnitSystem,
    /// What the plan packages and pours in the planned days.
    pub promised_hl: f64,
    /// Batches, by the day on which they are ready.
    pub batches: Vec<BatchRow>,
    /// Draws asked for.
    pub draws_asked: usize,
    /// The seed.
    pub seed: u64,
    /// The chances that a batch is one, two and three days late.
    pub chance_late: [f64; 3],
    /// The chance that a line stops for a day.
    pub chance_stop: f64,
    /// The gap to which each plan is searched.
    pub gap: f64,
    /// Draws in which no order fails.
    pub draws_without_fall: usize,
    /// Share of what is promised that is kept up on average; none without draws.
    pub kept_up: Option<f64>,
    /// The same in the worst draw.
    pub kept_up_at_worst: Option<f64>,
    /// Nine draws of ten keep up at least this.
    pub kept_up_in_nine_of_ten: Option<f64>,
    /// Orders that fail in a draw, most often first.
    pub orders: Vec<DrawnOrder>,
    /// The draws.
    pub draws: Vec<DrawRow>,
    /// Clock time.
    pub seconds: f64,
    /// What to heed.
    pub cautions: Vec<Caution>,
}
