//! R17 tank work: in order, within limits early and late; what follows is late by as much; contact times; chills a day.
//!
//! Columns: for every batch begun in the planned days (and every opening batch) the ways to put its pieces of work into
//! slots, each with the course of the batch that follows from it: ready day, first day of leaving, first slot of carbonating, slots
//! of a move into a conditioning tank, where it goes on by the same course. Batches that cannot keep their limits have no way, so no
//! column (`tank_ways`). Rows: batches that leave by a course = ways with that course;
//! chills of a day <= `chills_a_day`. What is left to later days is put on the days that make the beer ready, and free to leave, earliest.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::TankWork;
use cellarwright_model::rule::RuleId;

use crate::compile::columns::{Course, Leaving, TankWay};
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

pub use super::tank_ways::{Way, courses};
use super::tank_ways::{is_chill, ways};

/// The pieces of tank work of a kind of batch; none where the rule is left out.
pub fn pieces<'a>(context: &Context<'a>, kind: KindId) -> &'a [TankWork] {
    let beer = context.kind(kind).beer;
    if context.keeps(RuleId::TankWork) { &context.case.beer(beer).tank_work } else { &[] }
}

/// Adds the columns of the ways, for every fill that has columns of leaving.
pub fn add_columns(context: &mut Context) {
    let mut fills: Vec<(KindId, GroupId, Option<PeriodId>)> = Vec::new();
    for ferment in &context.columns.ferments {
        // What is moved takes the way along that it came by.
        let is_moved = matches!(context.kind(ferment.kind).origin, Origin::Moved { .. });
        let is_planned = !is_moved && ferment.filled.is_none_or(|period| context.grid.is_fine(period));
        if is_planned && !pieces(context, ferment.kind).is_empty() {
            fills.push((ferment.kind, ferment.group, ferment.filled));
        }
    }
    fills.dedup();
    for (kind, group, filled) in fills {
        let size = if filled.is_none() { 1.0 } else { context.groups.get(group).size() as f64 };
        for way in ways(context, kind, group, filled) {
            let column = context.program.column(0.0, size, true);
            context.columns.tank_ways.push(TankWay { kind, group, filled, way, column });
        }
    }
}

/// Whether a column of leaving is tied to a way of tank work: all but pouring away in the planned days.
pub fn is_tied(context: &Context, leaving: Leaving) -> bool {
    !matches!(leaving, Leaving::Dump(period) if context.grid.is_fine(period))
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let mut balance: BTreeMap<(KindId, GroupId, Option<PeriodId>, &Course), Terms> = BTreeMap::new();
    let mut chills: BTreeMap<usize, Terms> = BTreeMap::new();
    for way in &context.columns.tank_ways {
        let key = (way.kind, way.group, way.filled, &way.way.course);
        balance.entry(key).or_default().push((way.column, -1.0));
        let pieces = pieces(context, way.kind);
        for &(position, period) in &way.way.pieces {
            if is_chill(&pieces[position]) {
                let day = context.case.calendar.day(Slot(period));
                chills.entry(day).or_default().push((way.column, 1.0));
            }
        }
    }
    for ferment in &context.columns.ferments {
        let key = (ferment.kind, ferment.group, ferment.filled, &ferment.course);
        if let Some(terms) = balance.get_mut(&key)
            && is_tied(context, ferment.leaving)
        {
            terms.push((ferment.column, 1.0));
        }
    }
    let balance: Vec<Terms> = balance.into_values().collect();
    for terms in balance {
        context.program.equal(RuleId::TankWork, terms, 0.0);
    }
    if let Some(limit) = context.case.cooling.chills_a_day {
        for terms in chills.into_values() {
            context.program.at_most(RuleId::TankWork, terms, limit as f64);
        }
    }
}
