//! Rows of work: every task with its place, volume, clock time and person-hours.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_checker::usage::Resource;
use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Beer, Cause, Job, PinnedWork, Purge, RoleTimes};
use cellarwright_model::ids::{BeerId, KegPoolId, VesselId};
use cellarwright_model::plan::{PitchFrom, Task, Work};
use cellarwright_model::units::{Minutes, Volume};

use super::{Facts, date, runs};
use crate::render::view::{WorkRow, YeastRow};

/// All work, by day, shift and role, then in the order of the plan.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<WorkRow> {
    let mut keyed: Vec<(Key, WorkRow)> = Vec::new();
    let mut turns_of_day: BTreeMap<usize, i64> = BTreeMap::new();
    let mut pitched: BTreeSet<(Slot, VesselId)> = BTreeSet::new();
    for task in &facts.plan.tasks {
        let row = match task.work {
            Work::Brew { beer, vessel, turns, part } => {
                let day = facts.case.calendar.day(task.slot);
                let before = turns_of_day.entry(day).or_default();
                let row = brew(facts, beer, vessel, (turns, part), *before == 0);
                *before += turns;
                let yeast = if pitched.insert((task.slot, vessel)) {
                    yeast(facts, task.slot, vessel)
                } else {
                    Vec::new()
                };
                WorkRow { after: first_work(facts, task.slot, vessel), yeast, ..row }
            }
            Work::Transfer { from, to, volume, full } => {
                let row = transfer(facts, task.slot, from, (to, full), volume);
                WorkRow { after: first_work(facts, task.slot, to), ..row }
            }
            Work::Carbonate { vessel } => {
                let beer = facts.held(vessel, task.slot).map(|beer| facts.case.beer(beer));
                let takes =
                    beer.map_or(facts.case.carbonate.takes, |beer| facts.case.carbonating_takes(beer));
                let job = Job { takes, ..facts.case.carbonate };
                let work =
                    if beer.is_some_and(|beer| beer.nitrogen.is_some()) { "nitrogen" } else { "carbonate" };
                one(facts, task.slot, work, vessel, job, true)
            }
            Work::Clean { vessel, full } => {
                let job = facts.case.vessel(vessel).cleaning(full);
                WorkRow { full_clean: full, ..one(facts, task.slot, "clean", vessel, job, false) }
            }
            Work::Sanitise { vessel } => {
                one(facts, task.slot, "sanitise", vessel, facts.case.sanitise, false)
            }
            Work::Pitch { .. } => continue,
            Work::Crop { vessel } => crop(facts, task.slot, vessel),
            Work::Tank { beer, work, vessel } => tank_work(facts, beer, work, vessel),
            Work::Dump { vessel } => one(facts, task.slot, "dump", vessel, Job::default(), true),
            Work::Wash { pool, kegs } => wash(facts, pool, kegs),
            Work::Package { .. } => continue,
        };
        let row = WorkRow { pinned: is_pinned(facts, task), ..row };
        let role = match task.work {
            Work::Brew { .. } => Role::Brew,
            Work::Wash { .. } => facts.case.keg_washer.map_or(Role::Cellar, |washer| washer.role),
            _ => Role::Cellar,
        };
        keyed.push(((task.slot, role as usize, task.begins), row));
    }
    let package = Role::Package as usize;
    keyed.extend(runs::rows(facts).into_iter().map(|(slot, begins, row)| ((slot, package, begins), row)));
    keyed.extend(outages(facts).into_iter().map(|(slot, row)| ((slot, Role::Cellar as usize, None), row)));
    keyed.extend(filters(facts).into_iter().map(|(slot, row)| ((slot, Role::Cellar as usize, None), row)));
    keyed.extend(overtime(facts).into_iter().map(|(slot, row)| ((slot, Role::ALL.len(), None), row)));
    let tapped = super::taproom::rows(facts).into_iter();
    keyed.extend(tapped.map(|(slot, row)| ((slot, Role::ALL.len() + 1, None), row)));
    keyed.sort_by_key(|(key, _)| *key);
    keyed.into_iter().map(|((slot, role, begins), row)| placed(facts, slot, role, begins, row)).collect()
}

