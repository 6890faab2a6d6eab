//! Makes the comparison from the views of its cases.

use cellarwright_checker::measures::Measures;
use cellarwright_model::units::Volume;

use super::{CaseRow, Comparison, Difference, Proven, ResourceCell, ResourceRow, figures};
use crate::render::view::{Caution, GoodsRow, SlackRow, View};

/// A case that was solved.
#[derive(Clone, Debug)]
pub struct Case {
    /// Its title.
    pub title: String,
    /// `brew plan`, `cellar` or `change`.
    pub kind: &'static str,
    /// Its file.
    pub file: String,
    /// What was solved.
    pub case: cellarwright_model::case::Case,
    /// Its view.
    pub view: View,
    /// What of the view is about a cycle, where it is one.
    pub kept: Option<OfCycle>,
    /// The checker's figures.
    pub measures: Measures,
    /// Poured in the taproom.
    pub poured: Volume,
}

/// What is told of a cycle beside its view.
#[derive(Clone, Debug)]
pub struct OfCycle {
    /// Weeks of the cycle.
    pub weeks: usize,
    /// Packaged in a week.
    pub a_week_hl: f64,
    /// By beer and format.
    pub goods: Vec<GoodsRow>,
    /// What of the brew plan is left out.
    pub left_out: Vec<&'static str>,
}

/// A share of the objective below which two are worth the same.
const NEXT_TO_NOTHING: f64 = 1e-3;

/// The comparison of cases, the base first.
#[must_use]
pub fn of_cases(cases: &[Case]) -> Comparison {
    let shown: Vec<CaseRow> = cases.iter().enumerate().map(|(place, case)| row(place, case)).collect();
    let unit = cases.first().map_or("money", |case| case.view.units.objective);
    let is_comparable = cases.iter().all(|case| case.view.units.objective == unit);
    let best = shown.iter().enumerate().filter(|_| is_comparable);
    // Of several that are worth the same, the first.
    let best = best.rev().max_by(|one, other| one.1.objective.total_cmp(&other.1.objective));
    let best = best.map(|(place, _)| place);
    let days = |case: &Case| case.view.days.iter().map(|day| day.date.clone()).collect::<Vec<_>>();
    let mut left_out: Vec<&'static str> = Vec::new();
    for sentence in cases.iter().filter_map(|case| case.kept.as_ref()).flat_map(|kept| &kept.left_out) {
        if !left_out.contains(sentence) {
            left_out.push(sentence);
        }
    }
    Comparison {
        unit,
        weeks: cases.first().and_then(|case| case.kept.as_ref()).map(|kept| kept.weeks),
        looks_ahead: cases.iter().any(|case| case.view.outlook_label.is_some() && case.kept.is_none()),
        is_comparable,
        days_differ: cases.iter().any(|case| days(case) != days(&cases[0])),
        best,
        figures: figures::rows(cases, &shown, unit),
        differences: if is_comparable { differences(&shown) } else { Vec::new() },
        resources: resources(cases),
        parts: parts(&shown),
        left_out,
        cautions: cautions(cases),
        cases: shown,
    }
}

/// Letters of the cases: A to Z, then by number.
#[must_use]
pub fn letter(place: usize) -> String {
    u8::try_from(place)
        .ok()
        .filter(|&place| place < 26)
        .map_or_else(|| format!("{}", place + 1), |place| char::from(b'A' + place).to_string())
}

fn row(place: usize, case: &Case) -> CaseRow {
    let verdict = case.view.verdict.as_ref();
    CaseRow {
        letter: letter(place),
        title: case.title.clone(),
        kind: case.kind,
        file: case.file.clone(),
        status: verdict.map_or("stopped", |verdict| verdict.status),
        objective: case.view.objective,
        bound: verdict.and_then(|verdict| verdict.bound),
        gap: verdict.and_then(|verdict| verdict.gap),
        seconds: verdict.map_or(0.0, |verdict| verdict.seconds),
        breakdown: case.view.breakdown.clone(),
    }
}

