//! Fills in the use of every resource from the replayed facts.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Case};
use cellarwright_model::ids::{CrewId, LineId, VesselId};
use cellarwright_model::units::{Minutes, Volume};

use crate::cooling::heat_by_day;
use crate::exact::Fine;
use crate::ledger::{Event, Holding, Kind, Ledger};
use crate::rules::{
    available_people, check_hours, chills_by_day, cleaning_sets_use, fills_since_full_clean,
    is_counted_order, line_hours, needed_people, packers, poured, standing_warm, stored, turns_by_liquor,
};
use crate::usage::{OrderResult, Resource, ResourceUse, Stay, TapUse, Usage, Use};
use crate::{usage_packages, usage_yeast};

/// Everything that the replay counted, for tables and drawings.
#[must_use]
pub fn usage(ledger: &Ledger) -> Usage {
    let mut packaged: Vec<(usize, Volume)> = Vec::new();
    for line_slot in ledger.line_slots.values() {
        for run in &line_slot.runs {
            packaged.extend(run.packaged_by_piece());
        }
    }
    packaged.sort_unstable();
    let times = ledger.line_slots.iter();
    Usage {
        resources: resources(ledger),
        stays: stays(ledger),
        orders: orders(ledger),
        line_times: times.map(|(&(slot, line), times)| (line, slot, times.time.rounded_up())).collect(),
        to_order: usage_packages::to_order(ledger),
        kegs: usage_packages::kegs(ledger),
        taps: taps(ledger),
        generations: generations(ledger),
        dirty_kegs: usage_packages::dirty_kegs(ledger),
        spare_yeast: usage_yeast::spare(ledger),
        packaged,
    }
}

fn generations(ledger: &Ledger) -> Vec<(usize, i64)> {
    let pitches = ledger.yeast.pitches.iter().map(|pitch| (pitch.position, pitch.generation));
    let crops = ledger.yeast.crops.iter().map(|crop| (crop.position, crop.generation));
    let mut all: Vec<(usize, i64)> =
        pitches.chain(crops).filter_map(|(position, generation)| Some((position, generation?))).collect();
    all.sort_unstable();
    all
}

fn resources(ledger: &Ledger) -> Vec<ResourceUse> {
    let case = ledger.case;
    let mut all = vec![turns(ledger), brewhouse_time(ledger)];
    all.extend(Role::ALL.map(|role| role_time(ledger, role)));
    all.extend(case.crew_ids().map(|crew| crew_time(ledger, crew)));
    all.extend(case.crew_ids().map(|crew| week_overtime(ledger, crew)));
    all.extend(cleaning(ledger));
    all.extend(chills(ledger));
    all.extend(cooling_heat(ledger));
    all.extend(case.line_ids().map(|line| line_time(ledger, line)));
    all.extend(warm_store(ledger));
    all.extend(usage_packages::of_the_way(ledger));
    all.extend(usage_packages::resources(ledger));
    all.extend(usage_yeast::resources(ledger));
    all.extend(case.vessel_ids().filter_map(|vessel| fills_left(ledger, vessel)));
    all.extend(cold_store(ledger));
    all.extend(case.vessel_ids().map(|vessel| vessel_use(ledger, vessel)));
    all.retain(|resource| !resource.uses.is_empty());
    all
}

fn slots(case: &Case) -> impl Iterator<Item = Slot> + use<> {
    (0..case.calendar.planned_slots()).map(Slot)
}

/// Days on which the brewhouse is worked or used, with their first slot.
fn brew_days(ledger: &Ledger) -> Vec<(usize, Slot)> {
    let days = 0..ledger.case.calendar.planned_days;
    let can_brew = |day: usize| {
        let is_away = ledger.case.is_away(Away::Brewhouse, ledger.case.calendar.slot(day, 0));
        ledger.works_on(Role::Brew, day as i64) && !is_away
    };
    days.filter(|&day| can_brew(day) || ledger.turns.contains_key(&day))
        .map(|day| (day, ledger.case.calendar.slot(day, 0)))
        .collect()
}

fn turns(ledger: &Ledger) -> ResourceUse {
    let a_day = ledger.case.brewhouse.turns_per_day;
    let most = turns_by_liquor(&ledger.case.brewhouse).map_or(a_day, |most| most.min(a_day));
    let uses = brew_days(ledger).into_iter().map(|(day, slot)| Use {
        slot,
        used: ledger.turns.get(&day).map_or(0, |today| today.turns),
        available: most,
    });
    ResourceUse { resource: Resource::Turns, uses: uses.collect() }
}

fn fills_left(ledger: &Ledger, vessel: VesselId) -> Option<ResourceUse> {
    let full = ledger.case.vessel(vessel).full_clean?;
    let every = full.every?;
    let fills = fills_since_full_clean(ledger, vessel, full).into_iter();
    let uses = fills.map(|fill| Use { slot: fill.slot, used: 1, available: every - fill.number + 1 });
    Some(ResourceUse { resource: Resource::FillsLeft(vessel), uses: uses.collect() })
}

