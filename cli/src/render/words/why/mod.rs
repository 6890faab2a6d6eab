//! Why orders are short or late, in words: the answer, what filling them displaces (here), what forbids it (`members`), with what it could be
//! done (`changes`).

pub mod changes;
pub mod members;

use cellarwright_solver::why::Step;

use super::{amount, count};
use crate::render::numbers::{UnitSystem, grouped, volume_of};
use crate::render::view::{DisplacesRows, ForbiddenRows, OrderRow, WhyView};

/// What the report is about.
pub const CAPTION: &str = "Why orders are short or late, and what filling them would take";
/// Heads the orders asked about.
pub const ASKED: &str = "What was asked about";
/// Heads the orders that change.
pub const ORDERS: &str = "What filling it changes for the orders";
/// Heads the parts of the objective that change.
pub const PARTS: &str = "What the plan is worth, part by part";
/// Heads the figures that change.
pub const FIGURES: &str = "What is done otherwise";
/// Heads the resources that bind then.
pub const BINDS: &str = "Used up then, and not as it is";
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

fn days(number: i64) -> String {
    count(usize::try_from(number).unwrap_or(0), "day", "days")
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
        Step::Changes { done, of } => format!("what would make it possible: {done} of {of} changes tried"),
        Step::Forbids(number) => format!("what forbids it: {} tried", count(number, "program", "programs")),
    }
}
