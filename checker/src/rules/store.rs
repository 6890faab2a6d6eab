//! R13: what stands in the cold store, what is hired for it, and what is lacking of least stocks.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{ColdStore, Each, StoreUnit};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::tolerance;
use cellarwright_model::units::{Money, Volume, rounded_mul_div};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, Packed};

/// Days on which it is known what is packaged and not delivered.
fn known_days(ledger: &Ledger) -> Vec<i64> {
    let mut days: Vec<i64> = (0..ledger.end()).collect();
    if ledger.looks_ahead() {
        for period in &ledger.plan.outlook.periods {
            let end = ledger.case.calendar.days() as i64;
            let (first, last) = (period.first_day as i64, (period.last_day as i64).min(end - 1));
            let packages = |&day: &i64| ledger.works_on(Role::Package, day);
            if let Some(known) = (first..=last).rev().find(packages) {
                days.extend(known..=last);
            }
        }
    }
    days
}

/// Packaged and not delivered at the end of a day, by beer and format; each lot counts from a day of its own.
fn levels(ledger: &Ledger, day: i64, from: fn(&Packed) -> i64) -> BTreeMap<(BeerId, FormatId), i64> {
    let mut levels: BTreeMap<(BeerId, FormatId), i64> = BTreeMap::new();
    for (&goods, packed) in &ledger.goods.packed {
        let there = packed.iter().filter(|packed| from(packed) <= day).map(|packed| packed.volume.0);
        levels.insert(goods, there.fold(0, i64::saturating_add));
    }
    for delivery in ledger.goods.handed.iter().filter(|delivery| delivery.day <= day) {
        let order = ledger.case.order(delivery.order);
        let level = levels.entry((order.beer, order.format)).or_default();
        *level = level.saturating_sub(delivery.volume.0);
    }
    levels
}

/// What stands in the cold store at the end of a day, in its unit.
#[must_use]
pub fn stored(ledger: &Ledger, store: &ColdStore, day: i64) -> i64 {
    let takes = |(&(_, format), &level): (&(BeerId, FormatId), &i64)| {
        ledger.case.takes_up(store, format, Volume(level))
    };
    levels(ledger, day, |packed| packed.stored).iter().map(takes).fold(0, i64::saturating_add)
}

/// Days on which more stands in the cold store than it holds with all that can be hired.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let Some(store) = &ledger.case.cold_store else { return };
    let most = store.holds.saturating_add(store.overflow).max(ledger.case.stored_before(store));
    let kinds = ledger.goods.packed.len() as i64 + 1;
    let rounding: i64 = store
        .formats
        .iter()
        .map(|&format| ledger.case.takes_up(store, format, Volume(tolerance::VOLUME.0 * kinds)))
        .max()
        .unwrap_or(0)
        .max(kinds);
    let amount = |stored: i64| match store.unit {
        StoreUnit::Volume => Amount::Volume(Volume(stored)),
        StoreUnit::Pallets => Amount::Pallets(stored),
    };
    for day in known_days(ledger) {
        let stored = stored(ledger, store, day);
        if stored > most.saturating_add(rounding) {
            let slot = ledger.case.calendar.slot(usize::try_from(day).unwrap_or_default(), 0);
            breaches.add(About::ColdStore, slot, "stands in it", amount(stored), amount(most));
        }
    }
}

/// What the overflow of the cold store costs.
#[must_use]
pub fn hired_cost(ledger: &Ledger) -> Money {
    let Some(store) = &ledger.case.cold_store else { return Money::ZERO };
    let costs = known_days(ledger).into_iter().map(|day| {
        let over = (stored(ledger, store, day) - store.holds).max(0);
        Money(rounded_mul_div(store.cost.0, over, store.unit.priced()))
    });
    costs.sum()
}

/// What is lacking of least stocks costs.
#[must_use]
pub fn lacking_cost(ledger: &Ledger) -> Money {
    let mut cost = Money::ZERO;
    if ledger.case.keep.is_empty() {
        return cost;
    }
    for day in known_days(ledger) {
        let levels = levels(ledger, day, |packed| packed.packaged);
        let is_sunday = ledger.case.calendar.date(day).weekday().to_monday_zero_offset() == 6;
        for keep in ledger.case.keep.iter().filter(|keep| keep.each == Each::Day || is_sunday) {
            let level = levels.get(&(keep.beer, keep.format)).copied().unwrap_or(0).max(0);
            cost += keep.cost.for_volume(Volume((keep.at_least.0 - level).max(0)));
        }
    }
    cost
}
