//! A batch of which a part is moved and the rest packaged from its fermenter: what keeps the rules, and what breaks just one.

use cellarwright_checker::account::Fate;
use cellarwright_checker::check;
use cellarwright_model::case::{Carbonating, Case};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, PlanBuilder, hl, in_tank, tiny};

fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> = check(case, plan).violations.iter().map(|one| one.rule).collect();
    rules.dedup();
    rules
}

/// 38 hL in F1, ready on Monday, of a beer that lists both routes together.
fn cellar() -> Case {
    let mut case = tiny(14);
    case.beers[0].both = true;
    case.in_tank = vec![in_tank(F1, hl(4_000), 3, 0)];
    case
}

/// 20 hL moved on Monday, 19.8 hL arrive and are packaged on Tuesday.
fn moved() -> PlanBuilder {
    PlanBuilder::new().transfer(0, F1, B1, hl(2_000)).package(1, CANS, CAN, B1, hl(1_980))
}

#[test]
fn a_part_is_moved_and_the_rest_carbonated_and_packaged() {
    // 18 hL are left, less 2 % on the direct route.
    let plan = moved().carbonate(0, F1).package(1, CANS, CAN, F1, hl(1_764)).plan();
    let report = check(&cellar(), &plan);
    assert_eq!(report.violations, []);
    let account = &report.accounts.batches[0];
    assert_eq!(account.accounted(), account.filled);
    let fates = [Fate::TransferLoss, Fate::DirectLoss, Fate::Left].map(|fate| account.of(fate));
    assert_eq!(fates, [hl(20), hl(36), hl(0)]);
}

#[test]
fn a_beer_that_does_not_list_both_leaves_on_one_route() {
    let mut case = cellar();
    case.beers[0].both = false;
    let plan = moved().carbonate(0, F1).package(1, CANS, CAN, F1, hl(1_764)).plan();
    assert_eq!(broken(&case, &plan), [RuleId::Direct]);
}

#[test]
fn carbonated_beer_is_not_transferred() {
    // 38 hL less 2 % are 37.24 hL.
    let plan = PlanBuilder::new()
        .carbonate(0, F1)
        .transfer(1, F1, B1, hl(2_000))
        .package(2, CANS, CAN, F1, hl(1_724))
        .package(2, CANS, CAN, B1, hl(1_980));
    let found = broken(&cellar(), &plan.plan());
    assert_eq!(found, [RuleId::Direct]);
}

#[test]
fn what_is_packaged_from_is_not_transferred() {
    let mut case = cellar();
    case.beers[0].carbonating = Carbonating::No;
    let before = moved().package(1, CANS, CAN, F1, hl(1_764));
    assert_eq!(broken(&case, &before.plan()), []);
    let after = PlanBuilder::new()
        .package(0, CANS, CAN, F1, hl(1_724))
        .transfer(1, F1, B1, hl(2_000))
        .package(2, CANS, CAN, B1, hl(1_980));
    assert_eq!(broken(&case, &after.plan()), [RuleId::Direct]);
}

#[test]
fn the_days_of_packaging_count_from_the_transfer() {
    // Monday to Thursday are three working days, to Friday four.
    let on = |day: usize| moved().carbonate(day - 1, F1).package(day, CANS, CAN, F1, hl(1_764)).plan();
    assert_eq!(broken(&cellar(), &on(3)), []);
    assert_eq!(broken(&cellar(), &on(4)), [RuleId::Stages]);
}
