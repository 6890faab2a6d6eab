//! How widely the random cases use what the rules are about, counted in their best plans.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::VesselId;
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::{Delivery, Plan, Work};
use cellarwright_model::units::{Money, Volume};

/// Least share of the cases that use each feature, in per cent.
const LEAST: usize = 15;
/// The same for features that are drawn in some of the cases only.
const LEAST_SELDOM: usize = 2;
/// Those features.
const SELDOM: [&str; 5] = [
    "late deliveries",
    "whole orders delivered",
    "stock too old for an order",
    "cold store hired",
    "stock below what is to be kept",
];

/// Counts of features over cases.
#[derive(Default)]
pub struct Spread {
    /// Cases counted.
    pub cases: usize,
    used: BTreeMap<&'static str, usize>,
}

impl Spread {
    /// Counts what a case and its best plan use; plans of hardly any work tell nothing.
    pub fn count(&mut self, case: &Case, plan: &Plan, money: &Breakdown) {
        if plan.tasks.len() < 2 {
            return;
        }
        self.cases += 1;
        for (feature, is_used) in features(case, plan, money) {
            *self.used.entry(feature).or_default() += usize::from(is_used);
        }
    }

    /// Fails if a feature is rare.
    pub fn must_be_wide(&self) {
        let lines: Vec<String> = self
            .used
            .iter()
            .map(|(feature, count)| format!("{feature}: {count} of {}", self.cases))
            .collect();
        println!("{}", lines.join("\n"));
        let least = |feature: &str| if SELDOM.contains(&feature) { LEAST_SELDOM } else { LEAST };
        let rare: Vec<_> =
            self.used.iter().filter(|(name, count)| **count * 100 < least(name) * self.cases).collect();
        assert!(rare.is_empty(), "rare in the best plans: {rare:?}\nof all:\n{}", lines.join("\n"));
    }
}

/// Features of one case and plan.
fn features(case: &Case, plan: &Plan, money: &Breakdown) -> Vec<(&'static str, bool)> {
    let has = |test: &dyn Fn(&Work) -> bool| plan.tasks.iter().any(|task| test(&task.work));
    let brews: Vec<(Slot, VesselId, i64)> = plan
        .tasks
        .iter()
        .filter_map(|task| match task.work {
            Work::Brew { vessel, turns, .. } => Some((task.slot, vessel, turns)),
            _ => None,
        })
        .collect();
    let mut moves: BTreeMap<VesselId, Vec<(Slot, VesselId)>> = BTreeMap::new();
    for task in &plan.tasks {
        if let Work::Transfer { from, to, .. } = task.work {
            moves.entry(from).or_default().push((task.slot, to));
        }
    }
    let shifts: BTreeSet<usize> = plan.tasks.iter().map(|task| case.calendar.shift(task.slot)).collect();
    let over = case.in_tank.iter().any(|tank| tank.on + case.beer(tank.beer).must_leave < 0);
    vec![
        ("packages", has(&|work| matches!(work, Work::Package { .. }))),
        ("direct", has(&|work| matches!(work, Work::Carbonate { .. }))),
        ("bright", !moves.is_empty()),
        ("two shifts", shifts.len() > 1),
        ("brews", !brews.is_empty()),
        ("several turns", several_turns(&brews)),
        ("split or stages", moves.values().any(|moves| moves.len() > 1)),
        ("waiting", money.waiting > Money::ZERO),
        ("over the limit", over && money.last_resort > Money::ZERO),
        ("cleans", has(&|work| matches!(work, Work::Clean { .. }))),
        ("dirty", money.dirty > Money::ZERO),
        ("missed firm orders", money.missed > Money::ZERO),
        ("delivers", money.delivered > Money::ZERO),
        ("overtime", money.overtime > Money::ZERO),
        ("surplus", money.surplus > Money::ZERO),
        ("beer in tank at the end", money.in_tank > Money::ZERO),
        ("output", matches!(case.aim, Aim::Output(_)) && money.packaged_planned > Volume::ZERO),
        ("short runs", money.short_runs > Money::ZERO),
        ("late deliveries", money.late > Money::ZERO),
        ("cold store hired", money.store > Money::ZERO),
        ("stock below what is to be kept", money.low_stock > Money::ZERO),
        ("whole orders delivered", plan.deliveries.iter().any(|delivery| case.order(delivery.order).whole)),
        ("stock too old for an order", plan.deliveries.iter().any(|delivery| is_old(case, delivery))),
    ]
}

/// Whether there is opening stock that is too old for a delivery.
fn is_old(case: &Case, delivery: &Delivery) -> bool {
    let order = case.order(delivery.order);
    let stock = case.stock.iter().filter(|stock| (stock.beer, stock.format) == (order.beer, order.format));
    let limit = case.fresh(delivery.order).unwrap_or(i64::MAX);
    stock.map(|stock| stock.packaged_on).any(|packaged| delivery.day - packaged > limit)
}

fn several_turns(brews: &[(Slot, VesselId, i64)]) -> bool {
    brews
        .iter()
        .any(|&(_, vessel, turns)| turns > 1 || brews.iter().filter(|brew| brew.1 == vessel).count() > 1)
}
