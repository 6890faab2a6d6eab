//! R09: person-time by role, overtime, and heads at the lines.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::ids::{CrewId, LineId};
use cellarwright_model::units::Minutes;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::exact::Fine;
use crate::ledger::Ledger;

/// Lines that may run together in one slot with every set of them tested; with more, pairs and the whole are tested.
const MOST_LINES: usize = 12;

/// Sets of roles that need more than their crews have, overtime beyond its limit, lines without their people.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    overtime(ledger, breaches);
    overtime_of_weeks(ledger, breaches);
    let slots: BTreeSet<Slot> = ledger
        .charges
        .iter()
        .map(|charge| charge.slot)
        .chain(ledger.line_slots.keys().map(|&(slot, _)| slot))
        .collect();
    for slot in slots {
        person_time(ledger, slot, breaches);
        heads(ledger, slot, breaches);
    }
}

/// Person-time that is asked of each role in a slot, by `Role` in its fixed order.
#[must_use]
pub fn needed(ledger: &Ledger, slot: Slot) -> [Fine; 3] {
    let mut needed = [Fine::ZERO; 3];
    for charge in ledger.charges.iter().filter(|charge| charge.slot == slot && charge.worked) {
        for role in Role::ALL {
            needed[role as usize] += Fine::from(charge.crew.of(role));
        }
    }
    if ledger.case.works(Role::Package, slot) {
        for (line, time) in running(ledger, slot) {
            needed[Role::Package as usize] += time.times(ledger.case.line(line).people);
        }
    }
    needed
}

/// Person-time of all crews that have one of these roles, in a slot.
#[must_use]
pub fn available(ledger: &Ledger, slot: Slot, roles: &[Role]) -> Fine {
    let mut sum = Fine::ZERO;
    for crew in ledger.case.crew_ids() {
        let data = ledger.case.crew(crew);
        if roles.iter().any(|&role| data.has(role)) {
            sum += Fine::from(ledger.hours(crew, slot)).times(ledger.case.crew_people(crew, slot));
        }
    }
    sum
}

/// Cellar time of a slot that may be worked by one person alone.
fn needed_alone(ledger: &Ledger, slot: Slot) -> Fine {
    let charges = ledger.charges.iter().filter(|charge| charge.slot == slot && charge.worked && charge.alone);
    charges.fold(Fine::ZERO, |sum, charge| sum + Fine::from(charge.crew.of(Role::Cellar)))
}

/// Person-time of the crews that only check, in a slot.
#[must_use]
pub fn check_hours(ledger: &Ledger, slot: Slot) -> Fine {
    let checkers = ledger.case.crew_ids().filter(|&crew| ledger.case.crew(crew).check_only);
    checkers.fold(Fine::ZERO, |sum, crew| {
        sum + Fine::from(ledger.hours(crew, slot)).times(ledger.case.crew_people(crew, slot))
    })
}

/// Lines that run in a slot with their line time.
fn running(ledger: &Ledger, slot: Slot) -> Vec<(LineId, Fine)> {
    let range = ledger.line_slots.range((slot, LineId(0))..=(slot, LineId(usize::MAX)));
    range.map(|(&(_, line), line_slot)| (line, line_slot.time)).collect()
}

/// People of all crews at the lines in a slot.
#[must_use]
pub fn packers(ledger: &Ledger, slot: Slot) -> i64 {
    package_crews(ledger, slot).iter().map(|&crew| ledger.case.crew_people(crew, slot)).sum()
}

fn package_crews(ledger: &Ledger, slot: Slot) -> Vec<CrewId> {
    let there = |crew: &CrewId| {
        ledger.case.crew(*crew).has(Role::Package) && ledger.case.crew_hours(*crew, slot) > Minutes::ZERO
    };
    ledger.case.crew_ids().filter(there).collect()
}

/// Hours and overtime of the packaging crew that goes home first, in a slot.
#[must_use]
pub fn line_hours(ledger: &Ledger, slot: Slot) -> Minutes {
    let crews = package_crews(ledger, slot);
    crews.iter().map(|&crew| ledger.hours(crew, slot)).min().unwrap_or_default()
}

fn overtime(ledger: &Ledger, breaches: &mut Breaches) {
    for overtime in &ledger.plan.overtime {
        if overtime.time < Minutes::ZERO {
            let (found, allowed) = (Amount::Time(overtime.time), Amount::Time(Minutes::ZERO));
            breaches.add(About::Crew(overtime.crew), overtime.slot, "overtime", found, allowed);
        }
    }
    for (&(slot, crew), &time) in &ledger.overtime {
        let limit = ledger.overtime_limit(crew, slot);
        if time > limit {
            breaches.add(About::Crew(crew), slot, "overtime", Amount::Time(time), Amount::Time(limit));
        }
    }
}

/// Overtime of the people of each shift of a crew in each week from Monday to Sunday: the slot of its last, what there is.
#[must_use]
pub fn overtime_by_week(ledger: &Ledger) -> BTreeMap<(CrewId, usize, i64), (Slot, Minutes)> {
    let calendar = &ledger.case.calendar;
    let mut weeks: BTreeMap<(CrewId, usize, i64), (Slot, Minutes)> = BTreeMap::new();
    for (&(slot, crew), &time) in &ledger.overtime {
        let monday = calendar.monday(ledger.day(slot));
        let entry = weeks.entry((crew, calendar.shift(slot), monday)).or_insert((slot, Minutes::ZERO));
        *entry = (slot, entry.1 + time);
    }
    weeks
}

