//! Heat that fermenting and cooling beer brings on each day, as the replay saw it.

use std::collections::BTreeMap;

use cellarwright_model::heat;
use cellarwright_model::units::{Heat, Volume};

use crate::ledger::{Holding, Kind, Ledger};

/// Heat of the batches of the planned days on each day that has any, days of the look-ahead included.
#[must_use]
pub fn heat_by_day(ledger: &Ledger) -> BTreeMap<i64, Heat> {
    let mut days: BTreeMap<i64, Heat> = BTreeMap::new();
    let mut add = |day: i64, heat: Heat| {
        let so_far = days.entry(day).or_default();
        *so_far = Heat(so_far.0.saturating_add(heat.0));
    };
    for holding in ledger.holdings.iter().filter(|holding| holding.kind == Kind::Batch) {
        let beer = ledger.case.beer(holding.beer);
        let wort = wort(ledger, holding);
        // What was moved ferments where it was filled: it is counted once.
        if let (Some(ferments), None) = (beer.ferments, holding.came_from) {
            for day in holding.on..holding.on + ferments.over {
                add(day, ferments.heat_a_day(wort));
            }
        }
        for (&position, &slot) in &holding.work.done {
            if !holding.work.done_there.contains_key(&position) {
                add(ledger.day(slot), heat::of_cooling(wort, beer.tank_work[position].cools_by));
            }
        }
    }
    days
}

/// Wort of a batch, in the fermenter that it was filled into.
fn wort(ledger: &Ledger, holding: &Holding) -> Volume {
    holding.came_from.map_or(holding.filled, |before| ledger.holdings[before].filled)
}
