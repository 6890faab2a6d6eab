//! Columns of the brewhouse's first turns, of overtime, and of the states of empty fermenters.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::rule::RuleId;

use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::{calendar, clean, outage, pinned};

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    add_first_turns(context);
    add_overtime(context);
    for group in context.groups.ids() {
        if !context.groups.get(group).like.is_bright_only() {
            add_states(context, group);
        }
    }
}

fn add_first_turns(context: &mut Context) {
    let brewhouse = &context.case.brewhouse;
    if brewhouse.first_turn == brewhouse.next_turn {
        return;
    }
    for period in 0..context.grid.len() {
        let is_used = context.columns.brews.iter().any(|brew| brew.turns.iter().any(|turn| turn.0 == period));
        if is_used {
            let is_fine = context.grid.is_fine(period);
            let days = outage::brewing_days(context, period).max(1);
            let most = if is_fine { 1.0 } else { days as f64 };
            let first = context.program.column(0.0, most, is_fine);
            context.columns.first_turns.insert(period, first);
        }
    }
}

fn add_overtime(context: &mut Context) {
    for crew in context.case.crew_ids() {
        let Some(limit) = context.case.crew(crew).overtime else { continue };
        for period in 0..context.grid.len() {
            let there =
                context.grid.slots(period).filter(|&slot| context.case.crew_hours(crew, slot).0 > 0).count();
            if there > 0 && limit.at_most.0 > 0 {
                let most = limit.at_most.hours() * there as f64;
                let column = context.program.column(0.0, most, false);
                context.columns.overtime.insert((crew, period), column);
            }
        }
    }
}

fn add_states(context: &mut Context, group: GroupId) {
    let like = context.groups.get(group).like.clone();
    let size = context.groups.get(group).size() as f64;
    let fine = context.grid.fine();
    for period in 0..context.grid.len() {
        let is_fine = context.grid.is_fine(period);
        let is_there = |&slot: &Slot| outage::is_vessel_there(context, group, slot);
        let there: Vec<Slot> = context.grid.slots(period).filter(is_there).collect();
        let can_clean = there.iter().any(|&slot| clean::may_clean(context, &like, slot));
        if can_clean || (!there.is_empty() && !context.keeps(RuleId::Clean)) {
            let most = if is_fine { size } else { f64::INFINITY };
            let column = context.program.column(0.0, most, is_fine);
            context.columns.clean.insert((group, period), column);
        }
        if can_clean && pinned::asks_to_clean(context, group, period) {
            let column = context.program.column(0.0, 1.0, true);
            context.columns.clean_again.insert((group, period), column);
        }
        let dirty = context.program.column(0.0, size, false);
        context.columns.dirty.insert((group, period), dirty);
        let ready = context.program.column(0.0, size, false);
        context.columns.ready.insert((group, period), ready);
    }
    if !context.keeps(RuleId::Clean) {
        return;
    }
    if context.case.cleaning.clean_within.is_some() && clean::opening(context, group).0 > 0 {
        for period in (0..fine)
            .filter(|&period| context.columns.clean.contains_key(&(group, period)))
            .collect::<Vec<_>>()
        {
            let column = context.program.column(0.0, size, true);
            context.columns.clean_opening.insert((group, period), column);
        }
    }
    let mut cleanings: Vec<Option<PeriodId>> = vec![None];
    cleanings
        .extend((0..fine).filter(|&period| context.columns.clean.contains_key(&(group, period))).map(Some));
    for cleaned in cleanings {
        for filled in cleaned.unwrap_or(0)..fine {
            let is_opened = outage::is_opened_between(context, group, cleaned, filled);
            if !is_opened && clean::is_fresh(context, &like, cleaned, filled) {
                let column = context.program.column(0.0, size, true);
                context.columns.fresh.insert((group, cleaned, filled), column);
            }
        }
        let column = context.program.column(0.0, size, true);
        context.columns.to_stale.insert((group, cleaned), column);
    }
    for period in 0..fine {
        if !calendar::any(context, Role::Cellar, period) {
            continue;
        }
        let column = context.program.column(0.0, size, true);
        context.columns.stale.insert((group, period), column);
    }
    for day in 0..context.case.calendar.planned_days as i64 {
        let column = context.program.column(0.0, size, false);
        context.columns.old.insert((group, day), column);
    }
}
