//! R04: no beer leaves its fermenter, or is carbonated in it, before it is ready.

use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Carbonated, Entry, Event, FilledBy, Holding, Kind, Ledger, Out, Way};

/// First ways out and carbonating of batches that are too early.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for (held, holding) in ledger.holdings.iter().enumerate() {
        if holding.kind == Kind::Batch {
            leaving(ledger, holding, breaches);
            carbonating_wort(ledger, held, breaches);
        }
    }
}

/// Moved into a conditioning tank before the part of the stay that may be there, or when it is too late for it.
fn moving(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let beer = ledger.case.beer(holding.beer);
    let Some(days) = beer.conditions else { return };
    // What is done after the move does not make the move too early.
    let ready = holding.ready - holding.work.late_after_move;
    let last = ready - i64::from(beer.during_chill) - 1;
    for out in holding.moves() {
        let day = ledger.day(out.slot);
        let allowed = day.max(ready - days).min(last);
        if day != allowed {
            let about = About::Vessel(holding.vessel);
            breaches.add(about, out.slot, "is moved", Amount::Day(day), Amount::Day(allowed));
        }
    }
}

fn leaving(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    moving(ledger, holding, breaches);
    let is_out = |out: &&Out| matches!(out.way, Way::Transfer { .. } | Way::Serve { .. } | Way::Line(_));
    let out = holding.outs.iter().find(is_out);
    let early_out = out.filter(|out| ledger.day(out.slot) < holding.ready);
    if let Some(out) = early_out {
        let found = Amount::Day(ledger.day(out.slot));
        breaches.add(about, out.slot, "leaves", found, Amount::Day(holding.ready));
    }
    let Carbonated::In(slot) = holding.carbonated else { return };
    let during_chill = i64::from(ledger.case.beer(holding.beer).during_chill);
    let allowed = holding.ready - during_chill;
    if early_out.is_none() && ledger.day(slot) < allowed {
        let found = Amount::Day(ledger.day(slot));
        breaches.add(about, slot, "is carbonated", found, Amount::Day(allowed));
    }
}

/// Carbonated in the shift of its last turn: with a stay of one day its last day of chill would be the day of brewing.
fn carbonating_wort(ledger: &Ledger, held: usize, breaches: &mut Breaches) {
    let holding = &ledger.holdings[held];
    let Carbonated::In(slot) = holding.carbonated else { return };
    let is_turn = |entry: &&Entry| match entry.event {
        Event::Filled(FilledBy::Brew, filled) | Event::Added(filled) => filled == held,
        _ => false,
    };
    let turn = ledger.log(holding.vessel).iter().filter(is_turn).map(|entry| entry.slot).max();
    let is_early = ledger.day(slot) < holding.ready - i64::from(ledger.case.beer(holding.beer).during_chill);
    if !is_early && turn.is_some_and(|turn| turn >= slot) {
        let (found, allowed) = (Amount::Slot(slot), Amount::Words("later"));
        breaches.add(About::Vessel(holding.vessel), slot, "is carbonated", found, allowed);
    }
}
