//! The view of why orders are short or late.

use cellarwright_checker::usage::OrderResult;
use cellarwright_model::case::Case;
use cellarwright_model::finding::Finding;
use cellarwright_model::ids::OrderId;
use cellarwright_model::units::{Money, Volume};
use cellarwright_solver::Answer;
use cellarwright_solver::why::{Change, Displaced, Enough, Forbidden, Member, Verdict, What, Why};

use super::{date, day_label, levers, objective_unit, objective_units, of_answer, status_word};
use crate::render::compare;
use crate::render::view::{
    Changed, ChangedOrder, DisplacesRows, EnoughRow, ForbiddenRows, MemberRow, OrderRow, View, WhyView,
    WorthRow,
};
use crate::render::words::why::{changes, members};

/// The view of an answer; `gap` is the gap that was asked for.
#[must_use]
pub fn of_why(case: &Case, why: &Why, findings: &[Finding], gap: f64, interrupted: bool) -> WhyView {
    let view = of_answer(case, &why.as_it_is, findings, gap, interrupted);
    let asked: Vec<OrderRow> = why
        .orders
        .iter()
        .filter_map(|&id| view.orders.iter().find(|row| row.order == case.order(id).name).cloned())
        .collect();
    let (verdict, displaces, forbidden) = match &why.verdict {
        Verdict::Filled => ("filled", None, None),
        Verdict::Displaces(found) => {
            let then = of_answer(case, &found.answer, findings, gap, interrupted);
            ("displaces", Some(displaces(case, why, found, (&view, then), gap)), None)
        }
        Verdict::Forbidden(found) => ("forbidden", None, Some(forbidden(case, why, found))),
        Verdict::NotInTime => ("not_in_time", None, None),
    };
    WhyView {
        title: case.name.clone(),
        cellar: case.cellar.clone(),
        units: case.show_units,
        unit: objective_unit(case),
        verdict,
        looks_ahead: case.calendar.look_ahead_days > 0,
        as_it_is: worth(case, &why.as_it_is, gap),
        asked,
        displaces,
        forbidden,
        seconds: why.seconds,
        interrupted,
        cautions: view.cautions,
    }
}

fn worth(case: &Case, answer: &Answer, gap: f64) -> WorthRow {
    WorthRow {
        status: status_word(answer, gap),
        objective: objective_units(case, answer.objective),
        bound: answer.gap.is_finite().then(|| objective_units(case, answer.bound)),
    }
}

fn displaces(
    case: &Case,
    why: &Why,
    found: &Displaced,
    (before, then): (&View, View),
    gap: f64,
) -> DisplacesRows {
    let side = |view: &View, answer: &Answer| compare::Case {
        title: String::new(),
        kind: "",
        file: String::new(),
        case: case.clone(),
        view: view.clone(),
        kept: None,
        measures: answer.report.measures.clone(),
        poured: answer.report.breakdown.poured_planned,
    };
    let both = [side(before, &why.as_it_is), side(&then, &found.answer)];
    let comparison = compare::of_cases(&both);
    let differs = |one: Option<f64>, other: Option<f64>, decimals: usize| {
        let place = 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
        (one.unwrap_or(0.0) - other.unwrap_or(0.0)).abs() >= place
    };
    let changed = |what: &str, unit, decimals, values: &[Option<f64>]| Changed {
        what: what.to_owned(),
        unit,
        decimals,
        as_it_is: values[0],
        then: values[1],
    };
    let money = if crate::render::numbers::is_volume(comparison.unit) { 3 } else { 2 };
    let parts = comparison.parts.iter().filter(|(_, values)| differs(values[0], values[1], money));
    let parts = parts.map(|(name, values)| changed(name, comparison.unit, money, values)).collect();
    // What the plans are worth stands above.
    let figures = comparison.figures.iter().skip(2);
    let figures = figures.filter(|figure| differs(figure.values[0], figure.values[1], figure.decimals));
    let figures =
        figures.map(|figure| changed(&figure.figure, figure.unit, figure.decimals, &figure.values)).collect();
    let binds = |cell: &Option<compare::ResourceCell>| cell.as_ref().is_some_and(|cell| cell.binding);
    let binds_then = comparison.resources.iter().filter(|row| !binds(&row.cases[0]) && binds(&row.cases[1]));
    DisplacesRows {
        filled: worth(case, &found.answer, gap),
        costs_at_least: objective_units(case, found.least),
        costs_at_most: found.most.map(|most| objective_units(case, most)),
        plans_differ_by: objective_units(case, why.as_it_is.objective - found.answer.objective),
        cost_is_proven: found.least > 0,
        orders: orders(case, why, &found.answer),
        parts,
        figures,
        binds_then: binds_then.map(|row| format!("{} {}", row.rule, row.resource)).collect(),
    }
}

