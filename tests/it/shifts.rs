//! Shifts, holidays and overtime: cases worked by hand, and what turns when one thing changes (common practice).

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::{Role, Shift, Slot};
use cellarwright_model::case::{Aim, Case, FurtherShift, OvertimeLimit};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Rate, Share, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, Options, solve, solve_without};
use cellarwright_tests::small::{beer, bright, case, crew, fermenter, hl, hours, in_fermenter, kegs, line};

fn options() -> Options {
    Options { seconds: 60.0, gap: 1e-6, threads: 1, seed: 0 }
}

fn best(made: &Case) -> Answer {
    solve(made, &options(), &NoObserver).expect("it solves")
}

fn of_repository(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name).join("brewplan.yaml");
    read_case(&path).case.expect("a case")
}

fn packaged(answer: &Answer) -> Volume {
    answer.report.breakdown.packaged_planned
}

#[test]
fn beer_is_moved_before_easter() {
    let made = of_repository("easter-week");
    let answer = best(&made);
    assert_eq!(packaged(&answer), hl(80));
    assert_eq!(answer.report.breakdown.last_resort, Money::ZERO);
    let moved: Vec<(usize, VesselId)> = answer
        .plan
        .tasks
        .iter()
        .filter_map(|task| match task.work {
            Work::Transfer { from, .. } => Some((task.slot.0, from)),
            _ => None,
        })
        .collect();
    // Monday, Wednesday, and Tuesday after Easter, day 8; either of the first two batches may go first.
    assert_eq!(moved.iter().map(|&(slot, _)| slot).collect::<Vec<_>>(), [0, 2, 8]);
    let mut first: Vec<VesselId> = moved[..2].iter().map(|&(_, from)| from).collect();
    first.sort_unstable();
    assert_eq!(first, [VesselId(0), VesselId(1)]);
    assert_eq!(moved[2].1, VesselId(2));
    let mut open = made;
    open.calendar.closed.clear();
    assert_eq!(packaged(&best(&open)), hl(120));
}

#[test]
fn the_week_limits_overtime() {
    let made = of_repository("long-shifts");
    let answer = best(&made);
    assert_eq!(packaged(&answer), hl(224));
    assert_eq!(answer.plan.overtime.iter().map(|overtime| overtime.time.0).sum::<i64>(), 180);
    let limit = made.crews[1].overtime.expect("a limit");
    let mut free = made.clone();
    free.crews[1].overtime = Some(OvertimeLimit { a_week: None, ..limit });
    assert_eq!(packaged(&best(&free)), hl(240));
    // A limit that cannot bind leaves no trace in the program.
    let mut wide = made;
    wide.crews[1].overtime = Some(OvertimeLimit { a_week: Some(hours(10)), ..limit });
    assert_eq!(best(&wide).size, best(&free).size);
}

#[test]
fn without_the_rule_the_week_has_too_much_overtime() {
    let made = of_repository("long-shifts");
    let mut careless = made.clone();
    let limit = made.crews[1].overtime.expect("a limit");
    careless.crews[1].overtime = Some(OvertimeLimit { a_week: None, ..limit });
    let plan = best(&careless).plan;
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|violation| violation.what == "overtime of the week"), "{found:?}");
    // And without any rule of crews the holidays' absent people are not missed.
    let mut short = made;
    let week = cellarwright_model::calendar::DateRange {
        first: short.calendar.date(0),
        last: short.calendar.date(6),
    };
    short.crews[1].absent = vec![cellarwright_model::case::Absence { on: week, shift: 0, people: 1 }];
    assert_eq!(packaged(&best(&short)), Volume::ZERO);
    short.crews[1].people = 3;
    let plan = solve_without(&short, RuleId::Crew, &options()).expect("it solves");
    let found = check(&short, &plan).violations;
    assert!(found.iter().any(|violation| violation.rule == RuleId::Crew), "{found:?}");
}

#[test]
fn one_person_on_sunday_saves_the_order() {
    let made = of_repository("weekend-check");
    let answer = best(&made);
    assert_eq!(answer.objective, 200_000);
    let dry_hop = answer.plan.tasks.iter().find(|task| matches!(task.work, Work::Tank { work: 0, .. }));
    assert_eq!(dry_hop.map(|task| task.slot), Some(Slot(6)));
    let mut nobody = made.clone();
    nobody.crews.retain(|crew| !crew.check_only);
    assert_eq!(best(&nobody).objective, 100_000);
    let found = check(&nobody, &answer.plan).violations;
    assert!(found.iter().any(|violation| violation.rule == RuleId::Calendar), "{found:?}");
    // Not by somebody who has less time than it takes, nor where two are needed.
    let mut short = made.clone();
    short.crews[1].hours.0 = 30;
    assert_eq!(best(&short).objective, 100_000);
    let found = check(&short, &answer.plan).violations;
    assert!(found.iter().any(|violation| violation.rule == RuleId::Crew), "{found:?}");
    let mut together = made.clone();
    together.beers[0].tank_work[0].alone = false;
    assert_eq!(best(&together).objective, 100_000);
    // By the clock as well.
    let mut by_clock = made;
    by_clock.clock_times = true;
    assert_eq!(best(&by_clock).objective, 200_000);
}

