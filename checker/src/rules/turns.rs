//! R03: turns of a day and their clock hours.

use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, Misfit};

/// Days with too many turns or too long a brew, and tasks without turns.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let brewhouse = &ledger.case.brewhouse;
    for today in ledger.turns.values() {
        if today.turns > brewhouse.turns_per_day {
            let allowed = Amount::Number(brewhouse.turns_per_day);
            breaches.add(About::Brewhouse, today.last, "turns", Amount::Number(today.turns), allowed);
        } else if today.time > brewhouse.hours_per_day {
            let allowed = Amount::Time(brewhouse.hours_per_day);
            breaches.add(About::Brewhouse, today.last, "clock time", Amount::Time(today.time), allowed);
        }
    }
    for &(position, misfit) in &ledger.misfits {
        if let Misfit::NoTurns(turns) = misfit {
            let slot = ledger.plan.tasks[position].slot;
            breaches.add(About::Brewhouse, slot, "turns", Amount::Number(turns), Amount::Number(1));
        }
    }
}
