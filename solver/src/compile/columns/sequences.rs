//! Columns of the order of beers on a line in a shift, for lines with changes by pair, and of the visits of mobile lines.
//!
//! A set of the beers that pairs or "never after" name, with so many other beers between them, has one cheapest order; its column
//! says that these beers run, and costs what the order takes more (or less) than the line's usual changes.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Money, Volume};

use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::ColumnId;
use crate::compile::rules::line;
use crate::compile::sequence::{Place, cheapest, free_order, has_no_quick_pair};

/// Sets of beers that a line has columns for in one shift at most: with more beers only smaller sets run, a restriction.
const MOST_SETS: usize = 400;

/// A set of beers on a line in a shift, in its cheapest order.
#[derive(Clone, Debug)]
pub struct Sequence {
    /// Beers that pairs or "never after" name.
    pub named: Vec<BeerId>,
    /// Other beers that must run besides for the order to be so cheap.
    pub others: usize,
    /// Clock time of its changes less the usual time of as many changes.
    pub extra: Minutes,
    pub column: ColumnId,
}

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    for id in context.case.line_ids() {
        let data = context.case.line(id);
        if !data.change_pairs.is_empty() && !is_order_free(context, id) {
            for period in 0..context.grid.fine() {
                // Where formats have an order, beers are in it.
                if !context.columns.format_orders.contains_key(&(id, period)) {
                    add_sequences(context, id, period);
                }
            }
        }
        if data.visit > Money::ZERO || data.least_visit > Volume::ZERO {
            add_visits(context, id);
        }
    }
}

/// Whether beers can always run in an order in which every change takes the usual time: then no order has to be decided.
fn is_order_free(context: &Context, line: LineId) -> bool {
    let beers: Vec<BeerId> = named(context, line).into_iter().collect();
    let line = context.case.line(line);
    has_no_quick_pair(line) && free_order(line, &beers).is_some()
}

fn named(context: &Context, line: LineId) -> BTreeSet<BeerId> {
    let line = context.case.line(line);
    let of_pairs = line.change_pairs.iter().flat_map(|pair| [pair.from, pair.to]);
    let of_orders = line.never_after.iter().flat_map(|pair| [pair.beer, pair.after]);
    of_pairs.chain(of_orders).collect()
}

fn add_sequences(context: &mut Context, id: LineId, period: PeriodId) {
    let runs: Vec<BeerId> = context
        .columns
        .runs
        .keys()
        .filter(|&&(_, of, at)| (of, at) == (id, period))
        .map(|&(beer, ..)| beer)
        .collect();
    let named = named(context, id);
    let (named, others): (Vec<BeerId>, Vec<BeerId>) = runs.iter().partition(|beer| named.contains(beer));
    if named.is_empty() {
        return;
    }
    let data = context.case.line(id);
    let keeps = context.keeps(RuleId::Line);
    let most = line::hours_in_shift(context, id, period);
    let mut found: Vec<(Vec<BeerId>, usize, Minutes)> = Vec::new();
    for size in 0..=named.len() {
        let sets = super::subsets(&named, size);
        if found.len() + sets.len() > MOST_SETS && size > 2 {
            break;
        }
        for set in sets {
            let mut cheapest_yet: Option<Minutes> = None;
            for between in 0..=others.len().min(set.len()) {
                let mut places: Vec<Place> = set.iter().copied().map(Some).collect();
                places.extend(std::iter::repeat_n(None, between));
                let Some((time, _)) = cheapest(data, &places, keeps) else { break };
                let usual = data.change_beer.0 * (places.len() as i64 - 1).max(0);
                let extra = time - Minutes(usual);
                let fits = (data.start_up + time + data.clean_down).hours() <= most;
                if fits && cheapest_yet.is_none_or(|known| extra < known) {
                    cheapest_yet = Some(extra);
                    found.push((set.clone(), between, extra));
                }
            }
        }
    }
    for (named, others, extra) in found {
        let column = context.program.column(0.0, 1.0, true);
        let sequence = Sequence { named, others, extra, column };
        context.columns.sequences.entry((id, period)).or_default().push(sequence);
    }
}

/// One column for each day on which the line may run: that of its only shift, or one of its own.
fn add_visits(context: &mut Context, id: LineId) {
    for period in 0..context.grid.fine() {
        let Some(&on) = context.columns.line_on.get(&(id, period)) else { continue };
        let day = context.case.calendar.day(Slot(period));
        let shifts = context.case.calendar.shifts.len();
        let of_day =
            (day * shifts..(day + 1) * shifts).filter(|&at| context.columns.line_on.contains_key(&(id, at)));
        if of_day.count() == 1 {
            context.columns.visits.insert((id, day), on);
        } else if !context.columns.visits.contains_key(&(id, day)) {
            let visit = context.program.column(0.0, 1.0, true);
            context.columns.visits.insert((id, day), visit);
        }
    }
}
