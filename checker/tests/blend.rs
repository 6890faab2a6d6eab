//! Two batches in one bright tank, each condition on both sides of its limit.

use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, F2, PlanBuilder, beer, fermenter, hl, hours, in_tank, tiny,
};
use cellarwright_model::units::{Minutes, Money};

const F3: VesselId = VesselId(3);

fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> = check(case, plan).violations.iter().map(|one| one.rule).collect();
    rules.dedup();
    rules
}

/// Three ready batches of 19 hL and one bright tank of 40 hL.
fn three_batches() -> Case {
    let mut case = tiny(4);
    case.vessels.push(fermenter("F3"));
    case.in_tank = [F1, F2, F3].map(|vessel| in_tank(vessel, hl(2_000), 3, 0)).to_vec();
    case.beers[0].blend = true;
    case
}

/// F1 and F2 into the bright tank on Monday, packaged on Tuesday.
fn blended(volume: i64) -> PlanBuilder {
    PlanBuilder::new().transfer(0, F1, B1, hl(volume)).transfer(0, F2, B1, hl(volume)).package(
        1,
        CANS,
        CAN,
        B1,
        hl(volume * 2 * 99 / 100),
    )
}

#[test]
fn two_batches_of_a_beer_that_is_blended() {
    let mut case = three_batches();
    assert_eq!(broken(&case, &blended(1_900).plan()), []);
    case.beers[0].blend = false;
    assert_eq!(broken(&case, &blended(1_900).plan()), [RuleId::OneBatch]);
}

#[test]
fn one_clean_one_carbonating_two_transfers() {
    let case = three_batches();
    let parts = check(&case, &PlanBuilder::new().transfer(0, F1, B1, hl(1_900)).plan()).breakdown;
    let both = PlanBuilder::new().transfer(0, F1, B1, hl(1_900)).transfer(0, F2, B1, hl(1_900)).plan();
    let blended = check(&case, &both).breakdown;
    assert_eq!(blended.cleaning, parts.cleaning);
    assert_eq!(blended.transfers, Money(2 * parts.transfers.0));
    assert_eq!(blended.gas, Money(2 * parts.gas.0));
    // The second transfer takes one person-hour at 30.
    assert_eq!(blended.labour - parts.labour, Money(3_000));
}

#[test]
fn not_three_not_later_not_another_beer_not_the_same_vessel() {
    let case = three_batches();
    let two = || PlanBuilder::new().transfer(0, F1, B1, hl(1_200)).transfer(0, F2, B1, hl(1_200));
    assert_eq!(broken(&case, &two().transfer(0, F3, B1, hl(1_200)).plan()), [RuleId::OneBatch]);
    let later = PlanBuilder::new().transfer(0, F1, B1, hl(1_900)).transfer(1, F2, B1, hl(1_900));
    assert_eq!(broken(&case, &later.plan()), [RuleId::OneBatch]);
    let same = PlanBuilder::new().transfer(0, F1, B1, hl(1_200)).transfer(0, F1, B1, hl(700));
    assert!(broken(&case, &same.plan()).contains(&RuleId::OneBatch));
    let mut other = three_batches();
    other.beers.push(beer("Dark", CAN));
    other.beers[1].blend = true;
    other.in_tank[1].beer = BeerId(1);
    assert_eq!(broken(&other, &blended(1_900).plan()), [RuleId::OneBatch]);
}

#[test]
fn the_level_counts_after_both_and_the_transfers_follow_one_another() {
    let mut case = three_batches();
    case.vessels[2].least = hl(3_000);
    assert_eq!(broken(&case, &blended(1_900).plan()), []);
    case.vessels[2].holds = hl(3_761);
    assert_eq!(broken(&case, &blended(1_900).plan()), [RuleId::FillLevel]);
    case.vessels[2].holds = hl(3_762);
    assert_eq!(broken(&case, &blended(1_900).plan()), []);
    // Clean 2 h and two transfers of 3 h fill the shift of 8 h; another minute is too much.
    case.transfer.job.takes = hours(3);
    assert_eq!(broken(&case, &blended(1_900).plan()), []);
    case.transfer.job.takes = hours(3) + Minutes(1);
    assert_eq!(broken(&case, &blended(1_900).plan()), [RuleId::BrightRest]);
    // Clean, transfers and carbonating from six o'clock to six o'clock on Tuesday.
    case.transfer.job.takes = hours(2);
    case.carbonate.takes = hours(18);
    assert_eq!(broken(&case, &blended(1_900).plan()), []);
    case.carbonate.takes = hours(18) + Minutes(1);
    assert_eq!(broken(&case, &blended(1_900).plan()), [RuleId::BrightRest]);
}
