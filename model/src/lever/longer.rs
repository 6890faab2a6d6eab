//! A case in which one crew may stay longer in one shift of one day.

use jiff::civil::Date;

use crate::calendar::{DateRange, Slot};
use crate::case::{Absence, Case, Crew, OvertimeLimit};
use crate::ids::CrewId;
use crate::units::{MINUTES_PER_DAY, Minutes, Money};

/// The overtime that a crew may work in each shift as it is and that counts for no week; nothing where its overtime of a week has a limit.
#[must_use]
pub fn usual_overtime(case: &Case, crew: CrewId) -> Minutes {
    let limit = case.crew(crew).overtime.filter(|limit| limit.a_week.is_none());
    limit.map_or(Minutes::ZERO, |limit| limit.at_most)
}

/// A case in which the people of a crew who are there in a slot may work so much overtime then, in place of their own limit and whatever they
/// work in the rest of the week: for this slot they are a crew by themselves, which is given too. None where nobody is there, or
/// the day is too short for it.
#[must_use]
pub fn longer(case: &Case, id: CrewId, slot: Slot, overtime: Minutes) -> Option<(Case, CrewId)> {
    let crew = case.crew(id);
    if case.crew_people(id, slot) == 0 || (crew.hours + overtime).0 > MINUTES_PER_DAY {
        return None;
    }
    let date = case.calendar.date(i64::try_from(case.calendar.day(slot)).ok()?);
    let shift = case.calendar.shift(slot);
    let people = crew.people_of_shift(shift);
    let other_days = [
        DateRange { first: Date::MIN, last: date.yesterday().ok()? },
        DateRange { first: date.tomorrow().ok()?, last: Date::MAX },
    ];
    let apart = Crew {
        people,
        shift,
        further_shifts: Vec::new(),
        off: crew.off.iter().copied().chain(other_days).collect(),
        overtime: Some(OvertimeLimit {
            at_most: overtime,
            a_week: None,
            cost: crew.overtime.map_or(Money::ZERO, |limit| limit.cost),
        }),
        ..crew.clone()
    };
    let mut changed = case.clone();
    changed.crews[id.0].absent.push(Absence { on: DateRange { first: date, last: date }, shift, people });
    changed.crews.push(apart);
    Some((changed, CrewId(case.crews.len())))
}