/// Less than this is rounding.
const ROUNDING: Volume = Volume(1_000);

fn orders(case: &Case, why: &Why, then: &Answer) -> Vec<ChangedOrder> {
    let results = |answer: &Answer, id: OrderId| -> Option<OrderResult> {
        answer.report.usage.orders.iter().find(|result| result.order == id).cloned()
    };
    let mut rows: Vec<(bool, ChangedOrder)> = Vec::new();
    for id in case.order_ids() {
        let (Some(before), Some(then)) = (results(&why.as_it_is, id), results(then, id)) else { continue };
        let in_time = |result: &OrderResult| result.delivered - late(case, result);
        let moved = |one: Volume, other: Volume| (one - other).0.abs() >= ROUNDING.0;
        let is_asked = why.orders.contains(&id);
        let has_changed = moved(in_time(&before), in_time(&then)) || moved(before.missed, then.missed);
        if !is_asked && !has_changed {
            continue;
        }
        let order = case.order(id);
        rows.push((
            !is_asked,
            ChangedOrder {
                order: order.name.clone(),
                beer: case.beer(order.beer).name.clone(),
                format: case.format(order.format).name.clone(),
                due: date(case, order.due),
                due_label: day_label(case, order.due),
                asked: is_asked,
                quantity_hl: order.quantity.hectolitres(),
                in_time_hl: in_time(&before).hectolitres(),
                in_time_then_hl: in_time(&then).hectolitres(),
                late_hl: late(case, &before).hectolitres(),
                late_then_hl: late(case, &then).hectolitres(),
                missed_hl: before.missed.hectolitres(),
                missed_then_hl: then.missed.hectolitres(),
            },
        ));
    }
    rows.sort_by_key(|(place, _)| *place);
    rows.into_iter().map(|(_, row)| row).collect()
}

fn late(case: &Case, result: &OrderResult) -> Volume {
    result.missed_in_time(case) - result.missed
}

fn forbidden(case: &Case, why: &Why, found: &Forbidden) -> ForbiddenRows {
    ForbiddenRows {
        members: found.members.iter().map(|member| row(case, member, &why.orders)).collect(),
        together_proven: found.is_confirmed,
        each_needed_proven: found.members.iter().all(|member| member.is_needed == Some(true)),
        in_fractions: found.in_fractions,
        in_planned_days: found.in_planned_days,
        deliverable_at_least_hl: found.deliverable.at_least.map(Volume::hectolitres),
        deliverable_at_most_hl: found.deliverable.at_most.map(Volume::hectolitres),
        changes: found.changes.enough.iter().map(|enough| change(case, enough)).collect(),
        changes_not_enough: found.changes.not_enough.iter().map(|one| changes::change(case, one)).collect(),
        changes_not_settled: found.changes.open.iter().map(|one| changes::change(case, one)).collect(),
        there: members::there(case, &why.orders),
    }
}

fn change(case: &Case, enough: &Enough) -> EnoughRow {
    let (mut minutes, mut people, mut days, mut on) = (None, None, None, None);
    let kind = match &enough.change {
        Change::Longer { crew, slot, time } => {
            (minutes, people) = (Some(time.0), Some(case.crew_people(*crew, *slot)));
            on = Some(date(case, case.calendar.day(*slot) as i64));
            "longer"
        }
        Change::Later { days: number, .. } => {
            days = Some(*number);
            "later"
        }
        Change::ReadyEarlier { days: number, .. } => {
            days = Some(*number);
            "ready_earlier"
        }
        Change::More(lever) => levers::kind(*lever),
    };
    EnoughRow {
        kind,
        says: changes::change(case, &enough.change),
        minutes,
        people,
        days,
        on,
        price: enough.price.once.map(Money::units),
        price_a_week: enough.price.a_week.map(Money::units),
        least: if enough.is_least { "proven" } else { "not_proven" },
    }
}

fn row(case: &Case, member: &Member, orders: &[OrderId]) -> MemberRow {
    let (kind, rule, days) = match member.what {
        What::Order(_) => ("order", None, None),
        What::Settled(_) => ("settled", None, None),
        What::Rule(part) => ("rule", Some(part.rule.code()), part.days),
    };
    MemberRow {
        kind,
        rule,
        first_day: days.map(|(first, _)| date(case, first)),
        last_day: days.map(|(_, last)| date(case, last)),
        days_label: days.map(|(first, last)| match first == last {
            true => day_label(case, first),
            false => format!("{} to {}", day_label(case, first), day_label(case, last)),
        }),
        says: members::member(case, member.what, orders),
        needed: if member.is_needed == Some(true) { "proven" } else { "not_proven" },
        left_out_alone: match member.is_enough {
            Some(true) => "filled",
            Some(false) => "not_filled",
            None => "not_proven",
        },
    }
}
