//! R10 line: speed x efficiency, start-up, clean-down, changes, loss per beer, smallest run, "never after", visits.
//!
//! Line time of a period = (start-up + clean-down) x on + fed / pace + change of beer x (runs - on) + change of format x
//! (format runs - runs of beers with several formats) + what the cheapest order of the set of beers, or the order of formats, takes besides.
//! Rows: fed <= what one shift can run x run; run <= on; format volume <= the same x format run; smallest run (soft);
//! beers in a cycle of "never after" do not all run in one shift. The loss per beer is in `volume`, the people in `crew`.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Away;
use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Volume};

use super::{calendar, crew, line_formats, outage};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::Terms;

/// Slots of a period in which a line may run: worked by packers, and the line is in the house.
pub fn working(context: &Context, line: LineId, period: PeriodId) -> Vec<Slot> {
    let mut slots = calendar::working(context, Role::Package, period);
    slots.retain(|&slot| !context.keeps(RuleId::Line) || context.case.line_is_there(line, slot));
    slots.retain(|&slot| outage::is_there(context, Away::Line(line), slot));
    slots
}

/// Hours of a crew whose hours do not count: more than any plan needs.
const UNLIMITED: f64 = 10_000.0;

/// Clock hours of the longest shift of a period in which a line may run, with overtime.
pub fn hours_in_shift(context: &Context, line: LineId, period: PeriodId) -> f64 {
    working(context, line, period).into_iter().map(|slot| hours_in_slot(context, slot)).fold(0.0, f64::max)
}

/// Clock hours of the longest shift of packers in a slot, with overtime.
fn hours_in_slot(context: &Context, slot: Slot) -> f64 {
    let mut most = 0.0_f64;
    for crew in context.case.crew_ids().filter(|&crew| context.case.crew(crew).has(Role::Package)) {
        if !crew::counts(context, crew, slot) {
            return UNLIMITED;
        }
        let overtime = context.case.crew(crew).overtime.map_or(0.0, |limit| limit.at_most.hours());
        most = most.max(context.case.crew_hours(crew, slot).hours() + overtime);
    }
    most
}

/// Volume that a line can take in a shift of so many hours, start-up and clean-down taken off, hL.
fn most_in_hours(context: &Context, line: LineId, hours: f64) -> f64 {
    let data = context.case.line(line);
    let runs = (hours - data.start_up.hours() - data.clean_down.hours()).max(0.0);
    runs * data.pace().0 as f64 / 100_000.0
}

/// Volume that a line can take in one shift of a period at most, hL.
pub fn most_in_a_shift(context: &Context, line: LineId, period: PeriodId) -> f64 {
    most_in_hours(context, line, hours_in_shift(context, line, period))
}

/// Volume that a line can take in a slot in which it works at most, hL.
pub fn most_in_slot(context: &Context, line: LineId, slot: Slot) -> f64 {
    most_in_hours(context, line, hours_in_slot(context, slot))
}

/// Volume fed into each line, by beer and period.
pub fn fed(context: &Context) -> BTreeMap<(BeerId, LineId, PeriodId), Terms> {
    let mut fed: BTreeMap<(BeerId, LineId, PeriodId), Terms> = BTreeMap::new();
    for (&(beer, _, line, period), &column) in &context.columns.feeds {
        fed.entry((beer, line, period)).or_default().push((column, 1.0));
    }
    fed
}

/// Line time in hours, by line and period.
pub fn times(context: &Context) -> BTreeMap<(LineId, PeriodId), Terms> {
    let mut times: BTreeMap<(LineId, PeriodId), Terms> = BTreeMap::new();
    for ((_, line, period), terms) in fed(context) {
        let per_hectolitre = 100_000.0 / (context.case.line(line).pace().0.max(1)) as f64;
        let time = times.entry((line, period)).or_default();
        time.extend(terms.iter().map(|&(column, _)| (column, per_hectolitre)));
    }
    for (&(line, period), &column) in &context.columns.line_on {
        let line_data = context.case.line(line);
        let fixed = line_data.start_up + line_data.clean_down - usual_change(context, line, period);
        times.entry((line, period)).or_default().push((column, fixed.hours()));
    }
    for (&(_, line, period), &column) in &context.columns.runs {
        let change = usual_change(context, line, period).hours();
        times.entry((line, period)).or_default().push((column, change));
    }
    for (&key, sequences) in &context.columns.sequences {
        let terms = sequences.iter().map(|sequence| (sequence.column, sequence.extra.hours()));
        times.entry(key).or_default().extend(terms);
    }
    for (&key, order) in &context.columns.format_orders {
        let time = times.entry(key).or_default();
        time.extend(order.courses.iter().map(|course| (course.column, course.extra.hours())));
        time.extend(order.steps.iter().map(|step| (step.column, step.extra.hours())));
    }
    for (&(beer, format, period), &column) in &context.columns.format_runs {
        let line = context.case.format(format).line;
        let change = context.case.line(line).change_format.hours();
        let time = times.entry((line, period)).or_default();
        time.push((column, change));
        let first = context.case.beer(beer).packaged.iter().map(|packaged| packaged.format).find(|&other| {
            context.columns.format_runs.contains_key(&(beer, other, period))
                && context.case.format(other).line == line
        });
        if first == Some(format) {
            time.push((context.columns.runs[&(beer, line, period)], -change));
        }
    }
    times
}

