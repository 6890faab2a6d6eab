//! Cleaning with named sets, a purge, a shorter time clean and a hard end of dirt: what turns in small cases, and the
//! program against trying everything.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, Job, Purge, Reach, RoleTimes};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Minutes, Money};
use cellarwright_model::yaml::read_texts;
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::hours;

use crate::oracle::{compare, exact};

/// States that the brute force looks at before a case is passed over as too big.
const STATES: usize = 2_500;

/// Makes cleaning matter in a random case.
fn sharpen(made: &mut Case, random: &mut Random) {
    made.cleaning.stays_clean = hours(random.one_of(&[4, 16, 24, 48]));
    if random.percent(50) {
        made.cleaning.clean_within = Some(random.between(1, 2));
        made.rates.dirty = Money(random.between(0, 10) * 100);
        made.rates.clean = Money(random.between(20, 150) * 100);
    }
    if random.percent(60) {
        made.cleaning.named = vec!["cellar set".into(), "line set".into()];
        made.cleaning_sets = 2;
        for vessel in &mut made.vessels {
            vessel.reach = Reach(random.one_of(&[1, 1, 3]));
            vessel.clean.takes = hours(random.between(2, 4));
        }
        for line in &mut made.lines {
            line.reach = Reach(random.one_of(&[2, 3]));
            line.clean_down = hours(random.between(1, 2));
        }
    }
    for vessel in made.vessels.iter_mut().filter(|vessel| vessel.is_bright_only()) {
        let takes = Minutes(random.between(0, 8) * 30);
        let crew = RoleTimes::only(Role::Cellar, Minutes(takes.0 / 2));
        vessel.purge = Purge { job: Job { takes, crew }, gas: Money(random.between(0, 900)) };
    }
}

/// The text of a file of a case in `cases/tiny`.
fn text(case: &str, file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(case).join(file);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Reads a case of `cases/tiny`, with one text in its cellar replaced.
fn tiny(case: &str, from: &str, to: &str) -> Case {
    let (brewplan, cellar) = (text(case, "brewplan.yaml"), text(case, "cellar.yaml"));
    assert!(cellar.contains(from), "{from}");
    let cellar = cellar.replace(from, to);
    let texts = [("brewplan.yaml", brewplan.as_bytes()), ("cellar.yaml", cellar.as_bytes())];
    let outcome = read_texts(&texts);
    outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings))
}

/// Objective in whole units of money, and the days on which the brewhouse works.
fn optimum(case: &Case) -> (i64, Vec<usize>) {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
    assert!((answer.bound - answer.objective).abs() <= 1, "{} {}", answer.objective, answer.bound);
    let brews = answer.plan.tasks.iter().filter(|task| matches!(task.work, Work::Brew { .. }));
    (answer.objective / 100, brews.map(|task| task.slot.0).collect())
}

#[test]
fn the_last_clean_tank_on_a_friday() {
    let one = "[{name: one for all}]";
    assert_eq!(optimum(&tiny("friday-clean", one, one)), (2_400, vec![0, 3]));
    assert_eq!(optimum(&tiny("friday-clean", one, "1")), (2_400, vec![0, 3]));
    let two = "[{name: cellar set, cleans: [F1, F2, B1]}, {name: line set, cleans: kegs}]";
    assert_eq!(optimum(&tiny("friday-clean", one, two)), (2_560, vec![0, 1]));
    assert_eq!(optimum(&tiny("friday-clean", one, "2")), (2_560, vec![0, 1]));
    // A second set that reaches none of what is to be cleaned on Friday is of no use.
    let idle = "[{name: one for all}, {name: tank set, cleans: B1}]";
    assert_eq!(optimum(&tiny("friday-clean", one, idle)), (2_400, vec![0, 3]));
}

#[test]
fn the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for seed in 0..30 {
        let mut made = make(seed).case;
        sharpen(&mut made, &mut Random::new(seed + 1_000));
        let Some(brute) = best_plan(&made, STATES) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        assert_eq!(answer.report, check(&made, &answer.plan));
        compared += 1;
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared >= 15, "{compared}");
}
