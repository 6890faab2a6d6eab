//! R13 orders: packaged beer can be delivered from the next delivery day plus its release time; stock is never negative.
//!
//! Rows, for each beer and format:
//! - for each day of a delivery: delivered up to it <= opening stock + packaged early enough;
//! - where age is limited, for each day and each oldest day that a delivery accepts: deliveries up to the day that accept nothing
//!   older <= what is packaged since and early enough. Supply and deliveries are intervals of packaging days whose ends both rise, so these
//!   rows (with the ones above) say exactly that every delivery can be fresh enough (where stock is there later than younger beer, they
//!   do not, and every delivery of every supply is a column);
//! - at the end: surplus = stock + packaged - delivered (or less, where what is too old then is worth nothing).
//!
//! For each order: delivered on all days <= quantity; delivered = quantity x whole.
//! In the look-ahead a period's beer counts from the first delivery day after the period's first packaging day (of a half week what is packaged by
//! then: `early`), and is as old as from its last; whole orders are counted in parts there.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Stock;
use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::rule::RuleId;

use super::calendar;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms};

/// First day on which beer packaged on `day` can be delivered; the day itself where the rule is left out.
pub fn delivery_day(context: &Context, beer: BeerId, day: i64) -> i64 {
    if context.keeps(RuleId::Orders) { there_from(context, beer, day) } else { day }
}