fn brewhouse_time(ledger: &Ledger) -> ResourceUse {
    let uses = brew_days(ledger).into_iter().map(|(day, slot)| Use {
        slot,
        used: ledger.turns.get(&day).map_or(0, |today| today.time.0),
        available: ledger.case.brewhouse.hours_per_day.0,
    });
    ResourceUse { resource: Resource::BrewhouseTime, uses: uses.collect() }
}

/// A use, unless there is nothing of it in the slot and nothing is used.
fn some_use(slot: Slot, used: Fine, available: Fine) -> Option<Use> {
    let (used, available) = (used.rounded_up().0, available.rounded_up().0);
    (used > 0 || available > 0).then_some(Use { slot, used, available })
}

fn role_time(ledger: &Ledger, role: Role) -> ResourceUse {
    let uses = slots(ledger.case).filter_map(|slot| {
        let used = needed_people(ledger, slot)[role as usize];
        let checks = if role == Role::Cellar { check_hours(ledger, slot) } else { Fine::ZERO };
        some_use(slot, used, available_people(ledger, slot, &[role]) + checks)
    });
    ResourceUse { resource: Resource::RoleTime(role), uses: uses.collect() }
}

fn crew_time(ledger: &Ledger, crew: CrewId) -> ResourceUse {
    let data = ledger.case.crew(crew);
    let uses = slots(ledger.case).filter_map(|slot| {
        let there = |other: CrewId| ledger.case.crew_hours(other, slot) > Minutes::ZERO;
        if !there(crew) {
            return None;
        }
        let mut alone = data.roles.clone();
        alone.retain(|&role| {
            !ledger
                .case
                .crew_ids()
                .any(|other| other != crew && there(other) && ledger.case.crew(other).has(role))
        });
        alone.sort_unstable();
        alone.dedup();
        if alone.is_empty() {
            return None;
        }
        let needed = needed_people(ledger, slot);
        let used = alone.iter().fold(Fine::ZERO, |sum, &role| sum + needed[role as usize]);
        some_use(slot, used, Fine::from(ledger.hours(crew, slot)).times(ledger.case.crew_people(crew, slot)))
    });
    ResourceUse { resource: Resource::CrewTime(crew), uses: uses.collect() }
}

/// Overtime of the weeks in which the crew comes, where it has a limit by the week.
fn week_overtime(ledger: &Ledger, crew: CrewId) -> ResourceUse {
    let case = ledger.case;
    let mut weeks: BTreeMap<(i64, usize), Use> = BTreeMap::new();
    if let Some(limit) = case.crew(crew).overtime.and_then(|limit| limit.a_week) {
        for slot in slots(case).filter(|&slot| case.crew_people(crew, slot) > 0) {
            let key = (case.calendar.monday(ledger.day(slot)), case.calendar.shift(slot));
            let week = weeks.entry(key).or_insert(Use { slot, used: 0, available: limit.0 });
            week.used += ledger.overtime.get(&(slot, crew)).map_or(0, |time| time.0);
        }
    }
    ResourceUse { resource: Resource::WeekOvertime(crew), uses: weeks.into_values().collect() }
}

fn cleaning(ledger: &Ledger) -> Vec<ResourceUse> {
    let mut all: Vec<ResourceUse> = Vec::new();
    for (reach, slot, used, available) in cleaning_sets_use(ledger) {
        let works = ledger.case.works(Role::Cellar, slot) || ledger.case.works(Role::Package, slot);
        if !works && used == Minutes::ZERO {
            continue;
        }
        let resource = Resource::CleaningTime(reach);
        let one = Use { slot, used: used.0, available: available.0 };
        match all.last_mut().filter(|last| last.resource == resource) {
            Some(last) => last.uses.push(one),
            None => all.push(ResourceUse { resource, uses: vec![one] }),
        }
    }
    all
}

fn chills(ledger: &Ledger) -> Option<ResourceUse> {
    let available = ledger.case.cooling.chills_a_day?;
    let chills = chills_by_day(ledger);
    let uses = (0..ledger.case.calendar.planned_days).map(|day| {
        let slot = ledger.case.calendar.slot(day, 0);
        let used = chills.get(&(day as i64)).map_or(0, |&(chills, _)| chills);
        Use { slot, used, available }
    });
    Some(ResourceUse { resource: Resource::Chills, uses: uses.collect() })
}

fn cooling_heat(ledger: &Ledger) -> Option<ResourceUse> {
    let available = ledger.case.cooling.heat_a_day?.0;
    let heat = heat_by_day(ledger);
    let uses = (0..ledger.case.calendar.planned_days).map(|day| {
        let slot = ledger.case.calendar.slot(day, 0);
        let used = heat.get(&(day as i64)).map_or(0, |heat| heat.0);
        Use { slot, used, available }
    });
    Some(ResourceUse { resource: Resource::CoolingHeat, uses: uses.collect() })
}

