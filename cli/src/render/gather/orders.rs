//! Orders: the short ones first, with the nearest reason.

use cellarwright_checker::usage::OrderResult;
use cellarwright_model::case::Order;
use cellarwright_model::units::Volume;

use super::{Facts, date, day_label, reasons};
use crate::render::view::{DeliveryRow, OrderRow};

/// All orders that count, the short ones first, each part by due date.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<OrderRow> {
    let mut keyed: Vec<((bool, i64, usize), OrderRow)> = Vec::new();
    for result in &facts.report.usage.orders {
        let order = facts.case.order(result.order);
        let key = (!result.is_short(facts.case), order.due, result.order.0);
        keyed.push((key, row(facts, order, result)));
    }
    keyed.sort_by_key(|(key, _)| *key);
    keyed.into_iter().map(|(_, row)| row).collect()
}

fn row(facts: &Facts, order: &Order, result: &OrderResult) -> OrderRow {
    let case = facts.case;
    let short = result.is_short(case);
    let late: Volume =
        result.days.iter().filter(|&&(day, _)| day > order.due).map(|&(_, volume)| volume).sum();
    let reason = if short {
        Some(reasons::reason(facts, result.order, result.delivered))
    } else if late > Volume::ZERO {
        Some(reasons::reason(facts, result.order, result.delivered - late))
    } else {
        None
    };
    let delivery = |&(day, volume): &(i64, Volume)| DeliveryRow {
        on: date(case, day),
        label: day_label(case, day),
        volume_hl: volume.hectolitres(),
        days_late: (day - order.due).max(0),
    };
    OrderRow {
        order: order.name.clone(),
        beer: case.beer(order.beer).name.clone(),
        format: case.format(order.format).name.clone(),
        due: date(case, order.due),
        due_label: day_label(case, order.due),
        hangs_on_planned_days: facts.hangs_on_planned_days(order),
        firm: order.firm,
        quantity_hl: order.quantity.hectolitres(),
        delivered_hl: result.delivered.hectolitres(),
        missed_hl: result.missed.hectolitres(),
        deliveries: result.days.iter().map(delivery).collect(),
        late_hl: late.hectolitres(),
        whole: order.whole,
        likely_percent: 100.0 * order.likely.as_fraction(),
        short,
        reason,
    }
}
