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

use super::{bright_rest, calendar, filter, line, outage, tank_work, turns};
use crate::compile::columns::{Filled, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms, scaled};
use crate::compile::without::{Mark, Subject};

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
    for brew in &context.columns.brews {
        let longer = case.beer(context.kind(brew.kind).beer).brewing.longer;
        for &(period, count) in &brew.turns {
            need(&mut demands, period, longer.crew, brew.column, count as f64);
        }
    }
    for ferment in &context.columns.ferments {
        if let Leaving::Direct { carbonated: Some(period), .. } = ferment.leaving {
            need(&mut demands, period, case.carbonate.crew, ferment.column, 1.0);
        }
        if let Leaving::Moved { at, to } = ferment.leaving {
            let purge = context.groups.get(to).like.purge.job.crew;
            need(&mut demands, at, case.transfer.job.crew, ferment.column, 1.0);
            need(&mut demands, at, purge, ferment.column, 1.0);
        }
    }
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && let Filled::In(period) = lot.filled
        {
            need(&mut demands, period, case.transfer.job.crew, hold.column, 1.0);
            if bright_rest::is_carbonated_there(context, &lot) {
                need(&mut demands, period, case.carbonate.crew, hold.column, 1.0);
            }
            let like = &context.groups.get(lot.group).like;
            need(&mut demands, period, like.purge.job.crew, hold.column, 1.0);
            if like.is_bright_only() {
                need(&mut demands, period, like.clean.crew, hold.column, 1.0);
            }
        }
    }
    for way in &context.columns.tank_ways {
        let pieces = tank_work::pieces(context, way.kind);
        for &(position, period) in &way.way.pieces {
            need(&mut demands, period, pieces[position].job.crew, way.column, 1.0);
        }
    }
    for blend in &context.columns.blends {
        need(&mut demands, blend.period, case.transfer.job.crew, blend.column, 1.0);
    }
    for (&((kind, _, _), _, period), &column) in &context.columns.crops {
        let beer = case.beer(context.kind(kind).beer).yeast;
        if let Some(crop) = beer.and_then(|beer| case.yeast.strain(beer.yeast).crop) {
            need(&mut demands, period, crop.job.crew, column, 1.0);
        }
    }
    for (&(group, period), &column) in context.columns.clean.iter().chain(&context.columns.clean_again) {
        need(&mut demands, period, context.groups.get(group).like.clean.crew, column, 1.0);
    }
    for (&(group, period), &column) in &context.columns.full_cleans {
        let like = &context.groups.get(group).like;
        need(&mut demands, period, like.cleaning(true).crew, column, 1.0);
        need(&mut demands, period, like.clean.crew, column, -1.0);
    }
    for (&(_, period), &column) in &context.columns.stale {
        let Job { crew, .. } = case.sanitise;
        need(&mut demands, period, crew, column, 1.0);
    }
    for ((place, period), terms) in filter::times(context) {
        let people = case.filters[place].people as f64;
        demands.entry(period).or_default()[Role::Cellar as usize].extend(scaled(&terms, people));
    }
    if let Some(washer) = case.keg_washer {
        for (&(_, period), &column) in &context.columns.washed {
            let hours = washer.people as f64 / washer.pace as f64;
            demands.entry(period).or_default()[washer.role as usize].push((column, hours));
        }
    }
    for ((line, period), terms) in line::times(context) {
        let people = case.line(line).people as f64;
        demands.entry(period).or_default()[Role::Package as usize].extend(scaled(&terms, people));
    }
    demands
}

/// Whether the hours of a crew count on the day of a slot: not where they are left out of the program.
pub fn counts(context: &Context, crew: CrewId, slot: Slot) -> bool {
    let day = context.case.calendar.day(slot) as i64;
    !context.without.has(RuleId::Crew, Subject::Crew(crew), day)
}

/// Says of a row that it is about the hours of crews in a period.
fn mark(context: &Context, crews: impl Iterator<Item = CrewId>, period: PeriodId) -> Mark {
    Mark { rule: RuleId::Crew, of: crews.map(Subject::Crew).collect(), days: Some(context.days_of(period)) }
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    person_hours(context);
    heads(context);
    weeks_of_overtime(context);
}

