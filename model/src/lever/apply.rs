//! A case with one unit more. What comes out is checked like a case that was read from files.

use super::{Lever, alike, longest_stage};
use crate::calendar::Shift;
use crate::case::{Beer, Case, FurtherShift, Purge, Turnaround, Uses, Vessel};
use crate::ids::{BeerId, CrewId, LineId, VesselId};
use crate::units::{MINUTES_PER_DAY, Minutes, Pressure};
use crate::yaml::{MOST_NAMED_SETS, MOST_PEOPLE, MOST_SHIFTS, MOST_TURNS, is_sound, pressure};

/// A case with some levers, one after the other; none if one of them makes no sense in it or leaves it invalid.
#[must_use]
pub fn with(case: &Case, levers: &[Lever]) -> Option<Case> {
    let mut changed = case.clone();
    for &lever in levers {
        apply(&mut changed, lever)?;
    }
    is_sound(&changed).then_some(changed)
}

fn apply(case: &mut Case, lever: Lever) -> Option<()> {
    match lever {
        Lever::Vessel { like } => add_vessel(case, like, case.vessel(like).clone()),
        Lever::FirstBright { like } => first_bright(case, like),
        Lever::Person { crew, shift } => person(case, crew, shift),
        Lever::Hour { crew } => hour(case, crew),
        Lever::Turn => turn(case),
        Lever::CleaningSet => cleaning_set(case),
        Lever::SecondShift { crew } => second_shift(case, crew),
        Lever::Stay { beer } => stay(case, beer),
        Lever::Wait { beer } => {
            let beer = &mut case.beers[beer.0];
            beer.may_wait += 1;
            beer.must_leave += 1;
            Some(())
        }
        Lever::Rating { like } => rating(case, like),
        Lever::Pump { line } => pump(case, line),
    }
}

/// Adds a vessel that is reached by what reaches another one.
fn add_vessel(case: &mut Case, like: VesselId, vessel: Vessel) -> Option<()> {
    let id = VesselId(case.vessels.len());
    let is_taken = |name: &str| case.vessels.iter().any(|vessel| vessel.name == name);
    let like_name = &case.vessel(like).name;
    let name = (2..).map(|number| format!("{like_name} ({number})")).find(|name| !is_taken(name))?;
    for other in &mut case.vessels {
        if let Some(reaches) = other.reaches.as_mut().filter(|reaches| reaches.vessels.contains(&like)) {
            reaches.vessels.insert(id);
        }
    }
    case.vessels.push(Vessel { name, ..vessel });
    Some(())
}

fn first_bright(case: &mut Case, like: VesselId) -> Option<()> {
    let fermenter = case.vessel(like).clone();
    let uses = Uses { bright: true, ..Uses::default() };
    let bright = Vessel {
        uses,
        purge: Purge::default(),
        refill: Turnaround::NextShift,
        reaches: None,
        price: None,
        ..fermenter
    };
    add_vessel(case, like, bright)?;
    // Whatever fermenters reach, they reach their first bright tank.
    let id = VesselId(case.vessels.len() - 1);
    for other in case.vessels.iter_mut().filter(|other| other.uses.ferment || other.uses.condition) {
        if let Some(reaches) = &mut other.reaches {
            reaches.vessels.insert(id);
        }
    }
    Some(())
}

fn person(case: &mut Case, crew: CrewId, shift: usize) -> Option<()> {
    let crew = &mut case.crews[crew.0];
    let people = if crew.shift == shift {
        &mut crew.people
    } else {
        &mut crew.further_shifts.iter_mut().find(|further| further.shift == shift)?.people
    };
    *people += 1;
    (*people <= MOST_PEOPLE).then_some(())
}

const HOUR: Minutes = Minutes(60);

fn hour(case: &mut Case, crew: CrewId) -> Option<()> {
    let crew = &mut case.crews[crew.0];
    crew.hours += HOUR;
    let hours = crew.hours;
    let shifts: Vec<usize> = crew.shifts().collect();
    for shift in shifts {
        let shift = &mut case.calendar.shifts[shift];
        shift.hours = shift.hours.max(hours);
    }
    (hours.0 <= MINUTES_PER_DAY).then_some(())
}

fn turn(case: &mut Case) -> Option<()> {
    let brewhouse = &mut case.brewhouse;
    let needed = brewhouse.first_turn.takes.0 + brewhouse.next_turn.takes.0 * brewhouse.turns_per_day;
    brewhouse.turns_per_day += 1;
    brewhouse.hours_per_day =
        Minutes((brewhouse.hours_per_day + brewhouse.next_turn.takes).0.min(MINUTES_PER_DAY))
            .max(brewhouse.hours_per_day);
    (needed <= MINUTES_PER_DAY && brewhouse.turns_per_day <= MOST_TURNS).then_some(())
}

