//! R05: how long ready beer waits, in a fermenter and in a bright tank.

use cellarwright_model::units::Money;
use cellarwright_model::violation::{About, Amount};

use super::{Breaches, last_serving_day, tap};
use crate::ledger::{Holding, Kind, Ledger};

/// New batches and lots that stay past their hard end.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let bound = |holding: &&Holding| !holding.opening && tap(ledger, holding).is_none();
    for holding in ledger.holdings.iter().filter(bound) {
        let Some(day) = leaving_day(ledger, holding) else { continue };
        let hard_end = hard_end(ledger, holding);
        if day > hard_end {
            let slot = match holding.kind {
                Kind::Batch => holding.first_out(),
                Kind::Lot => holding.emptied,
            };
            let what = match holding.kind {
                Kind::Batch => "waits in the fermenter",
                Kind::Lot => "waits in the bright tank",
            };
            breaches.add(About::Vessel(holding.vessel), slot, what, Amount::Day(day), Amount::Day(hard_end));
        }
    }
}

/// Day up to which waiting counts: the first way out of a batch, the last packaging of a lot, or the day after the
/// planned days. None where the look-ahead decides.
#[must_use]
pub fn leaving_day(ledger: &Ledger, holding: &Holding) -> Option<i64> {
    // What is moved into a conditioning tank waits there.
    if holding.moves().next().is_some() {
        return None;
    }
    let slot = match holding.kind {
        Kind::Batch => holding.first_out(),
        Kind::Lot => holding.emptied,
    };
    match slot {
        Some(slot) => Some(ledger.day(slot)),
        None if ledger.looks_ahead() => None,
        None => Some(ledger.end()),
    }
}

/// The last day on which a batch may begin to leave or a lot may be emptied; a lot in a serving tank, poured.
#[must_use]
pub fn hard_end(ledger: &Ledger, holding: &Holding) -> i64 {
    if let Some(tap) = tap(ledger, holding) {
        return last_serving_day(holding, tap);
    }
    let beer = ledger.case.beer(holding.beer);
    match holding.kind {
        Kind::Batch => holding.on + beer.must_leave,
        Kind::Lot => holding.on + beer.bright_must_leave,
    }
}

/// The last day until which waiting is free.
#[must_use]
pub fn free_until(ledger: &Ledger, holding: &Holding) -> i64 {
    let beer = ledger.case.beer(holding.beer);
    match holding.kind {
        Kind::Batch => holding.ready + beer.may_wait,
        Kind::Lot => holding.on + beer.bright_wait,
    }
}

/// Cost of waiting (in a serving tank there is none), and of beer of day 0 that is over its hard end.
#[must_use]
pub fn costs(ledger: &Ledger, holding: &Holding) -> (Money, Money) {
    let Some(day) = leaving_day(ledger, holding) else { return (Money::ZERO, Money::ZERO) };
    if tap(ledger, holding).is_some() {
        return (Money::ZERO, Money::ZERO);
    }
    let rates = &ledger.case.rates;
    let waits = (day - free_until(ledger, holding)).max(0);
    let waiting = Money(rates.waiting.0 * waits).for_volume(holding.volume);
    let over = if holding.opening { (day - hard_end(ledger, holding)).max(0) } else { 0 };
    (waiting, Money(rates.over_limit.0 * over).for_volume(holding.volume))
}
