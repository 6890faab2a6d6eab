//! R03 turns: at most `turns_per_day` turns a day, fewer where the liquor allows no more (`most_a_day`), within the brewhouse's clock hours; the first of a day takes longer.
//!
//! Rows, per day (per period in the look-ahead, times its brewing days): turns <= `turns_per_day`;
//! next x turns + (first - next) x first turns + what each beer takes longer <= hours per day; turns in a slot <= turns a day x first turns up to that slot.

use std::collections::BTreeMap;

use cellarwright_model::case::Liquor;
use cellarwright_model::rule::RuleId;

use super::outage;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{Terms, scaled};
use crate::compile::without::{Mark, Subject};

/// Turns of each period, as terms.
pub fn turns(context: &Context) -> BTreeMap<PeriodId, Terms> {
    let mut turns: BTreeMap<PeriodId, Terms> = BTreeMap::new();
    for brew in &context.columns.brews {
        for &(period, count) in &brew.turns {
            turns.entry(period).or_default().push((brew.column, count as f64));
        }
    }
    turns
}

/// Hours that the turns of each period take longer for their beers, as terms.
fn longer(context: &Context) -> BTreeMap<PeriodId, Terms> {
    let mut longer: BTreeMap<PeriodId, Terms> = BTreeMap::new();
    for brew in &context.columns.brews {
        let hours = context.case.beer(context.kind(brew.kind).beer).brewing.longer.takes.hours();
        for &(period, count) in brew.turns.iter().filter(|_| hours > 0.0) {
            longer.entry(period).or_default().push((brew.column, count as f64 * hours));
        }
    }
    longer
}

/// Turns that can be made in a day at most, by the brewhouse and its liquor.
pub fn most_a_day(context: &Context) -> i64 {
    let brewhouse = &context.case.brewhouse;
    if brewhouse.liquor.is_empty() || !context.keeps(RuleId::Turns) {
        return brewhouse.turns_per_day;
    }
    // Levels in sixtieths of a millilitre: an hourly rate times minutes is whole.
    let full = |liquor: &Liquor| i128::from(liquor.tank.0) * 60;
    let mut levels: Vec<i128> = brewhouse.liquor.iter().map(full).collect();
    let (mut turns, mut start) = (0, 0_i128);
    while turns < brewhouse.turns_per_day {
        let job = if turns == 0 { brewhouse.first_turn } else { brewhouse.next_turn };
        // From the start of the turn before: the time that it takes, or that the liquor takes.
        let mut waits = match turns {
            0 => 0,
            1 => i128::from(brewhouse.first_turn.takes.0.max(1)),
            _ => i128::from(brewhouse.next_turn.takes.0.max(1)),
        };
        for (liquor, level) in brewhouse.liquor.iter().zip(&levels) {
            let missing = i128::from(liquor.per_turn.0) * 60 - level;
            let rate = i128::from(liquor.makes.0);
            if missing > 0 && rate == 0 {
                return turns;
            }
            if missing > 0 {
                waits = waits.max((missing + rate - 1) / rate);
            }
        }
        start += waits;
        if start + i128::from(job.takes.0) > i128::from(brewhouse.hours_per_day.0) {
            return turns;
        }
        for (liquor, level) in brewhouse.liquor.iter().zip(&mut levels) {
            let filled = (*level + waits * i128::from(liquor.makes.0)).min(full(liquor));
            *level = filled - i128::from(liquor.per_turn.0) * 60;
        }
        turns += 1;
    }
    turns
}

/// Turns of a batch of so many that can be made in a day, begun in a period.
pub fn most_of_a_batch(context: &Context, first: PeriodId, turns: i64) -> i64 {
    let (day, _) = context.days_of(first);
    let is_limited = !context.without.has(RuleId::Turns, Subject::Brewhouse, day);
    if is_limited { most_a_day(context) } else { turns.max(most_a_day(context)) }
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let turns = turns(context);
    let brewhouse = &context.case.brewhouse;
    let a_day = most_a_day(context) as f64;
    let next = brewhouse.next_turn.takes.hours();
    let extra = brewhouse.first_turn.takes.hours() - next;
    let longer = longer(context);
    let mut days: BTreeMap<(i64, i64), (f64, Terms, Terms, Terms)> = BTreeMap::new();
    for (&period, terms) in &turns {
        let here = context.grid.period(period).clone();
        let brew_days = outage::brewing_days(context, period).max(1) as f64;
        let day = days.entry((here.first_day, here.last_day));
        let day = day.or_insert((brew_days, Vec::new(), Vec::new(), Vec::new()));
        day.1.extend(terms);
        day.3.extend(longer.get(&period).into_iter().flatten());
        let first = context.columns.first_turns.get(&period).copied();
        if let Some(first) = first {
            day.2.push((first, 1.0));
        }
        // Where the first turn is like the others there are no such columns.
        if first.is_some() {
            let mut started = terms.clone();
            started.extend(day.2.iter().map(|&(column, _)| (column, -a_day)));
            context.program.at_most(RuleId::Turns, started, 0.0);
        }
        if let (Some(first), true) = (first, here.is_fine) {
            let mut needs_turn = scaled(terms, -1.0);
            needs_turn.push((first, 1.0));
            context.program.at_most(RuleId::Turns, needs_turn, 0.0);
        }
    }
    for (days, (brew_days, turns, firsts, longer)) in days {
        let mark = Mark { rule: RuleId::Turns, of: vec![Subject::Brewhouse], days: Some(days) };
        let mut hours = scaled(&turns, next);
        hours.extend(longer);
        hours.extend(scaled(&firsts, extra));
        let most = brewhouse.hours_per_day.hours() * brew_days;
        context.program.at_most_of(mark.clone(), RuleId::Turns, hours, most);
        context.program.at_most_of(mark, RuleId::Turns, turns, a_day * brew_days);
    }
}
