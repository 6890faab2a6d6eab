//! `layout`: the real command on real files.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use serde_json::Value;

use common::{case, cases, run, text};

fn document(arguments: &[&str], code: i32) -> Value {
    let output = run(&[&["layout"], arguments, &["--json", "--quiet", "--gap", "0"]].concat());
    assert_eq!(output.status.code(), Some(code), "{}{}", text(&output.stdout), text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn near(value: &Value, expected: f64) {
    let found = value.as_f64().unwrap_or(f64::NAN);
    assert!((found - expected).abs() < 0.01, "{found} is not {expected}");
}

/// Numbers are those worked out by hand in the case.
#[test]
fn the_screen_says_what_to_buy_and_the_document_has_every_number_of_it() {
    let plan = case("tiny/fermenter-or-bright");
    let output = run(&["layout", &plan, "--quiet", "--gap", "0"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let screen = text(&output.stdout);
    for line in screen.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    for words in [
        "Buy B1, B2: that meets the demand for 38 016.00 money a year",
        "A second search with another seed found nothing below that either.",
        "there is no vessel for it",
        "What more money meets",
        "A bright tank saves 2.00 fermenter days a batch",
        "labour 1.00 an hour",
    ] {
        assert!(screen.replace("\n  ", " ").contains(words), "{words} in\n{screen}");
    }
    let found = document(&[&plan], 0);
    assert_eq!(found["status"], "met");
    let any = &found["families"][0];
    near(&any["cost_a_year"], 38_016.0);
    near(&any["bought_a_year"], 1_200.0);
    near(&any["price"], 24_000.0);
    near(&any["running_a_year"], 36_816.0);
    near(&found["saved"]["fermenters_freed"], 1.5 * 2.0 / 7.0);
    near(&found["families"][1]["cost_a_year"], 38_944.0);
    assert_eq!(found["frontier"].as_array().unwrap().len(), 4);
    near(&found["frontier"][3]["output_a_week_hl"], 50.0);
    assert_eq!(found["frontier_complete"], true);
    // The same again but for the seconds.
    let mut again = document(&[&plan], 0);
    again["seconds"] = found["seconds"].clone();
    assert_eq!(again, found);
}

#[test]
fn floor_and_volumes_are_shown_in_us_units() {
    let found = document(&[&case("tiny/fermenter-or-bright"), "--units", "us"], 0);
    // Two bright tanks of 4 m2: 8 / 0.09290304; 30 hL are 25.565 bbl.
    near(&found["families"][0]["floor_sqft"], 86.1);
    assert!((found["asked_a_week_bbl"].as_f64().unwrap() - 25.565).abs() < 0.001, "{found:#}");
}

/// A change turns the answer, and a budget holds it back.
#[test]
fn a_change_and_a_budget_are_heeded() {
    let plan = case("tiny/fermenter-or-bright");
    let change = cases().join("tiny/fermenter-or-bright/late-packers.yaml").display().to_string();
    let found = document(&[&plan, "--change", &change], 0);
    assert_eq!(found["change"], "Packers in the late shift");
    assert_eq!(found["families"][0]["bought"][0]["name"], "N1");
    // One bright tank for 12 000 adds nothing to the two batches of the direct way.
    let found = document(&[&plan, "--budget", "12000"], 1);
    near(&found["families"][0]["share"], 2.0 / 3.0);
    let forbids = found["families"][0]["forbids"].as_array().unwrap();
    assert!(forbids.iter().any(|row| row["resources"][0] == "the limit of prices"), "{forbids:#?}");
}

#[test]
fn a_demand_that_cannot_be_met_ends_with_what_forbids_it() {
    let output = run(&["layout", &case("growth/clients-demand"), "--quiet"]);
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
    let screen = text(&output.stdout).replace("\n  ", " ");
    for words in [
        "No layout of these candidates meets the demand: at most 66.7 % of it in a cycle of 1 week, proven",
        "was built anew and replayed by the checker",
        // Five fills in two weeks are the most that one bright tank can have, week after week: 25 of 30 hL.
        "In cycles of any length no more than 83.4 % of the demand is met: proven",
        "- vessels like B1: with plenty 100.0 % are met (solved again, replayed)",
    ] {
        assert!(screen.contains(words), "{words} in\n{screen}");
    }
}

#[test]
fn a_brew_plan_without_a_layout_is_told_what_is_lacking() {
    let output = run(&["layout", &case("tiny/lager"), "--quiet"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("the brew plan has no `layout`"), "{}", text(&output.stderr));
}

/// Closed from Monday to Friday of the busiest week, nothing can be delivered in it: the week that repeats knows no dates, the full plan does.
#[test]
fn the_busiest_weeks_are_planned_by_their_dates() {
    let plan = case("tiny/fermenter-or-bright");
    let found = document(&[&plan, "--peak", "2"], 0);
    let peak = &found["peak"];
    assert_eq!((peak["status"].as_str(), peak["from"].as_str()), (Some("filled"), Some("2026-12-28")));
    // What is planned already is not recommended again.
    let assumed = |found: &Value| found["assumptions"].to_string();
    assert!(
        !assumed(&found).contains("(`--peak`)")
            && assumed(&found).contains("the busiest weeks are in the plan")
    );
    assert!(assumed(&document(&[&plan], 0)).contains("(`--peak`)"));
    // Two weeks of 30 hL.
    near(&peak["delivered_hl"], 60.0);
    let place = tempfile::tempdir().unwrap();
    let change = place.path().join("closed.yaml");
    let days = "[2026-12-28, 2026-12-29, 2026-12-30, 2026-12-31, 2027-01-01]";
    let text_of = format!("change: Closed\nalter:\n  brewplan:\n    calendar: {{closed: {days}}}\n");
    std::fs::write(&change, text_of).unwrap();
    let change = change.display().to_string();
    let found = document(&[&plan, "--change", &change, "--peak", "1"], 0);
    assert_eq!(found["status"], "met");
    assert_eq!(found["peak"]["status"], "short");
    near(&found["peak"]["most_hl"], 0.0);
    near(&found["peak"]["short"][0]["short_hl"], 30.0);
    let output = run(&["layout", &plan, "--change", &change, "--peak", "1", "--quiet"]);
    let screen = text(&output.stdout).replace("\n  ", " ");
    assert!(
        screen.contains("The week that repeats meets the demand, but these days do not let it: proven."),
        "{screen}"
    );
}

/// With no time for the search there is no layout, but what was not shown is not claimed.
#[test]
fn when_time_is_up_at_once_nothing_is_claimed() {
    let output =
        run(&["layout", &case("tiny/fermenter-or-bright"), "--quiet", "--json", "--seconds", "0.01"]);
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(found["status"], "unknown");
    assert!(found["families"][0]["share"].is_null() && found["families"][0]["cost_a_year"].is_null());
    let output = run(&["layout", &case("tiny/fermenter-or-bright"), "--quiet", "--seconds", "0.01"]);
    let screen = text(&output.stdout).replace("\n  ", " ");
    assert!(
        screen.contains(
            "Time was up before a layout that meets the demand was found; more --seconds may find one."
        ),
        "{screen}"
    );
}
