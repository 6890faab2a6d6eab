//! Orders: the short ones with the reason, then those due in the planned days, then the rest in a line.

use super::numbers::{UnitSystem, volume, volume_of};
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::view::{OrderRow, Reason, View};
use super::words::{self, orders as own, reasons};

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
        lines.push("No order is short.".to_owned());
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
        lines.push(format!(
            "and {} more due in the look-ahead, {} short.",
            rest.len(),
            volume_of(units, missed)
        ));
    }
    let late: Vec<&OrderRow> = view.orders.iter().filter(|row| row.late_hl > 0.0).collect();
    if !late.is_empty() {
        let volume: f64 = late.iter().map(|row| row.late_hl).sum();
        let orders = words::count(late.len(), "order is", "orders are");
        lines.push(format!("{orders} delivered late, {} together.", volume_of(units, volume)));
    }
    for row in late.iter().take(MOST_AHEAD) {
        lines.extend(late_lines(row, units));
    }
    let full: Vec<&OrderRow> = view.orders.iter().filter(|row| !row.short).collect();
    let (now, later): (Vec<&OrderRow>, Vec<&OrderRow>) =
        full.iter().partition(|row| row.hangs_on_planned_days);
    if !now.is_empty() {
        let mut table =
            plain_table(&["delivered in full", "beer", "format", "due", view.units.volume, ""], 4);
        for row in now {
            table.add_row(vec![
                row.order.clone(),
                row.beer.clone(),
                row.format.clone(),
                row.due_label.clone(),
                volume(units, row.quantity_hl),
                marks(row),
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
        let text = format!(
            "{} ({}) can be delivered in full if the look-ahead holds.",
            words::count(later.len(), "later order", "later orders"),
            volume_of(units, volume)
        );
        lines.extend(wrapped(&text, 0));
    }
    let rounded: Vec<f64> = full.iter().map(|row| row.missed_hl).filter(|&missed| missed > 0.0).collect();
    if !rounded.is_empty() {
        let text = format!(
            "{} counted as full, though less than one package each is missing, {} together.",
            words::count(rounded.len(), "order is", "orders are"),
            volume_of(units, rounded.iter().sum())
        );
        lines.extend(wrapped(&text, 0));
    }
    if lines.len() > 1 { lines } else { Vec::new() }
}

/// A part of a volume, without its unit where that is the unit of the whole.
fn part(units: UnitSystem, part_hl: f64, whole_hl: f64) -> String {
    let (part, whole) = (volume_of(units, part_hl), volume_of(units, whole_hl));
    match (part.rsplit_once(' '), whole.rsplit_once(' ')) {
        (Some((number, unit)), Some((_, of_whole))) if unit == of_whole => number.to_owned(),
        _ => part,
    }
}

/// What is to be said of an order in a word or two.
#[must_use]
pub fn marks(row: &OrderRow) -> String {
    let mut marks: Vec<String> = Vec::new();
    if row.firm {
        marks.push("firm".to_owned());
    }
    if row.likely_percent < 100.0 {
        marks.push(format!("{:.0} % likely", row.likely_percent));
    }
    if row.late_hl > 0.0 {
        marks.push("late".to_owned());
    }
    marks.join(", ")
}

fn late_lines(row: &OrderRow, units: UnitSystem) -> Vec<String> {
    let parts = row.deliveries.iter().filter(|delivery| delivery.days_late > 0).map(|delivery| {
        let days = words::count(usize::try_from(delivery.days_late).unwrap_or(0), "day", "days");
        format!("{} on {}, {days} late", volume_of(units, delivery.volume_hl), delivery.label)
    });
    let parts: Vec<String> = parts.collect();
    let text = format!(
        "LATE {} of {}: {}, {}, due {} (order {}): {}",
        part(units, row.late_hl, row.quantity_hl),
        volume_of(units, row.quantity_hl),
        row.beer,
        row.format,
        row.due_label,
        row.order,
        parts.join("; ")
    );
    let mut lines = wrapped(&text, 2);
    if let Some(reason) = row.reason.as_ref().filter(|_| !row.short) {
        lines.extend(wrapped(&format!("why: {}", reasons::reason(row, reason, units)), 8));
    }
    lines
}

fn short_lines(row: &OrderRow, units: UnitSystem) -> Vec<String> {
    let firm = if row.firm { ", firm" } else { "" };
    let whole = if row.whole { format!(", {}", own::WHOLE) } else { String::new() };
    let text = format!(
        "SHORT {} of {}: {}, {}, due {} (order {}{firm}{whole})",
        part(units, row.missed_hl, row.quantity_hl),
        volume_of(units, row.quantity_hl),
        row.beer,
        row.format,
        row.due_label,
        row.order
    );
    let mut lines = wrapped(&text, 2);
    if let Some(reason) = &row.reason {
        lines.extend(wrapped(&format!("why: {}", reasons::reason(row, reason, units)), 8));
    }
    lines
}
