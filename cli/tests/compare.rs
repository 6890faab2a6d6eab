//! `compare` on the real binary: each answer that was worked out by hand, and what is said of wrong input.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::process::Output;

use serde_json::Value;

use common::{case, cases, run, text};

fn growth(name: &str) -> String {
    cases().join("growth").join(name).display().to_string()
}

fn json(output: &Output) -> Value {
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A figure of all cases.
fn figure(document: &Value, name: &str) -> Vec<f64> {
    let figures = document["figures"].as_array().unwrap();
    let found = figures.iter().find(|figure| figure["figure"] == name).unwrap_or_else(|| panic!("{name}"));
    found["values"].as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
}

/// The three changes of the growing brewery.
fn grown(state: &str) -> Value {
    let (base, more) = (case(&format!("growth/{state}")), ["fermenter", "bright-tank", "packers"]);
    let [fermenter, bright, packers] = more.map(|name| growth(&format!("{name}.yaml")));
    let words = [
        "compare",
        &base,
        &fermenter,
        &bright,
        &packers,
        "--for-ever",
        "--weeks",
        "2",
        "--gap",
        "0",
        "--json",
    ];
    json(&run(&words))
}

/// Proven of each case less the base.
fn less_base(document: &Value) -> Vec<&str> {
    let all = document["differences"].as_array().unwrap();
    all.iter().filter(|row| row["less"] == "A").map(|row| row["proven"].as_str().unwrap()).collect()
}

#[test]
fn where_fermenters_bind_the_money_goes_into_a_fermenter() {
    let found = grown("three-fermenters");
    assert_eq!(figure(&found, "packaged"), [30.0, 40.0, 30.0, 30.0]);
    assert_eq!((&found["best"], less_base(&found)), (&Value::from("B"), vec!["better", "alike", "alike"]));
    assert_eq!(figure(&found, "price of the vessels"), [96_000.0, 120_000.0, 120_000.0, 96_000.0]);
}

#[test]
fn where_the_bright_tank_binds_the_money_goes_into_a_bright_tank() {
    let found = grown("six-fermenters");
    assert_eq!(figure(&found, "packaged"), [50.0, 50.0, 60.0, 50.0]);
    assert_eq!((&found["best"], less_base(&found)), (&Value::from("C"), vec!["alike", "better", "alike"]));
    assert_eq!(figure(&found, "times that beer is moved on its way"), [1.0; 4]);
}

#[test]
fn where_the_crew_binds_no_tank_is_worth_its_money() {
    let found = grown("half-day-packers");
    assert_eq!(figure(&found, "packaged"), [40.0, 40.0, 40.0, 60.0]);
    assert_eq!((&found["best"], less_base(&found)), (&Value::from("D"), vec!["alike", "alike", "better"]));
    let low =
        found["differences"].as_array().unwrap().iter().find(|row| row["case"] == "D" && row["less"] == "C");
    let low = low.unwrap()["low"].as_f64().unwrap();
    assert!((19.9..20.1).contains(&low), "{low}");
}

#[test]
fn for_a_start_up_unitanks_alone_are_best_and_nothing_is_moved() {
    let change = growth("start-up/bright-tank-instead.yaml");
    let found =
        json(&run(&["compare", &case("growth/start-up"), &change, "--for-ever", "--weeks", "2", "--json"]));
    assert_eq!(figure(&found, "packaged"), [30.0, 20.0]);
    assert_eq!((&found["best"], less_base(&found)), (&Value::from("A"), vec!["worse"]));
    assert_eq!(figure(&found, "transfers from tank to tank")[0], 0.0);
}

#[test]
fn with_crews_of_their_own_a_bright_tank_is_better_than_the_tenth_unitank() {
    let change = growth("two-crews/bright-tank-instead.yaml");
    let found = json(&run(&["compare", &case("growth/two-crews"), &change, "--for-ever", "--json"]));
    assert_eq!(figure(&found, "packaged"), [80.0, 90.0]);
    assert_eq!((&found["best"], less_base(&found)), (&Value::from("B"), vec!["better"]));
    assert_eq!(figure(&found, "times that beer is moved on its way"), [0.0, 1.0]);
    assert_eq!(figure(&found, "days in the fermenter, a batch")[1], 7.0);
}

#[test]
fn dated_plans_are_compared_with_another_brew_plan_or_another_cellar() {
    // One bright tank on alternate days, or two: 80 and 160 hL in the week.
    let two = cases().join("tiny/two-brights/cellar.yaml").display().to_string();
    for other in [case("tiny/two-brights"), two] {
        let found = json(&run(&["compare", &case("tiny/one-bright"), &other, "--gap", "0", "--json"]));
        assert_eq!(figure(&found, "packaged"), [80.0, 160.0], "{other}");
        assert_eq!(less_base(&found), ["better"]);
        // The bright tanks are matched by kind and size: seven vessel-days, and fourteen.
        let rows = found["resources"].as_array().unwrap();
        let bright = rows.iter().find(|row| row["resource"] == "bright tanks of 40 hL").unwrap();
        assert_eq!(
            (&bright["cases"][0]["available"], &bright["cases"][1]["available"]),
            (&7.0.into(), &14.0.into())
        );
    }
}

#[test]
fn the_screen_fits_says_the_answer_and_is_the_same_with_any_number_of_threads_at_once() {
    let (base, change) = (case("growth/three-fermenters"), growth("fermenter.yaml"));
    let bright = growth("bright-tank.yaml");
    let mut words = vec!["compare", &base, &change, &bright, &change, &bright, "--for-ever", "--weeks", "2"];
    let first = run(&words);
    assert_eq!(first.status.code(), Some(0), "{}", text(&first.stderr));
    let screen = text(&first.stdout);
    for line in screen.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    for said in [
        "Proven: B (One more fermenter) is best, as is D",
        "proven better",
        "worth the same",
        "What binds in one and not in another",
        "Use of every resource",
        "E: One more bright",
    ] {
        assert!(screen.contains(said), "{said} in\n{screen}");
    }
    assert!(first.stderr.is_empty());
    words.extend(["--threads", "1"]);
    assert_eq!(text(&run(&words).stdout), screen);
}

#[test]
fn faults_of_a_change_are_told_with_line_and_suggestion_and_those_of_the_base_once() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = folder.path().join("wrong.yaml");
    std::fs::write(&wrong, "change: x\nalter:\n  brewplan:\n    crew:\n      packer: {people: 3}\n").unwrap();
    let wrong = wrong.display().to_string();
    let output = run(&["compare", &case("growth/three-fermenters"), &wrong, &growth("fermenter.yaml")]);
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    for words in ["V145", "wrong.yaml:5", "did you mean `packers`?", "one finding"] {
        assert!(said.contains(words), "{words} in\n{said}");
    }
    let output = run(&["compare", &wrong, &growth("fermenter.yaml"), &growth("bright-tank.yaml")]);
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert_eq!(said.matches("a key is missing: beers").count(), 1, "{said}");
    assert_eq!(said.matches("Nothing was done").count(), 1, "{said}");
    let output = run(&["compare", &case("growth/three-fermenters")]);
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn a_file_that_is_none_of_the_three_is_told() {
    let folder = tempfile::tempdir().unwrap();
    for (text_of, code) in [("plan: x\n", "V143"), ("a: [\n", "V100"), ("change: x\n", "V148")] {
        let file = folder.path().join("file.yaml");
        std::fs::write(&file, text_of).unwrap();
        let output =
            run(&["compare", &case("growth/three-fermenters"), &file.display().to_string(), "--json"]);
        assert_eq!(output.status.code(), Some(2));
        assert!(text(&output.stderr).contains(code), "{code}: {}", text(&output.stderr));
        let document: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(document["findings"][0]["code"], code);
    }
}

#[test]
fn money_and_volume_are_not_compared() {
    let output = run(&["compare", &case("tiny/one-bright"), &case("tiny/used-up-yeast")]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("cannot be compared"));
    assert!(!text(&output.stdout).contains("proven better"));
}
