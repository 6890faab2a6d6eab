//! R13: terms of orders, in plans written by hand.

use cellarwright_checker::check;
use cellarwright_checker::usage::Resource;
use cellarwright_model::case::{Case, ColdStore, Each, Keep, Late, Stock, StoreUnit};
use cellarwright_model::plan::{Outlook, OutlookPackaging, Period, Plan};
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, PALE, PlanBuilder, hl, in_bright, in_tank, order, stock, tiny,
};
use cellarwright_model::units::{Money, Share};

/// 20 hL in the bright tank, packaged on Monday: 19.11 hL, there from Tuesday. 1 hL in stock, packaged ten days before.
fn case() -> Case {
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    case.stock = vec![Stock { packaged_on: -10, ..stock(hl(100)) }];
    case.orders = vec![order(hl(1_000), 1, true)];
    case
}

fn packaged() -> PlanBuilder {
    PlanBuilder::new().package(0, CANS, CAN, B1, hl(2_000))
}

/// What is wrong with orders, and nothing else may be wrong.
fn wrong(case: &Case, plan: &Plan) -> Vec<&'static str> {
    let violations = check(case, plan).violations;
    assert!(violations.iter().all(|one| one.rule == RuleId::Orders), "{violations:?}");
    violations.iter().map(|one| one.what).collect()
}

#[test]
fn a_delivery_is_on_its_day_or_late_where_the_order_allows_it() {
    let mut case = case();
    let on = |day: i64| packaged().deliver(0, day, hl(1_000)).plan();
    assert_eq!(wrong(&case, &on(1)), [""; 0]);
    assert_eq!(wrong(&case, &on(0)), ["delivered on", "delivered by then"]);
    assert_eq!(wrong(&case, &on(2)), ["delivered on"]);
    case.orders[0].late = Some(Late { at_most: 4, cost: Money(300) });
    for (day, found) in [(2, &[][..]), (4, &[]), (5, &["delivered on"]), (6, &["delivered on"])] {
        // Day 5 is a Saturday: nothing is delivered then.
        assert_eq!(wrong(&case, &on(day)), found, "{day}");
    }
    // 4 hL on time, 6 hL two days late at 3.00 each.
    let parts = packaged().deliver(0, 1, hl(400)).deliver(0, 3, hl(600)).plan();
    assert_eq!(wrong(&case, &parts), [""; 0]);
    let report = check(&case, &parts);
    assert_eq!((report.breakdown.late, report.breakdown.missed), (Money(3_600), Money(0)));
    assert_eq!(report.breakdown.delivered, Money(100_000));
    assert_eq!(report.usage.orders[0].days, [(1, hl(400)), (3, hl(600))]);
    // More than the order asks for, over two days.
    let more = packaged().deliver(0, 1, hl(400)).deliver(0, 3, hl(700)).plan();
    assert_eq!(wrong(&case, &more), ["delivered"]);
    // Due before day 0: as late as it is allowed to be, and never before day 0.
    case.orders[0].due = -2;
    assert_eq!(wrong(&case, &on(2)), [""; 0]);
    assert_eq!(wrong(&case, &on(3)), ["delivered on"]);
    assert_eq!(wrong(&case, &packaged().deliver(0, -1, hl(50)).plan()), ["delivered on"]);
    assert_eq!(check(&case, &on(2)).breakdown.late, Money(300 * 10 * 4));
}

#[test]
fn a_whole_order_is_delivered_on_one_day() {
    let mut case = case();
    case.orders[0].whole = true;
    case.orders[0].late = Some(Late { at_most: 4, cost: Money(300) });
    assert_eq!(wrong(&case, &packaged().deliver(0, 1, hl(1_000)).plan()), [""; 0]);
    assert_eq!(wrong(&case, &packaged().plan()), [""; 0]);
    assert_eq!(wrong(&case, &packaged().deliver(0, 1, hl(999)).plan()), ["delivered of a whole order"]);
    let parts = packaged().deliver(0, 1, hl(400)).deliver(0, 3, hl(600)).plan();
    assert_eq!(wrong(&case, &parts), ["delivered of a whole order"; 2]);
}

#[test]
fn beer_is_as_fresh_as_its_orders_want_it() {
    let mut case = case();
    // 1 hL of ten days and 19.11 hL of Monday, on Tuesday.
    case.orders = vec![order(hl(1_911), 1, true), order(hl(100), 1, true)];
    let all = packaged().deliver(0, 1, hl(1_911)).deliver(1, 1, hl(100)).plan();
    case.orders[0].fresh = Some(1);
    assert_eq!(wrong(&case, &all), [""; 0]);
    // The old hectolitre goes to the one that takes it, whatever the order of the list.
    case.orders.swap(0, 1);
    let swapped = packaged().deliver(1, 1, hl(1_911)).deliver(0, 1, hl(100)).plan();
    assert_eq!(wrong(&case, &swapped), [""; 0]);
    case.orders[0].fresh = Some(10);
    assert_eq!(wrong(&case, &swapped), ["delivered too old"]);
    case.orders[0].fresh = Some(11);
    assert_eq!(wrong(&case, &swapped), [""; 0]);
    // The beer's limit holds where the order has none.
    case.orders[0].fresh = None;
    case.beers[0].fresh = Some(10);
    assert_eq!(wrong(&case, &swapped), ["delivered too old"]);
}

