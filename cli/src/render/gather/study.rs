//! The view of a study: results beside their items.

use std::collections::BTreeMap;

use cellarwright_model::finding::Finding;
use cellarwright_model::study::{Item, Outcome, Status};

use crate::render::numbers::UnitSystem;
use crate::render::view::{Caution, DemandRow, LackingRow, StudyView, TriedRow};
use crate::render::words::findings as words;

/// The view of items and of what came of them, by id.
#[must_use]
pub fn of_study(
    items: &BTreeMap<usize, Item>,
    results: &BTreeMap<String, Outcome>,
    findings: &[Finding],
    units: UnitSystem,
) -> StudyView {
    let all: Vec<Tried> =
        items.iter().map(|(&line, item)| Tried { line, item, result: results.get(&item.id) }).collect();
    let by_scenario = grouped(&all, |tried| &tried.item.scenario);
    let demands: Vec<(DemandRow, Option<&str>)> = by_scenario.iter().map(|group| demand(group)).collect();
    let layouts = grouped(&all, |tried| &tried.item.layout);
    let lacking = |is_lacking: &dyn Fn(&Tried) -> bool| {
        all.iter().filter(|tried| is_lacking(tried)).map(Tried::lacking).collect()
    };
    StudyView {
        units,
        items: items.len(),
        results: all.iter().filter(|tried| tried.result.is_some()).count(),
        layouts: layouts.iter().map(|group| layout(group, &demands)).collect(),
        missing: lacking(&|tried| tried.result.is_none()),
        stopped: lacking(&|tried| tried.result.is_some_and(|result| result.stopped_after_seconds.is_some())),
        scenarios: demands.into_iter().map(|(row, _)| row).collect(),
        findings: findings
            .iter()
            .map(|finding| Caution {
                code: Some(finding.code),
                text: format!("{}: {}", words::place(&finding.place), words::sentence(finding)),
            })
            .collect(),
    }
}

/// An item with what came of it.
struct Tried<'s> {
    line: usize,
    item: &'s Item,
    result: Option<&'s Outcome>,
}

impl Tried<'_> {
    fn status(&self) -> Status {
        self.result.map_or(Status::Unknown, |result| result.status)
    }

    /// Its cost in cents, where it meets the demand.
    fn cost(&self) -> Option<i64> {
        self.result.filter(|result| result.status == Status::Met).and_then(|result| result.cost_cents)
    }

    /// No less can it cost, cents; none where it does not meet the demand at all.
    fn bound(&self) -> Option<i64> {
        match self.status() {
            Status::NotMet => None,
            Status::Met | Status::Unknown => {
                Some(self.result.and_then(|result| result.bound_cents).unwrap_or(0))
            }
        }
    }

    fn lacking(&self) -> LackingRow {
        LackingRow {
            item: self.line,
            id: self.item.id.clone(),
            scenario: self.item.scenario.clone(),
            layout: self.item.layout.clone(),
        }
    }
}

/// Groups by a name, in the order in which the names come first.
fn grouped<'t, 's>(all: &'t [Tried<'s>], name: impl Fn(&Tried<'s>) -> &'s str) -> Vec<Vec<&'t Tried<'s>>> {
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    let mut groups: Vec<Vec<&Tried>> = Vec::new();
    for tried in all {
        let place = *places.entry(name(tried)).or_insert(groups.len());
        if place == groups.len() {
            groups.push(Vec::new());
        }
        groups[place].push(tried);
    }
    groups
}

/// A demand with the layouts that were tried, and the layout that is cheapest.
fn demand<'s>(group: &[&Tried<'s>]) -> (DemandRow, Option<&'s str>) {
    let is = |status: Status| group.iter().filter(|tried| tried.status() == status).count();
    // Of several that cost the same the first.
    let cheapest =
        group.iter().filter_map(|tried| Some((tried.cost()?, tried))).min_by_key(|(cost, _)| *cost);
    let first = group.first().map(|tried| tried.item);
    let mut row = DemandRow {
        scenario: first.map_or_else(String::new, |item| item.scenario.clone()),
        asked_a_week_hl: first.map_or(0.0, |item| item.asked_a_week().hectolitres()),
        met_by: is(Status::Met),
        unknown: is(Status::Unknown),
        cheapest: None,
        buys: Vec::new(),
        cost_a_year: None,
        proven: false,
    };
    let Some((cost, cheapest)) = cheapest else { return (row, None) };
    row.cheapest = Some(cheapest.item.layout.clone());
    row.buys = cheapest.result.map(|result| result.buys.clone()).unwrap_or_default();
    row.cost_a_year = Some(cost as f64 / 100.0);
    let gap = i128::from(cost) * i128::from(cheapest.item.gap_millionths) / 1_000_000;
    // One cent: costs and bounds are rounded to it.
    let is_no_cheaper =
        |tried: &&Tried| tried.bound().is_none_or(|bound| i128::from(bound) + gap + 1 >= i128::from(cost));
    row.proven = group.iter().all(is_no_cheaper);
    (row, Some(cheapest.item.layout.as_str()))
}

fn layout(group: &[&Tried], demands: &[(DemandRow, Option<&str>)]) -> TriedRow {
    let is = |status: Status| group.iter().filter(|tried| tried.status() == status).count();
    let (met, not_met, unknown) = (is(Status::Met), is(Status::NotMet), is(Status::Unknown));
    let name = group.first().map_or("", |tried| tried.item.layout.as_str());
    let of_all = |number: usize| number as f64 / group.len().max(1) as f64;
    let best = || demands.iter().filter(|(_, cheapest)| *cheapest == Some(name));
    let costs = || group.iter().filter_map(|tried| tried.cost()).map(|cents| cents as f64 / 100.0);
    TriedRow {
        layout: name.to_owned(),
        buys: group.first().and_then(|tried| tried.item.buys.clone()).unwrap_or_default(),
        met,
        not_met,
        unknown,
        meets_at_least: of_all(met),
        meets_at_most: of_all(met + unknown),
        cheapest: best().count(),
        proven_cheapest: best().filter(|(row, _)| row.proven).count(),
        least_cost_a_year: costs().reduce(f64::min),
        most_cost_a_year: costs().reduce(f64::max),
    }
}
