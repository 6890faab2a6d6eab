//! Tanks that are only poured from: filled with carbonated beer from a bright tank or a fermenter, each condition on both
//! sides of its limit, and the account of what went where.

use cellarwright_checker::account::Fate;
use cellarwright_checker::check;
use cellarwright_model::case::{Case, Tap, Taproom, Uses};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, PALE, PlanBuilder, bright, hl, hours, in_bright, in_tank, tiny,
};
use cellarwright_model::units::{Minutes, Money, Pressure, Volume};

const T1: VesselId = VesselId(3);

fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> = check(case, plan).violations.iter().map(|one| one.rule).collect();
    rules.dedup();
    rules
}

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

/// A batch of 19 hL in F1, an empty bright tank, and T1 of 10 hL behind the bar (12 h rest): 2 hL are asked for each day.
fn cellar() -> Case {
    let mut case = tiny(7);
    let mut tank = bright("T1");
    tank.uses = Uses { serve: true, ..Uses::default() };
    (tank.holds, tank.least, tank.rest) = (hl(1_000), hl(200), hours(12));
    case.vessels.push(tank);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    let pours = vec![Tap { beer: PALE, a_day: [hl(200); 7], contribution: Money(30_000), pour_within: 7 }];
    case.taproom = Taproom { opens: hours(12), pours, ..Taproom::default() };
    case
}

/// F1 into B1 on Monday, 8 hL of it to T1 on Tuesday, the rest of it to the line.
fn in_parts() -> PlanBuilder {
    let filled = plan().transfer(0, F1, B1, hl(1_900)).transfer(1, B1, T1, hl(800));
    filled.package(1, CANS, CAN, B1, hl(1_881 - 800))
}

#[test]
fn a_part_of_a_bright_lot_is_poured_and_a_part_packaged() {
    let case = cellar();
    // Filled on Tuesday at 06:00: clean 2 h, transfer 2 h, rest 12 h: it pours from Wednesday on.
    let pours = in_parts().pour(2, T1, hl(200)).pour(3, T1, hl(200)).plan();
    let report = check(&case, &pours);
    assert_eq!(report.violations, []);
    let account = &report.accounts.batches[0];
    assert_eq!(account.accounted(), account.filled);
    // 1 % of 19 hL and of 8 hL is lost on the way; 7.92 - 4 hL are left.
    let fates = [Fate::TransferLoss, Fate::Poured, Fate::Left].map(|fate| account.of(fate));
    assert_eq!(fates, [hl(19 + 8), hl(400), hl(792 - 400)]);
    assert!(account.of(Fate::Packaged) > hl(900));
    assert_eq!(broken(&case, &in_parts().pour(1, T1, hl(200)).plan()), [RuleId::Serving]);
}

#[test]
fn all_that_is_left_empties_the_bright_tank_for_a_later_shift() {
    let mut case = cellar();
    case.vessels[3].holds = hl(2_000);
    case.in_tank.push(in_bright(B1, hl(1_000), 1));
    let moved = || plan().transfer(0, B1, T1, hl(1_000)).package(2, CANS, CAN, B1, hl(1_881));
    assert_eq!(broken(&case, &moved().transfer(1, F1, B1, hl(1_900)).plan()), []);
    case.vessels[2].refill = cellarwright_model::case::Turnaround::SameShift;
    assert_eq!(broken(&case, &moved().transfer(0, F1, B1, hl(1_900)).plan()), [RuleId::BrightRest]);
}

#[test]
fn the_bright_tank_is_carbonated_first() {
    let case = cellar();
    let same_shift = plan().transfer(0, F1, B1, hl(1_900)).transfer(0, B1, T1, hl(800));
    let rest = same_shift.package(1, CANS, CAN, B1, hl(1_081));
    assert_eq!(broken(&case, &rest.plan()), [RuleId::BrightRest]);
}

