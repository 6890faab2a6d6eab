//! The rows that every output reads: a plan with its case and report, ready to be shown.
//!
//! Volumes are hectolitres, times hours, days dates (`2026-12-07`), money units of the brewery's currency.

mod changes;
mod kept_up;
mod layout;
mod levers;
mod model;
mod orders;
mod rehearsal;
mod stock;
mod study;
mod vessels;
mod volumes;
mod why;

use cellarwright_model::calendar::Role;
use cellarwright_model::measures::UnitSystem;
use cellarwright_model::rule::RuleId;
use serde::Serialize;

pub use changes::{ChangeRow, ChangedWork, ChangesView};
pub use kept_up::{GoodsRow, KeptView};
pub use layout::{
    BoughtRow, DaysRow, FamilyRow, ForbidsRow, LayoutView, PeakRow, PeakShort, PointRow, Purchases, SavedRow,
    SeasonRow,
};
pub use levers::{LeverRow, LeversView, PairRow};
pub use model::{ModelSize, RuleRow};
pub use orders::{DeliveryRow, OrderRow, Reason};
pub use rehearsal::{BatchRow, DrawRow, DrawnOrder, FallRow, LateRow, RehearsalView};
pub use stock::{StockDays, StockRow};
pub use study::{DemandRow, LackingRow, StudyView, TriedRow};
pub use vessels::{BeerCode, CrewRow, StayRow, VesselRow};
pub use volumes::{BatchVolumes, BeerVolumes, FateRow, GoodsVolumes, Volumes};
pub use why::{Changed, ChangedOrder, DisplacesRows, EnoughRow, ForbiddenRows, MemberRow, WhyView, WorthRow};

pub use super::gather::{
    batch_name, objective_unit, of_answer, of_kept, of_laid, of_levers, of_rehearsal, of_report, of_study,
    of_why, status_word, with_peak,
};

/// How good the plan is and how sure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Verdict {
    /// `optimal`, `within_gap` or `stopped`.
    pub status: &'static str,
    /// Objective, in `Units::objective`.
    pub objective: f64,
    /// Proven bound, in the same unit; none where the search was stopped before there was one.
    pub bound: Option<f64>,
    /// `bound - objective` over the objective's size; none without a bound.
    pub gap: Option<f64>,
    /// Seconds of clock time.
    pub seconds: f64,
    /// The gap that the search was to reach.
    pub gap_asked: f64,
    /// Stopped by Ctrl-C.
    pub interrupted: bool,
    /// The search came to its own end.
    pub complete: bool,
}

/// Units of the numbers in a view.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Units {
    /// The system in which quantities are shown. The rows hold hectolitres all the same, as their names say; `numbers` turns them into
    /// what is shown. Only what names its unit beside it (objective, bound, breakdown, slack) is in that unit already.
    #[serde(skip)]
    pub system: UnitSystem,
    /// Of objective, bound and breakdown: `money`, `hL` or `bbl`.
    pub objective: &'static str,
    /// Of every volume: `hL` or `bbl`.
    pub volume: &'static str,
    /// Of every sum of money and price: `money`, whatever the brewery's is.
    pub money: &'static str,
    /// Of clock times and person-times.
    pub time: &'static str,
}

impl Units {
    /// Of a document whose objective has this unit.
    #[must_use]
    pub fn of(system: UnitSystem, objective: &'static str) -> Self {
        Self { system, objective, volume: system.volume().name, money: "money", time: "h" }
    }
}

/// A planned day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Day {
    /// The date.
    pub date: String,
    /// As the screen shows it: `Mon 7 Dec`.
    pub label: String,
    /// Somebody works.
    pub worked: bool,
}

/// Packaged volume of one format.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FormatRow {
    /// The format.
    pub format: String,
    /// Packaged in the planned days.
    pub packaged_hl: f64,
}

/// Pitches of yeast.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct YeastRow {
    /// The strain.
    pub yeast: String,
    /// `bought`, `store` or `crop`.
    pub source: &'static str,
    /// The fermenter that was cropped.
    pub cropped_from: Option<String>,
    /// The date of cropping.
    pub cropped: Option<String>,
    /// Generation, 1 being bought yeast.
    pub generation: Option<i64>,
    /// How many pitches.
    pub pitches: i64,
}

