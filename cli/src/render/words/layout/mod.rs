//! Words about a choice of vessels: headings, columns and names (here), the answer and its proof (`answer`), what it rests on (`assumed`).

mod answer;
mod assumed;

pub use answer::{forbids, frontier, peak, saved, verdict};
pub use assumed::assumptions;

use cellarwright_model::units::Area;
use cellarwright_solver::layout::Family;

use crate::render::numbers::{self, UnitSystem, grouped, volume_of};
use crate::render::view::{FamilyRow, LayoutView, Purchases};

/// A brew plan without a layout.
pub const NOT_ASKED: &str =
    "the brew plan has no `layout`: say in it what is asked for, what can be bought and what that costs";
/// A taproom in it.
pub const TAPROOM: &str =
    "a layout does not count what a taproom pours: take `taproom` out of the brew plan, or count it as kegs";
/// Heading of the families.
pub const FAMILIES: &str = "Ways of the beer side by side, money a year";
/// Heading of what is bought.
pub const BOUGHT: &str = "What is bought";
/// Heading of the seasons.
pub const SEASONS: &str = "What a week of each season makes and costs";
/// Heading of the frontier.
pub const FRONTIER: &str = "What more money meets";
/// Heading of fermenter days.
pub const DAYS: &str = "Fermenter days after a batch is ready, as found in the plans";
/// Heading of what forbids more.
pub const FORBIDS: &str = "What forbids more";
/// Heading of the busiest weeks.
pub const PEAK: &str = "The busiest weeks, planned day by day";
/// Heading of the assumptions.
pub const ASSUMED: &str = "What is assumed";
/// Assumed where the busiest weeks are not planned.
pub const HOLIDAYS: &str = "holidays, outages and people away are not in a repeating week: plan the busiest weeks (`--peak`) before anything is bought";
/// Assumed where they are.
pub const HOLIDAYS_IN_PEAK: &str = "holidays, outages and people away are not in a repeating week; those of the busiest weeks are in the plan of these alone";
/// A share of the demand that is none.
const NO_SHARE: f64 = 1e-4;
/// The brewhouse as a resource.
pub const BREWHOUSE: &str = "turns and hours of the brewhouse";
/// Cleaning sets as a resource.
pub const CLEANING_SETS: &str = "cleaning sets";
/// Transfers as a resource.
pub const TRANSFERS: &str = "transfers at the same time";
/// The cooling plant as a resource.
pub const COOLING: &str = "the cooling plant";
/// The limit of prices as a resource.
pub const PRICE_LIMIT: &str = "the limit of prices";
/// The limit of floor as a resource.
pub const FLOOR_LIMIT: &str = "the limit of floor";

/// What the report is about.
pub const CAPTION: &str = "What to buy so that a demand is met at the lowest yearly cost";
/// The plot of a report.
pub const PLOT: &str = "Output against what purchases cost a year";
/// What the plot says to who cannot see it.
pub const ABOUT_PLOT: &str = "Each mark is a layout that no other beats in money and output; the steps between are proven, and the table below has the same numbers.";
/// Below the plot.
pub const MONEY_AXIS: &str = "bought, money a year";

/// Above the plot.
#[must_use]
pub fn output_axis(unit: &str) -> String {
    format!("{unit} a week")
}

/// The line of what is asked for.
#[must_use]
pub fn asked(view: &LayoutView) -> String {
    format!("asked for: {}", volume_of(view.units, view.asked_a_week_hl))
}

/// A mark of the plot.
#[must_use]
pub fn point(view: &LayoutView, a_year: f64, output_hl: f64) -> String {
    format!("{} a week for {} money a year", volume_of(view.units, output_hl), money(a_year))
}

/// Columns of the families.
#[must_use]
pub fn family_columns() -> Vec<String> {
    ["", "buys", "bought", "running", "together", "no less than"].map(str::to_owned).to_vec()
}

