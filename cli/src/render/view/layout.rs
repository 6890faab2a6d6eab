//! The rows of a choice of vessels.

use serde::Serialize;

use super::Caution;
use crate::render::numbers::UnitSystem;

/// Something that is bought.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoughtRow {
    /// Its name; of vessels those of the offer that are taken.
    pub name: String,
    /// How many, or how often.
    pub count: i64,
    /// All prices.
    pub price: f64,
    /// A year's cost of all of it.
    pub a_year: f64,
    /// Floor of all of it.
    pub floor_m2: f64,
}

/// All that is bought.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Purchases {
    /// What, as in the file.
    pub bought: Vec<BoughtRow>,
    /// All prices.
    pub price: f64,
    /// A year's cost of all of it.
    pub bought_a_year: f64,
    /// Floor of all of it.
    pub floor_m2: f64,
}

/// A season of a layout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonRow {
    /// Its name.
    pub season: String,
    /// Weeks of it in a year.
    pub weeks: i64,
    /// What a week costs to run.
    pub running_a_week: f64,
    /// Packaged in a week.
    pub packaged_a_week_hl: f64,
    /// Asked for in a week.
    pub asked_a_week_hl: f64,
    /// Wort brewed in a week.
    pub wort_a_week_hl: f64,
}

/// Days that a fermenter is taken for after its beer is ready, each batch on average.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DaysRow {
    /// From the ready day to the first beer that leaves.
    #[serde(rename = "waiting_days")]
    pub waiting: f64,
    /// From the first to the last beer that leaves.
    #[serde(rename = "leaving_days")]
    pub leaving: f64,
    /// From the last beer to the clean.
    #[serde(rename = "turnaround_days")]
    pub turnaround: f64,
    /// All of them.
    #[serde(rename = "together_days")]
    pub together: f64,
    /// Batches of a cycle of each season.
    pub batches: i64,
}

/// Resources of which plenty lets more be met.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ForbidsRow {
    /// The resources.
    pub resources: Vec<String>,
    /// The share that is then met, replayed.
    pub share: f64,
}

/// A family of layouts and what is known of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FamilyRow {
    /// The family.
    pub family: &'static str,
    /// `met`, `not_met`, `excluded` or `unknown`.
    pub status: &'static str,
    /// What is bought for the answer, or for the largest share.
    #[serde(flatten)]
    pub purchases: Purchases,
    /// A year's cost of running it.
    pub running_a_year: Option<f64>,
    /// That and what is bought.
    pub cost_a_year: Option<f64>,
    /// No layout of the family that meets the demand costs less a year.
    pub bound_a_year: Option<f64>,
    /// `cost - bound` over the cost.
    pub gap: Option<f64>,
    /// The search came to its own end.
    pub complete: Option<bool>,
    /// A second search found nothing beyond the bound either: nothing cheaper, or no larger share.
    pub confirmed: Option<bool>,
    /// The largest share of the demand that was found.
    pub share: Option<f64>,
    /// No more of it can be met.
    pub share_bound: Option<f64>,
    /// Whether a plan for the share was replayed.
    pub share_replayed: Option<bool>,
    /// Resources that forbid more.
    pub forbids: Vec<ForbidsRow>,
    /// All resources were tried.
    pub tried_all: Option<bool>,
    /// Beers that do not list the route.
    pub excluded: Vec<String>,
    /// Its seasons.
    pub seasons: Vec<SeasonRow>,
    /// Fermenter days after beer is ready.
    pub after_ready: Option<DaysRow>,
    /// Fills of each bright tank in a week, in the season that has most.
    pub bright_fills_a_week: Option<f64>,
}

/// Fermenter days that a bright tank saves, as found in the plans of two families.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SavedRow {
    /// For each batch.
    pub days_a_batch: f64,
    /// Fills of each bright tank in a week.
    pub fills_a_week: f64,
    /// Fermenters that a bright tank frees: fills a week x days / 7.
    pub fermenters_freed: f64,
}

/// A point of the frontier.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PointRow {
    /// What is bought.
    #[serde(flatten)]
    pub purchases: Purchases,
    /// Whatever meets more than the point before costs at least so much a year to buy.
    pub least_a_year: f64,
    /// The share of the demand that it meets.
    pub share: f64,
    /// No purchases of at most its yearly cost meet more.
    pub share_bound: f64,
    /// A second search found nothing above that either.
    pub confirmed: bool,
    /// That share, a week on average over the year.
    pub output_a_week_hl: f64,
    /// A year's cost of running it; none where the plan for it was not found in time.
    pub running_a_year: Option<f64>,
}

/// Something that the busiest weeks are short of.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PeakShort {
    /// The beer.
    pub beer: String,
    /// The format.
    pub format: String,
    /// Never delivered.
    pub short_hl: f64,
}

/// The busiest weeks, planned day by day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PeakRow {
    /// `filled`, `short` (no plan fills it: proven), `unproven` (the plan found does not, whether another does is not known) or `unknown`.
    pub status: &'static str,
    /// The season.
    pub season: String,
    /// Weeks of it that are planned.
    pub weeks: i64,
    /// The first day of the first of them.
    pub from: String,
    /// The same for people.
    #[serde(skip)]
    pub from_label: String,
    /// Asked for in them.
    pub asked_hl: f64,
    /// Delivered by the plan.
    pub delivered_hl: f64,
    /// No plan of these days delivers more.
    pub most_hl: f64,
    /// What is short.
    pub short: Vec<PeakShort>,
}

/// A choice of vessels.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LayoutView {
    /// `met`, `not_met` or `unknown`: of any mixture of routes.
    pub status: &'static str,
    /// The brew plan.
    pub title: String,
    /// The cellar.
    pub cellar: String,
    /// The change that was made to both, if there was one.
    pub change: Option<String>,
    /// Units of what is shown.
    #[serde(skip)]
    pub units: UnitSystem,
    /// Weeks of a cycle.
    pub weeks: usize,
    /// Seconds of clock time.
    pub seconds: f64,
    /// What is asked for, a week on average over the year.
    pub asked_a_week_hl: f64,
    /// Every family.
    pub families: Vec<FamilyRow>,
    /// No layout that meets the demand costs less a year, in cycles of any length.
    pub bound_of_any_cycle: Option<f64>,
    /// No more of the demand is met in cycles of any length, whatever is bought; asked only where no layout meets it.
    pub share_bound_of_any_cycle: Option<f64>,
    /// What a bright tank saves; none where one of the two families does not meet the demand.
    pub saved: Option<SavedRow>,
    /// What can be met for more money and for less, the cheapest first.
    pub frontier: Vec<PointRow>,
    /// The frontier reaches up to the most that any candidates meet.
    pub frontier_complete: bool,
    /// The most that any candidates meet within the limits; none where it was not found in time.
    pub most: Option<PointRow>,
    /// The busiest weeks day by day, where they are asked for and the demand is met.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak: Option<PeakRow>,
    /// What is assumed.
    pub assumptions: Vec<String>,
    /// What to heed.
    pub cautions: Vec<Caution>,
}