/// Every case less every other one.
fn differences(cases: &[CaseRow]) -> Vec<Difference> {
    let mut all = Vec::new();
    for (from, base) in cases.iter().enumerate() {
        for (to, case) in cases.iter().enumerate().filter(|&(to, _)| to != from) {
            let low = base.bound.map(|bound| case.objective - bound);
            let high = case.bound.map(|bound| bound - base.objective);
            let plans = case.objective - base.objective;
            let size = case.objective.abs().max(base.objective.abs());
            let proven = proven(low, high, size);
            all.push(Difference { from, to, plans, low, high, proven });
        }
    }
    all
}

fn proven(low: Option<f64>, high: Option<f64>, size: f64) -> Proven {
    let nothing = NEXT_TO_NOTHING * size;
    match (low, high) {
        (Some(low), Some(high)) if low >= -nothing && high <= nothing => Proven::Alike,
        (Some(low), _) if low > 0.0 => Proven::Better,
        (_, Some(high)) if high < 0.0 => Proven::Worse,
        _ => Proven::Not,
    }
}

/// Resources of all cases by what they are, those that bind in one and not in another first.
fn resources(cases: &[Case]) -> Vec<ResourceRow> {
    let mut rows: Vec<(String, ResourceRow)> = Vec::new();
    for (place, case) in cases.iter().enumerate() {
        for slack in &case.view.slack {
            let at = rows.iter().position(|(key, row)| *key == slack.key && row.unit == slack.unit);
            let at = at.unwrap_or_else(|| {
                rows.push((slack.key.clone(), empty_row(slack, cases.len())));
                rows.len() - 1
            });
            rows[at].1.cases[place] = Some(cell(slack));
        }
    }
    let mut rows: Vec<ResourceRow> = rows.into_iter().map(|(_, row)| row).collect();
    for row in &mut rows {
        let binds = |cell: &Option<ResourceCell>| cell.as_ref().is_some_and(|cell| cell.binding);
        row.differs = row.cases.iter().any(binds) && !row.cases.iter().all(binds);
    }
    let share = |row: &ResourceRow| -> f64 {
        let cells = row.cases.iter().flatten().filter(|cell| cell.binding || !row.differs);
        cells.map(|cell| cell.used / cell.available.max(1e-9)).fold(0.0, f64::max)
    };
    // Of those that are used alike, the order of the rules.
    rows.sort_by_key(|row| row.rule);
    rows.sort_by(|one, other| share(other).total_cmp(&share(one)));
    rows
}

fn empty_row(slack: &SlackRow, cases: usize) -> ResourceRow {
    ResourceRow {
        rule: slack.rule.code(),
        about: crate::render::words::model::about(slack.rule),
        resource: slack.key.clone(),
        unit: slack.unit,
        differs: false,
        cases: vec![None; cases],
    }
}

fn cell(slack: &SlackRow) -> ResourceCell {
    ResourceCell {
        name: slack.resource.clone(),
        used: slack.used,
        available: slack.available,
        left: slack.left,
        tightest: slack.tightest.clone(),
        left_then: slack.left_then,
        binding: slack.binding,
    }
}

fn parts(cases: &[CaseRow]) -> Vec<(&'static str, Vec<Option<f64>>)> {
    let mut parts: Vec<(&'static str, Vec<Option<f64>>)> = Vec::new();
    for (place, case) in cases.iter().enumerate() {
        for part in &case.breakdown {
            let at = parts.iter().position(|(name, _)| *name == part.part).unwrap_or_else(|| {
                parts.push((part.part, vec![None; cases.len()]));
                parts.len() - 1
            });
            parts[at].1[place] = Some(part.amount);
        }
    }
    parts
}

/// Cautions of all cases, each once, with the letters of those that have it where others have not.
fn cautions(cases: &[Case]) -> Vec<Caution> {
    let mut found: Vec<(Caution, Vec<String>)> = Vec::new();
    for (place, case) in cases.iter().enumerate() {
        for caution in &case.view.cautions {
            match found.iter_mut().find(|(known, _)| known == caution) {
                Some((_, letters)) if letters.last() == Some(&letter(place)) => {}
                Some((_, letters)) => letters.push(letter(place)),
                None => found.push((caution.clone(), vec![letter(place)])),
            }
        }
    }
    let all = cases.len();
    let shown = found.into_iter().map(|(caution, letters)| match letters.len() {
        number if number == all => caution,
        _ => Caution { text: format!("{}: {}", letters.join(", "), caution.text), ..caution },
    });
    shown.collect()
}
