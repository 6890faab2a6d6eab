//! Readings about time, each on both sides of its limit.

use cellarwright_checker::check;
use cellarwright_model::calendar::{Role, Shift, Slot};
use cellarwright_model::case::{Case, ChangePair, FormatPair, Packaged, Split, Turnaround, Uses};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, F2, PALE, PlanBuilder, beer, bright, crew, fermenter, hl, hours, in_bright, in_tank,
    tiny,
};
use cellarwright_model::units::Minutes;

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

/// The codes of the rules that a plan breaks, each once.
fn broken(case: &Case, plan: &Plan) -> Vec<RuleId> {
    let violations = check(case, plan).violations;
    let mut rules: Vec<RuleId> = violations.iter().map(|violation| violation.rule).collect();
    rules.dedup();
    rules
}

#[test]
fn cellar_in_the_late_shift_and_packers_in_the_early_one_fill_a_tank_every_day() {
    // Common practice: filled at 14:00, clean 2 h, transfer 2 h and carbonating 6 h end at midnight.
    let mut case = tiny(5);
    case.calendar.shifts = vec![
        Shift { name: "early".to_owned(), starts: hours(6), hours: hours(8) },
        Shift { name: "late".to_owned(), starts: hours(14), hours: hours(8) },
    ];
    case.crews[0].shift = 1;
    case.vessels.push(fermenter("F3"));
    let f3 = VesselId(3);
    case.in_tank =
        vec![in_tank(F1, hl(2_000), 3, 0), in_tank(F2, hl(2_000), 3, 0), in_tank(f3, hl(2_000), 3, 0)];
    let every_day = |plan: PlanBuilder| {
        [F1, F2, f3].into_iter().enumerate().fold(plan, |plan, (day, vessel)| {
            let filled = plan.transfer(2 * day + 1, vessel, B1, hl(1_900));
            filled.package(2 * day + 2, CANS, CAN, B1, hl(1_881))
        })
    };
    assert_eq!(broken(&case, &every_day(plan()).plan()), []);
    assert_eq!(check(&case, &every_day(plan()).plan()).breakdown.packaged_planned.0, 3 * 1_794_380);
    case.carbonate.takes = hours(13);
    assert_eq!(broken(&case, &every_day(plan()).plan()), [RuleId::BrightRest]);
    case.carbonate.takes = hours(12);
    assert_eq!(broken(&case, &every_day(plan()).plan()), []);
}

#[test]
fn a_bright_tank_is_refilled_in_the_same_shift_where_the_hours_fit() {
    // Packaging a full tank, clean 2 h and transfer 2 h within 8 h: 32 hL at 8 hL an hour fit, 40 hL do not.
    let mut case = tiny(3);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0), in_bright(B1, hl(2_000), 1)];
    let packaged_first = || plan().package(0, CANS, CAN, B1, hl(2_000)).transfer(0, F1, B1, hl(1_900)).plan();
    case.vessels[2].refill = Turnaround::SameShift;
    assert_eq!(broken(&case, &packaged_first()), [RuleId::BrightRest]);
    case.vessels[2].holds = hl(3_200);
    assert_eq!(broken(&case, &packaged_first()), []);
    case.vessels[2].refill = Turnaround::NextShift;
    assert_eq!(broken(&case, &packaged_first()), [RuleId::BrightRest]);
    // In the order of the list the tank would be filled while it is full.
    case.vessels[2].refill = Turnaround::SameShift;
    let filled_first = plan().transfer(0, F1, B1, hl(1_900)).package(0, CANS, CAN, B1, hl(2_000)).plan();
    assert_eq!(broken(&case, &filled_first), [RuleId::OneBatch]);
}

#[test]
fn a_fermenter_is_emptied_cleaned_and_filled_in_one_shift_where_the_hours_fit() {
    let mut case = tiny(3);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    let all_at_once = plan().transfer(0, F1, B1, hl(1_900)).clean(0, F1).brew(0, F1, 1).plan();
    assert_eq!(broken(&case, &all_at_once), []);
    // Transfer 2 h, clean 2 h, knock-out 4 h: just the shift; a minute more is too much.
    case.brewhouse.next_turn.takes = hours(4);
    assert_eq!(broken(&case, &all_at_once), []);
    case.brewhouse.next_turn.takes = hours(4) + Minutes(1);
    assert_eq!(broken(&case, &all_at_once), [RuleId::Clean]);
    // Emptied by packaging: cleaned in a later shift.
    case.in_tank[0].carbonated = true;
    let packaged = |day: usize| plan().package(0, CANS, CAN, F1, hl(1_862)).clean(day, F1).plan();
    assert_eq!(broken(&case, &packaged(0)), [RuleId::Clean]);
    assert_eq!(broken(&case, &packaged(1)), []);
}

