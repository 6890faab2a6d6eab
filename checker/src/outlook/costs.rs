//! What the look-ahead costs, and what its beer in tank is worth when the horizon ends.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Job, RoleTimes, Tap};
use cellarwright_model::ids::BeerId;
use cellarwright_model::money::{Breakdown, expected_packaged, in_tank_value};
use cellarwright_model::plan::{Count, Leaving, Used};
use cellarwright_model::units::{Minutes, Money, Volume, mul_div, rounded_mul_div};

use super::entry::{Batch, Entries, From, Lot, holding, last_vessel, leaves};
use super::people::{
    at_filter, carbonated, counts_brew_days, fill_job, is_gassed, line_time, longer_turns, most_people,
    moved, turns,
};
use super::volumes::{direct_volume, left_at_end};
use crate::exact::Fine;
use crate::ledger::Ledger;
use crate::objective::TankBeer;

/// Money so many times, rounded to the cent.
fn times(money: Money, count: i64) -> Money {
    Money(rounded_mul_div(money.0, count, Count::ONE.0))
}

/// Cost of person-time so many times, rounded to the cent.
fn labour(ledger: &Ledger, crew: RoleTimes, count: i128) -> Money {
    let total: Minutes = Role::ALL.into_iter().map(|role| crew.of(role)).sum();
    Fine(count.saturating_mul(i128::from(total.0))).cost(ledger.case.rates.labour)
}

/// Adds every cost of the look-ahead.
pub fn add(ledger: &Ledger, entries: &Entries, parts: &mut Breakdown) {
    for period in 0..entries.periods.len() {
        brewing(ledger, entries, period, parts);
        for batch in carbonated(ledger, entries, period) {
            let rate = ledger.case.beer(batch.beer).gas(ledger.case.rates.gas);
            let gas = rate.for_volume(direct_volume(ledger, batch));
            parts.labour += labour(ledger, ledger.case.carbonate.crew, i128::from(batch.count));
            parts.gas += times(gas, batch.count);
        }
        for batch in moved(entries, period) {
            let purge = ledger.case.vessel(last_vessel(batch)).purge;
            for job in [ledger.case.transfer.job, purge.job] {
                parts.labour += labour(ledger, job.crew, i128::from(batch.count));
            }
            parts.gas += times(purge.gas, batch.count);
            parts.transfers += times(ledger.case.rates.transfer, batch.count);
        }
        for line in ledger.case.line_ids() {
            let time = line_time(ledger, entries, line, period);
            parts.labour += time.times(ledger.case.line(line).people).cost(ledger.case.rates.labour);
        }
    }
    taproom(ledger, entries, parts);
    for batch in &entries.batches {
        waiting(ledger, entries, batch, parts);
        tank_work(ledger, batch, parts);
    }
    for lot in &entries.lots {
        fill(ledger, lot, parts);
        waiting_lot(ledger, entries, lot, parts);
    }
    for &(period, what, count) in &entries.uses {
        match what {
            Used::Clean(vessel) => {
                let Job { crew, .. } = ledger.case.vessel(vessel).clean;
                parts.labour += labour(ledger, crew, i128::from(count));
                parts.cleaning += times(ledger.case.rates.clean, count);
            }
            Used::OvertimeMinutes(crew) => {
                let cost = ledger.case.crew(crew).overtime.map_or(Money::ZERO, |limit| limit.cost);
                let people = most_people(ledger, entries, period, crew);
                parts.overtime += Fine(i128::from(count)).times(people).cost(cost);
            }
            // A visit counts as many shifts as a day has.
            Used::LineShift(line) => {
                let shifts = ledger.case.calendar.shifts.len().max(1) as i64;
                let visit = ledger.case.line(line).visit;
                parts.visits += Money(rounded_mul_div(visit.0, count, Count::ONE.0 * shifts));
            }
            Used::SecondTransfer(_) => {
                parts.labour += labour(ledger, ledger.case.transfer.job.crew, i128::from(count));
                parts.transfers += times(ledger.case.rates.transfer, count);
            }
            Used::BoughtYeast(yeast) => {
                let bought = ledger.case.yeast.strain(yeast).bought;
                parts.yeast += times(bought.map_or(Money::ZERO, |bought| bought.price), count);
            }
            Used::BrewDay | Used::Run(..) => {}
        }
    }
}

/// What the taproom pours in each period, and what guests ask for and do not get; by beer and period, to the cent.
fn taproom(ledger: &Ledger, entries: &Entries, parts: &mut Breakdown) {
    for tap in &ledger.case.taproom.pours {
        for period in 0..entries.periods.len() {
            let asked = entries.asked(ledger.case, period, tap.beer);
            let volume = entries.poured(period, tap.beer).min(asked);
            parts.poured += tap.contribution.for_volume(volume);
            parts.dry_taps += ledger.case.rates.dry_tap.for_volume(asked - volume);
            parts.poured_look_ahead += volume;
        }
    }
}