fn overtime_of_weeks(ledger: &Ledger, breaches: &mut Breaches) {
    for ((crew, _, _), (slot, time)) in overtime_by_week(ledger) {
        let a_week = ledger.case.crew(crew).overtime.and_then(|limit| limit.a_week);
        if let Some(limit) = a_week.filter(|&limit| time > limit) {
            let (found, allowed) = (Amount::Time(time), Amount::Time(limit));
            breaches.add(About::Crew(crew), slot, "overtime of the week", found, allowed);
        }
    }
}

fn person_time(ledger: &Ledger, slot: Slot, breaches: &mut Breaches) {
    let needed = needed(ledger, slot);
    let mut broken: Vec<u64> = Vec::new();
    // Small sets first: a set that holds a broken one says nothing new.
    for set in [1_u64, 2, 4, 3, 5, 6, 7] {
        if broken.iter().any(|&smaller| is_within(smaller, set)) {
            continue;
        }
        let roles: Vec<Role> =
            Role::ALL.into_iter().filter(|&role| set & (1 << role as usize) != 0).collect();
        let all = roles.iter().fold(Fine::ZERO, |sum, &role| sum + needed[role as usize]);
        let has_cellar = roles.contains(&Role::Cellar);
        // What may be done alone can be left to those who only check.
        let alone = if has_cellar { needed_alone(ledger, slot) } else { Fine::ZERO };
        let others = available(ledger, slot, &roles);
        let checks = if has_cellar { check_hours(ledger, slot) } else { Fine::ZERO };
        let without_alone = Fine(all.0 - alone.0);
        let (need, there) =
            if without_alone.exceeds(others) { (without_alone, others) } else { (all, others + checks) };
        if need.exceeds(there) {
            broken.push(set);
            let about = about_roles(ledger, slot, &roles);
            let found = Amount::Time(need.rounded_up());
            breaches.add(about, slot, person_time_of(set), found, Amount::Time(there.rounded_up()));
        }
    }
}

/// The first crew with one of the roles that is there, or else one that is there at other times.
fn about_roles(ledger: &Ledger, slot: Slot, roles: &[Role]) -> About {
    let has = |crew: &CrewId| roles.iter().any(|&role| ledger.case.crew(*crew).has(role));
    let is_there = |crew: &CrewId| ledger.case.crew_hours(*crew, slot) > Minutes::ZERO;
    let there = ledger.case.crew_ids().filter(has).find(is_there);
    let any = there.or_else(|| ledger.case.crew_ids().find(has));
    any.map_or(About::Brewhouse, About::Crew)
}

fn person_time_of(set: u64) -> &'static str {
    match set {
        1 => "person-time of brew",
        2 => "person-time of cellar",
        3 => "person-time of brew and cellar",
        4 => "person-time of package",
        5 => "person-time of brew and package",
        6 => "person-time of cellar and package",
        _ => "person-time of all roles",
    }
}

fn heads(ledger: &Ledger, slot: Slot, breaches: &mut Breaches) {
    if !ledger.case.works(Role::Package, slot) {
        return;
    }
    let people = packers(ledger, slot);
    let mut lines = running(ledger, slot);
    for &(line, _) in &lines {
        let needed = ledger.case.line(line).people;
        if needed > people {
            breaches.add(About::Line(line), slot, "heads", Amount::Number(needed), Amount::Number(people));
        }
    }
    lines.retain(|&(line, _)| ledger.case.line(line).people <= people);
    let hours = line_hours(ledger, slot);
    let mut broken: Vec<u64> = Vec::new();
    for set in sets(lines.len()) {
        if broken.iter().any(|&smaller| is_within(smaller, set)) {
            continue;
        }
        let members: Vec<(LineId, Fine)> =
            (0..lines.len()).filter(|&place| set & (1 << place) != 0).map(|place| lines[place]).collect();
        let limit = Fine::from(hours).times(together(ledger, &members, people));
        let time = members.iter().fold(Fine::ZERO, |sum, &(_, time)| sum + time);
        if time.exceeds(limit) {
            broken.push(set);
            let about = members.last().map_or(About::Brewhouse, |&(line, _)| About::Line(line));
            let what = if members.len() == 1 { "line time" } else { "time of lines one after another" };
            let (found, allowed) = (Amount::Time(time.rounded_up()), Amount::Time(limit.rounded_up()));
            breaches.add(about, slot, what, found, allowed);
        }
    }
}

/// Whether a set, as bits, lies within another.
fn is_within(smaller: u64, larger: u64) -> bool {
    smaller & !larger == 0
}

/// Sets of lines to be tested, small ones first.
fn sets(lines: usize) -> Vec<u64> {
    let count = lines.min(63);
    let whole = (1_u64 << count) - 1;
    let mut sets: Vec<u64> = if count <= MOST_LINES {
        (1..=whole).collect()
    } else {
        let pairs =
            (0..count).flat_map(|first| (first..count).map(move |second| (1 << first) | (1 << second)));
        pairs.chain([whole]).collect()
    };
    sets.sort_by_key(|set| set.count_ones());
    sets
}

/// The largest number of these lines whose people add up to no more than are there.
fn together(ledger: &Ledger, lines: &[(LineId, Fine)], people: i64) -> i64 {
    let mut needs: Vec<i64> = lines.iter().map(|&(line, _)| ledger.case.line(line).people).collect();
    needs.sort_unstable();
    let mut left = people;
    let mut count = 0;
    for need in needs {
        if need > left {
            break;
        }
        left -= need;
        count += 1;
    }
    count
}