#[test]
fn clean_for_a_day_then_sanitised() {
    let case = tiny(4);
    assert_eq!(broken(&case, &plan().brew(0, F1, 1).plan()), []);
    assert_eq!(broken(&case, &plan().brew(1, F1, 1).plan()), [RuleId::Clean]);
    assert_eq!(broken(&case, &plan().clean(0, F1).brew(1, F1, 1).plan()), []);
    assert_eq!(broken(&case, &plan().clean(0, F1).brew(2, F1, 1).plan()), [RuleId::Clean]);
    assert_eq!(broken(&case, &plan().clean(0, F1).sanitise(2, F1).brew(2, F1, 1).plan()), []);
    assert_eq!(broken(&case, &plan().clean(0, F1).sanitise(1, F1).brew(2, F1, 1).plan()), [RuleId::Clean]);
    assert_eq!(broken(&case, &plan().brew(0, F1, 1).sanitise(0, F1).plan()), [RuleId::Clean]);
}

#[test]
fn a_second_turn_belongs_to_the_batch_for_a_day() {
    let mut case = tiny(4);
    let two = |second: usize| plan().brew(0, F1, 1).brew(second, F1, 1).plan();
    assert_eq!(broken(&case, &two(1)), []);
    assert_eq!(check(&case, &two(1)).usage.stays[0].ready, Some(3));
    assert_eq!(broken(&case, &two(2)), [RuleId::OneBatch]);
    case.brewhouse.fill_within = hours(48);
    assert_eq!(broken(&case, &two(2)), []);
}

#[test]
fn carbonating_is_one_of_the_last_two_chances_before_packaging() {
    // Brewed on Monday, ready on Wednesday, packaged on Monday: Thursday and Friday are the last two chances.
    let case = tiny(9);
    let direct =
        |day: usize| plan().brew(0, F1, 1).carbonate(day, F1).package(7, CANS, CAN, F1, hl(1_862)).plan();
    assert_eq!(broken(&case, &direct(2)), [RuleId::Direct]);
    assert_eq!(broken(&case, &direct(3)), []);
    assert_eq!(broken(&case, &direct(4)), []);
    assert_eq!(broken(&case, &direct(5)), [RuleId::Calendar]);
}

#[test]
fn carbonated_during_the_last_day_of_chill() {
    let mut case = tiny(5);
    let direct = plan().brew(0, F1, 1).carbonate(1, F1).package(2, CANS, CAN, F1, hl(1_862)).plan();
    assert_eq!(broken(&case, &direct), [RuleId::Ready]);
    case.beers[0].during_chill = true;
    assert_eq!(broken(&case, &direct), []);
}

#[test]
fn wort_is_not_carbonated_in_the_shift_that_brews_it_even_where_the_last_day_of_chill_is_that_day() {
    let mut case = tiny(5);
    case.beers[0].during_chill = true;
    case.beers[0].stay.truncate(1);
    case.beers[0].stay[0].days = 1;
    let direct = |carbonated: usize| {
        plan().brew(0, F1, 1).carbonate(carbonated, F1).package(2, CANS, CAN, F1, hl(1_862)).plan()
    };
    assert_eq!(broken(&case, &direct(0)), [RuleId::Ready]);
    assert_eq!(broken(&case, &direct(1)), []);
}

#[test]
fn stages_end_within_three_working_days() {
    let mut case = tiny(7);
    case.vessels[0].holds = hl(8_000);
    case.vessels.push(bright("B2"));
    let b2 = VesselId(3);
    case.in_tank = vec![in_tank(F1, hl(8_000), 3, 0)];
    let second = |day: usize| plan().transfer(0, F1, B1, hl(3_800)).transfer(day, F1, b2, hl(3_800)).plan();
    case.beers[0].bright_must_leave = 7;
    assert_eq!(broken(&case, &second(3)), []);
    assert_eq!(broken(&case, &second(4)), [RuleId::Stages]);
    case.beers[0].split = Split::Never;
    assert_eq!(broken(&case, &second(3)), [RuleId::Stages]);
    case.beers[0].split = Split::Free;
    let pieces = (0..5).fold(plan(), |plan, day| {
        let filled = plan.transfer(0, F1, VesselId(2 + day), hl(1_520));
        filled.package(1, CANS, CAN, VesselId(2 + day), hl(1_504))
    });
    for number in 3..7 {
        case.vessels.push(bright(&format!("B{number}")));
    }
    case.cleaning_sets = 3;
    case.lines[0].speed.0 = 4_000_000;
    let violations = check(&case, &pieces.plan()).violations;
    assert_eq!(violations.iter().map(|one| one.rule).collect::<Vec<_>>(), [RuleId::Stages]);
    assert_eq!(violations[0].slot, Some(Slot(0)));
}

