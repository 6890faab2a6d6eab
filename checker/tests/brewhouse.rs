//! R03 by beer and by liquor: plans that keep it by a minute and plans that break it alone.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, Job, Liquor, Pin, PinnedWork, RoleTimes};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PALE, PlanBuilder, hl, tiny};
use cellarwright_model::units::{Minutes, Rate};

fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> =
        check(case, plan).violations.iter().map(|violation| violation.rule).collect();
    rules.dedup();
    rules
}

/// The tiny brewery takes 4 h for the first turn, 3 h for the next, and has 12 h a day.
fn with_longer_brews(minutes: i64) -> Case {
    let mut case = tiny(3);
    let takes = Minutes(minutes);
    case.beers[0].brewing.longer = Job { takes, crew: RoleTimes::only(Role::Brew, Minutes(30)) };
    case
}

#[test]
fn two_turns_that_take_longer_fill_the_day() {
    let plan = PlanBuilder::new().brew(0, F1, 2).plan();
    assert_eq!(broken(&with_longer_brews(150), &plan), []);
    assert_eq!(broken(&with_longer_brews(151), &plan), [RuleId::Turns]);
    let hours = |case: &Case| check(case, &plan).breakdown.labour.0;
    // Twice half an hour of one person, at the default 30 an hour.
    assert_eq!(hours(&with_longer_brews(150)) - hours(&tiny(3)), 3_000);
}

fn with_liquor(tank: i64, per_turn: i64, an_hour: i64) -> Case {
    let mut case = tiny(3);
    case.brewhouse.liquor =
        vec![Liquor { tank: hl(tank), per_turn: hl(per_turn), makes: Rate(hl(an_hour).0) }];
    case
}

/// By hand: 24 of 30 hL are taken at the start, 18 hL are missing for the second turn. It has to begin 9 h after the first to end
/// in 12 h: 2 hL an hour make 18 hL in 9 h, 1.99 hL do not.
#[test]
fn the_second_turn_waits_for_its_liquor() {
    let plan = PlanBuilder::new().brew(0, F1, 2).plan();
    assert_eq!(broken(&with_liquor(3_000, 2_400, 200), &plan), []);
    assert_eq!(broken(&with_liquor(3_000, 2_400, 199), &plan), [RuleId::Turns]);
    let one = PlanBuilder::new().brew(0, F1, 1).plan();
    assert_eq!(broken(&with_liquor(3_000, 2_400, 0), &one), []);
}

#[test]
fn a_beer_with_smaller_turns_fills_less() {
    let mut case = tiny(5);
    case.beers[0].brewing.turn = Some(hl(1_800));
    // 18 hL of wort less 5 % leave, less 1 % arrive.
    let plan = |leaves: i64, arrives: i64| {
        let plan = PlanBuilder::new().brew(0, F1, 1).transfer(2, F1, B1, hl(leaves));
        plan.package(3, CANS, CAN, B1, cellarwright_model::units::Volume(arrives)).plan()
    };
    assert_eq!(broken(&case, &plan(1_710, 1_692_900)), []);
    assert_eq!(broken(&case, &plan(1_900, 1_881_000)), [RuleId::Volume]);
    case.beers[0].brewing.turn = Some(hl(1_700));
    let below = PlanBuilder::new().brew(0, F2, 1).plan();
    assert_eq!(broken(&case, &below), [RuleId::FillLevel]);
}

/// F1 holds 40 hL, F2 20 hL (`least` 5 hL); the beer lists 1 or 2 turns of 20 hL and part turns of 8 and 12 hL.
#[test]
fn part_turns_are_those_that_the_beer_lists_one_by_one() {
    let mut case = tiny(3);
    case.vessels[F2.0].least = hl(5);
    case.beers[0].part_turns = vec![hl(8), hl(12)];
    let brew = |turns, part| {
        let work = Work::Brew { beer: PALE, vessel: F2, turns, part: Some(part) };
        PlanBuilder::new().work(0, work)
    };
    assert_eq!(broken(&case, &brew(1, hl(12)).plan()), []);
    assert_eq!(broken(&case, &brew(1, hl(11)).plan()), [RuleId::FillLevel]);
    assert_eq!(broken(&case, &brew(2, hl(8)).plan()), [RuleId::FillLevel]);
    assert_eq!(
        broken(
            &case,
            &brew(1, hl(8))
                .work(0, Work::Brew { beer: PALE, vessel: F2, turns: 1, part: Some(hl(12)) })
                .plan()
        ),
        [RuleId::FillLevel]
    );
    // It takes the brewhouse and its people as long as a whole turn.
    let labour = |plan: &Plan| check(&case, plan).breakdown.labour.0;
    assert_eq!(labour(&brew(1, hl(12)).plan()), labour(&PlanBuilder::new().brew(0, F2, 1).plan()));
    let pin = |turns, part| {
        let work = PinnedWork::Brew { beer: PALE, vessel: None, turns, part };
        let mut pinned = case.clone();
        pinned.fixed.pins = vec![Pin { work, day: None, shift: None }];
        broken(&pinned, &brew(1, hl(12)).plan())
    };
    assert_eq!(pin(None, Some(hl(12))), []);
    assert_eq!(pin(None, None), []);
    assert_eq!(pin(None, Some(hl(8))), [RuleId::Pinned]);
    assert_eq!(pin(Some(1), None), [RuleId::Pinned]);
}
