//! Columns of brewing and fermenting: when a batch is begun, and when and how it leaves its fermenter.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Beer, MeasuredBatch};
use cellarwright_model::units::Minutes;

use super::{Brew, Course, DirectLot, Ferment, Leaving, Part, Source};
use crate::compile::context::{Context, Kind, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::turns as turns_rule;
use crate::compile::rules::{
    blend, bright_rest, calendar, conditioning, direct, fill_level, filter, outage, pinned, pressure, ready,
    stages, tank_work, uses, volume, wait,
};

/// Makes the kinds of batches: every beer and number of turns that some fermenter takes, and every opening batch.
pub fn kinds(context: &mut Context) {
    let case = context.case;
    for id in case.beer_ids() {
        let beer = case.beer(id);
        for (turns, part) in beer.batch_sizes() {
            let wort = case.wort_of(id, turns, part);
            let groups: Vec<GroupId> = context
                .groups
                .ids()
                .filter(|&group| {
                    let vessel = &context.groups.get(group).like;
                    uses::may_ferment(vessel)
                        && pressure::may_ferment(context, beer, vessel)
                        && fill_level::fits(context, vessel, wort)
                })
                .collect();
            let tank_volume = volume::after_tank(context, beer, wort);
            let direct_volume = beer.loss_direct.taken_off(tank_volume);
            let origin = Origin::New { turns, part };
            // Fermenters that reach different tanks make kinds of their own.
            let mut apart: BTreeMap<Vec<GroupId>, Vec<GroupId>> = BTreeMap::new();
            for &group in &groups {
                apart.entry(filter::reached(context, group)).or_default().push(group);
            }
            if apart.is_empty() {
                apart.insert(Vec::new(), Vec::new());
            }
            for groups in apart.into_values() {
                let measured = None;
                context.kinds.push(Kind { beer: id, origin, groups, measured, tank_volume, direct_volume });
            }
        }
    }
    for &measured in &case.fixed.measured {
        let beer = case.beer(measured.beer);
        let tank_volume = volume::after_tank(context, beer, measured.holds);
        context.kinds.push(Kind {
            beer: measured.beer,
            origin: Origin::New { turns: measured.turns, part: measured.part },
            groups: vec![context.groups.of(measured.vessel)],
            measured: Some(measured),
            tank_volume,
            direct_volume: beer.loss_direct.taken_off(tank_volume),
        });
    }
    for (position, tank) in case.in_tank.iter().enumerate().filter(|(_, tank)| !tank.is_bright) {
        let beer = case.beer(tank.beer);
        // What was moved already has left its loss in the fermenter.
        let was_moved = case.was_moved(tank);
        let tank_volume =
            if was_moved { tank.filled } else { volume::after_tank(context, beer, tank.filled) };
        context.kinds.push(Kind {
            beer: tank.beer,
            origin: Origin::Opening { in_tank: position },
            groups: vec![context.groups.of(tank.vessel)],
            measured: None,
            tank_volume,
            direct_volume: beer.loss_direct.taken_off(tank_volume),
        });
    }
    conditioning::add_kinds(context);
    context.divisions = context.kinds.iter().map(|kind| stages::divisions(context, kind)).collect();
    context.mixtures = blend::mixtures(context);
}

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    for id in (0..context.kinds.len()).map(KindId) {
        let kind = context.kind(id).clone();
        for &group in &kind.groups {
            match kind.origin {
                Origin::New { turns, .. } => {
                    for first in 0..context.grid.len() {
                        for turns in spreads(context, first, turns) {
                            let periods: Vec<PeriodId> = turns.iter().map(|&(period, _)| period).collect();
                            let is_meant = is_measured(context, group, &periods) == kind.measured;
                            if is_meant && outage::may_brew(context, group, &periods) {
                                add_brew(context, id, group, turns);
                            }
                        }
                    }
                }
                Origin::Opening { .. } => add_ferments(context, id, group, None),
                // Kinds that are moved come after those that they are made of.
                Origin::Moved { of } => {
                    for (filled, course) in conditioning::fills(context, of, group) {
                        add_ferments_of(context, id, group, filled, course, true);
                    }
                }
            }
        }
    }
}

/// What was measured of the batch in a vessel whose turns are in these periods, if it was.
fn is_measured(context: &Context, group: GroupId, periods: &[PeriodId]) -> Option<MeasuredBatch> {
    let last = *periods.last()?;
    let vessels = &context.groups.get(group).vessels;
    let mut all = context.case.fixed.measured.iter().filter(|_| context.grid.is_fine(last));
    let day = context.grid.period(last).first_day;
    all.find(|one| vessels.contains(&one.vessel) && one.on == day).copied()
}

