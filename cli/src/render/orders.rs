//! Orders: the short ones with the reason, then those due in the planned days, then the rest in a line.

use super::numbers::{UnitSystem, volume, volume_of};
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::view::{OrderRow, Reason, View};
use super::words::orders as own;

/// The most short orders of the look-ahead that are listed; JSON has all.
const MOST_AHEAD: usize = 12;

/// The section.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    if view.orders.is_empty() {
        return vec![own::NONE_DUE.to_owned()];
    }
    if view.orders.iter().any(|row| row.reason == Some(Reason::NotAimed)) {
        return wrapped(&own::not_aimed_at(view.orders.len()), 0);
    }
    let units = view.units.system;
    let is_short = |row: &&OrderRow| row.short;
    let short: Vec<&OrderRow> = view.orders.iter().filter(is_short).collect();
    let (now, ahead): (Vec<&OrderRow>, Vec<&OrderRow>) =
        short.iter().partition(|row| row.hangs_on_planned_days);
    let mut lines = Vec::new();
    if short.is_empty() {
        lines.push(own::NONE_SHORT.to_owned());
    } else {
        let missed: f64 = short.iter().map(|row| row.missed_hl).sum();
        lines.push(own::short(short.len(), view.orders.len(), &volume_of(units, missed)));
    }
    for row in now.iter().chain(ahead.iter().take(MOST_AHEAD)) {
        lines.extend(short_lines(row, units));
    }
    if ahead.len() > MOST_AHEAD {
        let rest = &ahead[MOST_AHEAD..];
        let missed: f64 = rest.iter().map(|row| row.missed_hl).sum();
        lines.push(own::more_ahead(rest.len(), &volume_of(units, missed)));
    }
    let late: Vec<&OrderRow> = view.orders.iter().filter(|row| row.late_hl > 0.0).collect();
    if !late.is_empty() {
        let volume: f64 = late.iter().map(|row| row.late_hl).sum();
        lines.push(own::late(late.len(), &volume_of(units, volume)));
    }
    for row in late.iter().take(MOST_AHEAD) {
        lines.extend(late_lines(row, units));
    }
    let full: Vec<&OrderRow> = view.orders.iter().filter(|row| !row.short).collect();
    let (now, later): (Vec<&OrderRow>, Vec<&OrderRow>) =
        full.iter().partition(|row| row.hangs_on_planned_days);
    if !now.is_empty() {
        let mut table = plain_table(&[own::FULL, "beer", "format", "due", view.units.volume, ""], 4);
        for row in now {
            table.add_row(vec![
                row.order.clone(),
                row.beer.clone(),
                row.format.clone(),
                row.due_label.clone(),
                volume(units, row.quantity_hl),
                own::marks(row),
            ]);
        }
        lines.push(String::new());
        lines.extend(table_lines(&table));
    }
    lines.extend(remarks(&full, &later, units));
    lines
}

/// Later orders, and those that rounding takes less than a package from.
fn remarks(full: &[&OrderRow], later: &[&OrderRow], units: UnitSystem) -> Vec<String> {
    let mut lines = vec![String::new()];
    if !later.is_empty() {
        let volume: f64 = later.iter().map(|row| row.quantity_hl).sum();
        lines.extend(wrapped(&own::later(later.len(), &volume_of(units, volume)), 0));
    }
    let rounded: Vec<f64> = full.iter().map(|row| row.missed_hl).filter(|&missed| missed > 0.0).collect();
    if !rounded.is_empty() {
        lines.extend(wrapped(&own::rounded(rounded.len(), &volume_of(units, rounded.iter().sum())), 0));
    }
    if lines.len() > 1 { lines } else { Vec::new() }
}

fn late_lines(row: &OrderRow, units: UnitSystem) -> Vec<String> {
    let mut lines = wrapped(&own::late_line(row, units), 2);
    if let Some(why) = own::why(row, units).filter(|_| !row.short) {
        lines.extend(wrapped(&why, 8));
    }
    lines
}

fn short_lines(row: &OrderRow, units: UnitSystem) -> Vec<String> {
    let mut lines = wrapped(&own::short_line(row, units), 2);
    if let Some(why) = own::why(row, units) {
        lines.extend(wrapped(&why, 8));
    }
    lines
}
