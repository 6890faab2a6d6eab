//! R03: turns of a day, their clock hours and their liquor.

use cellarwright_model::case::Brewhouse;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, Misfit};

/// Days with too many turns or too long a brew, and tasks without turns.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let brewhouse = &ledger.case.brewhouse;
    let by_liquor = turns_by_liquor(brewhouse);
    for today in ledger.turns.values() {
        if by_liquor.is_some_and(|most| today.turns > most) {
            let allowed = Amount::Number(by_liquor.unwrap_or_default());
            let found = Amount::Number(today.turns);
            breaches.add(About::Brewhouse, today.last, "turns with liquor", found, allowed);
        }
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

/// Turns that the liquor allows in a day, minute by minute from full tanks; none where nothing is said of liquor.
#[must_use]
pub fn turns_by_liquor(brewhouse: &Brewhouse) -> Option<i64> {
    if brewhouse.liquor.is_empty() {
        return None;
    }
    // In sixtieths of a millilitre, so that a minute's share of an hourly rate is whole.
    let mut levels: Vec<i128> =
        brewhouse.liquor.iter().map(|liquor| i128::from(liquor.tank.0) * 60).collect();
    let (mut turns, mut free_at) = (0, 0);
    for minute in 0..brewhouse.hours_per_day.0 {
        let enough = brewhouse
            .liquor
            .iter()
            .zip(&levels)
            .all(|(liquor, level)| *level >= i128::from(liquor.per_turn.0) * 60);
        if minute >= free_at && enough {
            let job = if turns == 0 { brewhouse.first_turn } else { brewhouse.next_turn };
            if minute + job.takes.0 > brewhouse.hours_per_day.0 || turns >= brewhouse.turns_per_day {
                break;
            }
            turns += 1;
            free_at = minute + job.takes.0.max(1);
            for (liquor, level) in brewhouse.liquor.iter().zip(&mut levels) {
                *level -= i128::from(liquor.per_turn.0) * 60;
            }
        }
        for (liquor, level) in brewhouse.liquor.iter().zip(&mut levels) {
            *level = (*level + i128::from(liquor.makes.0)).min(i128::from(liquor.tank.0) * 60);
        }
    }
    Some(turns)
}
