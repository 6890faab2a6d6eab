//! `why`: the real command on real files.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use serde_json::Value;

use common::{case, run, text};

fn screen(name: &str, orders: &[&str]) -> String {
    let output = run(&arguments(name, orders, &[]).iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let screen = text(&output.stdout);
    for line in screen.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
    screen
}

fn arguments(name: &str, orders: &[&str], more: &[&str]) -> Vec<String> {
    let mut all = vec!["why".to_owned(), case(name), "--quiet".to_owned()];
    all.extend(orders.iter().flat_map(|&order| ["--order".to_owned(), order.to_owned()]));
    all.extend(more.iter().map(|&one| one.to_owned()));
    all
}

fn document(name: &str, orders: &[&str], more: &[&str]) -> Value {
    let more = [&["--json"], more].concat();
    let output = run(&arguments(name, orders, &more).iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn near(value: &Value, expected: f64) -> bool {
    (value.as_f64().unwrap() - expected).abs() < 0.03
}

/// Worked by hand in the case: the stout takes the line's Monday from the ale, for 400.00.
#[test]
fn what_a_filled_order_displaces_is_told_with_its_cost() {
    let screen = screen("why/displaced", &["inn"]);
    for words in ["A plan can fill it", "That costs 400.00 money: proven.", "harbour", "inn"] {
        assert!(screen.contains(words), "{words} in\n{screen}");
    }
    let found = document("why/displaced", &["plain stout, keg"], &[]);
    assert_eq!(found["verdict"], "displaces");
    let displaces = &found["displaces"];
    assert!(near(&displaces["costs_at_least"], 400.0) && near(&displaces["costs_at_most"], 400.0));
    assert_eq!(displaces["cost_is_proven"], true);
    let orders = displaces["orders"].as_array().unwrap();
    let harbour = orders.iter().find(|row| row["order"] == "harbour").unwrap();
    assert!(near(&harbour["in_time_hl"], 20.0) && near(&harbour["missed_then_hl"], 20.0), "{harbour:#}");
    // What changes part by part adds up to the difference of the plans.
    let change: f64 = displaces["parts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["then"].as_f64().unwrap_or(0.0) - row["as_it_is"].as_f64().unwrap_or(0.0))
        .sum();
    assert!((change + displaces["plans_differ_by"].as_f64().unwrap()).abs() < 0.03, "{displaces:#}");
}

#[test]
fn what_forbids_an_order_is_named_with_its_numbers_and_each_is_proven() {
    let screen = screen("why/two-hours-more", &["festival"]);
    for words in [
        "No plan fills it in full and in time: proven",
        "20.0 hL",
        "R09 packers: 2 people for 8 h, Mon 7 Dec",
        "R13 what is packaged goes out on the next delivery day (Mon Tue Wed Thu Fri)",
        "without it alone, it can be filled",
    ] {
        assert!(screen.contains(words), "{words} in\n{screen}");
    }
    let found = document("why/too-soon", &["fair"], &[]);
    assert_eq!(found["verdict"], "forbidden");
    let members = found["forbidden"]["members"].as_array().unwrap();
    let told: Vec<(&str, &str, &str)> = members
        .iter()
        .map(|row| {
            let word = |key: &str| row[key].as_str().unwrap();
            (word("rule"), word("needed"), word("left_out_alone"))
        })
        .collect();
    assert_eq!(told, [("R04", "proven", "filled"), ("R06", "proven", "not_filled")]);
    assert_eq!(found["forbidden"]["together_proven"], true);
    assert!(near(&found["forbidden"]["deliverable_at_most_hl"], 0.0));
}

#[test]
fn an_order_that_is_filled_anyway_is_said_to_be() {
    let screen = screen("why/displaced", &["harbour"]);
    assert!(screen.contains("The best plan found fills it"), "{screen}");
    assert_eq!(document("why/displaced", &["harbour"], &[])["verdict"], "filled");
}

#[test]
fn the_same_question_gets_the_same_bytes_whatever_the_threads() {
    let bytes = |threads: &str| {
        let mut found = document("why/too-soon", &["inn"], &["--threads", threads]);
        found["seconds"] = Value::Null;
        found.to_string()
    };
    assert_eq!(bytes("1"), bytes("2"));
}

#[test]
fn us_units_reach_keys_and_sentences() {
    let found = document("why/two-hours-more", &["festival"], &["--units", "us"]);
    let most = found["forbidden"]["deliverable_at_most_bbl"].as_f64().unwrap();
    assert!((most - 17.04).abs() < 0.02, "{most}");
}

#[test]
fn names_that_fit_no_order_or_several_are_refused_with_what_there_is() {
    let refused = |name: &str, order: &str| {
        let all = arguments(name, &[order], &[]);
        let output = run(&all.iter().map(String::as_str).collect::<Vec<_>>());
        assert_eq!(output.status.code(), Some(2));
        // Reports are broken over lines.
        text(&output.stderr).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let unknown = refused("why/displaced", "harbor");
    for words in ["V190", "--order", "harbor", "did you mean `harbour`?", "`inn`"] {
        assert!(unknown.contains(words), "{words} in {unknown}");
    }
    let several = refused("why/too-soon", "Plain Ale");
    assert!(several.contains("V191") && several.contains("`fair`"), "{several}");
    let aim = refused("growth/six-fermenters", "any");
    assert!(aim.contains("V192") || aim.contains("V190"), "{aim}");
}

#[test]
fn the_report_says_what_the_screen_says_and_fetches_nothing() {
    let place = tempfile::tempdir().unwrap();
    for (name, order, words) in [
        (
            "why/displaced",
            "inn",
            vec![
                "A plan can fill it in full and in time.",
                "harbour: Plain Ale, keg",
                "What was asked about",
            ],
        ),
        (
            "why/two-hours-more",
            "festival",
            vec!["What forbids it, together", "packers 2 h longer on Mon 7 Dec", "120.00"],
        ),
    ] {
        let file = place.path().join("why.html").display().to_string();
        let output = run(&["why", &case(name), "--order", order, "--quiet", "--report", &file]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let page = std::fs::read_to_string(&file).unwrap();
        // Amounts are kept together by spaces that do not break.
        let page = page.replace('\u{a0}', " ");
        for word in words {
            assert!(page.contains(word), "{word} in\n{page}");
        }
        assert!(!page.contains("<script") && !page.contains("http://") && !page.contains("https://"));
    }
    let output = run(&["why", &case("why/displaced"), "--order", "inn", "--report", "/nowhere/why.html"]);
    assert_eq!(output.status.code(), Some(2), "{}", text(&output.stderr));
}
