//! R17 cooling: heat of all that ferments and of all chills of a day <= `heat_a_day`.
//!
//! Rows, with `h` the heat of a batch on each of the `over` days from that of its last turn on and `c` that of a chill:
//! `sum of h x brews that ferment on the day + sum of c x ways that chill on it <= limit - heat of beer in tank`, for each planned day;
//! for each period of the look-ahead the sum over its days <= limit x days, batches of a period counted from its first day on.
//! Heat is in kilowatt-hours. Nothing is written where the limit is silent.

use cellarwright_model::calendar::Slot;
use cellarwright_model::heat::{Ferments, of_cooling};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Heat, Volume};

use super::tank_work;
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::program::Terms;

/// Kilojoules in a kilowatt-hour.
const KILOWATT_HOUR: f64 = 3_600.0;

/// Writes the rows.
pub fn add(context: &mut Context) {
    let Some(limit) = context.case.cooling.heat_a_day else { return };
    let planned = context.case.calendar.planned_days as i64;
    let mut spans: Vec<(i64, i64)> = (0..planned).map(|day| (day, day)).collect();
    for id in context.grid.fine()..context.grid.len() {
        let period = context.grid.period(id);
        spans.push((period.first_day, period.last_day));
    }
    for (first, last) in spans {
        let terms = terms(context, first, last);
        if terms.is_empty() {
            continue;
        }
        let left = limit.0 * (last - first + 1) - in_tank(context, first, last).0;
        context.program.at_most(RuleId::TankWork, terms, left as f64 / KILOWATT_HOUR);
    }
}

fn terms(context: &Context, first: i64, last: i64) -> Terms {
    let mut terms = Terms::new();
    for brew in &context.columns.brews {
        let Some(ferments) = context.case.beer(context.kind(brew.kind).beer).ferments else { continue };
        let days = days_within(ferments, context.grid.period(brew.last()).first_day, first, last);
        if days > 0 {
            let heat = ferments.heat_a_day(wort(context, brew.kind)).0 * days;
            terms.push((brew.column, heat as f64 / KILOWATT_HOUR));
        }
    }
    for way in &context.columns.tank_ways {
        let pieces = tank_work::pieces(context, way.kind);
        let mut heat = 0;
        for &(position, period) in &way.way.pieces {
            let day = context.case.calendar.day(Slot(period)) as i64;
            if (first..=last).contains(&day) {
                heat += of_cooling(wort(context, way.kind), pieces[position].cools_by).0;
            }
        }
        if heat > 0 {
            terms.push((way.column, heat as f64 / KILOWATT_HOUR));
        }
    }
    terms
}

/// Heat of what is in tank on day 0 on the days from one to another.
fn in_tank(context: &Context, first: i64, last: i64) -> Heat {
    let heat_of = |tank: &cellarwright_model::case::InTank| {
        let ferments = context.case.beer(tank.beer).ferments?;
        Some(ferments.heat_a_day(tank.filled).0 * days_within(ferments, tank.on, first, last))
    };
    let batches = context.case.in_tank.iter().filter(|tank| !tank.is_bright);
    Heat(batches.filter_map(heat_of).sum())
}

/// On how many of the days from `first` to `last` a batch ferments whose last turn was on `on`.
fn days_within(ferments: Ferments, on: i64, first: i64, last: i64) -> i64 {
    ((on + ferments.over - 1).min(last) - on.max(first) + 1).max(0)
}

fn wort(context: &Context, kind: KindId) -> Volume {
    let here = context.kind(kind);
    if let Some(measured) = here.measured {
        return measured.holds;
    }
    match here.origin {
        Origin::New { turns, part } => context.case.wort_of(here.beer, turns, part),
        Origin::Opening { in_tank } => context.case.in_tank[in_tank].filled,
        Origin::Moved { of } => wort(context, of),
    }
}
