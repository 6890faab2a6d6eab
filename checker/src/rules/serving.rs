//! R19: what is poured in the taproom, from which tank, when and how much.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::case::Tap;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::tolerance;
use cellarwright_model::units::{MINUTES_PER_DAY, Minutes, Volume};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Carbonated, Holding, Kind, Ledger, Way};

/// Pours on days that are not planned or of nothing, of beer that rests or is too old, of more than guests ask for, and
/// second tanks of a beer on tap.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for &position in &ledger.bad_pours {
        let pour = ledger.plan.pours[position];
        let (found, allowed) = (Amount::Volume(pour.volume), Amount::Words("some beer on a planned day"));
        breaches.add(About::Vessel(pour.vessel), None, "pouring", found, allowed);
    }
    for holding in ledger.holdings.iter() {
        if let Some(tap) = tap(ledger, holding) {
            times(ledger, holding, tap, breaches);
        }
    }
    demand(ledger, breaches);
    for tap in &ledger.case.taproom.pours {
        on_tap(ledger, tap.beer, breaches);
    }
}

/// The tap that a lot is poured from, if its vessel serves its beer.
#[must_use]
pub fn tap<'a>(ledger: &Ledger<'a>, holding: &Holding) -> Option<&'a Tap> {
    let vessel = ledger.case.vessel(holding.vessel);
    ledger.case.tap(vessel, holding.beer).filter(|_| holding.kind == Kind::Lot)
}

/// The last day on which a lot is poured or packaged from a serving tank.
#[must_use]
pub fn last_day(holding: &Holding, tap: &Tap) -> i64 {
    holding.on + tap.pour_within
}

/// The first day on which the rest of a lot is over when the taproom opens.
fn first_day(ledger: &Ledger, holding: &Holding) -> i64 {
    let case = ledger.case;
    let Some(fill) = holding.from else { return holding.ready };
    let vessel = case.vessel(holding.vessel);
    let cleaning =
        if vessel.is_bright_only() { ledger.cleaning(fill, holding.vessel).takes } else { Minutes::ZERO };
    let is_carbonated = holding.carbonated == Carbonated::In(fill) && case.beer(holding.beer).is_forced();
    let carbonating =
        if is_carbonated { case.carbonating_takes(case.beer(holding.beer)) } else { Minutes::ZERO };
    let over = case.calendar.start(fill)
        + cleaning
        + vessel.purge.job.takes
        + ledger.lot_filling_takes(holding)
        + carbonating
        + vessel.rest;
    // The first day d with d x 24 h + opens >= over.
    let behind = (over - case.taproom.opens).0;
    behind.div_euclid(MINUTES_PER_DAY) + i64::from(behind.rem_euclid(MINUTES_PER_DAY) > 0)
}

fn times(ledger: &Ledger, holding: &Holding, tap: &Tap, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    let (first, last) = (first_day(ledger, holding), last_day(holding, tap));
    let mut is_told = false;
    for out in &holding.outs {
        let day = ledger.day(out.slot);
        let is_poured = out.way == Way::Pour;
        if is_poured && day < first && !is_told {
            breaches.add(about, out.slot, "pouring", Amount::Day(day), Amount::Day(first));
            is_told = true;
        }
        if (is_poured || matches!(out.way, Way::Line(_) | Way::Serve { .. })) && day > last {
            breaches.add(about, out.slot, "in the serving tank", Amount::Day(day), Amount::Day(last));
            return;
        }
    }
}

/// What is poured of each beer on each planned day.
#[must_use]
pub fn poured(ledger: &Ledger) -> BTreeMap<(BeerId, i64), Volume> {
    let mut poured: BTreeMap<(BeerId, i64), Volume> = BTreeMap::new();
    for holding in &ledger.holdings {
        for out in holding.outs.iter().filter(|out| out.way == Way::Pour) {
            *poured.entry((holding.beer, ledger.day(out.slot))).or_default() += out.volume;
        }
    }
    poured
}

fn demand(ledger: &Ledger, breaches: &mut Breaches) {
    for ((beer, day), volume) in poured(ledger) {
        let asked = ledger.case.asked(beer, day);
        if volume > asked + tolerance::VOLUME {
            let slot = usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0));
            let (found, allowed) = (Amount::Volume(volume), Amount::Volume(asked));
            breaches.add(About::Beer(beer), slot, "poured", found, allowed);
        }
    }
}

/// A tank of a beer that has begun to pour.
struct OnTap {
    vessel: VesselId,
    /// Days on which it pours.
    pours: BTreeSet<i64>,
    /// Days at the end of which it is neither empty nor too old for the next day.
    nights: std::ops::Range<i64>,
}

fn begun(ledger: &Ledger, beer: BeerId) -> Vec<OnTap> {
    let mut all = Vec::new();
    for holding in ledger.holdings.iter().filter(|holding| holding.beer == beer) {
        let Some(tap) = tap(ledger, holding) else { continue };
        let outs = holding.outs.iter().filter(|out| out.way == Way::Pour);
        let pours: BTreeSet<i64> = outs.map(|out| ledger.day(out.slot)).collect();
        let Some(&begins) = pours.first() else { continue };
        let ends = holding.emptied.map_or(ledger.end(), |slot| ledger.day(slot));
        let nights = begins..ends.min(last_day(holding, tap));
        all.push(OnTap { vessel: holding.vessel, pours, nights });
    }
    all
}

/// A tank that has begun to pour stays on tap until it is empty or too old: until then no other tank of the beer pours, and
/// at the end of a day only one has begun.
fn on_tap(ledger: &Ledger, beer: BeerId, breaches: &mut Breaches) {
    let tanks = begun(ledger, beer);
    for one in &tanks {
        let clashes = |other: &&OnTap| {
            let stays = |day: &i64| other.nights.contains(day) && other.nights.contains(&(day - 1));
            let both_open = one.nights.start.max(other.nights.start) < one.nights.end.min(other.nights.end);
            !std::ptr::eq(one, *other)
                && (one.pours.iter().any(stays) || (both_open && one.vessel > other.vessel))
        };
        if let Some(other) = tanks.iter().find(clashes) {
            let day = one.nights.start.max(other.nights.start);
            let slot = usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0));
            breaches.add(
                About::Vessel(one.vessel),
                slot,
                "tanks on tap",
                Amount::Number(2),
                Amount::Number(1),
            );
        }
    }
}