fn brewing(ledger: &Ledger, entries: &Entries, period: usize, parts: &mut Breakdown) {
    let brewhouse = &ledger.case.brewhouse;
    let first = if counts_brew_days(ledger) { entries.used(period, Used::BrewDay) } else { 0 };
    let further = turns(entries, period) - first;
    parts.labour += labour(ledger, brewhouse.first_turn.crew, first);
    parts.labour += labour(ledger, brewhouse.next_turn.crew, further);
    for (longer, turns) in longer_turns(ledger, entries, period) {
        parts.labour += labour(ledger, longer.crew, turns);
    }
}

/// Person-time of the tank work that is left to the look-ahead.
fn tank_work(ledger: &Ledger, batch: &Batch, parts: &mut Breakdown) {
    let held = holding(ledger, batch.from);
    let from = held.map_or(Some(0), |held| held.work.pending);
    for work in from.and_then(|from| ledger.case.beer(batch.beer).tank_work.get(from..)).unwrap_or_default() {
        parts.labour += labour(ledger, work.job.crew, i128::from(batch.count));
    }
}

/// Cost of filling a new lot.
fn fill(ledger: &Ledger, lot: &Lot, parts: &mut Breakdown) {
    if !matches!(lot.from, From::Period(_)) {
        return;
    }
    let rates = &ledger.case.rates;
    for job in fill_job(ledger, lot) {
        parts.labour += labour(ledger, job.crew, i128::from(lot.count));
    }
    let at_filter = at_filter(ledger, lot).0.saturating_mul(i128::from(lot.count));
    parts.labour += Fine(at_filter / i128::from(Count::ONE.0)).cost(rates.labour);
    parts.transfers += times(rates.transfer, lot.count);
    if is_gassed(ledger, lot) {
        let gas = ledger.case.beer(lot.beer).gas(rates.gas);
        parts.gas += times(gas.for_volume(lot.volume), lot.count);
    }
    parts.gas += times(ledger.case.vessel(lot.vessel).purge.gas, lot.count);
    if ledger.case.vessel(lot.vessel).is_bright_only() {
        parts.cleaning += times(rates.clean, lot.count);
    }
}

/// Waiting from the last possible ready day to the first day of leaving, over-limit of beer of day 0, and dumping.
fn waiting(ledger: &Ledger, entries: &Entries, batch: &Batch, parts: &mut Breakdown) {
    let rates = &ledger.case.rates;
    let beer = ledger.case.beer(batch.beer);
    if let Leaving::Dump(_) = batch.leaving {
        parts.last_resort += times(rates.dump.for_volume(batch.volume), batch.count);
    }
    let held = holding(ledger, batch.from);
    if held.is_some_and(|held| held.has_begun()) {
        return;
    }
    let end = ledger.case.calendar.days() as i64;
    let leaves = leaves(batch.leaving).map_or(end, |period| entries.first_day(period));
    let volume = held.filter(|_| batch.moved.is_none()).map_or(batch.volume, |held| held.volume);
    let waits = (leaves - entries.ready(ledger, batch).last - beer.may_wait).max(0);
    parts.waiting += times(Money(rates.waiting.0 * waits).for_volume(volume), batch.count);
    if let Some(held) = held.filter(|held| held.opening) {
        let over = (leaves - held.on - beer.must_leave).max(0);
        parts.last_resort += times(Money(rates.over_limit.0 * over).for_volume(volume), batch.count);
    }
}

/// Waiting from the last possible fill day to the first day of the period of the last packaging, over-limit of lots of day 0.
fn waiting_lot(ledger: &Ledger, entries: &Entries, lot: &Lot, parts: &mut Breakdown) {
    if tap(ledger, lot).is_some() {
        return;
    }
    let rates = &ledger.case.rates;
    let beer = ledger.case.beer(lot.beer);
    let end = ledger.case.calendar.days() as i64;
    let emptied = lot.emptied.map_or(end, |period| entries.first_day(period));
    let filled = entries.filled(ledger, lot.from).last;
    let held = holding(ledger, lot.from);
    let volume = held.map_or(lot.volume, |held| held.volume);
    let waits = (emptied - filled - beer.bright_wait).max(0);
    parts.waiting += times(Money(rates.waiting.0 * waits).for_volume(volume), lot.count);
    if held.is_some_and(|held| held.opening) {
        let over = (emptied - filled - beer.bright_must_leave).max(0);
        parts.last_resort += times(Money(rates.over_limit.0 * over).for_volume(volume), lot.count);
    }
}