/// A piece of work.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct WorkRow {
    /// Position of the day in `View::days`.
    #[serde(skip)]
    pub day: usize,
    /// The date.
    pub date: String,
    /// The shift's name.
    pub shift: String,
    /// `brew`, `cellar`, `package`, `overtime` or `taproom`.
    pub role: &'static str,
    /// `brew`, `transfer`, `filter`, `carbonate`, `clean`, `sanitise`, `tank work`, `crop`, `package`, `wash`, `dump`, `overtime`, `tap`, or what is away: `outage`,
    /// `upkeep`, `leave alone`.
    pub work: &'static str,
    /// The time of day at which it begins, where the plan goes by the clock.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub begins: Option<String>,
    /// The beer.
    pub beer: Option<String>,
    /// Where the yeast of a batch that is begun comes from.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub yeast: Vec<YeastRow>,
    /// The piece of tank work; of a crop, the yeast.
    pub piece: Option<String>,
    /// Tank work that one person may do with nobody else there.
    pub alone: bool,
    /// Vessels that beer leaves.
    pub from: Vec<String>,
    /// The vessel worked on or filled.
    pub vessel: Option<String>,
    /// The bright tank is cleaned before it is filled.
    pub cleans_before: bool,
    /// The clean (by itself, or before the fill) is the full one.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub full_clean: bool,
    /// Carbonated after a transfer.
    #[serde(skip)]
    pub carbonates_after: bool,
    /// The vessel is purged with gas before it is filled.
    pub purges_before: bool,
    /// Work in the same shift that must come first: `clean` or `sanitise`.
    pub after: Option<&'static str>,
    /// The filter that a transfer goes through.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub filter: Option<String>,
    /// The line.
    pub line: Option<String>,
    /// The format.
    pub format: Option<String>,
    /// The crew that stays longer.
    pub crew: Option<String>,
    /// The crews that have a role for it and are there: one of them does it, or several share it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub crews: Vec<String>,
    /// Kinds of work that it takes people for.
    #[serde(skip)]
    pub roles: Vec<Role>,
    /// When it begins, in minutes from midnight of its day, where the plan goes by the clock.
    #[serde(skip)]
    pub starts: Option<i64>,
    /// How many minutes it keeps people or their line: carbonating runs on without anybody and counts for as long as somebody is at it.
    #[serde(skip)]
    pub lasts: Option<i64>,
    /// The brewer has pinned it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub pinned: bool,
    /// Why something is away.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// The last date on which something is away, or a tank on tap pours.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<String>,
    /// As the screen shows it, of a tank on tap.
    #[serde(skip)]
    pub until_label: String,
    /// Turns.
    pub turns: Option<i64>,
    /// Wort of each of them, where they are part turns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part_turn_hl: Option<f64>,
    /// Volume that leaves a vessel; of a brew, the wort.
    pub volume_hl: Option<f64>,
    /// Volume that arrives in a bright tank, or is packaged.
    pub yields_hl: Option<f64>,
    /// Whole packages filled, or kegs washed.
    pub packages: Option<i64>,
    /// Clock time; of a line, all of its time in the shift, at its first piece.
    pub clock_hours: Option<f64>,
    /// Person-hours.
    pub person_hours: Option<f64>,
}

/// What is left of a resource.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SlackRow {
    /// The resource.
    pub resource: String,
    /// What it is whatever its vessels are called and however many there are: the same in every cellar.
    #[serde(skip)]
    pub key: String,
    /// The rule that it belongs to.
    #[serde(skip)]
    pub rule: RuleId,
    /// `turns`, `clock h`, `person-h`, `vessel-days`, and of what there are few: `kegs`, `pieces`, `pitches` and so on.
    pub unit: &'static str,
    /// Used in the planned days.
    pub used: f64,
    /// What there is of it.
    pub available: f64,
    /// What is left.
    pub left: f64,
    /// The day on which the least is left.
    pub tightest: String,
    /// As the screen shows it.
    #[serde(skip)]
    pub tightest_label: String,
    /// What is left on that day.
    pub left_then: f64,
    /// What there is of it on that day.
    pub available_then: f64,
    /// Nothing worth speaking of is left on that day, and no more can be had.
    pub binding: bool,
}

/// A material that must be ordered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToOrderRow {
    /// The material.
    pub material: String,
    /// Pieces.
    pub pieces: i64,
    /// Packs; none where any number can be ordered.
    pub packs: Option<i64>,
    /// What is paid for them: a part of the objective.
    pub cost: f64,
    /// The last date on which ordering is in time; none if no order arrives within the horizon.
    pub by: Option<String>,
    /// As the screen shows it.
    #[serde(skip)]
    pub by_label: Option<String>,
    /// The date on which more is used than is there.
    pub needed: String,
    /// As the screen shows it.
    #[serde(skip)]
    pub needed_label: String,
}

