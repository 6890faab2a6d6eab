//! R19 serving: a serving tank is filled, rests, and is poured by what guests ask for; of each beer one tank is on tap.
//!
//! Columns: none where a lot still rests when the taproom opens, or is older than `pour_within`. Pouring of a day stands at the
//! last slot of the day. Rows:
//! - poured of a beer in a period <= asked for;
//! - in the planned days, for each lot and day: poured so far <= volume of the lots gone so far + volume of one lot x `on_tap`,
//!   for each beer and day: `on_tap` over all lots <= 1, and for each lot and day: poured of other lots
//!   <= asked for x (2 - `on_tap` the evening before - `on_tap`). (Where two alike lots may be filled together, what is packaged from
//!   them counts as poured here.)

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Tap, Vessel};
use cellarwright_model::ids::BeerId;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{MINUTES_PER_DAY, Minutes, Volume};

use super::{bright_rest, calendar, outage, wait};
use crate::compile::columns::{Emptied, Filled, Lot, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::Terms;

/// The tap that a lot is poured from, if its tank serves its beer.
pub fn tap<'a>(context: &Context<'a>, lot: &Lot) -> Option<&'a Tap> {
    context.case.tap(&context.groups.get(lot.group).like, lot.beer)
}

/// Days of a period on which beer is poured: in the planned days the day of which it is the last slot.
fn days(context: &Context, period: PeriodId) -> std::ops::RangeInclusive<i64> {
    let grid = context.grid.period(period);
    let shifts = context.case.calendar.shifts.len();
    let is_last = !context.grid.is_fine(period) || period % shifts == shifts - 1;
    let end = if is_last { grid.last_day } else { grid.first_day - 1 };
    grid.first_day..=end
}

/// What guests ask of a beer in a period.
pub fn asked(context: &Context, beer: BeerId, period: PeriodId) -> Volume {
    days(context, period).map(|day| context.case.asked(beer, day)).sum()
}

/// Clock time of filling a tank with a lot: what makes the tank fit for it, transfers, carbonating where it is done.
fn fill_work(context: &Context, lot: &Lot, tank: &Vessel) -> Minutes {
    let beer = context.case.beer(lot.beer);
    let is_carbonated = bright_rest::is_carbonated_there(context, lot);
    let gas = if is_carbonated { context.case.carbonating_takes(beer) } else { Minutes::ZERO };
    let transfers = bright_rest::filling_takes(context, lot);
    bright_rest::before_fill(tank) + transfers + gas
}

/// Whether the rest of a lot is over when the taproom opens on a day.
fn has_rested(context: &Context, lot: &Lot, tank: &Vessel, filled: Option<Slot>, day: i64) -> bool {
    let case = context.case;
    match (lot.filled, filled) {
        (Filled::Opening(position), _) => day >= case.in_tank[position].ready,
        (Filled::In(_), None) => false,
        (Filled::In(_), Some(slot)) => {
            let over = case.calendar.start(slot) + fill_work(context, lot, tank) + tank.rest;
            over <= Minutes(day * MINUTES_PER_DAY) + case.taproom.opens
        }
    }
}

/// Whether a lot of a period may be poured on the day of its fill.
pub fn may_pour_at_once(context: &Context, lot: &Lot) -> bool {
    let Filled::In(filled) = lot.filled else { return false };
    let tank = &context.groups.get(lot.group).like;
    calendar::working(context, Role::Cellar, filled).into_iter().any(|slot| {
        let day = context.case.calendar.day(slot) as i64;
        has_rested(context, lot, tank, Some(slot), day)
    })
}

/// Whether a lot may be poured in a period.
pub fn may_pour(context: &Context, lot: &Lot, period: PeriodId) -> bool {
    may_pour_from(context, lot, &context.groups.get(lot.group).like, period)
}

