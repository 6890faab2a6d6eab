//! Plans whose objective is worked out by hand.

use cellarwright_checker::check;
use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;
use cellarwright_model::ids::CrewId;
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::Plan;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, F2, PlanBuilder, hl, hours, in_bright, in_tank, order, stock, tiny,
};
use cellarwright_model::units::{Minutes, Money, Share, Volume};

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

/// The breakdown of a plan that keeps every rule.
fn breakdown(case: &Case, plan: &Plan) -> Breakdown {
    let report = check(case, plan);
    assert_eq!(report.violations, []);
    report.breakdown
}

#[test]
fn one_turn_by_the_bright_tank() {
    // 20 hL of wort, 5 % tank loss: 19 hL moved on Wednesday, 1 % lost: 18.81 hL packaged on Thursday,
    // less 0.5 hL and 2 %: 17.9438 hL. Line time 60 + 30 + 18.81 / 8 h = 231.075 min, two people.
    // Labour 30.00 an hour: brew 4 h, transfer + clean + carbonate 2.5 h, clean F1 1 h, line 7.7025 h.
    let plan = plan().by_bright_tank(2).plan();
    let expected = Breakdown {
        labour: Money(12_000 + 7_500 + 3_000 + 23_108),
        cleaning: Money(1_500 + 1_500),
        transfers: Money(2_000),
        gas: Money(2_822),
        surplus: Money(107_663),
        packaged_planned: Volume(1_794_380),
        ..Breakdown::default()
    };
    assert_eq!(breakdown(&tiny(7), &plan), expected);

    let usage = check(&tiny(7), &plan).usage;
    assert_eq!(usage.line_times, [(CANS, Slot(3), Minutes(232))]);
    assert_eq!(usage.packaged, [(3, Volume(1_794_380))]);
    assert_eq!(usage.stays.len(), 2);
    assert_eq!((usage.stays[0].ready, usage.stays[0].until), (Some(2), Some(Slot(2))));
    assert_eq!((usage.stays[1].volume, usage.stays[1].left), (hl(1_881), Volume(0)));
}

#[test]
fn one_turn_direct_and_the_vessel_left_dirty() {
    // 19 hL less 2 %: 18.62 hL drawn on Thursday; (18.62 - 0.5) x 0.98 = 17.7576 hL. Line 229.65 min, two people: 7.655 h.
    // Dirty since Thursday: Friday is free, Saturday and Sunday are no working days, Monday and Tuesday cost 10.00 each.
    let plan = plan().brew(0, F1, 1).carbonate(2, F1).package(3, CANS, CAN, F1, hl(1_862)).plan();
    let expected = Breakdown {
        labour: Money(12_000 + 1_500 + 22_965),
        gas: Money(2_793),
        surplus: Money(106_546),
        dirty: Money(2_000),
        packaged_planned: Volume(1_775_760),
        ..Breakdown::default()
    };
    assert_eq!(breakdown(&tiny(9), &plan), expected);
}

#[test]
fn beer_in_tank_at_the_end() {
    // The worse route is direct: 17.7576 hL to be expected, worth 0.6 x 100.00 - 20.00 = 40.00 each once ready.
    // Brewed on Friday with two days of stay: after five days one day of none, half the stay is not yet behind it.
    let cost = |sanitise: i64| Breakdown {
        labour: Money(12_000 + sanitise * 1_500),
        cleaning: Money(sanitise * 600),
        ..Breakdown::default()
    };
    let plan = plan().sanitise(4, F1).brew(4, F1, 1).plan();
    let half = Breakdown { in_tank: Money(35_515), ..cost(1) };
    assert_eq!(breakdown(&tiny(5), &plan), half);
    let whole = Breakdown { in_tank: Money(71_030), ..cost(1) };
    assert_eq!(breakdown(&tiny(7), &plan), whole);

    // Expected sales of 2.5 hL a week, four weeks: 10 of 17.7576 hL count.
    let mut case = tiny(7);
    case.beers[0].sales = Some(hl(250));
    let capped = Breakdown { in_tank: Money(40_000), ..cost(1) };
    assert_eq!(breakdown(&case, &plan), capped);
}

