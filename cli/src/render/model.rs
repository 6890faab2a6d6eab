//! The size of the program: rows, nonzeros and columns by rule.

use super::numbers::grouped;
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::view::ModelSize;
use super::words::model as words;

/// The section.
#[must_use]
pub fn lines(model: &ModelSize) -> Vec<String> {
    let number = |count: usize| grouped(count as f64, 0);
    let mut table = plain_table(&words::COLUMNS, 2);
    for row in &model.rules {
        table.add_row(vec![
            row.rule.to_owned(),
            row.about.to_owned(),
            number(row.rows),
            number(row.nonzeros),
            number(row.columns_touched),
        ]);
    }
    table.add_row(vec![
        words::TOGETHER.to_owned(),
        String::new(),
        number(model.rows),
        number(model.nonzeros),
        String::new(),
    ]);
    let mut lines = table_lines(&table);
    lines.push(String::new());
    lines.extend(wrapped(&words::columns(&number(model.columns), &number(model.integers)), 0));
    lines.extend(wrapped(words::NOTE, 0));
    lines
}
