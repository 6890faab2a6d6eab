//! Why orders are short, from plans written by hand.

mod before;
mod goods;
mod supplies;

use cellarwright_checker::usage::Resource;
use cellarwright_model::case::{Case, ColdStore, Comes, KegPool, Late, Packaged, StoreUnit};
use cellarwright_model::ids::{FormatId, KegPoolId, OrderId};
use cellarwright_model::plan::{Delivery, Plan};
use cellarwright_model::testkit::{B1, F1, F2, PlanBuilder, hl, hours, order};
use cellarwright_model::units::{Money, Share};

use crate::render::testcase::{case, plan, view};
use crate::render::view::Reason;

fn reasons(case: &Case, plan: &Plan) -> Vec<Option<Reason>> {
    let mut rows = view(case, plan).orders;
    rows.sort_by(|one, other| one.due.cmp(&other.due));
    rows.into_iter().map(|row| row.reason).collect()
}

/// Of the only order.
fn reason(case: &Case, plan: &Plan) -> Option<Reason> {
    let mut found = reasons(case, plan);
    assert_eq!(found.len(), 1);
    found.remove(0)
}

#[test]
fn short_orders_name_the_nearest_reason() {
    let case = case();
    let reasons = reasons(&case, &plan(&case));
    assert_eq!(reasons[0], Some(Reason::NoDeliveryBefore { first: "2026-12-08".into() }));
    assert_eq!(reasons[1], None);
    // F1 is gone by Wednesday, F2 is ready that day and its line stands idle.
    assert_eq!(reasons[2], Some(Reason::WorthMore));
    assert_eq!(reasons[3], Some(Reason::WorthMore));
}

#[test]
fn an_order_without_beer_or_before_it_is_ready_says_so() {
    let mut case = case();
    case.in_tank.clear();
    case.orders = vec![order(hl(500), 2, true)];
    let idle = Plan::default();
    assert_eq!(reasons(&case, &idle), [Some(Reason::NotBrewedInTime { ready: "2026-12-09".into() })]);
    let brewed = PlanBuilder::new().clean(0, F2).brew(0, F2, 1).plan();
    let expected = Reason::ReadyLater {
        packaged_from: "2026-12-09".into(),
        needed: "2026-12-08".into(),
        vessel: "F2".into(),
    };
    assert_eq!(reasons(&case, &brewed), [Some(expected)]);
}

#[test]
fn a_full_line_and_other_orders_are_reasons() {
    let mut case = case();
    case.orders = vec![order(hl(1_800), 2, true), order(hl(500), 2, true)];
    case.orders[1].name = "the other".into();
    let plan = plan(&case);
    let plan = Plan { deliveries: plan.deliveries[..1].to_vec(), ..plan };
    let mut given = plan.clone();
    given.deliveries[0].order = cellarwright_model::ids::OrderId(0);
    assert_eq!(reasons(&case, &given)[1], Some(Reason::OtherOrders { volume_hl: 12.0 }));

    case.in_tank.push(cellarwright_model::testkit::in_tank(F2, hl(2_000), 2, 0));
    case.calendar.shifts[0].hours = hours(4);
    case.crews[1].hours = hours(4);
    let left = case.beers[0].loss_tank.taken_off(hl(2_000));
    let plan = PlanBuilder::new()
        .transfer(0, F1, B1, left)
        .package(1, cellarwright_model::testkit::CANS, FormatId(0), B1, case.transfer.arrives(left))
        .plan();
    case.calendar.work[2].0[0] = false;
    let expected =
        Reason::LineFull { line: "cans".into(), from: "2026-12-07".into(), to: "2026-12-08".into() };
    assert_eq!(reasons(&case, &plan)[0], Some(expected));
}

#[test]
fn a_line_whose_people_stand_at_another_line_is_full() {
    let mut case = case();
    case.formats.push(case.formats[0].clone());
    case.formats[1].line = cellarwright_model::ids::LineId(1);
    case.lines.push(cellarwright_model::testkit::line("kegs"));
    case.beers[0].packaged.push(Packaged { format: FormatId(1), contribution: Money(10_000) });
    case.orders = vec![order(hl(300), 2, true)];
    case.orders[0].format = FormatId(1);
    case.calendar.work[2].0[0] = false;
    // On Tuesday the two packers have hours left at the cans for no more than the start-up of the kegs.
    let left = case.beers[0].loss_tank.taken_off(hl(2_000));
    let arrived = case.transfer.arrives(left);
    let package = |volume| {
        let builder = PlanBuilder::new().transfer(0, F1, B1, left);
        builder.package(1, cellarwright_model::testkit::CANS, FormatId(0), B1, volume).plan()
    };
    case.crews[1].hours = hours(4);
    let expected =
        Reason::LineFull { line: "kegs".into(), from: "2026-12-08".into(), to: "2026-12-08".into() };
    assert_eq!(reasons(&case, &package(arrived - hl(500))), [Some(expected)]);
    // With as many people again, both lines run side by side.
    case.crews[1].people = 4;
    assert_eq!(reasons(&case, &package(arrived - hl(500))), [Some(Reason::WorthMore)]);
}

