//! The screen of a comparison: no more than four cases beside each other, the base among them.

use super::{Comparison, Figure, ResourceCell, ResourceRow};
use crate::render::numbers::grouped;
use crate::render::slack::{amount_of, table_of};
use crate::render::text::{heading, joined, list, wrapped};
use crate::render::words::{amount, at_least, at_most, compare as words, limit, listed};

/// Cases beside each other at most.
const ABREAST: usize = 4;

/// The screen.
#[must_use]
pub fn text(comparison: &Comparison) -> String {
    let mut lines = wrapped(&words::title(comparison), 0);
    for case in &comparison.cases {
        let line = format!("{}  {}: {}", case.letter, case.title, words::what(case.kind, &case.file));
        lines.extend(wrapped(&line, 0));
    }
    lines.push(String::new());
    if let Some(answer) = words::answer(comparison) {
        lines.extend(wrapped(&answer, 0));
    }
    for sentence in words::searched(comparison) {
        lines.extend(wrapped(&sentence, 0));
    }
    heading(&mut lines, words::FIGURES);
    let shown: Vec<&Figure> = comparison.figures.iter().filter(|figure| is_told(figure)).collect();
    for block in blocks(comparison) {
        lines.extend(figure_lines(comparison, &shown, &block));
    }
    if !comparison.differences.is_empty() {
        heading(&mut lines, words::DIFFERENCES);
        lines.extend(differences(comparison));
    }
    heading(&mut lines, words::BINDS);
    let differing: Vec<&ResourceRow> = comparison.resources.iter().filter(|row| row.differs).collect();
    if differing.is_empty() {
        lines.push(words::SAME_BINDS.to_owned());
    } else {
        lines.extend(wrapped(words::ABOUT_BINDS, 0));
        for block in blocks(comparison) {
            lines.extend(resource_lines(comparison, &differing, &block));
        }
    }
    heading(&mut lines, words::USES);
    let all: Vec<&ResourceRow> = comparison.resources.iter().collect();
    for block in blocks(comparison) {
        lines.extend(resource_lines(comparison, &all, &block));
    }
    heading(&mut lines, words::PARTS);
    for block in blocks(comparison) {
        lines.extend(part_lines(comparison, &block));
    }
    if !comparison.left_out.is_empty() {
        list(&mut lines, words::LEFT_OUT, &comparison.left_out);
    }
    list(&mut lines, crate::render::words::report::CAUTIONS, &listed(&comparison.cautions));
    joined(&lines)
}

/// Cases that stand beside each other; the base begins each block.
fn blocks(comparison: &Comparison) -> Vec<Vec<usize>> {
    let others: Vec<usize> = (1..comparison.cases.len()).collect();
    others.chunks(ABREAST - 1).map(|chunk| [0].into_iter().chain(chunk.iter().copied()).collect()).collect()
}

/// Whether a figure says anything: of some case it is known and not nothing.
#[must_use]
pub fn is_told(figure: &Figure) -> bool {
    figure.values.iter().flatten().any(|&value| value != 0.0)
}

/// A figure as people read it.
#[must_use]
pub fn figure_text(figure: &Figure, place: usize) -> String {
    figure.values[place].map_or_else(
        || words::NONE.to_owned(),
        |value| {
            let value = if figure.is_bound { limit(value, figure.unit) } else { value };
            grouped(value, figure.decimals)
        },
    )
}

fn figure_lines(comparison: &Comparison, figures: &[&Figure], block: &[usize]) -> Vec<String> {
    let mut header = vec![String::new(), words::UNIT.to_owned()];
    header.extend(block.iter().map(|&place| heading_of(comparison, place)));
    let rows = figures.iter().map(|figure| {
        let mut cells = vec![figure.figure.clone(), figure.unit.to_owned()];
        cells.extend(block.iter().map(|&place| figure_text(figure, place)));
        cells
    });
    table_of(&header, 2, rows)
}

/// The letter and title of a case.
#[must_use]
pub fn heading_of(comparison: &Comparison, place: usize) -> String {
    let case = &comparison.cases[place];
    format!("{}: {}", case.letter, case.title)
}

fn differences(comparison: &Comparison) -> Vec<String> {
    table_of(&words::DIFFERENCE_COLUMNS.map(str::to_owned), 1, difference_cells(comparison).into_iter())
}

/// The cells of the differences that are told of, under `DIFFERENCE_COLUMNS`.
#[must_use]
pub fn difference_cells(comparison: &Comparison) -> Vec<Vec<String>> {
    let unit = comparison.unit;
    let cells = |difference: &super::Difference| {
        vec![
            words::pair(comparison, difference),
            words::signed(Some(difference.plans), unit, amount),
            words::signed(difference.low, unit, at_least),
            words::signed(difference.high, unit, at_most),
            words::proven(difference).to_owned(),
        ]
    };
    told(comparison).into_iter().map(cells).collect()
}

/// Differences that are told of: every case less the base, and the best less the rest.
#[must_use]
fn told(comparison: &Comparison) -> Vec<&super::Difference> {
    let all = comparison.differences.iter();
    let is_told = |difference: &&super::Difference| {
        difference.from == 0 || (Some(difference.to) == comparison.best && difference.to != 0)
    };
    all.filter(is_told).collect()
}

fn resource_lines(comparison: &Comparison, rows: &[&ResourceRow], block: &[usize]) -> Vec<String> {
    let mut header: Vec<String> = words::RESOURCE_COLUMNS.map(str::to_owned).to_vec();
    header.extend(block.iter().map(|&place| heading_of(comparison, place)));
    let rows = rows.iter().map(|row| {
        let mut cells = vec![row.rule.to_owned(), format!("{}, {}", row.resource, row.unit)];
        cells.extend(block.iter().map(|&place| cell_text(row, row.cases[place].as_ref())));
        cells
    });
    table_of(&header, 2, rows)
}

/// A resource in one case, in words.
#[must_use]
pub fn cell_text(row: &ResourceRow, cell: Option<&ResourceCell>) -> String {
    let Some(cell) = cell else { return words::NONE.to_owned() };
    let number = |value: f64| amount_of(row.unit, value);
    let mut text = words::used_of(&number(cell.used), &number(cell.available));
    text.push_str("; ");
    if cell.binding {
        text.push_str(words::BOUND);
    } else {
        text.push_str(&words::left(&number(cell.left_then)));
    }
    text
}

fn part_lines(comparison: &Comparison, block: &[usize]) -> Vec<String> {
    let mut header = vec![comparison.unit.to_owned()];
    header.extend(block.iter().map(|&place| heading_of(comparison, place)));
    let rows = comparison.parts.iter().map(|(name, values)| {
        let mut cells = vec![(*name).to_owned()];
        cells.extend(block.iter().map(|&place| part_text(comparison, values[place])));
        cells
    });
    table_of(&header, 1, rows)
}

/// A part of the objective in one case.
#[must_use]
pub fn part_text(comparison: &Comparison, value: Option<f64>) -> String {
    value.map_or_else(|| words::NONE.to_owned(), |value| words::part(value, comparison.unit))
}