/// Ways to spread the turns of a batch over periods from `first` on: (period, turns), the first entry at `first`.
fn spreads(context: &Context, first: PeriodId, turns: i64) -> Vec<Vec<(PeriodId, i64)>> {
    if outage::brewing_slots(context, first).is_empty() {
        return Vec::new();
    }
    let a_day = turns_rule::most_of_a_batch(context, first, turns).max(1);
    let days = outage::brewing_days(context, first).max(1);
    let most_here = if context.grid.is_fine(first) { a_day } else { a_day * days };
    if !context.grid.is_fine(first) {
        return if turns <= most_here { vec![vec![(first, turns)]] } else { Vec::new() };
    }
    let mut within: Vec<PeriodId> = Vec::new();
    let start = context.case.calendar.start(Slot(first));
    for period in first + 1..context.grid.fine() {
        let later = context.case.calendar.start(Slot(period)) - start;
        let is_within = later <= context.case.brewhouse.fill_within && later > Minutes::ZERO;
        if is_within && calendar::any(context, Role::Brew, period) {
            within.push(period);
        }
    }
    let mut all = Vec::new();
    for here in 1..=turns.min(most_here) {
        for rest in distribute(&within, turns - here, a_day) {
            let mut spread = vec![(first, here)];
            spread.extend(rest);
            all.push(spread);
        }
    }
    all
}

/// Ways to distribute turns over some of the periods, in order.
fn distribute(periods: &[PeriodId], turns: i64, a_day: i64) -> Vec<Vec<(PeriodId, i64)>> {
    if turns == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (position, &period) in periods.iter().enumerate() {
        for here in 1..=turns.min(a_day) {
            for rest in distribute(&periods[position + 1..], turns - here, a_day) {
                let mut spread = vec![(period, here)];
                spread.extend(rest);
                all.push(spread);
            }
        }
    }
    all
}

fn add_brew(context: &mut Context, kind: KindId, group: GroupId, turns: Vec<(PeriodId, i64)>) {
    if tank_work::courses(context, kind, group, turns.last().map(|turn| turn.0)).is_empty() {
        return;
    }
    let size = context.groups.get(group).size() as f64;
    let is_integer = turns.iter().all(|&(period, _)| context.grid.is_fine(period));
    let column = context.program.column(0.0, size, is_integer);
    let brew = Brew { kind, group, turns, column };
    let last = brew.last();
    let is_new = !context
        .columns
        .brews
        .iter()
        .any(|other| (other.kind, other.group, other.last()) == (kind, group, last));
    context.columns.brews.push(brew);
    if is_new {
        add_ferments(context, kind, group, Some(last));
    }
}

fn add_ferments(context: &mut Context, kind: KindId, group: GroupId, filled: Option<PeriodId>) {
    for (position, course) in tank_work::courses(context, kind, group, filled).into_iter().enumerate() {
        add_ferments_of(context, kind, group, filled, course, position == 0);
    }
}

/// Columns of one course; pouring away in the planned days asks for no tank work and belongs to the first.
fn add_ferments_of(
    context: &mut Context,
    kind: KindId,
    group: GroupId,
    filled: Option<PeriodId>,
    course: Course,
    is_first: bool,
) {
    let mut ways: Vec<Leaving> = Vec::new();
    let is_open_ended = course.leaves.1 == i64::MAX;
    let end_day = context.case.calendar.days() as i64;
    // What was moved has come into its vessel at another time: `conditioning` sees to its upkeep.
    let is_moved = matches!(context.kind(kind).origin, Origin::Moved { .. });
    let stays = is_moved || course.stays_there && outage::may_stay(context, group, filled, None);
    let has_work = !tank_work::pieces(context, kind).is_empty();
    if stays && is_open_ended && (wait::may_leave(context, kind, filled, end_day) || filled.is_none()) {
        ways.push(Leaving::Stays);
    }
    for period in filled.unwrap_or(0)..context.grid.len() {
        if !is_moved && !outage::may_stay(context, group, filled, Some(period)) {
            continue;
        }
        if course.stays_there || is_moved {
            ways.extend(bright_ways(context, kind, group, filled, &course, period));
            ways.extend(direct_ways(context, kind, group, filled, &course, period));
            ways.extend(part_ways(context, kind, group, filled, &course, period));
        }
        ways.extend(conditioning::ways(context, kind, group, &course, period));
        let may_dump = match context.grid.is_fine(period) {
            true => is_first && !(is_moved && has_work),
            false => is_open_ended && (is_moved || course.stays_there),
        };
        let mut slots = outage::working_with(context, Role::Cellar, group, period).into_iter();
        let can_dump = slots.any(|slot| pinned::may_dump(context, group, slot));
        if may_dump && filled.is_none() && can_dump {
            ways.push(Leaving::Dump(period));
        }
    }
    let size = if filled.is_none() { 1.0 } else { context.groups.get(group).size() as f64 };
    for leaving in ways {
        let is_integer = match leaving {
            Leaving::Bright { first, last } => context.grid.is_fine(last.unwrap_or(first)),
            Leaving::Direct { first, .. } | Leaving::Dump(first) | Leaving::Moved { at: first, .. } => {
                context.grid.is_fine(first)
            }
            Leaving::Stays => context.grid.fine() == context.grid.len(),
        };
        let column = context.program.column(0.0, size, is_integer);
        let course = course.clone();
        context.columns.ferments.push(Ferment { kind, group, filled, course, leaving, column });
    }
}

