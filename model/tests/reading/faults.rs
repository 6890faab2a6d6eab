//! One fault of every kind: its code, its place, and all of them at once.

use cellarwright_model::finding::{Finding, PathStep, Severity};
use cellarwright_model::yaml::{ALL_CODES, ReadOutcome};

use crate::faults_of_brewplan::BREWPLAN_FAULTS;
use crate::faults_of_cellar::{CELLAR_FAULTS, ORDER_FAULTS};
use crate::faults_of_layout::LAYOUT_FAULTS;
use crate::read;
use crate::sample::{BREWPLAN, CELLAR, ORDERS};

/// A change to one of the files and the code that it must bring.
pub struct Fault {
    pub code: &'static str,
    pub file: &'static str,
    pub from: &'static str,
    pub to: &'static str,
    pub severity: Severity,
}

pub const fn error(code: &'static str, file: &'static str, from: &'static str, to: &'static str) -> Fault {
    Fault { code, file, from, to, severity: Severity::Error }
}

pub const fn caution(code: &'static str, file: &'static str, from: &'static str, to: &'static str) -> Fault {
    Fault { code, file, from, to, severity: Severity::Caution }
}

pub const DIRTY: &str = "dirty: [F2]";

/// All faults, of the brew plan, its layout, the cellar and the orders.
fn faults() -> impl Iterator<Item = &'static Fault> {
    BREWPLAN_FAULTS.iter().chain(LAYOUT_FAULTS).chain(CELLAR_FAULTS).chain(ORDER_FAULTS)
}

fn changed(fault: &Fault) -> ReadOutcome {
    let mut texts = [BREWPLAN.to_owned(), CELLAR.to_owned(), ORDERS.to_owned()];
    let position = ["b", "c", "o"].iter().position(|name| *name == fault.file).unwrap();
    assert!(texts[position].contains(fault.from), "{}: `{}` is not in the sample", fault.code, fault.from);
    texts[position] = texts[position].replacen(fault.from, fault.to, 1);
    read(&texts[0], &texts[1], &texts[2])
}

#[test]
fn every_fault_has_its_code_and_a_place() {
    for fault in faults().filter(|fault| fault.code != "V504") {
        let outcome = changed(fault);
        let found: Vec<&Finding> = outcome
            .findings
            .iter()
            .filter(|finding| (finding.code, finding.severity) == (fault.code, fault.severity))
            .collect();
        assert!(!found.is_empty(), "{} by `{}`: {:#?}", fault.code, fault.to, outcome.findings);
        assert!(!found[0].allowed.is_empty());
        assert_eq!(outcome.case.is_none(), fault.severity == Severity::Error, "{}", fault.code);
        let whole_file = matches!(fault.code, "V101" | "V102");
        assert!(whole_file || found[0].place.line.is_some(), "{}: {:?}", fault.code, found[0]);
    }
}

#[test]
fn every_code_is_tested() {
    let hostile = ["V102", "V103", "V104", "V106", "V114"];
    // Of changes: `changes.rs`.
    let of_changes = ["V143", "V144", "V145", "V146", "V147", "V148", "V149"];
    // Tested with the command that reads them.
    let happened = ["V150", "V151", "V152", "V153", "V154", "V155", "V156", "V157", "V158"];
    // Tested beside the reader of studies.
    let studies = ["V189", "V194"];
    let more = ["V569", "V570", "V571", "V597", "V308", "V475", "V483", "V488"];
    for code in ALL_CODES {
        let is_tested = faults().any(|fault| fault.code == *code);
        let is_elsewhere = hostile.contains(code) || more.contains(code) || studies.contains(code);
        let is_elsewhere = is_elsewhere || of_changes.contains(code) || happened.contains(code);
        assert!(is_tested || is_elsewhere, "{code} has no test");
    }
}

