//! Fermenters that are alike and first packaged from in the same slot: each gives its share then, whichever of them is empty first.

use std::collections::BTreeSet;
use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::{Role, Shift, Slot, Weekdays};
use cellarwright_model::case::{Aim, Case, FurtherShift, Stage};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Rate, Share, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, Options, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::small::{beer, case, hl, hours, kegs, line, unitank};

use crate::oracle::exact;

fn checked(case: &Case, options: &Options) -> Answer {
    let answer = solve(case, options, &NoObserver).expect("a plan that the checker passes");
    assert!(check(case, &answer.plan).violations.is_empty());
    answer
}

/// Two unitanks of 20 hL without losses; what is brewed on a day is ready the next and must begin to leave the day after that.
fn two_unitanks(days: usize, brews: &[usize]) -> Case {
    let mut made = case(days);
    made.aim = Aim::Output(None);
    made.calendar.work[Role::Brew as usize] = Weekdays(std::array::from_fn(|day| brews.contains(&day)));
    made.vessels = vec![unitank("F1", hl(20)), unitank("F2", hl(20))];
    made.lines = vec![line("kegs")];
    made.lines[0].loss = Volume::ZERO;
    made.formats = vec![kegs(0)];
    made.beers = vec![beer("Ale", &[0])];
    made.beers[0].stay = vec![Stage { name: "ferment".into(), days: 1 }];
    (made.beers[0].may_wait, made.beers[0].must_leave) = (1, 2);
    (made.beers[0].bright, made.beers[0].loss_tank, made.beers[0].loss_direct) = (false, Share(0), Share(0));
    made
}

/// Vessels packaged from in a slot.
fn packaged_in(answer: &Answer, slot: usize) -> BTreeSet<VesselId> {
    let tasks = answer.plan.tasks.iter().filter(|task| task.slot == Slot(slot));
    tasks
        .filter_map(|task| match task.work {
            Work::Package { vessel, .. } => Some(vessel),
            _ => None,
        })
        .collect()
}

#[test]
fn both_give_on_the_first_day_where_the_line_takes_less_than_one_holds() {
    // 7 hours of 2 hL: 14, 14 and 12 hL on three days; both must begin to leave on the first of them.
    let mut made = two_unitanks(5, &[0]);
    made.lines[0].speed = Rate(200_000);
    let answer = checked(&made, &exact());
    assert_eq!(answer.report.breakdown.packaged_planned, hl(40));
    assert_eq!(packaged_in(&answer, 2), BTreeSet::from([VesselId(0), VesselId(1)]));
}

#[test]
fn one_is_not_empty_on_the_first_day_where_that_leaves_nothing_for_the_other_to_begin_with() {
    // 5 hours of 4 hL: just what one holds. Were it empty on Wednesday it would be filled again on Thursday, and give 20 hL on Saturday.
    let mut made = two_unitanks(6, &[0, 3]);
    (made.lines[0].speed, made.lines[0].start_up, made.lines[0].clean_down) =
        (Rate(400_000), hours(2), hours(1));
    let answer = checked(&made, &exact());
    let tried = best_plan(&made, 2_000_000).expect("all is tried");
    let apart = tried.objective - answer.objective as f64;
    assert!(apart.abs() <= 1_000.0, "tried {} and solved {}", tried.objective, answer.objective);
    assert_eq!(answer.report.breakdown.packaged_planned, hl(40));
}

fn read(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name);
    read_case(&path.join("brewplan.yaml")).case.expect("a case")
}

#[test]
fn three_weeks_of_a_start_up_with_alike_unitanks_keep_the_rule_of_direct_packaging() {
    let mut made = read("growth/start-up");
    made.calendar.planned_days = 21;
    checked(&made, &Options { seconds: 60.0, gap: 0.02, threads: 1, seed: 0 });
}

#[test]
fn four_unitanks_in_two_shifts_that_may_not_wait_keep_the_rules_of_waiting_and_direct_packaging() {
    let mut made = read("tiny/three-in-two-weeks");
    let mut fourth = made.vessels[0].clone();
    fourth.name = "F4".into();
    made.vessels.push(fourth);
    made.calendar.shifts.push(Shift { name: "late".into(), starts: hours(14), hours: hours(8) });
    made.crews[0].further_shifts.push(FurtherShift { shift: 1, people: 4 });
    checked(&made, &Options { seconds: 60.0, gap: 0.001, threads: 1, seed: 0 });
}
