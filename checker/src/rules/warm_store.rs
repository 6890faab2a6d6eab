//! R26: what stands in the warm store on each planned day.

use cellarwright_model::case::Carbonating;
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, deliverable_from};

/// Days on which more stands in the warm store than it holds, unless it is all there since before day 0.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let Some(limit) = ledger.case.warm_store else { return };
    for day in 0..ledger.end() {
        let (all, new) = standing(ledger, day);
        if new > Volume::ZERO && all > limit + tolerance::VOLUME {
            let slot = ledger.case.calendar.slot(usize::try_from(day).unwrap_or_default(), 0);
            breaches.add(About::WarmStore, slot, "stands warm", Amount::Volume(all), Amount::Volume(limit));
        }
    }
}

/// What stands in the warm store on a day: all of it, and what the plan packaged of it.
#[must_use]
pub fn standing(ledger: &Ledger, day: i64) -> (Volume, Volume) {
    let case = ledger.case;
    let is_warm = |beer| case.beer(beer).carbonating == Carbonating::InPackage;
    let before = case.stock.iter().filter(|stock| is_warm(stock.beer) && stock.from > day);
    let before = before.fold(0_i64, |sum, stock| sum.saturating_add(stock.quantity.0));
    let mut new = 0_i64;
    for (&(slot, _), line_slot) in &ledger.line_slots {
        let packaged_on = ledger.day(slot);
        for run in line_slot.runs.iter().filter(|run| is_warm(run.beer) && packaged_on <= day) {
            if deliverable_from(case, packaged_on, run.beer) > day {
                let packaged = run.formats.values().map(|&(_, packaged)| packaged.0);
                new = packaged.fold(new, i64::saturating_add);
            }
        }
    }
    (Volume(before.saturating_add(new)), Volume(new))
}
