//! The objective in parts, recomputed from nothing but the replayed facts.

use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::money::{Breakdown, expected_packaged, in_tank_value, order_worth};
use cellarwright_model::units::{Money, Share, Volume};

use crate::ledger::{Holding, Kind, Ledger};
use crate::rules::{
    dirty_days, hard_end, hired_cost, is_counted_order, lacking_cost, left_out_charge, line_visits,
    materials_bought, poured, waiting_costs, yeast_costs,
};

/// Beer in a vessel when the horizon ends: what it is worth and what it would yield.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TankBeer {
    /// The beer.
    pub beer: BeerId,
    /// What it is worth.
    pub value: Money,
    /// Packaged volume to expect from it.
    pub expected: Volume,
}

/// The parts of the objective that the planned days make; beer in tank at the end comes from the caller.
#[must_use]
pub fn breakdown(ledger: &Ledger, in_tank: &[TankBeer]) -> Breakdown {
    let mut parts = Breakdown {
        packaged_planned: ledger.goods.planned,
        packaged_look_ahead: ledger.goods.look_ahead,
        ..Breakdown::default()
    };
    orders(ledger, &mut parts);
    ends(ledger, in_tank, &mut parts);
    work(ledger, &mut parts);
    taproom(ledger, &mut parts);
    parts.yeast = yeast_costs(ledger);
    for holding in &ledger.holdings {
        let (waiting, over_limit) = waiting_costs(ledger, holding);
        parts.waiting += waiting;
        parts.last_resort += over_limit + left_out_charge(ledger, holding);
    }
    parts.materials = materials_bought(ledger);
    parts.store = hired_cost(ledger);
    parts.low_stock = lacking_cost(ledger);
    parts.dirty = Money(ledger.case.rates.dirty.0 * dirty_days(ledger));
    parts
}

fn orders(ledger: &Ledger, parts: &mut Breakdown) {
    for id in ledger.case.order_ids() {
        let order = ledger.case.order(id);
        if !is_counted_order(ledger, order) {
            continue;
        }
        let delivered = ledger.goods.delivered[id.0].min(order.quantity);
        parts.delivered += order_worth(ledger.case, order).for_volume(delivered);
        if order.firm {
            let contribution = ledger.case.beer(order.beer).contribution(order.format).unwrap_or_default();
            let charge = ledger.case.rates.missed_firm.of_money(contribution);
            parts.missed += charge.for_volume(order.quantity - delivered);
        }
        let cost = order.late.map_or(Money::ZERO, |late| late.cost);
        for delivery in ledger.goods.handed_to(id) {
            let days = delivery.day.saturating_sub(order.due).clamp(0, 400);
            parts.late += Money(cost.0 * days).for_volume(delivery.volume);
        }
    }
}

/// What the taproom pours on the planned days, and what guests ask for and do not get; by beer and day, to the cent.
fn taproom(ledger: &Ledger, parts: &mut Breakdown) {
    let poured = poured(ledger);
    for tap in &ledger.case.taproom.pours {
        for day in 0..ledger.end() {
            let asked = ledger.case.asked(tap.beer, day);
            let volume = poured.get(&(tap.beer, day)).copied().unwrap_or_default().min(asked);
            parts.poured += tap.contribution.for_volume(volume);
            parts.dry_taps += ledger.case.rates.dry_tap.for_volume(asked - volume);
            parts.poured_planned += volume;
        }
    }
}

fn work(ledger: &Ledger, parts: &mut Breakdown) {
    for charge in &ledger.charges {
        parts.labour += charge.labour;
        parts.cleaning += charge.cleaning_cost;
        parts.transfers += charge.transfer;
        parts.gas += charge.gas;
        parts.last_resort += charge.dump;
    }
    for line_slot in ledger.line_slots.values() {
        parts.labour += line_slot.labour;
        parts.short_runs += line_slot.short_runs;
    }
    for (line, _) in line_visits(ledger).into_keys() {
        parts.visits += ledger.case.line(line).visit;
    }
    for (&(slot, crew), &time) in &ledger.overtime {
        let cost = ledger.case.crew(crew).overtime.map_or(Money::ZERO, |limit| limit.cost);
        parts.overtime += Money(cost.0 * ledger.case.crew_people(crew, slot)).for_time(time);
    }
}

/// Beer that is still in vessels when the planned days end, where no look-ahead follows.
#[must_use]
pub fn in_tank_at_end(ledger: &Ledger) -> Vec<TankBeer> {
    let held = ledger.case.vessel_ids().filter_map(|vessel| ledger.held_at_end(vessel));
    held.map(|held| tank_beer(ledger, &ledger.holdings[held])).collect()
}

