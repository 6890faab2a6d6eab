//! Beer that is never carbonated in a tank: no carbonating, its time, people, gas and pressure.

use cellarwright_checker::check;
use cellarwright_model::case::{Carbonating, Case};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{CAN, CANS, F1, PlanBuilder, hl, hours, order, stock, tiny};
use cellarwright_model::units::{Money, Pressure};

fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> = check(case, plan).violations.iter().map(|one| one.rule).collect();
    rules.dedup();
    rules
}

fn flat(days: usize) -> Case {
    let mut case = tiny(days);
    case.beers[0].carbonating = Carbonating::No;
    case
}

#[test]
fn it_is_racked_from_its_fermenter_on_the_ready_day() {
    let racked = || PlanBuilder::new().brew(0, F1, 1).package(2, CANS, CAN, F1, hl(1_862));
    let mut case = flat(5);
    case.vessels[0].rated = Pressure(1_000);
    case.vessels[0].relief = Pressure(1_000);
    assert_eq!(broken(&case, &racked().plan()), []);
    assert_eq!(check(&case, &racked().plan()).breakdown.gas, Money::ZERO);
    // The same of a forced beer lacks its carbonating; carbonating a flat one is a breach.
    assert_eq!(broken(&tiny(5), &racked().plan()), [RuleId::Direct]);
    let carbonated = PlanBuilder::new().brew(0, F1, 1).carbonate(2, F1).package(3, CANS, CAN, F1, hl(1_862));
    assert_eq!(broken(&case, &carbonated.plan()), [RuleId::Direct]);
    let early = PlanBuilder::new().brew(0, F1, 1).package(1, CANS, CAN, F1, hl(1_862));
    assert_eq!(broken(&case, &early.plan()), [RuleId::Ready]);
}

#[test]
fn from_a_bright_tank_it_is_packaged_without_waiting_for_gas() {
    let plan = PlanBuilder::new().by_bright_tank(2).plan();
    let mut case = flat(5);
    case.carbonate.takes = hours(40);
    assert_eq!(broken(&case, &plan), []);
    let flat_parts = check(&case, &plan).breakdown;
    assert_eq!(flat_parts.gas, Money::ZERO);
    case.beers[0].carbonating = Carbonating::Forced;
    assert_eq!(broken(&case, &plan), [RuleId::BrightRest]);
    // Half an hour of carbonating at 30 an hour is what the people save.
    assert_eq!(check(&case, &plan).breakdown.labour - flat_parts.labour, Money(1_500));
}

#[test]
fn stock_that_is_still_in_the_warm_is_delivered_from_its_day_on() {
    let mut case = flat(5);
    case.stock = vec![stock(hl(100))];
    case.orders = vec![order(hl(100), 3, false), order(hl(100), 2, false)];
    let first = PlanBuilder::new().deliver(0, 3, hl(100)).plan();
    let second = PlanBuilder::new().deliver(1, 2, hl(100)).plan();
    assert_eq!((broken(&case, &first), broken(&case, &second)), (vec![], vec![]));
    case.stock[0].from = 3;
    assert_eq!((broken(&case, &first), broken(&case, &second)), (vec![], vec![RuleId::Orders]));
    assert!(check(&case, &PlanBuilder::new().plan()).breakdown.surplus > Money::ZERO);
}
