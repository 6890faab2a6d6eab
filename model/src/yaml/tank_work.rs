//! Reading the tank work of a beer, what of it is done on a batch in tank, and the limits of the cooling plant.

use std::collections::BTreeSet;

use super::node::{Fields, Node};
use super::words;
use crate::calendar::{Calendar, Role};
use crate::case::{Beer, Case, Cooling, Job, TankWork, TankWorkKind};
use crate::heat::Ferments;
use crate::units::Gravity;

/// Pieces of work that a beer may have.
const MOST_PIECES: usize = 8;
/// Ways to put the pieces of a beer into shifts, each counted with its days early and late.
const MOST_WAYS: i64 = 1_000;

/// Reads `tank_work` of a beer, whose stay is so many days.
pub fn read(fields: &Fields, stay: i64) -> Vec<TankWork> {
    let Some(node) = fields.optional("tank_work") else { return Vec::new() };
    let mut all: Vec<TankWork> = Vec::new();
    for item in node.items(false) {
        if let Some(piece) = piece(&item, stay, &all) {
            all.push(piece);
        }
    }
    if all.len() > MOST_PIECES {
        node.error("V474", &format!("at most {MOST_PIECES} pieces"), None);
    }
    all
}

/// Whether there are more ways to put the pieces of a beer into shifts than can be searched.
pub fn too_many(works: &[TankWork], shifts: usize) -> Option<String> {
    let each = |work: &TankWork| (work.early + work.slip + 1).saturating_mul(shifts as i64);
    let ways = works.iter().fold(1_i64, |ways, work| ways.saturating_mul(each(work)));
    (ways > MOST_WAYS)
        .then(|| format!("at most {MOST_WAYS} ways to put its tank work into shifts, here {ways}"))
}

/// The piece of work that fits no day of brewing of the horizon, with all before it done as they can be; none if some day fits them all.
/// Due days move by what is late, as the rule says; the calendar goes on after the horizon.
pub fn fits_no_brew_day(case: &Case, beer: &Beer) -> Option<String> {
    let times = &case.calendar;
    let slots = |day: usize| (0..times.shifts.len()).map(move |shift| times.slot(day, shift));
    let fits = |work: &TankWork, day: i64| {
        usize::try_from(day).is_ok_and(|day| {
            slots(day).any(|slot| case.works_in_tank(work, slot) && work.job.takes <= case.shift_hours(slot))
        })
    };
    let mut furthest = None;
    for on in (0..times.days()).filter(|&day| slots(day).any(|slot| case.works(Role::Brew, slot))) {
        let on = on as i64;
        // (days late, day of the piece before, first day for a chill)
        let mut ways = BTreeSet::from([(0, on, on)]);
        let mut stuck = None;
        for (position, work) in beer.tank_work.iter().enumerate() {
            let mut next = BTreeSet::new();
            for &(late, before, contact) in &ways {
                let due = on + work.day + late;
                let is_chill = work.kind == TankWorkKind::Chill;
                let first =
                    (due - work.early).max(before).max(on + 1).max(if is_chill { contact } else { on });
                for day in (first..=due + work.slip).filter(|&day| fits(work, day)) {
                    let late = late + if work.moves { (day - due).max(0) } else { 0 };
                    let own = day + work.contact;
                    next.insert((late, day, if is_chill { own } else { contact.max(own) }));
                }
            }
            if next.is_empty() {
                stuck = Some(position);
                break;
            }
            ways = next;
        }
        furthest = furthest.max(Some(stuck?));
    }
    furthest.and_then(|position: usize| beer.tank_work.get(position)).map(|work| work.name.clone())
}

fn piece(node: &Node, stay: i64, before: &[TankWork]) -> Option<TankWork> {
    let fields = node.fields()?;
    let name_node = fields.required("name");
    let name = name_node.as_ref().and_then(Node::name);
    let kinds = TankWorkKind::NAMED.map(|kind| (kind.word(), kind));
    let kind = match fields.optional("kind") {
        Some(node) => kinds.iter().find(|(word, _)| node.name().as_deref() == Some(word)),
        None => kinds.iter().find(|(word, _)| name.as_deref() == Some(word)),
    };
    let day_node = fields.required("day");
    let day = day_node.as_ref().and_then(words::days);
    let days = |key| fields.optional(key).map_or(Some(0), |node: Node| words::days(&node)).unwrap_or(0);
    let (early, slip) = (days("early"), days("slip"));
    let contact_node = fields.optional("contact");
    let contact = contact_node.as_ref().and_then(words::days).unwrap_or(0);
    let cools_node = fields.optional("cools_by");
    let cools_by = cools_node.as_ref().and_then(words::drop).unwrap_or_default();
    let yes_or = |key, silent| fields.optional(key).and_then(|node| node.yes_or_no()).unwrap_or(silent);
    let (moves, alone) = (yes_or("moves", true), yes_or("alone", false));
    let takes = fields.optional("takes").and_then(|node| words::time(&node)).unwrap_or_default();
    let crew = fields.optional("crew").and_then(|node| words::role_times(&node)).unwrap_or_default();
    fields.finish();
    let (name, day) = (name?, day?);
    if let Some(node) = name_node.filter(|_| before.iter().any(|work| work.name == name)) {
        node.error("V205", "a name that no other piece of work of this beer has", None);
        return None;
    }
    if let Some(node) = &day_node {
        if day < 1 || day >= stay {
            let allowed =
                format!("a day after the last turn and before the ready day, 1 d to {} d", stay - 1);
            node.error("V470", &allowed, Some("the stay is counted from the day of the last turn".into()));
            return None;
        }
        if let Some(last) = before.last().filter(|last| last.day > day) {
            node.error("V471", &format!("the day of the piece before it or later, {} d", last.day), None);
            return None;
        }
    }
    if early >= day
        && let Some(node) = fields.optional("early")
    {
        node.error("V472", &format!("less than {day} d, so that it is after the day of the last turn"), None);
        return None;
    }
    if let Some(node) = contact_node.filter(|_| day + contact > stay) {
        let allowed = format!("at most {} d, the days from it to the ready day", stay - day);
        node.error("V473", &allowed, None);
        return None;
    }
    let kind = kind.map_or(TankWorkKind::Other, |(_, kind)| *kind);
    if let Some(node) = cools_node.filter(|_| kind != TankWorkKind::Chill) {
        node.error("V476", "left out: only work of the kind `chill` cools the beer", None);
        return None;
    }
    let job = Job { takes, crew };
    Some(TankWork { name, kind, day, early, slip, moves, job, alone, contact, cools_by })
}