/// Overtime of a crew in a week from Monday to Sunday; periods do not reach over a Sunday. Planned days by shift and in
/// whole minutes, as the plan has it; with the look-ahead all shifts of the crew together.
fn weeks_of_overtime(context: &mut Context) {
    let mut weeks: BTreeMap<(CrewId, i64), Vec<(PeriodId, ColumnId)>> = BTreeMap::new();
    for (&(crew, period), &column) in &context.columns.overtime {
        let monday = context.case.calendar.monday(context.grid.period(period).first_day);
        weeks.entry((crew, monday)).or_default().push((period, column));
    }
    for ((crew, monday), columns) in weeks {
        let Some(limit) = context.case.crew(crew).overtime else { continue };
        let Some(a_week) = limit.a_week else { continue };
        let reach = |context: &Context, columns: &[(PeriodId, ColumnId)]| {
            let most = columns.iter().map(|&(_, column)| context.program.columns[column.0].upper);
            most.sum::<f64>()
        };
        let mut minutes: BTreeMap<PeriodId, ColumnId> = BTreeMap::new();
        let shifts: Vec<usize> = context.case.crew(crew).shifts().collect();
        for &shift in &shifts {
            let calendar = &context.case.calendar;
            let is_of = |&&(period, _): &&(PeriodId, ColumnId)| {
                context.grid.is_fine(period) && calendar.shift(Slot(period)) == shift
            };
            let of_shift: Vec<(PeriodId, ColumnId)> = columns.iter().filter(is_of).copied().collect();
            if reach(context, &of_shift) <= a_week.hours() {
                continue;
            }
            let mut row = Terms::new();
            for &(period, overtime) in &of_shift {
                let whole = context.program.column(0.0, limit.at_most.0 as f64, true);
                context.program.at_most(RuleId::Crew, vec![(overtime, 60.0), (whole, -1.0)], 0.0);
                minutes.insert(period, whole);
                context.columns.overtime_minutes.insert((crew, period), whole);
                row.push((whole, 1.0));
            }
            let days = (monday, monday + 6);
            let mark = Mark { rule: RuleId::Crew, of: vec![Subject::Crew(crew)], days: Some(days) };
            context.program.at_most_of(mark, RuleId::Crew, row, a_week.0 as f64);
        }
        let has_coarse = columns.iter().any(|&(period, _)| !context.grid.is_fine(period));
        let most = a_week.hours() * shifts.len() as f64;
        if has_coarse && reach(context, &columns) > most {
            let row = columns.iter().map(|&(period, overtime)| {
                minutes.get(&period).map_or((overtime, 1.0), |&whole| (whole, 1.0 / 60.0))
            });
            let mark =
                Mark { rule: RuleId::Crew, of: vec![Subject::Crew(crew)], days: Some((monday, monday + 6)) };
            context.program.at_most_of(mark, RuleId::Crew, row.collect(), most);
        }
    }
}

fn crew_is_there(context: &Context, crew: CrewId, period: PeriodId) -> f64 {
    context.grid.slots(period).map(|slot| context.case.crew_hours(crew, slot).hours()).sum()
}

fn person_hours_of(context: &Context, crew: CrewId, period: PeriodId) -> f64 {
    let slots = context.grid.slots(period);
    slots
        .map(|slot| context.case.crew_people(crew, slot) as f64 * context.case.crew_hours(crew, slot).hours())
        .sum()
}

/// The most people of a crew in a slot of a period: so many work an hour of its overtime.
pub fn most_people(context: &Context, crew: CrewId, period: PeriodId) -> i64 {
    context.grid.slots(period).map(|slot| context.case.crew_people(crew, slot)).max().unwrap_or(0)
}

/// The fewest people of a crew in a slot of a period in which it is there.
fn fewest_people(context: &Context, crew: CrewId, period: PeriodId) -> i64 {
    let people = context.grid.slots(period).map(|slot| context.case.crew_people(crew, slot));
    people.filter(|&people| people > 0).min().unwrap_or(1)
}