#[test]
fn beer_of_day_0_over_its_hard_end() {
    // 19 hL ready two days before day 0, free until day 1, there until day 7: 6 days at 1.00 per hL.
    // Hard end on day -2: 9 days at 50.00 per hL; worth nothing any more.
    let mut case = tiny(7);
    case.in_tank = vec![in_tank(F1, hl(2_000), 10, -2)];
    let stays = Breakdown { waiting: Money(11_400), last_resort: Money(855_000), ..Breakdown::default() };
    assert_eq!(breakdown(&case, &Plan::default()), stays);

    // Dumped on Monday: two days over, and 500.00 per hL. Then dirty: Tuesday is free, Wednesday to Sunday are five days.
    let dumped =
        Breakdown { last_resort: Money(190_000 + 950_000), dirty: Money(5_000), ..Breakdown::default() };
    assert_eq!(breakdown(&case, &plan().dump(0, F1).plan()), dumped);
}

#[test]
fn orders_stock_and_surplus() {
    // 20 hL in the bright tank, packaged on Monday: (20 - 0.5) x 0.98 = 19.11 hL, there from Tuesday; 1 hL in stock.
    // Firm order of 10 hL on Tuesday in full, firm order of 15 hL on Wednesday short by 4.89 hL at five times 100.00.
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    case.stock = vec![stock(hl(100))];
    case.orders = vec![order(hl(1_000), 1, true), order(hl(1_500), 2, true), order(hl(9_900), 9, true)];
    let plan =
        plan().package(0, CANS, CAN, B1, hl(2_000)).deliver(0, 1, hl(1_000)).deliver(1, 2, hl(1_011)).plan();
    let expected = Breakdown {
        delivered: Money(201_100),
        missed: Money(244_500),
        labour: Money(24_000),
        packaged_planned: Volume(1_911_000),
        ..Breakdown::default()
    };
    assert_eq!(breakdown(&case, &plan), expected);
}

#[test]
fn a_short_run_with_overtime() {
    // 3 hL drawn where 5 hL is the least: 2 hL at 10.00. (3 - 0.5) x 0.98 = 2.45 hL. Line 112.5 min, two people: 3.75 h.
    // Two packers stay an hour longer at 40.00 each. 17 hL are left in the bright tank, transferred the day before day 0:
    // six days there beyond two free, at 1.00 for each of the 20 hL; hard end on day 4, three days over at 50.00.
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    let plan = plan().package(0, CANS, CAN, B1, hl(300)).overtime(0, CrewId(1), hours(1)).plan();
    let expected = Breakdown {
        labour: Money(11_250),
        overtime: Money(8_000),
        short_runs: Money(2_000),
        surplus: Money(14_700),
        waiting: Money(12_000),
        last_resort: Money(300_000),
        packaged_planned: Volume(245_000),
        ..Breakdown::default()
    };
    assert_eq!(breakdown(&case, &plan), expected);
}

#[test]
fn eighty_hectolitres_through_one_bright_tank_of_forty() {
    // Common practice: 6 % tank loss leaves 75.2 hL; 37.6 hL moved on Monday, 1.5 % lost, 37.036 hL packaged on Tuesday,
    // the rest moved on Wednesday and packaged on Thursday; the line makes 40 hL in a shift of 8 h.
    let mut case = tiny(5);
    case.vessels[0].holds = hl(8_000);
    case.beers[0].loss_tank = Share(60_000);
    case.transfer.loss_share = Share(15_000);
    case.lines[0].speed.0 = 625_000;
    case.lines[0].start_up = Minutes(0);
    case.lines[0].clean_down = Minutes(0);
    case.lines[0].loss = Volume(0);
    case.formats[0].loss = Share(0);
    case.in_tank = vec![in_tank(F1, hl(8_000), 2, 0)];
    let arrived = Volume(3_703_600);
    let plan = plan()
        .transfer(0, F1, B1, hl(3_760))
        .package(1, CANS, CAN, B1, arrived)
        .transfer(2, F1, B1, hl(3_760))
        .package(3, CANS, CAN, B1, arrived)
        .plan();
    assert_eq!(breakdown(&case, &plan).packaged_planned, Volume(7_407_200));
    let usage = check(&case, &plan).usage;
    // 37.036 hL at 5 hL an hour: 444.432 min.
    assert_eq!(usage.line_times, [(CANS, Slot(1), Minutes(445)), (CANS, Slot(3), Minutes(445))]);
}

#[test]
fn a_second_fermenter_stays_clean_without_cost() {
    let quiet = breakdown(&tiny(14), &Plan::default());
    assert_eq!(quiet, Breakdown::default());
    let mut case = tiny(14);
    case.dirty = vec![F2];
    // Dirty since the day before Monday: Monday is free, Tuesday to the Sunday after next are 13 days.
    assert_eq!(breakdown(&case, &Plan::default()).dirty, Money(13_000));
}
