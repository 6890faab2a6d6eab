//! With what orders that no plan fills could be filled, in words.

use cellarwright_model::case::Case;
use cellarwright_model::ids::OrderId;
use cellarwright_model::lever::Lever;
use cellarwright_model::units::Minutes;
use cellarwright_solver::why::{Change, MOST_DAYS, MOST_LONGER};

use super::days;
use crate::render::gather::{day_label, slot_label};
use crate::render::numbers::grouped;
use crate::render::rule::numbers;
use crate::render::view::{EnoughRow, ForbiddenRows};
use crate::render::words::{count, levers};

/// Heads what would make it possible.
pub const CHANGES: &str = "What would make it possible, each by itself";
/// Nothing that was tried would.
pub const NO_CHANGE: &str = "Nothing that was tried makes it possible by itself.";
/// Columns of changes.
pub const COLUMNS: [&str; 4] = ["", "once", "a week", "less does not do"];
/// Stands for a price that is not known.
const NO_PRICE: &str = "-";

/// A change in a few words.
#[must_use]
pub fn change(case: &Case, change: &Change) -> String {
    match change {
        Change::Longer { crew, slot, time } => {
            let people = numbers::people(case.crew_people(*crew, *slot));
            let crew = case.crew(*crew);
            let week = match crew.overtime.and_then(|limit| limit.a_week) {
                Some(_) => ", whatever their overtime of the week",
                None => "",
            };
            format!("{} {} longer on {} ({people}){week}", crew.name, hours(*time), slot_label(case, *slot))
        }
        Change::Later { orders, days: number } => {
            let due = |&id: &OrderId| {
                let order = case.order(id);
                format!("{} on {}", order.name, day_label(case, order.due + number))
            };
            let due: Vec<String> = orders.iter().map(due).collect();
            format!("due {} later: {}", days(*number), due.join(", "))
        }
        Change::ReadyEarlier { in_tank, days: number } => {
            let tank = &case.in_tank[*in_tank];
            format!(
                "{} in {} ready {} earlier, on {}",
                case.beer(tank.beer).name,
                case.vessel(tank.vessel).name,
                days(*number),
                day_label(case, tank.ready - number)
            )
        }
        Change::More(lever) => {
            let before = match lever {
                Lever::Vessel { .. }
                | Lever::Person { .. }
                | Lever::Hour { .. }
                | Lever::Turn
                | Lever::CleaningSet => "one more ",
                Lever::SecondShift { .. } | Lever::Pump { .. } => "a ",
                Lever::Rating { .. } => "a higher ",
                Lever::FirstBright { .. } | Lever::Stay { .. } | Lever::Wait { .. } => "",
            };
            format!("{before}{}", levers::levers(case, &[*lever]))
        }
    }
}

/// A time in hours and minutes.
fn hours(time: Minutes) -> String {
    match (time.0 / 60, time.0 % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// The cells of a change.
#[must_use]
pub fn cells(row: &EnoughRow) -> Vec<String> {
    let price = |price: Option<f64>| price.map_or_else(|| NO_PRICE.to_owned(), |price| grouped(price, 2));
    let is_least = if row.least == "proven" { "proven" } else { "not proven" };
    vec![row.says.clone(), price(row.price), price(row.price_a_week), is_least.to_owned()]
}

/// What stands below the changes: how they were confirmed, and what was tried besides.
#[must_use]
pub fn about(found: &ForbiddenRows) -> Vec<String> {
    let mut sentences = Vec::new();
    if !found.changes.is_empty() {
        sentences.push(
            "Of each a plan was found that fills it and that the checker passes. Less: a minute, a day, or nothing of it at all.".to_owned(),
        );
    }
    let not_enough = found.changes_not_enough.len();
    if not_enough > 0 {
        sentences.push(format!(
            "{} proven not to be enough (a crew up to {} longer on a day, up to {} later or earlier within the plan, one \
             unit more of anything else).",
            count(not_enough, "other change is", "other changes are"),
            hours(MOST_LONGER),
            days(MOST_DAYS)
        ));
    }
    let open = found.changes_not_settled.len();
    if open > 0 {
        sentences.push(format!(
            "{} not settled in time: more --seconds may tell.",
            count(open, "change was", "changes were")
        ));
    }
    sentences
}
