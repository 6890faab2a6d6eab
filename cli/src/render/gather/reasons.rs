//! Why an order is short: the nearest reason that case and replay show. A reason is a fact, not a proof that nothing
//! else would help.

mod before;
mod supplies;

use cellarwright_checker::usage::{Resource, Stay};
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Aim, Order};
use cellarwright_model::ids::{LineId, OrderId};
use cellarwright_model::units::{Minutes, Volume};

use super::{Facts, date};
use crate::render::view::Reason;

/// A line with less clock time than this besides start-up and clean-down is as good as full, in minutes.
const SHORTEST_RUN: i64 = 30;

/// The nearest reason.
#[must_use]
pub fn reason(facts: &Facts, id: OrderId, delivered: Volume) -> Reason {
    let case = facts.case;
    let order = case.order(id);
    if matches!(case.aim, Aim::Output(_)) {
        return Reason::NotAimed;
    }
    if let Some(reason) = by_its_terms(facts, id, delivered) {
        return reason;
    }
    let packs: Vec<usize> =
        (0..case.calendar.days()).filter(|&day| facts.works_on(Role::Package, day)).collect();
    let in_time =
        |day: &&usize| facts.deliverable_from(**day as i64, order.beer).is_some_and(|from| from <= order.due);
    let Some(&last_pack) = packs.iter().rev().find(in_time) else {
        let first = packs.first().and_then(|&day| facts.deliverable_from(day as i64, order.beer));
        return Reason::NoDeliveryBefore { first: date(case, first.unwrap_or(order.due + 1)) };
    };
    let stays: Vec<&Stay> = facts.report.usage.stays.iter().filter(|stay| stay.beer == order.beer).collect();
    let earliest = stays.iter().map(|stay| (packable_from(facts, stay), *stay)).min_by_key(|(from, _)| *from);
    let brewed = (0..case.calendar.days()).find(|&day| facts.works_on(Role::Brew, day));
    let brewed_ready = brewed.map(|day| day as i64 + case.beer(order.beer).stay_days());
    let is_brewable = brewed_ready.is_some_and(|ready| ready <= last_pack as i64);
    match earliest {
        None if !is_brewable => {
            let ready = brewed_ready.unwrap_or(case.calendar.days() as i64);
            return Reason::NotBrewedInTime { ready: date(case, ready) };
        }
        Some((from, stay)) if from > last_pack as i64 && !is_brewable => {
            return Reason::ReadyLater {
                packaged_from: date(case, from),
                needed: date(case, last_pack as i64),
                vessel: case.vessel(stay.vessel).name.clone(),
            };
        }
        _ => {}
    }
    if last_pack >= case.calendar.planned_days {
        return Reason::LookAhead;
    }
    in_planned_days(facts, order, delivered, &stays, last_pack)
}

/// There was enough of it left, or some: it was too old for this order, or less than all of it.
fn by_its_terms(facts: &Facts, id: OrderId, delivered: Volume) -> Option<Reason> {
    let case = facts.case;
    let order = case.order(id);
    let left = left_by(facts, order);
    let enough = case.format(order.format).contents.min(order.quantity);
    if left < enough || delivered >= order.quantity {
        return None;
    }
    let limit = case.fresh(id);
    let old = limit.map_or(Volume::ZERO, |days| older_than(facts, order, order.due - days)).min(left);
    match limit {
        Some(days) if old >= enough && (!order.whole || left >= order.quantity) => {
            Some(Reason::TooOld { volume_hl: old.hectolitres(), days })
        }
        _ if order.whole => Some(Reason::WholeOrNothing { volume_hl: left.hectolitres() }),
        _ => None,
    }
}

/// What there is of the beer in the format that was packaged before a day.
fn older_than(facts: &Facts, order: &Order, day: i64) -> Volume {
    let goods = (order.beer, order.format);
    let stock = facts.case.stock.iter().filter(|stock| (stock.beer, stock.format) == goods);
    let stock: Volume = stock.filter(|stock| stock.packaged_on < day).map(|stock| stock.quantity).sum();
    let packaged = facts.packaged().into_iter();
    let packaged = packaged.filter(|&((beer, format, on), _)| (beer, format) == goods && (on as i64) < day);
    stock + packaged.map(|(_, volume)| volume).sum()
}