#[test]
fn a_late_order_says_when_and_why_and_terms_are_reasons() {
    let mut case = case();
    case.orders = vec![order(hl(500), 0, true), order(hl(1_400), 2, false), order(hl(400), 2, false)];
    case.orders[0].late = Some(Late { at_most: 3, cost: Money(100) });
    case.orders[1].whole = true;
    case.orders[2].fresh = Some(0);
    case.orders[2].likely = Share(500_000);
    let mut plan = plan(&case);
    // Tuesday's packaging, 17.94 hL, is there on Wednesday: 5 hL go to the late order.
    plan.deliveries = vec![Delivery { order: OrderId(0), day: 2, volume: hl(500) }];
    let view = view(&case, &plan);
    assert_eq!(view.violations, Vec::new());
    let late = view.orders.iter().find(|row| row.late_hl > 0.0).unwrap();
    assert_eq!((late.late_hl, late.deliveries[0].days_late), (5.0, 2));
    assert_eq!(late.deliveries[0].on, "2026-12-09");
    let left = (1_794_380 - 500_000) as f64 / 1e5;
    let short: Vec<Option<Reason>> =
        view.orders.iter().filter(|row| row.short).map(|row| row.reason.clone()).collect();
    assert_eq!(short[0], Some(Reason::WholeOrNothing { volume_hl: left }));
    assert_eq!(short[1], Some(Reason::TooOld { volume_hl: left, days: 0 }));
    let screen = crate::render::orders::lines(&view).join("\n");
    for part in [
        "LATE 5.0 of 5.0 hL",
        "5.0 hL on Wed 9 Dec, 2 days late",
        "whole or nothing",
        "more than 0 days before",
    ] {
        assert!(screen.contains(part), "{part}\n{screen}");
    }
}

#[test]
fn kegs_the_cold_store_and_a_line_that_does_not_come_are_reasons() {
    let mut case = case();
    case.orders = vec![order(hl(300), 2, true)];
    let left = case.beers[0].loss_tank.taken_off(hl(2_000));
    let cans = cellarwright_model::testkit::CANS;
    let plan = PlanBuilder::new().transfer(0, F1, B1, left).package(1, cans, FormatId(0), B1, hl(500)).plan();
    let used = |case: &Case, resource: Resource| -> i64 {
        let report = cellarwright_checker::check(case, &plan);
        let found = report.usage.resources.iter().find(|uses| uses.resource == resource).unwrap();
        found.uses.iter().find(|used| case.calendar.day(used.slot) == 1).unwrap().used
    };
    assert_eq!(reasons(&case, &plan), [Some(Reason::WorthMore)]);

    let (from, to) = ("2026-12-08".to_owned(), "2026-12-08".to_owned());
    let mut few = case.clone();
    few.kegs = vec![KegPool {
        name: "kegs".into(),
        formats: vec![FormatId(0)],
        clean: 10_000,
        ..KegPool::default()
    }];
    assert_eq!(reasons(&few, &plan), [Some(Reason::WorthMore)]);
    few.kegs[0].clean = used(&few, Resource::Kegs(KegPoolId(0)));
    let expected = Reason::NoCleanKegs { kegs: "kegs".into(), from: from.clone(), to: to.clone() };
    assert_eq!(reasons(&few, &plan), [Some(expected)]);

    let mut full = case.clone();
    full.cold_store = Some(ColdStore {
        unit: StoreUnit::Volume,
        holds: hl(5_000).0,
        overflow: 0,
        cost: Money(0),
        formats: vec![FormatId(0)],
    });
    assert_eq!(reasons(&full, &plan), [Some(Reason::WorthMore)]);
    let stands = used(&full, Resource::ColdStore);
    full.cold_store.as_mut().unwrap().holds = stands;
    assert_eq!(reasons(&full, &plan), [Some(Reason::ColdStoreFull { on: from.clone() })]);

    case.lines[0].comes = Comes::On([case.calendar.date(2)].into());
    let expected = Reason::LineNotThere { line: "cans".into(), from, to };
    let unpacked = PlanBuilder::new().transfer(0, F1, B1, left).plan();
    assert_eq!(reasons(&case, &unpacked), [Some(expected)]);
}
