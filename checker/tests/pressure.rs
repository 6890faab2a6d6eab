//! R11: what a beer needs warm and cold, with nitrogen, at the bottom of a full vessel.

use cellarwright_checker::check;
use cellarwright_model::case::{Case, Nitrogen, Spund};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{CAN, CANS, F1, PlanBuilder, hl, hours, in_tank, tiny};
use cellarwright_model::units::{Carbonation, Money, Pressure, Temperature};
use cellarwright_model::violation::Amount;

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

fn broken(case: &Case, plan: &Plan) -> Vec<(RuleId, &'static str)> {
    check(case, plan).violations.iter().map(|one| (one.rule, one.what)).collect()
}

fn direct() -> Plan {
    plan().brew(0, F1, 1).carbonate(2, F1).package(3, CANS, CAN, F1, hl(1_862)).plan()
}

fn by_bright_tank() -> Plan {
    plan().by_bright_tank(2).plan()
}

/// A practice check worked by hand (common practice): a fermenter rated and relieved at 103 kPa, margin 10 %, 2.5 volumes:
/// about 69 kPa at 2 degC are within 93; about 121 at 10 degC are not; spunded at 20 degC it takes about 200. A filler
/// that wants 100 kPa and has no pump is not fed by it, a bright tank of 200 kPa feeds it.
#[test]
fn a_fermenter_of_one_hundred_and_three() {
    let mut case = tiny(7);
    (case.vessels[0].rated, case.vessels[0].relief) = (Pressure(103_000), Pressure(103_000));
    (case.vessels[2].rated, case.vessels[2].relief) = (Pressure(200_000), Pressure(200_000));
    assert_eq!(broken(&case, &direct()), []);

    case.beers[0].carbonated_at = Temperature(10_000);
    let found = check(&case, &direct()).violations;
    assert_eq!(found.iter().map(|one| one.what).collect::<Vec<_>>(), ["carbonating in the fermenter"]);
    assert_eq!(found[0].allowed, Amount::Pressure(Pressure(92_700)));
    let Amount::Pressure(needed) = found[0].found else { panic!("a pressure") };
    assert!((needed.kilopascals() - 121.0).abs() < 2.0, "{needed:?}");

    case.beers[0].carbonated_at = Temperature(2_000);
    case.beers[0].spund = Some(Spund { carbonation: Carbonation(2_500), at: Temperature(20_000) });
    let found = check(&case, &by_bright_tank()).violations;
    assert_eq!(found.iter().map(|one| one.what).collect::<Vec<_>>(), ["fermenting under pressure"]);
    let Amount::Pressure(needed) = found[0].found else { panic!("a pressure") };
    assert!((needed.kilopascals() - 200.0).abs() < 2.0, "{needed:?}");

    case.beers[0].spund = None;
    case.lines[0].feed = Pressure(100_000);
    assert_eq!(broken(&case, &direct()), [(RuleId::Pressure, "feeding the line")]);
    assert_eq!(broken(&case, &by_bright_tank()), []);
    (case.lines[0].pump, case.beers[0].pump) = (true, true);
    assert_eq!(broken(&case, &direct()), []);
}

#[test]
fn the_rating_counts_at_the_bottom_and_the_relief_at_the_top() {
    // 2.5 volumes at 2 degC need about 69 kPa; 100 kPa less 10 % are 90, less 3 m of beer 60.6.
    let mut case = tiny(7);
    (case.vessels[0].rated, case.vessels[0].relief) = (Pressure(100_000), Pressure(100_000));
    assert_eq!(broken(&case, &direct()), []);
    case.vessels[0].beer_height = 3_000;
    let found = check(&case, &direct()).violations;
    assert_eq!(found.iter().map(|one| one.what).collect::<Vec<_>>(), ["carbonating in the fermenter"]);
    assert_eq!(found[0].allowed, Amount::Pressure(Pressure(60_630)));
    // A higher rating carries the beer; the relief device sits on top and does not see it.
    case.vessels[0].rated = Pressure(120_000);
    assert_eq!(broken(&case, &direct()), []);
    // A vessel feeds a line as it empties: its beer does not count then.
    case.vessels[0].rated = Pressure(112_000);
    case.lines[0].feed = Pressure(89_000);
    assert_eq!(broken(&case, &direct()), []);
}

#[test]
fn spunded_beer_brings_its_gas_along() {
    let mut case = tiny(7);
    let whole = check(&case, &by_bright_tank()).breakdown;
    let spund = |volumes| Some(Spund { carbonation: Carbonation(volumes), at: Temperature(12_000) });
    case.beers[0].spund = spund(2_000);
    let part = check(&case, &by_bright_tank());
    assert_eq!(part.violations, []);
    // 18.81 hL at 1.50, of which a fifth: 0.30.
    assert_eq!((whole.gas, part.breakdown.gas), (Money(2_822), Money(564)));
    assert_eq!(whole.labour, part.breakdown.labour);
    // All of it: no carbonating, neither in the bright tank nor in the fermenter.
    case.beers[0].spund = spund(2_500);
    let none = check(&case, &by_bright_tank());
    assert_eq!((none.violations.len(), none.breakdown.gas), (0, Money::ZERO));
    assert!(none.breakdown.labour < whole.labour);
    let straight = plan().brew(0, F1, 1).package(3, CANS, CAN, F1, hl(1_862)).plan();
    assert_eq!(broken(&case, &straight), []);
    // It is packaged under pressure all the same.
    case.pressure.breakout = Pressure(210_000);
    assert_eq!(broken(&case, &straight), [(RuleId::Pressure, "packaging from the fermenter")]);
    // What is in tank on day 0 is there; only what is done to it is judged.
    case.pressure.breakout = Pressure(0);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    case.beers[0].spund = spund(2_500).map(|spund| Spund { at: Temperature(30_000), ..spund });
    assert_eq!(broken(&case, &plan().package(0, CANS, CAN, F1, hl(1_862)).plan()), []);
}

#[test]
fn nitrogen_has_its_own_pressure_and_time() {
    let mut case = tiny(7);
    case.beers[0].nitrogen = Some(Nitrogen { pressure: Pressure(160_000), takes: hours(12) });
    assert_eq!(broken(&case, &direct()), []);
    case.beers[0].nitrogen = Some(Nitrogen { pressure: Pressure(160_000), takes: hours(25) });
    assert_eq!(broken(&case, &direct()), [(RuleId::Direct, "carbonating")]);
    assert_eq!(broken(&case, &by_bright_tank()), [(RuleId::BrightRest, "packaging")]);
    case.beers[0].nitrogen = Some(Nitrogen { pressure: Pressure(271_000), takes: hours(12) });
    assert_eq!(broken(&case, &direct()), [(RuleId::Pressure, "carbonating in the fermenter")]);
    assert_eq!(broken(&case, &by_bright_tank()), [(RuleId::Pressure, "carbonating in the bright tank")]);
}
