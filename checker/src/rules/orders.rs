//! R13: what is delivered is there by then.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::case::{Aim, Mix};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::Ledger;

/// Deliveries of less than nothing, beyond an order, after the horizon, or before the beer is there.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let mut by_goods: BTreeMap<(BeerId, FormatId), BTreeSet<i64>> = BTreeMap::new();
    for id in ledger.case.order_ids() {
        let order = ledger.case.order(id);
        let delivered = ledger.goods.delivered[id.0];
        let about = About::Order(id);
        if ledger.goods.negative[id.0] {
            let (found, allowed) = (Amount::Words("less than nothing"), Amount::Volume(Volume::ZERO));
            breaches.add(about, None, "delivered", found, allowed);
        }
        if delivered == Volume::ZERO {
            continue;
        }
        if !counts(ledger, order.due) {
            let last = ledger.case.calendar.days() as i64;
            breaches.add(about, None, "due", Amount::Day(order.due), Amount::Day(last));
            continue;
        }
        if delivered > order.quantity + tolerance::VOLUME {
            let (found, allowed) = (Amount::Volume(delivered), Amount::Volume(order.quantity));
            breaches.add(about, None, "delivered", found, allowed);
        }
        by_goods.entry((order.beer, order.format)).or_default().insert(order.due);
    }
    for ((beer, format), days) in by_goods {
        stock(ledger, beer, format, &days, breaches);
    }
    if let Aim::Output(Some(wanted)) = &ledger.case.aim {
        mix(ledger, wanted, breaches);
    }
}

/// Shares of the packaged volume of the planned days that are off by more than the tolerance.
fn mix(ledger: &Ledger, wanted: &Mix, breaches: &mut Breaches) {
    let mut packaged: BTreeMap<(BeerId, FormatId), Volume> = BTreeMap::new();
    let mut runs = 0;
    for run in ledger.line_slots.values().flat_map(|line_slot| &line_slot.runs) {
        runs += 1;
        for (&format, &(_, volume)) in &run.formats {
            *packaged.entry((run.beer, format)).or_default() += volume;
        }
    }
    let all: Volume = packaged.values().copied().sum();
    let rounding = Volume(tolerance::VOLUME.0 * (runs + 1));
    for share in &wanted.shares {
        let of_share = packaged.iter().filter(|((beer, format), _)| {
            *beer == share.beer && share.format.is_none_or(|wanted| wanted == *format)
        });
        let volume: Volume = of_share.map(|(_, &volume)| volume).sum();
        let least = (share.share - wanted.tolerance).of(all) - rounding;
        let most = (share.share + wanted.tolerance).of(all) + rounding;
        let allowed = if volume < least { least } else { most };
        if volume < least || volume > most {
            let (found, allowed) = (Amount::Volume(volume), Amount::Volume(allowed));
            breaches.add(About::Beer(share.beer), None, "packaged of the mix", found, allowed);
        }
    }
}

/// Whether an order due on a day counts: on a day of the horizon or the day after it.
#[must_use]
pub fn counts(ledger: &Ledger, due: i64) -> bool {
    (0..=ledger.case.calendar.days() as i64).contains(&due)
}

/// What is delivered of a beer in a format on days up to one, each order at most in full.
fn delivered_by(ledger: &Ledger, beer: BeerId, format: FormatId, day: i64) -> Volume {
    let orders = ledger.case.order_ids().filter(|&id| {
        let order = ledger.case.order(id);
        order.beer == beer && order.format == format && (0..=day).contains(&order.due)
    });
    let volumes = orders.map(|id| ledger.goods.delivered[id.0].min(ledger.case.order(id).quantity));
    volumes.sum()
}

fn stock(ledger: &Ledger, beer: BeerId, format: FormatId, days: &BTreeSet<i64>, breaches: &mut Breaches) {
    for &day in days {
        let delivered = delivered_by(ledger, beer, format, day);
        let there = ledger.goods.there_by(beer, format, day);
        if delivered > there + tolerance::VOLUME {
            let slot = usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0));
            let (found, allowed) = (Amount::Volume(delivered), Amount::Volume(there));
            breaches.add(About::Beer(beer), slot, "delivered by then", found, allowed);
            return;
        }
    }
}
