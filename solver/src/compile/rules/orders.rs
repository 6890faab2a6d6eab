//! R13 orders: packaged beer can be delivered from the next delivery day plus its release time; stock is never negative.
//!
//! Rows, for each beer and format and each of its due days: delivered up to it <= opening stock + packaged early enough;
//! at the end: surplus = stock + packaged - delivered. In the look-ahead a period's beer counts from the first delivery day
//! after the period's first packaging day.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Role;
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::rule::RuleId;

use super::calendar;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms};

/// First day on which beer packaged on `day` can be delivered; the day itself where the rule is left out.
pub fn delivery_day(context: &Context, beer: BeerId, day: i64) -> i64 {
    if context.keeps(RuleId::Orders) { there_from(context, beer, day) } else { day }
}

/// The next delivery day after `day`, plus the beer's release time.
pub fn there_from(context: &Context, beer: BeerId, day: i64) -> i64 {
    let times = &context.case.calendar;
    let mut next = day + 1;
    while !times.delivers(next) && next < day + 60 {
        next += 1;
    }
    next + context.case.beer(beer).release
}

/// Packaged volume of a beer and format by period, after the format's loss.
fn packaged(context: &Context, beer: BeerId, format: FormatId) -> Vec<(PeriodId, ColumnId, f64)> {
    let kept = 1.0 - context.case.format(format).loss.as_fraction();
    let range = (beer, format, 0)..=(beer, format, PeriodId::MAX);
    context.columns.packs.range(range).map(|(&(_, _, period), &column)| (period, column, kept)).collect()
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let mut due_days: BTreeMap<(BeerId, FormatId), BTreeSet<i64>> = BTreeMap::new();
    for &order in context.columns.deliver.keys() {
        let order = context.case.order(order);
        due_days.entry((order.beer, order.format)).or_default().insert(order.due);
    }
    let keys: Vec<(BeerId, FormatId)> = context.columns.surplus.keys().copied().collect();
    for (beer, format) in keys {
        let keeps_days = context.keeps(RuleId::Orders);
        let stock: Vec<(i64, f64)> = context
            .case
            .stock
            .iter()
            .filter(|stock| (stock.beer, stock.format) == (beer, format))
            .map(|stock| (if keeps_days { stock.from } else { 0 }, stock.quantity.hectolitres()))
            .collect();
        let supply: Vec<(i64, ColumnId, f64)> = packaged(context, beer, format)
            .into_iter()
            .map(|(period, column, kept)| {
                let first = calendar::working(context, Role::Package, period).into_iter().next();
                let day = first.map_or(0, |slot| context.case.calendar.day(slot) as i64);
                (delivery_day(context, beer, day), column, kept)
            })
            .collect();
        for &due in due_days.get(&(beer, format)).into_iter().flatten() {
            let mut row: Terms = Vec::new();
            for (&order, &column) in &context.columns.deliver {
                let order = context.case.order(order);
                if (order.beer, order.format) == (beer, format) && order.due <= due {
                    row.push((column, 1.0));
                }
            }
            for &(from, column, kept) in &supply {
                if from <= due {
                    row.push((column, -kept));
                }
            }
            let there =
                stock.iter().filter(|&&(from, _)| from <= due.max(0)).map(|&(_, volume)| volume).sum();
            context.program.at_most(RuleId::Orders, row, there);
        }
        let mut end: Terms = vec![(context.columns.surplus[&(beer, format)], 1.0)];
        for (&order, &column) in &context.columns.deliver {
            let order = context.case.order(order);
            if (order.beer, order.format) == (beer, format) {
                end.push((column, 1.0));
            }
        }
        end.extend(supply.iter().map(|&(_, column, kept)| (column, -kept)));
        let all = stock.iter().map(|&(_, volume)| volume).sum();
        context.program.equal(RuleId::Orders, end, all);
    }
}
