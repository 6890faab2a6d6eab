//! Book-keeping: names of batches and columns.

use crate::render::numbers::UnitSystem;

/// The heading.
pub const HEADING: &str = "Volumes by batch";
/// Wort was filled in.
pub const WORT: &str = "wort";
/// Beer that was in a bright tank before.
pub const BRIGHT: &str = "bright beer";
/// Columns of the table of batches.
#[must_use]
pub fn columns(units: UnitSystem) -> [&'static str; 11] {
    let unit = units.volume().name;
    [unit, "filled", "tank", "transfer", "direct", "line", "format", "overfill", "away", "left", "packaged"]
}

/// Column of what is poured in the taproom.
pub const TAPROOM: &str = "on tap";
/// Columns of the table of beers.
pub const BEERS: [&str; 5] = ["beer", "filled hL", "filled bbl", "packaged hL", "packaged bbl"];
/// Its columns of what is poured in the taproom.
pub const BEERS_TAPROOM: [&str; 2] = ["on tap hL", "on tap bbl"];
/// Columns of the table of packages.
#[must_use]
pub fn packages(units: UnitSystem) -> [&'static str; 7] {
    let rest = match units {
        UnitSystem::Metric => "and L",
        UnitSystem::Us => "and gal",
    };
    ["beer", "format", "packages", rest, "hL", "bbl", "bbl each"]
}

/// What the numbers are.
pub const NOTE: &str = "Filled is wort, or what was in a bright tank before; the columns after it are losses by step, beer given away in \
    packages (overfill), poured away, left in vessels, packaged by contents and, where there is a taproom, poured on tap. They add up to the millilitre; what is left behind in vessels \
    that count as empty (at most 20 mL each) is in --json. One barrel (bbl) is 31 US gallons, 117.347765304 L (27 CFR 25.11), to five \
    decimals. Planning figures: the duty record is made of what you measure, and your revenue office says how.";

/// A batch by its vessel, beer and brew day.
#[must_use]
pub fn batch(vessel: &str, beer: &str, brewed: Option<&str>) -> String {
    match brewed {
        Some(day) => format!("{vessel} {beer}, {day}"),
        None => format!("{vessel} {beer}, before"),
    }
}

/// A beer's batches together.
#[must_use]
pub fn together(beer: &str) -> String {
    format!("all {beer}")
}
