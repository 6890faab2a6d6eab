//! What forbids filling orders, in words.

use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, CrewId, OrderId};
use cellarwright_model::rule::RuleId;
use cellarwright_solver::why::{Part, Subject, What};

use super::days;
use crate::render::gather::day_label;
use crate::render::rule::numbers;
use crate::render::view::{ForbiddenRows, MemberRow};
use crate::render::words::levers::vessels;
use crate::render::words::{count, pins};

/// Heads what forbids it.
pub const MEMBERS: &str = "What forbids it, together";
/// Heads what there is of the beers.
pub const THERE: &str = "What there is on the first day";
/// Nothing is there of the beers.
pub const NOTHING_THERE: &str = "no beer of these orders, in tank or packaged";

/// What stands above the members.
#[must_use]
pub fn about_members(found: &ForbiddenRows) -> &'static str {
    if found.members.is_empty() {
        "Nothing that can be left out: volumes, the days of the plan and what there is on the first day forbid it by themselves."
    } else if found.each_needed_proven {
        "With all else left out these forbid it; without any one of them the others do not (each was solved again). Volumes (R12), what is \
         there on the first day (R14) and how batches are divided (R22) are in force throughout."
    } else {
        "With all else left out these forbid it. Volumes (R12), what is there on the first day (R14) and how batches are divided (R22) are in \
         force throughout."
    }
}

/// What is proven of a member.
#[must_use]
pub fn proven(row: &MemberRow) -> String {
    let needed = if row.needed == "proven" { "" } else { "not proven to be needed; " };
    let alone = match row.left_out_alone {
        "filled" => "without it alone, it can be filled",
        "not_filled" => "without it alone, other things forbid it too",
        _ => "not proven whether it can be filled without it alone",
    };
    format!("{needed}{alone}")
}

/// One of the things that forbid it, with its numbers but without its days.
#[must_use]
pub fn member(case: &Case, what: What, orders: &[OrderId]) -> String {
    match what {
        What::Order(id) => {
            let order = case.order(id);
            format!(
                "the order {}: {} of {} in {}, due {}",
                order.name,
                case.show_units.size(order.quantity),
                case.beer(order.beer).name,
                case.format(order.format).name,
                day_label(case, order.due)
            )
        }
        What::Settled(settled) => pins::settled(case, settled),
        What::Rule(part) => part_of(case, part, orders),
    }
}

fn part_of(case: &Case, part: Part, orders: &[OrderId]) -> String {
    let Some(subject) = part.of else { return of_rule(case, part.rule, orders) };
    match subject {
        Subject::Beer(id) if part.rule == RuleId::Wait => {
            let beer = case.beer(id);
            format!(
                "{} leaves its fermenter within {} of its last turn and its bright tank within {}",
                beer.name,
                days(beer.must_leave),
                days(beer.bright_must_leave)
            )
        }
        Subject::Beer(id) => {
            let beer = case.beer(id);
            let stages: Vec<String> =
                beer.stay.iter().map(|stage| format!("{} {}", stage.name, days(stage.days))).collect();
            format!(
                "{} is ready {} after its last turn ({})",
                beer.name,
                days(beer.stay_days()),
                stages.join(", ")
            )
        }
        Subject::InTank(position) => {
            let tank = &case.in_tank[position];
            let (beer, vessel) = (&case.beer(tank.beer).name, &case.vessel(tank.vessel).name);
            format!("{beer} in {vessel} is ready on {}", day_label(case, tank.ready))
        }
        Subject::Crew(id) => crew(case, id),
        Subject::Role(role) => {
            format!("{} works on {}", role.word(), numbers::days(case.calendar.work[role as usize]))
        }
        Subject::Vessels(like) => {
            format!("{}: one batch at a time, cleaned in between", vessels(case, like))
        }
        Subject::Brewhouse => {
            let house = &case.brewhouse;
            format!(
                "the brewhouse: {} of {} in {} a day",
                count(usize::try_from(house.turns_per_day).unwrap_or(0), "turn", "turns"),
                case.show_units.size(house.turn),
                numbers::time(house.hours_per_day)
            )
        }
        Subject::CleaningSets => format!("cleaning sets: {}", case.cleaning_sets),
    }
}

fn crew(case: &Case, id: CrewId) -> String {
    let crew = case.crew(id);
    let overtime = crew
        .overtime
        .map_or_else(String::new, |limit| format!(" and up to {} longer", numbers::time(limit.at_most)));
    let more = if crew.further_shifts.is_empty() { "" } else { ", and further shifts" };
    format!(
        "{}: {} for {}{overtime}{more}",
        crew.name,
        numbers::people(crew.people),
        numbers::time(crew.working_hours())
    )
}

/// A rule as a whole, with its numbers where they are few.
fn of_rule(case: &Case, rule: RuleId, orders: &[OrderId]) -> String {
    if rule == RuleId::Orders {
        return deliveries(case, orders);
    }
    let lines = numbers::lines(rule, case);
    let told = if lines.is_empty() || lines.len() > MOST_NUMBERS {
        String::new()
    } else {
        format!(" ({})", lines.join("; "))
    };
    format!("{}{told}", rule.sentence().trim_end_matches('.'))
}

/// When what is packaged goes out, and on which terms the orders are filled.
fn deliveries(case: &Case, orders: &[OrderId]) -> String {
    let mut text = format!(
        "what is packaged goes out on the next delivery day ({})",
        numbers::days(case.calendar.deliver)
    );
    for &id in orders {
        let (order, beer) = (case.order(id), case.beer(case.order(id).beer));
        if beer.release > 0 {
            text.push_str(&format!("; {} is released {} later", beer.name, days(beer.release)));
        }
        if let Some(limit) = case.fresh(id) {
            text.push_str(&format!("; {} takes beer of at most {}", order.name, days(limit)));
        }
    }
    text
}

/// More lines of numbers than this are left to `rule`.
const MOST_NUMBERS: usize = 2;

/// What there is of the beers of orders on the first day: in tank, and packaged in the formats of the orders.
#[must_use]
pub fn there(case: &Case, orders: &[OrderId]) -> Vec<String> {
    let mut beers: Vec<BeerId> = orders.iter().map(|&id| case.order(id).beer).collect();
    beers.sort_unstable();
    beers.dedup();
    let mut lines = Vec::new();
    for tank in case.in_tank.iter().filter(|tank| beers.contains(&tank.beer)) {
        let (vessel, beer) = (&case.vessel(tank.vessel).name, &case.beer(tank.beer).name);
        let ready = if tank.is_bright || tank.ready <= 0 {
            "ready".to_owned()
        } else {
            format!("ready on {}", day_label(case, tank.ready))
        };
        lines.push(format!("{vessel}: {} of {beer}, {ready}", case.show_units.size(tank.filled)));
    }
    let goods: Vec<_> = orders.iter().map(|&id| (case.order(id).beer, case.order(id).format)).collect();
    for stock in case.stock.iter().filter(|stock| goods.contains(&(stock.beer, stock.format))) {
        let (beer, format) = (&case.beer(stock.beer).name, &case.format(stock.format).name);
        lines.push(format!("packaged: {} of {beer} in {format}", case.show_units.size(stock.quantity)));
    }
    lines
}
