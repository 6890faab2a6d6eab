//! What can be left out of a case to see whether it forbids something: orders, pins and outages, rules and their parts.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Case;
use cellarwright_model::rule::RuleId;

use super::{Part, Subject, What};
use crate::compile::context::Context;
use crate::compile::without::Without;
use crate::conflict::{KEPT, Settled, TELLING, everything};

/// Pins and outages, then rules; what tells a brewer most is the last to be left out.
pub fn all(case: &Case) -> Vec<What> {
    let settled = everything(&case.fixed).into_iter().map(What::Settled);
    let others = RuleId::ALL.into_iter().filter(|rule| !TELLING.contains(rule) && !KEPT.contains(rule));
    settled.chain(others.chain(TELLING).map(|rule| What::Rule(Part::whole(rule)))).collect()
}

/// Parts of a rule by what they are about; none where it is left out as a whole only.
pub fn subjects(context: &Context, rule: RuleId) -> Vec<Subject> {
    let case = context.case;
    match rule {
        RuleId::OneBatch => context.groups.ids().map(|group| context.vessels(group)).collect(),
        RuleId::Turns => vec![Subject::Brewhouse],
        RuleId::Ready => {
            let beers = case.beer_ids().map(Subject::Beer);
            beers.chain((0..case.in_tank.len()).map(Subject::InTank)).collect()
        }
        RuleId::Wait => case.beer_ids().map(Subject::Beer).collect(),
        RuleId::Crew => case.crew_ids().map(Subject::Crew).collect(),
        RuleId::Calendar => Role::ALL.into_iter().map(Subject::Role).collect(),
        RuleId::Clean
        | RuleId::FillLevel
        | RuleId::BrightRest
        | RuleId::Direct
        | RuleId::Line
        | RuleId::Pressure
        | RuleId::Volume
        | RuleId::Orders
        | RuleId::Start
        | RuleId::Outage
        | RuleId::Pinned
        | RuleId::TankWork
        | RuleId::Yeast
        | RuleId::Serving
        | RuleId::Use
        | RuleId::Stages
        | RuleId::Hours
        | RuleId::Filter
        | RuleId::Packages
        | RuleId::WarmStore
        | RuleId::FullClean => Vec::new(),
    }
}

/// Parts of a rule for one thing by day, or period of the look-ahead, the last first; none where it is left out for all days only.
pub fn days(context: &Context, part: Part) -> Vec<Part> {
    let mut parts = all_days(context, part);
    if part.rule != RuleId::Calendar {
        let marks = context.program.marks.values();
        let about =
            marks.filter(|mark| mark.rule == part.rule && part.of.is_some_and(|of| mark.of.contains(&of)));
        let found: BTreeSet<(i64, i64)> = about.filter_map(|mark| mark.days).collect();
        parts.retain(|part| part.days.is_some_and(|days| found.contains(&days)));
    }
    parts
}

/// The same of all days, whether the rule says anything of them or not.
fn all_days(context: &Context, part: Part) -> Vec<Part> {
    let periods: BTreeSet<(i64, i64)> =
        (0..context.grid.len()).map(|period| context.days_of(period)).collect();
    let on = |days| Part { days: Some(days), ..part };
    periods.into_iter().rev().filter(|_| part.of.is_some()).map(on).collect()
}

/// What a program is written without where only some things are in force; of the context only grid and groups are looked at.
pub fn without(context: &Context, kept: &[What]) -> Without {
    let rules: Vec<Part> = kept
        .iter()
        .filter_map(|what| match what {
            What::Rule(part) => Some(*part),
            What::Order(_) | What::Settled(_) => None,
        })
        .collect();
    let mut left_out: Vec<Part> = Vec::new();
    for rule in RuleId::ALL.into_iter().filter(|rule| !KEPT.contains(rule)) {
        let of_rule: Vec<Part> = rules.iter().copied().filter(|part| part.rule == rule).collect();
        if of_rule.contains(&Part::whole(rule)) {
            continue;
        }
        if of_rule.is_empty() {
            left_out.extend(wholly(context, rule));
            continue;
        }
        for subject in subjects(context, rule) {
            let of_subject: Vec<Part> =
                of_rule.iter().copied().filter(|part| part.of == Some(subject)).collect();
            let part = Part::of(rule, subject);
            if of_subject.is_empty() {
                left_out.push(part);
            } else if !of_subject.contains(&part) {
                left_out.extend(all_days(context, part).into_iter().filter(|day| !of_subject.contains(day)));
            }
        }
    }
    left_out.into_iter().collect()
}

/// Everything of a rule.
fn wholly(context: &Context, rule: RuleId) -> Vec<Part> {
    let parts = subjects(context, rule).into_iter().map(|subject| Part::of(rule, subject));
    parts.chain([Part::whole(rule)]).collect()
}

/// What a program is written without where one thing alone is not in force.
pub fn without_one(context: &Context, what: What) -> Without {
    match what {
        What::Order(_) | What::Settled(_) => Without::default(),
        What::Rule(part) if part.of.is_none() => wholly(context, part.rule).into_iter().collect(),
        What::Rule(part) => [part].into_iter().collect(),
    }
}

/// Pins and outages among things.
pub fn settled(kept: &[What]) -> Vec<Settled> {
    let settled = kept.iter().filter_map(|what| match what {
        What::Settled(settled) => Some(*settled),
        What::Order(_) | What::Rule(_) => None,
    });
    settled.collect()
}