fn tank_beer(ledger: &Ledger, holding: &Holding) -> TankBeer {
    let end = ledger.end();
    // Beer being packaged from a fermenter is carbonated: it counts as in a bright tank.
    let in_bright = holding.kind == Kind::Lot || holding.draws().next().is_some();
    let elapsed = if holding.kind == Kind::Lot { holding.stay } else { end.min(holding.ready) - holding.on };
    let beer = ledger.case.beer(holding.beer);
    // What has begun to leave its fermenter is not over its hard end: that is the day by which the next step has begun.
    let has_begun = holding.kind == Kind::Batch && holding.first_out().is_some();
    if end > hard_end(ledger, holding) && !has_begun {
        return TankBeer { beer: holding.beer, value: Money::ZERO, expected: Volume::ZERO };
    }
    TankBeer {
        beer: holding.beer,
        value: in_tank_value(ledger.case, holding.beer, holding.left, in_bright, elapsed, holding.stay),
        expected: expected_packaged(ledger.case, beer, holding.left, in_bright),
    }
}

/// Surplus in stock and beer in tank, both within the expected sales of each beer: dearest formats first, then tanks,
/// dearest first.
fn ends(ledger: &Ledger, in_tank: &[TankBeer], parts: &mut Breakdown) {
    for beer in ledger.case.beer_ids() {
        let sales = ledger.case.beer(beer).sales;
        let weeks = ledger.case.rates.surplus_weeks;
        let mut room = sales.map(|sales| Volume(sales.0.saturating_mul(weeks)));
        for (contribution, left) in surplus(ledger, beer) {
            let counted = take(&mut room, left);
            parts.surplus += ledger.case.rates.surplus.of_money(contribution).for_volume(counted);
        }
        let mut tanks: Vec<TankBeer> = in_tank.iter().filter(|tank| tank.beer == beer).copied().collect();
        tanks.sort_by_key(|tank| std::cmp::Reverse(worth(tank)));
        for tank in tanks {
            let counted = take(&mut room, tank.expected);
            parts.in_tank += share_of(tank.value, counted, tank.expected);
        }
    }
}

/// Value per packaged volume, fine enough to sort by.
fn worth(tank: &TankBeer) -> i128 {
    i128::from(tank.value.0) * i128::from(Share::WHOLE.0) * 1_000 / i128::from(tank.expected.0.max(1))
}

fn share_of(value: Money, counted: Volume, whole: Volume) -> Money {
    if counted == whole {
        return value;
    }
    Money(cellarwright_model::units::rounded_mul_div(value.0, counted.0, whole.0.max(1)))
}

/// Takes what still counts of a volume from the room that sales leave.
fn take(room: &mut Option<Volume>, volume: Volume) -> Volume {
    let volume = volume.max(Volume::ZERO);
    match room {
        Some(left) => {
            let counted = volume.min(*left);
            *left -= counted;
            counted
        }
        None => volume,
    }
}

/// What is left of a beer in stock at the end by format, the dearest first; of a beer with a limit, what is fresh then.
fn surplus(ledger: &Ledger, beer: BeerId) -> Vec<(Money, Volume)> {
    let data = ledger.case.beer(beer);
    let end = ledger.case.calendar.days() as i64;
    let mut left: Vec<(Money, Volume)> = Vec::new();
    for (of, format) in ledger.goods.kinds(ledger.case) {
        if of != beer {
            continue;
        }
        let contribution = data.contribution(format).unwrap_or_default();
        let volume = match data.fresh {
            Some(limit) => {
                let handed = ledger.goods.hand_out(ledger.case, beer, format);
                let fresh = handed.left.iter().filter(|packed| packed.packaged >= end.saturating_sub(limit));
                fresh.map(|packed| packed.volume).sum()
            }
            None => {
                let there = ledger.goods.there_by(beer, format, i64::MAX);
                (there - taken(ledger, beer, format)).max(Volume::ZERO)
            }
        };
        left.push((contribution, volume));
    }
    left.sort_by_key(|&(contribution, _)| std::cmp::Reverse(contribution));
    left
}

/// What is delivered of a beer in a format.
fn taken(ledger: &Ledger, beer: BeerId, format: FormatId) -> Volume {
    let handed = ledger.goods.handed.iter().filter(|delivery| {
        let order = ledger.case.order(delivery.order);
        (order.beer, order.format) == (beer, format) && is_counted_order(ledger, order)
    });
    handed.map(|delivery| delivery.volume).sum()
}
