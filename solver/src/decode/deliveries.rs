//! What each order gets, in whole millilitres and never more than is there.

use std::collections::BTreeMap;

use cellarwright_model::case::Stock;
use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::plan::{Delivery, Plan, Work};
use cellarwright_model::units::Volume;

use super::Values;
use crate::compile::context::Context;
use crate::compile::rules::{calendar, orders};
use cellarwright_model::calendar::Role;

/// Packaged volume by beer and format with the day from which it can be delivered, in order of days.
type Supply = BTreeMap<(BeerId, FormatId), Vec<(i64, i64)>>;

/// Reads deliveries, limited to what the plan's packaging yields in whole millilitres.
pub fn read(context: &Context, values: Values, plan: &Plan) -> Vec<Delivery> {
    let wanted: Vec<(OrderId, i64)> = context
        .columns
        .deliver
        .iter()
        .map(|(&order, &column)| {
            (order, values.millilitres(column).min(context.case.order(order).quantity.0))
        })
        .collect();
    give(context, supply(context, plan), wanted)
}

/// Deliveries from opening stock alone, the earliest due first.
pub fn from_stock(context: &Context) -> Vec<Delivery> {
    let wanted: Vec<(OrderId, i64)> =
        context.case.order_ids().map(|id| (id, context.case.order(id).quantity.0)).collect();
    give(context, supply(context, &Plan::default()), wanted)
}

fn give(context: &Context, supply: Supply, mut wanted: Vec<(OrderId, i64)>) -> Vec<Delivery> {
    wanted.sort_by_key(|&(order, _)| (context.case.order(order).due, order));
    let mut given: BTreeMap<(BeerId, FormatId), i64> = BTreeMap::new();
    let mut deliveries = Vec::new();
    for (id, amount) in wanted {
        let order = context.case.order(id);
        let key = (order.beer, order.format);
        let there: i64 = supply
            .get(&key)
            .map_or(0, |all| all.iter().filter(|&&(from, _)| from <= order.due).map(|&(_, more)| more).sum());
        let before = given.entry(key).or_default();
        let volume = amount.min(there - *before);
        if volume > 0 {
            *before += volume;
            deliveries.push(Delivery { order: id, volume: Volume(volume) });
        }
    }
    deliveries.sort_unstable();
    deliveries
}

/// The day from which stock of day 0 can be delivered: at once, or the day that it says.
fn stock_from(stock: &Stock) -> i64 {
    if stock.from <= 0 { i64::MIN } else { stock.from }
}

fn supply(context: &Context, plan: &Plan) -> Supply {
    let case = context.case;
    let mut supply = Supply::new();
    for stock in &case.stock {
        supply.entry((stock.beer, stock.format)).or_default().push((stock_from(stock), stock.quantity.0));
    }
    let mut runs: BTreeMap<(usize, usize, BeerId), BTreeMap<FormatId, i64>> = BTreeMap::new();
    let mut beers: BTreeMap<cellarwright_model::ids::VesselId, BeerId> =
        case.in_tank.iter().map(|tank| (tank.vessel, tank.beer)).collect();
    for task in &plan.tasks {
        match task.work {
            Work::Brew { beer, vessel, .. } => {
                beers.insert(vessel, beer);
            }
            Work::Transfer { from, to, .. } => {
                if let Some(&beer) = beers.get(&from) {
                    beers.insert(to, beer);
                }
            }
            Work::Package { line, format, vessel, volume } => {
                if let Some(&beer) = beers.get(&vessel) {
                    let run = runs.entry((task.slot.0, line.0, beer)).or_default();
                    *run.entry(format).or_default() += volume.0;
                }
            }
            Work::Clean { .. } | Work::Sanitise { .. } | Work::Carbonate { .. } | Work::Dump { .. } => {}
        }
    }
    for ((slot, line, beer), formats) in runs {
        let mut loss = case.lines[line].loss.0;
        let day = case.calendar.day(cellarwright_model::calendar::Slot(slot)) as i64;
        let from = orders::delivery_day(context, beer, day);
        for (format, drawn) in formats {
            let part = loss.min(drawn);
            loss -= part;
            let packaged = case.format(format).loss.taken_off(Volume(drawn - part));
            supply.entry((beer, format)).or_default().push((from, packaged.0));
        }
    }
    for packaging in &plan.outlook.packaging {
        let period = context.grid.fine() + packaging.period;
        let first = calendar::working(context, Role::Package, period).into_iter().next();
        let day = first.map_or(0, |slot| case.calendar.day(slot) as i64);
        let from = orders::delivery_day(context, packaging.beer, day);
        supply.entry((packaging.beer, packaging.format)).or_default().push((from, packaging.packaged.0));
    }
    supply
}
