//! The taproom: what guests ask for and get, and the days on which a tap runs dry.

use super::numbers::volume;
use super::slack::{plain_table, table_lines};
use super::view::{DryDay, View};
use super::words::taproom as words;

/// A table of beers on tap.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let (units, columns) = (view.units.system, words::columns(view.units.volume));
    let mut table = plain_table(&columns.each_ref().map(String::as_str), 1);
    for row in &view.taps {
        let labels = |days: &[DryDay]| days.iter().map(|day| day.label.clone()).collect::<Vec<String>>();
        table.add_row(vec![
            row.beer.clone(),
            volume(units, row.asked_hl),
            volume(units, row.poured_hl),
            volume(units, row.asked_hl - row.poured_hl),
            words::dry(&labels(&row.dry), &labels(&row.short)),
        ]);
    }
    if let Some(last) = table.column_iter_mut().last() {
        last.set_cell_alignment(comfy_table::CellAlignment::Left);
    }
    table_lines(&table)
}
