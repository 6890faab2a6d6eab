//! Dirty vessels: what costs because it is overdue, and the hard end (`clean_within`).

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::rule::RuleId;

use super::calendar;
use super::clean::opening;
use super::clean_ages::turned_around;
use super::clean_flow::{Flow, Flows};
use super::clean_times::may_clean_at_once;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

/// Cellar working days, the day of emptying not counted, after which dirt costs.
const OVERDUE_AFTER: i64 = 2;

/// Dirt that costs: vessels that are dirty at the end of a day, less those emptied too late to be overdue.
pub(super) fn overdue(context: &mut Context, flows: &Flows, group: GroupId) {
    let shifts = context.case.calendar.shifts.len();
    let days = context.case.calendar.planned_days;
    let (opening_dirty, _) = opening(context, group);
    let is_working = cellar_days(context);
    for day in 0..days {
        let Some(&old) = context.columns.old.get(&(group, day as i64)) else { continue };
        let mut row: Terms = vec![(old, 1.0)];
        row.push((context.columns.dirty[&(group, (day + 1) * shifts - 1)], -1.0));
        let worked = |from: usize| is_working[from..=day].iter().filter(|&&works| works).count() as i64;
        for emptied in (0..=day).filter(|&emptied| worked(emptied + 1) < OVERDUE_AFTER) {
            for period in emptied * shifts..(emptied + 1) * shifts {
                if let Some(flow) = flows.get(&(group, period)) {
                    row.extend(&flow.by_transfer);
                    row.extend(&flow.otherwise);
                    row.extend(&flow.soiled);
                }
            }
        }
        let excused = if worked(0) < OVERDUE_AFTER { opening_dirty as f64 } else { 0.0 };
        context.program.at_least(RuleId::Clean, row, -excused);
    }
}

/// The hard end of dirt: vessels emptied in the planned days are cleaned by the last of so many working days; those that
/// are dirty since before day 0 are not bound, so their cleans are counted apart.
pub(super) fn hard_end(context: &mut Context, flows: &Flows, group: GroupId) {
    let Some(within) = context.case.cleaning.clean_within else { return };
    let rule = RuleId::Clean;
    let shifts = context.case.calendar.shifts.len();
    let like = context.groups.get(group).like.clone();
    let (opening_dirty, _) = opening(context, group);
    let cleaned_by = |context: &Context, period: PeriodId| -> Terms {
        let cleans = context.columns.clean_opening.range((group, 0)..=(group, period));
        cleans.map(|(_, &column)| (column, 1.0)).collect()
    };
    for period in 0..context.grid.fine() {
        let Some(&opening) = context.columns.clean_opening.get(&(group, period)) else { continue };
        let clean = context.columns.clean[&(group, period)];
        context.program.at_most(rule, vec![(opening, 1.0), (clean, -1.0)], 0.0);
        context.program.at_most(rule, cleaned_by(context, period), opening_dirty as f64);
        // The other cleans: dirty before less those of day 0 that are left, and what is emptied by a transfer now.
        let mut others: Terms = vec![(clean, 1.0), (opening, -1.0)];
        let mut limit = 0.0;
        if let Some(before) = period.checked_sub(1) {
            others.push((context.columns.dirty[&(group, before)], -1.0));
            others.extend(cleaned_by(context, before).into_iter().map(|(column, _)| (column, -1.0)));
            limit = -(opening_dirty as f64);
        }
        let none = Flow::default();
        let flow = flows.get(&(group, period)).unwrap_or(&none);
        for &(column, count, takes) in &flow.emptying {
            if may_clean_at_once(context, &like, Slot(period), takes) {
                others.push((column, -count));
            }
        }
        context.program.at_most(rule, others, limit);
        let fresh = context.columns.fresh.get(&(group, Some(period), period)).copied();
        if let (Some(fresh), Some(mut row)) = (fresh, turned_around(context, &like, flow, period)) {
            row.push((fresh, 1.0));
            row.extend(cleaned_by(context, period).into_iter().map(|(column, _)| (column, -1.0)));
            let before = period.checked_sub(1).map(|before| context.columns.dirty[&(group, before)]);
            row.extend(before.map(|column| (column, -1.0)));
            let limit = if before.is_some() { -(opening_dirty as f64) } else { 0.0 };
            context.program.at_most(rule, row, limit);
        }
    }
    let is_working = cellar_days(context);
    for day in 0..context.case.calendar.planned_days {
        let end = (day + 1) * shifts - 1;
        let mut row: Terms = vec![(context.columns.dirty[&(group, end)], 1.0)];
        row.extend(cleaned_by(context, end));
        let worked = |from: usize| is_working[from..=day].iter().filter(|&&works| works).count() as i64;
        for emptied in (0..=day).filter(|&emptied| worked(emptied + 1) < within) {
            for period in emptied * shifts..(emptied + 1) * shifts {
                if let Some(flow) = flows.get(&(group, period)) {
                    let emptied = flow.by_transfer.iter().chain(&flow.otherwise).chain(&flow.soiled);
                    row.extend(emptied.map(|&(column, count)| (column, -count)));
                }
            }
        }
        context.program.at_most(rule, row, opening_dirty as f64);
    }
}

/// Whether the cellar works on each of the planned days.
fn cellar_days(context: &Context) -> Vec<bool> {
    let shifts = context.case.calendar.shifts.len();
    let works = |day: usize| {
        (0..shifts).any(|shift| calendar::works(context, Role::Cellar, Slot(day * shifts + shift)))
    };
    (0..context.case.calendar.planned_days).map(works).collect()
}
