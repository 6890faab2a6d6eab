//! `levers`: the real command on real files.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use serde_json::Value;

use common::{case, cases, run, text};

fn document(arguments: &[&str]) -> Value {
    let output = run(arguments);
    assert_eq!(output.status.code(), Some(0), "{}{}", text(&output.stdout), text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn lever<'v>(document: &'v Value, kind: &str, words: &str) -> &'v Value {
    let all = document["levers"].as_array().unwrap();
    let is_it = |row: &&Value| row["kinds"][0] == kind && row["lever"].as_str().unwrap().contains(words);
    all.iter().find(is_it).unwrap_or_else(|| panic!("{kind} {words} in {document:#}"))
}

/// Six fermenters and one bright tank (worked by hand in the case): five fills in two weeks, with a second tank the fermenters set the number: six.
#[test]
fn one_bright_tank_more_is_worth_a_batch_in_two_weeks() {
    let case = case("tiny/six-fermenters-one-bright");
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("levers.html").display().to_string();
    let arguments = ["levers", &case, "--weeks", "2", "--quiet", "--seconds", "60"];
    let output = run(&[&arguments[..], &["--report", &page]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let screen = text(&output.stdout);
    for line in screen.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    for words in
        ["What one unit more adds, best first", "bright tank of 10 hL (as B1)", "nothing", "Cautions"]
    {
        assert!(screen.contains(words), "{words} in\n{screen}");
    }
    let html = std::fs::read_to_string(&page).unwrap();
    assert!(
        html.contains("bright tank of 10 hL (as B1)") && html.contains("<svg") && !html.contains("<script")
    );

    let found = document(&[&arguments[..], &["--json"]].concat());
    let bright = lever(&found, "vessel", "B1");
    let near = |value: &Value, expected: f64| (value.as_f64().unwrap() - expected).abs() < 0.1;
    for key in ["found_a_week", "at_least_a_week", "at_most_a_week", "volume_a_week_hl"] {
        assert!(near(&bright[key], 5.0), "{key}: {bright:#}");
    }
    assert_eq!(bright["never_hurts"], true);
    let fermenter = lever(&found, "vessel", "F1");
    assert_eq!(fermenter["state"], "nothing", "{fermenter:#}");
    assert_eq!(found["cycle_weeks"], 2);
    assert!(found["pairs"].is_null());
    // The best first, nothing last.
    let states: Vec<&str> =
        found["levers"].as_array().unwrap().iter().map(|row| row["state"].as_str().unwrap()).collect();
    assert_eq!(found["levers"][0]["lever"], bright["lever"]);
    assert_eq!(states.last(), Some(&"nothing"));
}

/// With a price in the cellar: the price over what is added a week.
#[test]
fn a_price_is_paid_back_in_so_many_weeks() {
    let folder = tempfile::tempdir().unwrap();
    let from = cases().join("tiny/three-in-two-weeks");
    let read = |name: &str| std::fs::read_to_string(from.join(name)).unwrap();
    let cellar = read("cellar.yaml").replace("    holds: 10 hL\n", "    holds: 10 hL\n    price: 24000\n");
    assert!(cellar.contains("price"));
    std::fs::write(folder.path().join("cellar.yaml"), cellar).unwrap();
    let brewplan = read("brewplan.yaml").replace("aim: output", "aim: orders");
    let path = folder.path().join("brewplan.yaml");
    let prices =
        "\nprices:\n  - {person: everybody, a_week: 900}\n  - {stay: Plain Ale, price: 500, a_week: 50}\n";
    std::fs::write(&path, brewplan + prices).unwrap();
    let found = document(&[
        "levers",
        path.to_str().unwrap(),
        "--weeks",
        "2",
        "--json",
        "--gap",
        "0",
        "--pairs",
        "--pairs-of",
        "2",
    ]);
    let row = lever(&found, "vessel", "F1 .. F3");
    let number = |key: &str| row[key].as_f64().unwrap();
    assert_eq!(found["unit"], "money");
    // Half a batch of 10 hL a week at 100, less what it costs to make it.
    assert!((100.0..500.0).contains(&number("found_a_week")), "{row:#}");
    assert_eq!(number("price"), 24_000.0);
    assert!((number("payback_weeks") - 24_000.0 / number("found_a_week")).abs() < 1e-6, "{row:#}");
    assert!(number("payback_at_least_weeks") <= number("payback_weeks") + 1e-9, "{row:#}");
    assert!(number("payback_weeks") <= number("payback_at_most_weeks") + 1e-9, "{row:#}");
    let person = lever(&found, "person", "everybody");
    assert_eq!(
        (&person["costs_a_week"], &person["pays_its_week"]),
        (&Value::from(900.0), &Value::from("no"))
    );
    let stay = lever(&found, "stay", "Plain Ale");
    let left = stay["found_a_week"].as_f64().unwrap() - 50.0;
    if left > 0.0 {
        assert!((stay["payback_weeks"].as_f64().unwrap() - 500.0 / left).abs() < 1e-6, "{stay:#}");
    } else {
        assert!(stay["payback_weeks"].is_null(), "{stay:#}");
    }
    assert_eq!(found["pairs"].as_array().unwrap().len(), 1);
}

/// Also where nothing of the money is proven, because the aim is output.
#[test]
fn what_adds_nothing_never_earns_its_weekly_cost() {
    let folder = tempfile::tempdir().unwrap();
    let from = cases().join("growth/six-fermenters");
    std::fs::copy(from.join("cellar.yaml"), folder.path().join("cellar.yaml")).unwrap();
    let path = folder.path().join("brewplan.yaml");
    let brewplan = std::fs::read_to_string(from.join("brewplan.yaml")).unwrap();
    std::fs::write(&path, brewplan + "\nprices:\n  - {person: packers, a_week: 900}\n").unwrap();
    let found = document(&["levers", path.to_str().unwrap(), "--weeks", "2", "--json"]);
    let person = lever(&found, "person", "packers");
    assert_eq!(
        (&person["state"], &person["pays_its_week"]),
        (&Value::from("nothing"), &Value::from("no")),
        "{person:#}"
    );
}

#[test]
fn what_a_cycle_cannot_count_is_said() {
    let output = run(&["levers", &case("tiny/keg-pool"), "--weeks", "1"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("cannot count kegs that go round"), "{}", text(&output.stderr));
    let output = run(&["levers", &case("tiny/keg-pool"), "--weeks", "1", "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let refusal: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(refusal["status"], "no_plan");
    let nowhere = ["levers", &case("tiny/one-bright"), "--report", "/nowhere/levers.html"];
    assert_eq!(run(&nowhere).status.code(), Some(2));
}

/// Six fermenters and one bright tank: a second one adds a batch in two weeks for ever (worked by hand in the case); in the four weeks of the brew plan, which begin with
/// empty tanks, it adds one too.
#[test]
fn the_days_of_the_brew_plan_and_for_ever_stand_side_by_side() {
    let case = case("tiny/six-fermenters-one-bright");
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("levers.html").display().to_string();
    let arguments = ["levers", &case, "--both", "--weeks", "2", "--quiet", "--seconds", "60"];
    let found = document(&[&arguments[..], &["--json"]].concat());
    let near = |value: &Value, expected: f64| (value.as_f64().unwrap() - expected).abs() < 0.1;
    assert!(near(&lever(&found, "vessel", "B1")["found_a_week"], 2.5), "{found:#}");
    let for_ever = &found["for_ever"];
    assert_eq!((&found["cycle_weeks"], &for_ever["cycle_weeks"]), (&Value::Null, &Value::from(2)));
    assert!(near(&lever(for_ever, "vessel", "B1")["found_a_week"], 5.0), "{for_ever:#}");
    let output = run(&[&arguments[..], &["--report", &page]].concat());
    let screen = text(&output.stdout);
    for words in [
        "What one unit more adds, best first",
        "What one unit more adds for ever, best first",
        "a cycle of 2 weeks",
    ] {
        assert!(screen.contains(words), "{words} in\n{screen}");
    }
    let html = std::fs::read_to_string(&page).unwrap();
    assert!(html.contains("id=\"levers\"") && html.contains("id=\"levers-for-ever\""));
}