/// Whether a batch may begin to leave in a slot, whatever the route.
pub fn may_leave(
    context: &Context,
    kind: KindId,
    filled: Option<PeriodId>,
    course: &Course,
    slot: Slot,
) -> bool {
    let day = context.case.calendar.day(slot) as i64;
    let is_later = match filled {
        Some(period) if context.grid.is_fine(period) => slot.0 > period,
        _ => true,
    };
    let is_after_work = course.leaves.0 <= day && day <= course.leaves.1;
    is_later
        && is_after_work
        && ready::may_leave(context, kind, course.ready.0, day)
        && wait::may_leave(context, kind, filled, day)
}

fn bright_ways(
    context: &Context,
    kind: KindId,
    group: GroupId,
    filled: Option<PeriodId>,
    course: &Course,
    first: PeriodId,
) -> Vec<Leaving> {
    let is_moved = matches!(context.kind(kind).origin, Origin::Moved { .. });
    let is_mixed = context.mixtures.iter().any(|mixture| mixture.kinds.contains(&kind));
    let most = context.divisions[kind.0].iter().map(Vec::len).max().unwrap_or(0).max(usize::from(is_mixed));
    let starts: Vec<Slot> = outage::working_with(context, Role::Cellar, group, first)
        .into_iter()
        .filter(|&slot| may_leave(context, kind, filled, course, slot))
        .collect();
    if most == 0 || starts.is_empty() {
        return Vec::new();
    }
    if most == 1 {
        return vec![Leaving::Bright { first, last: Some(first) }];
    }
    // Stages do not reach from the planned days into the look-ahead, and two fall in one period there: restrictions of the program.
    let mut ways = Vec::new();
    let since = if is_moved { Some(first) } else { filled };
    for last in first..context.grid.len() {
        let reaches_over = last > first && !context.grid.is_fine(last);
        if reaches_over && (most <= 2 || context.grid.is_fine(first)) {
            break;
        }
        if !outage::may_stay(context, group, since, Some(last)) {
            continue;
        }
        let mut ends = outage::working_with(context, Role::Cellar, group, last).into_iter();
        if ends.any(|end| starts.iter().any(|&start| stages::soon_enough(context, Role::Cellar, start, end)))
        {
            ways.push(Leaving::Bright { first, last: Some(last) });
        }
    }
    // The horizon may end before the last stage, if it ends while the last stage is still in time.
    let stays_in_time = (first..context.grid.len()).all(|period| {
        let ends = calendar::working(context, Role::Cellar, period);
        let is_soon =
            |&end: &Slot| starts.iter().any(|&start| stages::soon_enough(context, Role::Cellar, start, end));
        ends.is_empty() || ends.iter().any(is_soon)
    });
    let may_stay = outage::may_stay(context, group, since, None);
    if context.case.calendar.look_ahead_days == 0 && stays_in_time && may_stay {
        ways.push(Leaving::Bright { first, last: None });
    }
    ways
}

