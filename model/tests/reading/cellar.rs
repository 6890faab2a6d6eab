//! What the files say of vessels, filters, lines and cleaning.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Cleaning, Marks, Reach, SinceFull};
use cellarwright_model::ids::{BeerId, LineId, VesselId};
use cellarwright_model::units::{Minutes, Money, Volume};

use crate::read;
use crate::sample::{BREWPLAN, CELLAR, ORDERS};

#[test]
fn a_filtered_beer_goes_by_bright_tanks() {
    let cellar =
        CELLAR.replace("cleaning:", "filters: [{name: plates, rate: 20 hL/h, loss: 30 L + 1 %}]\ncleaning:");
    let outcome =
        read(&BREWPLAN.replace("routes: bright", "routes: bright\n    filter: yes"), &cellar, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    assert_eq!(case.filter_of(&case.beers[1]).map(|filter| filter.name.as_str()), Some("plates"));
    let direct = BREWPLAN.replace("routes: [direct, bright]", "routes: [direct, bright]\n    filter: plates");
    let outcome = read(&direct, &cellar, ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V597"), "{:#?}", outcome.findings);
}

#[test]
fn a_mobile_line_and_its_changes_are_read() {
    let cellar = CELLAR
        .replace("beer: 45 min", "beer: 45 min, pairs: [{from: [Stout], to: Pale, takes: 90 min}]")
        .replace(
            "least_run: 5 hL",
            "comes: {from: 2026-12-10, every: 2 weeks}\n    visit: 900\n    least_visit: 20 hL",
        );
    let outcome = read(BREWPLAN, &cellar, ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let line = &case.lines[0];
    assert_eq!(line.change(BeerId(1), BeerId(0)), Minutes(90));
    assert_eq!(line.change(BeerId(0), BeerId(1)), Minutes(45));
    assert_eq!((line.visit, line.least_visit), (Money(90_000), Volume(2_000_000)));
    let there: Vec<usize> = (0..42).filter(|&slot| case.line_is_there(LineId(0), Slot(slot))).collect();
    assert_eq!(there, [3, 17, 31]);
}

#[test]
fn cleaning_sets_may_have_names() {
    let plain = read(BREWPLAN, CELLAR, ORDERS).case.unwrap();
    assert_eq!((plain.cleaning_sets, plain.cleaning.clone()), (1, Cleaning::default()));
    let cellar = CELLAR
        .replace(
            "sets: 1",
            "sets: [{name: tanks, cleans: [F1, F2, B1]}, {name: all}], stays_clean: 12 h, clean_within: 3 d",
        )
        .replace(
            "refill: next",
            "purge: {takes: 30 min, crew: {cellar: 10 min}, gas: 2.50}\n    refill: next",
        );
    let outcome = read(BREWPLAN, &cellar, ORDERS);
    let case = outcome.case.unwrap();
    assert_eq!((case.cleaning_sets, case.cleaning.stays_clean), (2, Minutes(720)));
    assert_eq!(case.cleaning.clean_within, Some(3));
    assert_eq!((case.vessels[0].reach, case.lines[0].reach), (Reach(3), Reach(2)));
    assert_eq!(case.cleaning.names(Reach(3)), ["tanks", "all"]);
    let purge = case.vessels[2].purge;
    assert_eq!((purge.job.takes, purge.gas), (Minutes(30), Money(250)));
}

#[test]
fn full_cleans_are_read_with_what_has_been_in_vessels_since() {
    let cellar = CELLAR.replace(
        "crew: {cellar: 1.5 h}}\n",
        "crew: {cellar: 1.5 h}, full: {every: 4, after: dark, takes: 5 h, crew: {cellar: 2 h}, cost: 60}}\n",
    );
    let brewplan = BREWPLAN.replace("routes: bright", "routes: bright\n    marks: [dark]");
    let with = |entries: &str| {
        let since = format!("dirty: [F2]\nsince_full: [{entries}]");
        read(&brewplan.replace("dirty: [F2]", &since), &cellar, ORDERS)
    };
    let outcome = with("{vessel: F1, fills: 3}, {vessel: F2, fills: 4, last: Stout}");
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    let full = case.vessels[0].full_clean.unwrap();
    assert_eq!((full.job.takes, full.cost, full.every), (Minutes(300), Some(Money(6_000)), Some(4)));
    assert_eq!((full.after, case.beers[0].marks, case.beers[1].marks), (Marks(1), Marks(0), Marks(1)));
    assert_eq!(case.since_full(VesselId(0)), SinceFull { fills: 3, marks: Marks(0) });
    assert_eq!(case.since_full(VesselId(1)), SinceFull { fills: 4, marks: Marks(1) });
    assert_eq!((case.vessels[2].full_clean, case.since_full.len()), (None, 2));
    let codes = |entries: &str| {
        let outcome = with(entries);
        outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>()
    };
    let f2 = "{vessel: F2, fills: 1, last: Pale}";
    assert_eq!(codes(&format!("{{vessel: F1, fills: 0}}, {f2}")), ["V569"]);
    assert_eq!(codes(&format!("{{vessel: F1, fills: 5}}, {f2}")), ["V569"]);
    assert_eq!(codes(&format!("{{vessel: F1, fills: 1, last: Pale}}, {f2}")), ["V570"]);
    assert_eq!(codes(&format!("{{vessel: F1, fills: 1}}, {f2}, {f2}")), ["V567"]);
    assert_eq!(codes("{vessel: F1, fills: 1}, {vessel: F2, fills: 1}"), ["V571"]);
    assert_eq!(codes(f2), ["V568"]);
    // Clean, it must have a fill left: four fills since the full clean are one too many.
    let clean =
        brewplan.replace("dirty: [F2]", "since_full: [{vessel: F1, fills: 1}, {vessel: F2, fills: 4}]");
    let outcome = read(&clean, &cellar, ORDERS);
    assert_eq!(outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V569"]);
}

#[test]
fn marks_of_beers_make_changes_of_lines() {
    let brewplan = BREWPLAN.replace("routes: bright", "routes: bright\n    marks: [dark, nuts]");
    let change = |marked: &str| {
        let cellar = CELLAR
            .replace("beer: 45 min", marked)
            .replace("    never_after: [{beer: Pale, after: Stout}]\n", "");
        let outcome = read(&brewplan, &cellar, ORDERS);
        assert_eq!(outcome.findings, Vec::new());
        let line = outcome.case.unwrap().lines.remove(0);
        (line.change(BeerId(1), BeerId(0)), line.change(BeerId(0), BeerId(1)), line.never_after.len())
    };
    let nuts = "after_mark: [{mark: nuts, takes: 2 h}, {mark: dark, takes: 90 min}]";
    let pair = "pairs: [{from: Stout, to: Pale, takes: 20 min}]";
    assert_eq!(change(&format!("beer: 45 min, {pair}, {nuts}")), (Minutes(20), Minutes(45), 0));
    assert_eq!(change(&format!("beer: 45 min, {nuts}")), (Minutes(120), Minutes(45), 0));
    let never = "after_mark: [{mark: nuts, takes: 1 h}, {mark: dark, never: yes}]";
    assert_eq!(change(&format!("beer: 45 min, {never}")), (Minutes(60), Minutes(45), 1));
}

#[test]
fn conditioning_tanks_and_what_may_be_in_them() {
    let stay = "stay: {ferment: 6 d, dry hop: 4 d, chill: 2 d}";
    let brewplan = BREWPLAN
        .replace(stay, &format!("{stay}\n    condition_from: dry hop"))
        .replace("dirty: [F2]", "  - {vessel: C1, beer: Pale, filled: 20 hL, on: 2026-12-01}");
    let tank = "  - names: [C1]\n    uses: [condition, package]\n    holds: 40 hL\n    rated: 200 kPa\n    clean: {takes: 2 h, crew: {cellar: 1 h}}\ncleaning:";
    let outcome = read(&brewplan, &CELLAR.replace("cleaning:", tank), ORDERS);
    assert_eq!(outcome.findings, Vec::new());
    let case = outcome.case.unwrap();
    assert_eq!((case.beers[0].conditions, case.beers[1].conditions), (Some(6), None));
    assert_eq!(case.beers[0].days_to_move(), Some((6, 11)));
    let uses = case.vessels[3].uses;
    assert!(uses.condition && uses.package && !uses.ferment && case.vessels[3].is_cleaned_apart());
    assert!(case.was_moved(&case.in_tank[1]) && !case.was_moved(&case.in_tank[0]));
    assert_eq!((case.in_tank[1].on, case.in_tank[1].ready), (-6, 6));
}
