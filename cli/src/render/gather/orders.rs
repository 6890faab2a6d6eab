//! Orders: the short ones first, with the nearest reason.

use cellarwright_model::case::Order;
use cellarwright_model::units::Volume;

use super::{Facts, date, day_label, reasons};
use crate::render::view::OrderRow;

/// All orders that count, the short ones first, each part by due date.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<OrderRow> {
    let mut keyed: Vec<((bool, i64, usize), OrderRow)> = Vec::new();
    for result in &facts.report.usage.orders {
        let order = facts.case.order(result.order);
        let key = (!is_short(facts, order, result.missed), order.due, result.order.0);
        keyed.push((key, row(facts, order, result.delivered, result.missed)));
    }
    keyed.sort_by_key(|(key, _)| *key);
    keyed.into_iter().map(|(_, row)| row).collect()
}

/// Whether a package or more is missed; less is what rounding to whole litres takes.
fn is_short(facts: &Facts, order: &Order, missed: Volume) -> bool {
    missed > Volume::ZERO && missed >= facts.case.format(order.format).contents.min(order.quantity)
}

fn row(facts: &Facts, order: &Order, delivered: Volume, missed: Volume) -> OrderRow {
    let case = facts.case;
    OrderRow {
        order: order.name.clone(),
        beer: case.beer(order.beer).name.clone(),
        format: case.format(order.format).name.clone(),
        due: date(case, order.due),
        due_label: day_label(case, order.due),
        hangs_on_planned_days: facts.hangs_on_planned_days(order),
        firm: order.firm,
        quantity_hl: order.quantity.hectolitres(),
        delivered_hl: delivered.hectolitres(),
        missed_hl: missed.hectolitres(),
        short: is_short(facts, order, missed),
        reason: is_short(facts, order, missed).then(|| reasons::reason(facts, order, delivered)),
    }
}
