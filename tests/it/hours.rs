//! The hours of the day: a case worked by hand, and random cases planned by the clock.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, Options, Status, solve};
use cellarwright_tests::generator::make;

fn best(made: &Case) -> Answer {
    let options = Options { seconds: 60.0, gap: 1e-6, threads: 1, seed: 0 };
    solve(made, &options, &NoObserver).expect("it solves")
}

fn two_dirty() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/by-the-clock/brewplan.yaml");
    read_case(&path).case.expect("a case")
}

fn turns(plan: &Plan) -> i64 {
    let turns = plan.tasks.iter().map(|task| match task.work {
        Work::Brew { turns, .. } => turns,
        _ => 0,
    });
    turns.sum()
}

#[test]
fn totals_fit_for_two_turns_but_the_clock_for_one() {
    let made = two_dirty();
    let by_clock = best(&made);
    assert_eq!(turns(&by_clock.plan), 1);
    // The cut is proven: the bound is that of the clock, not of the totals.
    assert_eq!(by_clock.status, Status::Optimal);
    let mut totals = made.clone();
    totals.clock_times = false;
    let by_totals = best(&totals);
    assert_eq!(turns(&by_totals.plan), 2);
    assert!(by_totals.plan.tasks.iter().all(|task| task.begins.is_none()));
    // The first program is the same; whatever the clock adds comes after it.
    assert_eq!(by_totals.size, by_clock.size);
    // With a second set and a second hand both are clean after 4 h, and the turns end after 5 and 8 h.
    let mut two_sets = made.clone();
    two_sets.cleaning_sets = 2;
    two_sets.crews[1].people = 2;
    let answer = best(&two_sets);
    assert_eq!(turns(&answer.plan), 2);
    let mut longer = made;
    longer.brewhouse.hours_per_day = Minutes(9 * 60);
    assert_eq!(turns(&best(&longer).plan), 2, "the second turn may begin an hour later");
}

#[test]
fn every_task_has_its_time_in_order() {
    let made = two_dirty();
    let plan = best(&made).plan;
    let begins: Vec<Option<Minutes>> = plan.tasks.iter().map(|task| task.begins).collect();
    assert!(!begins.is_empty() && begins.iter().all(Option::is_some), "{begins:?}");
    // An hour's shift of a beginning is found where it matters: the clean of the vessel that is filled ends later.
    let mut late = plan;
    let filled = late.tasks.iter().find_map(|task| match task.work {
        Work::Brew { vessel, .. } => Some((vessel, task.begins.expect("a time"))),
        _ => None,
    });
    let (filled, brewed) = filled.expect("a turn");
    for task in &mut late.tasks {
        if task.work == (Work::Clean { vessel: filled, full: false }) {
            // The wort comes two hours after the turn begins, the clean takes four.
            task.begins = Some(brewed - Minutes(119));
        }
    }
    let found = check(&made, &late).violations;
    assert!(found.iter().any(|violation| violation.rule == RuleId::Hours), "{found:?}");
}

#[test]
fn random_cases_have_plans_by_the_clock_that_totals_cannot_beat_upwards() {
    let (mut timed, mut shorter) = (0, 0);
    for seed in [2, 4, 5, 7, 9, 13, 14, 20, 22, 27] {
        let mut made = make(seed).case;
        let by_totals = best(&made);
        made.clock_times = true;
        let by_clock = best(&made);
        assert!(by_clock.report.violations.is_empty(), "{seed}");
        assert!(by_clock.plan.tasks.iter().all(|task| task.begins.is_some()), "{seed}");
        assert!(by_clock.objective <= by_totals.bound, "{seed}");
        assert!(by_clock.objective <= by_clock.bound, "{seed}");
        timed += usize::from(!by_clock.plan.tasks.is_empty());
        shorter += usize::from(by_clock.objective < by_totals.objective);
        println!(
            "{seed}: {} {} {} {:?}",
            by_totals.objective, by_clock.objective, by_clock.bound, by_clock.status
        );
    }
    println!("{timed} with work, {shorter} worth less by the clock");
    assert!(timed >= 6 && shorter >= 3, "{timed} {shorter}");
}
