//! What became of the beer, and what an order is not weighed in, as reasons: each where it holds the order back, and where it does not.

use cellarwright_model::case::{Aim, Case, Packaged};
use cellarwright_model::ids::{BeerId, FormatId, OrderId};
use cellarwright_model::plan::{Delivery, Plan};
use cellarwright_model::testkit::{B1, CAN, CANS, F1, PlanBuilder, beer, hl, in_bright, order};
use cellarwright_model::units::Money;

use super::reason;
use crate::render::testcase::{case, view};
use crate::render::view::Reason;

/// Beer of F1 that is ready on Monday, and an order of 15 hL for Wednesday; nothing brewed is ready by then.
fn one_batch() -> Case {
    let mut case = case();
    case.orders = vec![order(hl(1_500), 2, true)];
    case.beers[0].bright_must_leave = 30;
    case
}

/// All of it is packaged in a format on Tuesday, and so much delivered.
fn packaged_in(case: &Case, format: FormatId, delivered: i64) -> Plan {
    let left = case.beers[0].loss_tank.taken_off(hl(2_000));
    let builder = PlanBuilder::new().transfer(0, F1, B1, left).clean(0, F1);
    let mut plan = builder.package(1, CANS, format, B1, case.transfer.arrives(left)).plan();
    if delivered > 0 {
        plan.deliveries.push(Delivery { order: OrderId(0), day: 2, volume: hl(delivered) });
    }
    plan
}

#[test]
fn beer_packaged_in_another_format_or_delivered_to_the_last_is_a_reason() {
    let mut case = one_batch();
    case.formats.push(case.formats[0].clone());
    case.beers[0].packaged.push(Packaged { format: FormatId(1), contribution: Money(10_000) });
    let other = packaged_in(&case, FormatId(1), 0);
    assert_eq!(view(&case, &other).violations, Vec::new());
    let Some(Reason::OtherFormats { volume_hl }) = reason(&case, &other) else {
        panic!("{:?}", reason(&case, &other))
    };
    assert!((volume_hl - view(&case, &other).packaged_hl).abs() < 1e-9 && volume_hl > 17.0, "{volume_hl}");
    // Packaged in its own format, some 17.9 hL: more than is asked for, then all of it.
    case.orders[0].quantity = hl(2_000);
    let all = packaged_in(&case, CAN, 1_790);
    assert_eq!(view(&case, &all).violations, Vec::new());
    assert_eq!(reason(&case, &all), Some(Reason::AllThereWas { volume_hl: 17.9 }));
    assert_eq!(reason(&case, &packaged_in(&case, CAN, 0)), Some(Reason::WorthMore));
}

#[test]
fn bright_tanks_are_a_reason_where_all_are_in_use() {
    let mut case = one_batch();
    case.beers[0].direct = false;
    case.beers.push(beer("Dark", CAN));
    case.beers[1].bright_must_leave = 30;
    let idle = Plan::default();
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    // Dark beer stands in the only one all week; Pale has to be in it on Monday.
    case.in_tank.push(in_bright(B1, hl(2_000), 1));
    case.in_tank[1].beer = BeerId(1);
    let monday = || "2026-12-07".to_owned();
    assert_eq!(reason(&case, &idle), Some(Reason::BrightTanksFull { from: monday(), to: monday() }));
    // From the fermenter straight to the line it needs none.
    let mut direct = case.clone();
    direct.beers[0].direct = true;
    assert_eq!(reason(&direct, &idle), Some(Reason::WorthMore));
    // A day more, and the tank is emptied on Monday and free on Tuesday.
    case.orders[0].due = 3;
    let emptied = PlanBuilder::new().package(0, CANS, CAN, B1, hl(2_000)).plan();
    assert_eq!(view(&case, &emptied).violations.iter().filter(|found| found.rule != "R05").count(), 0);
    assert_eq!(reason(&case, &emptied), Some(Reason::WorthMore));
    let two_days = Reason::BrightTanksFull { from: monday(), to: "2026-12-08".into() };
    assert_eq!(reason(&case, &idle), Some(two_days));
}

#[test]
fn orders_of_the_look_ahead_and_of_plans_for_output_have_reasons_of_their_own() {
    let mut case = one_batch();
    let idle = Plan::default();
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    case.calendar.look_ahead_days = 14;
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    // Packaged on Monday of the second week it is there on Tuesday, day 8.
    case.orders[0].due = 8;
    assert_eq!(reason(&case, &idle), Some(Reason::LookAhead));
    case.orders[0].due = 7;
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    case.aim = Aim::Output(None);
    assert_eq!(reason(&case, &idle), Some(Reason::NotAimed));
}
