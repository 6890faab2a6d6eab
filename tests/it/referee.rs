//! The program against the referee, an independent formulation of the whole job for another solver: the same optimum to the cent.

use std::path::{Path, PathBuf};

use cellarwright_model::case::{Aim, Case, Connected, Material, Outage};
use cellarwright_model::ids::FormatId;
use cellarwright_model::units::Minutes;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, Options, SolveError, solve};
use cellarwright_tests::export::export;
use cellarwright_tests::generator::make;
use cellarwright_tests::python::or_said_aloud;
use cellarwright_tests::random::Random;
use cellarwright_tests::referee::{Ended, Verdict, python, referee};
use cellarwright_tests::small::{hl, money, order, plenty};
use serde_json::{Value, json};

use crate::best::tiny;
use crate::formats_random::with_pairs;
use crate::full_clean::sharpen;
use crate::outages::random_outage;
use crate::pins::random_pin;

/// Random cases that are compared.
const RANDOM: u64 = 75;
/// Random cases of each further theme.
const OF_EACH: u64 = 10;
/// Cases that must have been compared, both optima proven.
const LEAST: usize = 60;
/// Effort of the referee for each of its searches, in the deterministic time of its solver.
const EFFORT: f64 = 0.2;

/// The interpreter, or nothing where there is none: said aloud, and a failure where tests must run.
fn interpreter() -> Option<PathBuf> {
    or_said_aloud(python(), "THE REFEREE DID NOT RUN, nothing was compared with it")
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

/// A random case in which vessels reach some others and some lines, and transfers are done one at a time.
fn with_reach(seed: u64) -> Case {
    let mut case = make(seed).case;
    let mut random = Random::new(seed + 31);
    case.transfer.at_once = Some(1);
    let (vessels, lines): (Vec<_>, Vec<_>) = (case.vessel_ids().collect(), case.line_ids().collect());
    for vessel in &mut case.vessels {
        if random.percent(60) {
            vessel.reaches = Some(Connected {
                vessels: vessels.iter().copied().filter(|_| random.percent(60)).collect(),
                lines: lines.iter().copied().filter(|_| random.percent(80)).collect(),
            });
        }
    }
    case
}

/// A random case in which packages use up a material that is short: at any price, by the pack, or not to be had.
fn with_materials(seed: u64) -> Case {
    let mut case = make(seed).case;
    let mut random = Random::new(seed + 47);
    case.materials.push(Material {
        name: "labels".into(),
        uses: (0..case.formats.len()).map(|format| (FormatId(format), random.between(1, 3))).collect(),
        in_stock: random.between(0, 20),
        lead: random.percent(75).then(|| random.between(0, 3)),
        least_order: random.one_of(&[0, 0, 15]),
        pack: random.percent(40).then_some(12),
        price_per_1000: money(random.between(100, 4_000)),
        deliveries: vec![(random.between(0, 3), random.between(0, 15))],
        ..Material::default()
    });
    case
}

/// A random case in which little more than the orders is expected to be sold.
fn with_sales(seed: u64) -> Case {
    let mut case = make(seed).case;
    let mut random = Random::new(seed + 59);
    for beer in &mut case.beers {
        beer.sales = Some(hl(random.between(1, 3)));
    }
    case
}

#[test]
fn with_pins_outages_and_all_else_that_is_stated_the_referee_finds_the_same_optimum() {
    let Some(python) = interpreter() else { return };
    let mut cases: Vec<Case> = (9_001..9_001 + OF_EACH).map(with_pins).collect();
    cases.extend((5_000..5_000 + OF_EACH).map(with_outages));
    for theme in [with_pairs, with_full_cleans, with_reach, with_materials, with_sales] {
        cases.extend((0..OF_EACH).map(theme));
    }
    let equal = compare_all(&python, &cases);
    assert!(equal * 10 >= cases.len() * 8, "only {equal} of {} cases have a proven optimum", cases.len());
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

/// Sets a number of every entry of a list of the exported facts.
fn set_each(facts: &mut Value, list: &str, key: &str, to: Value) {
    for entry in facts[list].as_array_mut().expect("a list") {
        entry[key] = to.clone();
    }
}

/// For each rule that the referee states a case, and a change of the facts that only this rule looks at.
type Turn = (&'static str, Case, fn(&mut Value));

fn turns() -> Vec<Turn> {
    let random = |seed: u64| make(seed).case;
    vec![
        ("R01", random(7), |facts| facts["brewhouse"]["fill_within"] = json!(0)),
        ("R02", tiny("part-batch"), |facts| set_each(facts, "vessels", "least", json!(1_000_000_000))),
        ("R03", random(3), |facts| facts["brewhouse"]["turns_per_day"] = json!(9)),
        ("R04", tiny("brew-day"), |facts| set_each(facts, "beers", "stay", json!(0))),
        ("R05", random(4), |facts| facts["rates"]["waiting"] = json!(0)),
        ("R06", tiny("one-bright"), |facts| set_each(facts, "vessels", "refill_same_shift", json!(true))),
        ("R07", random(4), |facts| facts["carbonate"]["takes"] = json!(20_000)),
        ("R08", tiny("stuck-fermentation"), |facts| facts["rates"]["dirty"] = json!(0)),
        ("R09", random(11), |facts| {
            for crew in facts["crews"].as_array_mut().expect("crews") {
                for people in crew["people"].as_array_mut().expect("people") {
                    *people = json!(10 * people.as_i64().expect("a number"));
                }
            }
        }),
        ("R10", tiny("cask"), |facts| set_each(facts, "lines", "start_up", json!(0))),
        ("R11", tiny("spunding"), |facts| {
            set_each(facts, "vessels", "rated", json!(1_000_000));
            set_each(facts, "vessels", "relief", json!(1_000_000));
        }),
        ("R12", random(12), |facts| facts["transfer"]["loss_fixed"] = json!(0)),
        ("R13", orders_case("whole"), |facts| set_each(facts, "orders", "whole", json!(false))),
        ("R14", tiny("full-clean"), |facts| facts["dirty"] = json!([])),
        ("R15", tiny("brew-day"), |facts| {
            facts["outages"] = json!([{
                "what": "brewhouse", "which": 0, "first_day": 0, "last_day": 99, "must_be_empty": false,
                "is_upkeep": false, "crew": [0, 0, 0],
            }]);
        }),
        ("R16", tiny("pinned"), |facts| facts["pins"] = json!([])),
        ("R20", tiny("in-stages"), |facts| {
            for slot in facts["calendar"]["slots"].as_array_mut().expect("slots") {
                slot["works"] = json!([true, true, true]);
            }
        }),
        ("R21", tiny("brew-day"), |facts| set_each(facts, "beers", "direct", json!(false))),
        ("R22", tiny("in-stages"), |facts| set_each(facts, "beers", "split", json!("never"))),
        ("R24", tiny("one-bright"), |facts| facts["transfer"]["at_once"] = json!(0)),
        ("R25", short_of_labels(), |facts| facts["materials"] = json!([])),
        ("R26", tiny("warm-store"), |facts| facts["warm_store"] = Value::Null),
        ("R27", tiny("full-clean"), |facts| set_each(facts, "vessels", "full_clean", Value::Null)),
    ]
}

/// Beer in plenty and ten labels, which cannot be ordered.
fn short_of_labels() -> Case {
    let mut case = plenty(3);
    case.orders.push(order(0, 0, hl(200), 3));
    case.materials.push(Material {
        name: "labels".into(),
        uses: vec![(FormatId(0), 1)],
        in_stock: 10,
        ..Material::default()
    });
    case
}

/// A case of `cases/orders`.
fn orders_case(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/orders").join(name).join("brewplan.yaml");
    read_case(&path).case.expect("a case")
}

#[test]
fn every_rule_that_the_referee_states_turns_its_optimum() {
    let Some(python) = interpreter() else { return };
    let turns = turns();
    let facts: Vec<Value> = turns
        .iter()
        .flat_map(|(_, case, change)| {
            let as_it_is = export(case);
            let mut changed = as_it_is.clone();
            change(&mut changed);
            [as_it_is, changed]
        })
        .collect();
    let verdicts = referee(&python, &facts, EFFORT).expect("the referee answers");
    let mut wrong = Vec::new();
    for ((rule, case, _), verdicts) in turns.iter().zip(verdicts.chunks(2)) {
        if compare(case, &exact(case), &verdicts[0]) != Ok(true) {
            wrong.push(format!("{rule}: the case as it is, {:?}", verdicts[0]));
        }
        // With the fact changed no plan of the case as it is may be the optimum any more.
        if compare(case, &exact(case), &verdicts[1]).is_ok() {
            wrong.push(format!("{rule}: nothing turns, {:?}", verdicts[1]));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
