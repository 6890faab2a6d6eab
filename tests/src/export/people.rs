//! Days, slots and crews of a case.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Case;
use serde_json::{Value, json};

/// Days up to the one after the horizon, and slots with what may be done in them.
pub fn calendar(case: &Case) -> Value {
    let calendar = &case.calendar;
    let days: Vec<Value> = (0..=calendar.days() as i64)
        .map(|day| {
            let is_sunday = calendar.date(day).weekday() == jiff::civil::Weekday::Sunday;
            json!({"delivers": calendar.delivers(day), "monday": calendar.monday(day), "is_sunday": is_sunday})
        })
        .collect();
    let slots: Vec<Value> = (0..calendar.slots())
        .map(Slot)
        .map(|slot| {
            json!({
                "day": calendar.day(slot),
                "shift": calendar.shift(slot),
                "starts": calendar.start(slot).0,
                "hours": case.shift_hours(slot).0,
                "works": Role::ALL.map(|role| case.works(role, slot)),
            })
        })
        .collect();
    json!({"days": calendar.days(), "planned_days": calendar.planned_days, "by_day": days, "slots": slots})
}

/// Crews: people and working minutes in each slot.
pub fn crews(case: &Case) -> Value {
    let slots: Vec<Slot> = (0..case.calendar.slots()).map(Slot).collect();
    case.crew_ids()
        .map(|id| {
            let crew = case.crew(id);
            json!({
                "roles": Role::ALL.map(|role| crew.has(role)),
                "check_only": crew.check_only,
                "people": slots.iter().map(|&slot| case.crew_people(id, slot)).collect::<Vec<_>>(),
                "hours": slots.iter().map(|&slot| case.crew_hours(id, slot).0).collect::<Vec<_>>(),
                "overtime": crew.overtime.map(|limit| json!({
                    "at_most": limit.at_most.0, "a_week": limit.a_week.map(|week| week.0), "cost": limit.cost.0,
                })),
            })
        })
        .collect()
}
