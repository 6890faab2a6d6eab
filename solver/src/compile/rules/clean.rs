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

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Reach, Turnaround, Vessel};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use super::{calendar, filter, outage};
use crate::compile::columns::{Emptied, Filled, Leaving, Source};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// Cellar working days, the day of emptying not counted, after which dirt costs.
pub const OVERDUE_AFTER: i64 = 2;

/// Whether a vessel can be cleaned in a slot.
pub fn may_clean(context: &Context, vessel: &Vessel, slot: Slot) -> bool {
    calendar::works(context, Role::Cellar, slot) && vessel.clean.takes <= context.case.shift_hours(slot)
}

/// Whether a vessel emptied by a transfer of some clock time may be cleaned in the same slot.
pub fn may_clean_at_once(context: &Context, vessel: &Vessel, slot: Slot, emptying: Minutes) -> bool {
    vessel.clean_after == Turnaround::SameShift
        && emptying + vessel.clean.takes <= context.case.shift_hours(slot)
}

/// How a vessel is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// With wort.
    Brew,
    /// By a transfer: it conditions, or is used as a bright tank.
    Transfer,
}

impl Fill {
    /// Both, in their fixed order.
    pub const ALL: [Self; 2] = [Self::Brew, Self::Transfer];

    /// Whether a vessel is ever filled so.
    fn is_of(self, vessel: &Vessel) -> bool {
        match self {
            Self::Brew => vessel.uses.ferment,
            Self::Transfer => vessel.uses.bright || vessel.uses.condition,
        }
    }

    /// Clock time, purging included.
    fn takes(self, context: &Context, vessel: &Vessel) -> Minutes {
        match self {
            Self::Brew => context.case.brewhouse.next_turn.takes,
            Self::Transfer => vessel.purge.job.takes + filter::longest_filling(context, vessel, 1),
        }
    }
}

/// Whether a vessel may be filled so in the slot in which it is cleaned.
pub fn may_fill_at_once(context: &Context, vessel: &Vessel, fill: Fill, slot: Slot) -> bool {
    vessel.clean.takes + fill.takes(context, vessel) <= context.case.shift_hours(slot)
}

/// Whether a vessel may be emptied by a transfer of some clock time, cleaned and filled so in one slot. A vessel of several uses
/// is not filled by a transfer then: two of them could be filled from each other.
pub fn may_turn_around_at_once(
    context: &Context,
    vessel: &Vessel,
    fill: Fill,
    slot: Slot,
    emptying: Minutes,
) -> bool {
    let uses = [vessel.uses.ferment, vessel.uses.condition, vessel.uses.bright];
    let has_one_use = uses.into_iter().filter(|&used| used).count() == 1;
    let chain = emptying + vessel.clean.takes + fill.takes(context, vessel);
    (fill == Fill::Brew || has_one_use)
        && may_clean_at_once(context, vessel, slot, emptying)
        && chain <= context.case.shift_hours(slot)
}

/// Whether a vessel cleaned in `cleaned` (none: before day 0) is still clean at `filled`, and later than or equal to it.
pub fn is_fresh(context: &Context, vessel: &Vessel, cleaned: Option<PeriodId>, filled: PeriodId) -> bool {
    let times = &context.case.calendar;
    match cleaned {
        None => times.start(Slot(filled)) <= times.start(Slot(0)),
        Some(cleaned) if cleaned == filled => Fill::ALL
            .into_iter()
            .any(|fill| fill.is_of(vessel) && may_fill_at_once(context, vessel, fill, Slot(filled))),
        Some(cleaned) => {
            let stood = times.start(Slot(filled)) - times.start(Slot(cleaned));
            cleaned < filled && stood <= context.case.cleaning.stays_clean
        }
    }
}

/// Whether a vessel cleaned in `cleaned` has been clean for too long at `filled`.
fn is_stale(context: &Context, cleaned: Option<PeriodId>, filled: PeriodId) -> bool {
    let times = &context.case.calendar;
    match cleaned {
        None => times.start(Slot(filled)) > times.start(Slot(0)),
        Some(cleaned) => {
            times.start(Slot(filled)) - times.start(Slot(cleaned)) > context.case.cleaning.stays_clean
        }
    }
}

/// What happens in a group in a period.
#[derive(Clone, Debug, Default)]
struct Flow {
    by_transfer: Terms,
    /// The same by the clock time of the transfer.
    emptying: Vec<(ColumnId, f64, Minutes)>,
    otherwise: Terms,
    /// By `Fill` in its fixed order.
    filled: [Terms; 2],
    /// Clean before upkeep and dirty after it.
    soiled: Terms,
}

/// Clock time of the transfer that empties the fermenter of a batch; through a filter, of the whole batch.
pub fn emptying_takes(context: &Context, kind: KindId) -> Minutes {
    let kind = context.kind(kind);
    context.case.transfer_takes(context.case.beer(kind.beer), kind.tank_volume)
}

