//! R24: hoses reach from vessel to vessel and to the line; filters and transfers have their clock time.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::BeerId;
use cellarwright_model::tolerance;
use cellarwright_model::units::{Minutes, Volume};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::exact::Fine;
use crate::ledger::{Kind, Ledger, Way};

/// Beer that goes where nothing reaches, filters and transfers that need more than the shift has.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let mut slots: BTreeSet<Slot> = BTreeSet::new();
    for holding in &ledger.holdings {
        for out in &holding.outs {
            let reaches = match out.way {
                Way::Transfer { to, .. } | Way::Condition { to, .. } | Way::Serve { to, .. } => {
                    slots.insert(out.slot);
                    ledger.case.reaches_vessel(holding.vessel, to)
                }
                Way::Line(line) => ledger.case.reaches_line(holding.vessel, line),
                Way::Pour | Way::Dump => true,
            };
            if !reaches {
                let (found, allowed) =
                    (Amount::Words("to what it does not reach"), Amount::Words("what it reaches"));
                breaches.add(About::Vessel(holding.vessel), out.slot, "beer goes", found, allowed);
            }
        }
    }
    for slot in slots {
        clocks(ledger, slot, breaches);
    }
}

fn clocks(ledger: &Ledger, slot: Slot, breaches: &mut Breaches) {
    let hours = ledger.case.shift_hours(slot);
    for place in 0..ledger.case.filters.len() {
        let time = filter_time(ledger, place, slot);
        if time.exceeds(Fine::from(hours)) {
            let found = Amount::Time(time.rounded_up());
            let about =
                through(ledger, place, slot).first().map_or(About::Outlook, |&(beer, _)| About::Beer(beer));
            breaches.add(about, slot, "time of the filter", found, Amount::Time(hours));
        }
    }
    if let Some(at_once) = ledger.case.transfer.at_once {
        let most = Minutes(hours.0.saturating_mul(at_once));
        let time = transfer_time(ledger, slot);
        if time > most + tolerance::TIME {
            let first = transfers(ledger, slot).first().map(|&(beer, _)| beer);
            let first = first.or(moves(ledger, slot).next()).or(serves(ledger, slot).next());
            let about = first.map_or(About::Outlook, About::Beer);
            breaches.add(about, slot, "time of transfers", Amount::Time(time), Amount::Time(most));
        }
    }
}

/// Transfers of a slot: the beer and what arrives.
fn transfers(ledger: &Ledger, slot: Slot) -> Vec<(BeerId, Volume)> {
    let mut all = Vec::new();
    for holding in &ledger.holdings {
        for out in holding.transfers().filter(|out| out.slot == slot) {
            if let Way::Transfer { arrived, .. } = out.way {
                all.push((holding.beer, arrived));
            }
        }
    }
    all
}

/// Beers of the moves into conditioning tanks of a slot.
fn moves(ledger: &Ledger, slot: Slot) -> impl Iterator<Item = BeerId> {
    let holdings = ledger.holdings.iter();
    holdings.flat_map(move |holding| {
        let here = holding.moves().filter(move |out| out.slot == slot);
        here.map(|_| holding.beer)
    })
}

/// Beers that go into tanks that are only poured from in a slot.
fn serves(ledger: &Ledger, slot: Slot) -> impl Iterator<Item = BeerId> {
    let holdings = ledger.holdings.iter();
    holdings.filter(move |holding| holding.to_serve().any(|out| out.slot == slot)).map(|holding| holding.beer)
}

/// Transfers of a slot that go through a filter.
fn through(ledger: &Ledger, place: usize, slot: Slot) -> Vec<(BeerId, Volume)> {
    let mut all = transfers(ledger, slot);
    all.retain(|&(beer, _)| ledger.case.beer(beer).filter == Some(place));
    all
}

/// Whether beer goes through a filter in a slot.
#[must_use]
pub fn filter_runs(ledger: &Ledger, place: usize, slot: Slot) -> bool {
    !through(ledger, place, slot).is_empty()
}

/// Clock time of a filter in a slot: start-up, all that comes out of it at its rate, and a change for every beer after the first.
#[must_use]
pub fn filter_time(ledger: &Ledger, place: usize, slot: Slot) -> Fine {
    let filter = &ledger.case.filters[place];
    let transfers = through(ledger, place, slot);
    if transfers.is_empty() {
        return Fine::ZERO;
    }
    let beers: BTreeSet<BeerId> = transfers.iter().map(|&(beer, _)| beer).collect();
    let changes = Fine::from(filter.change).times(beers.len() as i64 - 1);
    let running = transfers.iter().map(|&(_, volume)| Fine::through(filter, volume));
    running.fold(Fine::from(filter.start_up) + changes, |sum, time| sum + time)
}

/// Clock time of the transfers into all tanks filled in a slot and of the moves into conditioning tanks, one after another.
#[must_use]
pub fn transfer_time(ledger: &Ledger, slot: Slot) -> Minutes {
    let lots = ledger.holdings.iter().filter(|lot| lot.kind == Kind::Lot && lot.from == Some(slot));
    let times = lots.map(|lot| ledger.lot_filling_takes(lot));
    let moving = moves(ledger, slot).map(|_| ledger.case.transfer.takes());
    times.chain(moving).fold(Minutes::ZERO, |sum, time| Minutes(sum.0.saturating_add(time.0)))
}
