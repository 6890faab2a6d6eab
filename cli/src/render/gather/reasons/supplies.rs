//! Reasons beyond vessels and people: a line that is not there, kegs, materials, stores.

use cellarwright_checker::usage::Resource;
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Order;
use cellarwright_model::ids::{KegPoolId, MaterialId};
use cellarwright_model::units::Money;

use super::{Facts, date, left_in};
use crate::render::view::Reason;

/// What was missing on every day from `first` to `last` on which the order's beer could be packaged.
pub fn missing(facts: &Facts, order: &Order, first: usize, last: usize) -> Option<Reason> {
    let case = facts.case;
    let days: Vec<usize> = (first..=last).filter(|&day| facts.works_on(Role::Package, day)).collect();
    let (from, to) = (date(case, first as i64), date(case, last as i64));
    if let Some(pool) = case.pool_of(order.format)
        && is_used_up(facts, Resource::Kegs(pool), &days, 1)
    {
        let kegs = case.kegs[pool.0].name.clone();
        return Some(match is_washer_full(facts, pool, first, last) {
            true => Reason::KegWasherFull { kegs, from, to },
            false => Reason::NoCleanKegs { kegs, from, to },
        });
    }
    for (place, material) in case.materials.iter().enumerate().filter(|(_, material)| material.lead.is_none())
    {
        let pieces = material.pieces(order.beer, order.format);
        if pieces > 0 && is_used_up(facts, Resource::Material(MaterialId(place)), &days, pieces) {
            return Some(Reason::MaterialUsedUp { material: material.name.clone(), from, to });
        }
    }
    if let Some(reason) = no_further_order(facts, order) {
        return Some(reason);
    }
    let format = case.format(order.format);
    if case.beer(order.beer).release > 0 {
        let is_full = is_used_up(facts, Resource::WarmStore, &days, format.package().0);
        return is_full.then_some(Reason::WarmStoreFull { from, to });
    }
    // Whatever day it is packaged on, it stands in the cold store in every night from the last of these days to the due day.
    let store = case.cold_store.as_ref().filter(|store| store.formats.contains(&order.format))?;
    let package = case.takes_up(store, order.format, format.package()).max(1);
    let nights = last..case.calendar.planned_days.min(usize::try_from(order.due).unwrap_or_default());
    let mut full = nights.filter(|&night| {
        is_used_up(facts, Resource::ColdStore, &[night], package)
            && (store.overflow == 0 || is_used_up(facts, Resource::HiredStore, &[night], package))
    });
    full.next().map(|night| Reason::ColdStoreFull { on: date(case, night as i64) })
}

/// A material that is bought in packs, or in orders of at least so many, and of which nothing is left when the planned days end.
fn no_further_order(facts: &Facts, order: &Order) -> Option<Reason> {
    let last = facts.case.calendar.planned_days.checked_sub(1)?;
    let all = facts.case.materials.iter().enumerate();
    let mut dear = all.filter(|(place, material)| {
        let pieces = material.pieces(order.beer, order.format);
        let is_in_lots = material.pack.is_some() || material.least_order > 0;
        let can_be_bought = material.lead.is_some() && material.price_per_1000 > Money::ZERO;
        let left = Resource::Material(MaterialId(*place));
        pieces > 0 && is_in_lots && can_be_bought && is_used_up(facts, left, &[last], pieces)
    });
    dear.next().map(|(_, material)| Reason::NoFurtherOrder { material: material.name.clone() })
}

/// Whether a line comes on none of the days.
pub fn never_comes(facts: &Facts, order: &Order, first: usize, last: usize) -> bool {
    let calendar = &facts.case.calendar;
    let line = facts.case.format(order.format).line;
    (calendar.slot(first, 0).0..calendar.slot(last + 1, 0).0)
        .all(|slot| !facts.case.line_is_there(line, cellarwright_model::calendar::Slot(slot)))
}

/// Whether dirty kegs stood there that would still be clean on one of the days, and neither washer nor people had time for one of them.
fn is_washer_full(facts: &Facts, pool: KegPoolId, first: usize, last: usize) -> bool {
    let case = facts.case;
    let Some(washer) = case.keg_washer else { return false };
    let needed = washer.takes(1).0.max(1);
    let keeps = case.kegs[pool.0].keeps.unwrap_or(i64::MAX);
    let in_time = |slot: Slot| {
        let day = case.calendar.day(slot);
        day <= last && keeps.saturating_add(day as i64) >= first as i64
    };
    let mut dirty =
        facts.report.usage.dirty_kegs.iter().filter(|&&(of, slot, _)| of == pool && in_time(slot));
    let is_full = |slot: Slot| {
        let left = |resource| left_in(facts, resource, slot).unwrap_or_default();
        left(Resource::KegWasher) < needed || left(Resource::RoleTime(washer.role)) < needed * washer.people
    };
    let Some(&(_, slot, _)) = dirty.next() else { return false };
    is_full(slot) && dirty.all(|&(_, slot, _)| is_full(slot))
}

/// Whether less than `least` of a resource is left at the end of each of the days; not where it has no use on one of them.
fn is_used_up(facts: &Facts, resource: Resource, days: &[usize], least: i64) -> bool {
    let Some(found) = facts.report.usage.resources.iter().find(|uses| uses.resource == resource) else {
        return false;
    };
    let left = |day: usize| {
        let mut today = found.uses.iter().filter(|used| facts.case.calendar.day(used.slot) == day);
        today.next_back().map(|used| used.available - used.used)
    };
    !days.is_empty() && days.iter().all(|&day| left(day).is_some_and(|left| left < least))
}