/// Looks up a piece of a beer's tank work by name.
pub fn position(node: &Node, beer: &Beer) -> Option<usize> {
    let name = node.name()?;
    let found = beer.tank_work.iter().position(|work| work.name == name);
    if found.is_none() {
        let names = beer.tank_work.iter().map(|work| work.name.as_str());
        super::beers::unknown(node, "V207", &name, "pieces of tank work of the beer", names);
    }
    found
}

/// Days on which the pieces of work of a batch in tank were done: those that `done` and `done_on` name and all before them; where both are
/// silent, those that were due before day 0.
pub fn done(fields: &Fields, beer: Option<&Beer>, on: Option<i64>, calendar: &Calendar) -> Vec<i64> {
    let (named, dated) = (fields.optional("done"), fields.optional("done_on"));
    let pieces: &[TankWork] = beer.map_or(&[], |beer| &beer.tank_work);
    let mut last: Option<usize> = None;
    let find = |node: &Node, name: &str| {
        let found = pieces.iter().position(|work| work.name == name);
        if found.is_none() && beer.is_some() {
            let names = pieces.iter().map(|work| work.name.as_str());
            super::beers::unknown(node, "V207", name, "pieces of tank work of the beer", names);
        }
        found
    };
    for item in named.as_ref().map(|node| node.items(true)).unwrap_or_default() {
        if let Some(name) = item.name() {
            last = last.max(find(&item, &name));
        }
    }
    let mut dates: Vec<(usize, i64)> = Vec::new();
    if let Some(node) = &dated
        && node.fields().is_some()
    {
        for (name, value) in node.entries() {
            let (position, date) = (find(&value, &name), words::date(&value));
            let (Some(position), Some(date), Some(on)) = (position, date, on) else { continue };
            let day = calendar.day_of(date);
            if day <= on || day >= 0 {
                value.error("V475", "a day after the last turn and before the plan starts", None);
                continue;
            }
            dates.push((position, day));
            last = last.max(Some(position));
        }
    }
    let Some(on) = on else { return Vec::new() };
    let mut days = Vec::new();
    let mut late = 0;
    for (position, work) in pieces.iter().enumerate() {
        let due = on + work.day + late;
        let counts = match last {
            Some(last) => position <= last,
            None => named.is_none() && dated.is_none() && due < 0,
        };
        if !counts {
            break;
        }
        let day = dates.iter().find(|(dated, _)| *dated == position).map_or(due.min(-1), |&(_, day)| day);
        if work.moves {
            late += (day - due).max(0);
        }
        days.push(day);
    }
    days
}

/// Days by which the pieces of work that are done have made a batch late.
pub fn late(beer: &Beer, on: i64, done: &[i64]) -> i64 {
    let moving = beer.tank_work.iter().zip(done).filter(|(work, _)| work.moves);
    moving.fold(0, |late, (work, &day)| late + (day - on - work.day - late).max(0))
}

/// Reads `ferments` of a beer: `{from: 12 degP, to: 2.5 degP, over: 5 d}`.
pub fn ferments(fields: &Fields, stay: i64) -> Option<Ferments> {
    let node = fields.optional("ferments")?;
    let fields = node.fields()?;
    let from = fields.required("from").and_then(|node| words::gravity(&node));
    let to_node = fields.required("to");
    let to = to_node.as_ref().and_then(words::gravity);
    let over_node = fields.required("over");
    let over = over_node.as_ref().and_then(words::days);
    fields.finish();
    let ferments = Ferments { from: from?, to: to?, over: over? };
    if ferments.from < Gravity::ZERO || ferments.to >= ferments.from {
        to_node?.error("V477", "a gravity below the one that it ferments from", None);
        return None;
    }
    if !(1..=stay).contains(&ferments.over) {
        over_node?.error("V478", &format!("1 d to the stay, {stay} d"), None);
        return None;
    }
    Some(ferments)
}

/// Reads `cooling` of the cellar.
pub fn cooling(fields: &Fields) -> Cooling {
    let mut cooling = Cooling::default();
    if let Some(node) = fields.optional("cooling").and_then(|node| node.fields()) {
        cooling.chills_a_day = node.optional("chills_a_day").and_then(|node| node.whole(0, 500));
        cooling.heat_a_day = node.optional("heat_a_day").and_then(|node| words::heat(&node));
        node.finish();
    }
    cooling
}