/// Batches and lots that are still there when the horizon ends.
#[must_use]
pub fn in_tank(ledger: &Ledger, entries: &Entries) -> Vec<TankBeer> {
    let mut tanks: Vec<TankBeer> = Vec::new();
    let staying = entries.batches.iter().filter(|batch| batch.leaving == Leaving::Stays);
    tanks.extend(staying.filter_map(|batch| batch_at_end(ledger, entries, batch)));
    for beer in ledger.case.beer_ids() {
        let lots: Vec<&Lot> =
            entries.lots.iter().filter(|lot| lot.beer == beer && lot.emptied.is_none()).collect();
        let whole: i128 =
            lots.iter().map(|lot| i128::from(lot.volume.0) * i128::from(lot.count) / 1_000_000).sum();
        let left = left_at_end(ledger, entries, beer);
        for lot in lots {
            tanks.extend(lot_at_end(ledger, entries, lot, left.min(whole), whole));
        }
        direct_at_end(ledger, entries, beer, left - whole, &mut tanks);
    }
    tanks
}

/// What is left besides lots is in fermenters that are being packaged from: whole batches, the latest to leave first.
fn direct_at_end(ledger: &Ledger, entries: &Entries, beer: BeerId, left: i128, tanks: &mut Vec<TankBeer>) {
    let mut left = left;
    for period in (0..entries.periods.len()).rev() {
        if !reaches_end(ledger, entries, period) {
            return;
        }
        for batch in &entries.batches {
            let each = direct_volume(ledger, batch);
            if batch.beer != beer || batch.leaving != Leaving::Direct(period) || left <= 0 || each.0 <= 0 {
                continue;
            }
            let wanted = left.saturating_mul(i128::from(Count::ONE.0)) / i128::from(each.0);
            let count = i64::try_from(wanted).unwrap_or(i64::MAX).min(batch.count);
            left -= i128::from(count) * i128::from(each.0) / i128::from(Count::ONE.0);
            let value = in_tank_value(ledger.case, beer, each, true, 1, 1);
            let expected = expected_packaged(ledger.case, ledger.case.beer(beer), each, true);
            tanks.push(tank_beer(beer, value, expected, count));
        }
    }
}

/// Whether the packaging of a fermenter that begins in a period may go on in the last one: it takes at most three working days.
fn reaches_end(ledger: &Ledger, entries: &Entries, period: usize) -> bool {
    let packages = |day: &i64| ledger.works_on(Role::Package, *day);
    let last = entries.periods.len().saturating_sub(1);
    let begins = (entries.first_day(period)..=entries.last_day(period)).rev().find(packages);
    let ends = (entries.first_day(last)..=entries.last_day(last)).find(packages);
    match (begins, ends) {
        (Some(begins), Some(ends)) => ledger.working_days(Role::Package, begins, ends) <= 3,
        (Some(begins), None) => ledger.working_days(Role::Package, begins, entries.last_day(last)) <= 3,
        (None, _) => false,
    }
}

fn batch_at_end(ledger: &Ledger, entries: &Entries, batch: &Batch) -> Option<TankBeer> {
    let end = ledger.case.calendar.days() as i64;
    let beer = ledger.case.beer(batch.beer);
    let filled = entries.filled(ledger, batch.from);
    let held = holding(ledger, batch.from);
    if end > filled.last + beer.must_leave && !held.is_some_and(|held| held.has_begun()) {
        return None;
    }
    let is_packaged = held.is_some_and(|held| held.draws().next().is_some());
    let ready = entries.ready(ledger, batch).first;
    let (elapsed, stay) = (end.min(ready) - filled.first, ready - filled.first);
    let value = in_tank_value(ledger.case, batch.beer, batch.volume, is_packaged, elapsed, stay);
    let expected = expected_packaged(ledger.case, beer, batch.volume, is_packaged);
    Some(tank_beer(batch.beer, value, expected, batch.count))
}

fn lot_at_end(ledger: &Ledger, entries: &Entries, lot: &Lot, left: i128, whole: i128) -> Option<TankBeer> {
    let end = ledger.case.calendar.days() as i64;
    let beer = ledger.case.beer(lot.beer);
    let within = tap(ledger, lot).map_or(beer.bright_must_leave, |tap| tap.pour_within);
    if whole <= 0 || end > entries.filled(ledger, lot.from).last + within {
        return None;
    }
    let (left, whole) = (i64::try_from(left).ok()?, i64::try_from(whole).ok()?);
    let volume = Volume(mul_div(lot.volume.0, left, whole));
    let value = in_tank_value(ledger.case, lot.beer, volume, true, 1, 1);
    let expected = expected_packaged(ledger.case, beer, volume, true);
    Some(tank_beer(lot.beer, value, expected, lot.count))
}

/// The tap that a lot is poured from, if its vessel serves its beer.
#[must_use]
pub fn tap<'a>(ledger: &Ledger<'a>, lot: &Lot) -> Option<&'a Tap> {
    ledger.case.tap(ledger.case.vessel(lot.vessel), lot.beer)
}

fn tank_beer(beer: BeerId, value: Money, expected: Volume, count: i64) -> TankBeer {
    let expected = Volume(mul_div(expected.0, count, Count::ONE.0));
    TankBeer { beer, value: times(value, count), expected }
}
