//! Kegs that come back some days after their delivery, and where the kegs of a kind are.

use cellarwright_checker::check;
use cellarwright_checker::usage::{KegsOfDay, Resource};
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, KegPool, KegWasher};
use cellarwright_model::ids::KegPoolId;
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::testkit::{B1, CAN, CANS, PlanBuilder, hl, in_bright, order, stock, tiny};
use cellarwright_model::units::{Share, Volume};

const KEGS: KegPoolId = KegPoolId(0);

/// Kegs of a hectolitre, 20 clean ones, three with stock in them; 20 hL in a bright tank, orders for Wednesday and Thursday. Nothing is lost.
fn case() -> Case {
    let mut case = tiny(7);
    case.formats[0].contents = hl(100);
    case.formats[0].loss = Share(0);
    case.formats[0].overfill = Share(0);
    case.lines[0].loss = Volume::ZERO;
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    case.stock = vec![stock(hl(250))];
    case.orders = vec![order(hl(450), 2, true), order(hl(350), 3, true)];
    case.keg_washer = Some(KegWasher { pace: 10, people: 1, role: Role::Cellar });
    case.kegs = vec![KegPool {
        name: "kegs".to_owned(),
        formats: vec![CAN],
        clean: 20,
        owned: Some(30),
        days_out: Some(2),
        ..KegPool::default()
    }];
    case
}

/// Six kegs filled on Monday, so much delivered on Wednesday and Thursday, so many washed on two days.
fn plan(delivered: [i64; 2], washed: [(usize, i64); 2]) -> Plan {
    let mut plan = PlanBuilder::new().package(0, CANS, CAN, B1, hl(600));
    for (order, volume) in delivered.into_iter().enumerate().filter(|&(_, volume)| volume > 0) {
        plan = plan.deliver(order, order as i64 + 2, hl(volume));
    }
    for (day, kegs) in washed.into_iter().filter(|&(_, kegs)| kegs > 0) {
        plan = plan.work(day, Work::Wash { pool: KEGS, kegs });
    }
    plan.plan()
}

fn broken(case: &Case, plan: &Plan) -> Vec<(&'static str, Option<usize>)> {
    let found = check(case, plan).violations;
    found.iter().map(|one| (one.what, one.slot.map(|slot| case.calendar.day(slot)))).collect()
}

#[test]
fn kegs_are_back_on_the_day_after_they_were_out_and_no_earlier() {
    let case = case();
    // 4.5 kegs leave on Wednesday: four are back on Friday. 3.5 more leave on Thursday: eight are back on Saturday, when nobody works, so
    // for Sunday's end.
    assert_eq!(broken(&case, &plan([450, 350], [(4, 4), (0, 0)])), []);
    assert_eq!(broken(&case, &plan([450, 350], [(4, 5), (0, 0)])), [("kegs washed", Some(4))]);
    assert_eq!(broken(&case, &plan([450, 350], [(3, 1), (0, 0)])), [("kegs washed", Some(3))]);
    // What is not delivered does not come back.
    assert_eq!(broken(&case, &plan([300, 350], [(4, 4), (0, 0)])), [("kegs washed", Some(4))]);
    assert_eq!(broken(&case, &plan([0, 350], [(4, 1), (0, 0)])), [("kegs washed", Some(4))]);
    // A hundredth of a keg is rounding.
    let mut nearly = plan([450, 350], [(4, 4), (0, 0)]);
    nearly.deliveries[0].volume = hl(400) - Volume(1_000);
    assert_eq!(broken(&case, &nearly), []);
    nearly.deliveries[0].volume = hl(400) - Volume(1_001);
    assert_eq!(broken(&case, &nearly), [("kegs washed", Some(4))]);
}

#[test]
fn back_after_counts_from_the_filling_and_days_out_from_the_delivery() {
    let mut case = case();
    (case.kegs[0].days_out, case.kegs[0].back_after) = (None, Some(2));
    assert_eq!(broken(&case, &plan([0, 0], [(2, 6), (0, 0)])), []);
    (case.kegs[0].days_out, case.kegs[0].back_after) = (Some(2), None);
    assert_eq!(broken(&case, &plan([0, 0], [(2, 6), (0, 0)])), [("kegs washed", Some(2))]);
}

#[test]
fn clean_dirty_full_and_out_ones_are_all_that_are_owned() {
    let case = case();
    let report = check(&case, &plan([450, 350], [(4, 3), (0, 0)]));
    let of_day = |day: usize, [clean, dirty, full, out]: [i64; 4]| KegsOfDay {
        pool: KEGS,
        day,
        clean,
        dirty,
        full,
        out: Some(out),
    };
    // Three full ones from before, seven out. Six are filled on Monday, 4.5 leave on Wednesday and 3.5 on Thursday.
    let expected = [
        of_day(0, [14, 0, 9, 7]),
        of_day(1, [14, 0, 9, 7]),
        of_day(2, [14, 0, 5, 11]),
        of_day(3, [14, 0, 1, 15]),
        of_day(4, [17, 1, 1, 11]),
        of_day(5, [17, 5, 1, 7]),
        of_day(6, [17, 5, 1, 7]),
    ];
    assert_eq!(report.usage.kegs, expected);
    let owned = report.usage.resources.iter().find(|uses| uses.resource == Resource::OwnedKegs(KEGS));
    let uses: Vec<(i64, i64)> = owned.expect("a row").uses.iter().map(|at| (at.used, at.available)).collect();
    assert_eq!(uses, [(16, 30), (16, 30), (16, 30), (16, 30), (12, 30), (8, 30), (8, 30)]);
    let mut uncounted = case;
    uncounted.kegs[0].owned = None;
    let report = check(&uncounted, &plan([450, 350], [(4, 3), (0, 0)]));
    assert!(report.usage.kegs.iter().all(|of_day| of_day.out.is_none()));
    assert!(!report.usage.resources.iter().any(|uses| uses.resource == Resource::OwnedKegs(KEGS)));
}
