//! Changes to a brew plan and its cellar: what they do, and what is said of what they cannot do.

use cellarwright_model::case::Case;
use cellarwright_model::finding::Finding;
use cellarwright_model::units::{Minutes, Money, Volume};
use cellarwright_model::yaml::{ReadOutcome, With, read_texts_with};

use crate::sample::{BREWPLAN, CELLAR, ORDERS};

fn outcome(change: &str) -> ReadOutcome {
    let texts: [(&str, &[u8]); 4] = [
        ("brewplan.yaml", BREWPLAN.as_bytes()),
        ("cellar.yaml", CELLAR.as_bytes()),
        ("orders.csv", ORDERS.as_bytes()),
        ("change.yaml", change.as_bytes()),
    ];
    read_texts_with(&texts, With::Change("change.yaml"))
}

#[track_caller]
fn changed(change: &str) -> Case {
    let outcome = outcome(change);
    assert_eq!(outcome.findings, Vec::new());
    outcome.case.unwrap()
}

#[track_caller]
fn only(change: &str) -> Finding {
    let outcome = outcome(change);
    assert!(outcome.case.is_none());
    assert_eq!(outcome.findings.len(), 1, "{:#?}", outcome.findings);
    outcome.findings.into_iter().next().unwrap()
}

fn names(case: &Case) -> Vec<&str> {
    case.vessels.iter().map(|vessel| vessel.name.as_str()).collect()
}

#[test]
fn a_vessel_is_added_like_another_one_and_the_title_is_kept() {
    let text = "change: One more\nadd:\n  cellar:\n    vessels: {like: F1, names: [F9], price: 9000}\n";
    let case = changed(text);
    assert_eq!(outcome(text).change.as_deref(), Some("One more"));
    assert_eq!(names(&case), ["F1", "F2", "B1", "F9"]);
    let (old, new) = (&case.vessels[0], &case.vessels[3]);
    assert_eq!((new.holds, new.uses, new.clean), (old.holds, old.uses, old.clean));
    assert_eq!((new.price, old.price), (Some(Money(900_000)), None));
}

#[test]
fn one_of_several_vessels_of_an_entry_is_altered_or_taken_out_alone() {
    let case = changed("change: x\nalter: {cellar: {vessels: {F2: {holds: 50 hL}}}}\n");
    assert_eq!(names(&case), ["F1", "F2", "B1"]);
    assert_eq!((case.vessels[0].holds, case.vessels[1].holds), (Volume(4_000_000), Volume(5_000_000)));
    let case = changed("change: x\nremove:\n  cellar: {vessels: F2}\n  brewplan: dirty\n");
    assert_eq!(names(&case), ["F1", "B1"]);
}

#[test]
fn people_hours_days_turns_and_sets_are_altered() {
    let case = changed(
        "change: x\nalter:\n  cellar:\n    brewhouse: {turns_per_day: 3, hours_per_day: 20 h}\n    cleaning: {sets: 2}\n  \
         brewplan:\n    crew:\n      packers: {people: 4, days: mon-sat}\n    beers:\n      Pale: {may_wait: 9 d, turns: [2]}\n",
    );
    assert_eq!((case.brewhouse.turns_per_day, case.brewhouse.hours_per_day), (3, Minutes(1_200)));
    assert_eq!((case.cleaning_sets, case.crews[1].people), (2, 4));
    assert!(case.crews[1].days.0[5] && case.crews[1].overtime.is_some());
    assert_eq!((case.beers[0].may_wait, case.beers[0].turns.as_slice()), (9, &[2][..]));
}

#[test]
fn a_copy_is_one_of_the_file_as_it_was_even_where_that_is_taken_out() {
    let text = "change: x\nremove:\n  cellar: {vessels: [F2]}\n  brewplan: {dirty: F2}\n\
                add: {cellar: {vessels: {like: F2, names: [F3], holds: 60 hL}}}\n";
    assert_eq!(names(&changed(text)), ["F1", "B1", "F3"]);
}

#[test]
fn lists_are_replaced_whole_and_keys_that_are_not_there_are_added() {
    let case = changed(
        "change: x\nalter: {brewplan: {orders: [{beer: Pale, format: can case, quantity: 5 hL, due: 2026-12-11}]}}\n\
         add: {cellar: {warm_store: 30 hL}}\n",
    );
    assert_eq!(case.orders.len(), 1);
    assert_eq!(case.warm_store, Some(Volume(3_000_000)));
}