/// What is left of the beer in the format on the due day, from stock and the planned days' packaging, of any age.
fn left_by(facts: &Facts, order: &Order) -> Volume {
    let case = facts.case;
    let goods = (order.beer, order.format);
    let stock = case.stock.iter().filter(|stock| (stock.beer, stock.format) == goods);
    let stock: Volume = stock.map(|stock| stock.quantity).sum();
    let packaged = facts.packaged().into_iter().filter(|&((beer, format, day), _)| {
        let from = facts.deliverable_from(day as i64, beer);
        (beer, format) == goods && from.is_some_and(|from| from <= order.due)
    });
    let packaged: Volume = packaged.map(|(_, volume)| volume).sum();
    let handed = facts.plan.deliveries.iter().filter(|delivery| {
        let other = case.order(delivery.order);
        (other.beer, other.format) == goods && delivery.day <= order.due
    });
    stock + packaged - handed.map(|delivery| delivery.volume).sum()
}

/// The beer could have been packaged in time, in the planned days: what became of it?
fn in_planned_days(
    facts: &Facts,
    order: &Order,
    delivered: Volume,
    stays: &[&Stay],
    last_pack: usize,
) -> Reason {
    let case = facts.case;
    let left: Vec<&&Stay> = stays
        .iter()
        .filter(|stay| {
            let is_there = stay.until.is_none_or(|until| case.calendar.day(until) > last_pack);
            is_there && packable_from(facts, stay) <= last_pack as i64
        })
        .collect();
    let Some(first) = left.iter().map(|stay| packable_from(facts, stay)).min() else {
        return before::no_pitch(facts, order, last_pack)
            .unwrap_or_else(|| all_gone(facts, order, delivered, last_pack));
    };
    let first = usize::try_from(first).unwrap_or_default();
    if supplies::never_comes(facts, order, first, last_pack) {
        return Reason::LineNotThere {
            line: case.line(case.format(order.format).line).name.clone(),
            from: date(case, first as i64),
            to: date(case, last_pack as i64),
        };
    }
    if let Some(reason) = supplies::missing(facts, order, first, last_pack) {
        return reason;
    }
    if is_line_full(facts, order, first, last_pack) {
        return Reason::LineFull {
            line: case.line(case.format(order.format).line).name.clone(),
            from: date(case, first as i64),
            to: date(case, last_pack as i64),
        };
    }
    let beer = case.beer(order.beer);
    let ready = first.saturating_sub(1);
    let in_bright = left.iter().any(|stay| stay.ready.is_none());
    if !beer.direct && !in_bright && are_bright_tanks_full(facts, ready, last_pack) {
        return Reason::BrightTanksFull {
            from: date(case, ready as i64),
            to: date(case, last_pack.saturating_sub(1) as i64),
        };
    }
    if !beer.direct
        && !in_bright
        && let Some(reason) = before::filter_full(facts, order, &left, last_pack)
    {
        return reason;
    }
    Reason::WorthMore
}

/// None of it was left: it went to other orders, into other formats, or all of it to this order.
fn all_gone(facts: &Facts, order: &Order, delivered: Volume, last_pack: usize) -> Reason {
    let case = facts.case;
    let others = facts.plan.deliveries.iter().filter(|delivery| {
        let other = case.order(delivery.order);
        !std::ptr::eq(other, order)
            && (other.beer, other.format) == (order.beer, order.format)
            && delivery.day <= order.due
    });
    let to_others: Volume = others.map(|delivery| delivery.volume).sum();
    if to_others > Volume::ZERO {
        return Reason::OtherOrders { volume_hl: to_others.hectolitres() };
    }
    let packaged = facts.packaged().into_iter();
    let other_formats = packaged
        .filter(|&((beer, format, day), _)| beer == order.beer && format != order.format && day <= last_pack);
    let other_formats: Volume = other_formats.map(|(_, volume)| volume).sum();
    if other_formats > Volume::ZERO {
        return Reason::OtherFormats { volume_hl: other_formats.hectolitres() };
    }
    if delivered > Volume::ZERO {
        return Reason::AllThereWas { volume_hl: delivered.hectolitres() };
    }
    Reason::WorthMore
}

