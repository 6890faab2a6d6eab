//! `rehearse` on real files: batches late in turn, draws, and what is said of them.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod common;

use serde_json::Value;

use common::{case, document, planned, run, text};

const CASE: &str = "tiny/rehearsal";

fn rehearse(plan: &str, more: &[&str]) -> std::process::Output {
    let brewplan = case(CASE);
    run(&[&["rehearse", &brewplan, "--from", plan, "--quiet", "--gap", "0"], more].concat())
}

#[test]
fn each_batch_late_in_turn_is_as_worked_out_by_hand() {
    let (_folder, plan) = planned(CASE);
    let found = document(&rehearse(&plan, &["--draws", "0", "--json"]), 0);
    let batches = found["batches"].as_array().unwrap();
    assert_eq!(batches.len(), 2);
    let used = |date: &str| batches.iter().find(|row| row["used"] == date).unwrap();
    let (first, second) = (used("2026-12-07"), used("2026-12-09"));
    for batch in [first, second] {
        assert_eq!((&batch["ready"], &batch["known"]), (&"2026-12-07".into(), &"2026-12-07".into()));
        assert_eq!(batch["bearable_days"], 2, "{batch}");
        assert_eq!(batch["must_be_ready"], "2026-12-09");
        // Three days late: packaged on Friday at the earliest, when the van goes; one of the two vans gets nothing.
        let orders = batch["late"][2]["orders"].as_array().unwrap();
        assert_eq!((orders.len(), orders[0]["short_hl"].as_f64()), (1, Some(20.0)), "{batch}");
    }
    assert_eq!((first["spare_days"].as_i64(), second["spare_days"].as_i64()), (Some(0), Some(2)));
    // The other batch takes its place.
    assert_eq!(first["late"][0]["course"], "planned_again");
    assert!(first["late"][0]["changes"].as_u64() >= Some(2), "{first}");
    let stands: Vec<&Value> = second["late"].as_array().unwrap().iter().map(|late| &late["course"]).collect();
    assert_eq!(stands, ["stands", "stands", "planned_again"]);
}

#[test]
fn draws_that_cannot_go_otherwise_are_as_worked_out_by_hand() {
    let (_folder, plan) = planned(CASE);
    // Both ready on Tuesday: the first is packaged on Wednesday, in time for the second van alone.
    let late = ["--draws", "2", "--late", "100%,0%,0%", "--stops", "0%", "--json"];
    let found = document(&rehearse(&plan, &late), 0);
    let draws = found["draws"].as_array().unwrap();
    assert_eq!(draws.len(), 2);
    for draw in draws {
        assert_eq!((draw["late_batches"].as_i64(), draw["line_stops"].as_i64()), (Some(2), Some(0)));
        let orders = draw["orders"].as_array().unwrap();
        assert_eq!(orders.len(), 1, "{draw}");
        assert_eq!(
            (orders[0]["order"].as_str(), orders[0]["short_hl"].as_f64()),
            (Some("first van"), Some(20.0))
        );
    }
    assert_eq!((&found["orders"][0]["fails"], &found["draws_without_fall"]), (&2.into(), &0.into()));
    // The line stops on each day on which it is to run, so nothing is ever packaged.
    let stops = ["--draws", "1", "--late", "0%,0%,0%", "--stops", "100%", "--json"];
    let found = document(&rehearse(&plan, &stops), 0);
    assert_eq!(found["draws"][0]["orders"].as_array().unwrap().len(), 2, "{}", found["draws"]);
    assert_eq!((found["kept_up"].as_f64(), found["promised_hl"].as_f64()), (Some(0.0), Some(40.0)));
    // Nothing happens: all is kept.
    let nothing = ["--draws", "3", "--late", "0%,0%,0%", "--stops", "0%", "--json"];
    let found = document(&rehearse(&plan, &nothing), 0);
    assert_eq!((&found["draws_without_fall"], found["kept_up"].as_f64()), (&3.into(), Some(1.0)));
}

#[test]
fn draws_are_the_same_for_the_same_seed_whatever_the_threads() {
    let (_folder, plan) = planned(CASE);
    let drawn = |seed: &str, threads: &str| {
        let words = [
            "--draws",
            "12",
            "--late",
            "30%,20%,10%",
            "--stops",
            "20%",
            "--seed",
            seed,
            "--threads",
            threads,
            "--json",
        ];
        let mut found = document(&rehearse(&plan, &words), 0);
        found["seconds"] = Value::Null;
        found
    };
    let one = drawn("1", "1");
    assert_eq!(one, drawn("1", "2"));
    assert_ne!(one["draws"], drawn("2", "2")["draws"]);
}

#[test]
fn screen_and_report_say_it_in_the_units_asked_for() {
    let (folder, plan) = planned(CASE);
    let page = folder.path().join("page.html").display().to_string();
    let words = ["--draws", "2", "--late", "100%,0%,0%", "--stops", "0%", "--units", "us", "--report", &page];
    let screen = text(&rehearse(&plan, &words).stdout);
    // 2000 L over 117.347765304 L in a US barrel (27 CFR 25.11).
    assert!(
        screen.contains("second van short 17.0 bbl")
            && screen.contains("in time until")
            && !screen.contains(" hL"),
        "{screen}"
    );
    assert!(screen.contains("Wed 9 Dec"), "{screen}");
    let page = std::fs::read_to_string(&page).unwrap();
    for words in ["Each batch late", "second van short 17.0", "first van"] {
        assert!(page.contains(words), "{words}");
    }
}

#[test]
fn a_plan_with_a_breach_and_wrong_chances_are_refused() {
    let (folder, plan) = planned(CASE);
    let broken = std::fs::read_to_string(&plan).unwrap().replacen(
        "on: 2026-12-08, do: package",
        "on: 2026-12-07, do: package",
        1,
    );
    let file = folder.path().join("broken.yaml").display().to_string();
    std::fs::write(&file, broken).unwrap();
    let output = rehearse(&file, &["--json"]);
    assert_eq!(output.status.code(), Some(2), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(found["findings"][0]["code"], "V195", "{found}");
    for late in ["10%,5%", "60%,30%,20%", "ten"] {
        assert_eq!(rehearse(&plan, &["--late", late]).status.code(), Some(2), "{late}");
    }
}

#[test]
fn what_is_not_rehearsed_is_said() {
    // A bright tank is full on the first day, and nothing is brewed: no batch can be late.
    let cautions = |name: &str| {
        let (_folder, plan) = planned(name);
        let brewplan = case(name);
        let words = ["rehearse", &brewplan, "--from", &plan, "--draws", "1", "--quiet"];
        let found = document(&run(&[&words[..], &["--json"]].concat()), 0);
        (found, text(&run(&words).stdout))
    };
    let of = |found: &Value, code: &str| {
        found["cautions"].as_array().unwrap().iter().filter(|caution| caution["code"] == code).count()
    };
    let (found, screen) = cautions("tiny/keg-pool");
    assert_eq!(
        (found["batches"].as_array().unwrap().len(), of(&found, "V196"), of(&found, "V197")),
        (0, 1, 0)
    );
    assert!(screen.contains("V196: no batch can be late in the planned days"), "{screen}");
    assert!(screen.contains("No batch is rehearsed."), "{screen}");
    // Lagers that the plan brews go into a conditioning tank.
    let (found, screen) = cautions("tiny/lager");
    assert!(of(&found, "V197") >= 1 && of(&found, "V196") == 0, "{found:#}");
    assert!(screen.contains("V197: this batch is not rehearsed"), "{screen}");
}