#[test]
fn stock_that_is_too_old_at_the_end_is_worth_nothing() {
    let mut case = case();
    case.orders.clear();
    let surplus = |case: &Case| check(case, &packaged().plan()).breakdown.surplus;
    assert_eq!(surplus(&case), Money(6_000 * 2_011 / 100));
    // On day 7 the hectolitre is 17 days old, Monday's beer 7.
    case.beers[0].fresh = Some(16);
    assert_eq!(surplus(&case), Money(6_000 * 1_911 / 100));
    case.beers[0].fresh = Some(17);
    assert_eq!(surplus(&case), Money(6_000 * 2_011 / 100));
    case.beers[0].fresh = Some(6);
    assert_eq!(surplus(&case), Money(0));
}

#[test]
fn an_uncertain_order_earns_less() {
    let mut case = case();
    case.orders[0] = order(hl(1_000), 1, false);
    case.orders[0].likely = Share(700_000);
    // 0.7 + 0.3 x 0.6 of 100.00 for each hectolitre.
    let report = check(&case, &packaged().deliver(0, 1, hl(1_000)).plan());
    assert_eq!(report.breakdown.delivered, Money(88_000));
}

#[test]
fn the_look_ahead_is_as_fresh_as_its_last_packaging_day_and_takes_parts() {
    let mut case = tiny(7);
    case.calendar.look_ahead_days = 7;
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    case.orders = vec![order(hl(500), 12, true)];
    case.orders[0].whole = true;
    case.orders[0].fresh = Some(1);
    let packaging =
        OutlookPackaging { period: 0, beer: PALE, format: CAN, drawn: hl(300), packaged: hl(200) };
    let mut plan = PlanBuilder::new().deliver(0, 12, hl(200)).plan();
    plan.outlook = Outlook {
        periods: vec![Period { first_day: 7, last_day: 13 }],
        packaging: vec![packaging],
        ..Outlook::default()
    };
    let found = |case: &Case| {
        let violations = check(case, &plan).violations;
        violations.iter().filter(|one| one.rule == RuleId::Orders).map(|one| one.what).collect::<Vec<_>>()
    };
    // Friday, day 11, is the last packaging day.
    assert_eq!(found(&case), [""; 0]);
    case.orders[0].fresh = Some(0);
    assert_eq!(found(&case), ["delivered too old"]);
}

#[test]
fn the_cold_store_is_counted_at_the_end_of_each_day() {
    let mut case = case();
    let plan = packaged().deliver(0, 1, hl(1_000)).plan();
    let store = |holds: i64, overflow: i64| ColdStore {
        unit: StoreUnit::Volume,
        holds: hl(holds).0,
        overflow: hl(overflow).0,
        cost: Money(200),
        formats: vec![CAN],
    };
    // 1 hL and 19.11 hL on Monday, 10 hL less from Tuesday on.
    case.cold_store = Some(store(1_000, 500));
    assert_eq!(wrong(&case, &plan), ["stands in it"]);
    case.cold_store = Some(store(1_000, 1_011));
    assert_eq!(wrong(&case, &plan), [""; 0]);
    let report = check(&case, &plan);
    assert_eq!(report.breakdown.store, Money(2_022 + 6 * 22));
    let used = |resource, day: usize| {
        let found = report.usage.resources.iter().find(|one| one.resource == resource).unwrap();
        (found.uses[day].used, found.uses[day].available)
    };
    assert_eq!(used(Resource::ColdStore, 0), (hl(1_000).0, hl(1_000).0));
    assert_eq!(used(Resource::HiredStore, 1), (hl(11).0, hl(1_011).0));
    // Cans of 10.56 L, ten on a pallet: 20.11 hL are 19.04 pallets.
    case.formats[0].pallet = Some(10);
    let pallets = |millionths: i64| ColdStore {
        unit: StoreUnit::Pallets,
        holds: millionths,
        overflow: 0,
        ..store(0, 0)
    };
    case.cold_store = Some(pallets(19_100_000));
    assert_eq!(wrong(&case, &plan), [""; 0]);
    case.cold_store = Some(pallets(19_000_000));
    assert_eq!(wrong(&case, &plan), ["stands in it"]);
    // A format that stands elsewhere; stock that was more than it holds before day 0.
    case.cold_store = Some(ColdStore { formats: vec![], ..store(0, 0) });
    assert_eq!(wrong(&case, &plan), [""; 0]);
    case.cold_store = Some(store(50, 0));
    assert_eq!(wrong(&case, &PlanBuilder::new().plan()), [""; 0]);
    assert_eq!(wrong(&case, &plan), ["stands in it"; 7]);
}

#[test]
fn what_is_lacking_of_a_least_stock_costs() {
    let mut case = case();
    let keep = |each| Keep { beer: PALE, format: CAN, at_least: hl(1_200), cost: Money(100), each };
    let plan = packaged().deliver(0, 1, hl(1_000)).plan();
    // 12 hL are to be kept: enough on Monday, 1.89 hL lacking from Tuesday to Sunday.
    case.keep = vec![keep(Each::Day)];
    assert_eq!(check(&case, &plan).breakdown.low_stock, Money(6 * 189));
    case.keep = vec![keep(Each::Week)];
    assert_eq!(check(&case, &plan).breakdown.low_stock, Money(189));
    // Friday, day 11, is the last packaging day of a week of look-ahead in which nothing happens.
    case.calendar.look_ahead_days = 7;
    case.keep = vec![keep(Each::Day)];
    let mut ahead = plan;
    ahead.outlook.periods = vec![Period { first_day: 7, last_day: 13 }];
    assert_eq!(check(&case, &ahead).breakdown.low_stock, Money(6 * 189 + 3 * 189), "Friday to Sunday");
}
