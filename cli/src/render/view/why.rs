//! Rows of why orders are short or late.

use cellarwright_model::measures::UnitSystem;
use serde::Serialize;

use super::{Caution, OrderRow};

/// What filling orders would displace, or what forbids it.
#[derive(Clone, Debug, Serialize)]
pub struct WhyView {
    /// The brew plan's title.
    pub title: String,
    /// The cellar's name.
    pub cellar: String,
    /// Units in which quantities are shown.
    #[serde(skip)]
    pub units: UnitSystem,
    /// Unit of what plans are worth.
    pub unit: &'static str,
    /// `filled`, `displaces`, `forbidden` or `not_in_time`.
    pub verdict: &'static str,
    /// The look-ahead counts in coarse periods.
    pub looks_ahead: bool,
    /// The best plan as it is.
    pub as_it_is: WorthRow,
    /// The orders asked about, in that plan.
    pub asked: Vec<OrderRow>,
    /// Where they can be filled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub displaces: Option<DisplacesRows>,
    /// Where no plan fills them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub forbidden: Option<ForbiddenRows>,
    /// Seconds of clock time.
    pub seconds: f64,
    /// Stopped by Ctrl-C.
    pub interrupted: bool,
    /// What to heed.
    pub cautions: Vec<Caution>,
}

/// What a plan is worth.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct WorthRow {
    /// `optimal`, `within_gap` or `stopped`.
    pub status: &'static str,
    /// So much.
    pub objective: f64,
    /// No such plan is worth more; none where there was no time for a bound.
    pub bound: Option<f64>,
}

/// The plan that fills the orders beside the plan as it is.
#[derive(Clone, Debug, Serialize)]
pub struct DisplacesRows {
    /// The best plan that fills them.
    pub filled: WorthRow,
    /// What filling them costs at least: proven.
    pub costs_at_least: f64,
    /// At most: proven.
    pub costs_at_most: Option<f64>,
    /// The plan as it is less the plan that fills them.
    pub plans_differ_by: f64,
    /// It is proven that filling them costs something.
    pub cost_is_proven: bool,
    /// Orders that get more or less, or at another time.
    pub orders: Vec<ChangedOrder>,
    /// Parts of what the plans are worth that are not the same.
    pub parts: Vec<Changed>,
    /// Figures of the planned days that are not the same.
    pub figures: Vec<Changed>,
    /// Resources of which nothing is left with the orders filled, but as it is.
    pub binds_then: Vec<String>,
}

/// An order in both plans.
#[derive(Clone, Debug, Serialize)]
pub struct ChangedOrder {
    /// Its name.
    pub order: String,
    /// Its beer.
    pub beer: String,
    /// Its format.
    pub format: String,
    /// Its due date.
    pub due: String,
    /// The same for people.
    #[serde(skip)]
    pub due_label: String,
    /// It was asked about.
    pub asked: bool,
    /// Ordered.
    pub quantity_hl: f64,
    /// Delivered by the due day as it is.
    pub in_time_hl: f64,
    /// With the orders filled.
    pub in_time_then_hl: f64,
    /// Delivered later as it is.
    pub late_hl: f64,
    /// With the orders filled.
    pub late_then_hl: f64,
    /// Never delivered as it is.
    pub missed_hl: f64,
    /// With the orders filled.
    pub missed_then_hl: f64,
}

/// A number in both plans.
#[derive(Clone, Debug, Serialize)]
pub struct Changed {
    /// What it is.
    pub what: String,
    /// Its unit.
    pub unit: &'static str,
    /// Decimals that are shown.
    #[serde(skip)]
    pub decimals: usize,
    /// As it is.
    pub as_it_is: Option<f64>,
    /// With the orders filled.
    pub then: Option<f64>,
}

/// Why no plan fills the orders.
#[derive(Clone, Debug, Serialize)]
pub struct ForbiddenRows {
    /// What forbids it, together.
    pub members: Vec<MemberRow>,
    /// The members alone are proven to forbid it.
    pub together_proven: bool,
    /// Each member is proven to be needed.
    pub each_needed_proven: bool,
    /// Fractions of batches and tanks are forbidden too.
    pub in_fractions: bool,
    /// Only the planned days have a part in it.
    pub in_planned_days: bool,
    /// So much of the orders can be delivered by their due days: there is a plan of the model.
    pub deliverable_at_least_hl: Option<f64>,
    /// No more can be: proven.
    pub deliverable_at_most_hl: Option<f64>,
    /// With what it could be filled, each by itself, confirmed by a plan: by price, then those without one.
    pub changes: Vec<EnoughRow>,
    /// Changes that are proven not to be enough by themselves, each with the most that was tried.
    pub changes_not_enough: Vec<String>,
    /// Changes that were not settled in time.
    pub changes_not_settled: Vec<String>,
    /// What there is of the beers on the first day.
    pub there: Vec<String>,
}

/// A change with which the orders can be filled.
#[derive(Clone, Debug, Serialize)]
pub struct EnoughRow {
    /// `longer`, `later`, `ready_earlier`, or what there is one unit more of, as in `levers`.
    pub kind: &'static str,
    /// What changes.
    pub says: String,
    /// Minutes that a crew stays longer.
    pub minutes: Option<i64>,
    /// People who stay.
    pub people: Option<i64>,
    /// Days.
    pub days: Option<i64>,
    /// The day on which people stay longer.
    pub on: Option<String>,
    /// Paid once, where it is known.
    pub price: Option<f64>,
    /// Paid every week, where it is known.
    pub price_a_week: Option<f64>,
    /// `proven` or `not_proven`: a minute or a day less, or nothing of it, does not do.
    pub least: &'static str,
}

/// One of the things that forbid it together.
#[derive(Clone, Debug, Serialize)]
pub struct MemberRow {
    /// `order`, `settled` or `rule`.
    pub kind: &'static str,
    /// The rule, such as `R06`.
    pub rule: Option<&'static str>,
    /// First date, where it is about some days only.
    pub first_day: Option<String>,
    /// Last date.
    pub last_day: Option<String>,
    /// The same for people.
    #[serde(skip)]
    pub days_label: Option<String>,
    /// What it says, with its numbers.
    pub says: String,
    /// `proven` or `not_proven`: without it the others do not forbid it.
    pub needed: &'static str,
    /// Left out alone, all else in force: the orders are `filled` or `not_filled`; or `not_proven`.
    pub left_out_alone: &'static str,
}