/// Whether a lot may be poured in a period from a tank that is like this one.
pub fn may_pour_from(context: &Context, lot: &Lot, tank: &Vessel, period: PeriodId) -> bool {
    let Some(tap) = tap(context, lot) else { return false };
    let fills: Vec<Option<Slot>> = match lot.filled {
        Filled::Opening(_) => vec![None],
        Filled::In(filled) => {
            calendar::working(context, Role::Cellar, filled).into_iter().map(Some).collect()
        }
    };
    let is_kept = context.keeps(RuleId::Serving);
    days(context, period).any(|day| {
        let is_there = usize::try_from(day)
            .is_ok_and(|day| outage::is_vessel_there(context, lot.group, context.case.calendar.slot(day, 0)));
        is_there
            && context.case.asked(lot.beer, day) > Volume::ZERO
            && fills.iter().any(|&filled| {
                let on = filled
                    .map_or(wait::fill_days(context, lot).0, |slot| context.case.calendar.day(slot) as i64);
                if is_kept {
                    has_rested(context, lot, tank, filled, day) && day <= on + tap.pour_within
                } else {
                    day >= on
                }
            })
    })
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let mut poured: BTreeMap<(BeerId, PeriodId), Terms> = BTreeMap::new();
    for (&(lot, period), &column) in &context.columns.pours {
        poured.entry((lot.beer, period)).or_default().push((column, 1.0));
    }
    for ((beer, period), terms) in poured {
        let asked = asked(context, beer, period).hectolitres();
        context.program.at_most(RuleId::Serving, terms, asked);
    }
    one_on_tap(context);
}

/// Slot-periods up to the end of a day.
fn is_by(context: &Context, period: PeriodId, day: i64) -> bool {
    context.grid.is_fine(period) && context.grid.period(period).last_day <= day
}

fn one_on_tap(context: &mut Context) {
    let mut nights: BTreeMap<(BeerId, i64), Terms> = BTreeMap::new();
    for (&(lot, day), &on) in &context.columns.on_tap.clone() {
        nights.entry((lot.beer, day)).or_default().push((on, 1.0));
        let source = Source::Bright(lot);
        let may_be_two = matches!(lot.filled, Filled::In(_)) && context.groups.get(lot.group).size() > 1;
        let mut row: Terms = Vec::new();
        let mut asked_so_far = Volume::ZERO;
        for (&(_, period), &column) in context.columns.pours.range((lot, 0)..=(lot, PeriodId::MAX)) {
            if is_by(context, period, day) {
                row.push((column, 1.0));
                asked_so_far += asked(context, lot.beer, period);
            }
        }
        let mut most = lot.volume.min(asked_so_far);
        for (&(_, period), &column) in context.columns.draws.range((source, 0)..=(source, PeriodId::MAX)) {
            if may_be_two && is_by(context, period, day) {
                row.push((column, 1.0));
                most = lot.volume;
            }
        }
        row.push((on, -most.hectolitres()));
        for hold in context.columns.holds.iter().filter(|hold| hold.source == source) {
            if let Emptied::At(period) | Emptied::Dump(period) = hold.emptied
                && is_by(context, period, day)
            {
                row.push((hold.column, -lot.volume.hectolitres()));
            }
        }
        context.program.at_most(RuleId::Serving, row, 0.0);
    }
    alone_on_tap(context);
    for terms in nights.into_values().filter(|terms| terms.len() > 1) {
        context.program.at_most(RuleId::Serving, terms, 1.0);
    }
}

/// While a lot is on tap from one evening to the next no other lot of the beer is poured.
fn alone_on_tap(context: &mut Context) {
    let shifts = context.case.calendar.shifts.len();
    for (&(lot, day), &on) in &context.columns.on_tap.clone() {
        let Some(&before) = context.columns.on_tap.get(&(lot, day - 1)) else { continue };
        let Ok(period) = usize::try_from(day).map(|day| (day + 1) * shifts - 1) else { continue };
        let others = context
            .columns
            .pours
            .iter()
            .filter(|((other, at), _)| *at == period && other.beer == lot.beer && *other != lot);
        let mut row: Terms = others.map(|(_, &column)| (column, 1.0)).collect();
        if row.is_empty() {
            continue;
        }
        let asked = asked(context, lot.beer, period).hectolitres();
        row.extend([(before, asked), (on, asked)]);
        context.program.at_most(RuleId::Serving, row, 2.0 * asked);
    }
}