fn cleaning_set(case: &mut Case) -> Option<()> {
    case.cleaning_sets += 1;
    if case.cleaning.named.is_empty() {
        return Some(());
    }
    let position = case.cleaning.named.len();
    let is_taken = |name: &str| case.cleaning.named.iter().any(|named| named == name);
    let name = (position + 1..).map(|number| format!("set {number}")).find(|name| !is_taken(name))?;
    case.cleaning.named.push(name);
    if case.cleaning.named.len() > MOST_NAMED_SETS {
        return None;
    }
    let reached = case.vessels.iter_mut().map(|vessel| &mut vessel.reach);
    for reach in reached.chain(case.lines.iter_mut().map(|line| &mut line.reach)) {
        reach.0 |= 1 << position;
    }
    Some(())
}

/// The crew's people come a second time: in the first shift that it does not work, or in a new one after the last of the day.
fn second_shift(case: &mut Case, crew: CrewId) -> Option<()> {
    let shifts = &mut case.calendar.shifts;
    let works: Vec<usize> = case.crews[crew.0].shifts().collect();
    let free = (0..shifts.len()).find(|shift| !works.contains(shift));
    let shift = match free {
        Some(shift) => shift,
        None => {
            let last = shifts.last()?;
            let starts = last.starts + last.hours;
            if starts.0 >= MINUTES_PER_DAY || shifts.len() >= MOST_SHIFTS {
                return None;
            }
            let is_taken = |name: &str| shifts.iter().any(|shift| shift.name == name);
            let name = (2..).map(|number| format!("shift {number}")).find(|name| !is_taken(name))?;
            let hours = last.hours;
            shifts.push(Shift { name, starts, hours });
            shifts.len() - 1
        }
    };
    let crew = &mut case.crews[crew.0];
    if shift > crew.shift {
        crew.further_shifts.push(FurtherShift { shift, people: crew.people });
    } else {
        let first = FurtherShift { shift: crew.shift, people: crew.people };
        crew.further_shifts.push(first);
        crew.shift = shift;
    }
    crew.further_shifts.sort_by_key(|further| further.shift);
    Some(())
}

fn stay(case: &mut Case, id: BeerId) -> Option<()> {
    let position = longest_stage(case, id)?;
    let beer = &mut case.beers[id.0];
    let old = beer.stay_days();
    let conditioned: i64 = beer.stay[position..].iter().map(|stage| stage.days).sum();
    if old < 2 || beer.stay[position].days < 1 {
        return None;
    }
    beer.stay[position].days -= 1;
    beer.may_wait += 1;
    if let Some(days) = beer.conditions.as_mut().filter(|days| **days >= conditioned) {
        *days -= 1;
        if *days < 1 {
            return None;
        }
    }
    if beer.tank_work.iter().any(|piece| piece.day > old - 1) {
        return None;
    }
    // Beer in tank goes by the stay, unless the brewer has given it a date of its own.
    let by_stay = |ready: i64, on: i64| ready - on == old && ready >= 1;
    for in_tank in case.in_tank.iter_mut().filter(|in_tank| in_tank.beer == id && !in_tank.is_bright) {
        if by_stay(in_tank.ready, in_tank.on) {
            in_tank.ready -= 1;
        }
    }
    Some(())
}

/// Pressures of data plates are counted in steps of this.
const STEP: i64 = 10_000;
/// No vessel for beer is rated higher than this in planning.
const HIGHEST: Pressure = Pressure(1_000_000);

fn rating(case: &mut Case, like: VesselId) -> Option<()> {
    if pressure::holds_all(case, case.vessel(like)) {
        return None;
    }
    let mut raised = case.vessel(like).clone();
    let mut level = Pressure(raised.relief.0 / STEP * STEP);
    while !pressure::holds_all(case, &raised) {
        level += Pressure(STEP);
        if level > HIGHEST {
            return None;
        }
        raised.relief = raised.relief.max(level);
        raised.rated = raised.rated.max(level);
    }
    let all: Vec<VesselId> = alike(case, like).collect();
    for id in all {
        let vessel = &mut case.vessels[id.0];
        (vessel.rated, vessel.relief) = (raised.rated, raised.relief);
    }
    Some(())
}

fn pump(case: &mut Case, id: LineId) -> Option<()> {
    let line = case.line(id);
    let runs = |format| case.format(format).line == id;
    let accepts = |beer: &Beer| beer.pump && beer.packaged.iter().any(|packaged| runs(packaged.format));
    let is_wanted = !line.pump && case.beers.iter().any(accepts);
    let is_short = case.vessels.iter().any(|vessel| pressure::limit(case, vessel) < line.feed);
    if !is_wanted || !is_short {
        return None;
    }
    case.lines[id.0].pump = true;
    Some(())
}
