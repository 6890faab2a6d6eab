//! Names and headers of sheets.

use crate::render::numbers::hl;

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
pub const PACKAGED: &str = "packaged, hL";
/// Something to heed.
pub const CAUTION: &str = "caution";
/// What stands beside them.
pub const VALUE: &str = "value";
/// A vessel.
pub const VESSEL: &str = "vessel";

/// Columns of all work, with their widths.
pub const EVERYBODY: &[(&str, u16)] = &[
    ("date", 12),
    ("day", 6),
    ("shift", 8),
    ("begins", 8),
    ("role", 10),
    ("crew", 18),
    ("what", 44),
    ("where", 16),
    ("volume, hL", 11),
    ("arrives or packaged, hL", 22),
    ("packages", 10),
    ("format", 12),
    ("clock, h", 10),
    ("people, h", 10),
];

/// Columns of a crew's work; the last is for a tick by hand.
pub const CREW: &[(&str, u16)] = &[
    ("date", 12),
    ("day", 6),
    ("shift", 8),
    ("begins", 8),
    ("what", 44),
    ("where", 16),
    ("volume, hL", 11),
    ("arrives or packaged, hL", 22),
    ("packages", 10),
    ("format", 12),
    ("clock, h", 10),
    ("people, h", 10),
    ("done", 8),
];

/// Columns of beer in vessels.
pub const STAYS: &[(&str, u16)] = &[
    (VESSEL, 10),
    ("beer", 24),
    ("filled", 12),
    ("ready", 12),
    ("empty", 12),
    ("volume, hL", 11),
    ("left at the end, hL", 18),
];

/// Columns of orders.
pub const ORDER_COLUMNS: &[(&str, u16)] = &[
    ("order", 24),
    ("beer", 22),
    ("format", 12),
    ("due", 12),
    ("firm", 6),
    ("likely, %", 10),
    ("asked, hL", 11),
    ("delivered, hL", 13),
    ("missed, hL", 11),
    ("late, hL", 10),
    ("deliveries", 30),
    ("why short or late", 60),
];

/// Columns of slack.
pub const SLACK_COLUMNS: &[(&str, u16)] = &[
    ("resource", 44),
    ("unit", 14),
    ("tightest day", 14),
    ("left then", 11),
    ("used", 11),
    ("of", 11),
    ("left", 11),
    ("binds", 8),
];

/// Columns of materials.
pub const TO_ORDER_COLUMNS: &[(&str, u16)] =
    &[("material", 24), ("pieces", 11), ("packs", 9), ("cost", 12), ("order by", 12), ("needed", 12)];

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
pub fn packaged(format: &str) -> String {
    format!("of it {format}, hL")
}

/// A delivery.
#[must_use]
pub fn delivery(date: &str, volume: f64) -> String {
    format!("{date} {} hL", hl(volume))
}
