//! `replan` on real files: what is done stays, what has happened is read, and changes are few, listed and bounded.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod common;

use std::path::Path;

use cellarwright_model::plan_file::read_plan;
use cellarwright_model::yaml::read_case;
use serde_json::Value;

use common::{case, cases, run, text};

const CASE: &str = "tiny/three-days-late";

/// The plan of the case, in a folder of its own.
fn planned() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.yaml").display().to_string();
    let output = run(&["plan", &case(CASE), "--quiet", "--gap", "0", "--out", &plan]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    (folder, plan)
}

fn replan(plan: &str, on: &str, more: &[&str]) -> std::process::Output {
    let brewplan = case(CASE);
    let words = ["replan", &brewplan, "--from", plan, "--on", on, "--quiet", "--gap", "0"];
    run(&[&words, more].concat())
}

fn happened() -> String {
    cases().join(CASE).join("happened.yaml").display().to_string()
}

fn written(folder: &Path, words: &str) -> String {
    let file = folder.join("happened.yaml");
    std::fs::write(&file, format!("happened: Something\n{words}")).unwrap();
    file.display().to_string()
}

fn document(output: &std::process::Output, code: i32) -> Value {
    assert_eq!(output.status.code(), Some(code), "{}{}", text(&output.stdout), text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn where_nothing_has_happened_nothing_changes() {
    let (folder, plan) = planned();
    let again = folder.path().join("again.yaml").display().to_string();
    for on in ["2026-12-07", "2026-12-09", "2026-12-20"] {
        let found = document(&replan(&plan, on, &["--json", "--out", &again]), 0);
        assert_eq!(found["changes"]["count"], 0, "{on}: {}", found["changes"]);
        let case = read_case(Path::new(&case(CASE))).case.unwrap();
        let read = |file: &str| read_plan(&case, file, &std::fs::read_to_string(file).unwrap()).unwrap();
        assert_eq!(read(&again), read(&plan), "{on}");
    }
}

#[test]
fn a_batch_three_days_late_moves_what_hangs_on_it_and_no_more() {
    // By hand: F2 cannot be emptied before Monday, so its transfer, the packaging after it and its clean have to move; all else stays.
    let (_folder, plan) = planned();
    let news = happened();
    let output = replan(&plan, "2026-12-09", &["--happened", &news, "--json"]);
    let found = document(&output, 0);
    let rows = found["changes"]["rows"].as_array().unwrap();
    let of = |work: &str| rows.iter().find(|row| row["work"] == work).unwrap();
    assert_eq!((rows.len(), found["changes"]["count"].as_u64()), (3, Some(3)), "{}", found["changes"]);
    for (work, before, after) in
        [("transfer", "2026-12-09", "2026-12-14"), ("package", "2026-12-10", "2026-12-15")]
    {
        assert_eq!(of(work)["change"], "day");
        assert_eq!(
            (&of(work)["before"]["date"], &of(work)["after"]["date"]),
            (&before.into(), &after.into())
        );
    }
    assert_eq!(of("clean")["change"], "day");
    // The parts of the objective add up to it, with the weight of the changes among them.
    let parts: f64 =
        found["breakdown"].as_array().unwrap().iter().map(|part| part["amount"].as_f64().unwrap()).sum();
    assert!((parts - found["objective"].as_f64().unwrap()).abs() < 0.01, "{parts}");
    let (worth, cost) = (&found["changes"]["worth_without"], &found["changes"]["cost"]);
    let sum = worth.as_f64().unwrap() - cost.as_f64().unwrap();
    assert!((sum - found["objective"].as_f64().unwrap()).abs() < 0.01);
    assert!(found["bound"].as_f64() >= found["objective"].as_f64());
    // Both vans are served, and what was done on Monday and Tuesday stands there as it was.
    assert!(
        found["orders"].as_array().unwrap().iter().all(|order| order["missed_hl"] == 0.0),
        "{}",
        found["orders"]
    );
    let screen = text(&replan(&plan, "2026-12-09", &["--happened", &news]).stdout);
    assert!(screen.contains("transfer Plain Ale from F2 to B1, moves to Mon 14 Dec"), "{screen}");
    assert!(screen.find("What changes").unwrap() < screen.find("Work by day").unwrap());
}

#[test]
fn changes_are_shown_in_the_units_asked_for_and_in_the_report() {
    // By hand: 2000 L over 117.347765304 L in a US barrel (27 CFR 25.11).
    let (folder, plan) = planned();
    let page = folder.path().join("page.html").display().to_string();
    let news = happened();
    let words = ["--happened", &news, "--units", "us", "--report", &page];
    let screen = text(&replan(&plan, "2026-12-09", &words).stdout);
    assert!(screen.contains("17.0 bbl") && !screen.contains(" hL"), "{screen}");
    let found = document(&replan(&plan, "2026-12-09", &["--happened", &news, "--units", "us", "--json"]), 0);
    let rows = found["changes"]["rows"].as_array().unwrap();
    let transfer = rows.iter().find(|row| row["work"] == "transfer").unwrap();
    assert_eq!(transfer["before"]["volume_bbl"], 17.04336);
    let page = std::fs::read_to_string(&page).unwrap();
    assert!(page.contains("transfer Plain Ale from F2 to B1, moves to Mon 14 Dec"));
}

#[test]
fn fewer_changes_than_are_needed_are_a_conflict() {
    let (_folder, plan) = planned();
    let news = happened();
    document(&replan(&plan, "2026-12-09", &["--happened", &news, "--json", "--changes", "3"]), 0);
    let found = document(&replan(&plan, "2026-12-09", &["--happened", &news, "--json", "--changes", "0"]), 1);
    let settled = found["conflict"]["settled"].as_array().unwrap();
    assert!(settled.iter().any(|one| one["kind"] == "changes"), "{found}");
}

#[test]
fn a_tank_that_is_out_and_people_who_are_away_are_kept_to() {
    let (folder, plan) = planned();
    let out = written(
        folder.path(),
        "out:\n  - {vessel: B1, from: 2026-12-09, to: 2026-12-11, reason: door seal}\n",
    );
    let found = document(&replan(&plan, "2026-12-09", &["--happened", &out, "--json"]), 0);
    let uses = |row: &&Value| row["work"] == "transfer" && row["date"].as_str() >= Some("2026-12-09");
    let fills: Vec<&Value> = found["work"].as_array().unwrap().iter().filter(uses).collect();
    assert!(fills.iter().all(|row| row["date"].as_str() > Some("2026-12-11")), "{fills:?}");
    assert!(found["changes"]["count"].as_u64() > Some(0));
    let away = written(folder.path(), "away:\n  - {crew: packers, people: 1, on: 2026-12-10}\n");
    let found = document(&replan(&plan, "2026-12-09", &["--happened", &away, "--json"]), 0);
    let runs = |row: &&Value| row["work"] == "package" && row["date"] == "2026-12-10";
    assert_eq!(found["work"].as_array().unwrap().iter().filter(runs).count(), 0);
}

#[test]
fn what_cannot_be_is_told_all_at_once() {
    let (folder, plan) = planned();
    let wrong = "late:\n  - {vessel: B1, days: 3 d}\n  - {vessel: F9, days: 3 d}\nout:\n  - {vessel: B1, from: 2026-12-07, \
                 to: 2026-12-08}\naway:\n  - {crew: packer, people: 1, on: 2026-12-10}\nlates: []\n";
    let file = written(folder.path(), wrong);
    let output = replan(&plan, "2026-12-09", &["--happened", &file, "--json"]);
    let found = document(&output, 2);
    let codes: Vec<&str> =
        found["findings"].as_array().unwrap().iter().map(|row| row["code"].as_str().unwrap()).collect();
    assert_eq!(codes, ["V150", "V201", "V151", "V152", "V110"], "{found}");
    for (on, words) in
        [("2026-12-06", "none of the planned days"), ("2026-12-21", "none of the planned days")]
    {
        let output = replan(&plan, on, &[]);
        assert_eq!(output.status.code(), Some(2));
        assert!(text(&output.stderr).contains(words), "{}", text(&output.stderr));
    }
}
