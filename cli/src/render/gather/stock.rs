//! Packaged beer over time: stock of day 0 and what is packaged, less what is delivered.

use std::collections::BTreeMap;

use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::units::Volume;

use super::{Facts, day_label};
use crate::render::view::{StockDays, StockRow};

/// Beer and format.
type Goods = (BeerId, FormatId);

/// What happens in one column: a planned day or a period.
#[derive(Clone, Copy, Debug, Default)]
struct Moves {
    packaged: Volume,
    due: Volume,
    missed: Volume,
    delivered: Volume,
}

/// First and last day of each column: the planned days, then the periods of the look-ahead, or else the day after, on which
/// the last of the packaged beer can be delivered.
fn columns(facts: &Facts) -> Vec<(i64, i64)> {
    let planned = facts.case.calendar.planned_days as i64;
    let mut columns: Vec<(i64, i64)> = (0..planned).map(|day| (day, day)).collect();
    let periods = &facts.plan.outlook.periods;
    columns.extend(periods.iter().map(|period| (period.first_day as i64, period.last_day as i64)));
    if periods.is_empty() {
        columns.push((planned, planned));
    }
    columns
}

/// Every beer and format of which there is some, or for which there is an order.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<StockRow> {
    let case = facts.case;
    let columns = columns(facts);
    // What lies before the first column or after the last counts in it.
    let column = |day: i64| {
        columns.iter().position(|&(_, last)| day <= last).unwrap_or(columns.len().saturating_sub(1))
    };
    let mut opening: BTreeMap<Goods, Volume> = BTreeMap::new();
    let mut moves: BTreeMap<Goods, Vec<Moves>> = BTreeMap::new();
    for stock in case.stock.iter().filter(|stock| stock.quantity > Volume::ZERO) {
        *opening.entry((stock.beer, stock.format)).or_default() += stock.quantity;
        moves.entry((stock.beer, stock.format)).or_insert_with(|| vec![Moves::default(); columns.len()]);
    }
    let mut add = |goods: Goods, place: usize, change: &dyn Fn(&mut Moves)| {
        let of_goods = moves.entry(goods).or_insert_with(|| vec![Moves::default(); columns.len()]);
        if let Some(found) = of_goods.get_mut(place) {
            change(found);
        }
    };
    for ((beer, format, day), volume) in facts.packaged() {
        add((beer, format), column(day as i64), &|moves| moves.packaged += volume);
    }
    for entry in &facts.plan.outlook.packaging {
        let place = case.calendar.planned_days + entry.period;
        add((entry.beer, entry.format), place, &|moves| moves.packaged += entry.packaged);
    }
    for result in &facts.report.usage.orders {
        let order = case.order(result.order);
        let goods = (order.beer, order.format);
        add(goods, column(order.due), &|moves| {
            moves.due += order.quantity;
            if result.is_short(facts.case) {
                moves.missed += result.missed;
            }
        });
        for &(day, volume) in &result.days {
            add(goods, column(day), &|moves| moves.delivered += volume);
        }
    }
    moves.into_iter().map(|(goods, moves)| row(facts, goods, opening.get(&goods), &columns, &moves)).collect()
}

fn row(
    facts: &Facts,
    (beer, format): Goods,
    opening: Option<&Volume>,
    columns: &[(i64, i64)],
    moves: &[Moves],
) -> StockRow {
    let opening = opening.copied().unwrap_or_default();
    let planned = facts.case.calendar.planned_days as i64;
    let mut left = opening;
    let days = columns.iter().zip(moves).map(|(&(first, last), moves)| {
        left = left + moves.packaged - moves.delivered;
        StockDays {
            label: day_label(facts.case, first),
            last_label: (last > first).then(|| day_label(facts.case, last)),
            is_ahead: first >= planned && !facts.plan.outlook.periods.is_empty(),
            packaged_hl: moves.packaged.hectolitres(),
            due_hl: moves.due.hectolitres(),
            missed_hl: moves.missed.hectolitres(),
            delivered_hl: moves.delivered.hectolitres(),
            left_hl: left.hectolitres(),
        }
    });
    StockRow {
        beer: facts.case.beer(beer).name.clone(),
        format: facts.case.format(format).name.clone(),
        opening_hl: opening.hectolitres(),
        days: days.collect(),
    }
}
