//! Columns of moving beer from fermenters into bright tanks.

use cellarwright_model::calendar::Role;

use super::{Leaving, Movement, Stage};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::{bright_rest, outage, stages};

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    for id in (0..context.kinds.len()).map(KindId) {
        add_movements(context, id);
    }
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
            for periods in stage_periods(context, division, from, first, last) {
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
    division: &stages::Division,
    from: Option<GroupId>,
    first: PeriodId,
    last: Option<PeriodId>,
) -> Vec<Vec<Option<PeriodId>>> {
    let end = last.unwrap_or(context.grid.len().saturating_sub(1));
    let mut choices: Vec<Vec<Option<PeriodId>>> = vec![Vec::new()];
    for &(group, _, _) in division {
        let vessel = &context.groups.get(group).like;
        let mut options: Vec<Option<PeriodId>> = (first..=end)
            .filter(|&period| {
                outage::working_with(context, Role::Cellar, group, period).into_iter().any(|slot| {
                    let is_there = from.is_none_or(|from| outage::is_vessel_there(context, from, slot));
                    is_there && bright_rest::may_fill(context, vessel, slot)
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
