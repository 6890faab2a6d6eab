//! The screen and the document of a cycle that can be kept up for ever.

use cellarwright_model::case::Case;
use cellarwright_solver::repeating::Refused;
use serde::Serialize;

use super::json::{Vessel, pretty, pretty_in, vessels as vessel_rows};
use super::numbers::volume;
use super::slack::{plain_table, table_lines};
use super::text::{cautions, heading, joined, list, wrapped};
use super::view::{
    BeerCode, Caution, GoodsRow, KeptView, ModelSize, PartRow, PourRow, SlackRow, TapRow, Units, WorkRow,
};
use super::words::kept_up as words;
use super::{slack, taproom, vessels, week};

/// The screen of `keep-up`.
#[must_use]
pub fn text(kept: &KeptView) -> String {
    let view = &kept.view;
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    for sentence in words::verdict(kept) {
        lines.extend(wrapped(&sentence, 0));
    }
    heading(&mut lines, &words::goods(view.units.volume));
    lines.extend(goods(kept));
    heading(&mut lines, words::HELD_BACK);
    lines.extend(slack::lines(view));
    heading(&mut lines, words::WORK);
    lines.extend(week::lines(view));
    heading(&mut lines, words::VESSELS);
    lines.extend(vessels::lines(view));
    lines.extend(wrapped(words::NAMES, 0));
    if !view.taps.is_empty() {
        heading(&mut lines, super::words::taproom::HEADING);
        lines.extend(taproom::lines(view));
    }
    heading(&mut lines, words::PARTS);
    lines.extend(slack::parts(view));
    if !kept.left_out.is_empty() {
        list(&mut lines, words::LEFT_OUT, &kept.left_out);
    }
    lines.extend(cautions(view));
    joined(&lines)
}

/// What is made of each beer and format, and what is asked for.
fn goods(kept: &KeptView) -> Vec<String> {
    let shown: Vec<&GoodsRow> = kept
        .goods
        .iter()
        .filter(|row| row.packaged_hl > 0.0 || row.asked_a_week_hl.is_some_and(|asked| asked > 0.0))
        .collect();
    if shown.is_empty() {
        return vec![words::NOTHING.to_owned()];
    }
    let has_demand = shown.iter().any(|row| row.asked_a_week_hl.is_some());
    let header: &[&str] = if has_demand { &words::GOODS_COLUMNS } else { &words::GOODS_COLUMNS[..3] };
    let mut table = plain_table(header, 2);
    let in_unit = |hl: f64| volume(kept.view.units.system, hl);
    let mut sums = [0.0; 3];
    for row in shown {
        let numbers =
            [row.packaged_a_week_hl, row.asked_a_week_hl.unwrap_or(0.0), row.short_a_week_hl.unwrap_or(0.0)];
        for (sum, number) in sums.iter_mut().zip(numbers) {
            *sum += number;
        }
        let mut cells = vec![row.beer.clone(), row.format.clone()];
        cells.extend(numbers.map(in_unit));
        cells.truncate(header.len());
        table.add_row(cells);
    }
    let mut cells = vec![words::TOGETHER.to_owned(), String::new()];
    cells.extend(sums.map(in_unit));
    cells.truncate(header.len());
    table.add_row(cells);
    table_lines(&table)
}

#[derive(Debug, Serialize)]
struct Document<'a> {
    status: &'a str,
    objective: f64,
    bound: Option<f64>,
    gap: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    seconds: Option<f64>,
    weeks: usize,
    bound_of_any_week: Option<f64>,
    packaged_hl: f64,
    packaged_a_week_hl: f64,
    poured_a_week_hl: f64,
    units: Units,
    title: &'a str,
    cellar: &'a str,
    goods: &'a [GoodsRow],
    slack: &'a [SlackRow],
    work: &'a [WorkRow],
    vessels: Vec<Vessel<'a>>,
    beers: &'a [BeerCode],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pours: &'a [PourRow],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    taps: &'a [TapRow],
    breakdown: &'a [PartRow],
    left_out: &'a [&'static str],
    #[serde(skip_serializing_if = "Option::is_none")]
    model: Option<&'a ModelSize>,
    cautions: &'a [Caution],
}

/// The document of `keep-up`.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(kept: &KeptView) -> Result<String, serde_json::Error> {
    let view = &kept.view;
    let verdict = view.verdict.as_ref();
    pretty_in(
        view.units.system,
        &Document {
            status: verdict.map_or("stopped", |verdict| verdict.status),
            objective: view.objective,
            bound: verdict.and_then(|verdict| verdict.bound),
            gap: verdict.and_then(|verdict| verdict.gap),
            seconds: verdict.map(|verdict| verdict.seconds),
            weeks: kept.weeks,
            bound_of_any_week: kept.for_ever,
            packaged_hl: view.packaged_hl,
            packaged_a_week_hl: kept.a_week_hl,
            poured_a_week_hl: kept.poured_a_week_hl,
            units: view.units,
            title: &view.title,
            cellar: &view.cellar,
            goods: &kept.goods,
            slack: &view.slack,
            work: &view.work,
            vessels: vessel_rows(view),
            beers: &view.codes,
            pours: &view.pours,
            taps: &view.taps,
            breakdown: &view.breakdown,
            left_out: &kept.left_out,
            model: view.model.as_ref(),
            cautions: &view.cautions,
        },
    )
}

#[derive(Debug, Serialize)]
struct Refusal {
    status: &'static str,
    refused: Vec<String>,
}

/// The document where the brew plan has what a cycle cannot count.
///
/// # Errors
/// None in practice.
pub fn refusal(case: &Case, refused: &[Refused]) -> Result<String, serde_json::Error> {
    let refused = refused.iter().map(|&one| words::refused(case, one)).collect();
    pretty(&Refusal { status: "no_plan", refused })
}
