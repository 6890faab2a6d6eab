//! R21: a vessel serves only the uses it lists.

use cellarwright_model::violation::{About, Amount};

use super::{Breaches, tap};
use crate::ledger::{Holding, Kind, Ledger, Way};

/// Fills and ways out that the vessel or the beer does not list.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for holding in &ledger.holdings {
        filled(ledger, holding, breaches);
        emptied(ledger, holding, breaches);
    }
}

fn filled(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let Some(slot) = holding.from else { return };
    let vessel = ledger.case.vessel(holding.vessel);
    let uses = vessel.uses;
    let about = About::Vessel(holding.vessel);
    match holding.kind {
        Kind::Batch if holding.moved => {
            if ledger.case.beer(holding.beer).conditions.is_none() {
                let (found, allowed) =
                    (Amount::Words("moved"), Amount::Words("a beer with `condition_from`"));
                breaches.add(about, slot, "use", found, allowed);
            }
        }
        Kind::Batch if !uses.ferment => {
            breaches.add(about, slot, "use", Amount::Words("brewed into"), Amount::Words("ferment"));
        }
        Kind::Lot if !uses.bright && !vessel.is_serve_only() => {
            breaches.add(about, slot, "use", Amount::Words("transferred into"), Amount::Words("bright"));
        }
        Kind::Batch | Kind::Lot => {}
    }
}

fn emptied(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let about = About::Vessel(holding.vessel);
    let uses = ledger.case.vessel(holding.vessel).uses;
    if let Some(out) = holding.transfers().next() {
        if holding.kind == Kind::Lot {
            let (found, allowed) = (Amount::Words("transferred again"), Amount::Words("packaged"));
            breaches.add(about, out.slot, "use", found, allowed);
        } else if !ledger.case.beer(holding.beer).bright {
            let (found, allowed) = (Amount::Words("bright"), Amount::Words("direct"));
            breaches.add(about, out.slot, "route", found, allowed);
        }
    }
    let poured = holding.outs.iter().find(|out| out.way == Way::Pour);
    if let (None, Some(out)) = (tap(ledger, holding), poured) {
        let (found, allowed) = (Amount::Words("poured from"), Amount::Words("serve, with a beer on tap"));
        breaches.add(about, out.slot, "use", found, allowed);
    }
    let direct = holding.draws().next();
    if let (Kind::Lot, Some(out)) = (holding.kind, direct)
        && ledger.case.vessel(holding.vessel).is_serve_only()
    {
        let found = if matches!(out.way, Way::Line(_)) { "packaged from" } else { "transferred again" };
        breaches.add(about, out.slot, "use", Amount::Words(found), Amount::Words("poured"));
    }
    if let (Kind::Batch, Some(out)) = (holding.kind, direct)
        && !uses.package
    {
        breaches.add(about, out.slot, "use", Amount::Words("packaged from"), Amount::Words("package"));
    }
}
