//! The program against trying everything: the same optimum on hundreds of random cases, and plans that the checker passes.

use cellarwright_checker::check;
use cellarwright_model::case::{Aim, Case};
use cellarwright_model::tolerance::OBJECTIVE;
use cellarwright_solver::{Answer, NoObserver, Options, solve};
use cellarwright_tests::brute::{Optimum, best_plan};
use cellarwright_tests::generator::make;

use crate::spread::Spread;

/// Cases that must be compared; more where the environment says so.
const CASES: usize = 240;
/// Environment variable with a number of cases.
const MORE: &str = "CELLARWRIGHT_ORACLE_CASES";
/// States that the brute force looks at before a case is passed over as too big.
const STATES: usize = 4_000;

/// Options of an exact solve.
pub fn exact() -> Options {
    Options { seconds: 60.0, gap: 0.0, threads: 1, seed: 0 }
}

/// What parts rounded to the cent or to the millilitre may add up to, in the unit of the objective.
pub fn rounding(case: &Case, plan: &cellarwright_model::plan::Plan) -> f64 {
    let pieces = plan.tasks.len() + plan.overtime.len() + plan.deliveries.len() + 4;
    // A minute of a line's people, a minute of a crew's overtime, some millilitres at the dearest price.
    let people: i64 = case
        .lines
        .iter()
        .map(|line| line.people)
        .chain(
            case.crews
                .iter()
                .map(|crew| crew.shifts().map(|shift| crew.people_of_shift(shift)).max().unwrap_or(0)),
        )
        .max()
        .unwrap_or(1);
    let overtime =
        case.crews.iter().filter_map(|crew| crew.overtime).map(|limit| limit.cost.0).max().unwrap_or(0);
    let minute = (people * (case.rates.labour.0 + overtime)) as f64 / 60.0;
    let millilitres = if case.aim == Aim::Orders { 5.0 } else { 500.0 };
    pieces as f64 * (minute + millilitres)
}

/// What the brute force and the solver disagree about.
pub fn compare(seed: u64, case: &Case, brute: &Optimum, answer: &Answer) -> Vec<String> {
    let mut wrong = Vec::new();
    let report = check(case, &brute.plan);
    for violation in &report.violations {
        wrong.push(format!("seed {seed}: the checker says of the brute force's plan: {violation:?}"));
    }
    let allowed = OBJECTIVE * brute.objective.abs() + 10.0;
    if (answer.bound as f64 - brute.objective).abs() > allowed {
        wrong
            .push(format!("seed {seed}: bound {} but the best plan is {:.2}", answer.bound, brute.objective));
    }
    let checked = report.breakdown.objective(&case.aim) as f64;
    let rounded = allowed + rounding(case, &brute.plan);
    if (checked - brute.objective).abs() > rounded {
        wrong.push(format!("seed {seed}: brute force {:.2}, by the checker {checked}", brute.objective));
    }
    let rounded = allowed + rounding(case, &answer.plan);
    if (answer.objective as f64 - brute.objective).abs() > rounded {
        wrong.push(format!(
            "seed {seed}: solver {} but the best plan is {:.2}",
            answer.objective, brute.objective
        ));
    }
    if !answer.report.violations.is_empty() {
        wrong.push(format!("seed {seed}: {:?}", answer.report.violations));
    }
    wrong
}

#[test]
fn the_program_finds_what_trying_everything_finds() {
    let mut spread = Spread::default();
    let mut wrong = Vec::new();
    let cases = std::env::var(MORE).ok().and_then(|more| more.parse().ok()).unwrap_or(CASES);
    let mut compared = 0;
    let mut seed = 0;
    while compared < cases {
        let made = make(seed);
        if let Some(brute) = best_plan(&made.case, STATES) {
            match solve(&made.case, &exact(), &NoObserver) {
                Ok(answer) => {
                    wrong.extend(compare(seed, &made.case, &brute, &answer));
                    compared += 1;
                    spread.count(&made.case, &brute.plan, &check(&made.case, &brute.plan).breakdown);
                }
                Err(error) => wrong.push(format!("seed {seed}: {error} {error:?}")),
            }
        }
        seed += 1;
        assert!(seed < 4 * cases as u64, "too many cases are too big");
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    if cases == CASES {
        spread.must_be_wide();
    }
}
