//! Kegs and materials for tables: what is there, what is used, and what must be ordered by when.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Away;
use cellarwright_model::ids::{KegPoolId, MaterialId};

use crate::ledger::{Ledger, PIECE};
use crate::rules::{bought, filter_time, kegs_by_slot, transfer_time, washing_time};
use crate::usage::{KegsOfDay, Resource, ResourceUse, ToOrder, Use};

/// Filters, and transfers where only so many are possible at once.
#[must_use]
pub fn of_the_way(ledger: &Ledger) -> Vec<ResourceUse> {
    let case = ledger.case;
    let slots =
        || (0..case.calendar.planned_slots()).map(Slot).filter(|&slot| case.works(Role::Cellar, slot));
    let mut all = Vec::new();
    for place in 0..case.filters.len() {
        let uses = slots().map(|slot| Use {
            slot,
            used: filter_time(ledger, place, slot).rounded_up().0,
            available: case.shift_hours(slot).0,
        });
        let uses = uses.filter(|used| used.used > 0 || !case.is_away(Away::Filter(place), used.slot));
        all.push(ResourceUse { resource: Resource::FilterTime(place), uses: uses.collect() });
    }
    if let Some(at_once) = case.transfer.at_once {
        let uses = slots().map(|slot| Use {
            slot,
            used: transfer_time(ledger, slot).0,
            available: case.shift_hours(slot).0.saturating_mul(at_once),
        });
        all.push(ResourceUse { resource: Resource::TransferTime, uses: uses.collect() });
    }
    all
}

/// Clean kegs, the keg washer and materials, as far as the case has them.
#[must_use]
pub fn resources(ledger: &Ledger) -> Vec<ResourceUse> {
    let mut all: Vec<ResourceUse> = Vec::new();
    for id in (0..ledger.case.kegs.len()).map(KegPoolId) {
        let slots = kegs_by_slot(ledger, id);
        let uses = slots.iter().map(|at| Use { slot: at.slot, used: at.filled, available: at.clean });
        all.push(ResourceUse { resource: Resource::Kegs(id), uses: uses.collect() });
        if let Some(owned) = ledger.case.kegs[id.0].owned {
            let uses = kegs_by_day(ledger, id).into_iter().map(|at| Use {
                slot: ledger.case.calendar.slot(at.day, 0),
                used: owned.saturating_sub(at.clean).saturating_sub(at.dirty),
                available: owned,
            });
            all.push(ResourceUse { resource: Resource::OwnedKegs(id), uses: uses.collect() });
        }
    }
    if let Some(washer) = ledger.case.keg_washer.filter(|_| !ledger.case.kegs.is_empty()) {
        let time = washing_time(ledger);
        let slots = (0..ledger.case.calendar.planned_slots()).map(Slot);
        let uses = slots.filter(|&slot| ledger.case.works(washer.role, slot)).map(|slot| Use {
            slot,
            used: time.get(&slot).map_or(0, |time| time.0),
            available: ledger.case.shift_hours(slot).0,
        });
        let uses = uses.filter(|used| used.used > 0 || !ledger.case.is_away(Away::KegWasher, used.slot));
        all.push(ResourceUse { resource: Resource::KegWasher, uses: uses.collect() });
    }
    let orders = to_order(ledger);
    for id in (0..ledger.case.materials.len()).map(MaterialId) {
        all.push(ResourceUse { resource: Resource::Material(id), uses: material(ledger, id, &orders) });
    }
    all
}

/// Kegs of all kinds by planned day.
#[must_use]
pub fn kegs(ledger: &Ledger) -> Vec<KegsOfDay> {
    (0..ledger.case.kegs.len()).flat_map(|place| kegs_by_day(ledger, KegPoolId(place))).collect()
}

/// Kegs of a kind by planned day: what is filled is full until it is delivered, or at the latest (`back_after`) until it is back.
fn kegs_by_day(ledger: &Ledger, id: KegPoolId) -> Vec<KegsOfDay> {
    let pool = &ledger.case.kegs[id.0];
    let calendar = &ledger.case.calendar;
    let fills = ledger.kegs_filled();
    let mut filled = ledger.case.full_kegs(id);
    let mut days = Vec::new();
    for at in kegs_by_slot(ledger, id) {
        filled = filled.saturating_add(at.filled);
        if calendar.shift(at.slot) + 1 < calendar.shifts.len() {
            continue;
        }
        let day = calendar.day(at.slot);
        let is_back = |on: i64| pool.back_after.is_some_and(|days| on.saturating_add(days) <= day as i64);
        let back = fills.iter().filter(|((of, slot), _)| *of == id && is_back(ledger.day(*slot)));
        let back = back.fold(0, |sum: i64, (_, &kegs)| sum.saturating_add(kegs));
        let full = filled.saturating_sub(ledger.kegs_delivered(id, day as i64).max(back)).max(0);
        let (clean, dirty) = (at.clean_left, at.dirty_left);
        let out = pool.owned.map(|owned| [clean, dirty, full].into_iter().fold(owned, i64::saturating_sub));
        days.push(KegsOfDay { pool: id, day, clean, dirty, full, out });
    }
    days
}

/// Dirty kegs that are left in each slot after its washing, by kind, where there are any.
#[must_use]
pub fn dirty_kegs(ledger: &Ledger) -> Vec<(KegPoolId, Slot, i64)> {
    let slots = (0..ledger.case.kegs.len()).flat_map(|place| kegs_by_slot(ledger, KegPoolId(place)));
    let left = slots.map(|at| (at.pool, at.slot, (at.dirty - at.washed).max(0)));
    left.filter(|&(_, _, kegs)| kegs > 0).collect()
}

fn rounded_up(pieces: i128) -> i64 {
    i64::try_from((pieces + PIECE - 1).div_euclid(PIECE)).unwrap_or(i64::MAX)
}

/// Use of a material by planned day: there are stock and deliveries and, from the day it is needed on, the order.
fn material(ledger: &Ledger, id: MaterialId, orders: &[ToOrder]) -> Vec<Use> {
    let data = &ledger.case.materials[id.0];
    let used = ledger.pieces_used();
    let ordered = orders.iter().find(|order| order.material == id);
    let mut before = 0_i128;
    let mut uses = Vec::new();
    for day in 0..ledger.case.calendar.planned_days {
        let today = used.get(&(id, day as i64)).map_or(0, |&(pieces, _)| pieces);
        let arrived = ordered.filter(|order| order.needed <= day as i64).map_or(0, |order| order.pieces);
        let there = data.there_by(day as i64).saturating_add(arrived).saturating_sub(rounded_up(before));
        let slot = ledger.case.calendar.slot(day, 0);
        uses.push(Use { slot, used: rounded_up(today), available: there });
        before += today;
    }
    uses
}

/// What must be ordered: what is bought of each material, with the last day to order it.
#[must_use]
pub fn to_order(ledger: &Ledger) -> Vec<ToOrder> {
    let mut orders = Vec::new();
    for id in (0..ledger.case.materials.len()).map(MaterialId) {
        if let Some(bought) = bought(ledger, id) {
            let material = &ledger.case.materials[id.0];
            let by = material.lead.map(|lead| bought.needed.saturating_sub(lead).max(0));
            let (needed, pieces, cost) = (bought.needed, rounded_up(bought.pieces), bought.cost);
            orders.push(ToOrder { material: id, by, needed, pieces, packs: bought.packs, cost });
        }
    }
    orders
}
