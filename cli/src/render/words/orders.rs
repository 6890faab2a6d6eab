//! Sentences about orders and materials that the screen and the report share.

use super::{count, reasons};
use crate::render::numbers::{UnitSystem, volume_of};
use crate::render::view::OrderRow;

/// Nothing is due.
pub const NONE_DUE: &str = "No orders are due in these days.";
/// Materials last.
pub const LASTS: &str = "Stock and expected deliveries last through these days.";
/// Of a material that cannot be there in time.
pub const TOO_LATE: &str = "arrives too late";
/// Of an order that is taken whole or not at all.
pub const WHOLE: &str = "whole or nothing";

/// Where orders do not count.
#[must_use]
pub fn not_aimed_at(orders: usize) -> String {
    let orders = count(orders, "order", "orders");
    format!("The plan aims at output: the {orders} of these days do not count in it.")
}

/// How many are short, and by how much.
#[must_use]
pub fn short(short: usize, all: usize, missed: &str) -> String {
    let are = if short == 1 { "is" } else { "are" };
    format!("{short} of {} {are} short, {missed} together.", count(all, "order", "orders"))
}

/// No order is short.
pub const NONE_SHORT: &str = "No order is short.";
/// No order is short or late.
pub const NONE_SHORT_OR_LATE: &str = "No order is short or late.";
/// Heads the orders that are, in a report.
pub const SHORT_OR_LATE: &str = "Short or late, with the nearest reason";
/// Heads those that are delivered from the planned days, in a report.
pub const FULL_NOW: &str = "Delivered in full from these days";
/// Heads those of the look-ahead, in a report.
pub const FULL_LATER: &str = "Delivered in full if the look-ahead holds";
/// Heads those that are delivered from the planned days, on the screen.
pub const FULL: &str = "delivered in full";

/// Short orders of the look-ahead that are not listed.
#[must_use]
pub fn more_ahead(number: usize, missed: &str) -> String {
    format!("and {number} more due in the look-ahead, {missed} short.")
}

/// Orders that are delivered late.
#[must_use]
pub fn late(number: usize, volume: &str) -> String {
    format!("{} delivered late, {volume} together.", count(number, "order is", "orders are"))
}

/// Orders that can be delivered in full from the look-ahead.
#[must_use]
pub fn later(number: usize, volume: &str) -> String {
    let orders = count(number, "later order", "later orders");
    format!("{orders} ({volume}) can be delivered in full if the look-ahead holds.")
}

/// Orders that rounding takes less than a package from.
#[must_use]
pub fn rounded(number: usize, volume: &str) -> String {
    let orders = count(number, "order is", "orders are");
    format!("{orders} counted as full, though less than one package each is missing, {volume} together.")
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

/// An order that is late, and when it comes.
#[must_use]
pub fn late_line(row: &OrderRow, units: UnitSystem) -> String {
    let parts = row.deliveries.iter().filter(|delivery| delivery.days_late > 0).map(|delivery| {
        let days = count(usize::try_from(delivery.days_late).unwrap_or(0), "day", "days");
        format!("{} on {}, {days} late", volume_of(units, delivery.volume_hl), delivery.label)
    });
    let parts: Vec<String> = parts.collect();
    format!("LATE {} (order {}): {}", of_whole(row, row.late_hl, units), row.order, parts.join("; "))
}

/// An order that is short.
#[must_use]
pub fn short_line(row: &OrderRow, units: UnitSystem) -> String {
    let firm = if row.firm { ", firm" } else { "" };
    let whole = if row.whole { format!(", {WHOLE}") } else { String::new() };
    format!("SHORT {} (order {}{firm}{whole})", of_whole(row, row.missed_hl, units), row.order)
}

/// Why an order is short or late, where that is known.
#[must_use]
pub fn why(row: &OrderRow, units: UnitSystem) -> Option<String> {
    row.reason.as_ref().map(|reason| format!("why: {}", reasons::reason(row, reason, units)))
}

/// How much of an order, and what it asks for.
fn of_whole(row: &OrderRow, part_hl: f64, units: UnitSystem) -> String {
    let (part, whole) = (part(units, part_hl, row.quantity_hl), volume_of(units, row.quantity_hl));
    format!("{part} of {whole}: {}, {}, due {}", row.beer, row.format, row.due_label)
}

/// A part of a volume, without its unit where that is the unit of the whole.
fn part(units: UnitSystem, part_hl: f64, whole_hl: f64) -> String {
    let (part, whole) = (volume_of(units, part_hl), volume_of(units, whole_hl));
    match (part.rsplit_once(' '), whole.rsplit_once(' ')) {
        (Some((number, unit)), Some((_, of_whole))) if unit == of_whole => number.to_owned(),
        _ => part,
    }
}
