//! Part of R10 line: the order of formats, on lines with changes of format by pair.
//!
//! Rows, for a line in a shift:
//! - courses of a beer = its run; courses with a format = the format's run; a format that runs draws at least a litre;
//! - at each place: begin of the shift + steps into it = courses from it; courses to it = end of the shift + steps out of it;
//!   begins = line on;
//! - beers to come: at each place what comes in by begin and steps goes on by courses, each course takes one off, and none come by
//!   a step, a course or a begin that is not taken. So every beer hangs together with the begin, and a way that is in balance and
//!   hangs together can be gone in one go (Euler);
//! - a beer never after another: where both run, more beers are to come at the first than at the second.

use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::rule::RuleId;

use super::line;
use crate::compile::columns::formats::{FormatOrder, Place};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::ordering::MOST_ORDERED;
use crate::compile::program::Terms;

/// Least volume of a format that runs, hL: none runs just to come between two others.
const LEAST_RUN: f64 = 0.01;

/// Writes the rows of this file.
pub fn add(context: &mut Context) {
    for ((line, period), order) in context.columns.format_orders.clone() {
        courses(context, &order, line, period);
        least_runs(context, line, period);
        if order.begins.is_empty() {
            continue;
        }
        balance(context, &order, line, period);
        onward(context, &order);
        if context.keeps(RuleId::Line) {
            never_after(context, &order, line, period);
        }
    }
}

fn courses(context: &mut Context, order: &FormatOrder, line: LineId, period: PeriodId) {
    for &beer in &order.beers {
        let of_beer = order.courses.iter().filter(|course| course.beer == beer);
        let mut row: Terms = of_beer.clone().map(|course| (course.column, 1.0)).collect();
        row.push((context.columns.runs[&(beer, line, period)], -1.0));
        context.program.equal(RuleId::Line, row, 0.0);
        for packaged in &context.case.beer(beer).packaged {
            let Some(&run) = context.columns.format_runs.get(&(beer, packaged.format, period)) else {
                continue;
            };
            if context.case.format(packaged.format).line == line {
                let with = of_beer.clone().filter(|course| course.formats.contains(&packaged.format));
                let mut row: Terms = with.map(|course| (course.column, 1.0)).collect();
                row.push((run, -1.0));
                context.program.equal(RuleId::Line, row, 0.0);
            }
        }
    }
}

/// A litre of each format, and no more formats of beers than can be put in order.
fn least_runs(context: &mut Context, line: LineId, period: PeriodId) {
    let mut all = Terms::new();
    for (&(beer, format, at), &pack) in &context.columns.packs {
        if at != period || context.case.format(format).line != line {
            continue;
        }
        if let Some(&run) = context.columns.format_runs.get(&(beer, format, period)) {
            context.program.at_least(RuleId::Line, vec![(pack, 1.0), (run, -LEAST_RUN)], 0.0);
            all.push((run, 1.0));
        } else {
            all.push((context.columns.runs[&(beer, line, period)], 1.0));
        }
    }
    if all.len() > MOST_ORDERED {
        context.program.at_most(RuleId::Line, all, MOST_ORDERED as f64);
    }
    for ((beer, of, at), mut terms) in line::fed(context) {
        if (of, at) == (line, period) {
            terms.push((context.columns.runs[&(beer, line, period)], -LEAST_RUN));
            context.program.at_least(RuleId::Line, terms, 0.0);
        }
    }
}

fn balance(context: &mut Context, order: &FormatOrder, line: LineId, period: PeriodId) {
    for (&place, &(begins, _)) in &order.begins {
        let mut row: Terms = vec![(begins, 1.0)];
        row.extend(order.steps.iter().filter(|step| step.to == place).map(|step| (step.column, 1.0)));
        row.extend(order.courses.iter().filter(|one| one.first == place).map(|one| (one.column, -1.0)));
        context.program.equal(RuleId::Line, row, 0.0);
    }
    for (&place, &ends) in &order.ends {
        let mut row: Terms = vec![(ends, -1.0)];
        row.extend(order.steps.iter().filter(|step| step.from == place).map(|step| (step.column, -1.0)));
        row.extend(order.courses.iter().filter(|one| one.last == place).map(|one| (one.column, 1.0)));
        context.program.equal(RuleId::Line, row, 0.0);
    }
    let mut one: Terms = order.begins.values().map(|&(begins, _)| (begins, 1.0)).collect();
    one.push((context.columns.line_on[&(line, period)], -1.0));
    context.program.equal(RuleId::Line, one, 0.0);
}

fn onward(context: &mut Context, order: &FormatOrder) {
    let beers = order.beers.len() as f64;
    let program = &mut context.program;
    for &place in order.begins.keys() {
        let mut row = coming(order, place);
        let on = order.through.iter().filter(|((first, _), _)| *first == place);
        row.extend(on.map(|(_, &column)| (column, -1.0)));
        program.equal(RuleId::Line, row, 0.0);
    }
    for &place in order.ends.keys() {
        let in_ = order.through.iter().filter(|((_, last), _)| *last == place);
        let mut row: Terms = in_.map(|(_, &column)| (column, 1.0)).collect();
        row.extend(order.courses.iter().filter(|one| one.last == place).map(|one| (one.column, -1.0)));
        row.extend(order.steps.iter().filter(|step| step.from == place).map(|step| (step.onward, -1.0)));
        program.equal(RuleId::Line, row, 0.0);
    }
    for (&(first, last), &column) in &order.through {
        let taken = order.courses.iter().filter(|course| (course.first, course.last) == (first, last));
        let mut row: Terms = taken.map(|course| (course.column, -beers)).collect();
        row.push((column, 1.0));
        program.at_most(RuleId::Line, row, 0.0);
    }
    for step in &order.steps {
        program.at_most(RuleId::Line, vec![(step.onward, 1.0), (step.column, 1.0 - beers)], 0.0);
    }
    for &(begins, onward) in order.begins.values() {
        program.at_most(RuleId::Line, vec![(onward, 1.0), (begins, -beers)], 0.0);
    }
}

/// Beers to come at a place, by the begin of the shift and by steps.
fn coming(order: &FormatOrder, place: Place) -> Terms {
    let mut coming: Terms =
        order.steps.iter().filter(|step| step.to == place).map(|step| (step.onward, 1.0)).collect();
    coming.extend(order.begins.get(&place).map(|&(_, onward)| (onward, 1.0)));
    coming
}

/// Where a line has such orders every beer has places of its own.
fn never_after(context: &mut Context, order: &FormatOrder, line: LineId, period: PeriodId) {
    let of_beer = |beer: BeerId| {
        let places = order.begins.keys().filter(move |place| place.0 == Some(beer));
        places.flat_map(|&place| coming(order, place)).collect::<Terms>()
    };
    for pair in &context.case.line(line).never_after {
        let run = |beer: BeerId| context.columns.runs.get(&(beer, line, period)).copied();
        let (Some(first), Some(second)) = (run(pair.beer), run(pair.after)) else { continue };
        if first == second {
            continue;
        }
        let most = order.beers.len() as f64 + 1.0;
        let mut row = of_beer(pair.beer);
        row.extend(of_beer(pair.after).into_iter().map(|(column, times)| (column, -times)));
        row.extend([(first, -most), (second, -most)]);
        context.program.at_least(RuleId::Line, row, 1.0 - 2.0 * most);
    }
}