fn line_time(ledger: &Ledger, line: LineId) -> ResourceUse {
    let uses = slots(ledger.case).filter_map(|slot| {
        let used = ledger.line_slots.get(&(slot, line)).map_or(Fine::ZERO, |line_slot| line_slot.time);
        let manned = ledger.case.works(Role::Package, slot)
            && ledger.case.line(line).people <= packers(ledger, slot)
            && ledger.case.line_is_there(line, slot)
            && !ledger.case.is_away(Away::Line(line), slot);
        let available = if manned { line_hours(ledger, slot) } else { Minutes::ZERO };
        some_use(slot, used, Fine::from(available))
    });
    ResourceUse { resource: Resource::LineTime(line), uses: uses.collect() }
}

/// The warm store by days, where it has a limit.
fn warm_store(ledger: &Ledger) -> Option<ResourceUse> {
    let limit = ledger.case.warm_store?;
    let uses = (0..ledger.case.calendar.planned_days).map(|day| Use {
        slot: ledger.case.calendar.slot(day, 0),
        used: standing_warm(ledger, day as i64).0.0,
        available: limit.0,
    });
    Some(ResourceUse { resource: Resource::WarmStore, uses: uses.collect() })
}

/// The cold store and what is hired besides, by days.
fn cold_store(ledger: &Ledger) -> Vec<ResourceUse> {
    let Some(store) = &ledger.case.cold_store else { return Vec::new() };
    let days = || 0..ledger.case.calendar.planned_days;
    let slot = |day| ledger.case.calendar.slot(day, 0);
    let stands = |day: usize| stored(ledger, store, day as i64).max(0);
    let own =
        days().map(|day| Use { slot: slot(day), used: stands(day).min(store.holds), available: store.holds });
    let mut found = vec![ResourceUse { resource: Resource::ColdStore, uses: own.collect() }];
    if store.overflow > 0 {
        let hired = days().map(|day| Use {
            slot: slot(day),
            used: (stands(day) - store.holds).max(0),
            available: store.overflow,
        });
        found.push(ResourceUse { resource: Resource::HiredStore, uses: hired.collect() });
    }
    found
}

fn vessel_use(ledger: &Ledger, vessel: VesselId) -> ResourceUse {
    let mut used = vec![0_i64; ledger.case.calendar.planned_slots()];
    for holding in ledger.holdings.iter().filter(|holding| holding.vessel == vessel) {
        let first = holding.from.map_or(0, |slot| slot.0);
        let last = holding.emptied.map_or(used.len(), |slot| slot.0 + 1);
        for slot in used.iter_mut().take(last).skip(first) {
            *slot = 1;
        }
    }
    for entry in ledger.log(vessel) {
        if let (Event::Cleaned | Event::Sanitised(_), Some(slot)) = (entry.event, used.get_mut(entry.slot.0))
        {
            *slot = 1;
        }
    }
    let is_left = |slot: usize| ledger.case.is_away(Away::Vessel(vessel), Slot(slot));
    let uses = used.into_iter().enumerate().filter(|&(slot, used)| used > 0 || !is_left(slot));
    ResourceUse {
        resource: Resource::Vessel(vessel),
        uses: uses.map(|(slot, used)| Use { slot: Slot(slot), used, available: 1 }).collect(),
    }
}

fn taps(ledger: &Ledger) -> Vec<TapUse> {
    let poured = poured(ledger);
    let mut taps = Vec::new();
    for tap in &ledger.case.taproom.pours {
        for day in 0..ledger.case.calendar.planned_days {
            let asked = ledger.case.asked(tap.beer, day as i64);
            let poured = poured.get(&(tap.beer, day as i64)).copied().unwrap_or_default();
            if asked > Volume::ZERO || poured > Volume::ZERO {
                taps.push(TapUse { beer: tap.beer, day, asked, poured });
            }
        }
    }
    taps
}

fn stays(ledger: &Ledger) -> Vec<Stay> {
    let mut stays: Vec<Stay> = ledger.holdings.iter().map(stay).collect();
    stays.sort_by_key(|stay| (stay.vessel, stay.from));
    stays
}

fn stay(holding: &Holding) -> Stay {
    Stay {
        vessel: holding.vessel,
        beer: holding.beer,
        from: holding.from,
        ready: (holding.kind == Kind::Batch).then_some(holding.ready),
        volume: holding.volume,
        until: holding.emptied,
        left: holding.left,
    }
}

fn orders(ledger: &Ledger) -> Vec<OrderResult> {
    let counted = ledger.case.order_ids().filter(|&id| is_counted_order(ledger, ledger.case.order(id)));
    counted
        .map(|order| {
            let quantity = ledger.case.order(order).quantity;
            let delivered = ledger.goods.delivered[order.0].min(quantity);
            let handed = ledger.goods.handed_to(order).filter(|delivery| delivery.volume > Volume::ZERO);
            let days = handed.map(|delivery| (delivery.day, delivery.volume)).collect();
            OrderResult { order, delivered, missed: quantity - delivered, days }
        })
        .collect()
}
