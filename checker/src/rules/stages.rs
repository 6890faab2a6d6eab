//! R22: a batch leaves in at most four transfers, within three working days, and is split only where it may be.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Split;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Holding, Kind, Ledger, Out};

/// Transfers of a batch at most.
const MOST_TRANSFERS: usize = 4;
/// Working days from the first to the last way out at most.
const MOST_DAYS: i64 = 3;

/// Batches in too many parts, over too many days, or split although one bright tank takes them.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for holding in ledger.holdings.iter().filter(|holding| holding.kind == Kind::Batch) {
        moved_whole(holding, breaches);
        transfers(ledger, holding, breaches);
        let draws: Vec<&Out> = holding.draws().collect();
        days(ledger, holding, &draws, Role::Package, breaches);
        // Partly transferred, partly packaged from here: the days of packaging count from the first transfer.
        if let (Some(&last), Some(first)) = (draws.last(), holding.transfers().next()) {
            days(ledger, holding, &[first, last], Role::Package, breaches);
        }
    }
}

/// A batch is moved into one conditioning tank, all of it.
fn moved_whole(holding: &Holding, breaches: &mut Breaches) {
    let Some(out) = holding.moves().next() else { return };
    if holding.outs.len() > 1 || holding.emptied.is_none() {
        let about = About::Vessel(holding.vessel);
        breaches.add(about, out.slot, "is moved", Amount::Volume(out.volume), Amount::Volume(holding.volume));
    }
}

fn transfers(ledger: &Ledger, holding: &Holding, breaches: &mut Breaches) {
    let transfers: Vec<&Out> = holding.transfers().collect();
    let Some(last) = transfers.last() else { return };
    let about = About::Vessel(holding.vessel);
    let parts = transfers.len();
    if parts > MOST_TRANSFERS {
        let allowed = Amount::Number(MOST_TRANSFERS as i64);
        breaches.add(about, last.slot, "transfers", Amount::Number(parts as i64), allowed);
    } else if parts > 1 && !may_split(ledger, holding) {
        breaches.add(about, last.slot, "transfers", Amount::Number(parts as i64), Amount::Number(1));
    }
    days(ledger, holding, &transfers, Role::Cellar, breaches);
}

fn may_split(ledger: &Ledger, holding: &Holding) -> bool {
    match ledger.case.beer(holding.beer).split {
        Split::Free => true,
        Split::Never => false,
        Split::Needed => {
            let arrives = ledger.case.arrives(ledger.case.beer(holding.beer), holding.volume);
            let mut bright = ledger.case.vessels.iter().filter(|vessel| vessel.uses.bright);
            !bright.any(|vessel| vessel.least <= arrives && arrives <= vessel.holds)
        }
    }
}

fn days(ledger: &Ledger, holding: &Holding, outs: &[&Out], role: Role, breaches: &mut Breaches) {
    let (Some(first), Some(last)) = (outs.first(), outs.last()) else { return };
    let days = ledger.working_days(role, ledger.day(first.slot), ledger.day(last.slot));
    if days > MOST_DAYS {
        let about = About::Vessel(holding.vessel);
        let what = "working days from first to last";
        breaches.add(about, last.slot, what, Amount::Number(days), Amount::Number(MOST_DAYS));
    }
}
