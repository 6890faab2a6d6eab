//! Materials to be ordered: how many by when.

use super::numbers::grouped;
use super::slack::{plain_table, table_lines};
use super::view::View;

/// The section; nothing where the case has no materials.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let Some(rows) = &view.to_order else { return Vec::new() };
    if rows.is_empty() {
        return vec!["Stock and expected deliveries last through these days.".to_owned()];
    }
    let mut table = plain_table(&["order", "pieces", "money", "by", "needed on"], 1);
    for row in rows {
        table.add_row(vec![
            row.material.clone(),
            grouped(row.pieces as f64, 0),
            grouped(row.cost, 2),
            row.by_label.clone().unwrap_or_else(|| "arrives too late".to_owned()),
            row.needed_label.clone(),
        ]);
    }
    table_lines(&table)
}
