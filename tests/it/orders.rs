//! Terms of orders: cases worked by hand in their files, what turns in them, and plans that a careless program makes.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_checker::usage::Resource;
use cellarwright_model::case::{Aim, Case, Each, Keep, Late, Mix, MixShare, Stock, StoreUnit};
use cellarwright_model::ids::FormatId;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, solve, solve_without};
use cellarwright_tests::small::{hl, percent};

use crate::oracle::exact;

/// A case of `cases/orders`.
pub fn read(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/orders").join(name).join("brewplan.yaml");
    let outcome = read_case(&path);
    outcome.case.unwrap_or_else(|| panic!("{name}: {:?}", outcome.findings))
}

/// The best plan, whose worth must be proven and is given in cents.
pub fn best(case: &Case, worth: i64) -> Answer {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    // Line time is rounded to whole minutes upwards in overtime only; everything here is in round hectolitres.
    assert!((answer.objective - worth).abs() <= 2, "{} and not {worth}", answer.objective);
    assert!(answer.bound - answer.objective <= 2, "bound {}", answer.bound);
    answer
}

/// Deliveries as (order, day, hL).
fn deliveries(answer: &Answer) -> Vec<(usize, i64, i64)> {
    let all = answer.plan.deliveries.iter();
    all.map(|delivery| (delivery.order.0, delivery.day, (delivery.volume.0 + 500) / 100_000)).collect()
}

/// What the checker finds wrong with orders in the plan of a program that leaves out their rule.
fn careless(case: &Case) -> Vec<&'static str> {
    let plan = solve_without(case, RuleId::Orders, &exact()).expect("it solves");
    let violations = check(case, &plan).violations;
    violations.iter().filter(|one| one.rule == RuleId::Orders).map(|one| one.what).collect()
}

#[test]
fn an_order_is_better_late_than_missed() {
    let case = read("late");
    let answer = best(&case, 294_000);
    assert_eq!(deliveries(&answer), [(0, 1, 20), (1, 2, 20)]);
    assert_eq!(answer.report.breakdown.late, Money(10_000));
    // On time or not at all: the stout is missed at five times 20 x 100.00 and stays in its tank, at 20 hL x (60 - 20).
    let mut strict = case.clone();
    strict.orders[1].late = None;
    assert_eq!(deliveries(&best(&strict, -768_000)), [(0, 1, 20)]);
    // So dear that missing an order that is not firm is cheaper: 2000.00 - 480.00 of the line + 800.00 in the tank.
    let mut dear = case.clone();
    dear.orders[1].firm = false;
    dear.orders[1].late = Some(Late { at_most: 3, cost: Money(9_000) });
    best(&dear, 232_000);
    // Due on Sunday, late already: Monday's packaging reaches it on Tuesday, two days late.
    let mut overdue = case;
    overdue.orders[1].due = -1;
    overdue.orders.remove(0);
    overdue.in_tank.remove(0);
    assert_eq!(deliveries(&best(&overdue, 200_000 - 20_000 - 48_000)), [(0, 1, 20)]);
}

#[test]
fn an_order_is_delivered_whole_or_not_at_all() {
    let case = read("whole");
    assert_eq!(deliveries(&best(&case, 166_000)), [(0, 4, 10)]);
    let mut parts = case.clone();
    parts.orders[1].whole = false;
    assert_eq!(deliveries(&best(&parts, 270_000)), [(0, 4, 10), (1, 4, 26)]);
    // Four hectolitres more are enough for both.
    let mut more = case.clone();
    more.in_tank[0].filled = hl(40);
    assert_eq!(deliveries(&best(&more, 400_000 - 96_000)), [(0, 4, 10), (1, 4, 30)]);
    assert!(careless(&case).contains(&"delivered of a whole order"), "{:?}", careless(&case));
}

#[test]
fn old_beer_is_not_delivered() {
    let case = read("fresh");
    let answer = best(&case, 67_000);
    assert_eq!(answer.plan.deliveries.len(), 1);
    let mut older = case.clone();
    older.beers[0].fresh = Some(32);
    assert_eq!(deliveries(&best(&older, 167_000)), [(0, 1, 10), (1, 3, 10)]);
    assert!(careless(&case).contains(&"delivered too old"), "{:?}", careless(&case));
    // Without orders: 10 hL packaged for stock at 60.00, less the line; old stock is worth nothing, or the same without a limit.
    let mut idle = older.clone();
    idle.orders.clear();
    best(&idle, 27_000);
    idle.beers[0].fresh = None;
    best(&idle, 87_000);
}

#[test]
fn an_uncertain_order_earns_its_likelihood_and_stock_for_the_rest() {
    // 70 % likely: 0.7 + 0.3 x 0.6 = 0.88 of 100.00 for each of 20 hL; the ale as before; nobody is late.
    let mut case = read("late");
    case.orders[1].firm = false;
    case.orders[1].likely = cellarwright_model::units::Share(700_000);
    case.orders[1].due = 2;
    let answer = best(&case, 200_000 + 176_000 - 96_000);
    assert_eq!(answer.report.breakdown.delivered, Money(376_000));
    assert_eq!(answer.report.breakdown.late, Money::ZERO);
}

