//! Situations worked by hand that every brewer knows (common practice, no source).

use cellarwright_model::calendar::{Role, Shift, Slot, Weekdays};
use cellarwright_model::carbonation::equilibrium;
use cellarwright_model::case::{Aim, Case, InTank, OvertimeLimit};
use cellarwright_model::ids::{LineId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Carbonation, Pressure, Rate, Share, Temperature, Volume};
use cellarwright_solver::{Answer, NoObserver, Options, solve};
use cellarwright_tests::small::{
    beer, bright, case, crew, fermenter, hl, hours, in_bright, in_fermenter, kegs, line, money, percent,
    unitank,
};

fn best(made: &Case) -> Answer {
    let options = Options { seconds: 120.0, gap: 1e-4, threads: 1, seed: 0 };
    solve(made, &options, &NoObserver).expect("it solves")
}

fn packaged(answer: &Answer) -> Volume {
    answer.report.breakdown.packaged_planned
}

/// Opening beer in a vessel, ready on day 0.
fn ready_beer(vessel: usize, beer: usize, filled: Volume, is_bright: bool) -> InTank {
    if is_bright { in_bright(vessel, beer, filled, -4) } else { in_fermenter(vessel, beer, filled, -4, 0) }
}

/// Ready batches of 40 hL in plenty, bright route only, a line that does 40 hL a day, no losses, Monday to Friday.
fn plenty(days: usize, brights: usize) -> Case {
    let mut made = case(days);
    made.aim = Aim::Output(None);
    made.calendar.work = [Weekdays::MONDAY_TO_FRIDAY; 3];
    made.transfer.loss_fixed = Volume::ZERO;
    made.transfer.loss_share = Share(0);
    let mut one = beer("beer", &[0]);
    one.direct = false;
    one.loss_tank = Share(0);
    one.must_leave = 100;
    made.beers.push(one);
    let mut forty_a_day = line("line");
    forty_a_day.loss = Volume::ZERO;
    // 40 hL in the 7 h between start-up and clean-down, rounded up to the millilitre.
    forty_a_day.speed = Rate(571_429);
    made.lines.push(forty_a_day);
    made.formats.push(kegs(0));
    let batches = 5 * days.div_ceil(7);
    for number in 0..batches {
        made.vessels.push(fermenter(&format!("F{number}"), hl(40)));
        made.in_tank.push(ready_beer(number, 0, hl(40), false));
    }
    for number in 0..brights {
        made.vessels.push(bright(&format!("B{number}"), hl(40)));
    }
    made
}

fn tanks_packaged(made: &Case) -> i64 {
    let answer = best(made);
    assert!(answer.bound - answer.objective < 100 * hl(40).0, "proven to less than a tank");
    let volume = packaged(&answer).0;
    assert_eq!(volume % hl(40).0, 0, "whole tanks");
    volume / hl(40).0
}

#[test]
fn one_bright_tank_packages_every_second_day() {
    assert_eq!(tanks_packaged(&plenty(7, 1)), 2);
    assert_eq!(tanks_packaged(&plenty(14, 1)), 5);
    assert_eq!(tanks_packaged(&plenty(21, 1)), 7);
    let mut saturdays = plenty(21, 1);
    saturdays.calendar.work[Role::Cellar as usize] = Weekdays([true, true, true, true, true, true, false]);
    assert_eq!(tanks_packaged(&saturdays), 8);
}

#[test]
fn two_bright_tanks_package_every_day() {
    assert_eq!(tanks_packaged(&plenty(7, 2)), 4);
    assert_eq!(tanks_packaged(&plenty(14, 2)), 9);
}

#[test]
fn a_late_cellar_shift_does_the_same_for_one() {
    for (days, tanks) in [(7, 4), (14, 9)] {
        let mut made = plenty(days, 1);
        made.calendar.shifts = vec![
            Shift { name: "early".into(), starts: hours(6), hours: hours(8) },
            Shift { name: "late".into(), starts: hours(14), hours: hours(8) },
        ];
        let packers = crew("packers", 4, &[Role::Package]);
        let mut cellar = crew("cellar", 4, &[Role::Brew, Role::Cellar]);
        cellar.shift = 1;
        made.crews = vec![packers, cellar];
        assert_eq!(tanks_packaged(&made), tanks, "{days} days");
    }
}