/// Where the kegs of one kind are at the end of a planned day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KegRow {
    /// The kind.
    pub kegs: String,
    /// The date.
    pub date: String,
    /// Empty ones that can be filled as they are.
    pub clean: i64,
    /// Empty ones to be washed.
    pub dirty: i64,
    /// Full ones in the brewery.
    pub full: i64,
    /// Those at customers; none where the brew plan does not say how many are owned.
    pub out: Option<i64>,
}

/// A part of the objective.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartRow {
    /// Its name.
    pub part: &'static str,
    /// What the planned days make of it, where it can be told apart.
    pub planned: Option<f64>,
    /// What the look-ahead makes of it, where it can be told apart.
    pub look_ahead: Option<f64>,
    /// Both together, with the sign that it has in the objective.
    pub amount: f64,
}

/// A period of the look-ahead in totals.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OutlookRow {
    /// First date.
    pub from: String,
    /// Last date.
    pub to: String,
    /// Batches brewed.
    pub batches: f64,
    /// Packaged volume.
    pub packaged_hl: f64,
}

/// Beer poured from a tank on a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PourRow {
    /// The date.
    pub date: String,
    /// The serving tank.
    pub vessel: String,
    /// The beer.
    pub beer: Option<String>,
    /// How much.
    pub volume_hl: f64,
}

/// A day on which guests do not get all that they ask for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DryDay {
    /// The date.
    pub date: String,
    /// As the screen shows it.
    #[serde(skip)]
    pub label: String,
    /// Asked for and not poured.
    pub missed_hl: f64,
}

/// A beer on tap over the planned days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TapRow {
    /// The beer.
    pub beer: String,
    /// Asked for.
    pub asked_hl: f64,
    /// Poured.
    pub poured_hl: f64,
    /// Days on which nothing of it is poured.
    pub dry: Vec<DryDay>,
    /// Days on which it runs out.
    pub short: Vec<DryDay>,
}

/// Something to heed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Code of the finding; none for those that hold for any plan.
    pub code: Option<&'static str>,
    /// The sentence.
    pub text: String,
}

/// A breach of a rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BreachRow {
    /// The rule's number.
    pub rule: &'static str,
    /// The rule.
    pub sentence: &'static str,
    /// What it is about.
    pub about: String,
    /// The date, and the shift where there are several.
    pub when: Option<String>,
    /// What is measured.
    pub what: &'static str,
    /// What the plan has.
    pub found: String,
    /// What would be allowed.
    pub allowed: String,
}

/// Everything that is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct View {
    /// The brew plan's title.
    pub title: String,
    /// The cellar.
    pub cellar: String,
    /// Units of the numbers.
    pub units: Units,
    /// How good and how sure; none for a plan that was only checked.
    pub verdict: Option<Verdict>,
    /// The objective as recomputed.
    pub objective: f64,
    /// Packaged in the planned days.
    pub packaged_hl: f64,
    /// The same by format.
    pub packaged: Vec<FormatRow>,
    /// The planned days.
    pub days: Vec<Day>,
    /// Several shifts a day.
    pub has_shifts: bool,
    /// Crews, in the order of the file.
    pub crews: Vec<CrewRow>,
    /// Work, in order.
    pub work: Vec<WorkRow>,
    /// Vessels, in the order of the file.
    pub vessels: Vec<VesselRow>,
    /// Letters of the beers.
    pub codes: Vec<BeerCode>,
    /// Orders: the short ones first, then by due date.
    pub orders: Vec<OrderRow>,
    /// Packaged beer over time, by beer and format, where there is any or an order for it.
    pub stock: Vec<StockRow>,
    /// Materials to be ordered; none where the case has no materials.
    pub to_order: Option<Vec<ToOrderRow>>,
    /// Kegs by kind and day.
    pub kegs: Vec<KegRow>,
    /// Pouring on the planned days.
    pub pours: Vec<PourRow>,
    /// Beers on tap.
    pub taps: Vec<TapRow>,
    /// Resources, the tightest first.
    pub slack: Vec<SlackRow>,
    /// The objective in parts.
    pub breakdown: Vec<PartRow>,
    /// The look-ahead.
    pub outlook: Vec<OutlookRow>,
    /// The look-ahead's first and last date, as the screen shows them.
    #[serde(skip)]
    pub outlook_label: Option<(String, String)>,
    /// Breaches of rules.
    pub violations: Vec<BreachRow>,
    /// Where the beer of the planned days went.
    pub volumes: Volumes,
    /// The size of the program; none for a plan that was only checked.
    pub model: Option<ModelSize>,
    /// What it changes against the plan that is being carried out.
    pub changes: Option<ChangesView>,
    /// What to heed.
    pub cautions: Vec<Caution>,
}
