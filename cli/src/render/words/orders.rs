//! Sentences about orders and materials that the screen and the report share.

use super::count;

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
