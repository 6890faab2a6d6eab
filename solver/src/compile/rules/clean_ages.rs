//! Fills of vessels that are still clean, sanitised fills, and vessels that are cleaned and filled in one slot.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Vessel;
use cellarwright_model::rule::RuleId;

use super::clean::opening;
use super::clean_dirt;
use super::clean_flow::{Flow, Flows};
use super::clean_times::{Fill, is_stale, may_fill_at_once, may_turn_around_at_once};
use super::outage;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// Fills within 24 h of a clean, sanitised fills, and dirt that is overdue; in the planned days only.
pub(super) fn add(context: &mut Context, flows: &Flows, group: GroupId) {
    let rule = RuleId::Clean;
    let none = Flow::default();
    let like = context.groups.get(group).like.clone();
    let (opening_dirty, opening_clean) = opening(context, group);
    let fine = context.grid.fine();
    let mut cleanings: Vec<Option<PeriodId>> = vec![None];
    cleanings.extend((0..fine).map(Some));
    for &cleaned in &cleanings {
        let mut split: Terms = Vec::new();
        split.extend(context.columns.to_stale.get(&(group, cleaned)).map(|&column| (column, 1.0)));
        for filled in cleaned.unwrap_or(0)..fine {
            split.extend(context.columns.fresh.get(&(group, cleaned, filled)).map(|&column| (column, 1.0)));
        }
        match cleaned {
            None => context.program.equal(rule, split, opening_clean as f64),
            Some(period) => {
                split.extend(context.columns.clean.get(&(group, period)).map(|&column| (column, -1.0)));
                context.program.equal(rule, split, 0.0);
            }
        }
    }
    for period in 0..fine {
        let flow = flows.get(&(group, period)).unwrap_or(&none);
        let mut fills: Terms =
            flow.filled.iter().flatten().map(|&(column, count)| (column, -count)).collect();
        for &cleaned in &cleanings {
            let fresh = context.columns.fresh.get(&(group, cleaned, period));
            fills.extend(fresh.map(|&column| (column, 1.0)));
        }
        fills.extend(context.columns.stale.get(&(group, period)).map(|&column| (column, 1.0)));
        context.program.equal(rule, fills, 0.0);

        if context.repeats {
            stale_are_left(context, group, period);
        } else {
            stale_were_cleaned(context, flows, group, period);
        }

        let at_once = context.columns.fresh.get(&(group, Some(period), period)).copied();
        if let Some(fresh) = at_once {
            fills_at_once(context, flow, &like, fresh, period, (group, opening_dirty));
        }
    }
    clean_dirt::overdue(context, flows, group);
    clean_dirt::hard_end(context, flows, group);
}

/// Fills of sanitised vessels up to a period are no more than vessels that were cleaned and had been clean for too long by then.
fn stale_were_cleaned(context: &mut Context, flows: &Flows, group: GroupId, period: PeriodId) {
    let mut stale: Terms = Vec::new();
    for earlier in 0..=period {
        stale.extend(context.columns.stale.get(&(group, earlier)).map(|&column| (column, 1.0)));
        // A clean vessel that upkeep has opened is there no more.
        stale.extend(
            flows.get(&(group, earlier)).filter(|_| earlier < period).iter().flat_map(|flow| &flow.soiled),
        );
    }
    let is_over = |cleaned| {
        is_stale(context, cleaned, period) || outage::is_opened_between(context, group, cleaned, period)
    };
    let cleanings = std::iter::once(None).chain((0..context.grid.fine()).map(Some));
    let over: Vec<Option<PeriodId>> = cleanings.filter(|&cleaned| is_over(cleaned)).collect();
    for cleaned in over {
        stale.extend(context.columns.to_stale.get(&(group, cleaned)).map(|&column| (column, -1.0)));
    }
    context.program.at_most(RuleId::Clean, stale, 0.0);
}

/// The same without a beginning: the vessels that are clean after a period are no fewer than those that were cleaned by then and
/// are filled later while still clean, or had not been clean for too long. (Without upkeep the difference of both sides is the same.)
fn stale_are_left(context: &mut Context, group: GroupId, period: PeriodId) {
    let columns = &context.columns;
    let mut row: Terms = vec![(columns.ready[&(group, period)], 1.0)];
    for cleaned in (0..=period).rev() {
        let waiting =
            columns.fresh.range((group, Some(cleaned), period + 1)..=(group, Some(cleaned), PeriodId::MAX));
        row.extend(waiting.map(|(_, &column)| (column, -1.0)));
        if is_stale(context, Some(cleaned), period) {
            break;
        }
        row.extend(columns.to_stale.get(&(group, Some(cleaned))).map(|&column| (column, -1.0)));
    }
    context.program.at_least(RuleId::Clean, row, 0.0);
}

/// Ways in which a vessel is ever filled.
fn kinds_of(vessel: &Vessel) -> Vec<Fill> {
    Fill::ALL.into_iter().filter(|fill| fill.is_of(vessel)).collect()
}

/// Fills of a period for which there is time in one slot, as terms to be taken off; none if there is for every way to fill the vessel.
fn in_time(flow: &Flow, like: &Vessel, may: impl Fn(Fill) -> bool) -> Option<Terms> {
    let kinds = kinds_of(like);
    let timely: Vec<Fill> = kinds.iter().copied().filter(|&fill| may(fill)).collect();
    let columns = timely.iter().flat_map(|&fill| &flow.filled[fill as usize]);
    (timely.len() < kinds.len()).then(|| columns.map(|&(column, count)| (column, -count)).collect())
}

/// What limits the vessels that a transfer empties and that are cleaned and filled in the same slot (negative terms); none if
/// nothing does. Where a vessel is filled in one way only, those emptied in time; otherwise the fills that are in time after the
/// longest of the transfers.
pub(super) fn turned_around(
    context: &Context,
    vessel: &Vessel,
    flow: &Flow,
    period: PeriodId,
) -> Option<Terms> {
    let may = |fill, takes| may_turn_around_at_once(context, vessel, fill, Slot(period), takes);
    let usual = context.case.transfer.takes();
    if let [fill] = kinds_of(vessel)[..] {
        let quick = flow.emptying.iter().filter(|&&(_, _, takes)| may(fill, takes));
        let quick: Terms = quick.map(|&(column, count, _)| (column, -count)).collect();
        let all_quick = match flow.emptying.len() {
            0 => may(fill, usual),
            all => quick.len() == all,
        };
        return (!all_quick).then_some(quick);
    }
    let longest = flow.emptying.iter().map(|&(_, _, takes)| takes).max().unwrap_or(usual);
    in_time(flow, vessel, |fill| may(fill, longest))
}

/// Vessels cleaned and filled in one slot: only by fills for which there is time; those emptied in it too only where there is
/// time even then, the others were dirty before.
fn fills_at_once(
    context: &mut Context,
    flow: &Flow,
    like: &Vessel,
    fresh: ColumnId,
    period: PeriodId,
    (group, opening_dirty): (GroupId, usize),
) {
    let slot = Slot(period);
    if let Some(mut row) = in_time(flow, like, |fill| may_fill_at_once(context, like, fill, slot)) {
        row.push((fresh, 1.0));
        context.program.at_most(RuleId::Clean, row, 0.0);
    }
    if let Some(mut row) = turned_around(context, like, flow, period) {
        row.push((fresh, 1.0));
        if let Some(before) = period.checked_sub(1) {
            row.push((context.columns.dirty[&(group, before)], -1.0));
        }
        let at_start = if period == 0 { opening_dirty as f64 } else { 0.0 };
        context.program.at_most(RuleId::Clean, row, at_start);
    }
}
