//! R17: tank work is done in order, within its limits, with its contact times, and the cooling plant takes its chills.

use std::collections::BTreeMap;

use cellarwright_model::case::TankWorkKind;
use cellarwright_model::plan::Work;
use cellarwright_model::units::Money;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::cooling::heat_by_day;
use crate::ledger::{Carbonated, Holding, Kind, Ledger, Misfit, Way};

/// Pieces of work too early, too late, out of order, left out or out of place; beer that leaves too soon after them; too many chills.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for &(position, misfit) in &ledger.misfits {
        let task = &ledger.plan.tasks[position];
        let Work::Tank { vessel, .. } = task.work else { continue };
        let (found, allowed) = match misfit {
            Misfit::NoSuchTankWork => ("work of another beer", "work of the beer that is in it"),
            Misfit::TankWorkTwice => ("a second time", "once"),
            _ => continue,
        };
        let (found, allowed) = (Amount::Words(found), Amount::Words(allowed));
        breaches.add(About::Vessel(vessel), task.slot, "tank work", found, allowed);
    }
    for holding in ledger.holdings.iter().filter(|holding| holding.kind == Kind::Batch) {
        if !ledger.case.beer(holding.beer).tank_work.is_empty() {
            windows(ledger, holding, breaches);
            leaving(ledger, holding, breaches);
            left_out(holding, breaches);
            moving(ledger, holding, breaches);
        }
    }
    chills(ledger, breaches);
    heat(ledger, breaches);
}

fn windows(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    let works = &ledger.case.beer(holding.beer).tank_work;
    let mut before = None;
    for (position, slot) in holding.work.all() {
        if holding.work.done_there.contains_key(&position) {
            before = Some(slot);
            continue;
        }
        let day = ledger.day(slot);
        if let Some(&(first, last)) = holding.work.windows.get(&position)
            && (day < first || day > last)
        {
            let allowed = if day < first { first } else { last };
            breaches.add(about, slot, "tank work", Amount::Day(day), Amount::Day(allowed));
        }
        if let Some(before) = before.filter(|&before| slot < before) {
            breaches.add(about, slot, "order of tank work", Amount::Slot(slot), Amount::Slot(before));
        }
        before = Some(slot);
        let (takes, hours) = (works[position].job.takes, ledger.case.shift_hours(slot));
        if takes > hours {
            breaches.add(about, slot, "clock time of tank work", Amount::Time(takes), Amount::Time(hours));
        }
    }
    for &(slot, first) in &holding.work.chilled_early {
        let found = Amount::Day(ledger.day(slot));
        breaches.add(about, slot, "contact time to the chill", found, Amount::Day(first));
    }
}

fn leaving(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    let first = holding.outs.iter().find(|out| out.way != Way::Dump);
    if let (Some(out), Some(from)) = (first, holding.work.leaves_from)
        && ledger.day(out.slot) < from
    {
        let found = Amount::Day(ledger.day(out.slot));
        breaches.add(about, out.slot, "leaves after its tank work", found, Amount::Day(from));
    }
    let Carbonated::In(slot) = holding.carbonated else { return };
    if holding.work.last().is_some_and(|last| slot < last) || holding.work.pending.is_some() {
        let (found, allowed) = (Amount::Slot(slot), Amount::Words("after its tank work"));
        breaches.add(about, slot, "is carbonated", found, allowed);
    }
}

/// Pieces that are due before the day of a move into a conditioning tank are done before it.
fn moving(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let Some(out) = holding.moves().next() else { return };
    for &(_, due) in &holding.work.undone_at_move {
        let about = About::Vessel(holding.vessel);
        let found = Amount::Day(ledger.day(out.slot));
        breaches.add(about, out.slot, "is moved before its tank work", found, Amount::Day(due));
    }
}

fn left_out(holding: &Holding, breaches: &mut Breaches) {
    if holding.opening {
        return;
    }
    let about = About::Vessel(holding.vessel);
    for &(_, last) in &holding.work.left_out {
        let (found, allowed) = (Amount::Words("left out"), Amount::Day(last));
        breaches.add(about, holding.first_out().or(holding.from), "tank work", found, allowed);
    }
    if holding.work.no_way {
        let (found, allowed) = (Amount::Words("no working day for it"), Amount::Words("a working day"));
        breaches.add(about, holding.from, "tank work", found, allowed);
    }
}

/// Chills by day against the cooling plant.
fn chills(ledger: &Ledger, breaches: &mut Breaches) {
    let Some(limit) = ledger.case.cooling.chills_a_day else { return };
    for (day, (chills, vessel)) in chills_by_day(ledger) {
        if chills > limit {
            let slot = usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0));
            let about = About::Vessel(vessel);
            breaches.add(about, slot, "chills of the day", Amount::Number(chills), Amount::Number(limit));
        }
    }
}

/// Heat by day against the limit of the plant.
fn heat(ledger: &Ledger, breaches: &mut Breaches) {
    let Some(limit) = ledger.case.cooling.heat_a_day else { return };
    for (day, found) in heat_by_day(ledger) {
        let planned = usize::try_from(day).ok().filter(|&day| day < ledger.case.calendar.planned_days);
        if let Some(day) = planned.filter(|_| found > limit) {
            let slot = Some(ledger.case.calendar.slot(day, 0));
            let (found, allowed) = (Amount::Heat(found), Amount::Heat(limit));
            breaches.add(About::CoolingPlant, slot, "heat of the day", found, allowed);
        }
    }
}

/// Chills of each day, and the last vessel that is chilled on it.
#[must_use]
pub fn chills_by_day(ledger: &Ledger) -> BTreeMap<i64, (i64, cellarwright_model::ids::VesselId)> {
    let mut days = BTreeMap::new();
    for holding in &ledger.holdings {
        let works = &ledger.case.beer(holding.beer).tank_work;
        for (&position, &slot) in &holding.work.done {
            if works[position].kind == TankWorkKind::Chill {
                let day = days.entry(ledger.day(slot)).or_insert((0, holding.vessel));
                day.0 += 1;
                day.1 = holding.vessel;
            }
        }
    }
    days
}

/// Charge for what is left out of the work on beer of day 0.
#[must_use]
pub fn left_out_charge(ledger: &Ledger, holding: &Holding) -> Money {
    if !holding.opening {
        return Money::ZERO;
    }
    let pieces = holding.work.left_out.len() as i64;
    let whole = holding.came_from.map_or(holding.volume, |before| ledger.holdings[before].volume);
    Money(ledger.case.rates.dump.0 * pieces).for_volume(whole)
}