#[test]
fn shares_of_a_mix_add_up_to_no_more_than_everything() {
    let mix = "aim: {output: {mix: [{beer: Pale, share: 70 %}, {beer: Stout, share: 40 %}], tolerance: 5 %}}";
    let outcome = read(&BREWPLAN.replace("aim: orders", mix), CELLAR, ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V308"), "{:#?}", outcome.findings);
    let sound = read(&BREWPLAN.replace("aim: orders", &mix.replace("70", "60")), CELLAR, ORDERS);
    assert!(sound.case.is_some(), "{:#?}", sound.findings);
}

#[test]
fn names_of_broken_entries_are_not_called_unknown() {
    let codes = |brewplan: &str, cellar: &str| {
        let outcome = read(brewplan, cellar, ORDERS);
        assert!(outcome.case.is_none());
        outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>()
    };
    assert_eq!(
        codes(BREWPLAN, &CELLAR.replace("holds: 40 hL\n    least: 18", "holds: 40\n    least: 18")),
        ["V301"]
    );
    assert_eq!(codes(BREWPLAN, &CELLAR.replace("24 x 440 mL", "24 x 440")), ["V301"]);
    assert_eq!(codes(BREWPLAN, &CELLAR.replace("vessels:", "vesels:")), ["V111", "V110"]);
    let both = BREWPLAN.replace("vessel: F1", "vessel: F7").replace("dirty:", "dirtty:");
    assert_eq!(codes(&both, CELLAR), ["V201", "V110"]);
}

#[test]
fn all_findings_of_all_files_come_at_once_with_hints_and_places() {
    let brewplan = BREWPLAN.replace("dirty:", "dirtty:").replace("vessel: F1", "vessel: F7");
    let cellar = CELLAR.replace("holds: 40 hL\n    least: 16", "holds: 40\n    least: 16");
    let orders = ORDERS.replace("Pale,can case", "Pale,can cases");
    let outcome = read(&brewplan, &cellar, &orders);
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V201", "V110", "V301", "V203"]);
    let places: Vec<(&str, Option<usize>, Option<usize>)> = outcome
        .findings
        .iter()
        .map(|finding| (finding.place.file.as_str(), finding.place.line, finding.place.column))
        .collect();
    assert_eq!(places[0], ("brewplan.yaml", Some(27), Some(6)));
    assert_eq!(places[1], ("brewplan.yaml", Some(28), Some(1)));
    assert_eq!(places[2], ("cellar.yaml", Some(18), Some(5)));
    assert_eq!(places[3], ("orders.csv", Some(2), Some(2)));
    assert_eq!(outcome.findings[1].hint.as_deref(), Some("did you mean `dirty`?"));
    assert_eq!(outcome.findings[3].hint.as_deref(), Some("did you mean `can case`?"));
    let path = [PathStep::Key("vessels".into()), PathStep::Item(1), PathStep::Key("holds".into())];
    assert_eq!(outcome.findings[2].place.path, path);
}

#[test]
fn limits_are_told_in_the_units_that_the_brew_plan_shows() {
    // A barrel is 117.347765304 L (27 CFR 25.11), a pound per square inch 6894.757 Pa (NIST Special Publication 811); each
    // limit by hand: 40 hL is 34.09 bbl, 20 hL 17.04 bbl, 300 kPa 43.51 psi, 5 kWh 1.4 tons of refrigeration for an hour.
    let in_us = BREWPLAN.replace("aim: orders", "aim: orders\nshow_units: us");
    for (code, from, to, metric, us) in [
        (
            "V306",
            "least: 16 hL",
            "least: 160 hL",
            "at most what it holds, 40 hL",
            "at most what it holds, 34.09 bbl",
        ),
        (
            "V307",
            "rated: 300 kPa",
            "rated: 300 kPa\n    relief: 400 kPa",
            "at most its rating, 300 kPa",
            "at most its rating, 43.51 psi",
        ),
        (
            "V412",
            "turn: 20 hL",
            "turn: 20 hL\n  least_turn: 30 hL",
            "at most the brewhouse's `turn`, 20 hL",
            "at most the brewhouse's `turn`, 17.04 bbl",
        ),
    ] {
        for (brewplan, allowed) in [(BREWPLAN, metric), (&in_us, us)] {
            let outcome = read(brewplan, &CELLAR.replacen(from, to, 1), ORDERS);
            let found = outcome.findings.iter().find(|finding| finding.code == code);
            assert_eq!(
                found.map(|finding| finding.allowed.as_str()),
                Some(allowed),
                "{:?}",
                outcome.findings
            );
        }
    }
}
