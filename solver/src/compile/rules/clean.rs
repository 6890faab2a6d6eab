//! R08 clean: a vessel is cleaned between two fills, on a cleaning set; clean for so long, then sanitised; dirty too long costs.
//!
//! Fermenters (every vessel with `ferment`) flow through states, counted by group:
//! `dirty[p] = dirty[p-1] + emptied[p] - clean[p]`, `ready[p] = ready[p-1] + clean[p] - filled[p]`, both never negative.
//! In the planned days each clean splits into fills while it stays clean (`fresh`) and the rest (`to_stale`), which is sanitised
//! when filled (`stale`). A vessel emptied by a transfer may be cleaned, and filled, in the same slot where the hours fit.
//! `old[d] >= dirty at the end of day d - emptied too late to be overdue` costs.
//! Rows for the cleaning sets: clock time of all cleans in a period <= sets x shift hours; with named sets, for every group of
//! sets that hang together, of the cleans that only these can do.
//! A pin may ask for a clean of a vessel that is clean (`clean_again`): work and cost alone, it counts as clean since the clean before.
//! With a hard end (`clean_within`) vessels dirty since before day 0 are cleaned apart (`clean_opening`), and at the end of
//! each day the others that are dirty are no more than were emptied too late to be overdue.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Reach;
use cellarwright_model::rule::RuleId;

