//! Who is there: several shifts, days off, absences, breaks, and overtime by the week. One tank of 40 hL takes the line of the
//! tiny brewery 1.5 h and 37.62 hL / 8 hL an hour, 6.2025 h in all, with two people.

#![allow(clippy::expect_used, reason = "a test may fail loudly")]

use cellarwright_checker::check;
use cellarwright_model::calendar::{DateRange, Role, Shift, Slot, Weekdays};
use cellarwright_model::case::{Absence, Case, FurtherShift, OvertimeLimit};
use cellarwright_model::ids::CrewId;
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, PlanBuilder, hl, hours, in_bright, tiny};
use cellarwright_model::units::{Minutes, Money};

const PACKERS: CrewId = CrewId(1);

fn found(case: &Case, plan: &Plan) -> Vec<(RuleId, &'static str)> {
    let violations = check(case, plan).violations;
    violations.into_iter().map(|violation| (violation.rule, violation.what)).collect()
}

/// A full bright tank, filled before day 0.
fn full_tank(days: usize) -> Case {
    let mut case = tiny(days);
    case.in_tank = vec![in_bright(B1, hl(3_762), 1)];
    case.crews[1].overtime = None;
    case
}

fn packaged(slot: usize) -> Plan {
    PlanBuilder::new().package(slot, CANS, CAN, B1, hl(3_762)).plan()
}

fn on(date: &str) -> DateRange {
    let date = date.parse().expect("a date");
    DateRange { first: date, last: date }
}

const NOBODY: (RuleId, &str) = (RuleId::Calendar, "packaging");

#[test]
fn nobody_comes_on_a_day_off() {
    let mut case = full_tank(5);
    case.crews[1].off = vec![DateRange { last: on("2026-12-08").last, ..on("2026-12-07") }];
    assert_eq!(found(&case, &packaged(0)), [NOBODY]);
    assert_eq!(found(&case, &packaged(1)), [NOBODY]);
    assert_eq!(found(&case, &packaged(2)), []);
}

#[test]
fn a_line_for_two_does_not_run_where_one_is_absent() {
    let mut case = full_tank(5);
    case.crews[1].absent = vec![Absence { on: on("2026-12-08"), shift: 0, people: 1 }];
    assert_eq!(found(&case, &packaged(0)), []);
    assert!(found(&case, &packaged(1)).contains(&(RuleId::Crew, "heads")));
    case.crews[1].people = 3;
    assert_eq!(found(&case, &packaged(1)), []);
    case.crews[1].absent[0].people = 3;
    assert_eq!(found(&case, &packaged(1)), [NOBODY]);
}

#[test]
fn a_break_is_not_worked() {
    let mut case = full_tank(5);
    // 8 h less 1 h 48 min are 6.2 h: nine seconds too few, within the tolerance of a minute; two minutes less are not.
    case.crews[1].pause = Minutes(108);
    assert_eq!(found(&case, &packaged(0)), []);
    case.crews[1].pause = Minutes(110);
    assert!(found(&case, &packaged(0)).iter().all(|&(rule, _)| rule == RuleId::Crew));
    assert!(!found(&case, &packaged(0)).is_empty());
}

/// An early and a late shift; slot 2 x day is early, slot 2 x day + 1 late.
fn two_shifts() -> Case {
    let mut case = full_tank(5);
    case.calendar.shifts = vec![
        Shift { name: "early".into(), starts: hours(6), hours: hours(8) },
        Shift { name: "late".into(), starts: hours(14), hours: hours(8) },
    ];
    case.crews[1].further_shifts = vec![FurtherShift { shift: 1, people: 1 }];
    case
}

#[test]
fn each_shift_of_a_crew_has_its_own_people() {
    let mut case = two_shifts();
    assert_eq!(found(&case, &packaged(2)), []);
    assert!(found(&case, &packaged(3)).contains(&(RuleId::Crew, "heads")));
    case.crews[1].further_shifts[0].people = 2;
    assert_eq!(found(&case, &packaged(3)), []);
    // Absent early, not late.
    case.crews[1].absent = vec![Absence { on: on("2026-12-08"), shift: 0, people: 2 }];
    assert_eq!(found(&case, &packaged(3)), []);
    assert_eq!(found(&case, &packaged(2)), [NOBODY]);
}

#[test]
fn a_night_belongs_to_the_evening_on_which_it_starts() {
    let mut case = two_shifts();
    case.calendar.shifts[1] = Shift { name: "night".into(), starts: hours(22), hours: hours(8) };
    case.calendar.work[Role::Package as usize] = Weekdays::ALL;
    case.crews[1].further_shifts[0].people = 2;
    case.crews[1].days = Weekdays::ALL;
    case.crews[1].off = vec![on("2026-12-08")];
    // The night of Monday runs into Tuesday and is worked; the night of Tuesday is not.
    assert_eq!(found(&case, &packaged(1)), []);
    assert_eq!(found(&case, &packaged(3)), [NOBODY]);
    assert_eq!(case.calendar.start(Slot(1)), Minutes(22 * 60));
}

#[test]
fn overtime_of_a_week_is_limited_and_the_next_week_is_another() {
    let mut case = full_tank(14);
    case.crews[1].overtime =
        Some(OvertimeLimit { at_most: hours(2), a_week: Some(hours(3)), cost: Money(4_000) });
    let two = PlanBuilder::new().overtime(0, PACKERS, hours(2)).overtime(4, PACKERS, hours(1));
    assert_eq!(found(&case, &two.clone().plan()), []);
    let over = two.clone().overtime(3, PACKERS, Minutes(1)).plan();
    assert_eq!(found(&case, &over), [(RuleId::Crew, "overtime of the week")]);
    assert_eq!(found(&case, &two.overtime(7, PACKERS, hours(2)).plan()), []);
}

#[test]
fn overtime_of_the_early_shift_leaves_the_late_one_its_own() {
    let mut case = two_shifts();
    case.crews[1].overtime =
        Some(OvertimeLimit { at_most: hours(2), a_week: Some(hours(2)), cost: Money(4_000) });
    let both = PlanBuilder::new().overtime(0, PACKERS, hours(2)).overtime(1, PACKERS, hours(2)).plan();
    assert_eq!(found(&case, &both), []);
    // Two people early, one late: 3 x 2 h at 40.00.
    assert_eq!(check(&case, &both).breakdown.overtime, Money(3 * 2 * 4_000));
    let again = PlanBuilder::new().overtime(0, PACKERS, hours(2)).overtime(2, PACKERS, hours(1)).plan();
    assert_eq!(found(&case, &again), [(RuleId::Crew, "overtime of the week")]);
}