fn person_hours(context: &mut Context) {
    let alone = alone_demands(context);
    let mut all = demands(context);
    for period in outage::asking(context) {
        all.entry(period).or_default();
    }
    for (period, by_role) in all {
        for set in 1..1_usize << Role::ALL.len() {
            let roles: Vec<Role> =
                Role::ALL.into_iter().filter(|&role| set & (1 << role as usize) != 0).collect();
            let asked = |role: Role| {
                !by_role[role as usize].is_empty() || outage::person_hours(context, role, period) > 0.0
            };
            if !roles.iter().all(|&role| asked(role)) {
                continue;
            }
            let mut crews: Vec<CrewId> = context
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
            // Person-time of outages is given before anything is planned.
            let mut hours: f64 = roles.iter().map(|&role| -outage::person_hours(context, role, period)).sum();
            for &crew in &crews {
                hours += person_hours_of(context, crew, period);
                if let Some(&overtime) = context.columns.overtime.get(&(crew, period)) {
                    row.push((overtime, -(most_people(context, crew, period) as f64)));
                }
            }
            let has_cellar = roles.contains(&Role::Cellar);
            if let Some(alone) = alone.get(&period).filter(|_| has_cellar) {
                // What may be done alone can be left to those who only check.
                let mut others = row.clone();
                others.extend(scaled(alone, -1.0));
                let mark = mark(context, crews.iter().copied(), period);
                context.program.at_most_of(mark, RuleId::Crew, others, hours);
                crews.extend(checkers(context, period));
                for crew in checkers(context, period) {
                    hours += person_hours_of(context, crew, period);
                    if let Some(&overtime) = context.columns.overtime.get(&(crew, period)) {
                        row.push((overtime, -(most_people(context, crew, period) as f64)));
                    }
                }
            }
            let mark = mark(context, crews.into_iter(), period);
            context.program.at_most_of(mark, RuleId::Crew, row, hours);
        }
    }
}

/// Crews that only check and are there in a period.
fn checkers(context: &Context, period: PeriodId) -> Vec<CrewId> {
    let is_there =
        |&crew: &CrewId| context.case.crew(crew).check_only && crew_is_there(context, crew, period) > 0.0;
    context.case.crew_ids().filter(is_there).collect()
}

/// Cellar time that may be worked by one person alone, in periods in which somebody only checks.
fn alone_demands(context: &Context) -> BTreeMap<PeriodId, Terms> {
    let mut alone: BTreeMap<PeriodId, Terms> = BTreeMap::new();
    if !context.case.crews.iter().any(|crew| crew.check_only) {
        return alone;
    }
    for way in &context.columns.tank_ways {
        let pieces = tank_work::pieces(context, way.kind);
        for &(position, period) in &way.way.pieces {
            let hours = pieces[position].job.crew.of(Role::Cellar).hours();
            if pieces[position].alone && hours > 0.0 {
                alone.entry(period).or_default().push((way.column, hours));
            }
        }
    }
    alone.retain(|&period, _| !checkers(context, period).is_empty());
    alone
}

/// Crews that package.
pub fn packers<'a>(context: &Context<'a>) -> impl Iterator<Item = CrewId> + use<'a> {
    let case = context.case;
    case.crew_ids().filter(|&crew| case.crew(crew).has(Role::Package))
}

/// People of all packaging crews in a slot.
pub fn heads_there(context: &Context, slot: Slot) -> i64 {
    let crews = context.case.crew_ids().filter(|&crew| {
        context.case.crew(crew).has(Role::Package) && context.case.crew_hours(crew, slot).0 > 0
    });
    crews.map(|crew| context.case.crew_people(crew, slot)).sum()
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
            // An hour of a few people counts as a part of an hour of the most in a period of several slots.
            let (most, fewest) = (most_people(context, crew, period), fewest_people(context, crew, period));
            terms.push((overtime, -together * most as f64 / fewest as f64));
        }
    }
    let mark = mark(context, crews.iter().copied(), period);
    context.program.at_most_of(mark, RuleId::Crew, terms, together * hours);
}
