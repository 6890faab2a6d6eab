//! R27 full clean: after so many fills, and between a beer with a mark and one without it, a vessel is cleaned in full.
//!
//! Such a vessel is a group of one. In the planned days `full[p] <= clean[p]` (of a bright tank only: its fill in `p`), and with
//! `fills[p]` of the vessel in a slot
//! - fills since the last full clean: `since[p] >= fills[p]`, `since[p] >= since[p-1] + fills[p] - every x full[p]`, at most `every`;
//! - for each mark that it minds: `marked[p] >= fills[p]` of beers with it, `marked[p] >= marked[p-1] - full[p]`,
//!   `fills[p]` of beers without it `+ marked[p-1] <= 1 + full[p]`.
//!
//! A clean comes before the fill of its slot, so `full[p]` stands before `fills[p]`. In the look-ahead every clean is short.
//! What cannot come to be due in the planned days, and saves nothing, has neither columns nor rows. Rows that only tighten: fills up to a slot are at most
//! those left on day 0 and, for each full clean, as many as can follow it by then.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{FullClean, Marks, Turnaround, Vessel};
use cellarwright_model::ids::BeerId;
use cellarwright_model::rule::RuleId;

use super::{bright_rest, clean, full_clean_times};
use crate::compile::columns::{Filled, Leaving, Lot, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// A way to fill a vessel in a period.
#[derive(Clone, Copy, Debug)]
pub(super) struct Filling {
    pub(super) beer: BeerId,
    pub(super) column: ColumnId,
    pub(super) by: clean::Fill,
    /// What it makes of a bright or serving tank.
    pub(super) lot: Option<Lot>,
}

/// Ways to fill the vessel of a group, by slot of the planned days.
pub(super) type Fillings = BTreeMap<PeriodId, Vec<Filling>>;

/// Ways to fill the vessel of a group in the planned days.
fn fillings(context: &Context, group: GroupId) -> Fillings {
    let mut all = Fillings::new();
    let mut add = |period: PeriodId, filling: Filling| {
        if context.grid.is_fine(period) {
            all.entry(period).or_default().push(filling);
        }
    };
    for brew in context.columns.brews.iter().filter(|brew| brew.group == group) {
        let beer = context.kind(brew.kind).beer;
        add(brew.first(), Filling { beer, column: brew.column, by: clean::Fill::Brew, lot: None });
    }
    for ferment in &context.columns.ferments {
        if let Leaving::Moved { at, to } = ferment.leaving
            && to == group
        {
            let beer = context.kind(ferment.kind).beer;
            add(at, Filling { beer, column: ferment.column, by: clean::Fill::Transfer, lot: None });
        }
    }
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && let Filled::In(period) = lot.filled
            && lot.group == group
        {
            let by = clean::Fill::Transfer;
            add(period, Filling { beer: lot.beer, column: hold.column, by, lot: Some(lot) });
        }
    }
    all
}

/// Vessels that are cleaned in full from time to time.
fn groups(context: &Context) -> Vec<(GroupId, FullClean)> {
    let all = context.groups.ids();
    all.filter_map(|group| Some((group, context.groups.get(group).like.full_clean?))).collect()
}

/// Whether a full clean asks for less of something than a short one, so that it may be done without being due.
fn may_be_cheaper(context: &Context, group: GroupId, full: FullClean) -> bool {
    let group = context.groups.get(group);
    let mut roles = Role::ALL.into_iter();
    let asks_for_less = roles.any(|role| full.job.crew.of(role) < group.like.clean.crew.of(role));
    asks_for_less || context.case.clean_cost(group.vessels[0], true) < context.case.rates.clean
}

/// Whether there is time in its slot for a fill of a tank that is cleaned with its fill.
fn fits(context: &Context, vessel: &Vessel, filling: &Filling, slot: Slot) -> bool {
    let Some(lot) = filling.lot else { return false };
    if vessel.is_serve_only() {
        return bright_rest::may_fill_to_serve(context, vessel, slot);
    }
    bright_rest::may_fill(context, lot.beer, vessel, (lot.transfers, lot.volume), slot)
}

