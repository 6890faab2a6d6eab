//! Columns of the order of formats on a line in a shift, for lines with changes of format by pair.
//!
//! The order of a shift is a way through places: a beer enters the place of its first format and leaves that of its last.
//! A course takes a beer from the one to the other, a step goes from one beer to the next. Beers that nothing tells apart share
//! their places, and are passed as often as they run; where the line has changes or orders between beers, each has its own.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::ids::{BeerId, FormatId, LineId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use crate::compile::context::Context;
use crate::compile::format_sequence::{cheapest_between, from_to};
use crate::compile::grid::PeriodId;
use crate::compile::program::ColumnId;
use crate::compile::rules::line;

/// Courses of a beer on a line in a shift at most: with more formats only smaller sets of them run, a restriction.
const MOST_COURSES: usize = 160;

/// A format of a beer, or of any beer where nothing tells them apart.
pub type Place = (Option<BeerId>, FormatId);

/// A set of formats in which a beer runs, in the cheapest order from a first to a last.
#[derive(Clone, Debug)]
pub struct Course {
    pub beer: BeerId,
    pub formats: Vec<FormatId>,
    pub first: Place,
    pub last: Place,
    /// Clock time of its changes less the usual time of as many changes of format.
    pub extra: Minutes,
    pub column: ColumnId,
}

/// Changes from a last format to the first one of the next beer.
#[derive(Clone, Debug)]
pub struct Step {
    pub from: Place,
    pub to: Place,
    /// Clock time of the change less the usual change of beer.
    pub extra: Minutes,
    pub column: ColumnId,
    /// Beers that come after it.
    pub onward: ColumnId,
}

/// The order of a line in a shift.
#[derive(Clone, Debug, Default)]
pub struct FormatOrder {
    /// Beers that may run.
    pub beers: Vec<BeerId>,
    pub courses: Vec<Course>,
    /// None where a single beer may run.
    pub steps: Vec<Step>,
    /// The shift begins at a place; with so many beers.
    pub begins: BTreeMap<Place, (ColumnId, ColumnId)>,
    /// The shift ends at a place.
    pub ends: BTreeMap<Place, ColumnId>,
    /// Beers to come, the one that runs included, on courses from one place to another.
    pub through: BTreeMap<(Place, Place), ColumnId>,
}

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    let lines = context.case.line_ids();
    for id in lines.filter(|&id| !context.case.line(id).format_pairs.is_empty()).collect::<Vec<_>>() {
        for period in 0..context.grid.fine() {
            add_order(context, id, period);
        }
    }
}

/// Formats of the line that each beer may run in.
fn formats_of_beers(context: &Context, id: LineId, period: PeriodId) -> BTreeMap<BeerId, Vec<FormatId>> {
    let mut of_beers: BTreeMap<BeerId, Vec<FormatId>> = BTreeMap::new();
    for &(beer, format, at) in context.columns.packs.keys() {
        if at == period && context.case.format(format).line == id {
            of_beers.entry(beer).or_default().push(format);
        }
    }
    of_beers
}

fn add_order(context: &mut Context, id: LineId, period: PeriodId) {
    let data = context.case.line(id);
    let keeps = context.keeps(RuleId::Line);
    let of_beers = formats_of_beers(context, id, period);
    let there: BTreeSet<FormatId> = of_beers.values().flatten().copied().collect();
    if !data.format_pairs.iter().any(|pair| there.contains(&pair.from) && there.contains(&pair.to)) {
        return;
    }
    let tells_apart = !data.change_pairs.is_empty() || keeps && !data.never_after.is_empty();
    let place = |beer: BeerId, format: FormatId| (tells_apart.then_some(beer), format);
    let mut order = FormatOrder { beers: of_beers.keys().copied().collect(), ..FormatOrder::default() };
    let most = line::hours_in_shift(context, id, period);
    for (&beer, formats) in &of_beers {
        for set in sets(formats) {
            let usual = Minutes(data.change_format.0 * (set.len() as i64 - 1));
            for (first, last) in
                (0..set.len()).flat_map(|first| (0..set.len()).map(move |last| (first, last)))
            {
                let Some(time) = cheapest_between(data, &set, first, last, keeps) else { continue };
                if (data.start_up + time + data.clean_down).hours() > most {
                    continue;
                }
                let column = if formats.len() == 1 {
                    context.columns.runs[&(beer, id, period)]
                } else {
                    context.program.column(0.0, 1.0, true)
                };
                let (first, last) = (place(beer, set[first]), place(beer, set[last]));
                let extra = time - usual;
                order.courses.push(Course { beer, formats: set.clone(), first, last, extra, column });
            }
        }
    }
    if order.beers.len() > 1 {
        add_way(context, id, keeps, &mut order);
    }
    context.columns.format_orders.insert((id, period), order);
}

/// From beer to beer, from the beginning to the end.
fn add_way(context: &mut Context, id: LineId, keeps: bool, order: &mut FormatOrder) {
    let data = context.case.line(id);
    let beers = order.beers.len() as f64;
    let firsts: BTreeSet<Place> = order.courses.iter().map(|course| course.first).collect();
    let lasts: BTreeSet<Place> = order.courses.iter().map(|course| course.last).collect();
    let through: BTreeSet<(Place, Place)> =
        order.courses.iter().map(|course| (course.first, course.last)).collect();
    let program = &mut context.program;
    // Where a shift begins and ends is whole as soon as courses and steps are.
    for &place in &firsts {
        let begins = program.column(0.0, 1.0, false);
        order.begins.insert(place, (begins, program.column(0.0, beers, false)));
    }
    for &place in &lasts {
        order.ends.insert(place, program.column(0.0, 1.0, false));
    }
    for ends in through {
        order.through.insert(ends, program.column(0.0, f64::INFINITY, false));
    }
    for &from in &lasts {
        for &to in firsts.iter().filter(|to| from.0.is_none() || to.0 != from.0) {
            let by_beer = from.0.zip(to.0).map_or(data.change_beer, |(one, next)| data.change(one, next));
            let Some(time) = from_to(data, Some(by_beer), from.1, to.1, keeps) else { continue };
            let extra = time - data.change_beer;
            let most = if from.0.is_some() { 1.0 } else { beers - 1.0 };
            let column = program.column(0.0, most, true);
            let onward = program.column(0.0, f64::INFINITY, false);
            order.steps.push(Step { from, to, extra, column, onward });
        }
    }
}

/// All sets of the formats, or, where that makes too many courses, those of few.
fn sets(formats: &[FormatId]) -> Vec<Vec<FormatId>> {
    let mut found = Vec::new();
    let mut courses = 0;
    for size in 1..=formats.len() {
        let sets = super::subsets(formats, size);
        courses += sets.len() * if size == 1 { 1 } else { size * (size - 1) };
        if courses > MOST_COURSES && size > 2 {
            break;
        }
        found.extend(sets);
    }
    found
}