#[test]
fn a_fermenter_used_as_a_bright_tank_is_cleaned_by_a_task_of_its_own() {
    let mut case = tiny(4);
    case.vessels[1].uses =
        Uses { ferment: true, package: true, bright: true, serve: false, condition: false };
    case.vessels[1].least = hl(1_000);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0)];
    let moved = |plan: PlanBuilder, day: usize| {
        plan.transfer(day, F1, F2, hl(1_900)).package(day + 1, CANS, CAN, F2, hl(1_881)).plan()
    };
    assert_eq!(broken(&case, &moved(plan(), 0)), []);
    assert_eq!(check(&case, &moved(plan(), 0)).breakdown.cleaning.0, 0);
    case.dirty = vec![F2];
    assert_eq!(broken(&case, &moved(plan(), 0)), [RuleId::Clean]);
    assert_eq!(broken(&case, &moved(plan().clean(0, F2), 0)), []);
    assert_eq!(check(&case, &moved(plan().clean(0, F2), 0)).breakdown.cleaning.0, 1_500);
}

#[test]
fn people_with_two_roles_are_counted_once() {
    // Two people of 8 h brew and sanitise: 16 h. Two turns are 7 h, each sanitising 1 h; a helper brings 8 h more.
    let mut case = tiny(1);
    case.sanitise.crew.0[Role::Cellar as usize] = hours(1);
    let busy = |times: usize| (0..times).fold(plan().brew(0, F1, 2), |plan, _| plan.sanitise(0, F2)).plan();
    assert_eq!(broken(&case, &busy(9)), []);
    assert_eq!(broken(&case, &busy(10)), [RuleId::Crew]);
    case.crews.push(crew("helper", 1, &[Role::Cellar]));
    assert_eq!(broken(&case, &busy(10)), []);
    assert_eq!(broken(&case, &busy(17)), []);
    assert_eq!(broken(&case, &busy(18)), [RuleId::Crew]);
}

/// A day with a beer in each of two bright tanks, and the second tank.
fn two_beers_in_bright_tanks() -> (Case, VesselId) {
    let mut case = tiny(1);
    case.vessels.push(bright("B2"));
    case.beers.push(beer("Dark", CAN));
    let second = VesselId(3);
    case.in_tank = vec![in_bright(B1, hl(2_000), 1), in_bright(second, hl(2_000), 1)];
    case.in_tank[1].beer = BeerId(1);
    (case, second)
}

#[test]
fn changes_between_beers_take_what_their_ordered_pair_says() {
    // Start-up 60 min, clean-down 30 min, 10 hL at 8 hL an hour 75 min; usual change 45 min, from the second beer to the first 90 min.
    let (mut case, second) = two_beers_in_bright_tanks();
    case.lines[0].change_pairs = vec![ChangePair { from: BeerId(1), to: PALE, takes: Minutes(90) }];
    let both = |first: VesselId, then: VesselId| {
        plan().package(0, CANS, CAN, first, hl(500)).package(0, CANS, CAN, then, hl(500)).plan()
    };
    let time = |plan: Plan| check(&case, &plan).usage.line_times[0].2;
    assert_eq!(time(both(B1, second)), Minutes(60 + 30 + 75 + 45));
    assert_eq!(time(both(second, B1)), Minutes(60 + 30 + 75 + 90));
}

#[test]
fn changes_between_formats_take_what_their_ordered_pair_says() {
    // Start-up 60 min, clean-down 30 min, 16 hL at 8 hL an hour 120 min, which is the same in every order; by hand:
    // can to keg 5 min, keg to tray 50 min, other changes of format 15 min, of beer 45 min.
    let (keg, tray) = (FormatId(1), FormatId(2));
    let (mut case, second) = two_beers_in_bright_tanks();
    for format in [keg, tray] {
        case.formats.push(case.formats[0].clone());
        for beer in &mut case.beers {
            beer.packaged.push(Packaged { format, ..beer.packaged[0] });
        }
    }
    let pair = |from, to, takes| FormatPair { from, to, takes: Some(Minutes(takes)) };
    case.lines[0].format_pairs = vec![pair(CAN, keg, 5), pair(keg, tray, 50)];
    let changes = |order: [(VesselId, FormatId); 4]| {
        let pack = |plan: PlanBuilder, (from, format)| plan.package(0, CANS, format, from, hl(400));
        let plan = order.into_iter().fold(plan(), pack).plan();
        check(&case, &plan).usage.line_times[0].2 - Minutes(60 + 30 + 120)
    };
    assert_eq!(changes([(B1, CAN), (B1, keg), (B1, tray), (second, tray)]), Minutes(5 + 50 + 45));
    assert_eq!(changes([(B1, tray), (B1, keg), (B1, CAN), (second, tray)]), Minutes(15 + 15 + 45));
    // Two tasks of one format have no change between them; the longer of beer and format counts from beer to beer.
    assert_eq!(changes([(B1, CAN), (B1, CAN), (second, keg), (second, tray)]), Minutes(45 + 50));
    assert_eq!(changes([(B1, CAN), (B1, keg), (second, tray), (second, tray)]), Minutes(5 + 50));
}