/// Slot, role and clock time of a row.
type Key = (Slot, usize, Option<Minutes>);

/// Whether a brew, transfer or clean is what some pin asks for.
fn is_pinned(facts: &Facts, task: &Task) -> bool {
    let calendar = &facts.case.calendar;
    let mut pins = facts.case.fixed.pins.iter().filter(|pin| pin.is_in(calendar, task.slot));
    pins.any(|pin| match (pin.work, task.work) {
        (
            PinnedWork::Brew { beer, vessel, part, .. },
            Work::Brew { beer: of, vessel: into, part: in_part, .. },
        ) => {
            let is_there = vessel.is_none_or(|vessel| vessel == into);
            beer == of && is_there && part.is_none_or(|part| in_part == Some(part))
        }
        (PinnedWork::Transfer { beer, from, to, .. }, Work::Transfer { from: out, to: into, .. }) => {
            facts.held(out, task.slot) == Some(beer)
                && from.is_none_or(|from| from == out)
                && to.is_none_or(|to| to == into)
        }
        (PinnedWork::Tank { beer, work, vessel }, Work::Tank { beer: of, work: done, vessel: held }) => {
            (beer, work) == (of, done) && vessel.is_none_or(|vessel| vessel == held)
        }
        (PinnedWork::Crop { vessel }, Work::Crop { vessel: of })
        | (PinnedWork::Clean { vessel }, Work::Clean { vessel: of, .. })
        | (PinnedWork::Dump { vessel }, Work::Dump { vessel: of }) => vessel == of,
        _ => false,
    })
}

/// A row for every outage, on its first planned day.
fn outages(facts: &Facts) -> Vec<(Slot, WorkRow)> {
    let case = facts.case;
    let last_planned = case.calendar.planned_days as i64 - 1;
    let mut rows = Vec::new();
    for outage in &case.fixed.outages {
        let first = outage.first_day.max(0);
        let Some(day) = usize::try_from(first).ok().filter(|_| first <= last_planned) else { continue };
        if outage.last_day < 0 {
            continue;
        }
        let asked = Role::ALL.into_iter().filter(|&role| case.outage_slot(outage, role).is_some());
        let people: Minutes = asked.map(|role| outage.crew.of(role)).sum();
        let row = WorkRow {
            work: match outage.cause {
                Cause::Outage => "outage",
                Cause::Upkeep => "upkeep",
                Cause::Left => "leave alone",
            },
            vessel: match outage.what {
                Away::Vessel(vessel) => Some(name(facts, vessel)),
                Away::Filter(place) => Some(case.filters[place].name.clone()),
                Away::Line(_) | Away::Brewhouse | Away::KegWasher => None,
            },
            line: match outage.what {
                Away::Line(line) => Some(case.line(line).name.clone()),
                Away::Vessel(_) | Away::Brewhouse | Away::Filter(_) | Away::KegWasher => None,
            },
            reason: Some(outage.reason.clone()).filter(|reason| !reason.is_empty()),
            until: Some(date(case, outage.last_day)),
            roles: roles(&[outage.crew]),
            person_hours: (people > Minutes::ZERO).then(|| people.hours()),
            ..WorkRow::default()
        };
        rows.push((case.calendar.slot(day, 0), row));
    }
    rows
}

/// What is done to a vessel before it is filled in the same slot.
fn first_work(facts: &Facts, slot: Slot, filled: VesselId) -> Option<&'static str> {
    facts.plan.tasks.iter().filter(|task| task.slot == slot).find_map(|task| match task.work {
        Work::Clean { vessel, .. } if vessel == filled => Some("clean"),
        Work::Sanitise { vessel } if vessel == filled => Some("sanitise"),
        _ => None,
    })
}