#[test]
fn those_who_only_check_do_nothing_else() {
    let mut made = of_repository("weekend-check");
    made.crews[1].days = cellarwright_model::calendar::Weekdays::ALL;
    made.crews[1].people = 5;
    made.crews[0].people = 1;
    made.crews[0].hours.0 = 60;
    let answer = best(&made);
    // The brewers stay an hour, and five hours of brewing are not for those who check.
    assert!(answer.plan.tasks.is_empty(), "{:?}", answer.plan.tasks);
}

/// Ready batches in plenty, one bright tank, a line that does a tank in one shift, packers and cellar hands in given shifts.
fn by_shifts(shifts: &[(&str, i64)], packers: &[usize], cellar: &[usize]) -> Case {
    let mut made = case(5);
    made.aim = Aim::Output(None);
    made.calendar.shifts = shifts
        .iter()
        .map(|&(name, starts)| Shift { name: name.into(), starts: hours(starts), hours: hours(8) })
        .collect();
    made.transfer.loss_fixed = Volume::ZERO;
    made.transfer.loss_share = Share(0);
    made.carbonate.takes = hours(4);
    let mut one = beer("beer", &[0]);
    one.direct = false;
    one.loss_tank = Share(0);
    one.must_leave = 100;
    made.beers.push(one);
    let mut tank_a_shift = line("line");
    tank_a_shift.loss = Volume::ZERO;
    tank_a_shift.speed = Rate(571_429);
    made.lines.push(tank_a_shift);
    made.formats.push(kegs(0));
    for number in 0..8 {
        made.vessels.push(fermenter(&format!("F{number}"), hl(40)));
        made.in_tank.push(in_fermenter(number, 0, hl(40), -4, 0));
    }
    made.vessels.push(bright("B", hl(40)));
    let in_shifts = |name: &str, role: Role, shifts: &[usize]| {
        let mut made = crew(name, 4, &[role]);
        made.shift = shifts[0];
        made.further_shifts = shifts[1..].iter().map(|&shift| FurtherShift { shift, people: 4 }).collect();
        made
    };
    made.crews =
        vec![in_shifts("packers", Role::Package, packers), in_shifts("cellar", Role::Cellar, cellar)];
    made
}

/// Slots in which the tank is filled and packaged from.
fn rhythm(answer: &Answer) -> (Vec<usize>, Vec<usize>) {
    let slots = |wanted: fn(&Work) -> bool| {
        let tasks = answer.plan.tasks.iter().filter(|task| wanted(&task.work));
        tasks.map(|task| task.slot).map(|Slot(slot)| slot).collect::<Vec<_>>()
    };
    (slots(|work| matches!(work, Work::Transfer { .. })), slots(|work| matches!(work, Work::Package { .. })))
}

const EARLY: (&str, i64) = ("early", 6);
const LATE: (&str, i64) = ("late", 14);
const NIGHT: (&str, i64) = ("night", 22);

#[test]
fn with_one_shift_a_bright_tank_works_on_alternate_days() {
    // Filled and packaged in turn on five days: twice.
    let answer = best(&by_shifts(&[EARLY], &[0], &[0]));
    assert_eq!(packaged(&answer), hl(80));
    let (_, drawn) = rhythm(&answer);
    assert!(drawn[1] - drawn[0] >= 2, "{drawn:?}");
}

#[test]
fn with_two_shifts_it_works_every_day() {
    let shifts = [EARLY, LATE];
    let answer = best(&by_shifts(&shifts, &[0], &[1]));
    assert_eq!(packaged(&answer), hl(160));
    assert_eq!(rhythm(&answer).1, [2, 4, 6, 8]);
    // Cleaning 2 h, transfer 2 h, carbonating 4 h: filled early, packaged late, five times.
    let answer = best(&by_shifts(&shifts, &[1], &[0]));
    assert_eq!(packaged(&answer), hl(200));
    assert_eq!(rhythm(&answer), (vec![0, 2, 4, 6, 8], vec![1, 3, 5, 7, 9]));
    // One more minute of carbonating, and it is packaged in the late shift of the day after.
    let mut longer = by_shifts(&shifts, &[1], &[0]);
    longer.carbonate.takes.0 += 1;
    assert_eq!(packaged(&best(&longer)), hl(80));
}

#[test]
fn with_three_shifts_it_turns_round_in_two() {
    // Filled and packaged in turn through fifteen shifts: seven times; the packers' night runs over midnight.
    let all = [0, 1, 2];
    let answer = best(&by_shifts(&[EARLY, LATE, NIGHT], &all, &all));
    assert_eq!(packaged(&answer), hl(280));
    let (filled, drawn) = rhythm(&answer);
    assert!(filled.iter().zip(&drawn).all(|(fill, draw)| fill < draw), "{filled:?} {drawn:?}");
}

#[test]
fn a_night_cellar_fills_for_the_early_packers_of_the_next_day() {
    // 22:00 and eight hours are 06:00: filled in the night, packaged from six on the next day.
    let shifts = [EARLY, NIGHT];
    let answer = best(&by_shifts(&shifts, &[0], &[1]));
    assert_eq!(packaged(&answer), hl(160));
    assert_eq!(rhythm(&answer).1, [2, 4, 6, 8]);
    let mut longer = by_shifts(&shifts, &[0], &[1]);
    longer.carbonate.takes.0 += 1;
    assert_eq!(packaged(&best(&longer)), hl(80), "a minute late, and the packers have begun");
}
