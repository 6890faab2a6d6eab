//! The objective in parts that add up to it, the look-ahead's part apart where it can be told.

use cellarwright_model::case::Aim;
use cellarwright_model::money::{Breakdown, order_worth};
use cellarwright_model::plan::{Outlook, Plan};
use cellarwright_model::units::{Money, Volume};

use super::{Facts, output};
use crate::render::view::PartRow;
use crate::render::words::parts;

/// A part: its name, its sign, its amount in the planned days (where known) and in all.
struct Part {
    name: &'static str,
    sign: i64,
    planned: Option<Money>,
    all: Money,
}

/// The parts, in their order; those that are nothing are left out.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<PartRow> {
    match facts.case.aim {
        Aim::Orders => money(facts),
        Aim::Output(_) => volume(facts),
    }
}

fn money(facts: &Facts) -> Vec<PartRow> {
    let parts = all_parts(facts);
    let shown = parts.iter().filter(|part| part.all != Money::ZERO);
    shown
        .map(|part| {
            let signed = |money: Money| (part.sign * money.0) as f64 / 100.0;
            PartRow {
                part: part.name,
                planned: part.planned.map(signed),
                look_ahead: part.planned.map(|planned| signed(part.all - planned)),
                amount: signed(part.all),
            }
        })
        .collect()
}

fn all_parts(facts: &Facts) -> Vec<Part> {
    let all = &facts.report.breakdown;
    let planned = planned_costs(facts);
    let costs = |of: fn(&Breakdown) -> Money| (planned.as_ref().map(of), of(all));
    let part = |name, sign, (planned, all)| Part { name, sign, planned, all };
    let (delivered, missed) = by_due(facts);
    vec![
        part(parts::DELIVERED, 1, (Some(delivered), all.delivered)),
        part(parts::POURED, 1, costs(|parts| parts.poured)),
        part(parts::SURPLUS, 1, (None, all.surplus)),
        part(parts::IN_TANK, 1, (None, all.in_tank)),
        part(parts::MISSED, -1, (Some(missed), all.missed)),
        part(parts::DRY_TAPS, -1, costs(|parts| parts.dry_taps)),
        part(parts::LABOUR, -1, costs(|parts| parts.labour)),
        part(parts::OVERTIME, -1, costs(|parts| parts.overtime)),
        part(parts::CLEANING, -1, costs(|parts| parts.cleaning)),
        part(parts::TRANSFERS, -1, costs(|parts| parts.transfers)),
        part(parts::GAS, -1, costs(|parts| parts.gas)),
        part(parts::WAITING, -1, (None, all.waiting)),
        part(parts::DIRTY, -1, (None, all.dirty)),
        part(parts::SHORT_RUNS, -1, costs(|parts| parts.short_runs)),
        part(parts::MATERIALS, -1, (None, all.materials)),
        part(parts::VISITS, -1, costs(|parts| parts.visits)),
        part(parts::YEAST, -1, costs(|parts| parts.yeast)),
        part(parts::LATE, -1, (None, all.late)),
        part(parts::STORE, -1, (None, all.store)),
        part(parts::LOW_STOCK, -1, (None, all.low_stock)),
        part(parts::LAST_RESORT, -1, (None, all.last_resort)),
        part(parts::CHANGES, -1, (None, Money(change_cost(facts)))),
    ]
}

/// What changes against an earlier plan cost, in the unit of the objective.
fn change_cost(facts: &Facts) -> i64 {
    facts.report.changes.as_ref().map_or(0, |changes| changes.cost)
}

/// What the planned days alone cost: the plan without its look-ahead, replayed. Only costs of work can be read from it.
fn planned_costs(facts: &Facts) -> Option<Breakdown> {
    if facts.case.calendar.look_ahead_days == 0 {
        return None;
    }
    let plan = Plan { outlook: Outlook::default(), ..facts.plan.clone() };
    Some(cellarwright_checker::check(facts.case, &plan).breakdown)
}

/// Contribution and charges of the orders that hang on the planned days.
fn by_due(facts: &Facts) -> (Money, Money) {
    let case = facts.case;
    let (mut delivered, mut missed) = (Money::ZERO, Money::ZERO);
    for result in &facts.report.usage.orders {
        let order = case.order(result.order);
        if !facts.hangs_on_planned_days(order) {
            continue;
        }
        let contribution = case.beer(order.beer).contribution(order.format).unwrap_or_default();
        delivered += order_worth(case, order).for_volume(result.delivered);
        if order.firm {
            missed += case.rates.missed_firm.of_money(contribution).for_volume(result.missed);
        }
    }
    (delivered, missed)
}

/// In the unit of volumes: a unit of money counts as a millilitre (the last resort as a litre), the look-ahead a hundredth.
fn volume(facts: &Facts) -> Vec<PartRow> {
    let all = &facts.report.breakdown;
    let row = |part, hundredths: i64| PartRow {
        part,
        planned: None,
        look_ahead: None,
        amount: output(facts.case, hundredths),
    };
    let planned: Volume = all.packaged_planned;
    let mut rows = vec![row(parts::PACKAGED, 100 * planned.0)];
    for (part, hundredths) in [
        (parts::POURED_VOLUME, 100 * all.poured_planned.0),
        (parts::POURED_AHEAD, all.poured_look_ahead.0),
        (parts::PACKAGED_AHEAD, all.packaged_look_ahead.0),
        (parts::RUNNING_COSTS, -all.running_costs().0),
        (parts::LAST_RESORT_VOLUME, -1_000 * all.last_resort.0),
        (parts::CHANGES, -change_cost(facts)),
    ] {
        if hundredths != 0 {
            rows.push(row(part, hundredths));
        }
    }
    rows
}