fn placed(facts: &Facts, slot: Slot, role: usize, begins: Option<Minutes>, row: WorkRow) -> WorkRow {
    let calendar = &facts.case.calendar;
    let day = calendar.day(slot);
    let kind = Role::ALL.get(role).copied();
    let crews = if row.crews.is_empty() { super::crews::of_work(facts, slot, kind, &row) } else { row.crews };
    WorkRow {
        day,
        crews,
        starts: begins.map(|begins| (calendar.shifts[calendar.shift(slot)].starts + begins).0),
        date: date(facts.case, day as i64),
        shift: calendar.shifts[calendar.shift(slot)].name.clone(),
        begins: begins.map(|begins| calendar.time_of_day(slot, begins)),
        role: match kind {
            Some(kind) => kind.word(),
            None if role == Role::ALL.len() => "overtime",
            None => "taproom",
        },
        ..row
    }
}

/// Kinds of work that take people's time.
fn roles(times: &[RoleTimes]) -> Vec<Role> {
    Role::ALL.into_iter().filter(|&role| times.iter().any(|times| times.of(role) > Minutes::ZERO)).collect()
}

/// How long somebody is at a job that may run on without anybody.
fn attended(job: Job) -> Minutes {
    let each = Role::ALL.into_iter().map(|role| job.crew.of(role).0);
    Minutes(each.max().unwrap_or_default().min(job.takes.0))
}

/// A vessel's name.
#[must_use]
pub fn name(facts: &Facts, vessel: VesselId) -> String {
    facts.case.vessel(vessel).name.clone()
}

/// A beer's name, if it is known.
#[must_use]
pub fn beer_name(facts: &Facts, beer: Option<BeerId>) -> Option<String> {
    beer.map(|beer| facts.case.beer(beer).name.clone())
}

fn brew(
    facts: &Facts,
    beer: BeerId,
    vessel: VesselId,
    (turns, part): (i64, Option<Volume>),
    is_first: bool,
) -> WorkRow {
    let brewhouse = &facts.case.brewhouse;
    let (mut clock, mut people, mut further) = (Minutes::ZERO, Minutes::ZERO, turns);
    if is_first {
        clock = brewhouse.first_turn.takes;
        people = brewhouse.first_turn.crew.total();
        further -= 1;
    }
    let longer = facts.case.beer(beer).brewing.longer;
    clock += Minutes(longer.takes.0.saturating_mul(turns));
    people += Minutes(longer.crew.total().0.saturating_mul(turns));
    clock += Minutes(brewhouse.next_turn.takes.0.saturating_mul(further));
    people += Minutes(brewhouse.next_turn.crew.total().0.saturating_mul(further));
    WorkRow {
        work: "brew",
        beer: beer_name(facts, Some(beer)),
        vessel: Some(name(facts, vessel)),
        turns: Some(turns),
        part_turn_hl: part.map(Volume::hectolitres),
        volume_hl: Some(facts.case.wort_of(beer, turns, part).hectolitres()),
        roles: roles(&[brewhouse.first_turn.crew, brewhouse.next_turn.crew, longer.crew]),
        lasts: Some(clock.0),
        clock_hours: Some(clock.hours()),
        person_hours: Some(people.hours()),
        ..WorkRow::default()
    }
}

/// Whether the vessel is filled from another one in the same slot before, and after.
fn other_fills(facts: &Facts, slot: Slot, from: VesselId, to: VesselId) -> (bool, bool) {
    let fills: Vec<VesselId> = facts
        .plan
        .tasks
        .iter()
        .filter(|task| task.slot == slot)
        .filter_map(|task| match task.work {
            Work::Transfer { from, to: filled, .. } if filled == to => Some(from),
            _ => None,
        })
        .collect();
    (fills.first().is_some_and(|&first| first != from), fills.last().is_some_and(|&last| last != from))
}

