//! Crews: who is there, and who may do a piece of work.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::ids::CrewId;
use cellarwright_model::units::Minutes;

use super::Facts;
use crate::render::view::{CrewRow, WorkRow};

/// All crews, in the order of the file.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<CrewRow> {
    let calendar = &facts.case.calendar;
    let heads = |crew: CrewId, day: usize| -> i64 {
        let shifts = 0..calendar.shifts.len();
        shifts.map(|shift| facts.case.crew_people(crew, calendar.slot(day, shift))).sum()
    };
    let crews = facts.case.crew_ids().map(|id| CrewRow {
        crew: facts.case.crew(id).name.clone(),
        roles: facts.case.crew(id).roles.iter().map(|role| role.word()).collect(),
        heads: (0..calendar.planned_days).map(|day| heads(id, day)).collect(),
    });
    crews.collect()
}

/// The crews that may do a piece of work in a slot: those that are there and have a role that it takes people of, or the role
/// under which it is listed. Nobody for what is away without work, and for taps.
#[must_use]
pub fn of_work(facts: &Facts, slot: Slot, kind: Option<Role>, row: &WorkRow) -> Vec<String> {
    let Some(kind) = kind else { return Vec::new() };
    let is_away = matches!(row.work, "outage" | "upkeep" | "leave alone");
    let roles = match row.roles.as_slice() {
        [] if is_away => &[],
        [] => std::slice::from_ref(&kind),
        roles => roles,
    };
    let crews = facts.case.crew_ids().filter(|&id| {
        let crew = facts.case.crew(id);
        let may = roles.iter().any(|&role| crew.has(role)) || (row.alone && crew.check_only);
        // People for what is away come on a later day where nobody is there on the first.
        may && (is_away || facts.case.crew_hours(id, slot) > Minutes::ZERO)
    });
    crews.map(|id| facts.case.crew(id).name.clone()).collect()
}