fn flows(context: &mut Context) -> BTreeMap<(GroupId, PeriodId), Flow> {
    let mut flows: BTreeMap<(GroupId, PeriodId), Flow> = BTreeMap::new();
    for (group, period) in outage::soiled(context) {
        let column = context.program.column(0.0, 1.0, true);
        flows.entry((group, period)).or_default().soiled.push((column, 1.0));
        let clean = context.columns.ready[&(group, period)];
        context.program.columns[clean.0].upper = 0.0;
    }
    for brew in &context.columns.brews {
        flows.entry((brew.group, brew.first())).or_default().filled[Fill::Brew as usize]
            .push((brew.column, 1.0));
    }
    for ferment in &context.columns.ferments {
        let term = (ferment.column, 1.0);
        match ferment.leaving {
            Leaving::Bright { last: Some(last), .. } => {
                let takes = emptying_takes(context, ferment.kind);
                let flow = flows.entry((ferment.group, last)).or_default();
                flow.by_transfer.push(term);
                flow.emptying.push((term.0, term.1, takes));
            }
            Leaving::Moved { at, to } => {
                let flow = flows.entry((ferment.group, at)).or_default();
                flow.by_transfer.push(term);
                flow.emptying.push((term.0, term.1, context.case.transfer.takes()));
                flows.entry((to, at)).or_default().filled[Fill::Transfer as usize].push(term);
            }
            Leaving::Dump(period) => {
                flows.entry((ferment.group, period)).or_default().otherwise.push(term);
            }
            Leaving::Bright { last: None, .. } | Leaving::Direct { .. } | Leaving::Stays => {}
        }
    }
    for hold in &context.columns.holds {
        let (group, filled) = match hold.source {
            Source::Direct(lot) => (lot.group, None),
            Source::Bright(lot) => match lot.filled {
                Filled::Opening(_) => (lot.group, None),
                Filled::In(period) => (lot.group, Some(period)),
            },
        };
        if context.groups.get(group).like.is_bright_only() {
            continue;
        }
        if let Some(period) = filled {
            flows.entry((group, period)).or_default().filled[Fill::Transfer as usize]
                .push((hold.column, 1.0));
        }
        if let Emptied::At(period) | Emptied::Dump(period) = hold.emptied {
            flows.entry((group, period)).or_default().otherwise.push((hold.column, 1.0));
        }
    }
    flows
}

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
            ages(context, &flows, group);
        }
    }
}

fn states(context: &mut Context, flows: &BTreeMap<(GroupId, PeriodId), Flow>, group: GroupId) {
    let rule = RuleId::Clean;
    let none = Flow::default();
    let like = context.groups.get(group).like.clone();
    let (opening_dirty, opening_clean) = opening(context, group);
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
        context.program.equal(rule, dirty, -dirty_at_start);

        let mut ready: Terms = vec![(context.columns.ready[&(group, period)], -1.0)];
        ready.extend(ready_before.map(|column| (column, 1.0)));
        ready.extend(clean.map(|column| (column, 1.0)));
        ready.extend(
            flow.filled.iter().flatten().chain(&flow.soiled).map(|&(column, count)| (column, -count)),
        );
        let ready_at_start = if period == 0 { opening_clean as f64 } else { 0.0 };
        context.program.equal(rule, ready, -ready_at_start);

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
            context.program.at_most(rule, limit, dirty_at_start);
        }
    }
}

/// Fills within 24 h of a clean, sanitised fills, and dirt that is overdue; in the planned days only.
fn ages(context: &mut Context, flows: &BTreeMap<(GroupId, PeriodId), Flow>, group: GroupId) {
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

        let mut stale: Terms = Vec::new();
        for earlier in 0..=period {
            stale.extend(context.columns.stale.get(&(group, earlier)).map(|&column| (column, 1.0)));
            // A clean vessel that upkeep has opened is there no more.
            stale.extend(
                flows
                    .get(&(group, earlier))
                    .filter(|_| earlier < period)
                    .iter()
                    .flat_map(|flow| &flow.soiled),
            );
        }
        let is_over = |cleaned| {
            is_stale(context, cleaned, period) || outage::is_opened_between(context, group, cleaned, period)
        };
        let over: Vec<Option<PeriodId>> =
            cleanings.iter().copied().filter(|&cleaned| is_over(cleaned)).collect();
        for cleaned in over {
            stale.extend(context.columns.to_stale.get(&(group, cleaned)).map(|&column| (column, -1.0)));
        }
        context.program.at_most(rule, stale, 0.0);

        let at_once = context.columns.fresh.get(&(group, Some(period), period)).copied();
        if let Some(fresh) = at_once {
            fills_at_once(context, flow, &like, fresh, period, (group, opening_dirty));
        }
    }
    overdue(context, flows, group);
    hard_end(context, flows, group);
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
fn turned_around(context: &Context, vessel: &Vessel, flow: &Flow, period: PeriodId) -> Option<Terms> {
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

fn overdue(context: &mut Context, flows: &BTreeMap<(GroupId, PeriodId), Flow>, group: GroupId) {
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
fn hard_end(context: &mut Context, flows: &BTreeMap<(GroupId, PeriodId), Flow>, group: GroupId) {
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
        let hours: f64 = context.grid.slots(period).map(|slot| context.case.shift_hours(slot).hours()).sum();
        for (sets, group) in set_groups(context, &jobs) {
            let terms = jobs.iter().filter(|(reach, _)| reach.is_within(group));
            let terms: Terms = terms.flat_map(|(_, terms)| terms.clone()).collect();
            context.program.at_most(RuleId::Clean, terms, sets * hours);
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
