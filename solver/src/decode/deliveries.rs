//! What each order gets, in whole millilitres and never more than is there.

use std::collections::BTreeMap;

use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::plan::{Delivery, Plan, Work};
use cellarwright_model::tolerance::VOLUME;
use cellarwright_model::units::Volume;

use super::Values;
use crate::compile::context::Context;
use crate::compile::rules::orders;

/// Packaged volume that is still there.
#[derive(Clone, Copy)]
struct Lot {
    /// Day of packaging.
    packaged: i64,
    /// First day of delivery.
    from: i64,
    /// Millilitres.
    left: i64,
}

/// Packaged volume by beer and format.
type Supply = BTreeMap<(BeerId, FormatId), Vec<Lot>>;

/// Reads deliveries, limited to what the plan's packaging yields in whole millilitres.
pub fn read(context: &Context, values: Values, plan: &Plan) -> Vec<Delivery> {
    let wanted: Vec<(OrderId, i64, i64)> = context
        .columns
        .deliver
        .iter()
        .map(|(&(order, day), &column)| {
            (order, day, values.millilitres(column).min(context.case.order(order).quantity.0))
        })
        .collect();
    give_oldest(context, supply(context, plan), wanted)
}

/// Deliveries from opening stock alone, the earliest due first.
pub fn from_stock(context: &Context) -> Vec<Delivery> {
    let mut wanted: Vec<(OrderId, i64, i64)> = Vec::new();
    for id in context.case.order_ids() {
        let first = orders::days(context, id).into_iter().next();
        wanted.extend(first.map(|day| (id, day, context.case.order(id).quantity.0)));
    }
    give_oldest(context, supply(context, &Plan::default()), wanted)
}

/// Deliveries of all that a plan packages: firm orders first, the earliest due first, each as soon as there is enough and of the youngest beer that
/// is there by then, so that what was packaged before is left to those that are due before.
pub fn soonest(context: &Context, plan: &Plan) -> Vec<Delivery> {
    let mut ids: Vec<OrderId> = context.case.order_ids().collect();
    ids.sort_by_key(|&id| (!context.case.order(id).firm, context.case.order(id).due, id));
    let mut wanted: Vec<(OrderId, i64, i64)> = Vec::new();
    for id in ids {
        let quantity = context.case.order(id).quantity.0;
        wanted.extend(orders::days(context, id).into_iter().map(|day| (id, day, quantity)));
    }
    let mut supply = supply(context, plan);
    for lots in supply.values_mut() {
        lots.sort_by_key(|lot| -lot.packaged);
    }
    give(context, supply, wanted)
}

/// Gives every delivery in its turn, the earliest first, the oldest beer that it accepts.
fn give_oldest(context: &Context, mut supply: Supply, mut wanted: Vec<(OrderId, i64, i64)>) -> Vec<Delivery> {
    wanted.sort_by_key(|&(id, day, _)| (day, orders::oldest(context, id, day), id));
    for lots in supply.values_mut() {
        lots.sort_by_key(|lot| lot.packaged);
    }
    give(context, supply, wanted)
}

/// Gives every delivery in its turn what it accepts of the lots in their order; an order that wants all or nothing gets all or nothing.
fn give(context: &Context, mut supply: Supply, wanted: Vec<(OrderId, i64, i64)>) -> Vec<Delivery> {
    let mut left: BTreeMap<OrderId, i64> = BTreeMap::new();
    let mut deliveries = Vec::new();
    for (id, day, amount) in wanted {
        let order = context.case.order(id);
        let Some(lots) = supply.get_mut(&(order.beer, order.format)) else { continue };
        let oldest = orders::oldest(context, id, day);
        let room = left.entry(id).or_insert(order.quantity.0);
        let amount = amount.min(*room);
        let accepts = |lot: &Lot| lot.from <= day && lot.packaged >= oldest;
        let there: i64 = lots.iter().filter(|lot| accepts(lot)).map(|lot| lot.left).sum();
        if orders::is_whole(context, id) && amount.min(there) + VOLUME.0 < order.quantity.0 {
            continue;
        }
        let mut volume = amount.min(there);
        if volume > 0 {
            deliveries.push(Delivery { order: id, day, volume: Volume(volume) });
            *room -= volume;
        }
        for lot in lots.iter_mut().filter(|lot| accepts(lot)) {
            let taken = volume.min(lot.left);
            lot.left -= taken;
            volume -= taken;
        }
    }
    deliveries.sort_unstable();
    deliveries
}

fn supply(context: &Context, plan: &Plan) -> Supply {
    let case = context.case;
    let mut supply = Supply::new();
    for stock in &case.stock {
        let lot = Lot {
            packaged: stock.packaged_on,
            from: orders::stock_from(context, stock),
            left: stock.quantity.0,
        };
        supply.entry((stock.beer, stock.format)).or_default().push(lot);
    }
    let mut runs: BTreeMap<(usize, usize, BeerId), BTreeMap<FormatId, i64>> = BTreeMap::new();
    for (task, beer) in plan.tasks.iter().zip(plan.beers(&case.in_tank)) {
        if let (Work::Package { line, format, volume, .. }, Some(beer)) = (task.work, beer) {
            let run = runs.entry((task.slot.0, line.0, beer)).or_default();
            *run.entry(format).or_default() += volume.0;
        }
    }
    for ((slot, line, beer), formats) in runs {
        let mut loss = case.lines[line].loss.0;
        let day = case.calendar.day(cellarwright_model::calendar::Slot(slot)) as i64;
        let from = orders::delivery_day(context, beer, day);
        for (format, drawn) in formats {
            let part = loss.min(drawn);
            loss -= part;
            let packaged = case.format(format).yields(Volume(drawn - part));
            let lot = Lot { packaged: day, from, left: packaged.0 };
            supply.entry((beer, format)).or_default().push(lot);
        }
    }
    for packaging in &plan.outlook.packaging {
        let period = context.grid.fine() + packaging.period;
        let (first, packaged) = orders::first_and_last_packaging_day(context, period);
        let from = orders::delivery_day(context, packaging.beer, first);
        let lot = Lot { packaged, from, left: packaging.packaged.0 };
        supply.entry((packaging.beer, packaging.format)).or_default().push(lot);
    }
    supply
}
