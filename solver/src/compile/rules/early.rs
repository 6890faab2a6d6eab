//! What is packaged early in a half week of the look-ahead: valid rows, so that the look-ahead promises less that cannot be.
//!
//! A half week has one column for what is packaged of a beer in a format. An order that is due before all of that can be
//! there draws on `early[beer, format, period, day]`, what is packaged in it up to a day:
//!
//! - up to a day <= up to the next such day <= in the whole period;
//! - of all beers on a line, up to a day <= what the line can take in its working slots up to the day;
//! - of a beer, up to a day <= drawn in the period from lots filled before it + the beer of batches that leave in the period and can be
//!   packaged by the day.
//!
//! And whatever is due: drawn in a period from lots filled in it <= the beer of batches that leave in it and, once they are ready, have a slot
//! for their transfer (or for carbonating) and a later one for packaging in it.
//!
//! Only the half weeks have these rows: with them in whole weeks too the search of a large brewery takes too long (measured: see DEVELOPERS.md).
//! Proof: in a plan in slots, `early` is what is packaged in the slots up to the day. What a lot or a fermenter gives by then, it held before the period,
//! or its batch has left in one slot of the period and is packaged in another.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::ids::{BeerId, FormatId, LineId};
use cellarwright_model::rule::RuleId;

use super::{calendar, direct, line, orders, outage, volume};
use crate::compile::columns::fermenting::may_leave;
use crate::compile::columns::{Ferment, Filled, Leaving, Lot, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms};

/// Adds the columns of what is packaged up to days within half weeks, where a delivery asks for them.
pub fn add_columns(context: &mut Context) {
    if !context.keeps(RuleId::Orders) {
        return;
    }
    let mut wanted: BTreeSet<(BeerId, FormatId, PeriodId, i64)> = BTreeSet::new();
    for &(id, day) in context.columns.deliver.keys() {
        let order = context.case.order(id);
        for period in context.grid.half_weeks() {
            if !context.columns.packs.contains_key(&(order.beer, order.format, period)) {
                continue;
            }
            let days = orders::packaging_days(context, period);
            let in_time =
                days.iter().rev().find(|&&packaged| orders::there_from(context, order.beer, packaged) <= day);
            if let Some(&last) = in_time.filter(|&last| Some(last) != days.last()) {
                wanted.insert((order.beer, order.format, period, last));
            }
        }
    }
    for key in wanted {
        let early = context.program.column(0.0, f64::INFINITY, false);
        context.columns.early.insert(key, early);
    }
}

/// Writes the rows.
pub fn add(context: &mut Context) {
    in_order(context);
    line_time(context);
    ready_in_time(context);
    drawn_at_once(context);
}

fn in_order(context: &mut Context) {
    let early: Vec<((BeerId, FormatId, PeriodId, i64), ColumnId)> =
        context.columns.early.iter().map(|(&key, &column)| (key, column)).collect();
    for (position, &((beer, format, period, _), column)) in early.iter().enumerate() {
        let goods = (beer, format, period);
        let next = early.get(position + 1).filter(|&&((beer, format, at, _), _)| (beer, format, at) == goods);
        let more = next.map_or_else(|| context.columns.packs[&goods], |&(_, next)| next);
        context.program.at_most(RuleId::Orders, vec![(column, 1.0), (more, -1.0)], 0.0);
    }
}

fn line_time(context: &mut Context) {
    let mut early: BTreeMap<(LineId, PeriodId, i64), Terms> = BTreeMap::new();
    for (&(_, format, period, day), &column) in &context.columns.early {
        let line = context.case.format(format).line;
        early.entry((line, period, day)).or_default().push((column, 1.0));
    }
    for ((line, period, day), terms) in early {
        let slots = line::working(context, line, period).into_iter();
        let slots: Vec<Slot> = slots.filter(|&slot| context.case.calendar.day(slot) as i64 <= day).collect();
        let most: f64 = slots.into_iter().map(|slot| line::most_in_slot(context, line, slot)).sum();
        context.program.at_most(RuleId::Orders, terms, most);
    }
}

