//! A comparison as one JSON document.

use serde::Serialize;

use super::{CaseRow, Comparison, Difference, Figure, ResourceRow};
use crate::render::json::pretty;
use crate::render::view::Caution;
use crate::render::words::compare as words;

#[derive(Debug, Serialize)]
struct Document<'a> {
    unit: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    weeks: Option<usize>,
    answer: Option<String>,
    best: Option<&'a str>,
    cases: &'a [CaseRow],
    figures: &'a [Figure],
    differences: Vec<Row<'a>>,
    resources: &'a [ResourceRow],
    notes: Vec<String>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    left_out: &'a [&'static str],
    cautions: &'a [Caution],
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    case: &'a str,
    less: &'a str,
    #[serde(flatten)]
    difference: Difference,
}

/// The document.
///
/// # Errors
/// If a number cannot be written as JSON; a comparison holds none of that kind.
pub fn document(comparison: &Comparison) -> Result<String, serde_json::Error> {
    let letter = |place: usize| comparison.cases[place].letter.as_str();
    let differences = comparison.differences.iter().map(|&difference| Row {
        case: letter(difference.to),
        less: letter(difference.from),
        difference,
    });
    pretty(&Document {
        unit: comparison.unit,
        weeks: comparison.weeks,
        answer: words::answer(comparison),
        best: comparison.best.map(letter),
        cases: &comparison.cases,
        figures: &comparison.figures,
        differences: differences.collect(),
        resources: &comparison.resources,
        notes: words::searched(comparison),
        left_out: &comparison.left_out,
        cautions: &comparison.cautions,
    })
}
