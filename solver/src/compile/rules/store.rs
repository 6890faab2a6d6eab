//! R13 orders, cold store and least stock: packaged beer that is not delivered stands in a store with a limit, or is missed there.
//!
//! For each day on which it is known what is packaged and not delivered (every planned day; in the look-ahead from a period's
//! last packaging day to its last): stock + packaged - delivered, over all goods of the store <= holds + over, over <= what can be
//! hired (or what stood there before); for a least stock: stock + packaged - delivered + lacking >= least.
//! Days with the same sum share a row and a column, which costs as often.

use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Each, StoreUnit};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::{calendar, orders};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms};

/// Sundays.
const SUNDAY: Weekdays = Weekdays([false, false, false, false, false, false, true]);

/// Days on which it is known what is packaged and not delivered.
fn known_days(context: &Context) -> Vec<i64> {
    let mut days = Vec::new();
    let mut next = 0;
    for id in 0..context.grid.len() {
        let period = context.grid.period(id);
        let first = if period.is_fine {
            period.first_day
        } else if calendar::any(context, Role::Package, id) {
            orders::first_and_last_packaging_day(context, id).1
        } else {
            continue;
        };
        days.extend(first.max(next)..=period.last_day);
        next = period.last_day + 1;
    }
    days
}

/// Packaged and not delivered of a beer in a format at the end of a day, without what stands in the warm where that is
/// apart: terms and a constant, hL.
fn level(
    context: &Context,
    (beer, format): (BeerId, FormatId),
    day: i64,
    is_warm_apart: bool,
) -> (Terms, f64) {
    let case = context.case;
    let is_warm = is_warm_apart && case.stands_warm(beer);
    let mut terms: Terms = Vec::new();
    let mut constant = 0.0;
    for stock in case.stock.iter().filter(|stock| (stock.beer, stock.format) == (beer, format)) {
        if !is_warm || stock.from <= day {
            constant += stock.quantity.hectolitres();
        }
    }
    let kept = case.format(format).kept();
    let packs = context.columns.packs.range((beer, format, 0)..=(beer, format, PeriodId::MAX));
    for (&(_, _, period), &column) in packs {
        let (_, last) = orders::first_and_last_packaging_day(context, period);
        let from = if is_warm { orders::there_from(context, beer, last) } else { last };
        if from <= day {
            terms.push((column, kept));
        }
    }
    for (&(id, on), &column) in &context.columns.deliver {
        let order = case.order(id);
        if (order.beer, order.format) == (beer, format) && on <= day {
            terms.push((column, -1.0));
        }
    }
    (terms, constant)
}

/// A sum with the number of days on which it is the same.
type SameDays = Vec<(Terms, f64, i64)>;

fn merged(levels: impl Iterator<Item = (Terms, f64)>) -> SameDays {
    let mut found: SameDays = Vec::new();
    for (terms, constant) in levels {
        match found.last_mut() {
            Some(last) if last.0 == terms && last.1.to_bits() == constant.to_bits() => last.2 += 1,
            _ => found.push((terms, constant, 1)),
        }
    }
    found
}

/// Writes the rows of the store and of least stocks, and adds their columns: what they cost is a cost of the columns.
pub fn add(context: &mut Context) {
    if !context.keeps(RuleId::Orders) {
        return;
    }
    cold_store(context);
    least_stock(context);
}

fn cold_store(context: &mut Context) {
    let Some(store) = context.case.cold_store.clone() else { return };
    let per_hectolitre = |context: &Context, format| match store.unit {
        StoreUnit::Volume => 1.0,
        StoreUnit::Pallets => {
            let data = context.case.format(format);
            Volume::HECTOLITRE.0 as f64 / (data.contents.0 * data.pallet.unwrap_or(1)) as f64
        }
    };
    let goods: Vec<(BeerId, FormatId)> = context.columns.surplus.keys().copied().collect();
    let levels = known_days(context).into_iter().map(|day| {
        let mut all: Terms = Vec::new();
        let mut sum = 0.0;
        for &(beer, format) in goods.iter().filter(|(_, format)| store.formats.contains(format)) {
            let takes = per_hectolitre(context, format);
            let (terms, constant) = level(context, (beer, format), day, true);
            all.extend(terms.into_iter().map(|(column, factor)| (column, factor * takes)));
            sum += constant * takes;
        }
        (all, sum)
    });
    let rows = merged(levels);
    let unit = store.unit.priced() as f64;
    let holds = store.holds as f64 / unit;
    let hired = store.overflow.max(context.case.stored_before(&store) - store.holds) as f64 / unit;
    for (mut terms, constant, days) in rows {
        if hired > 0.0 {
            let over = context.program.column(0.0, hired, false);
            context.columns.store_over.push((over, days));
            terms.push((over, -1.0));
        }
        context.program.at_most(RuleId::Orders, terms, holds - constant);
    }
}

fn least_stock(context: &mut Context) {
    for keep in context.case.keep.clone() {
        let is_looked_at = |day: &i64| match keep.each {
            Each::Day => true,
            Each::Week => SUNDAY.has(context.case.calendar.date(*day)),
        };
        let days: Vec<i64> = known_days(context).into_iter().filter(is_looked_at).collect();
        let levels = days.into_iter().map(|day| level(context, (keep.beer, keep.format), day, false));
        let rows = merged(levels);
        let least = keep.at_least.hectolitres();
        for (mut terms, constant, days) in rows {
            let lacking: ColumnId = context.program.column(0.0, least.max(0.0), false);
            context.columns.lacking.push((lacking, keep.cost, days));
            terms.push((lacking, 1.0));
            context.program.at_least(RuleId::Orders, terms, least - constant);
        }
    }
}
