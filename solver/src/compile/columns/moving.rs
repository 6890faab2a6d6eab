//! Columns of moving beer from fermenters into bright tanks.

use cellarwright_model::calendar::Role;

use super::{Blend, Filled, Leaving, Lot, Movement, Stage};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::blend::Mixture;
use crate::compile::rules::{bright_rest, outage, stages};

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    for id in (0..context.kinds.len()).map(KindId) {
        add_movements(context, id);
    }
    add_blends(context);
}

/// Fermenters of a kind that may be moved at once in a period, by what tells them from others.
fn sources(context: &Context, kind: KindId, period: PeriodId) -> Vec<(KindId, Option<GroupId>)> {
    let mut found = Vec::new();
    for ferment in context.columns.ferments.iter().filter(|ferment| ferment.kind == kind) {
        let source = (kind, context.named(ferment.group));
        let leaves = ferment.leaving == Leaving::Bright { first: period, last: Some(period) };
        if leaves && !found.contains(&source) {
            found.push(source);
        }
    }
    found.sort_unstable();
    found
}

fn add_blends(context: &mut Context) {
    for mixture in context.mixtures.clone() {
        let vessel = context.groups.get(mixture.group).like.clone();
        let beer = context.kind(mixture.kinds[0]).beer;
        for period in 0..context.grid.len() {
            let slots = outage::working_with(context, Role::Cellar, mixture.group, period);
            for first in sources(context, mixture.kinds[0], period) {
                for second in sources(context, mixture.kinds[1], period) {
                    let may_fill = slots.iter().any(|&slot| {
                        let from = [first.1, second.1].into_iter().flatten();
                        let mut from = from.map(|from| outage::is_vessel_there(context, from, slot));
                        from.all(|is_there| is_there)
                            && bright_rest::may_fill(context, beer, &vessel, (2, mixture.arrives), slot)
                    });
                    let is_one_vessel = first.1.is_some() && first.1 == second.1;
                    if may_fill && !is_one_vessel && first <= second {
                        add_blend(context, mixture, [first, second], period);
                    }
                }
            }
        }
    }
}

fn add_blend(
    context: &mut Context,
    mixture: Mixture,
    parts: [(KindId, Option<GroupId>); 2],
    period: PeriodId,
) {
    let beer = context.kind(mixture.kinds[0]).beer;
    let filled = Filled::In(period);
    let lot = Lot { beer, group: mixture.group, volume: mixture.arrives, filled, transfers: 2 };
    let column = context.program.column(0.0, f64::INFINITY, context.grid.is_fine(period));
    context.columns.blends.push(Blend { parts, period, lot, column });
}

fn add_movements(context: &mut Context, id: KindId) {
    let mut ways: Vec<(Option<GroupId>, PeriodId, Option<PeriodId>)> = Vec::new();
    for ferment in context.columns.ferments.iter().filter(|ferment| ferment.kind == id) {
        if let Leaving::Bright { first, last } = ferment.leaving {
            let way = (context.named(ferment.group), first, last);
            if !ways.contains(&way) {
                ways.push(way);
            }
        }
    }
    ways.sort_unstable();
    let divisions = context.divisions[id.0].clone();
    for (from, first, last) in ways {
        for division in &divisions {
            for periods in stage_periods(context, id, division, from, first, last) {
                let stages: Vec<Stage> = division
                    .iter()
                    .zip(&periods)
                    .map(|(&(group, leaves, arrives), &period)| Stage { group, period, leaves, arrives })
                    .collect();
                let is_integer = context.grid.is_fine(last.unwrap_or(first));
                let column = context.program.column(0.0, f64::INFINITY, is_integer);
                context.columns.movements.push(Movement { kind: id, from, first, last, stages, column });
            }
        }
    }
}

/// Periods of the stages of a division that begins in `first` and ends in `last`: every order of stages that differs.
fn stage_periods(
    context: &Context,
    kind: KindId,
    division: &stages::Division,
    from: Option<GroupId>,
    first: PeriodId,
    last: Option<PeriodId>,
) -> Vec<Vec<Option<PeriodId>>> {
    let beer = context.kind(kind).beer;
    let end = last.unwrap_or(context.grid.len().saturating_sub(1));
    let mut choices: Vec<Vec<Option<PeriodId>>> = vec![Vec::new()];
    for &(group, _, arrives) in division {
        let vessel = &context.groups.get(group).like;
        let mut options: Vec<Option<PeriodId>> = (first..=end)
            .filter(|&period| {
                outage::working_with(context, Role::Cellar, group, period).into_iter().any(|slot| {
                    let is_there = from.is_none_or(|from| outage::is_vessel_there(context, from, slot));
                    is_there && bright_rest::may_fill(context, beer, vessel, (1, arrives), slot)
                })
            })
            .map(Some)
            .collect();
        if last.is_none() {
            options.push(None);
        }
        choices = choices
            .into_iter()
            .flat_map(|chosen| {
                options.iter().map(move |&option| {
                    let mut longer = chosen.clone();
                    longer.push(option);
                    longer
                })
            })
            .collect();
    }
    let order = |period: &Option<PeriodId>| period.unwrap_or(PeriodId::MAX);
    choices.retain(|periods| {
        let begins = periods.iter().map(order).min() == Some(first);
        let ends = periods.iter().map(order).max() == Some(last.unwrap_or(PeriodId::MAX));
        let in_order = division
            .iter()
            .zip(periods)
            .zip(division.iter().zip(periods).skip(1))
            .all(|((tank, period), (next_tank, next))| tank != next_tank || order(period) <= order(next));
        begins && ends && in_order
    });
    choices
}
