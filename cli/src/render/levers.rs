//! The screen and the document of what one unit more of each resource adds.

use serde::Serialize;

use super::json::pretty_with;
use super::numbers::{grouped, is_volume, volume};
use super::slack::table_of;
use super::text::{heading, joined, list, wrapped};
use super::view::{Caution, LeverRow, LeversView, PairRow, Units};
use super::words::{self, levers as own};

/// The screen of `levers`.
#[must_use]
pub fn text(view: &LeversView) -> String {
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    levers(&mut lines, view, own::HEADING);
    if let Some(for_ever) = &view.for_ever {
        lines.push(String::new());
        levers(&mut lines, for_ever, own::HEADING_FOR_EVER);
    }
    let for_ever = view.for_ever.as_deref().unwrap_or(view);
    if !for_ever.left_out.is_empty() {
        list(&mut lines, own::LEFT_OUT, &for_ever.left_out);
    }
    if !view.cautions.is_empty() {
        list(&mut lines, words::report::CAUTIONS, &words::listed(&view.cautions));
    }
    joined(&lines)
}

/// The levers of one horizon, and pairs of them.
fn levers(lines: &mut Vec<String>, view: &LeversView, title: &str) {
    for sentence in own::verdict(view, Some(view.seconds)) {
        lines.extend(wrapped(&sentence, 0));
    }
    heading(lines, title);
    if view.rows.is_empty() {
        lines.push(own::NO_LEVERS.to_owned());
    } else {
        lines.extend(table_of(&header(view), 1, view.rows.iter().map(|row| cells(view, row))));
    }
    if view.has_pairs {
        heading(lines, own::PAIRS);
        lines.extend(table_of(&pair_header(view), 1, view.pairs.iter().map(|pair| pair_cells(view, pair))));
    }
    for row in view.rows.iter().chain(view.pairs.iter().map(|pair| &pair.both)) {
        if let Some(failure) = &row.failure {
            lines.extend(wrapped(&own::failure(&row.lever, failure), 0));
        }
    }
}

/// Heads the columns of levers.
#[must_use]
pub fn header(view: &LeversView) -> Vec<String> {
    let other = if is_volume(view.unit) { "money" } else { view.units.volume().name };
    let mut header = vec![own::ONE_MORE.to_owned()];
    header.push(own::unit_a_week(view.unit));
    header.extend([own::AT_LEAST, own::AT_MOST].map(str::to_owned));
    header.push(own::unit_a_week(other));
    if view.has_prices() {
        header.extend([own::PRICE, own::PAYBACK].map(str::to_owned));
    }
    if view.count("cut") > 0 {
        header.push(String::new());
    }
    header
}

/// The cells of a lever.
#[must_use]
pub fn cells(view: &LeversView, row: &LeverRow) -> Vec<String> {
    let own_unit = |value: Option<f64>| value.map_or_else(String::new, |value| number(view.unit, value));
    let is_nothing = row.state == "nothing";
    let found = match row.state {
        "solved" | "cut" => own_unit(row.found_a_week),
        state => own::state(state).to_owned(),
    };
    let (low, high) = if is_nothing { (None, None) } else { (row.at_least_a_week, row.at_most_a_week) };
    let other = match is_volume(view.unit) {
        true => row.contribution_a_week.map(|value| number("money", value)),
        false => row.volume_a_week_hl.map(|value| volume(view.units, value)),
    };
    let other = other.filter(|_| !is_nothing).unwrap_or_default();
    let [low, high] = words::range(low, high, view.unit);
    let mut cells = vec![row.lever.clone(), found, low, high, other];
    if view.has_prices() {
        let payback = match (row.price, row.pays_its_week) {
            (Some(_), _) if row.at_most_a_week.is_some() => payback(view, row),
            (None, Some(pays)) => own::pays_its_week(pays).to_owned(),
            _ => String::new(),
        };
        cells.push(own::price(row.price, row.costs_a_week));
        cells.push(payback);
    }
    if view.count("cut") > 0 {
        let is_cut = row.state == "cut";
        cells.push(if is_cut { own::state(row.state).to_owned() } else { String::new() });
    }
    cells
}

fn payback(view: &LeversView, row: &LeverRow) -> String {
    own::payback(
        row.payback_weeks,
        row.payback_at_least_weeks,
        row.payback_at_most_weeks,
        !is_volume(view.unit),
    )
}

/// Heads the columns of pairs.
#[must_use]
pub fn pair_header(view: &LeversView) -> Vec<String> {
    let mut header = vec![own::BOTH.to_owned(), own::unit_a_week(view.unit)];
    header.extend([own::AT_LEAST, own::AT_MOST, own::BEYOND, ""].map(str::to_owned));
    header
}

/// The cells of a pair: at least so much beyond the sum of its parts, where that is proven.
#[must_use]
pub fn pair_cells(view: &LeversView, pair: &PairRow) -> Vec<String> {
    let mut cells = cells(view, &pair.both);
    cells.truncate(4);
    let beyond = pair.beyond_at_least_a_week.filter(|_| pair.is_more_than_sum);
    let [beyond, _] = words::range(beyond, None, view.unit);
    cells.push(beyond);
    cells.push(if pair.is_more_than_sum { own::MORE_THAN_SUM.to_owned() } else { String::new() });
    cells
}

/// A number a week, in its unit already: volumes to a tenth, money to a whole.
fn number(unit: &str, value: f64) -> String {
    grouped(value, usize::from(is_volume(unit)))
}

#[derive(Debug, Serialize)]
struct Document<'a> {
    title: &'a str,
    cellar: &'a str,
    unit: &'a str,
    weeks: f64,
    cycle_weeks: Option<usize>,
    objective: f64,
    bound: Option<f64>,
    volume_a_week_hl: f64,
    nothing_a_week: f64,
    seconds: f64,
    interrupted: bool,
    levers: &'a [LeverRow],
    #[serde(skip_serializing_if = "Option::is_none")]
    pairs: Option<&'a [PairRow]>,
    all_pairs: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    for_ever: Option<Box<Document<'a>>>,
    left_out: &'a [&'static str],
    cautions: &'a [Caution],
}

/// The document of `levers`.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(view: &LeversView) -> Result<String, serde_json::Error> {
    pretty_with(Units::of(view.units, view.unit), &of_view(view))
}

fn of_view(view: &LeversView) -> Document<'_> {
    Document {
        title: &view.title,
        cellar: &view.cellar,
        unit: view.unit,
        weeks: view.weeks,
        cycle_weeks: view.cycle,
        objective: view.objective,
        bound: view.bound,
        volume_a_week_hl: view.volume_a_week_hl,
        nothing_a_week: view.nothing_a_week,
        seconds: view.seconds,
        interrupted: view.interrupted,
        levers: &view.rows,
        pairs: view.has_pairs.then_some(&view.pairs),
        all_pairs: view.all_pairs,
        for_ever: view.for_ever.as_deref().map(|view| Box::new(of_view(view))),
        left_out: &view.left_out,
        cautions: &view.cautions,
    }
}