/// Time of a change of beer where no pair says otherwise; in the look-ahead, which knows no order, the shortest of all.
fn usual_change(context: &Context, line: LineId, period: PeriodId) -> Minutes {
    let data = context.case.line(line);
    if context.grid.is_fine(period) { data.change_beer } else { data.shortest_change() }
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    for ((beer, line, period), terms) in fed(context) {
        let run = context.columns.runs[&(beer, line, period)];
        let most = most_in_a_shift(context, line, period);
        let mut row = terms.clone();
        row.push((run, -most));
        context.program.at_most(RuleId::Line, row, 0.0);
        let on = context.columns.line_on[&(line, period)];
        if context.grid.is_fine(period) {
            context.program.at_most(RuleId::Line, vec![(run, 1.0), (on, -1.0)], 0.0);
        }
        if let Some(&short) = context.columns.short_runs.get(&(beer, line, period)) {
            let least = context.case.line(line).least_run.hectolitres();
            let mut smallest = terms;
            smallest.push((run, -least));
            smallest.push((short, 1.0));
            context.program.at_least(RuleId::Line, smallest, 0.0);
        }
    }
    format_runs(context);
    line_days(context);
    sequences(context);
    line_formats::add(context);
    if context.keeps(RuleId::Line) {
        never_after(context);
        visits(context);
    }
}

/// Least volume of a run on a line with changes by pair, hL: no beer runs just to come between two others.
const LEAST_RUN: f64 = 0.01;

/// One set of beers on each line in each shift, that of its runs; other beers may be more than the set asks for.
fn sequences(context: &mut Context) {
    let fed = fed(context);
    for (&(line, period), sequences) in &context.columns.sequences {
        let on = context.columns.line_on[&(line, period)];
        let mut one: Terms = sequences.iter().map(|sequence| (sequence.column, 1.0)).collect();
        one.push((on, -1.0));
        context.program.equal(RuleId::Line, one, 0.0);
        let mut others: Terms =
            sequences.iter().map(|sequence| (sequence.column, sequence.others as f64)).collect();
        let all_named: BTreeSet<BeerId> =
            sequences.iter().flat_map(|sequence| sequence.named.iter().copied()).collect();
        for (&(beer, of, at), &run) in &context.columns.runs {
            if (of, at) != (line, period) {
                continue;
            }
            if all_named.contains(&beer) {
                let with = sequences.iter().filter(|sequence| sequence.named.contains(&beer));
                let mut row: Terms = with.map(|sequence| (sequence.column, 1.0)).collect();
                row.push((run, -1.0));
                context.program.equal(RuleId::Line, row, 0.0);
            } else {
                others.push((run, -1.0));
            }
            if let Some(terms) = fed.get(&(beer, line, period)) {
                let mut row = terms.clone();
                row.push((run, -LEAST_RUN));
                context.program.at_least(RuleId::Line, row, 0.0);
            }
        }
        context.program.at_most(RuleId::Line, others, 0.0);
    }
}