#[test]
fn the_level_counts_after_the_transfer() {
    let case = cellar();
    let with = |volume: Volume| {
        let filled = plan().transfer(0, F1, B1, hl(1_900)).transfer(1, B1, T1, volume);
        broken(&case, &filled.package(1, CANS, CAN, B1, hl(1_881) - volume).plan())
    };
    assert_eq!(with(hl(1_010)), []);
    assert_eq!(with(hl(1_020)), [RuleId::FillLevel]);
    assert_eq!(with(hl(203)), []);
    assert_eq!(with(hl(202)), [RuleId::FillLevel]);
}

#[test]
fn nothing_is_carbonated_with_the_fill() {
    let mut case = cellar();
    case.in_tank = vec![in_bright(B1, hl(1_000), 1)];
    let parts = check(&case, &plan().transfer(0, B1, T1, hl(1_000)).plan()).breakdown;
    assert_eq!((parts.gas, parts.transfers), (Money::ZERO, case.rates.transfer));
    assert_eq!(parts.cleaning, case.rates.clean);
    // One person-hour to clean, one to transfer, at 30.
    assert_eq!(parts.labour, Money(6_000));
    // Without carbonating in it the tank pours 16 h after Monday at 06:00.
    let poured = plan().transfer(0, B1, T1, hl(1_000)).pour(1, T1, hl(200)).plan();
    assert_eq!(broken(&case, &poured), []);
}

#[test]
fn a_fermenter_is_carbonated_before_it_fills_the_tank() {
    let mut case = cellar();
    case.vessels[3].holds = hl(2_000);
    let filled = |plan: PlanBuilder| plan.transfer(1, F1, T1, hl(1_862)).pour(2, T1, hl(200)).plan();
    assert_eq!(broken(&case, &filled(plan().carbonate(0, F1))), []);
    // Without it the loss of the direct route is the same.
    assert_eq!(broken(&case, &filled(plan())), [RuleId::Direct]);
    case.vessels[0].uses.package = false;
    assert_eq!(broken(&case, &filled(plan().carbonate(0, F1))), [RuleId::Use]);
}

#[test]
fn all_fills_from_a_fermenter_are_within_three_days_of_packaging() {
    let mut case = cellar();
    case.calendar.planned_days = 9;
    case.vessels.push(cellarwright_model::case::Vessel { name: "T2".to_owned(), ..case.vessels[3].clone() });
    let filled = |slot: usize| {
        let first = plan().carbonate(0, F1).transfer(1, F1, T1, hl(900));
        broken(&case, &first.transfer(slot, F1, VesselId(4), hl(962)).plan())
    };
    // From Tuesday to Friday, but not to the next Monday.
    assert_eq!(filled(4), []);
    assert_eq!(filled(7), [RuleId::Stages]);
}

#[test]
fn there_is_no_way_back_to_a_line_or_to_another_tank() {
    let mut case = cellar();
    case.vessels.push(cellarwright_model::case::Vessel { name: "T2".to_owned(), ..case.vessels[3].clone() });
    let line = in_parts().package(2, CANS, CAN, T1, hl(700)).plan();
    assert_eq!(broken(&case, &line), [RuleId::Use]);
    let tank = in_parts().transfer(2, T1, VesselId(4), hl(700)).plan();
    assert!(broken(&case, &tank).contains(&RuleId::Use));
}

#[test]
fn the_tank_holds_the_pressure_of_the_beer() {
    let mut case = cellar();
    case.vessels[3].rated = Pressure(20_000);
    case.vessels[3].relief = Pressure(20_000);
    assert_eq!(broken(&case, &in_parts().plan()), [RuleId::Pressure]);
}

#[test]
fn the_fill_has_its_hours() {
    let mut case = cellar();
    case.vessels[3].clean.takes = hours(6);
    assert_eq!(broken(&case, &in_parts().plan()), []);
    case.vessels[3].clean.takes += Minutes(1);
    assert_eq!(broken(&case, &in_parts().plan()), [RuleId::BrightRest]);
}
