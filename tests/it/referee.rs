//! The program against the referee, an independent formulation of the whole job for another solver: the same optimum to the cent.

use std::io::Write;
use std::path::{Path, PathBuf};

use cellarwright_model::case::{Aim, Case, Outage};
use cellarwright_model::units::Minutes;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, Options, SolveError, solve};
use cellarwright_tests::export::export;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::referee::{Ended, Verdict, python, referee};
use serde_json::Value;

use crate::best::tiny;
use crate::formats_random::with_pairs;
use crate::full_clean::sharpen;
use crate::outages::random_outage;
use crate::pins::random_pin;

/// Random cases that are compared.
const RANDOM: u64 = 75;
/// Random cases with pins, with outages, with pairs of formats, and with full cleans.
const OF_EACH: u64 = 12;
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

/// A random case with pins.
fn with_pins(seed: u64) -> Case {
    let mut case = make(seed).case;
    let mut random = Random::new(seed);
    for _ in 0..random.between(1, 2) {
        let pin = random_pin(&case, &mut random);
        case.fixed.pins.push(pin);
    }
    case
}

/// A random case with something away, and with a vessel that stays clean for so long.
fn with_outages(seed: u64) -> Case {
    let mut case = make(seed).case;
    let mut random = Random::new(seed);
    case.cleaning.stays_clean = Minutes(random.between(1, 4) * 24 * 60);
    for _ in 0..random.between(1, 2) {
        let outage = random_outage(&case, &mut random);
        case.fixed.outages.push(Outage { must_be_empty: false, ..outage });
    }
    case
}

/// A random case with full cleans that are due soon.
fn with_full_cleans(seed: u64) -> Case {
    let mut case = make(seed).case;
    sharpen(&mut case, &mut Random::new(seed + 7_000));
    case
}

#[test]
fn with_pins_outages_pairs_of_formats_and_full_cleans_the_referee_finds_the_same_optimum() {
    let Some(python) = interpreter() else { return };
    let mut cases: Vec<Case> = (9_001..9_001 + OF_EACH).map(with_pins).collect();
    cases.extend((5_000..5_000 + OF_EACH).map(with_outages));
    cases.extend((0..OF_EACH).map(with_pairs));
    cases.extend((0..OF_EACH).map(with_full_cleans));
    let equal = compare_all(&python, &cases);
    assert!(equal * 10 >= cases.len() * 7, "only {equal} of {} cases have a proven optimum", cases.len());
}

/// Hand-made cases that use what is stated; the others of `cases/tiny` must be refused, none is passed over.
const HAND_MADE: [&str; 22] = [
    "tiny/brew-day",
    "tiny/cask",
    "tiny/early-and-late",
    "tiny/easter-week",
    "tiny/filler-pressure",
    "tiny/format-changes",
    "tiny/friday-clean",
    "tiny/full-clean",
    "tiny/in-stages",
    "tiny/mobile-line",
    "tiny/one-bright",
    "tiny/part-batch",
    "tiny/pinned",
    "tiny/spunding",
    "tiny/stuck-fermentation",
    "tiny/three-small-tanks",
    "tiny/two-brights",
    "tiny/warm-store",
    "orders/cold-store",
    "orders/fresh",
    "orders/late",
    "orders/whole",
];

/// Brew plans of the folders of hand-made cases: name and path.
fn hand_made() -> Vec<(String, PathBuf)> {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases");
    let mut found = Vec::new();
    for folder in ["tiny", "orders"] {
        for entry in std::fs::read_dir(cases.join(folder)).expect("a folder") {
            let path = entry.expect("an entry").path().join("brewplan.yaml");
            let name =
                path.parent().and_then(Path::file_name).expect("a name").to_string_lossy().into_owned();
            if path.exists() {
                found.push((format!("{folder}/{name}"), path));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn the_referee_agrees_on_hand_made_cases_or_refuses_them() {
    let Some(python) = interpreter() else { return };
    let (names, paths): (Vec<String>, Vec<PathBuf>) = hand_made().into_iter().unzip();
    let cases: Vec<Case> =
        paths.iter().map(|path| read_case(path).case.expect("a case without errors")).collect();
    let exported: Vec<Value> = cases.iter().map(export).collect();
    let verdicts = referee(&python, &exported, EFFORT).expect("the referee answers");
    let mut wrong = Vec::new();
    for ((name, case), verdict) in names.iter().zip(&cases).zip(&verdicts) {
        match verdict {
            Verdict::Refused(why) if HAND_MADE.contains(&name.as_str()) => {
                wrong.push(format!("{name}: {why}"))
            }
            Verdict::Refused(_) => {}
            Verdict::Found { .. } => match compare(case, &exact(case), verdict) {
                Ok(equal) if equal || !HAND_MADE.contains(&name.as_str()) => {}
                Ok(_) => wrong.push(format!("{name}: not proven, {verdict:?}")),
                Err(error) => wrong.push(format!("{name}: {error}")),
            },
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
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
