//! Materials to be ordered: how many by when.

use super::numbers::grouped;
use super::slack::{plain_table, table_lines};
use super::view::View;
use super::words::orders as words;

/// The section; nothing where the case has no materials.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let Some(rows) = &view.to_order else { return Vec::new() };
    if rows.is_empty() {
        return vec![words::LASTS.to_owned()];
    }
    let has_packs = rows.iter().any(|row| row.packs.is_some());
    let mut header = vec!["order", "pieces", "money", "by", "needed on"];
    if has_packs {
        header.insert(2, "packs");
    }
    let mut table = plain_table(&header, 1);
    for row in rows {
        let mut cells = vec![row.material.clone(), grouped(row.pieces as f64, 0)];
        if has_packs {
            cells.push(row.packs.map_or_else(String::new, |packs| grouped(packs as f64, 0)));
        }
        cells.push(grouped(row.cost, 2));
        cells.push(row.by_label.clone().unwrap_or_else(|| words::TOO_LATE.to_owned()));
        cells.push(row.needed_label.clone());
        table.add_row(cells);
    }
    table_lines(&table)
}
