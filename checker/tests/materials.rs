//! What must be bought of a material: the largest shortage of any day.

use cellarwright_checker::check;
use cellarwright_checker::usage::ToOrder;
use cellarwright_model::case::{Case, Material};
use cellarwright_model::ids::MaterialId;
use cellarwright_model::plan::{OutlookPackaging, Period, Plan};
use cellarwright_model::testkit::{B1, CAN, CANS, PALE, PlanBuilder, hl, in_bright, tiny};
use cellarwright_model::units::{Money, Share, Volume};

/// Cases of a hectolitre with 24 cans each, 240 cans, 1200.00 a thousand and two days to come. Nothing is lost.
fn case() -> Case {
    let mut case = tiny(7);
    case.formats[0].contents = hl(100);
    case.formats[0].loss = Share(0);
    case.formats[0].overfill = Share(0);
    case.lines[0].loss = Volume::ZERO;
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    case.materials = vec![Material {
        name: "cans".to_owned(),
        uses: vec![(CAN, 24)],
        in_stock: 240,
        lead: Some(2),
        price_per_1000: Money(120_000),
        ..Material::default()
    }];
    case
}

/// Ten cases on Tuesday, 2.5 on Wednesday, so many on Friday.
fn plan(friday: i64) -> Plan {
    let pack = |plan: PlanBuilder, day: usize, volume: i64| plan.package(day, CANS, CAN, B1, hl(volume));
    pack(pack(pack(PlanBuilder::new(), 1, 1_000), 2, 250), 4, friday).plan()
}

/// What is ordered of the one material, and the price in the objective.
fn order(case: &Case, plan: &Plan) -> (Vec<ToOrder>, Money) {
    let report = check(case, plan);
    assert_eq!(report.violations, []);
    (report.usage.to_order, report.breakdown.materials)
}

fn to_order(needed: i64, pieces: i64, cost: i64) -> (Vec<ToOrder>, Money) {
    let (material, cost) = (MaterialId(0), Money(cost));
    (vec![ToOrder { material, by: Some(needed - 2), needed, pieces, packs: None, cost }], cost)
}

#[test]
fn a_delivery_later_on_makes_the_shortage_before_it_no_smaller() {
    let mut case = case();
    // 300 cans by Wednesday, 420 by Friday.
    assert_eq!(order(&case, &plan(500)), to_order(2, 180, 21_600));
    // A thousand more come on Thursday: 60 are short on Wednesday all the same, and are ordered and paid.
    case.materials[0].deliveries = vec![(3, 1_000)];
    assert_eq!(order(&case, &plan(500)), to_order(2, 60, 7_200));
    // A hundred more: 80 are short on Friday.
    case.materials[0].deliveries = vec![(3, 100)];
    assert_eq!(order(&case, &plan(500)), to_order(2, 80, 9_600));
    // In time for Wednesday they are enough.
    case.materials[0].deliveries = vec![(2, 180)];
    assert_eq!(order(&case, &plan(500)), (Vec::new(), Money::ZERO));
}

#[test]
fn rounding_of_volumes_is_not_bought() {
    let mut case = case();
    // 20 mL of each of the two runs by then: 0.0096 pieces, here and no more.
    case.materials[0].in_stock = 300;
    let drawn = |more: i64| {
        let plan = PlanBuilder::new().package(1, CANS, CAN, B1, hl(1_000));
        plan.package(2, CANS, CAN, B1, hl(250) + Volume(more)).plan()
    };
    assert_eq!(order(&case, &drawn(40)), (Vec::new(), Money::ZERO));
    assert_eq!(order(&case, &drawn(42)), to_order(2, 1, 1));
}

#[test]
fn a_period_of_the_look_ahead_uses_what_is_delivered_in_it() {
    let mut case = case();
    case.calendar.look_ahead_days = 7;
    let mut plan = plan(250);
    plan.outlook.periods = vec![Period { first_day: 7, last_day: 13 }];
    plan.outlook.packaging =
        vec![OutlookPackaging { period: 0, beer: PALE, format: CAN, drawn: hl(600), packaged: hl(600) }];
    // 60 are short on Wednesday, none on Friday; of the 144 of the second week 40 are delivered on its last day.
    case.materials[0].deliveries = vec![(3, 120), (13, 40)];
    assert_eq!(check(&case, &plan).usage.to_order, to_order(2, 104, 12_480).0);
    case.materials[0].deliveries = vec![(3, 120), (13, 100)];
    assert_eq!(check(&case, &plan).usage.to_order, to_order(2, 60, 7_200).0);
    // Stock lasts until then: needed on Monday, the first packaging day.
    case.materials[0].in_stock = 360;
    case.materials[0].deliveries = vec![(14, 200)];
    assert_eq!(check(&case, &plan).usage.to_order, to_order(7, 144, 17_280).0);
}

#[test]
fn what_is_bought_comes_in_whole_packs_and_in_no_smaller_order() {
    let mut case = case();
    let packs = |needed: i64, packs: i64, pieces: i64, cost: i64| {
        let (mut orders, cost) = to_order(needed, pieces, cost);
        orders[0].packs = Some(packs);
        (orders, cost)
    };
    // 180 are short.
    case.materials[0].pack = Some(50);
    assert_eq!(order(&case, &plan(500)), packs(2, 4, 200, 24_000));
    case.materials[0].pack = Some(60);
    assert_eq!(order(&case, &plan(500)), packs(2, 3, 180, 21_600));
    case.materials[0].least_order = 181;
    assert_eq!(order(&case, &plan(500)), packs(2, 4, 240, 28_800));
    case.materials[0].pack = None;
    assert_eq!(order(&case, &plan(500)), to_order(2, 181, 21_720));
    case.materials[0].least_order = 100;
    assert_eq!(order(&case, &plan(500)), to_order(2, 180, 21_600));
    // Nothing is short: nothing is ordered, however large an order would be.
    case.materials[0].in_stock = 420;
    assert_eq!(order(&case, &plan(500)), (Vec::new(), Money::ZERO));
    // A little more than three packs is four, but for what is rounding: 20 mL of each run are 0.0048 cans.
    (case.materials[0].in_stock, case.materials[0].pack) = (240, Some(60));
    let more = |volume: i64| {
        let plan = PlanBuilder::new().package(1, CANS, CAN, B1, hl(1_000));
        plan.package(2, CANS, CAN, B1, hl(750) + Volume(volume)).plan()
    };
    assert_eq!(order(&case, &more(40)), packs(2, 3, 180, 21_600));
    assert_eq!(order(&case, &more(42)), packs(2, 4, 240, 28_800));
}
