//! `replan` on real files: what is done stays, what has happened is read, and changes are few, listed and bounded.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod common;

use std::path::Path;

use cellarwright_model::plan_file::read_plan;
use cellarwright_model::yaml::read_case;
use serde_json::Value;

use common::{case, cases, document, planned, run, text};

const CASE: &str = "tiny/three-days-late";

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

#[test]
fn where_nothing_has_happened_nothing_changes() {
    let (folder, plan) = planned(CASE);
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
    let (_folder, plan) = planned(CASE);
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
    let (folder, plan) = planned(CASE);
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
    let (_folder, plan) = planned(CASE);
    let news = happened();
    document(&replan(&plan, "2026-12-09", &["--happened", &news, "--json", "--changes", "3"]), 0);
    let found = document(&replan(&plan, "2026-12-09", &["--happened", &news, "--json", "--changes", "0"]), 1);
    let settled = found["conflict"]["settled"].as_array().unwrap();
    assert!(settled.iter().any(|one| one["kind"] == "changes"), "{found}");
}

#[test]
fn a_tank_that_is_out_and_people_who_are_away_are_kept_to() {
    let (folder, plan) = planned(CASE);
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

/// What is short of each order, by name.
fn missed(found: &Value) -> Vec<(String, f64)> {
    let orders = found["orders"].as_array().unwrap();
    let mut missed: Vec<(String, f64)> = orders
        .iter()
        .map(|row| (row["order"].as_str().unwrap().to_owned(), row["missed_hl"].as_f64().unwrap()))
        .collect();
    missed.sort_by(|one, other| one.0.cmp(&other.0));
    missed
}

fn with(words: &str, on: &str) -> Value {
    let (folder, plan) = planned(CASE);
    let file = written(folder.path(), words);
    document(&replan(&plan, on, &["--happened", &file, "--json"]), 0)
}

#[test]
fn orders_come_in_and_are_withdrawn_and_changed() {
    // By hand: 40 hL are in tank, and are all that there is in these days.
    let came = "orders:\n  added:\n    - {name: fete, beer: Plain Ale, format: keg, quantity: 20 hL, due: 2026-12-16}\n";
    let found = missed(&with(came, "2026-12-09"));
    assert_eq!(found.len(), 3);
    assert!((found.iter().map(|order| order.1).sum::<f64>() - 20.0).abs() < 1e-6, "{found:?}");
    let went = with("orders: {withdrawn: second van}\n", "2026-12-09");
    assert_eq!(missed(&went), [("first van".to_owned(), 0.0)]);
    // Half of it, a day later: nothing has to be done otherwise.
    let less = "orders: {changed: [{name: second van, quantity: 10 hL, due: 2026-12-17}]}\n";
    let found = with(less, "2026-12-09");
    let row = found["orders"].as_array().unwrap().iter().find(|row| row["order"] == "second van").unwrap();
    assert_eq!((row["quantity_hl"].as_f64(), row["missed_hl"].as_f64()), (Some(10.0), Some(0.0)), "{row}");
    assert_eq!(row["due"], "2026-12-17");
    assert_eq!(found["changes"]["count"], 0, "{}", found["changes"]);
}

#[test]
fn what_was_done_otherwise_stands_in_the_plan_as_it_was_done() {
    // By hand: moved a day later and not packaged on Tuesday, the beer of F1 is too late for the van on Wednesday; the other van gets its own.
    let late = "otherwise:\n  - {transfer: Plain Ale, on: 2026-12-07, instead: {on: 2026-12-08}}\n  \
                - {package: Plain Ale, on: 2026-12-08, instead: not done}\n";
    let found = with(late, "2026-12-09");
    assert_eq!(missed(&found), [("first van".to_owned(), 20.0), ("second van".to_owned(), 0.0)]);
    let work = found["work"].as_array().unwrap();
    let dates = |kind: &str| -> Vec<&str> {
        let of = |row: &&Value| row["work"] == kind;
        work.iter().filter(of).map(|row| row["date"].as_str().unwrap()).collect()
    };
    assert!(dates("transfer").contains(&"2026-12-08") && !dates("transfer").contains(&"2026-12-07"));
    assert!(!dates("package").contains(&"2026-12-08"));
    // By hand: 16 of 20 hL packaged on Tuesday; what is left in B1 is too late for the first van. Work that is done may differ by 5 mL.
    let less = "otherwise:\n  - {package: Plain Ale, on: 2026-12-08, instead: {volume: 16 hL}}\n";
    let short = missed(&with(less, "2026-12-09"));
    assert!((short[0].1 - 4.0).abs() < 1e-3 && short[1].1 == 0.0, "{short:?}");
}

#[test]
fn what_was_measured_in_a_fermenter_counts_in_place_of_what_was_brewed() {
    // By hand, no losses: 18 hL in F2, so two are short of 20.
    let found = with("holds:\n  - {vessel: F2, volume: 18 hL}\n", "2026-12-09");
    let short: f64 = missed(&found).iter().map(|order| order.1).sum();
    assert!((short - 2.0).abs() < 1e-6, "{:?}", missed(&found));
    // Brewed on the first Monday and ready on the Wednesday, into F1, which is empty: 17 hL of 20 are in it. Nobody brews before the next
    // Monday, and what is brewed then is too late for either van.
    let folder = tempfile::tempdir().unwrap();
    let brewplan = std::fs::read_to_string(case(CASE)).unwrap();
    let cellar = cases().join(CASE).join("cellar.yaml").display().to_string();
    let brewplan = brewplan
        .replace("cellar: cellar.yaml", &format!("cellar: {cellar}"))
        .replace("{ferment: 9 d, chill: 5 d}", "{ferment: 2 d, chill: 0 d}")
        .replace("due: 2026-12-09", "due: 2026-12-15")
        .replace("roles: [brew], hours: 8 h, days: mon-fri", "roles: [brew], hours: 8 h, days: [mon]")
        .replace("- {vessel: F1,", "# - {vessel: F1,")
        .replace("aim: orders", "aim: orders\npinned: [{brew: Plain Ale, vessel: F1, on: 2026-12-07}]");
    let file = folder.path().join("brewplan.yaml").display().to_string();
    std::fs::write(&file, brewplan).unwrap();
    let plan = folder.path().join("plan.yaml").display().to_string();
    let first = document(&run(&["plan", &file, "--quiet", "--gap", "0", "--out", &plan, "--json"]), 0);
    assert!(missed(&first).iter().all(|order| order.1 == 0.0), "{:?}", missed(&first));
    let news = written(folder.path(), "holds:\n  - {vessel: F1, volume: 17 hL}\n");
    let words =
        ["replan", &file, "--from", &plan, "--on", "2026-12-08", "--happened", &news, "--quiet", "--json"];
    let found = document(&run(&[&words[..], &["--gap", "0"]].concat()), 0);
    let short: f64 = missed(&found).iter().map(|order| order.1).sum();
    assert!((short - 3.0).abs() < 1e-6, "{:?}", missed(&found));
    let moved: Vec<f64> = found["work"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["work"] == "transfer" && row["from"] == serde_json::json!(["F1"]))
        .map(|row| row["volume_hl"].as_f64().unwrap())
        .collect();
    assert_eq!(moved, [17.0], "{}", found["work"]);
}

#[test]
fn every_fault_of_orders_work_and_volumes_has_its_code() {
    let (folder, plan) = planned(CASE);
    let wrong = "holds:\n  - {vessel: B1, volume: 10 hL}\n  - {vessel: F2, volume: 30 hL}\norders:\n  withdrawn: [third van]\n  \
                 changed:\n    - {name: second van}\n    - {name: first van, quantity: 10 hL}\n    \
                 - {name: second van, due: 2026-12-08}\notherwise:\n  \
                 - {clean: F2, on: 2026-12-07, instead: not done}\n  \
                 - {clean: F2, on: 2026-12-11, instead: not done}\n  \
                 - {clean: F1, on: 2026-12-09, instead: {on: 2026-12-09}}\n  \
                 - {clean: F1, format: keg, on: 2026-12-09, instead: not done}\n";
    let file = written(folder.path(), wrong);
    let found = document(&replan(&plan, "2026-12-10", &["--happened", &file, "--json"]), 2);
    let codes: Vec<&str> =
        found["findings"].as_array().unwrap().iter().map(|row| row["code"].as_str().unwrap()).collect();
    let wanted = ["V156", "V502", "V153", "V157", "V154", "V151", "V155", "V158", "V157", "V110"];
    assert_eq!(codes, wanted, "{found}");
}

#[test]
fn what_cannot_be_is_told_all_at_once() {
    let (folder, plan) = planned(CASE);
    let wrong = "late:\n  - {vessel: B1, days: 3 d}\n  - {vessel: F9, days: 3 d}\nout:\n  - {vessel: B1, from: 2026-12-07, \
                 to: 2026-12-08}\naway:\n  - {crew: packer, people: 1, on: 2026-12-10}\nlates: []\n";
    let file = written(folder.path(), wrong);
    let output = replan(&plan, "2026-12-09", &["--happened", &file, "--json"]);
    let found = document(&output, 2);
    let codes: Vec<&str> =
        found["findings"].as_array().unwrap().iter().map(|row| row["code"].as_str().unwrap()).collect();
    assert_eq!(codes, ["V150", "V201", "V151", "V152", "V110"], "{found}");
    for (on, words) in
        [("2026-12-06", "not one of the planned days"), ("2026-12-21", "not one of the planned days")]
    {
        let output = replan(&plan, on, &[]);
        assert_eq!(output.status.code(), Some(2));
        assert!(text(&output.stderr).contains(words), "{}", text(&output.stderr));
    }
}
