//! Book-keeping: where the beer of the planned days went, by batch, by beer, in packages.

use cellarwright_model::units::{Volume, barrels};

use super::numbers::{UnitSystem, grouped, millilitres, volume_to};
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::view::{FateRow, View};
use super::words::volumes as words;

/// The section.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let units = view.units.system;
    let pours = view.volumes.beers.iter().any(|row| row.fates.poured_hl > 0.0);
    let with_taproom = |columns: &[&'static str], more: &[&'static str]| -> Vec<&'static str> {
        let more = if pours { more } else { &[] };
        columns.iter().chain(more).copied().collect()
    };
    let mut table = plain_table(&with_taproom(&words::columns(units), &[words::TAPROOM]), 1);
    for row in &view.volumes.batches {
        table.add_row(cells(units, row.label.clone(), &row.fates, pours));
    }
    if view.volumes.batches.len() > view.volumes.beers.len() {
        for row in &view.volumes.beers {
            table.add_row(cells(units, words::together(&row.beer), &row.fates, pours));
        }
    }
    let mut lines = table_lines(&table);
    if !view.volumes.beers.is_empty() {
        lines.push(String::new());
        let mut table = plain_table(&with_taproom(&words::BEERS, &words::BEERS_TAPROOM), 1);
        for row in &view.volumes.beers {
            let mut cells = vec![
                row.beer.clone(),
                grouped(row.fates.filled_hl, 2),
                barrels_of(row.fates.filled_hl),
                grouped(row.fates.packaged_hl, 2),
                barrels_of(row.fates.packaged_hl),
            ];
            if pours {
                cells.extend([grouped(row.fates.poured_hl, 2), barrels_of(row.fates.poured_hl)]);
            }
            table.add_row(cells);
        }
        lines.extend(table_lines(&table));
    }
    if !view.volumes.packaged.is_empty() {
        lines.push(String::new());
        let mut table = plain_table(&words::packages(units), 2);
        for row in &view.volumes.packaged {
            table.add_row(vec![
                row.beer.clone(),
                row.format.clone(),
                row.packages.to_string(),
                grouped(units.small_volume().number((row.rest_litres * 1_000.0).round() as i64, 3), 3),
                grouped(row.packaged_hl, 2),
                barrels_of(row.packaged_hl),
                row.package_bbl.clone(),
            ]);
        }
        lines.extend(table_lines(&table));
    }
    lines.push(String::new());
    lines.extend(wrapped(words::NOTE, 0));
    lines
}

/// A view's hectolitres in US barrels, as the duty record has them.
fn barrels_of(hl: f64) -> String {
    barrels(Volume(millilitres(hl)))
}

/// The cells of an account; `pours` where the table has a column of what the taproom pours.
fn cells(units: UnitSystem, name: String, row: &FateRow, pours: bool) -> Vec<String> {
    let hl = |value: f64| if value == 0.0 { String::new() } else { volume_to(units, value, 2) };
    let mut cells = vec![
        name,
        hl(row.filled_hl),
        hl(row.tank_loss_hl),
        hl(row.transfer_loss_hl),
        hl(row.direct_loss_hl),
        hl(row.line_loss_hl),
        hl(row.format_loss_hl),
        hl(row.overfill_hl),
        hl(row.poured_away_hl),
        hl(row.left_hl),
        hl(row.packaged_hl),
    ];
    cells.extend(pours.then(|| hl(row.poured_hl)));
    cells
}
