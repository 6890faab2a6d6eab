//! Tables of slack and of the objective's parts, and what all tables share.

use comfy_table::{CellAlignment, ContentArrangement, Table};

use super::WIDTH;
use super::numbers::{grouped, is_volume};
use super::text::wrapped;
use super::view::{SlackRow, View};
use super::words::{self, resources};

/// A table without lines, as wide as the screen at most; columns from `numbers` on are set to the right if they are
/// numbers.
#[must_use]
pub fn plain_table(header: &[&str], numbers: usize) -> Table {
    let mut table = Table::new();
    table.load_style(comfy_table::presets::NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(WIDTH as u16);
    table.set_header(header);
    for (number, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, 2));
        if number >= numbers {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

/// The lines of a table.
#[must_use]
pub fn table_lines(table: &Table) -> Vec<String> {
    table.lines().map(|line| line.trim_end().to_owned()).collect()
}

/// A whole table as lines.
#[must_use]
pub fn table_of(header: &[String], numbers: usize, rows: impl Iterator<Item = Vec<String>>) -> Vec<String> {
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut table = plain_table(&header, numbers);
    for row in rows {
        table.add_row(row);
    }
    table_lines(&table)
}

/// The slack of every resource.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let header = ["", "unit", "tightest day", "left then", "used", "of", "left", ""];
    let mut table = plain_table(&header, 3);
    for row in &view.slack {
        let number = |value: f64| amount(row, value);
        table.add_row(vec![
            row.resource.clone(),
            row.unit.to_owned(),
            row.tightest_label.clone(),
            number(row.left_then),
            number(row.used),
            number(row.available),
            number(row.left),
            if row.binding { "binds".to_owned() } else { String::new() },
        ]);
    }
    table_lines(&table)
}

/// A value in the unit of a resource.
#[must_use]
pub fn amount(row: &SlackRow, value: f64) -> String {
    amount_of(row.unit, value)
}

/// A value in the unit of a resource, by the unit's name.
#[must_use]
pub fn amount_of(unit: &str, value: f64) -> String {
    grouped(
        value,
        usize::from(!matches!(
            unit,
            "turns" | resources::PIECES | resources::PIECE_DAYS | resources::PITCHES | resources::FILLS
        )),
    )
}

/// The objective in parts that add up to it, as cells.
#[derive(Clone, Debug)]
pub struct Parts {
    /// Planned days and look-ahead stand apart.
    pub is_split: bool,
    /// A row for each part: its name, the two shares where they stand apart, the amount.
    pub rows: Vec<Vec<String>>,
    /// Their sum.
    pub sum: Vec<String>,
}

/// The cells of the objective's parts.
#[must_use]
pub fn part_cells(view: &View) -> Parts {
    let decimals = if is_volume(view.units.objective) { 7 } else { 2 };
    let is_split = view.breakdown.iter().any(|row| row.planned.is_some());
    let number = |value: f64| grouped(value, decimals);
    let mut rows = Vec::new();
    for row in &view.breakdown {
        let mut cells = vec![row.part.to_owned()];
        if is_split {
            cells.extend([row.planned, row.look_ahead].map(|value| value.map_or_else(String::new, number)));
        }
        cells.push(number(row.amount));
        rows.push(cells);
    }
    let mut sum = vec!["objective".to_owned()];
    if is_split {
        sum.extend([String::new(), String::new()]);
    }
    sum.push(number(view.objective));
    Parts { is_split, rows, sum }
}

/// The objective in parts that add up to it.
#[must_use]
pub fn parts(view: &View) -> Vec<String> {
    let unit = view.units.objective;
    let Parts { is_split, rows, sum } = part_cells(view);
    let header: &[&str] =
        if is_split { &[unit, "planned days", "look-ahead", "together"] } else { &[unit, "together"] };
    let mut table = plain_table(header, 1);
    for row in rows {
        table.add_row(row);
    }
    table.add_row(sum);
    let mut lines = table_lines(&table);
    lines.extend(outlook(view));
    lines
}

/// What the look-ahead counts on, where there is one.
#[must_use]
pub fn outlook_sentence(view: &View) -> Option<String> {
    if view.outlook.is_empty() {
        return None;
    }
    let batches: f64 = view.outlook.iter().map(|row| row.batches).sum();
    let packaged: f64 = view.outlook.iter().map(|row| row.packaged_hl).sum();
    Some(words::outlook(view, &grouped(batches, 1), packaged))
}

fn outlook(view: &View) -> Vec<String> {
    outlook_sentence(view).map_or_else(Vec::new, |sentence| wrapped(&sentence, 0))
}
