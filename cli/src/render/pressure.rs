//! Pressures of beers and vessels, on the screen and as JSON.

use cellarwright_checker::pressure_table::{Feed, Row};
use cellarwright_model::case::Case;
use cellarwright_model::units::Pressure;
use serde::Serialize;

use super::numbers::{UnitSystem, grouped};
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::words::pressure as words;

/// A beer with what it needs, in words, and its vessels.
#[derive(Debug, Serialize)]
pub struct BeerRow {
    beer: String,
    needs: Vec<String>,
    vessels: Vec<VesselsRow>,
}

/// Alike vessels of a beer; gauge pressures in kPa.
#[derive(Debug, Serialize)]
struct VesselsRow {
    vessels: Vec<String>,
    rated_kpa: f64,
    relief_kpa: f64,
    planned_at_most_kpa: f64,
    fermenting_needs_kpa: Option<f64>,
    packaging_needs_kpa: Option<f64>,
    left_kpa: f64,
    /// Whether the numbers allow it; the data plate decides.
    within: bool,
    feeds: Vec<String>,
    feeds_with_pump: Vec<String>,
    does_not_feed: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Document<'a> {
    title: &'a str,
    cellar: &'a str,
    altitude_metres: i64,
    margin_share: f64,
    breakout_kpa: f64,
    beers: &'a [BeerRow],
    cautions: Vec<&'static str>,
}

fn kpa(pressure: Pressure) -> f64 {
    pressure.kilopascals()
}

/// Turns the rows into what is shown.
#[must_use]
pub fn gather(case: &Case, rows: &[Row]) -> Vec<BeerRow> {
    let mut beers = Vec::new();
    for beer in case.beer_ids() {
        let mine = rows.iter().filter(|row| row.beer == beer);
        beers.push(BeerRow {
            beer: case.beer(beer).name.clone(),
            needs: words::needs(case, case.beer(beer)),
            vessels: mine.map(|row| vessels(case, row)).collect(),
        });
    }
    beers
}

fn vessels(case: &Case, row: &Row) -> VesselsRow {
    let names = row.vessels.iter().map(|&vessel| case.vessel(vessel).name.clone());
    let first = row.vessels.first().map(|&vessel| case.vessel(vessel));
    let lines = |wanted: Feed| -> Vec<String> {
        let lines = row.lines.iter().filter(|&&(_, feed)| feed == wanted);
        lines.map(|&(line, _)| case.line(line).name.clone()).collect()
    };
    VesselsRow {
        vessels: names.collect(),
        rated_kpa: kpa(first.map_or(Pressure::ZERO, |vessel| vessel.rated)),
        relief_kpa: kpa(first.map_or(Pressure::ZERO, |vessel| vessel.relief)),
        planned_at_most_kpa: kpa(row.limit_when_full),
        fermenting_needs_kpa: row.fermenting.map(kpa),
        packaging_needs_kpa: row.packaging.map(kpa),
        left_kpa: kpa(row.left()),
        within: row.left() >= Pressure::ZERO,
        feeds: lines(Feed::Pressure),
        feeds_with_pump: lines(Feed::Pump),
        does_not_feed: lines(Feed::Not),
    }
}

/// The document of `pressure`.
///
/// # Errors
/// If a number cannot be written as JSON; there is none of that kind.
pub fn document(case: &Case, beers: &[BeerRow]) -> Result<String, serde_json::Error> {
    super::json::pretty_in(
        case.show_units,
        &Document {
            title: &case.name,
            cellar: &case.cellar,
            altitude_metres: case.altitude_metres,
            margin_share: case.pressure.below_relief.as_fraction(),
            breakout_kpa: kpa(case.pressure.breakout),
            beers,
            cautions: words::CAUTIONS.to_vec(),
        },
    )
}

/// The screen of `pressure`.
#[must_use]
pub fn text(case: &Case, beers: &[BeerRow]) -> String {
    let mut lines = wrapped(&words::title(case), 0);
    for beer in beers {
        lines.push(String::new());
        lines.push(beer.beer.clone());
        lines.push("-".repeat(beer.beer.chars().count()));
        for sentence in &beer.needs {
            lines.extend(wrapped(sentence, 0));
        }
        lines.extend(table(beer, case.show_units));
    }
    lines.push(String::new());
    for caution in words::CAUTIONS {
        lines.extend(wrapped(&format!("- {caution}"), 0));
    }
    let mut text = String::new();
    for line in lines {
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

fn table(beer: &BeerRow, units: UnitSystem) -> Vec<String> {
    let mut table = plain_table(&words::header(units), 9);
    for row in &beer.vessels {
        let number = |kpa: Option<f64>| {
            let shown = kpa.map(|kpa| units.pressure().number((kpa * 1_000.0).round() as i64, 1));
            shown.map_or_else(|| "-".to_owned(), |shown| grouped(shown, 1))
        };
        table.add_row(vec![
            row.vessels.join(", "),
            number(Some(row.rated_kpa)),
            number(Some(row.relief_kpa)),
            number(Some(row.planned_at_most_kpa)),
            number(row.fermenting_needs_kpa),
            number(row.packaging_needs_kpa),
            number(Some(row.left_kpa)),
            words::verdict(row.within).to_owned(),
            words::feeds(&row.feeds, &row.feeds_with_pump, &row.does_not_feed),
        ]);
    }
    table_lines(&table)
}
