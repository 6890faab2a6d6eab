//! What the taproom pours: by day, by beer, and when a tank goes on tap.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Pour;
use cellarwright_model::units::Volume;

use super::{Facts, date, day_label};
use crate::render::view::{DryDay, PourRow, TapRow, WorkRow};

/// The last slot of a day, in which its pours stand.
fn last_slot(facts: &Facts, day: usize) -> Slot {
    let calendar = &facts.case.calendar;
    calendar.slot(day, calendar.shifts.len().saturating_sub(1))
}

fn beer_of(facts: &Facts, pour: &Pour) -> Option<BeerId> {
    let slot = last_slot(facts, pour.day);
    let stays = facts.report.usage.stays.iter().filter(|stay| stay.vessel == pour.vessel);
    let mut held = stays.filter(|stay| {
        stay.from.is_none_or(|from| from <= slot) && stay.until.is_none_or(|until| until >= slot)
    });
    held.next_back().map(|stay| stay.beer)
}

/// Every pour of the planned days.
#[must_use]
pub fn pours(facts: &Facts) -> Vec<PourRow> {
    let rows = facts.plan.pours.iter().map(|pour| PourRow {
        date: date(facts.case, pour.day as i64),
        vessel: facts.case.vessel(pour.vessel).name.clone(),
        beer: beer_of(facts, pour).map(|beer| facts.case.beer(beer).name.clone()),
        volume_hl: pour.volume.hectolitres(),
    });
    rows.collect()
}

/// What guests ask for and get, by beer.
#[must_use]
pub fn taps(facts: &Facts) -> Vec<TapRow> {
    let mut by_beer: BTreeMap<BeerId, TapRow> = BTreeMap::new();
    for used in &facts.report.usage.taps {
        let row = by_beer.entry(used.beer).or_insert_with(|| TapRow {
            beer: facts.case.beer(used.beer).name.clone(),
            asked_hl: 0.0,
            poured_hl: 0.0,
            dry: Vec::new(),
            short: Vec::new(),
        });
        row.asked_hl += used.asked.hectolitres();
        row.poured_hl += used.poured.hectolitres();
        let missed = used.asked - used.poured;
        if missed > cellarwright_model::tolerance::VOLUME {
            let day = DryDay {
                date: date(facts.case, used.day as i64),
                label: day_label(facts.case, used.day as i64),
                missed_hl: missed.hectolitres(),
            };
            if used.poured == Volume::ZERO { row.dry.push(day) } else { row.short.push(day) }
        }
    }
    by_beer.into_values().collect()
}

/// A row of work for each tank on the day on which it goes on tap, or goes on from before the plan.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<(Slot, WorkRow)> {
    let mut rows = Vec::new();
    let mut by_vessel: BTreeMap<VesselId, Vec<&Pour>> = BTreeMap::new();
    for pour in &facts.plan.pours {
        by_vessel.entry(pour.vessel).or_default().push(pour);
    }
    for (vessel, pours) in by_vessel {
        for stay in facts.report.usage.stays.iter().filter(|stay| stay.vessel == vessel) {
            let of_stay = pours.iter().filter(|pour| {
                let slot = last_slot(facts, pour.day);
                stay.from.is_none_or(|from| from <= slot) && stay.until.is_none_or(|until| until >= slot)
            });
            let of_stay: Vec<_> = of_stay.collect();
            let (Some(first), Some(last)) = (of_stay.first(), of_stay.last()) else { continue };
            let volume: Volume = of_stay.iter().map(|pour| pour.volume).sum();
            let row = WorkRow {
                work: "tap",
                beer: Some(facts.case.beer(stay.beer).name.clone()),
                vessel: Some(facts.case.vessel(vessel).name.clone()),
                volume_hl: Some(volume.hectolitres()),
                until: Some(date(facts.case, last.day as i64)),
                until_label: day_label(facts.case, last.day as i64),
                ..WorkRow::default()
            };
            rows.push((last_slot(facts, first.day), row));
        }
    }
    rows
}