#[test]
fn orders_without_terms_make_no_columns_of_their_own() {
    let mut case = read("late");
    let with = solve(&case, &exact(), &NoObserver).expect("it solves").size;
    case.orders[1].late = None;
    let without = solve(&case, &exact(), &NoObserver).expect("it solves").size;
    // Wednesday, Thursday and Friday: three columns; their rows, and one for the order's quantity.
    assert_eq!(with.columns - without.columns, 3);
    assert_eq!(with.rows - without.rows, 4);
    case.orders[1].likely = cellarwright_model::units::Share(700_000);
    case.stock.push(Stock {
        beer: case.orders[0].beer,
        format: case.orders[0].format,
        quantity: Volume(0),
        from: 0,
        packaged_on: -100,
    });
    assert_eq!(solve(&case, &exact(), &NoObserver).expect("it solves").size, without);
}

#[test]
fn the_cold_store_binds_on_the_night_before_a_holiday() {
    let case = read("cold-store");
    let answer = best(&case, 244_000);
    assert_eq!(deliveries(&answer), [(0, 3, 30)]);
    assert_eq!(answer.report.breakdown.store, Money(2_000));
    let tightest = |resource| {
        let found = answer.report.usage.resources.iter().find(|one| one.resource == resource).expect("it");
        let full = found.uses.iter().filter(|one| one.used >= one.available - 100);
        full.map(|one| case.calendar.day(one.slot)).collect::<Vec<_>>()
    };
    assert_eq!(tightest(Resource::HiredStore), [2]);
    assert!(tightest(Resource::ColdStore).contains(&2));
    let mut larger = case.clone();
    larger.cold_store.as_mut().expect("a store").overflow = hl(20).0;
    assert_eq!(deliveries(&best(&larger, 300_000)), [(0, 3, 40)]);
    // Half a hectolitre a keg, twenty on a pallet: 10 hL. Three pallets are as much as 20 and 10 hL, hired at 20.00 each.
    let mut pallets = case.clone();
    pallets.formats[0].pallet = Some(20);
    let store = pallets.cold_store.as_mut().expect("a store");
    (store.unit, store.holds, store.overflow, store.cost) =
        (StoreUnit::Pallets, 2_000_000, 1_000_000, Money(2_000));
    assert_eq!(deliveries(&best(&pallets, 244_000)), [(0, 3, 30)]);
    let mut open = case.clone();
    open.cold_store = None;
    assert_eq!(deliveries(&best(&open, 304_000)), [(0, 3, 40)]);
    // Without an order all of it would go to stock.
    let mut stock = case.clone();
    stock.orders.clear();
    assert!(careless(&stock).contains(&"stands in it"), "{:?}", careless(&stock));
    // More in stock than it holds: that may stay, and nothing is added to it.
    let mut full = case;
    full.stock.push(Stock {
        beer: full.orders[0].beer,
        format: full.orders[0].format,
        quantity: hl(50),
        from: 0,
        packaged_on: -1,
    });
    let answer = solve(&full, &exact(), &NoObserver).expect("it solves");
    assert_eq!(deliveries(&answer), [(0, 3, 40)]);
}

#[test]
fn a_least_stock_is_kept_where_lacking_it_costs_more() {
    // 20 hL of ale, an order of 20 hL for Tuesday, 5 hL to be kept on every day from Tuesday to Friday.
    let mut case = read("late");
    case.orders.truncate(1);
    case.orders[0].firm = false;
    case.in_tank.truncate(1);
    let keep = |cost| Keep {
        beer: case.orders[0].beer,
        format: case.orders[0].format,
        at_least: hl(5),
        cost: Money(cost),
        each: Each::Day,
    };
    let (mut dear, mut cheap) = (case.clone(), case.clone());
    // 15 x 100.00 + 5 x 60.00 - 480.00, and 20 x 100.00 - 4 days x 5 x 5.00 - 480.00. On Monday there are 20 hL.
    dear.keep.push(keep(3_000));
    assert_eq!(deliveries(&best(&dear, 132_000)), [(0, 1, 15)]);
    cheap.keep.push(keep(500));
    let answer = best(&cheap, 142_000);
    assert_eq!((deliveries(&answer), answer.report.breakdown.low_stock), (vec![(0, 1, 20)], Money(10_000)));
}

#[test]
fn an_output_plan_keeps_its_mix() {
    // 40 hL of ale and 20 hL of stout in bright tanks, two days of 20 hL: 40 hL of any. A quarter of ale: the stout sets the whole,
    // 20 / 0.75 hL; within five hundredths 20 / 0.70 hL. By format, which is the only one: everything.
    let mut case = read("late");
    case.calendar.planned_days = 2;
    case.in_tank[0].filled = hl(40);
    case.orders.clear();
    let mut packaged = |format, share, tolerance| {
        let beer = case.beer_ids().next().expect("a beer");
        let shares = vec![MixShare { beer, format, share: percent(share) }];
        case.aim = Aim::Output(Some(Mix { shares, tolerance: percent(tolerance) }));
        let answer = solve(&case, &exact(), &NoObserver).expect("it solves");
        assert!(answer.bound - answer.objective < 100_000, "proven to a litre");
        answer.report.breakdown.packaged_planned.0
    };
    let keg = Some(FormatId(0));
    for (format, share, tolerance, litres) in
        [(None, 25, 0, 2_666.667), (keg, 25, 5, 2_857.143), (keg, 75, 25, 4_000.0), (None, 0, 0, 2_000.0)]
    {
        let found = packaged(format, share, tolerance) as f64 / 1_000.0;
        assert!((found - litres).abs() < 0.1, "{share} +- {tolerance}: {found} and not {litres}");
    }
}
