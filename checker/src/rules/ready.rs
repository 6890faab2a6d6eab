//! R04: no beer leaves its fermenter, or is carbonated in it, before it is ready.

use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Carbonated, Holding, Kind, Ledger, Out, Way};

/// First ways out and carbonating of batches that are too early.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for holding in ledger.holdings.iter().filter(|holding| holding.kind == Kind::Batch) {
        leaving(ledger, holding, breaches);
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