#[test]
fn what_the_reader_finds_in_a_change_is_told_at_its_place_in_the_change() {
    let finding =
        only("change: x\nadd:\n  cellar:\n    vessels:\n      - {like: F1, names: [F9], holds: 40}\n");
    assert_eq!((finding.code, finding.place.file.as_str()), ("V301", "change.yaml"));
    assert_eq!((finding.place.line, finding.place.column), (Some(5), Some(33)));
    let finding = only("change: x\nalter:\n  brewplan:\n    crew:\n      packers: {peeple: 4}\n");
    assert_eq!(
        (finding.code, finding.place.file.as_str(), finding.place.line),
        ("V110", "change.yaml", Some(5))
    );
    assert_eq!(finding.hint.as_deref(), Some("did you mean `people`?"));
    // The sample's F1 holds beer on day 0: the brew plan says so, in its own line.
    let finding = only("change: x\nremove: {cellar: {vessels: F1}}\n");
    assert_eq!(
        (finding.code, finding.place.file.as_str(), finding.place.line),
        ("V201", "brewplan.yaml", Some(27))
    );
    // An entry further down keeps its own line when one above it is gone.
    let texts: [(&str, &[u8]); 4] = [
        ("brewplan.yaml", BREWPLAN.as_bytes()),
        ("cellar.yaml", &CELLAR.replace("rated: 300 kPa", "rated: 300").into_bytes()),
        ("orders.csv", ORDERS.as_bytes()),
        ("change.yaml", b"change: x\nadd: {cellar: {vessels: {like: F1, names: [F9]}}}\nalter: {cellar: {vessels: {F1: {least: 17 hL}}}}\n"),
    ];
    let finding = &read_texts_with(&texts, With::Change("change.yaml")).findings[0];
    assert_eq!(
        (finding.code, finding.place.file.as_str(), finding.place.line),
        ("V301", "cellar.yaml", Some(20))
    );
}

#[test]
fn names_and_keys_that_are_not_there_are_told_with_what_is() {
    let finding = only("change: x\nalter: {cellar: {vessels: {F3: {holds: 50 hL}}}}\n");
    assert_eq!((finding.code, finding.found.as_str()), ("V145", "F3"));
    assert_eq!(finding.allowed, "`F1`, `F2`, `B1`");
    assert_eq!((finding.place.file.as_str(), finding.place.line), ("change.yaml", Some(2)));
    let finding = only("change: x\nremove: {brewplan: {crew: packer}}\n");
    assert_eq!((finding.code, finding.hint.as_deref()), ("V145", Some("did you mean `packers`?")));
    let finding = only("change: x\nremove: {brewplan: stok}\n");
    assert_eq!((finding.code, finding.hint.as_deref()), ("V144", Some("did you mean `stock`?")));
    let finding = only("change: x\nadd: {cellar: {vessels: {like: F7, names: [F9]}}}\n");
    assert_eq!((finding.code, finding.found.as_str()), ("V145", "F7"));
}

#[test]
fn what_a_change_cannot_do_has_a_code_each() {
    assert_eq!(only("change: x\nadd: {cellar: {altitude: 5 m}}\n").code, "V147");
    assert_eq!(only("change: x\n").code, "V148");
    assert_eq!(only("change: x\nadd: {cellar: {vessels: {like: F1, holds: 50 hL}}}\n").code, "V149");
    assert_eq!(only("change: x\nadd: {celar: {}, brewplan: {rates: []}}\n").code, "V110");
    let twice = BREWPLAN.replace("stock:\n", "stock:\n  - {beer: Pale, format: can case, quantity: 2 hL}\n");
    let texts: [(&str, &[u8]); 4] = [
        ("brewplan.yaml", twice.as_bytes()),
        ("cellar.yaml", CELLAR.as_bytes()),
        ("orders.csv", ORDERS.as_bytes()),
        ("change.yaml", b"change: x\nremove: {brewplan: {stock: Pale}}\n"),
    ];
    let outcome = read_texts_with(&texts, With::Change("change.yaml"));
    assert_eq!(outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V146"]);
}

#[test]
fn faults_of_the_change_and_of_the_files_come_together() {
    let outcome = outcome(
        "change: x\nremove: {cellar: {vessels: [F8, B9]}}\nalter: {cellar: {cleaning: {sets: many}}}\n",
    );
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V145", "V145", "V112"]);
    let none = outcome_of_nothing();
    assert_eq!(none.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V101"]);
}

fn outcome_of_nothing() -> ReadOutcome {
    let texts: [(&str, &[u8]); 3] = [
        ("brewplan.yaml", BREWPLAN.as_bytes()),
        ("cellar.yaml", CELLAR.as_bytes()),
        ("orders.csv", ORDERS.as_bytes()),
    ];
    read_texts_with(&texts, With::Change("nowhere.yaml"))
}

#[test]
fn another_cellar_stands_in_for_the_brew_plans_own() {
    let other = CELLAR.replace("cellar: Sample Quay", "cellar: Other Quay");
    let texts: [(&str, &[u8]); 4] = [
        ("brewplan.yaml", BREWPLAN.as_bytes()),
        ("cellar.yaml", CELLAR.as_bytes()),
        ("orders.csv", ORDERS.as_bytes()),
        ("other.yaml", other.as_bytes()),
    ];
    let case = read_texts_with(&texts, With::Cellar("other.yaml")).case.unwrap();
    assert_eq!((case.name.as_str(), case.cellar.as_str()), ("A week", "Other Quay"));
}
