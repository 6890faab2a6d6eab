//! R09 crew: person-hours by role and shift, heads on the lines, overtime.
//!
//! Rows, per period: for every set of roles, demand <= hours of the crews that have one of them (Hall's condition, so
//! that the hours of a crew with several roles can be split); for every set of lines of which only `m` can be manned
//! together, their line times <= m x hours of each packaging crew.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Job, RoleTimes};
use cellarwright_model::ids::{CrewId, LineId};
use cellarwright_model::rule::RuleId;

use super::{calendar, line, turns};
use crate::compile::columns::{Filled, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms, scaled};

/// Person-hours of each role, by period.
pub type Demands = BTreeMap<PeriodId, [Terms; 3]>;

fn need(demands: &mut Demands, period: PeriodId, times: RoleTimes, column: ColumnId, count: f64) {
    let entry = demands.entry(period).or_default();
    for role in Role::ALL {
        let hours = times.of(role).hours();
        if hours > 0.0 {
            entry[role as usize].push((column, hours * count));
        }
    }
}

/// Person-hours that the columns need.
pub fn demands(context: &Context) -> Demands {
    let mut demands = Demands::new();
    let case = context.case;
    let brewhouse = &case.brewhouse;
    for (period, terms) in turns::turns(context) {
        for (column, count) in terms {
            need(&mut demands, period, brewhouse.next_turn.crew, column, count);
        }
    }
    for (&period, &column) in &context.columns.first_turns {
        need(&mut demands, period, brewhouse.first_turn.crew, column, 1.0);
        need(&mut demands, period, brewhouse.next_turn.crew, column, -1.0);
    }
    for ferment in &context.columns.ferments {
        if let Leaving::Direct { carbonated: Some(period), .. } = ferment.leaving {
            need(&mut demands, period, case.carbonate.crew, ferment.column, 1.0);
        }
    }
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && let Filled::In(period) = lot.filled
        {
            need(&mut demands, period, case.transfer.job.crew, hold.column, 1.0);
            need(&mut demands, period, case.carbonate.crew, hold.column, 1.0);
            let like = &context.groups.get(lot.group).like;
            if like.is_bright_only() {
                need(&mut demands, period, like.clean.crew, hold.column, 1.0);
            }
        }
    }
    for (&(group, period), &column) in &context.columns.clean {
        need(&mut demands, period, context.groups.get(group).like.clean.crew, column, 1.0);
    }
    for (&(_, period), &column) in &context.columns.stale {
        let Job { crew, .. } = case.sanitise;
        need(&mut demands, period, crew, column, 1.0);
    }
    for ((line, period), terms) in line::times(context) {
        let people = case.line(line).people as f64;
        demands.entry(period).or_default()[Role::Package as usize].extend(scaled(&terms, people));
    }
    demands
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    person_hours(context);
    heads(context);
}

fn crew_is_there(context: &Context, crew: CrewId, period: PeriodId) -> f64 {
    context.grid.slots(period).map(|slot| context.case.crew_hours(crew, slot).hours()).sum()
}

fn person_hours(context: &mut Context) {
    for (period, by_role) in demands(context) {
        for set in 1..1_usize << Role::ALL.len() {
            let roles: Vec<Role> =
                Role::ALL.into_iter().filter(|&role| set & (1 << role as usize) != 0).collect();
            if roles.iter().any(|&role| by_role[role as usize].is_empty()) {
                continue;
            }
            let crews: Vec<CrewId> = context
                .case
                .crew_ids()
                .filter(|&crew| roles.iter().any(|&role| context.case.crew(crew).has(role)))
                .collect();
            let shares_a_crew = crews
                .iter()
                .any(|&crew| roles.iter().filter(|&&role| context.case.crew(crew).has(role)).count() > 1);
            if roles.len() > 1 && !shares_a_crew {
                continue;
            }
            let mut row: Terms = Vec::new();
            for &role in &roles {
                row.extend(&by_role[role as usize]);
            }
            let mut hours = 0.0;
            for &crew in &crews {
                let people = context.case.crew(crew).people as f64;
                hours += people * crew_is_there(context, crew, period);
                if let Some(&overtime) = context.columns.overtime.get(&(crew, period)) {
                    row.push((overtime, -people));
                }
            }
            context.program.at_most(RuleId::Crew, row, hours);
        }
    }
}

/// People of all packaging crews in a slot.
pub fn heads_there(context: &Context, slot: Slot) -> i64 {
    let crews = context.case.crew_ids().filter(|&crew| {
        context.case.crew(crew).has(Role::Package) && context.case.crew_hours(crew, slot).0 > 0
    });
    crews.map(|crew| context.case.crew(crew).people).sum()
}

/// The largest number of lines of a set whose people add up to no more than there are.
fn most_together(context: &Context, lines: &[LineId], heads: i64) -> usize {
    let mut people: Vec<i64> = lines.iter().map(|&line| context.case.line(line).people).collect();
    people.sort_unstable();
    let mut sum = 0;
    people
        .into_iter()
        .take_while(|&more| {
            sum += more;
            sum <= heads
        })
        .count()
}

fn heads(context: &mut Context) {
    let mut by_period: BTreeMap<PeriodId, Vec<(LineId, Terms)>> = BTreeMap::new();
    for ((line, period), terms) in line::times(context) {
        by_period.entry(period).or_default().push((line, terms));
    }
    for (period, lines) in by_period {
        let slots = calendar::working(context, Role::Package, period);
        let heads = slots.iter().map(|&slot| heads_there(context, slot)).max().unwrap_or(0);
        let crews: Vec<CrewId> = context
            .case
            .crew_ids()
            .filter(|&crew| {
                let is_there = |&slot: &Slot| context.case.crew_hours(crew, slot).0 > 0;
                context.case.crew(crew).has(Role::Package) && slots.iter().any(is_there)
            })
            .collect();
        for set in 1..1_u64 << lines.len() {
            let chosen: Vec<usize> = (0..lines.len()).filter(|position| set & (1 << position) != 0).collect();
            let ids: Vec<LineId> = chosen.iter().map(|&position| lines[position].0).collect();
            let together = most_together(context, &ids, heads);
            if together == ids.len() && ids.len() > 1 {
                continue;
            }
            let terms: Terms = chosen.iter().flat_map(|&position| lines[position].1.clone()).collect();
            if context.grid.is_fine(period) {
                for &crew in &crews {
                    let hours = crew_is_there(context, crew, period);
                    hours_of(context, terms.clone(), together as f64, &[crew], hours, period);
                }
            } else {
                let in_slot = |slot: &Slot| {
                    let hours = crews.iter().map(|&crew| context.case.crew_hours(crew, *slot).hours());
                    hours.fold(0.0, f64::max)
                };
                let hours: f64 = slots.iter().map(in_slot).sum();
                hours_of(context, terms, together as f64, &crews, hours, period);
            }
        }
    }
}

/// Line times of a set <= lines together x hours of the crews.
fn hours_of(
    context: &mut Context,
    mut terms: Terms,
    together: f64,
    crews: &[CrewId],
    hours: f64,
    period: PeriodId,
) {
    for &crew in crews {
        if let Some(&overtime) = context.columns.overtime.get(&(crew, period)) {
            terms.push((overtime, -together));
        }
    }
    context.program.at_most(RuleId::Crew, terms, together * hours);
}
