//! `study` on the real binary: items, results and their sum, and what is said of lines that are broken.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::collections::BTreeSet;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Output, Stdio};

use serde_json::Value;

use common::{case, cases, cellarwright, document, run, text};

/// A folder with the items of a small study: two demands, three layouts.
struct Place {
    folder: tempfile::TempDir,
}

const STUDY: &str = "study: two demands\nscenarios:\n  - {name: as asked}\n  - {name: two thirds, factors: [{factor: 0.666}]}\n\
                     layouts: [{name: as it is}, {name: two bright tanks, buys: [B1, B2]}]\ncheapest: yes\n";

impl Place {
    fn prepared(options: &[&str]) -> Self {
        let place = Self { folder: tempfile::tempdir().unwrap() };
        std::fs::write(place.path("study.yaml"), STUDY).unwrap();
        let (plan, study, items) =
            (case("tiny/fermenter-or-bright"), place.name("study.yaml"), place.name("items.jsonl"));
        let output = run(&[&["study", "prepare", &plan, &study, "--items", &items], options].concat());
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        assert!(text(&output.stderr).contains("6 items of 2 demands"), "{}", text(&output.stderr));
        place
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn name(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    fn run(&self, options: &[&str]) -> Output {
        run(&[&["study", "run", &self.name("items.jsonl")], options].concat())
    }

    fn sum(&self, results: &str, options: &[&str]) -> Output {
        run(&[&["study", "sum", &self.name("items.jsonl"), &self.name(results)], options].concat())
    }

    fn items(&self) -> Vec<String> {
        let text = std::fs::read_to_string(self.path("items.jsonl")).unwrap();
        text.lines().map(str::to_owned).collect()
    }
}

#[track_caller]
fn assert_ends(output: &Output, code: i32) {
    assert_eq!(output.status.code(), Some(code), "{}{}", text(&output.stdout), text(&output.stderr));
}

/// Costs are those of the case, worked out by hand there.
#[test]
fn the_sum_has_what_each_layout_meets_and_the_cheapest_for_each_demand() {
    let place = Place::prepared(&[]);
    let results = place.name("results");
    let output = place.run(&["--results", &results, "--threads", "2"]);
    assert_ends(&output, 0);
    assert!(text(&output.stderr).contains("as asked, two bright tanks: met for 38 016.00 money a year"));
    let found = document(&place.sum("results", &["--json"]), 0);
    let layouts = found["layouts"].as_array().unwrap();
    let of = |key: &str| layouts.iter().map(|row| row[key].as_f64().unwrap()).collect::<Vec<_>>();
    assert_eq!(of("meets_at_least"), [0.5, 1.0, 1.0]);
    assert_eq!(of("meets_at_most"), [0.5, 1.0, 1.0]);
    assert_eq!(of("cheapest"), [1.0, 1.0, 0.0]);
    let demands = found["scenarios"].as_array().unwrap();
    let cheapest: Vec<(&str, f64, bool)> = demands
        .iter()
        .map(|row| {
            let cost = row["cost_a_year"].as_f64().unwrap();
            (row["cheapest"].as_str().unwrap(), cost, row["proven"].as_bool().unwrap())
        })
        .collect();
    assert_eq!(cheapest, [("two bright tanks", 38_016.0, true), ("as it is", 23_296.0, true)]);
    let screen = text(&place.sum("results", &[]).stdout);
    for line in screen.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    for words in ["6 of 6 items have a result", "two bright tanks", "38 016.00  proven", "50.0 %"] {
        assert!(screen.contains(words), "{words} in\n{screen}");
    }
    let found = document(&place.sum("results", &["--json", "--units", "us"]), 0);
    // 30 hL are 25.565 bbl.
    assert!(
        (found["scenarios"][0]["asked_a_week_bbl"].as_f64().unwrap() - 25.565).abs() < 0.001,
        "{found:#}"
    );
}

/// The bytes of every result are the same: all in one go, item by item, in parts, from another folder, from stdin.
#[test]
fn results_are_the_same_bytes_however_the_items_are_done() {
    let place = Place::prepared(&[]);
    let sorted = |text: String| text.lines().map(str::to_owned).collect::<BTreeSet<_>>();
    let all = place.run(&["--quiet"]);
    assert_ends(&all, 0);
    let all = sorted(text(&all.stdout));
    assert_eq!(all.len(), 6);
    let mut parts = String::new();
    for part in ["2/2", "1/2"] {
        parts.push_str(&text(&place.run(&["--quiet", "--part", part]).stdout));
    }
    assert_eq!(sorted(parts), all);
    let mut one_by_one = String::new();
    for number in ["6", "3", "1", "2", "5", "4"] {
        one_by_one.push_str(&text(&place.run(&["--quiet", "--item", number]).stdout));
    }
    assert_eq!(sorted(one_by_one), all);
    // One item alone, away from its brew plan and from the other items.
    let mut child = cellarwright(&["study", "run", "-", "--quiet"])
        .current_dir(place.folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(place.items()[1].as_bytes()).unwrap();
    let line = text(&child.wait_with_output().unwrap().stdout);
    assert!(all.contains(line.trim_end()), "{line}");
    // And the sum of what was collected in a file is that of the files.
    std::fs::write(place.path("all.jsonl"), all.into_iter().collect::<Vec<_>>().join("\n")).unwrap();
    assert_ends(&place.run(&["--quiet", "--results", &place.name("results")]), 0);
    let [collected, files] = ["all.jsonl", "results"].map(|results| text(&place.sum(results, &[]).stdout));
    assert_eq!(collected, files);
}

#[test]
fn a_result_that_is_cut_off_is_told_and_done_again_and_what_is_done_is_not() {
    let place = Place::prepared(&[]);
    let results = place.name("results");
    assert_ends(&place.run(&["--quiet", "--results", &results, "--item", "1", "--item", "2"]), 0);
    let id = |line: &str| serde_json::from_str::<Value>(line).unwrap()["id"].as_str().unwrap().to_owned();
    let items = place.items();
    let file = |item: usize| place.path("results").join(format!("{}.jsonl", id(&items[item - 1])));
    let whole = std::fs::read_to_string(file(2)).unwrap();
    std::fs::write(file(2), &whole[..60]).unwrap();
    let done = std::fs::metadata(file(1)).unwrap().modified().unwrap();
    let summed = place.sum("results", &["--json"]);
    assert!(text(&summed.stderr).contains("V182"), "{}", text(&summed.stderr));
    let summed = document(&summed, 1);
    assert_eq!(summed["findings"][0]["code"], "V182");
    let missing: Vec<i64> =
        summed["missing"].as_array().unwrap().iter().map(|row| row["item"].as_i64().unwrap()).collect();
    assert_eq!(missing, [2, 3, 4, 5, 6]);
    // Of two demands, one without a result for this layout.
    assert_eq!(summed["layouts"][1]["meets_at_most"], 1.0);
    let output = place.run(&["--results", &results]);
    assert_ends(&output, 0);
    let said = text(&output.stderr);
    assert!(said.contains("V182") && said.contains(&format!("{}.jsonl:1", id(&items[1]))), "{said}");
    assert_eq!(said.matches("done before").count(), 1, "{said}");
    assert_eq!(std::fs::read_to_string(file(2)).unwrap(), whole);
    assert_eq!(std::fs::metadata(file(1)).unwrap().modified().unwrap(), done);
    assert_ends(&place.sum("results", &[]), 0);
}

#[test]
fn broken_lines_of_items_are_findings_and_the_others_are_done() {
    let place = Place::prepared(&[]);
    let items = place.items();
    let odd = items[1].replacen("\"seed\":0", "\"seed\":1", 1);
    std::fs::write(place.path("items.jsonl"), [&items[0], "nonsense", &odd, &items[2][..200]].join("\n"))
        .unwrap();
    let output = place.run(&["--item", "1", "--item", "2", "--item", "3", "--item", "4", "--item", "9"]);
    assert_ends(&output, 2);
    let said = text(&output.stderr);
    for (code, line) in [("V183", 2), ("V184", 3), ("V182", 4), ("V188", 9)] {
        assert!(said.contains(code) && said.contains(&format!("items.jsonl:{line}")), "{code} in\n{said}");
    }
    assert_eq!(text(&output.stdout).lines().count(), 1);
    // Lines that are not asked for are not looked at.
    assert_ends(&place.run(&["--item", "1", "--quiet"]), 0);
    let output = run(&["study", "run", &place.name("none.jsonl")]);
    assert_ends(&output, 2);
}

#[test]
fn a_time_limit_that_struck_is_said_and_more_seconds_do_the_item_again() {
    let place = Place::prepared(&[]);
    let results = place.name("results");
    let output = place.run(&["--results", &results, "--seconds", "0.001"]);
    assert_ends(&output, 0);
    assert!(text(&output.stderr).contains("the time limit struck"), "{}", text(&output.stderr));
    let summed = document(&place.sum("results", &["--json"]), 1);
    assert_eq!(summed["stopped"].as_array().unwrap().len(), 6, "{summed:#}");
    assert_eq!(summed["scenarios"][0]["proven"], false);
    assert!(text(&place.sum("results", &[]).stdout).contains("Stopped by the time limit"));
    assert_ends(&place.run(&["--results", &results, "--quiet"]), 0);
    assert_ends(&place.sum("results", &[]), 0);
}

/// A limit of nodes is no clock: what it leaves open is the same each time, and no time limit struck.
#[test]
fn a_limit_of_nodes_gives_the_same_bytes_each_time() {
    let place = Place::prepared(&["--nodes", "1"]);
    let [first, second] = [(); 2].map(|()| text(&place.run(&["--quiet"]).stdout));
    assert_eq!(first, second);
    assert_eq!(first.lines().count(), 6);
    assert!(!first.contains("\"stopped_after_seconds\":3"), "{first}");
}

#[test]
fn a_study_that_does_not_fit_and_a_brew_plan_without_a_layout_are_told() {
    let place = tempfile::tempdir().unwrap();
    let study = place.path().join("study.yaml");
    std::fs::write(&study, STUDY.replace("B2]", "B7]")).unwrap();
    let [study, items] = [study, place.path().join("items.jsonl")].map(|path| path.display().to_string());
    let output = run(&["study", "prepare", &case("tiny/fermenter-or-bright"), &study, "--items", &items]);
    assert_ends(&output, 2);
    let said = text(&output.stderr);
    assert!(said.contains("V194") && said.contains("study.yaml:5"), "{said}");
    let output = run(&["study", "prepare", &case("tiny/lager"), &study, "--items", &items]);
    assert_ends(&output, 2);
    assert!(text(&output.stderr).contains("the brew plan has no `layout`"));
    assert!(!cases().join("items.jsonl").exists() && !PathBuf::from(items).exists());
}
