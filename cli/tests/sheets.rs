//! The plan as a workbook and as CSV files, on the real binary.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::path::Path;

use calamine::{Data, Reader, Xlsx};

use common::{case, run};

#[test]
fn a_plan_is_written_as_a_workbook_and_as_csv_with_the_numbers_of_the_document() {
    let place = tempfile::tempdir().unwrap();
    let case = case("tiny/two-brights");
    let (book, folder) = (place.path().join("plan.xlsx"), place.path().join("csv"));
    let (book, folder) = (book.display().to_string(), folder.display().to_string());
    let output = run(&["plan", &case, "--quiet", "--json", "--workbook", &book, "--csv", &folder]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let mut workbook: Xlsx<_> = calamine::open_workbook(&book).unwrap();
    let names = workbook.sheet_names();
    for name in ["Plan", "Work", "Vessels", "Vessels by day", "Orders", "Slack", "Objective"] {
        assert!(names.iter().any(|sheet| sheet == name), "{names:?}");
    }
    for name in &names {
        assert!(Path::new(&folder).join(format!("{name}.csv")).is_file(), "{name}");
    }
    let work = workbook.worksheet_range("Work").unwrap();
    assert_eq!(work.height() - 1, document["work"].as_array().unwrap().len());
    let objective = workbook.worksheet_range("Objective").unwrap();
    let sum = objective.rows().next_back().unwrap().last().cloned().unwrap();
    let Data::Float(sum) = sum else { panic!("{sum:?}") };
    assert!((sum - document["objective"].as_f64().unwrap()).abs() < 1e-9);
    // Again: the same bytes.
    let before = std::fs::read(&book).unwrap();
    assert_eq!(run(&["plan", &case, "--quiet", "--workbook", &book]).status.code(), Some(0));
    assert_eq!(std::fs::read(&book).unwrap(), before);
}

#[test]
fn places_that_cannot_be_written_are_told_before_the_search() {
    let place = tempfile::tempdir().unwrap();
    let case = case("tiny/two-brights");
    let file = place.path().join("a file");
    std::fs::write(&file, "").unwrap();
    let file = file.display().to_string();
    let none = place.path().join("none/plan.xlsx").display().to_string();
    for wrong in [["--csv", &file], ["--workbook", &none]] {
        let output = run(&["plan", &case, wrong[0], wrong[1]]);
        assert_eq!(output.status.code(), Some(2), "{wrong:?}");
        assert!(output.stdout.is_empty());
    }
}