/// Adds the full cleans for which there is time.
pub fn add_columns(context: &mut Context) {
    if !context.keeps(RuleId::FullClean) {
        return;
    }
    for (group, full) in groups(context) {
        let fully = context.groups.get(group).like.cleaned(true);
        let fillings = fillings(context, group);
        let may_be_due = left_on_day_0(context, group, full, &fillings).is_some();
        if !may_be_due
            && !may_be_cheaper(context, group, full)
            && minded(context, group, full, &fillings).is_empty()
        {
            continue;
        }
        for period in 0..context.grid.fine() {
            let key = (group, period);
            let can_be = if fully.is_bright_only() {
                let mut of_slot = fillings.get(&period).into_iter().flatten();
                of_slot.any(|filling| fits(context, &fully, filling, Slot(period)))
            } else {
                let columns = &context.columns;
                let is_cleaned = columns.clean.contains_key(&key) || columns.clean_again.contains_key(&key);
                let is_kept = context.keeps(RuleId::Clean);
                is_cleaned && (!is_kept || clean::may_clean(context, &fully, Slot(period)))
            };
            if can_be {
                let column = context.program.column(0.0, 1.0, true);
                context.columns.full_cleans.insert(key, column);
            }
        }
    }
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    for (group, full) in groups(context) {
        let fillings = fillings(context, group);
        belong_to_cleans(context, group, &fillings);
        if let (Some(every), Some(left)) = (full.every, left_on_day_0(context, group, full, &fillings)) {
            count_fills(context, group, every, &fillings);
            if !context.repeats {
                bound_fills(context, group, (every, left), &fillings);
            }
        }
        for mark in minded(context, group, full, &fillings) {
            keep_marks_apart(context, group, mark, &fillings);
        }
        full_clean_times::add(context, group, &fillings);
    }
}

/// Fills that a vessel has left on day 0 before a full clean, where there may be more of them in the planned days.
fn left_on_day_0(context: &Context, group: GroupId, full: FullClean, fillings: &Fillings) -> Option<i64> {
    let left = full.every? - context.case.since_full(context.groups.get(group).vessels[0]).fills;
    let most = most_fills(context, group, fillings, 0, context.grid.fine());
    (most > left).then_some(left)
}

/// The most fills of a vessel in periods from the first to before the last: a bound, from the least time between two fills.
fn most_fills(context: &Context, group: GroupId, fillings: &Fillings, first: PeriodId, end: PeriodId) -> i64 {
    let like = &context.groups.get(group).like;
    let apart = match (like.is_bright_only(), like.refill) {
        (true, Turnaround::NextShift) => 2,
        _ => 1,
    };
    let (mut fills, mut next) = (0, first);
    for &period in fillings.keys() {
        if (next..end).contains(&period) {
            fills += 1;
            next = period + apart;
        }
    }
    fills
}

/// Marks that the short clean of a vessel leaves behind, that may be in it and that some later fill does not have.
fn minded(context: &Context, group: GroupId, full: FullClean, fillings: &Fillings) -> Vec<Marks> {
    let opening = context.case.since_full(context.groups.get(group).vessels[0]).marks;
    let fills: Vec<Marks> =
        fillings.values().flatten().map(|filling| context.case.beer(filling.beer).marks).collect();
    let each = (0..context.case.cleaning.marks.len()).map(|position| Marks(1 << position));
    let is_minded = |mark: &Marks| {
        let has = |marks: Marks| marks.common(*mark) != Marks::NONE;
        has(full.after)
            && (has(opening) || fills.iter().any(|&marks| has(marks)))
            && fills.iter().any(|&marks| !has(marks))
    };
    each.filter(is_minded).collect()
}

/// A full clean is the clean of its slot.
fn belong_to_cleans(context: &mut Context, group: GroupId, fillings: &Fillings) {
    let fully = context.groups.get(group).like.cleaned(true);
    for period in 0..context.grid.fine() {
        let key = (group, period);
        let Some(&full) = context.columns.full_cleans.get(&key) else { continue };
        let mut row: Terms = vec![(full, 1.0)];
        if fully.is_bright_only() {
            let of_slot = fillings.get(&period).into_iter().flatten();
            let fitting = of_slot.filter(|filling| fits(context, &fully, filling, Slot(period)));
            row.extend(fitting.map(|filling| (filling.column, -1.0)));
        } else {
            let cleans = [&context.columns.clean, &context.columns.clean_again];
            row.extend(cleans.iter().filter_map(|columns| columns.get(&key)).map(|&column| (column, -1.0)));
        }
        context.program.at_most(RuleId::FullClean, row, 0.0);
    }
}

