//! Every number of a screen is in the document of the same command, or follows from its rows by counting and adding.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use common::{cases, document, planned, run, text};
use serde_json::Value;

/// What a document holds: numbers, and the words of its texts.
#[derive(Default)]
struct Held {
    numbers: Vec<f64>,
    texts: Vec<String>,
}

impl Held {
    fn of(document: &Value) -> Self {
        let mut held = Self::default();
        held.take(document);
        held
    }

    fn take(&mut self, value: &Value) {
        match value {
            Value::Number(number) => self.numbers.push(number.as_f64().unwrap()),
            Value::String(text) => self.texts.push(text.clone()),
            Value::Array(all) => {
                // Rows may be counted.
                self.numbers.push(all.len() as f64);
                all.iter().for_each(|one| self.take(one));
            }
            Value::Object(all) => all.values().for_each(|one| self.take(one)),
            Value::Bool(_) | Value::Null => {}
        }
    }

    /// Whether a number, with the digits that it is shown with, is one of the document: rounded, or as a share in per cent.
    fn has(&self, shown: &str) -> bool {
        let decimals = shown.split_once('.').map_or(0, |(_, rest)| rest.len());
        let value: f64 = shown.parse().unwrap();
        let last = 0.1_f64.powi(decimals as i32);
        let is = |number: f64| (number.abs() - value).abs() < last * (1.0 - 1e-6);
        self.numbers.iter().any(|&number| is(number) || is(number * 100.0))
            || self.texts.iter().any(|text| numbers(text).iter().any(|one| one.parse() == Ok(value)))
    }
}

/// The numbers of a text, as they stand there, without signs and without the gaps between thousands; not those within names (`F1`) and not those of
/// exponents.
fn numbers(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let mut found = Vec::new();
    let mut place = 0;
    while place < letters.len() {
        let before = place.checked_sub(1).map(|one| letters[one]);
        if !letters[place].is_ascii_digit() || before.is_some_and(|one| one.is_alphanumeric() || one == '.') {
            place += 1;
            continue;
        }
        let mut number = String::new();
        while place < letters.len() {
            let digits = |from: usize| letters[from..].iter().take_while(|one| one.is_ascii_digit()).count();
            let is_thousand = letters[place] == ' ' && number.len() <= 9 && digits(place + 1) == 3;
            let is_point = letters[place] == '.' && digits(place + 1) > 0 && !number.contains('.');
            if letters[place].is_ascii_digit() || is_point {
                number.push(letters[place]);
            } else if !is_thousand || number.contains('.') {
                break;
            }
            place += 1;
        }
        found.push(number);
    }
    found
}

/// Runs a command twice, and compares. Some numbers are sums of rows, which `sums` makes of the document.
#[track_caller]
fn assert_all_there(command: &[&str], code: i32, sums: &[f64]) {
    let quiet = [command, &["--quiet"]].concat();
    let shown = run(&quiet);
    assert_eq!(shown.status.code(), Some(code), "{}", text(&shown.stderr));
    let screen = text(&shown.stdout);
    let found = document(&run(&[&quiet[..], &["--json"]].concat()), code);
    assert_units_are_named(&found);
    let mut held = Held::of(&found);
    held.numbers.extend(sums);
    let mut seen = 0;
    for line in screen.lines() {
        // How long a search took differs from run to run.
        let words: Vec<&str> = line.split(' ').collect();
        let seconds = words.windows(2).filter(|pair| pair[1].trim_end_matches(['.', ';']) == "s");
        let seconds: Vec<&str> = seconds.map(|pair| pair[0]).collect();
        for number in numbers(line).iter().filter(|number| !seconds.contains(&number.as_str())) {
            seen += 1;
            assert!(held.has(number), "{number} in `{line}` is not in the document\n{found:#}");
        }
    }
    assert!(seen >= 10, "{seen} numbers in\n{screen}");
}

/// Sums of money have no unit in their keys: the document names it once.
#[track_caller]
fn assert_units_are_named(document: &Value) {
    let has_units = document["units"]["volume"].is_string() && document["units"]["money"].is_string();
    // A comparison names the unit beside each figure; a rehearsal counts volumes, days and shares alone.
    let is_named_beside = document["figures"][0]["unit"].is_string() || document["promised_hl"].is_number();
    assert!(has_units || is_named_beside, "{document:#}");
}

fn path(case: &str) -> String {
    cases().join(case).display().to_string()
}

#[test]
fn numbers_are_found_in_texts() {
    assert_eq!(
        numbers("F1 38 016.00 a year, -0.5 % (12.) 4 5 in 2026-12-07"),
        ["38016.00", "0.5", "12", "4", "5", "2026", "12", "07"]
    );
    let held = Held::of(&serde_json::json!({"a": 38_015.994, "b": [0.667], "c": "Mon 7 Dec"}));
    assert!(["38015.99", "38016.00", "66.7", "7", "1"].iter().all(|number| held.has(number)));
    assert!(!["38015.8", "38015.90", "66.2", "8"].iter().any(|number| held.has(number)));
}

#[test]
fn every_number_of_levers() {
    let case = path("tiny/six-fermenters-one-bright/brewplan.yaml");
    let tried = 12.0 + 6.0;
    assert_all_there(&["levers", &case, "--weeks", "2", "--pairs"], 0, &[tried]);
}

#[test]
fn every_number_of_a_comparison() {
    let growth = |file: &str| path(&format!("growth/{file}"));
    let (base, tank) = (growth("six-fermenters/brewplan.yaml"), growth("bright-tank.yaml"));
    assert_all_there(&["compare", &base, &tank, "--for-ever", "--weeks", "2"], 0, &[]);
    assert_all_there(&["compare", &base, &tank], 0, &[]);
}

#[test]
fn every_number_of_a_layout() {
    let days_of_a_week = 7.0;
    let case = path("tiny/fermenter-or-bright/brewplan.yaml");
    assert_all_there(&["layout", &case], 0, &[days_of_a_week]);
    assert_all_there(&["layout", &path("growth/clients-demand/brewplan.yaml")], 1, &[]);
}

#[test]
fn every_number_of_why() {
    assert_all_there(&["why", &path("why/displaced/brewplan.yaml"), "--order", "inn"], 0, &[]);
    assert_all_there(&["why", &path("why/two-hours-more/brewplan.yaml"), "--order", "festival"], 0, &[]);
}

#[test]
fn every_number_of_a_plan_that_is_made_again_and_of_a_rehearsal() {
    let (_folder, plan) = planned("tiny/three-days-late");
    let (case, happened) =
        (path("tiny/three-days-late/brewplan.yaml"), path("tiny/three-days-late/happened.yaml"));
    let again = ["replan", &case, "--from", &plan, "--on", "2026-12-09", "--happened", &happened];
    assert_all_there(&again, 0, &[]);
    let (_folder, plan) = planned("tiny/rehearsal");
    assert_all_there(&["rehearse", &path("tiny/rehearsal/brewplan.yaml"), "--from", &plan], 0, &[]);
}

#[test]
fn every_number_of_what_can_be_kept_up() {
    let case = path("tiny/six-fermenters-one-bright/brewplan.yaml");
    // The gap, in the unit of the objective: bound less objective.
    let gap = 49.980_5 - 49.974_25;
    assert_all_there(&["keep-up", &case, "--weeks", "2", "--stats"], 0, &[gap]);
}