/// The day from which stock of day 0 can be delivered: at once, or the day that it says.
pub fn stock_from(context: &Context, stock: &Stock) -> i64 {
    if stock.from <= 0 || !context.keeps(RuleId::Orders) { i64::MIN } else { stock.from }
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

/// Days on which an order may be delivered: its due day, and later delivery days where it may be late.
pub fn days(context: &Context, id: OrderId) -> Vec<i64> {
    let order = context.case.order(id);
    let times = &context.case.calendar;
    let mut found: Vec<i64> = (order.due >= 0).then_some(order.due).into_iter().collect();
    let last = if context.keeps(RuleId::Orders) { order.last_day() } else { i64::MAX };
    let last = last.min(times.days() as i64);
    found.extend(((order.due + 1).max(0)..=last).filter(|&day| times.delivers(day)));
    found
}

/// Whether an order is delivered whole or not at all in the program.
pub fn is_whole(context: &Context, id: OrderId) -> bool {
    let order = context.case.order(id);
    order.whole && order.due <= context.case.calendar.planned_days as i64 && context.keeps(RuleId::Orders)
}

/// The oldest packaging day that a delivery of an order on a day accepts.
pub fn oldest(context: &Context, id: OrderId, day: i64) -> i64 {
    let limit = context.case.fresh(id).filter(|_| context.keeps(RuleId::Orders));
    limit.map_or(i64::MIN, |limit| day - limit)
}

/// The deliveries of an order by day.
pub fn deliveries(context: &Context, id: OrderId) -> Vec<(i64, ColumnId)> {
    let range = (id, i64::MIN)..=(id, i64::MAX);
    context.columns.deliver.range(range).map(|(&(_, day), &column)| (day, column)).collect()
}

/// Days of a period on which beer may be packaged, in order.
pub fn packaging_days(context: &Context, period: PeriodId) -> Vec<i64> {
    let slots = calendar::working(context, Role::Package, period);
    let mut days: Vec<i64> = slots.into_iter().map(|slot| context.case.calendar.day(slot) as i64).collect();
    days.dedup();
    days
}

/// The first of them, from which beer can be delivered, and the last, as of which it is as old as it counts.
pub fn first_and_last_packaging_day(context: &Context, period: PeriodId) -> (i64, i64) {
    let days = packaging_days(context, period);
    let first = days.first().copied().unwrap_or(0);
    (first, days.last().copied().unwrap_or(first))
}

/// Packaged beer that may be delivered: opening stock (a constant) or a column.
#[derive(Clone)]
struct Supply {
    /// First day of delivery.
    from: i64,
    /// Day of packaging.
    packaged: i64,
    /// First days of delivery, in order, and the column of all that is there from then on.
    columns: Vec<(i64, ColumnId)>,
    /// How much of the columns is packaged.
    kept: f64,
    /// Opening stock, hL.
    stock: f64,
}

/// What there is of a beer in a format, the oldest first.
fn supply(context: &Context, beer: BeerId, format: FormatId) -> Vec<Supply> {
    let opening = context.case.stock.iter().filter(|stock| (stock.beer, stock.format) == (beer, format));
    let mut all: Vec<Supply> = opening
        .map(|stock| Supply {
            from: stock_from(context, stock),
            packaged: stock.packaged_on,
            columns: Vec::new(),
            kept: 1.0,
            stock: stock.quantity.hectolitres(),
        })
        .collect();
    let kept = context.case.format(format).kept();
    for (&(_, _, period), &column) in
        context.columns.packs.range((beer, format, 0)..=(beer, format, PeriodId::MAX))
    {
        let (first, packaged) = first_and_last_packaging_day(context, period);
        let from = delivery_day(context, beer, first);
        let columns = by_first_day(context, (beer, format, period), from, column);
        all.push(Supply { from, packaged, columns, kept, stock: 0.0 });
    }
    all.sort_by_key(|supply| (supply.packaged, supply.from));
    all
}

/// What is packaged in a period by the first day on which it can be delivered: what is there early, and from then on all of it.
fn by_first_day(
    context: &Context,
    (beer, format, period): (BeerId, FormatId, PeriodId),
    from: i64,
    all: ColumnId,
) -> Vec<(i64, ColumnId)> {
    let days = packaging_days(context, period);
    let keys = (beer, format, period, i64::MIN)..=(beer, format, period, i64::MAX);
    let mut columns: Vec<(i64, ColumnId)> = Vec::new();
    let mut since = from;
    for (&(_, _, _, day), &early) in context.columns.early.range(keys) {
        columns.push((since, early));
        let next = days.iter().find(|&&next| next > day);
        since = next.map_or(since, |&next| delivery_day(context, beer, next));
    }
    columns.push((since, all));
    columns
}

/// One delivery that may be made.
#[derive(Clone, Copy)]
struct Wanted {
    day: i64,
    /// Position of the oldest supply that it accepts.
    oldest: usize,
    column: ColumnId,
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let keys: Vec<(BeerId, FormatId)> = context.columns.surplus.keys().copied().collect();
    for (beer, format) in keys {
        goods(context, beer, format);
    }
    for id in context.case.order_ids() {
        order(context, id);
    }
}

/// An order of several days, or one that is delivered whole.
fn order(context: &mut Context, id: OrderId) {
    let days = deliveries(context, id);
    let quantity = context.case.order(id).quantity.hectolitres();
    if is_whole(context, id) {
        let mut once: Terms = Vec::new();
        for &(day, column) in &days {
            let whole = context.columns.whole[&(id, day)];
            context.program.equal(RuleId::Orders, vec![(column, 1.0), (whole, -quantity)], 0.0);
            once.push((whole, 1.0));
        }
        if once.len() > 1 {
            context.program.at_most(RuleId::Orders, once, 1.0);
        }
    } else if days.len() > 1 {
        let terms = days.into_iter().map(|(_, column)| (column, 1.0)).collect();
        context.program.at_most(RuleId::Orders, terms, quantity);
    }
}

/// Has an order filled in full on its due day. Whether there is such a day: not where it is before day 0.
pub fn fill(context: &mut Context, id: OrderId) -> bool {
    let order = context.case.order(id);
    let Some(&column) = context.columns.deliver.get(&(id, order.due)) else { return false };
    context.program.columns[column.0].lower = order.quantity.hectolitres();
    true
}

/// Supply of positions from `oldest` on that is there by a day: terms to be taken off, and opening stock.
fn there(supply: &[Supply], oldest: usize, day: i64) -> (Terms, f64) {
    let found = supply.iter().skip(oldest).filter(|supply| supply.from <= day);
    let mut terms: Terms = Vec::new();
    let mut stock = 0.0;
    for supply in found {
        let there = supply.columns.iter().rev().find(|&&(from, _)| from <= day);
        terms.extend(there.map(|&(_, column)| (column, -supply.kept)));
        stock += supply.stock;
    }
    (terms, stock)
}

fn goods(context: &mut Context, beer: BeerId, format: FormatId) {
    let supply = supply(context, beer, format);
    let position = |oldest: i64| supply.iter().filter(|supply| supply.packaged < oldest).count();
    let mut wanted: Vec<Wanted> = Vec::new();
    for (&(id, day), &column) in &context.columns.deliver {
        let order = context.case.order(id);
        if (order.beer, order.format) == (beer, format) {
            wanted.push(Wanted { day, oldest: position(oldest(context, id, day)), column });
        }
    }
    let limit = context.case.beer(beer).fresh.filter(|_| context.keeps(RuleId::Orders));
    let end = context.case.calendar.days() as i64;
    let surplus_oldest = limit.map(|limit| position(end - limit));
    let is_limited = surplus_oldest.is_some() || wanted.iter().any(|wanted| wanted.oldest > 0);
    let in_turn = supply.iter().zip(supply.iter().skip(1)).all(|(older, younger)| older.from <= younger.from);
    if is_limited && !in_turn {
        shares(context, (beer, format), &supply, &wanted, surplus_oldest.unwrap_or(0));
        return;
    }
    let oldest: BTreeSet<usize> =
        wanted.iter().map(|wanted| wanted.oldest).chain(surplus_oldest).chain([0]).collect();
    for &first in &oldest {
        let days: BTreeSet<i64> =
            wanted.iter().filter(|wanted| wanted.oldest >= first).map(|wanted| wanted.day).collect();
        for &day in &days {
            let (mut row, stock) = there(&supply, first, day);
            for wanted in wanted.iter().filter(|wanted| wanted.oldest >= first && wanted.day <= day) {
                row.push((wanted.column, 1.0));
            }
            context.program.at_most(RuleId::Orders, row, stock);
        }
    }
    let surplus = context.columns.surplus[&(beer, format)];
    for &first in &oldest {
        let counts = first == 0 || surplus_oldest.is_some_and(|oldest| oldest >= first);
        if !counts {
            continue;
        }
        let (mut row, stock) = there(&supply, first, i64::MAX);
        row.push((surplus, 1.0));
        row.extend(wanted.iter().filter(|wanted| wanted.oldest >= first).map(|wanted| (wanted.column, 1.0)));
        if surplus_oldest.is_some() {
            context.program.at_most(RuleId::Orders, row, stock);
        } else {
            context.program.equal(RuleId::Orders, row, stock);
        }
    }
}

/// Where older beer is there later than younger beer (stock that still conditions): every delivery of every supply has a column.
fn shares(
    context: &mut Context,
    goods: (BeerId, FormatId),
    supply: &[Supply],
    wanted: &[Wanted],
    surplus_oldest: usize,
) {
    let mut out: Vec<Terms> = vec![Vec::new(); supply.len()];
    for wanted in wanted {
        let mut row: Terms = vec![(wanted.column, -1.0)];
        for (position, supply) in supply.iter().enumerate() {
            if position >= wanted.oldest && supply.from <= wanted.day {
                let share = context.program.column(0.0, f64::INFINITY, false);
                row.push((share, 1.0));
                out[position].push((share, 1.0));
            }
        }
        context.program.equal(RuleId::Orders, row, 0.0);
    }
    let mut surplus: Terms = vec![(context.columns.surplus[&goods], -1.0)];
    for (position, (supply, mut row)) in supply.iter().zip(out).enumerate() {
        if position >= surplus_oldest {
            let share = context.program.column(0.0, f64::INFINITY, false);
            surplus.push((share, 1.0));
            row.push((share, 1.0));
        }
        row.extend(supply.columns.last().map(|&(_, column)| (column, -supply.kept)));
        context.program.at_most(RuleId::Orders, row, supply.stock);
    }
    context.program.equal(RuleId::Orders, surplus, 0.0);
}
