//! Why orders are short or late, in words.

use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, OrderId};
use cellarwright_model::rule::RuleId;
use cellarwright_solver::why::{Part, Step, Subject, What};

use super::levers::vessels;
use super::{amount, count, pins};
use crate::render::gather::day_label;
use crate::render::numbers::{UnitSystem, grouped, volume_of};
use crate::render::rule::numbers;
use crate::render::view::{DisplacesRows, ForbiddenRows, MemberRow, OrderRow, WhyView};

/// Heads the orders that change.
pub const ORDERS: &str = "What filling it changes for the orders";
/// Heads the parts of the objective that change.
pub const PARTS: &str = "What the plan is worth, part by part";
/// Heads the figures that change.
pub const FIGURES: &str = "What is done otherwise";
/// Heads the resources that bind then.
pub const BINDS: &str = "Used up then, and not as it is";
/// Heads what forbids it.
pub const MEMBERS: &str = "What forbids it, together";
/// Heads what there is of the beers.
pub const THERE: &str = "What there is on the first day";
/// Nothing is there of the beers.
pub const NOTHING_THERE: &str = "no beer of these orders, in tank or packaged";
/// Columns of orders that change, before the volumes.
pub const ORDER_COLUMNS: [&str; 6] = ["", "due", "asked", "in time", "then", "late then"];
/// Column of what is never delivered.
pub const SHORT_THEN: &str = "short then";
/// Columns of numbers that change.
pub const CHANGED_COLUMNS: [&str; 5] = ["", "unit", "as it is", "then", "change"];
/// Stands for a number that is not there.
pub const NONE: &str = "-";
/// Said below the figures.
pub const BY_CHANCE: &str =
    "Both plans are one of many within the gap, so what is less than the gap may differ by chance.";

/// An order asked about and what becomes of it as it is.
#[must_use]
pub fn asked(row: &OrderRow, units: UnitSystem) -> String {
    let mut text = format!(
        "{}: {} of {} in {}, due {}; in the best plan ",
        row.order,
        volume_of(units, row.quantity_hl),
        row.beer,
        row.format,
        row.due_label
    );
    let in_time = row.delivered_hl - row.late_hl;
    let mut parts = vec![format!("{} in time", volume_of(units, in_time))];
    if row.late_hl > 0.0 {
        parts.push(format!("{} late", volume_of(units, row.late_hl)));
    }
    if row.missed_hl > 0.0 {
        parts.push(format!("{} never", volume_of(units, row.missed_hl)));
    }
    text.push_str(&parts.join(", "));
    text.push('.');
    text
}

fn it(view: &WhyView) -> &'static str {
    if view.asked.len() == 1 { "it" } else { "all of them" }
}

/// The answer, one sentence each.
#[must_use]
pub fn verdict(view: &WhyView) -> Vec<String> {
    let it = it(view);
    let mut sentences = match (&view.displaces, &view.forbidden) {
        (Some(found), _) => costs(view, found),
        (_, Some(found)) => forbids(view, found),
        _ if view.verdict == "filled" => {
            vec![format!("The best plan found fills {it} in full and in time; nothing stands against it.")]
        }
        _ => vec![format!(
            "Whether a plan can fill {it} in full and in time was not found out: neither such a plan nor a proof that there is none. More \
             --seconds may tell."
        )],
    };
    if view.looks_ahead {
        sentences.push(
            "All of it speaks of the model, in which the look-ahead is counted in coarse periods.".to_owned(),
        );
    }
    sentences.push(ended(view));
    sentences
}

fn ended(view: &WhyView) -> String {
    let stopped = if view.interrupted { " Stopped by hand." } else { "" };
    let known = match view.as_it_is.bound {
        Some(bound) => format!("none is worth more than {}", amount(bound, view.unit)),
        None => "there was no time to prove anything of it".to_owned(),
    };
    format!(
        "As it is, the best plan found is worth {}; {known}.{stopped}",
        amount(view.as_it_is.objective, view.unit)
    )
}

fn costs(view: &WhyView, found: &DisplacesRows) -> Vec<String> {
    let it = it(view);
    let least = amount(found.costs_at_least, view.unit);
    let range = match found.costs_at_most {
        Some(most) if amount(most, view.unit) == least => least,
        Some(most) => format!("at least {least} and at most {}", amount(most, view.unit)),
        None => format!("at least {least}; there was no time to prove a most"),
    };
    let mut sentences = vec![format!("A plan can fill {it} in full and in time.")];
    if found.cost_is_proven {
        sentences.push(format!(
            "That costs {range}: proven. The plan found that does is worth {}.",
            amount(found.filled.objective, view.unit)
        ));
    } else {
        sentences.push(format!(
            "That it costs anything is not proven: the difference is within the gap, {range}. The plan found that does is worth {}.",
            amount(found.filled.objective, view.unit)
        ));
    }
    sentences
}

fn forbids(view: &WhyView, found: &ForbiddenRows) -> Vec<String> {
    let it = it(view);
    let fractions = if found.in_fractions { ", even with fractions of batches and tanks" } else { "" };
    let mut sentences = vec![format!("No plan fills {it} in full and in time: proven{fractions}.")];
    let volume = |hl: f64| volume_of(view.units, hl);
    sentences.extend(match (found.deliverable_at_least_hl, found.deliverable_at_most_hl) {
        (_, Some(most)) if most <= 0.0 => Some("Nothing of it can be delivered in time.".to_owned()),
        (Some(least), Some(most)) if volume(least) == volume(most) => {
            Some(format!("At most {} can be delivered in time, and that can be.", volume(most)))
        }
        (least, Some(most)) => Some(format!(
            "At most {} can be delivered in time{}.",
            volume(most),
            least.map_or_else(String::new, |least| format!("; a plan was found with {}", volume(least)))
        )),
        _ => None,
    });
    if !found.together_proven {
        sentences.push("That what stands below forbids it without anything else is not proven.".to_owned());
    }
    if !found.each_needed_proven {
        sentences.push("Not each of it is proven to be needed: more --seconds may tell.".to_owned());
    }
    sentences
}

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

fn crew(case: &Case, id: cellarwright_model::ids::CrewId) -> String {
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

fn days(number: i64) -> String {
    count(usize::try_from(number).unwrap_or(0), "day", "days")
}

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

/// A number of a row that changes, to its decimals.
#[must_use]
pub fn number(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| grouped(value, decimals))
}

/// A change with its sign.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = grouped(value, decimals);
    if value > 0.0 { format!("+{text}") } else { text }
}

/// How far the search has come.
#[must_use]
pub fn step(step: Step) -> String {
    match step {
        Step::AsItIs => "the plan as it is".to_owned(),
        Step::Filled => "a plan that fills it".to_owned(),
        Step::Forbids(number) => format!("what forbids it: {} tried", count(number, "program", "programs")),
    }
}