#[test]
fn a_big_fermenter_leaves_through_a_small_bright_tank_in_stages() {
    let mut made = plenty(4, 1);
    made.in_tank = vec![ready_beer(0, 0, hl(80), false)];
    made.vessels = vec![fermenter("F", hl(80)), bright("B", hl(40))];
    made.beers[0].loss_tank = percent(6);
    made.transfer.loss_share = Share(15_000);
    let answer = best(&made);
    let moves: Vec<(Slot, Volume)> = answer
        .plan
        .tasks
        .iter()
        .filter_map(|task| match task.work {
            Work::Transfer { volume, .. } => Some((task.slot, volume)),
            _ => None,
        })
        .collect();
    let half = Volume(3_760_000);
    assert_eq!(moves, [(Slot(0), half), (Slot(2), half)]);
    let runs: Vec<Slot> = answer
        .plan
        .tasks
        .iter()
        .filter(|task| matches!(task.work, Work::Package { .. }))
        .map(|task| task.slot)
        .collect();
    assert_eq!(runs, [Slot(1), Slot(3)]);
    // 75.2 hL less 1.5 %.
    assert_eq!(packaged(&answer), Volume(2 * 3_703_600));
}

/// Three packers for 8 h, a bright tank for the cans (three people for 5 h) and one for the kegs (two people for 4 h).
fn cans_and_kegs(days: usize) -> Case {
    let mut made = case(days);
    made.aim = Aim::Output(None);
    made.crews = vec![crew("packers", 3, &[Role::Package]), crew("cellar", 2, &[Role::Brew, Role::Cellar])];
    for (number, (name, people)) in [("cans", 3), ("kegs", 2)].into_iter().enumerate() {
        let mut one = line(name);
        one.people = people;
        one.loss = Volume::ZERO;
        one.speed = Rate(1_000_000);
        made.lines.push(one);
        made.formats.push(kegs(number));
        let mut of = beer(name, &[number]);
        of.bright_must_leave = 60;
        made.beers.push(of);
        made.vessels.push(bright(name, hl(40)));
    }
    made.in_tank = vec![ready_beer(0, 0, hl(40), true), ready_beer(1, 1, hl(30), true)];
    made
}

#[test]
fn heads_not_only_hours() {
    // 23 of 24 person-hours, but 9 h one after the other: an hour of kegs is left.
    assert_eq!(packaged(&best(&cans_and_kegs(1))), hl(60));
    assert_eq!(packaged(&best(&cans_and_kegs(2))), hl(70));
    let mut longer = cans_and_kegs(1);
    longer.crews[0].overtime = Some(OvertimeLimit { at_most: hours(1), a_week: None, cost: money(10) });
    let answer = best(&longer);
    assert_eq!(packaged(&answer), hl(70));
    assert_eq!(answer.plan.overtime.iter().map(|overtime| overtime.time.0).sum::<i64>(), 60);
    let mut four = cans_and_kegs(2);
    four.lines[0].people = 4;
    assert_eq!(packaged(&best(&four)), hl(30));
    // A fourth is lent, in the cellar's other hours.
    four.crews[1].roles.push(Role::Package);
    assert_eq!(packaged(&best(&four)), hl(70));
}

/// One batch in a fermenter rated and relieved at 103 kPa, and an empty bright tank of 200 kPa.
fn low_pressure() -> Case {
    let mut made = case(4);
    made.aim = Aim::Output(None);
    made.vessels = vec![unitank("F", hl(40)), bright("B", hl(40))];
    made.vessels[0].rated = Pressure(103_000);
    made.vessels[0].relief = Pressure(103_000);
    made.in_tank = vec![ready_beer(0, 0, hl(40), false)];
    made.beers.push(beer("beer", &[0]));
    made.beers[0].bright = false;
    made.lines.push(line("line"));
    made.lines[0].pump = false;
    made.formats.push(kegs(0));
    made
}

#[test]
fn pressure_decides_the_route() {
    let needed =
        |celsius: i64| equilibrium(Carbonation(2_500), Temperature(celsius * 1_000), 0).kilopascals();
    assert!((needed(2) - 69.0).abs() < 2.0 && needed(2) < 0.9 * 103.0, "{}", needed(2));
    assert!((needed(10) - 121.0).abs() < 2.0, "{}", needed(10));
    assert!((needed(20) - 200.0).abs() < 4.0, "{}", needed(20));

    let cold = low_pressure();
    assert!(packaged(&best(&cold)) > hl(30));
    let mut warm = low_pressure();
    warm.beers[0].carbonated_at = Temperature(10_000);
    assert_eq!(packaged(&best(&warm)), Volume::ZERO);

    let mut filler = low_pressure();
    filler.lines[0].feed = Pressure(100_000);
    assert_eq!(packaged(&best(&filler)), Volume::ZERO, "the fermenter cannot feed the filler");
    filler.beers[0].bright = true;
    let answer = best(&filler);
    assert!(packaged(&answer) > hl(30));
    let from_bright = |work: Work| matches!(work, Work::Package { vessel: VesselId(1), line: LineId(0), .. });
    assert!(answer.plan.tasks.iter().any(|task| from_bright(task.work)));
    filler.beers[0].bright = false;
    filler.lines[0].pump = true;
    assert!(packaged(&best(&filler)) > hl(30), "with a pump the direct route returns");
}