/// A mobile line runs on days that are visits, and each visit draws at least its smallest volume. In the look-ahead a visit
/// counts as many shifts as a day has.
fn visits(context: &mut Context) {
    let shifts = context.case.calendar.shifts.len();
    let mut drawn: BTreeMap<(LineId, Option<usize>, PeriodId), Terms> = BTreeMap::new();
    for ((_, line, period), terms) in fed(context) {
        if context.case.line(line).least_visit > Volume::ZERO {
            let day = context.grid.is_fine(period).then_some(period / shifts);
            let at = if day.is_some() { 0 } else { period };
            drawn.entry((line, day, at)).or_default().extend(terms);
        }
    }
    for (&(line, day), &visit) in &context.columns.visits {
        for period in day * shifts..(day + 1) * shifts {
            if let Some(&on) = context.columns.line_on.get(&(line, period)).filter(|&&on| on != visit) {
                context.program.at_most(RuleId::Line, vec![(on, 1.0), (visit, -1.0)], 0.0);
            }
        }
    }
    for ((line, day, period), mut terms) in drawn {
        let (visit, share) = match day {
            Some(day) => (context.columns.visits.get(&(line, day)), 1.0),
            None => (context.columns.line_on.get(&(line, period)), 1.0 / shifts as f64),
        };
        if let Some(&visit) = visit {
            terms.push((visit, -context.case.line(line).least_visit.hectolitres() * share));
            context.program.at_least(RuleId::Line, terms, 0.0);
        }
    }
}

fn format_runs(context: &mut Context) {
    for (&(beer, format, period), &run) in &context.columns.format_runs {
        let line = context.case.format(format).line;
        let most = most_in_a_shift(context, line, period);
        let pack = context.columns.packs[&(beer, format, period)];
        context.program.at_most(RuleId::Line, vec![(pack, 1.0), (run, -most)], 0.0);
        let of_beer = context.columns.runs[&(beer, line, period)];
        context.program.at_most(RuleId::Line, vec![(run, 1.0), (of_beer, -1.0)], 0.0);
    }
    let mut formats: BTreeMap<(BeerId, LineId, PeriodId), Terms> = BTreeMap::new();
    for (&(beer, format, period), &run) in &context.columns.format_runs {
        let line = context.case.format(format).line;
        formats.entry((beer, line, period)).or_default().push((run, 1.0));
    }
    for ((beer, line, period), mut terms) in formats {
        terms.push((context.columns.runs[&(beer, line, period)], -1.0));
        context.program.at_least(RuleId::Line, terms, 0.0);
    }
}

/// In the look-ahead a line is on for at most its working shifts, and long enough for all that is fed into it.
fn line_days(context: &mut Context) {
    let mut all: BTreeMap<(LineId, PeriodId), Terms> = BTreeMap::new();
    for ((_, line, period), terms) in fed(context) {
        if !context.grid.is_fine(period) {
            all.entry((line, period)).or_default().extend(terms);
        }
    }
    for ((line, period), mut terms) in all {
        let on = context.columns.line_on[&(line, period)];
        terms.push((on, -most_in_a_shift(context, line, period)));
        context.program.at_most(RuleId::Line, terms, 0.0);
        let mut needs_runs: Terms = vec![(on, 1.0)];
        for (&(_, of, at), &run) in &context.columns.runs {
            if (of, at) == (line, period) {
                needs_runs.push((run, -1.0));
            }
        }
        context.program.at_most(RuleId::Line, needs_runs, 0.0);
    }
}

/// Longest cycle of "never after" that is looked for.
const LONGEST_CYCLE: usize = 4;

fn never_after(context: &mut Context) {
    for line in context.case.line_ids() {
        let cycles = cycles(context, line);
        for period in 0..context.grid.fine() {
            for cycle in &cycles {
                let runs: Option<Terms> = cycle
                    .iter()
                    .map(|&beer| context.columns.runs.get(&(beer, line, period)).map(|&run| (run, 1.0)))
                    .collect();
                if let Some(runs) = runs {
                    let most = runs.len() as f64 - 1.0;
                    context.program.at_most(RuleId::Line, runs, most);
                }
            }
        }
    }
}

/// Cycles of beers each of which may not run after the next, each cycle once, begun at its smallest beer.
fn cycles(context: &Context, line: LineId) -> Vec<Vec<BeerId>> {
    let mut found = Vec::new();
    for start in context.case.beer_ids() {
        extend_cycle(context, line, &mut vec![start], &mut found);
    }
    found
}

fn extend_cycle(context: &Context, line: LineId, chain: &mut Vec<BeerId>, found: &mut Vec<Vec<BeerId>>) {
    let (start, last) = (chain[0], chain[chain.len() - 1]);
    for pair in context.case.line(line).never_after.iter().filter(|pair| pair.beer == last) {
        if pair.after == start && chain.len() > 1 {
            found.push(chain.clone());
        } else if pair.after > start && !chain.contains(&pair.after) && chain.len() < LONGEST_CYCLE {
            chain.push(pair.after);
            extend_cycle(context, line, chain, found);
            chain.pop();
        }
    }
}