fn direct_ways(
    context: &Context,
    kind: KindId,
    group: GroupId,
    filled: Option<PeriodId>,
    course: &Course,
    first: PeriodId,
) -> Vec<Leaving> {
    let beer = context.case.beer(context.kind(kind).beer);
    let source = Source::Direct(DirectLot { kind, group, part: None, first });
    let is_fine = context.grid.is_fine(first);
    let may_begin = super::holding::drawing_slots(context, source, first).into_iter().any(|slot| {
        may_leave(context, kind, filled, course, slot)
            && (is_fine || direct::may_be_carbonated_before(context, kind, course, slot))
    });
    if !may_be_direct(context, kind, group) || !may_begin {
        return Vec::new();
    }
    let carbonated = if direct::is_carbonated_here(context, kind) && !is_fine {
        vec![Some(first)]
    } else {
        carbonatings(context, beer, (kind, group, filled), course, first)
    };
    carbonated.into_iter().map(|carbonated| Leaving::Direct { part: None, carbonated, first }).collect()
}

/// Ways in which a part of a batch is moved in `at`, and the rest packaged from the fermenter, all in the planned days.
fn part_ways(
    context: &Context,
    kind: KindId,
    group: GroupId,
    filled: Option<PeriodId>,
    course: &Course,
    at: PeriodId,
) -> Vec<Leaving> {
    let beer = context.case.beer(context.kind(kind).beer);
    let is_possible = beer.both
        && context.grid.is_fine(at)
        && may_be_direct(context, kind, group)
        && may_leave(context, kind, filled, course, Slot(at))
        && context.opening(kind).is_none_or(|tank| !tank.carbonated);
    if !is_possible {
        return Vec::new();
    }
    let since = if matches!(context.kind(kind).origin, Origin::Moved { .. }) { Some(at) } else { filled };
    let mut ways = Vec::new();
    for (to, leaves) in direct::parts(context, kind, group) {
        let is_there = outage::is_vessel_there(context, group, Slot(at));
        let vessel = &context.groups.get(to).like;
        let arrives = context.case.arrives(beer, leaves);
        let may_fill = outage::working_with(context, Role::Cellar, to, at)
            .into_iter()
            .any(|slot| bright_rest::may_fill(context, context.kind(kind).beer, vessel, (1, arrives), slot));
        if !is_there || !may_fill {
            continue;
        }
        let part = Part { at, to, leaves };
        for first in at + 1..context.grid.fine() {
            let source = Source::Direct(DirectLot { kind, group, part: Some(part), first });
            let slots = super::holding::drawing_slots(context, source, first);
            let is_soon =
                slots.iter().any(|&slot| stages::soon_enough(context, Role::Package, Slot(at), slot));
            if !is_soon || !outage::may_stay(context, group, since, Some(first)) {
                continue;
            }
            for carbonated in carbonatings(context, beer, (kind, group, filled), course, first) {
                if carbonated.is_none_or(|carbonated| carbonated >= at) {
                    ways.push(Leaving::Direct { part: Some(part), carbonated, first });
                }
            }
        }
    }
    ways
}

/// Whether a batch may be packaged from its fermenter, or fill a tank that is only poured from.
fn may_be_direct(context: &Context, kind: KindId, group: GroupId) -> bool {
    let vessel = &context.groups.get(group).like;
    let beer = context.case.beer(context.kind(kind).beer);
    uses::may_package_from(context, beer, vessel)
        && pressure::may_carbonate(context, beer, vessel)
        && can_give(context, kind, group)
}

/// Slots in which a batch may be carbonated that is first packaged from in `first`, a slot of the planned days; just none where
/// it is not carbonated.
fn carbonatings(
    context: &Context,
    beer: &Beer,
    (kind, group, filled): (KindId, GroupId, Option<PeriodId>),
    course: &Course,
    first: PeriodId,
) -> Vec<Option<PeriodId>> {
    if !direct::is_carbonated_here(context, kind) {
        return vec![None];
    }
    let mut found = Vec::new();
    for slot in direct::carbonating_slots(context, beer, Slot(first)) {
        let day = context.case.calendar.day(slot) as i64;
        let is_later = filled.is_none_or(|filled| slot.0 > filled) && slot.0 >= course.carbonates_from;
        let is_there = outage::is_vessel_there(context, group, slot);
        if is_later && is_there && ready::may_carbonate(context, kind, course.ready.0, day) {
            found.push(Some(slot.0));
        }
    }
    found
}

fn can_give(context: &Context, kind: KindId, group: GroupId) -> bool {
    let source = Source::Direct(DirectLot { kind, group, part: None, first: 0 });
    volume::lines_of(context, source) != 0 || !super::serve_only::reached(context, source).is_empty()
}
