//! R23 hours of the day: cuts against shifts whose work has no order. None is written before a plan has shown such a shift.
//!
//! A cut forbids what a shift does, in numbers of work of each kind, together with the same or more of each: for each kind with
//! count `c`, where `x` is the sum of its columns and `most` its bound, a binary `y` with `x <= c - 1 + (most - c + 1) y`;
//! the row is `sum of y <= kinds - 1`.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, LineId, YeastId};
use cellarwright_model::rule::RuleId;

use super::{bright_rest, turns};
use crate::compile::columns::{Filled, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// A kind of work that is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Turn,
    FirstTurn,
    /// Bright tanks of a group cleaned (if bright only), filled and, where so said, set to carbonate.
    Fill(GroupId, bool),
    Clean(GroupId),
    /// Vessels of a group cleaned and filled in the shift; they are among the cleans.
    CleanAndFill(GroupId),
    /// The vessel of a group cleaned in full; it is among the cleans, or the fills.
    FullClean(GroupId),
    Sanitise,
    Carbonate,
    Line(LineId),
    /// A piece of a beer's tank work.
    Tank(BeerId, usize),
    /// Cropping a strain.
    Crop(YeastId),
}

/// Work of a shift: how often each kind is done, and the columns that say so.
pub type Counts = BTreeMap<Kind, (i64, Terms)>;

/// What a plan does in a slot.
pub fn counts(context: &Context, values: &[f64], slot: Slot) -> Counts {
    let period = slot.0;
    let mut terms: BTreeMap<Kind, Terms> = BTreeMap::new();
    if let Some(of_period) = turns::turns(context).remove(&period) {
        terms.insert(Kind::Turn, of_period);
    }
    let mut add = |kind: Kind, column: ColumnId| terms.entry(kind).or_default().push((column, 1.0));
    if let Some(&first) = context.columns.first_turns.get(&period) {
        add(Kind::FirstTurn, first);
    }
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && lot.filled == Filled::In(period)
        {
            add(Kind::Fill(lot.group, bright_rest::is_carbonated_there(context, &lot)), hold.column);
        }
    }
    for ferment in &context.columns.ferments {
        if let Leaving::Direct { carbonated: Some(carbonated), .. } = ferment.leaving
            && carbonated == period
        {
            add(Kind::Carbonate, ferment.column);
        }
    }
    for way in &context.columns.tank_ways {
        for &(piece, _) in way.way.pieces.iter().filter(|&&(_, at)| at == period) {
            add(Kind::Tank(context.kind(way.kind).beer, piece), way.column);
        }
    }
    for (&((kind, _, _), _, at), &column) in &context.columns.crops {
        if let (true, Some(beer)) = (at == period, context.case.beer(context.kind(kind).beer).yeast) {
            add(Kind::Crop(beer.yeast), column);
        }
    }
    for group in context.groups.ids() {
        if let Some(&clean) = context.columns.clean.get(&(group, period)) {
            add(Kind::Clean(group), clean);
        }
        if let Some(&again) = context.columns.clean_again.get(&(group, period)) {
            add(Kind::Clean(group), again);
        }
        if let Some(&full) = context.columns.full_cleans.get(&(group, period)) {
            add(Kind::FullClean(group), full);
        }
        if let Some(&stale) = context.columns.stale.get(&(group, period)) {
            add(Kind::Sanitise, stale);
        }
        if let Some(&fresh) = context.columns.fresh.get(&(group, Some(period), period)) {
            add(Kind::CleanAndFill(group), fresh);
        }
    }
    for line in context.case.line_ids() {
        if let Some(&on) = context.columns.line_on.get(&(line, period)) {
            add(Kind::Line(line), on);
        }
    }
    let mut counts = Counts::new();
    for (kind, terms) in terms {
        let sum: f64 = terms.iter().map(|&(column, times)| values[column.0] * times).sum();
        if sum.round() >= 1.0 {
            counts.insert(kind, (sum.round() as i64, terms));
        }
    }
    counts
}

/// The most that a sum of columns can be, for the sum over a shift of a kind of work.
fn most(context: &Context, kind: Kind) -> f64 {
    let size = |group: GroupId| context.groups.get(group).size() as f64;
    let most = match kind {
        Kind::Turn => context.case.brewhouse.turns_per_day as f64,
        Kind::FirstTurn | Kind::Line(_) => 1.0,
        Kind::Fill(group, _) | Kind::Clean(group) | Kind::CleanAndFill(group) | Kind::FullClean(group) => {
            size(group)
        }
        Kind::Sanitise | Kind::Carbonate | Kind::Tank(..) | Kind::Crop(_) => {
            context.case.vessels.len() as f64
        }
    };
    most.max(1.0)
}

/// Forbids the counts, and as much or more of every kind.
pub fn forbid(context: &mut Context, counts: &Counts) {
    let mut row = Terms::new();
    for (&kind, (count, terms)) in counts {
        let is_reached = reached(context, kind, *count, terms);
        row.push((is_reached, 1.0));
    }
    let kinds = row.len() as f64;
    context.program.at_most(RuleId::Hours, row, kinds - 1.0);
}

/// A binary that is 1 where a kind is done at least so often.
fn reached(context: &mut Context, kind: Kind, count: i64, terms: &Terms) -> ColumnId {
    let most = most(context, kind).max(count as f64);
    let column = context.program.column(0.0, 1.0, true);
    let mut row = terms.clone();
    row.push((column, -(most - count as f64 + 1.0)));
    context.program.at_most(RuleId::Hours, row, count as f64 - 1.0);
    column
}

/// Forbids more than so many pieces of work in a shift, whatever they are: coarse, but there always is a plan within it.
pub fn forbid_so_much(context: &mut Context, counts: &Counts) {
    let pieces: i64 = counts.values().map(|&(count, _)| count).sum();
    let row: Terms = counts.values().flat_map(|(_, terms)| terms.clone()).collect();
    context.program.at_most(RuleId::Hours, row, (pieces - 1) as f64);
}