fn transfer(
    facts: &Facts,
    slot: Slot,
    from: VesselId,
    (to, full): (VesselId, bool),
    volume: Volume,
) -> WorkRow {
    let case = facts.case;
    let vessel = case.vessel(to);
    let (before, after) = other_fills(facts, slot, from, to);
    let cleans_before = vessel.is_bright_only() && !before;
    let beer = facts.held(from, slot).map(|beer| case.beer(beer));
    // Into a tank that is only poured from beer comes filtered.
    let treated = beer.filter(|_| !vessel.is_serve_only());
    let arrives = treated.map_or(case.transfer.arrives(volume), |beer| case.arrives(beer, volume));
    let mut clock = treated.map_or(case.transfer.takes(), |beer| case.transfer_takes(beer, arrives));
    let mut people = case.transfer.job.crew.total();
    let is_moved = facts
        .report
        .usage
        .stays
        .iter()
        .any(|stay| stay.vessel == to && stay.from == Some(slot) && stay.ready.is_some());
    let carbonates_after = !after && !is_moved && !vessel.is_serve_only() && beer.is_none_or(Beer::is_forced);
    if carbonates_after {
        people += case.carbonate.crew.total();
    }
    if cleans_before {
        clock += vessel.cleaning(full).takes;
        people += vessel.cleaning(full).crew.total();
    }
    clock += vessel.purge.job.takes;
    people += vessel.purge.job.crew.total();
    WorkRow {
        work: "transfer",
        beer: beer.map(|beer| beer.name.clone()),
        from: vec![name(facts, from)],
        vessel: Some(vessel.name.clone()),
        cleans_before,
        full_clean: full && cleans_before,
        carbonates_after,
        purges_before: vessel.purge != Purge::default(),
        volume_hl: Some(volume.hectolitres()),
        filter: beer.and_then(|beer| case.filter_of(beer)).map(|filter| filter.name.clone()),
        yields_hl: Some(arrives.hectolitres()),
        roles: roles(&[case.transfer.job.crew, vessel.cleaning(full).crew]),
        lasts: Some(clock.0),
        clock_hours: Some(clock.hours()),
        person_hours: Some(people.hours()),
        ..WorkRow::default()
    }
}

fn one(facts: &Facts, slot: Slot, work: &'static str, vessel: VesselId, job: Job, has_beer: bool) -> WorkRow {
    let beer = if has_beer { facts.held(vessel, slot) } else { None };
    WorkRow {
        work,
        beer: beer_name(facts, beer),
        vessel: Some(name(facts, vessel)),
        roles: roles(&[job.crew]),
        lasts: Some(if matches!(work, "carbonate" | "nitrogen") { attended(job).0 } else { job.takes.0 }),
        clock_hours: Some(job.takes.hours()),
        person_hours: Some(job.crew.total().hours()),
        ..WorkRow::default()
    }
}

/// Where the yeast of a batch comes from.
fn yeast(facts: &Facts, slot: Slot, into: VesselId) -> Vec<YeastRow> {
    let generations: BTreeMap<usize, i64> = facts.report.usage.generations.iter().copied().collect();
    let tasks = facts.plan.tasks.iter().enumerate().filter(|(_, task)| task.slot == slot);
    tasks
        .filter_map(|(position, task)| match task.work {
            Work::Pitch { vessel, yeast, from, pitches } if vessel == into => Some(YeastRow {
                yeast: facts.case.yeast.strain(yeast).name.clone(),
                source: match from {
                    PitchFrom::Bought => "bought",
                    PitchFrom::Store(_) => "store",
                    PitchFrom::Crop { .. } => "crop",
                },
                cropped_from: match from {
                    PitchFrom::Crop { vessel, .. } => Some(name(facts, vessel)),
                    PitchFrom::Bought | PitchFrom::Store(_) => None,
                },
                cropped: match from {
                    PitchFrom::Crop { day, .. } => Some(date(facts.case, day as i64)),
                    PitchFrom::Store(entry) => {
                        let entry = facts.case.yeast.in_store.get(entry);
                        entry.map(|entry| date(facts.case, entry.cropped))
                    }
                    PitchFrom::Bought => None,
                },
                generation: generations.get(&position).copied(),
                pitches,
            }),
            _ => None,
        })
        .collect()
}

