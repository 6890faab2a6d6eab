//! The same files and options give the same bytes, with one thread and with two.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use serde_json::Value;

use common::{case, run, text};

/// A document without the one number that the clock gives.
fn planned(name: &str, threads: &str) -> String {
    // Far more time than it takes: the gap ends the search.
    let output = run(&["plan", &case(name), "--json", "--quiet", "--seconds", "1000", "--threads", threads]);
    assert_eq!(output.status.code(), Some(0), "{name}: {}", text(&output.stderr));
    let mut document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(document["gap"].as_f64().unwrap() <= 0.005, "{name}: {}", document["gap"]);
    assert!(document["seconds"].take().is_number());
    document.to_string()
}

#[test]
fn a_small_brewery_has_the_same_plan_again_with_as_many_threads() {
    for threads in ["1", "2"] {
        assert_eq!(planned("brewpub", threads), planned("brewpub", threads), "{threads} threads");
    }
}

#[test]
fn a_large_brewery_whose_searches_go_side_by_side_has_the_same_plan_again_with_as_many_threads() {
    for threads in ["1", "2"] {
        assert_eq!(planned("fennick-wharf", threads), planned("fennick-wharf", threads), "{threads} threads");
    }
}