/// The first day on which beer of a stay can be packaged: from a bright tank after the day of its fill, from a fermenter
/// on its ready day on the direct route, a day later by way of a bright tank.
fn packable_from(facts: &Facts, stay: &Stay) -> i64 {
    let calendar = &facts.case.calendar;
    match stay.ready {
        None => stay.from.map_or(0, |slot| calendar.day(slot) as i64 + 1),
        Some(ready) => {
            let beer = facts.case.beer(stay.beer);
            let is_direct = beer.direct && facts.case.vessel(stay.vessel).uses.package;
            let from = if is_direct || calendar.shifts.len() > 1 { ready } else { ready + 1 };
            from.max(0)
        }
    }
}

/// Whether the line had no time or no people for another run on any of these days.
fn is_line_full(facts: &Facts, order: &Order, first: usize, last: usize) -> bool {
    let line_id = facts.case.format(order.format).line;
    let line = facts.case.line(line_id);
    (first..=last).filter(|&day| facts.works_on(Role::Package, day)).all(|day| {
        let times = &facts.report.usage.line_times;
        let runs =
            |time: &&(LineId, Slot, Minutes)| time.0 == line_id && facts.case.calendar.day(time.1) == day;
        let needed = match times.iter().find(runs) {
            Some(_) => SHORTEST_RUN,
            None => SHORTEST_RUN + line.start_up.0 + line.clean_down.0,
        };
        let people_left = left_on(facts, Resource::RoleTime(Role::Package), day).unwrap_or_default();
        people_left < needed * line.people || clock_left(facts, line_id, day) < needed
    })
}

/// Clock minutes that a line could still run on a day: its own runs and those of lines for which there are not people
/// enough beside it are taken off.
fn clock_left(facts: &Facts, line: LineId, day: usize) -> i64 {
    let case = facts.case;
    let found = facts.report.usage.resources.iter().find(|uses| uses.resource == Resource::LineTime(line));
    let today = found.iter().flat_map(|uses| &uses.uses).filter(|used| case.calendar.day(used.slot) == day);
    let mut left = 0;
    for used in today {
        let crews = case.crew_ids().filter(|&crew| {
            case.crew(crew).has(Role::Package) && case.crew_hours(crew, used.slot) > Minutes::ZERO
        });
        let people: i64 = crews.map(|crew| case.crew_people(crew, used.slot)).sum();
        let beside = facts.report.usage.line_times.iter().filter(|&&(other, slot, _)| {
            slot == used.slot && (other == line || case.line(other).people + case.line(line).people > people)
        });
        left += (used.available - beside.map(|&(_, _, time)| time.0).sum::<i64>()).max(0);
    }
    left
}

/// What is left of a resource on a day; none if there is none of it.
fn left_on(facts: &Facts, resource: Resource, day: usize) -> Option<i64> {
    let found = facts.report.usage.resources.iter().find(|uses| uses.resource == resource)?;
    let today = found.uses.iter().filter(|used| facts.case.calendar.day(used.slot) == day);
    let left: Vec<i64> = today.map(|used| used.available - used.used).collect();
    (!left.is_empty()).then(|| left.iter().sum())
}

/// What is left of a resource in a slot; none if there is none of it.
fn left_in(facts: &Facts, resource: Resource, slot: Slot) -> Option<i64> {
    let found = facts.report.usage.resources.iter().find(|uses| uses.resource == resource)?;
    let used = found.uses.iter().find(|used| used.slot == slot)?;
    Some(used.available - used.used)
}

fn are_bright_tanks_full(facts: &Facts, first: usize, last: usize) -> bool {
    let case = facts.case;
    let mut brights = case.vessel_ids().filter(|&vessel| case.vessel(vessel).uses.bright);
    brights.all(|vessel| {
        (first..last).all(|day| left_on(facts, Resource::Vessel(vessel), day).is_none_or(|left| left <= 0))
    })
}
