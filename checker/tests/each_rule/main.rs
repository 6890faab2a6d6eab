//! For every rule: a plan that keeps all rules, and plans that break this one and no other.

mod brewing;
mod fixed;
mod moving;
mod packaging;

use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, PlanBuilder, beer, bright, hl, in_bright, tiny};

/// A case with a plan that keeps every rule, and plans that break one.
struct Example {
    case: Case,
    good: Plan,
    bad: Vec<Plan>,
}

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

/// One turn in F1, by the bright tank.
fn by_bright_tank() -> PlanBuilder {
    plan().by_bright_tank(2)
}

/// One turn in a fermenter, packaged from it.
fn direct(vessel: VesselId) -> PlanBuilder {
    plan().brew(0, vessel, 1).carbonate(2, vessel).package(3, CANS, CAN, vessel, hl(1_862))
}

fn two_brights() -> Case {
    let mut case = tiny(7);
    case.vessels.push(bright("B2"));
    case
}

const B2: VesselId = VesselId(3);

/// Two beers in two bright tanks.
fn two_lots() -> Case {
    let mut case = two_brights();
    case.beers.push(beer("Dark", CAN));
    case.in_tank = vec![in_bright(B1, hl(2_000), 1), in_bright(B2, hl(2_000), 1)];
    case.in_tank[1].beer = BeerId(1);
    case
}

fn example(rule: RuleId) -> Example {
    match rule {
        RuleId::OneBatch => brewing::one_batch(),
        RuleId::FillLevel => brewing::fill_level(),
        RuleId::Turns => brewing::turns(),
        RuleId::Ready => brewing::ready(),
        RuleId::Wait => brewing::wait(),
        RuleId::BrightRest => moving::bright_rest(),
        RuleId::Direct => moving::direct_route(),
        RuleId::Clean => moving::clean(),
        RuleId::Crew => packaging::crew(),
        RuleId::Line => packaging::line_of_beers(),
        RuleId::Pressure => moving::pressure(),
        RuleId::Volume => moving::volume(),
        RuleId::Orders => packaging::orders(),
        RuleId::Filter => moving::filter(),
        RuleId::Packages => packaging::packages(),
        RuleId::Start => moving::start(),
        RuleId::Outage => fixed::outage(),
        RuleId::Pinned => fixed::pinned(),
        RuleId::TankWork => brewing::tank_work(),
        RuleId::Yeast => brewing::yeast(),
        RuleId::Calendar => fixed::calendar(),
        RuleId::Use => moving::use_of_vessels(),
        RuleId::Serving => packaging::serving(),
        RuleId::Stages => moving::stages(),
        RuleId::Hours => fixed::hours_of_the_day(),
        RuleId::WarmStore => packaging::warm_store(),
        RuleId::FullClean => moving::full_clean(),
    }
}

#[test]
fn every_rule_has_a_plan_that_keeps_all_rules() {
    let mut wrong = Vec::new();
    for rule in RuleId::ALL {
        let example = example(rule);
        let violations = check(&example.case, &example.good).violations;
        if !violations.is_empty() {
            wrong.push(format!("{rule:?}: {violations:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_rule_finds_what_breaks_it_alone() {
    let mut wrong = Vec::new();
    for rule in RuleId::ALL {
        let example = example(rule);
        assert!(!example.bad.is_empty(), "{rule:?}");
        for (number, bad) in example.bad.iter().enumerate() {
            let violations = check(&example.case, bad).violations;
            let mut found: Vec<RuleId> = violations.iter().map(|violation| violation.rule).collect();
            found.dedup();
            if found != [rule] {
                wrong.push(format!("{rule:?} plan {number}: {violations:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