use super::calendar;
use super::clean_ages;
use super::clean_flow::{Flow, Flows, flows};
pub use super::clean_times::{
    Fill, emptying_takes, is_fresh, may_clean, may_clean_at_once, may_fill_at_once, may_turn_around_at_once,
};
use crate::compile::columns::{Filled, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;
use crate::compile::without::{Mark, Subject};

/// Fermenters that are dirty, and clean and empty, on day 0.
pub fn opening(context: &Context, group: GroupId) -> (usize, usize) {
    let vessels = &context.groups.get(group).vessels;
    let dirty = vessels.iter().filter(|vessel| context.case.dirty.contains(vessel)).count();
    let full = vessels
        .iter()
        .filter(|&&vessel| context.case.in_tank.iter().any(|tank| tank.vessel == vessel))
        .count();
    (dirty, vessels.len() - dirty - full)
}

/// Writes the rows of the states.
pub fn add(context: &mut Context) {
    let flows = flows(context);
    for group in context.groups.ids() {
        if context.groups.get(group).like.is_bright_only() {
            continue;
        }
        states(context, &flows, group);
        if context.keeps(RuleId::Clean) {
            clean_ages::add(context, &flows, group);
        }
    }
}

fn states(context: &mut Context, flows: &Flows, group: GroupId) {
    let rule = RuleId::Clean;
    let none = Flow::default();
    let like = context.groups.get(group).like.clone();
    let (opening_dirty, opening_clean) = opening(context, group);
    // These rows say both that a vessel holds one batch at a time and that it is cleaned in between.
    let mark = Mark { rule: RuleId::OneBatch, of: vec![context.vessels(group)], days: None };
    for period in 0..context.grid.len() {
        let flow = flows.get(&(group, period)).unwrap_or(&none);
        let clean = context.columns.clean.get(&(group, period)).copied();
        let before = |columns: &BTreeMap<(GroupId, PeriodId), _>| {
            period.checked_sub(1).and_then(|before| columns.get(&(group, before)).copied())
        };
        let dirty_before = before(&context.columns.dirty);
        let ready_before = before(&context.columns.ready);
        let mut dirty: Terms = vec![(context.columns.dirty[&(group, period)], -1.0)];
        dirty.extend(dirty_before.map(|column| (column, 1.0)));
        dirty.extend(&flow.by_transfer);
        dirty.extend(&flow.otherwise);
        dirty.extend(&flow.soiled);
        dirty.extend(clean.map(|column| (column, -1.0)));
        let dirty_at_start = if period == 0 { opening_dirty as f64 } else { 0.0 };
        context.program.equal_of(mark.clone(), rule, dirty, -dirty_at_start);

        let mut ready: Terms = vec![(context.columns.ready[&(group, period)], -1.0)];
        ready.extend(ready_before.map(|column| (column, 1.0)));
        ready.extend(clean.map(|column| (column, 1.0)));
        ready.extend(
            flow.filled.iter().flatten().chain(&flow.soiled).map(|&(column, count)| (column, -count)),
        );
        let ready_at_start = if period == 0 { opening_clean as f64 } else { 0.0 };
        context.program.equal_of(mark.clone(), rule, ready, -ready_at_start);

        if let Some(&again) = context.columns.clean_again.get(&(group, period)) {
            // It is clean and empty before, and filled in a later slot.
            let mut empty: Terms = vec![(again, 1.0)];
            empty.extend(ready_before.map(|column| (column, -1.0)));
            context.program.at_most(rule, empty, ready_at_start);
            let mut once: Terms = vec![(again, 1.0)];
            once.extend(flow.filled.iter().flatten());
            context.program.at_most(rule, once, 1.0);
        }
        if let (Some(clean), true) = (clean, context.grid.is_fine(period)) {
            let mut limit: Terms = vec![(clean, 1.0)];
            limit.extend(dirty_before.map(|column| (column, -1.0)));
            for &(column, count, takes) in &flow.emptying {
                if may_clean_at_once(context, &like, Slot(period), takes) {
                    limit.push((column, -count));
                }
            }
            context.program.at_most_of(mark.clone(), rule, limit, dirty_at_start);
        }
    }
}

/// Clock time of cleans in a period by the sets that can do them.
type Jobs = BTreeMap<Reach, Terms>;

/// Writes the rows of the cleaning sets.
pub fn add_sets(context: &mut Context) {
    let mut time: BTreeMap<PeriodId, Jobs> = BTreeMap::new();
    let mut add = |period: PeriodId, reach: Reach, column, hours: f64| {
        time.entry(period).or_default().entry(reach).or_default().push((column, hours));
    };
    for (&(group, period), &column) in context.columns.clean.iter().chain(&context.columns.clean_again) {
        let like = &context.groups.get(group).like;
        add(period, like.reach, column, like.clean.takes.hours());
    }
    for (&(group, period), &column) in &context.columns.full_cleans {
        let like = &context.groups.get(group).like;
        let longer = like.cleaning(true).takes - like.clean.takes;
        add(period, like.reach, column, longer.hours());
    }
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && let Filled::In(period) = lot.filled
        {
            let like = &context.groups.get(lot.group).like;
            if like.is_bright_only() {
                add(period, like.reach, hold.column, like.clean.takes.hours());
            }
        }
    }
    for (&(line, period), &column) in &context.columns.line_on {
        let line = context.case.line(line);
        add(period, line.reach, column, line.clean_down.hours());
    }
    for (period, jobs) in time {
        let hours = calendar::clock_hours(context, period);
        for (sets, group) in set_groups(context, &jobs) {
            let terms = jobs.iter().filter(|(reach, _)| reach.is_within(group));
            let terms: Terms = terms.flat_map(|(_, terms)| terms.clone()).collect();
            let days = Some(context.days_of(period));
            let mark = Mark { rule: RuleId::Clean, of: vec![Subject::CleaningSets], days };
            context.program.at_most_of(mark, RuleId::Clean, terms, sets * hours);
        }
    }
}

/// Groups of cleaning sets that need a row, with their number: those that hang together by the cleans that only they can
/// do. The hours of a set can be divided, so these rows are enough (Hall's condition).
fn set_groups(context: &Context, jobs: &Jobs) -> Vec<(f64, Reach)> {
    let named = context.case.cleaning.named.len();
    if named == 0 {
        return vec![(context.case.cleaning_sets as f64, Reach::ALL)];
    }
    let mut groups = Vec::new();
    for group in (1..1_u64 << named).map(Reach) {
        let mut within: Vec<Reach> =
            jobs.keys().copied().filter(|reach| reach.0 != 0 && reach.is_within(group)).collect();
        let Some(mut joined) = within.pop() else { continue };
        while let Some(position) = within.iter().position(|reach| reach.0 & joined.0 != 0) {
            joined.0 |= within.swap_remove(position).0;
        }
        if joined == group {
            groups.push((f64::from(group.0.count_ones()), group));
        }
    }
    groups
}
