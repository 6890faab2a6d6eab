//! R13: what is delivered is there by then.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Aim, Mix, Order};
use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::Ledger;

/// Deliveries of less than nothing, on other days than an order allows, beyond it, in part where it wants all, too old, or
/// before the beer is there.
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
        if !counts(ledger, order) {
            let last = ledger.case.calendar.days() as i64;
            breaches.add(about, None, "due", Amount::Day(order.due), Amount::Day(last));
            continue;
        }
        if delivered > order.quantity + tolerance::VOLUME {
            let (found, allowed) = (Amount::Volume(delivered), Amount::Volume(order.quantity));
            breaches.add(about, None, "delivered", found, allowed);
        }
        days(ledger, id, breaches);
        whole(ledger, id, breaches);
        let days = ledger.goods.handed_to(id).map(|delivery| delivery.day);
        by_goods.entry((order.beer, order.format)).or_default().extend(days);
    }
    for ((beer, format), days) in by_goods {
        if stock(ledger, beer, format, &days, breaches) {
            fresh(ledger, beer, format, breaches);
        }
    }
    if let Aim::Output(Some(wanted)) = &ledger.case.aim {
        mix(ledger, wanted, breaches);
    }
}

/// Deliveries on days that the order does not allow.
fn days(ledger: &Ledger, id: OrderId, breaches: &mut Breaches) {
    let order = ledger.case.order(id);
    let last = order.last_day().min(ledger.case.calendar.days() as i64);
    for delivery in ledger.goods.handed_to(id) {
        let day = delivery.day;
        let is_late = day > order.due && day <= last && ledger.case.calendar.delivers(day);
        if day < 0 || (day != order.due && !is_late) {
            let allowed = if day > order.due { last } else { order.due.max(0) };
            breaches.add(About::Order(id), None, "delivered on", Amount::Day(day), Amount::Day(allowed));
        }
    }
}

/// An order that is delivered in full on one day or not at all.
fn whole(ledger: &Ledger, id: OrderId, breaches: &mut Breaches) {
    let order = ledger.case.order(id);
    if !order.whole || order.due > ledger.end() {
        return;
    }
    for delivery in ledger.goods.handed_to(id) {
        let volume = delivery.volume;
        if volume > Volume::ZERO && volume + tolerance::VOLUME < order.quantity {
            let (found, allowed) = (Amount::Volume(volume), Amount::Volume(order.quantity));
            breaches.add(About::Order(id), None, "delivered of a whole order", found, allowed);
        }
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

/// Whether an order counts: one that can be delivered from day 0 on, and is due on the day after the horizon at the latest.
#[must_use]
pub fn counts(ledger: &Ledger, order: &Order) -> bool {
    order.last_day() >= 0 && order.due <= ledger.case.calendar.days() as i64
}

/// What is delivered of a beer in a format on days up to one, each order at most in full.
fn delivered_by(ledger: &Ledger, beer: BeerId, format: FormatId, day: i64) -> Volume {
    let handed = ledger.goods.handed.iter().filter(|delivery| {
        let order = ledger.case.order(delivery.order);
        (order.beer, order.format) == (beer, format) && delivery.day <= day && counts(ledger, order)
    });
    handed.map(|delivery| delivery.volume).sum()
}

/// Whether what is delivered is there by then.
fn stock(
    ledger: &Ledger,
    beer: BeerId,
    format: FormatId,
    days: &BTreeSet<i64>,
    breaches: &mut Breaches,
) -> bool {
    for &day in days {
        let delivered = delivered_by(ledger, beer, format, day);
        let there = ledger.goods.there_by(beer, format, day);
        if delivered > there + tolerance::VOLUME {
            let (found, allowed) = (Amount::Volume(delivered), Amount::Volume(there));
            breaches.add(About::Beer(beer), slot_of(ledger, day), "delivered by then", found, allowed);
            return false;
        }
    }
    true
}

/// What is delivered is fresh enough.
fn fresh(ledger: &Ledger, beer: BeerId, format: FormatId, breaches: &mut Breaches) {
    let mut lacking = Volume::ZERO;
    for lack in ledger.goods.hand_out(ledger.case, beer, format).lacks {
        lacking += lack.volume;
        if lacking > tolerance::VOLUME {
            let about = About::Order(lack.order);
            let (found, allowed) = (Amount::Volume(lack.volume), Amount::Volume(Volume::ZERO));
            breaches.add(about, slot_of(ledger, lack.day), "delivered too old", found, allowed);
            return;
        }
    }
}

fn slot_of(ledger: &Ledger, day: i64) -> Option<Slot> {
    usize::try_from(day).ok().map(|day| ledger.case.calendar.slot(day, 0))
}