fn crop(facts: &Facts, slot: Slot, vessel: VesselId) -> WorkRow {
    let beer = facts.held(vessel, slot);
    let strain = beer.and_then(|beer| facts.case.beer(beer).yeast);
    let strain = strain.map(|beer| facts.case.yeast.strain(beer.yeast));
    let job = strain.and_then(|strain| strain.crop).map(|crop| crop.job).unwrap_or_default();
    let piece = strain.map(|strain| strain.name.clone());
    WorkRow { piece, ..one(facts, slot, "crop", vessel, job, true) }
}

fn tank_work(facts: &Facts, beer: BeerId, work: usize, vessel: VesselId) -> WorkRow {
    let piece = facts.case.beer(beer).tank_work.get(work);
    let job = piece.map(|piece| piece.job).unwrap_or_default();
    WorkRow {
        work: "tank work",
        beer: beer_name(facts, Some(beer)),
        piece: piece.map(|piece| piece.name.clone()),
        alone: piece.is_some_and(|piece| piece.alone),
        vessel: Some(name(facts, vessel)),
        roles: roles(&[job.crew]),
        lasts: Some(job.takes.0),
        clock_hours: Some(job.takes.hours()),
        person_hours: Some(job.crew.total().hours()),
        ..WorkRow::default()
    }
}

/// Filters by slot: their clock time and the people at them.
fn filters(facts: &Facts) -> Vec<(Slot, WorkRow)> {
    let mut rows = Vec::new();
    for uses in &facts.report.usage.resources {
        let Resource::FilterTime(place) = uses.resource else { continue };
        let Some(filter) = facts.case.filters.get(place) else { continue };
        for used in uses.uses.iter().filter(|used| used.used > 0) {
            let hours = Minutes(used.used).hours();
            let row = WorkRow {
                work: "filter",
                filter: Some(filter.name.clone()),
                clock_hours: Some(hours),
                person_hours: Some(hours * filter.people as f64),
                ..WorkRow::default()
            };
            rows.push((used.slot, row));
        }
    }
    rows
}

fn wash(facts: &Facts, pool: KegPoolId, kegs: i64) -> WorkRow {
    let time = facts.case.keg_washer.map(|washer| (washer.takes(kegs).hours(), washer.people as f64));
    WorkRow {
        work: "wash",
        format: Some(facts.case.kegs[pool.0].name.clone()),
        packages: Some(kegs),
        roles: facts.case.keg_washer.map(|washer| washer.role).into_iter().collect(),
        lasts: facts.case.keg_washer.map(|washer| washer.takes(kegs).0),
        clock_hours: time.map(|(hours, _)| hours),
        person_hours: time.map(|(hours, people)| hours * people),
        ..WorkRow::default()
    }
}

fn overtime(facts: &Facts) -> Vec<(Slot, WorkRow)> {
    let rows = facts.plan.overtime.iter().map(|overtime| {
        let people = facts.case.crew_people(overtime.crew, overtime.slot);
        let row = WorkRow {
            work: "overtime",
            crew: Some(facts.case.crew(overtime.crew).name.clone()),
            crews: vec![facts.case.crew(overtime.crew).name.clone()],
            clock_hours: Some(overtime.time.hours()),
            person_hours: Some(overtime.time.hours() * people as f64),
            ..WorkRow::default()
        };
        (overtime.slot, row)
    });
    rows.filter(|(slot, _)| slot.0 < facts.case.calendar.planned_slots()).collect()
}
