//! The program against the referee, an independent formulation of the whole job for another solver: the same optimum to the cent.

use std::io::Write;
use std::path::{Path, PathBuf};

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, Options, SolveError, solve};
use cellarwright_tests::export::export;
use cellarwright_tests::generator::make;
use cellarwright_tests::referee::{Ended, Verdict, python, referee};
use serde_json::Value;

/// Random cases that are compared.
const RANDOM: u64 = 75;
/// Cases that must have been compared, both optima proven.
const LEAST: usize = 60;
/// Effort of the referee for each of its searches, in the deterministic time of its solver.
const EFFORT: f64 = 0.2;

/// The interpreter, or nothing where there is none: said aloud, and a failure where tests must run.
fn interpreter() -> Option<PathBuf> {
    match python() {
        Ok(python) => Some(python),
        Err(why) => {
            let text = format!("\nTHE REFEREE DID NOT RUN, nothing was compared with it: {why}\n\n");
            // Not by a macro: the test harness would keep what those print to itself.
            std::io::stderr().write_all(text.as_bytes()).expect("standard error");
            assert!(std::env::var("CI").as_deref() != Ok("true"), "{text}");
            None
        }
    }
}

/// By how much the optima may differ: cents, or hundredths of a millilitre.
///
/// The program counts volumes in fractions, the referee in whole millilitres; some waiting is rounded to the cent by one and not by the other; the program's
/// bound is rounded up, and each may stop a fifth of a cent (with `aim: output` a millilitre) before the last proof.
fn tolerance(case: &Case) -> f64 {
    if case.aim == Aim::Orders { 2.0 } else { 250.0 }
}

fn exact(case: &Case) -> Result<Answer, SolveError> {
    solve(case, &Options { seconds: 60.0, gap: 0.0, threads: 1, seed: 0 }, &NoObserver)
}

/// A disagreement of the program and the referee, if there is one; whether both have proven the same optimum otherwise.
fn compare(case: &Case, answer: &Result<Answer, SolveError>, verdict: &Verdict) -> Result<bool, String> {
    let name = &case.name;
    let Verdict::Found { ended, objective, bound } = verdict else {
        return Err(format!("{name}: {verdict:?}"));
    };
    let answer = match (answer, ended) {
        (Err(SolveError::Conflict(_)), Ended::Infeasible) => return Ok(true),
        (Err(SolveError::Conflict(_)), Ended::Stopped) if objective.is_none() => return Ok(false),
        (Err(error), _) => return Err(format!("{name}: {error}, by the referee {objective:?}")),
        (Ok(answer), _) => answer,
    };
    let allowed = tolerance(case);
    let ours = answer.bound as f64;
    let is_too_good = objective.is_some_and(|objective| objective > ours + allowed);
    let is_too_bad = bound.is_none_or(|bound| bound < ours - allowed);
    if is_too_good || is_too_bad || *ended == Ended::Infeasible {
        return Err(format!("{name}: the program {ours}, the referee {objective:?}, bound {bound:?}"));
    }
    let is_equal = objective.is_some_and(|objective| (objective - ours).abs() <= allowed);
    Ok(*ended == Ended::Optimal && is_equal)
}

/// Solves and compares cases; the number of those with the same proven optimum.
fn compare_all(python: &Path, cases: &[Case]) -> usize {
    let exported: Vec<Value> = cases.iter().map(export).collect();
    let verdicts = referee(python, &exported, EFFORT).expect("the referee answers");
    let mut wrong = Vec::new();
    let (mut equal, mut open) = (0, Vec::new());
    for (case, verdict) in cases.iter().zip(&verdicts) {
        match compare(case, &exact(case), verdict) {
            Ok(true) => equal += 1,
            Ok(false) => open.push(case.name.clone()),
            Err(error) => wrong.push(error),
        }
    }
    println!("{equal} of {} cases have the same proven optimum; not proven: {open:?}", cases.len());
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    equal
}

#[test]
fn the_referee_finds_the_same_optimum_to_the_cent() {
    let Some(python) = interpreter() else { return };
    let cases: Vec<Case> = (0..RANDOM).map(|seed| make(seed).case).collect();
    let equal = compare_all(&python, &cases);
    assert!(equal >= LEAST, "only {equal} cases have a proven optimum");
}

/// A hand-made case of the repository.
fn tiny(name: &str) -> Case {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name);
    read_case(&folder.join("brewplan.yaml")).case.expect("a case")
}

#[test]
fn the_referee_refuses_what_it_does_not_state() {
    let Some(python) = interpreter() else { return };
    let case = tiny("by-the-clock");
    let verdicts = referee(&python, &[export(&case)], EFFORT).expect("the referee answers");
    let Verdict::Refused(why) = &verdicts[0] else { panic!("{verdicts:?}") };
    assert!(why.contains("clock times"), "{why}");
}

#[test]
fn the_referee_can_fail() {
    let Some(python) = interpreter() else { return };
    let case = make(6).case;
    let mut dearer = case.clone();
    dearer.rates.labour.0 += 100;
    let verdicts = referee(&python, &[export(&case), export(&dearer)], EFFORT).expect("the referee answers");
    let answer = exact(&case);
    assert_eq!(compare(&case, &answer, &verdicts[0]), Ok(true));
    assert!(compare(&case, &answer, &verdicts[1]).is_err(), "{verdicts:?}");
}