fn count_fills(context: &mut Context, group: GroupId, every: i64, fillings: &Fillings) {
    let rule = RuleId::FullClean;
    let opening = context.case.since_full(context.groups.get(group).vessels[0]).fills;
    // The state before a slot: a constant on day 0, then a column.
    let (mut before, mut constant) = (Terms::new(), opening as f64);
    for period in 0..context.grid.fine() {
        let full = context.columns.full_cleans.get(&(group, period)).copied();
        let filled = fillings.get(&period).into_iter().flatten();
        let filled: Terms = filled.map(|filling| (filling.column, 1.0)).collect();
        if full.is_none() && filled.is_empty() {
            continue;
        }
        let since = context.program.column(0.0, every as f64, false);
        context.columns.since_full.insert((group, period), since);
        let mut only_here = filled.clone();
        only_here.push((since, -1.0));
        context.program.at_most(rule, only_here, 0.0);
        let mut carried = before.clone();
        carried.extend(filled);
        carried.extend(full.map(|full| (full, -(every as f64))));
        carried.push((since, -1.0));
        context.program.at_most(rule, carried, -constant);
        (before, constant) = (vec![(since, 1.0)], 0.0);
    }
}

/// Fills up to a slot by what can follow each full clean by then: no rule, it only makes the relaxation tighter.
fn bound_fills(context: &mut Context, group: GroupId, (every, left): (i64, i64), fillings: &Fillings) {
    for period in 0..context.grid.fine() {
        if !fillings.contains_key(&period) || most_fills(context, group, fillings, 0, period + 1) <= left {
            continue;
        }
        let mut row: Terms =
            fillings.range(..=period).flat_map(|(_, of_slot)| of_slot).map(|one| (one.column, 1.0)).collect();
        for cleaned in 0..=period {
            if let Some(&full) = context.columns.full_cleans.get(&(group, cleaned)) {
                let follow = most_fills(context, group, fillings, cleaned, period + 1).min(every);
                row.push((full, -(follow as f64)));
            }
        }
        context.program.at_most(RuleId::FullClean, row, left as f64);
    }
}

fn keep_marks_apart(context: &mut Context, group: GroupId, mark: Marks, fillings: &Fillings) {
    let rule = RuleId::FullClean;
    let has = |marks: Marks| marks.common(mark) != Marks::NONE;
    let opening = context.case.since_full(context.groups.get(group).vessels[0]).marks;
    let (mut before, mut constant) = (Terms::new(), if has(opening) { 1.0 } else { 0.0 });
    for period in 0..context.grid.fine() {
        let full = context.columns.full_cleans.get(&(group, period)).copied();
        let of_slot = fillings.get(&period).into_iter().flatten();
        let (with, without): (Vec<Filling>, Vec<Filling>) =
            of_slot.partition(|filling| has(context.case.beer(filling.beer).marks));
        if full.is_none() && with.is_empty() && without.is_empty() {
            continue;
        }
        let mut clash = before.clone();
        clash.extend(without.iter().map(|filling| (filling.column, 1.0)));
        clash.extend(full.map(|full| (full, -1.0)));
        context.program.at_most(rule, clash, 1.0 - constant);

        let marked = context.program.column(0.0, 1.0, false);
        context.columns.marked.insert((group, mark, period), marked);
        let mut only_here: Terms = with.iter().map(|filling| (filling.column, 1.0)).collect();
        if !only_here.is_empty() {
            only_here.push((marked, -1.0));
            context.program.at_most(rule, only_here, 0.0);
        }
        let mut carried = before.clone();
        carried.extend(full.map(|full| (full, -1.0)));
        carried.push((marked, -1.0));
        context.program.at_most(rule, carried, -constant);
        (before, constant) = (vec![(marked, 1.0)], 0.0);
    }
}
