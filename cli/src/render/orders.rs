//! Orders: the short ones with the reason, then those due in the planned days, then the rest in a line.

use super::numbers::hl;
use super::slack::{plain_table, table_lines};
use super::text::wrapped;
use super::view::{OrderRow, Reason, View};
use super::words::{self, reasons};

/// The most short orders of the look-ahead that are listed; JSON has all.
const MOST_AHEAD: usize = 12;

/// The section.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    if view.orders.is_empty() {
        return vec!["No orders are due in these days.".to_owned()];
    }
    if view.orders.iter().any(|row| row.reason == Some(Reason::NotAimed)) {
        let orders = words::count(view.orders.len(), "order", "orders");
        return wrapped(
            &format!("The plan aims at output: the {orders} of these days do not count in it."),
            0,
        );
    }
    let is_short = |row: &&OrderRow| row.short;
    let short: Vec<&OrderRow> = view.orders.iter().filter(is_short).collect();
    let (now, ahead): (Vec<&OrderRow>, Vec<&OrderRow>) =
        short.iter().partition(|row| row.hangs_on_planned_days);
    let mut lines = Vec::new();
    if short.is_empty() {
        lines.push("No order is short.".to_owned());
    } else {
        let missed: f64 = short.iter().map(|row| row.missed_hl).sum();
        lines.push(format!(
            "{} of {} orders are short, {} hL together.",
            short.len(),
            view.orders.len(),
            hl(missed)
        ));
    }
    for row in now.iter().chain(ahead.iter().take(MOST_AHEAD)) {
        lines.extend(short_lines(row));
    }
    if ahead.len() > MOST_AHEAD {
        let rest = &ahead[MOST_AHEAD..];
        let missed: f64 = rest.iter().map(|row| row.missed_hl).sum();
        lines.push(format!("and {} more due in the look-ahead, {} hL short.", rest.len(), hl(missed)));
    }
    let full: Vec<&OrderRow> = view.orders.iter().filter(|row| !row.short).collect();
    let (now, later): (Vec<&OrderRow>, Vec<&OrderRow>) =
        full.iter().partition(|row| row.hangs_on_planned_days);
    if !now.is_empty() {
        let mut table = plain_table(&["delivered in full", "beer", "format", "due", "hL", ""], 4);
        for row in now {
            let firm = if row.firm { "firm" } else { "" };
            table.add_row(vec![
                row.order.clone(),
                row.beer.clone(),
                row.format.clone(),
                row.due_label.clone(),
                hl(row.quantity_hl),
                firm.to_owned(),
            ]);
        }
        lines.push(String::new());
        lines.extend(table_lines(&table));
    }
    lines.extend(remarks(&full, &later));
    lines
}

/// Later orders, and those that rounding takes less than a package from.
fn remarks(full: &[&OrderRow], later: &[&OrderRow]) -> Vec<String> {
    let mut lines = vec![String::new()];
    if !later.is_empty() {
        let volume: f64 = later.iter().map(|row| row.quantity_hl).sum();
        let text = format!(
            "{} ({} hL) can be delivered in full if the look-ahead holds.",
            words::count(later.len(), "later order", "later orders"),
            hl(volume)
        );
        lines.extend(wrapped(&text, 0));
    }
    let rounded: Vec<f64> = full.iter().map(|row| row.missed_hl).filter(|&missed| missed > 0.0).collect();
    if !rounded.is_empty() {
        let text = format!(
            "{} counted as full, though less than one package each is missing, {} hL together.",
            words::count(rounded.len(), "order is", "orders are"),
            hl(rounded.iter().sum())
        );
        lines.extend(wrapped(&text, 0));
    }
    if lines.len() > 1 { lines } else { Vec::new() }
}

fn short_lines(row: &OrderRow) -> Vec<String> {
    let firm = if row.firm { ", firm" } else { "" };
    let text = format!(
        "SHORT {} of {} hL: {}, {}, due {} (order {}{firm})",
        hl(row.missed_hl),
        hl(row.quantity_hl),
        row.beer,
        row.format,
        row.due_label,
        row.order
    );
    let mut lines = wrapped(&text, 2);
    if let Some(reason) = &row.reason {
        lines.extend(wrapped(&format!("why: {}", reasons::reason(row, reason)), 8));
    }
    lines
}
