//! Names and headers of sheets.

use crate::render::numbers::{UnitSystem, volume_of};

/// Names of the sheets.
pub const PLAN: &str = "Plan";
/// All work.
pub const WORK: &str = "Work";
/// Beer in vessels.
pub const VESSELS: &str = "Vessels";
/// Vessels across the days.
pub const DAYS: &str = "Vessels by day";
/// Orders.
pub const ORDERS: &str = "Orders";
/// Slack.
pub const SLACK: &str = "Slack";
/// The objective.
pub const PARTS: &str = "Objective";
/// Materials.
pub const TO_ORDER: &str = "To order";

/// Rows of the first sheet.
pub const TITLE: &str = "brew plan";
/// The brewery.
pub const CELLAR: &str = "cellar";
/// The first planned day.
pub const FIRST_DAY: &str = "first day";
/// The last planned day.
pub const LAST_DAY: &str = "last day";
/// How far off the best there is may be.
pub const GAP: &str = "gap, %";
/// Packaged in the planned days.
#[must_use]
pub fn all_packaged(unit: &str) -> String {
    format!("packaged, {unit}")
}

/// Something to heed.
pub const CAUTION: &str = "caution";
/// What stands beside them.
pub const VALUE: &str = "value";
/// A vessel.
pub const VESSEL: &str = "vessel";

/// What a column holds: the unit of a volume is added to its header.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Text, dates, numbers whose unit stands in the header.
    Plain,
    /// Volumes.
    Volume,
}

use Holds::{Plain, Volume};

/// A column: its header, how wide it is, what it holds.
pub type Head = (&'static str, u16, Holds);

/// Columns that say when a piece of work is done.
pub const WHEN: &[Head] =
    &[("date", 12, Plain), ("day", 6, Plain), ("shift", 8, Plain), ("begins", 8, Plain)];
/// Columns that say who does it, in the sheet of all work.
pub const WHO: &[Head] = &[("role", 10, Plain), ("crew", 18, Plain)];
/// Columns that say what is done.
pub const WHAT: &[Head] = &[
    ("what", 44, Plain),
    ("where", 16, Plain),
    ("volume", 11, Volume),
    ("arrives or packaged", 13, Volume),
    ("packages", 10, Plain),
    ("format", 12, Plain),
    ("clock, h", 10, Plain),
    ("people, h", 10, Plain),
];
/// The last column of a crew's sheet, for a tick by hand.
pub const DONE: &[Head] = &[("done", 8, Plain)];

/// Columns of beer in vessels.
pub const STAYS: &[Head] = &[
    (VESSEL, 10, Plain),
    ("beer", 24, Plain),
    ("filled", 12, Plain),
    ("ready", 12, Plain),
    ("empty", 12, Plain),
    ("volume", 11, Volume),
    ("left at the end", 18, Volume),
];

/// Columns of orders.
pub const ORDER_COLUMNS: &[Head] = &[
    ("order", 24, Plain),
    ("beer", 22, Plain),
    ("format", 12, Plain),
    ("due", 12, Plain),
    ("firm", 6, Plain),
    ("likely, %", 10, Plain),
    ("asked", 11, Volume),
    ("delivered", 13, Volume),
    ("short", 11, Volume),
    ("late", 10, Volume),
    ("deliveries", 30, Plain),
    ("why short or late", 60, Plain),
];

/// Columns of slack.
pub const SLACK_COLUMNS: &[Head] = &[
    ("resource", 44, Plain),
    ("unit", 14, Plain),
    ("tightest day", 14, Plain),
    ("left then", 11, Plain),
    ("used", 11, Plain),
    ("of", 11, Plain),
    ("left", 11, Plain),
    ("binds", 8, Plain),
];

/// Columns of materials.
pub const TO_ORDER_COLUMNS: &[Head] = &[
    ("material", 24, Plain),
    ("pieces", 11, Plain),
    ("packs", 9, Plain),
    ("cost", 12, Plain),
    ("order by", 12, Plain),
    ("needed", 12, Plain),
];

/// What the plan is worth.
#[must_use]
pub fn worth(unit: &str) -> String {
    format!("worth, {unit}")
}

/// What no plan is worth more than.
#[must_use]
pub fn bound(unit: &str) -> String {
    format!("no plan is worth more than, {unit}")
}

/// Packaged of a format.
#[must_use]
pub fn packaged(format: &str, unit: &str) -> String {
    format!("of it {format}, {unit}")
}

/// A delivery.
#[must_use]
pub fn delivery(units: UnitSystem, date: &str, volume_hl: f64) -> String {
    format!("{date} {}", volume_of(units, volume_hl))
}