fn ready_in_time(context: &mut Context) {
    let mut packaged: BTreeMap<(BeerId, PeriodId, i64), Terms> = BTreeMap::new();
    for (&(beer, _, period, day), &column) in &context.columns.early {
        packaged.entry((beer, period, day)).or_default().push((column, 1.0));
    }
    for ((beer, period, day), mut terms) in packaged {
        for (&(source, at), &draw) in &context.columns.draws {
            if at == period && volume::beer_of(context, source) == beer && filled_in(source) != Some(period) {
                terms.push((draw, -1.0));
            }
        }
        terms.extend(in_time(context, beer, period, day).0);
        context.program.at_most(RuleId::Orders, terms, 0.0);
    }
}

/// What is drawn in a period from lots that are filled in it comes from batches that leave early enough.
fn drawn_at_once(context: &mut Context) {
    let mut drawn: BTreeMap<(BeerId, PeriodId), Terms> = BTreeMap::new();
    for (&(source, period), &draw) in &context.columns.draws {
        if context.grid.half_weeks().contains(&period) && filled_in(source) == Some(period) {
            drawn.entry((volume::beer_of(context, source), period)).or_default().push((draw, 1.0));
        }
    }
    for ((beer, period), mut terms) in drawn {
        let (in_time, is_all) = in_time(context, beer, period, i64::MAX);
        if !is_all {
            terms.extend(in_time);
            context.program.at_most(RuleId::Ready, terms, 0.0);
        }
    }
}

/// What batches of a beer that leave in a period give to be packaged in it up to a day, to be taken off; and whether all batches are among them.
fn in_time(context: &Context, beer: BeerId, period: PeriodId, day: i64) -> (Terms, bool) {
    let mut terms = Terms::new();
    let mut is_all = true;
    for ferment in context.columns.ferments.iter().filter(|ferment| leaves_in(ferment, period)) {
        if context.kind(ferment.kind).beer != beer {
            continue;
        }
        if may_be_packaged_by(context, ferment, period, day) {
            terms.push((ferment.column, -gives(context, ferment)));
        } else {
            is_all = false;
        }
    }
    (terms, is_all)
}

/// The period in which a source is filled, or first packaged from; none of beer in bright tanks on day 0.
fn filled_in(source: Source) -> Option<PeriodId> {
    match source {
        Source::Bright(Lot { filled: Filled::In(period), .. }) => Some(period),
        Source::Bright(Lot { filled: Filled::Opening(_), .. }) => None,
        Source::Direct(lot) => Some(lot.first),
    }
}

fn leaves_in(ferment: &Ferment, period: PeriodId) -> bool {
    match ferment.leaving {
        Leaving::Bright { first, last } => first <= period && last.is_none_or(|last| period <= last),
        Leaving::Direct { first, .. } => first == period,
        Leaving::Moved { .. } | Leaving::Dump(_) | Leaving::Stays => false,
    }
}

/// Volume that a batch gives for packaging at most, hL.
fn gives(context: &Context, ferment: &Ferment) -> f64 {
    let kind = context.kind(ferment.kind);
    match ferment.leaving {
        Leaving::Direct { .. } => kind.direct_volume.hectolitres(),
        _ => context.case.arrives(context.case.beer(kind.beer), kind.tank_volume).hectolitres(),
    }
}

/// Whether some beer of a batch that begins to leave in a period of the look-ahead, or has begun before, can be packaged in it up to a day.
fn may_be_packaged_by(context: &Context, ferment: &Ferment, period: PeriodId, day: i64) -> bool {
    let packaging: Vec<Slot> = calendar::working(context, Role::Package, period)
        .into_iter()
        .filter(|&slot| context.case.calendar.day(slot) as i64 <= day)
        .collect();
    let leaves = |slot: Slot| may_leave(context, ferment.kind, ferment.filled, &ferment.course, slot);
    match ferment.leaving {
        Leaving::Bright { first, .. } if first < period => !packaging.is_empty(),
        Leaving::Bright { .. } => {
            let mut moving = outage::working_with(context, Role::Cellar, ferment.group, period).into_iter();
            let is_soon = |slot: Slot| {
                leaves(slot)
                    && packaging.iter().any(|&packaged| packaged > slot || !context.keeps(RuleId::BrightRest))
            };
            moving.any(is_soon)
        }
        Leaving::Direct { .. } => packaging.iter().any(|&slot| {
            leaves(slot) && direct::may_be_carbonated_before(context, ferment.kind, &ferment.course, slot)
        }),
        Leaving::Moved { .. } | Leaving::Dump(_) | Leaving::Stays => false,
    }
}
