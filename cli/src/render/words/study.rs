//! Words about a study: many demands, and layouts that are tried in each.

use cellarwright_model::study::{CHEAPEST, Item, Outcome, Status};

use super::count;
use super::layout::share;
use crate::render::numbers::{UnitSystem, grouped};
use crate::render::view::{DemandRow, LackingRow, StudyView, TriedRow};

/// Heading of the layouts.
pub const LAYOUTS: &str = "What each layout meets, and money a year where it does";
/// Below the layouts.
pub const OF_LAYOUTS: &str = "Not known: without a result, or the search ended before either was shown. Of the cheapest, in brackets how many are proven.";
/// Heading of the demands.
pub const DEMANDS: &str = "The cheapest layout for each demand, money a year";
/// Below the demands.
pub const OF_DEMANDS: &str = "Proven: of the layouts of the study none is cheaper by more than the gap.";
/// Heading of what is missing.
pub const MISSING: &str = "Without a result: do these again with `study run`";
/// Heading of what was stopped.
pub const STOPPED: &str = "Stopped by the time limit: `study run` with more seconds does these again";
/// As many items as are listed on the screen.
const MOST_LISTED: usize = 20;

/// What was prepared.
#[must_use]
pub fn prepared(items: usize, scenarios: usize, file: &str) -> String {
    let scenarios = count(scenarios, "demand", "demands");
    format!("{} of {scenarios} written to {file}", count(items, "item", "items"))
}

/// An item of a file.
#[must_use]
pub fn of_item(file: &str, line: usize) -> String {
    format!("{file}:{line}: this item was not done")
}

/// An item that has its result.
#[must_use]
pub fn done_before(line: usize, item: &Item) -> String {
    format!("item {line}: done before ({}, {})", item.scenario, item.layout)
}

/// An item that was done.
#[must_use]
pub fn done(line: usize, outcome: &Outcome) -> String {
    let found = match (outcome.status, outcome.cost_cents, outcome.share_millionths) {
        (Status::Met, Some(cents), _) => format!("met for {} money a year", grouped(cents as f64 / 100.0, 2)),
        (Status::Met, None, _) => "met".to_owned(),
        (Status::NotMet, _, Some(millionths)) => {
            format!("not met, {} of it", share(millionths as f64 / 1e6, false))
        }
        (Status::NotMet, _, None) => "not met".to_owned(),
        (Status::Unknown, _, _) => "not known".to_owned(),
    };
    let stopped = if outcome.stopped_after_seconds.is_some() { "; the time limit struck" } else { "" };
    format!("item {line}: {}, {}: {found}{stopped}", outcome.scenario, outcome.layout)
}

/// How much of the study is there.
#[must_use]
pub fn begins(view: &StudyView) -> Vec<String> {
    let mut sentences = vec![format!(
        "A study of {} and {}: {} of {} have a result.",
        count(view.scenarios.len(), "demand", "demands"),
        count(view.layouts.len(), "layout", "layouts"),
        view.results,
        count(view.items, "item", "items")
    )];
    if !view.findings.is_empty() {
        let lines = count(view.findings.len(), "line was", "lines were");
        sentences.push(format!("{lines} not taken, or not as they stand; each is told on stderr."));
    }
    sentences
}

/// Columns of the layouts.
#[must_use]
pub fn layout_columns() -> Vec<String> {
    ["", "buys", "meets", "not known", "cheapest in", "least", "most"].map(str::to_owned).to_vec()
}

/// Columns of the demands.
#[must_use]
pub fn demand_columns(units: UnitSystem) -> Vec<String> {
    let asked = format!("{} a week", units.volume().name);
    ["", &asked, "met by", "cheapest", "money a year", ""].map(str::to_owned).to_vec()
}

/// What is bought, by name.
#[must_use]
pub fn buys(names: &[String]) -> String {
    if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
}

/// What a layout buys, whatever the demand.
#[must_use]
pub fn buys_in_all(row: &TriedRow) -> String {
    if row.layout == CHEAPEST { "as it comes".to_owned() } else { buys(&row.buys) }
}

/// The share of the demands that a layout meets; from and to where some are not known.
#[must_use]
pub fn meets(row: &TriedRow) -> String {
    if row.unknown == 0 {
        format!("{} %", grouped(row.meets_at_least * 100.0, 1))
    } else {
        format!("{} to {}", share(row.meets_at_least, false), share(row.meets_at_most, true))
    }
}

/// For how many demands it is the cheapest.
#[must_use]
pub fn cheapest(all: usize, proven: usize) -> String {
    format!("{all} ({proven})")
}

/// The cheapest layout of a demand; what it buys where its name does not say it.
#[must_use]
pub fn cheapest_of(row: &DemandRow) -> String {
    match &row.cheapest {
        Some(name) if name == CHEAPEST => format!("{name}: {}", buys(&row.buys)),
        Some(name) => name.clone(),
        None if row.unknown > 0 => "not known".to_owned(),
        None => "none meets it".to_owned(),
    }
}

/// Whether that is proven.
#[must_use]
pub fn proven(row: &DemandRow) -> &'static str {
    match (&row.cheapest, row.proven, row.unknown) {
        (Some(_), true, _) | (None, _, 0) => "proven",
        (Some(_) | None, _, _) => "not proven",
    }
}

/// Items that lack something.
#[must_use]
pub fn lacking(rows: &[LackingRow]) -> Vec<String> {
    let listed = rows.iter().take(MOST_LISTED);
    let mut lines: Vec<String> =
        listed.map(|row| format!("item {}: {}, {}", row.item, row.scenario, row.layout)).collect();
    if rows.len() > MOST_LISTED {
        lines.push(format!("{} more: `--json` lists them all", rows.len() - MOST_LISTED));
    }
    lines
}