/// Columns of what is bought.
#[must_use]
pub fn bought_columns(units: UnitSystem) -> Vec<String> {
    let floor = format!("floor {}", units.area().name);
    ["", "number", "price", "a year", &floor].map(str::to_owned).to_vec()
}

/// Columns of the seasons.
#[must_use]
pub fn season_columns(units: UnitSystem) -> Vec<String> {
    let unit = units.volume().name;
    let [asked, packaged, wort] = ["asked", "packaged", "wort"].map(|what| format!("{what} {unit}"));
    ["", "weeks", &asked, &packaged, &wort, "money a week"].map(str::to_owned).to_vec()
}

/// Columns of the frontier.
#[must_use]
pub fn point_columns(units: UnitSystem) -> Vec<String> {
    let output = format!("{} a week", units.volume().name);
    ["", "bought a year", "to pay", &output, "of the demand", "no more than"].map(str::to_owned).to_vec()
}

/// Columns of fermenter days.
#[must_use]
pub fn day_columns() -> Vec<String> {
    ["", "until it leaves", "leaving", "until it is cleaned", "together"].map(str::to_owned).to_vec()
}

/// Floor, without its unit.
#[must_use]
pub fn floor(units: UnitSystem, m2: f64) -> String {
    numbers::floor(units, Area((m2 * 1e4).round() as i64))
}

/// A family: the way that beer takes from its fermenter to the line.
#[must_use]
pub fn family(family: Family) -> &'static str {
    match family {
        Family::Any => "any mixture",
        Family::Direct => "direct only",
        Family::Bright => "bright tanks",
        Family::Doubling => "fermenters doing both",
    }
}

/// A crew as a resource.
#[must_use]
pub fn crew(name: &str) -> String {
    format!("people of the crew {name}")
}

/// A line as a resource.
#[must_use]
pub fn line(name: &str) -> String {
    format!("hours of the line {name}")
}

/// Vessels as a resource.
#[must_use]
pub fn vessels(names: &[String]) -> String {
    match names {
        [first, .., last] => format!("vessels like {first} .. {last}"),
        [only] => format!("vessels like {only}"),
        [] => String::new(),
    }
}

fn money(value: f64) -> String {
    grouped(value, 2)
}

/// A share of the demand: the found one rounded down, a bound rounded up, so that neither says too much.
#[must_use]
pub fn share(value: f64, up: bool) -> String {
    let tenths = value * 1_000.0;
    // What is found by a search in fractions may be a millionth off.
    let rounded = if up { (tenths - 1e-3).ceil() } else { (tenths + 1e-3).floor() };
    format!("{} %", grouped(rounded / 10.0, 1))
}

/// Names of what is bought.
#[must_use]
pub fn names(purchases: &Purchases) -> String {
    let name = |bought: &crate::render::view::BoughtRow| match bought.count {
        // Vessels have a name each; of people the same may be had several times.
        count if count > 1 && !bought.name.contains(", ") => format!("{count} x {}", bought.name),
        _ => bought.name.clone(),
    };
    let names: Vec<String> = purchases.bought.iter().map(name).collect();
    if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
}

/// What a family buys, in a few words.
#[must_use]
pub fn buys(row: &FamilyRow) -> String {
    match row.status {
        "met" => names(&row.purchases),
        "not_met" => match row.share_bound.or(row.share).filter(|&most| most < 1.0) {
            Some(most) => format!("meets no more than {}", share(most, true)),
            None => "does not meet it".to_owned(),
        },
        "excluded" if row.excluded.is_empty() => "there is no vessel for it".to_owned(),
        "excluded" => format!("not a way for {}", row.excluded.join(", ")),
        _ => "not found in time".to_owned(),
    }
}

/// What is looked at.
#[must_use]
pub fn title(view: &LayoutView) -> String {
    let change =
        view.change.as_ref().map_or_else(String::new, |change| format!(", with the change {change}"));
    format!("{}, {}{change}", view.title, view.cellar)
}
