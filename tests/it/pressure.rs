//! Pressure beyond carbonating cold: spunding, nitrogen, the height of the beer; and the program against trying everything.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::case::{Case, Nitrogen, Spund};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Carbonation, Pressure, Temperature};
use cellarwright_model::yaml::read_texts;
use cellarwright_solver::{NoObserver, solve, solve_without};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::hours;

use crate::oracle::{compare, exact};

/// States that the brute force looks at before a case is passed over as too big.
const STATES: usize = 2_000;

fn spunding(from: &str, to: &str) -> Case {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/spunding");
    let text = |file: &str| std::fs::read_to_string(folder.join(file)).expect("a file");
    let (brewplan, cellar) = (text("brewplan.yaml"), text("cellar.yaml"));
    assert!(brewplan.contains(from), "{from}");
    let brewplan = brewplan.replace(from, to);
    let outcome = read_texts(&[("brewplan.yaml", brewplan.as_bytes()), ("cellar.yaml", cellar.as_bytes())]);
    outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings))
}

/// Objective in whole units of money, and the vessels that are brewed into.
fn optimum(case: &Case) -> (i64, Vec<usize>) {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
    assert!((answer.bound - answer.objective).abs() <= 1, "{} {}", answer.objective, answer.bound);
    let vessels = answer.plan.tasks.iter().filter_map(|task| match task.work {
        Work::Brew { vessel, .. } => Some(vessel.0),
        _ => None,
    });
    let mut vessels: Vec<usize> = vessels.collect();
    vessels.sort_unstable();
    (answer.objective / 100, vessels)
}

#[test]
fn spunding_warm_rules_a_fermenter_out() {
    let spund = ", spund: {volumes: 2.5, at: 18 degC}";
    assert_eq!(optimum(&spunding(spund, spund)), (160, vec![1]));
    assert_eq!(optimum(&spunding(spund, "")), (240, vec![0, 1]));
    // Held at 2 degC meanwhile, or closed late, it does not matter.
    assert_eq!(optimum(&spunding(spund, ", spund: {volumes: 2.5, at: 2 degC}")), (240, vec![0, 1]));
    assert_eq!(optimum(&spunding(spund, ", spund: {volumes: 1.2, at: 18 degC}")), (240, vec![0, 1]));
}

#[test]
fn without_the_rule_the_checker_refuses() {
    let spund = ", spund: {volumes: 2.5, at: 18 degC}";
    let made = spunding(spund, spund);
    let plan = solve_without(&made, RuleId::Pressure, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|one| one.what == "fermenting under pressure"), "{found:?}");
}

/// Makes pressure matter in a random case.
fn sharpen(made: &mut Case, random: &mut Random) {
    for beer in &mut made.beers {
        if random.percent(60) {
            let carbonation = Carbonation(random.one_of(&[1_500, 2_000, 2_500, 2_700]));
            beer.spund = Some(Spund { carbonation, at: Temperature(random.between(2, 20) * 1_000) });
        }
        if random.percent(30) {
            let pressure = Pressure(random.between(60, 200) * 1_000);
            beer.nitrogen = Some(Nitrogen { pressure, takes: hours(random.one_of(&[2, 12, 30])) });
        }
    }
    for vessel in &mut made.vessels {
        vessel.beer_height = random.between(0, 4) * 1_000;
        vessel.rated = Pressure(random.between(15, 35) * 10_000);
        vessel.relief = Pressure(vessel.rated.0 - random.between(0, 5) * 10_000);
    }
}

#[test]
fn the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for seed in 100..125 {
        let mut made = make(seed).case;
        sharpen(&mut made, &mut Random::new(seed + 2_000));
        let Some(brute) = best_plan(&made, STATES) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        compared += 1;
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared >= 12, "{compared}");
}
