//! R03 turns: at most `turns_per_day` turns a day within the brewhouse's clock hours; the first of a day takes longer.
//!
//! Rows, per day (per period in the look-ahead, times its brewing days): turns <= `turns_per_day`;
//! next x turns + (first - next) x first turns <= hours per day; turns in a slot <= turns a day x first turns up to that slot.

use std::collections::BTreeMap;

use cellarwright_model::rule::RuleId;

use super::outage;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{Terms, scaled};

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

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let turns = turns(context);
    let brewhouse = &context.case.brewhouse;
    let a_day = brewhouse.turns_per_day as f64;
    let next = brewhouse.next_turn.takes.hours();
    let extra = brewhouse.first_turn.takes.hours() - next;
    let mut days: BTreeMap<i64, (f64, Terms, Terms)> = BTreeMap::new();
    for (&period, terms) in &turns {
        let here = context.grid.period(period).clone();
        let brew_days = outage::brewing_days(context, period).max(1) as f64;
        let day = days.entry(here.first_day).or_insert((brew_days, Vec::new(), Vec::new()));
        day.1.extend(terms);
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
    for (brew_days, turns, firsts) in days.into_values() {
        let mut hours = scaled(&turns, next);
        hours.extend(scaled(&firsts, extra));
        context.program.at_most(RuleId::Turns, hours, brewhouse.hours_per_day.hours() * brew_days);
        context.program.at_most(RuleId::Turns, turns, a_day * brew_days);
    }
}
