//! Studies on a case that is worked by hand: demands, items and what is said of lines that are not sound.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::{Common, Item, Lines, Outcome, Status, Unreadable, items, outcomes, scenarios, settle};
use crate::case::Case;
use crate::units::Volume;
use crate::yaml::{Kept, StudyOutcome, read_case_kept, read_study};

const VERSION: &str = "1.2.3";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/fermenter-or-bright")
}

fn case() -> (Case, Vec<Kept>) {
    let change = folder().join("late-packers.yaml").display().to_string();
    let (outcome, kept) = read_case_kept(&folder().join("brewplan.yaml"), Some(&change), None);
    (outcome.case.unwrap(), kept)
}

fn study(text: &str) -> StudyOutcome {
    let (case, _) = case();
    let place = tempfile_in_target();
    let file = place.join("study.yaml");
    std::fs::write(&file, text).unwrap();
    read_study(&case, case.layout.as_ref().unwrap(), &file)
}

/// A folder of this test's own.
fn tempfile_in_target() -> PathBuf {
    let name = format!("{:?}", std::thread::current().id());
    let place = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/studies").join(name);
    std::fs::create_dir_all(&place).unwrap();
    place
}

fn prepared() -> Vec<Item> {
    let (case, files) = case();
    let layout = case.layout.as_ref().unwrap();
    let study = read_study(&case, layout, &folder().join("study.yaml")).study.unwrap();
    let common = Common {
        made_by: VERSION,
        case: &case,
        layout,
        files: &files,
        weeks: 1,
        gap_millionths: 1_000,
        seed: 0,
        nodes: None,
    };
    let scenarios = scenarios(layout, &study);
    let of = |scenario| study.layouts.iter().map(move |listed| (scenario, listed));
    scenarios.iter().flat_map(of).map(|(scenario, listed)| common.item(scenario, Some(listed))).collect()
}

#[test]
fn factors_multiply_what_is_asked_for_and_draws_stay_in_their_range() {
    let (case, _) = case();
    let layout = case.layout.as_ref().unwrap();
    let text = "study: x\nscenarios:\n  - {name: as asked}\n  - {name: both, factors: [{factor: 1.5}, {beer: Plain Ale, format: keg, factor: 0.5}]}\n  \
                - {name: nothing, factors: [{season: the year, factor: 0}]}\n\
                draws: {number: 200, seed: 3, factors: [{beer: Plain Ale, least: 0.5, most: 1.5}]}\nlayouts: [{name: as it is}]\n";
    let study = study(text).study.unwrap();
    let all = scenarios(layout, &study);
    assert_eq!(all.len(), 203);
    let asked = |place: usize| all[place].seasons[0].demand.first().map(|asked| asked.a_week);
    assert_eq!(asked(0), Some(Volume(3_000_000)));
    // 30 hL x 1.5 x 0.5.
    assert_eq!(asked(1), Some(Volume(2_250_000)));
    assert_eq!(asked(2), None);
    let drawn: Vec<i64> = (3..203).map(|place| asked(place).unwrap().0).collect();
    assert!(drawn.iter().all(|volume| (1_500_000..=4_500_000).contains(volume)), "{drawn:?}");
    // Evenly: a tenth of two hundred in the lowest tenth of the range, give or take four standard deviations (4.2 each).
    let low = drawn.iter().filter(|&&volume| volume < 1_800_000).count();
    assert!((3..=37).contains(&low), "{low}");
    assert_eq!(all, scenarios(layout, &study));
}

#[test]
fn what_is_wrong_with_a_study_is_told_with_line_and_suggestion() {
    let wrong = [
        ("season: the yaer, factor: 2", "V189", "did you mean `the year`?"),
        ("beer: Plain Al, factor: 2", "V202", "did you mean `Plain Ale`?"),
        ("factor: -1", "V303", ""),
        ("least: 1", "V111", ""),
    ];
    for (factor, code, hint) in wrong {
        let text = format!(
            "study: x\nscenarios:\n  - {{name: one, factors: [{{{factor}}}]}}\nlayouts: [{{name: none}}]\n"
        );
        let outcome = study(&text);
        assert!(outcome.study.is_none());
        let first = &outcome.findings[0];
        assert_eq!((first.code, first.place.line), (code, Some(3)), "{:#?}", outcome.findings);
        assert!(hint.is_empty() || first.hint.as_deref() == Some(hint), "{first:?}");
    }
    let layouts = [
        ("[{name: one, buys: [B4]}]", "V194"),
        ("[{name: one, buys: [B1, B2, B3, B1]}]", "V304"),
        ("[{name: one}, {name: one}]", "V205"),
        ("[{name: whatever is cheapest}]", "V205"),
    ];
    for (layouts, code) in layouts {
        let outcome = study(&format!("study: x\nscenarios: [{{name: one}}]\nlayouts: {layouts}\n"));
        assert_eq!(outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [code]);
    }
    let text = "study: x\nscenarios: [{name: draw 1}, {name: one}, {name: one}]\nlayouts: [{name: a}]\n\
                draws: {number: 2, factors: [{least: 2, most: 1}]}\n";
    let codes: Vec<&str> = study(text).findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V205", "V205", "V304"]);
}

#[test]
fn an_item_reads_as_the_case_that_it_was_made_from_with_its_own_demand() {
    let (case, _) = case();
    let all = prepared();
    assert_eq!(all.len(), 6 * 4);
    // The second demand is half as much again, the second layout two bright tanks.
    let opened = all[5].open().unwrap();
    let mut expected = case.clone();
    expected.layout.as_mut().unwrap().seasons[0].demand[0].a_week = Volume(4_500_000);
    assert_eq!(opened.case, expected);
    assert_eq!(opened.bought, Some((vec![0, 2], Vec::new())));
    assert_eq!(all[5].asked_a_week(), Volume(4_500_000));
}

#[test]
fn the_id_of_an_item_is_that_of_its_content_wherever_it_was_made() {
    let all = prepared();
    assert_eq!(all, prepared());
    let ids: std::collections::BTreeSet<&str> = all.iter().map(|item| item.id.as_str()).collect();
    assert_eq!(ids.len(), all.len());
    for item in &all {
        assert_eq!(uuid::Uuid::parse_str(&item.id).unwrap().get_version_num(), 5);
        let again: Item = serde_json::from_str(&item.line()).unwrap();
        assert_eq!(&again, item);
        // No path of this machine stands in it.
        assert!(!item.line().contains(env!("CARGO_MANIFEST_DIR")));
    }
}

#[test]
fn lines_validate_by_the_schemas_and_wrong_ones_do_not() {
    let validator = |text: &str| jsonschema::draft7::new(&serde_json::from_str(text).unwrap()).unwrap();
    let (item, result) =
        (validator(&crate::schema::study::item_text()), validator(&crate::schema::study::result_text()));
    let mut one: serde_json::Value = serde_json::from_str(&prepared()[0].line()).unwrap();
    assert!(item.is_valid(&one));
    one["nodes"] = "many".into();
    assert!(!item.is_valid(&one));
    let mut one: serde_json::Value = serde_json::from_str(&outcome(&prepared()[0]).line()).unwrap();
    assert!(result.is_valid(&one));
    one["seconds"] = 1.into();
    assert!(!result.is_valid(&one));
}

fn outcome(item: &Item) -> Outcome {
    Outcome {
        id: item.id.clone(),
        scenario: item.scenario.clone(),
        layout: item.layout.clone(),
        status: Status::Met,
        buys: Vec::new(),
        bought_cents: Some(0),
        running_cents: Some(100),
        cost_cents: Some(100),
        bound_cents: Some(99),
        share_millionths: None,
        share_bound_millionths: None,
        proven: true,
        confirmed: true,
        stopped_after_seconds: None,
    }
}

fn codes<T>(lines: &Lines<T>) -> Vec<(&'static str, Option<usize>)> {
    lines.findings.iter().map(|finding| (finding.code, finding.place.line)).collect()
}

#[test]
fn lines_of_items_that_are_not_sound_are_findings_with_their_line() {
    let all = prepared();
    let mut changed = all[1].clone();
    changed.seed = 5;
    let mut older = Item { made_by: "0.0.9".to_owned(), ..all[2].clone() };
    older.id = older.content_id();
    let mut bytes = Vec::new();
    bytes.extend_from_slice(all[0].line().as_bytes());
    bytes.extend_from_slice(b"\nhalf a thought\n\xff\xfe\n[1, 2]\n{\"id\": \"x\"}\n");
    bytes.extend_from_slice(changed.line().as_bytes());
    bytes.extend_from_slice(older.line().as_bytes());
    bytes.extend_from_slice(&all[3].line().as_bytes()[..500]);
    let found = items("items.jsonl", &bytes, VERSION, &|_| true);
    assert_eq!(found.sound.keys().copied().collect::<Vec<_>>(), [1]);
    let expected = ["V183", "V183", "V183", "V183", "V184", "V187", "V182"];
    assert_eq!(
        codes(&found),
        (3..=9).map(Some).zip(expected).map(|(line, code)| (code, line)).collect::<Vec<_>>()
    );
    // Lines that are not meant are not looked at.
    assert!(items("items.jsonl", &bytes, VERSION, &|line| line == 1).findings.is_empty());
}

#[test]
fn an_item_with_numbers_that_nobody_writes_is_refused_and_does_no_harm() {
    let item = prepared().remove(0);
    let mut wrong: Vec<Item> = Vec::new();
    for volume in [-1, 0, i64::MAX, i64::MIN] {
        let mut one = item.clone();
        one.seasons[0].demand[0].a_week_ml = volume;
        wrong.push(one);
    }
    wrong.push(Item { weeks: 0, ..item.clone() });
    wrong.push(Item { seed: -1, ..item.clone() });
    wrong.push(Item { nodes: Some(0), ..item.clone() });
    wrong.push(Item { gap_millionths: 1_000_000, ..item.clone() });
    wrong.push(Item { buys: Some(vec!["B9".to_owned()]), ..item.clone() });
    for one in wrong {
        assert!(matches!(one.open(), Err(Unreadable::Name(_))), "{}", one.line());
    }
    let mut one = item.clone();
    one.files[1].text = None;
    one.files[1].hex = Some("0g".to_owned());
    assert!(matches!(one.open(), Err(Unreadable::Name(_))));
    let one = Item { files: Vec::new(), ..item };
    assert!(matches!(one.open(), Err(Unreadable::Files(_))));
}

#[test]
fn results_are_taken_whole_in_any_order_and_what_differs_is_told() {
    let all = prepared();
    let known: BTreeMap<usize, Item> = (1..).zip(all.iter().cloned()).collect();
    let good = outcome(&all[0]);
    let stopped = Outcome {
        status: Status::Unknown,
        cost_cents: None,
        proven: false,
        stopped_after_seconds: Some(5),
        ..good.clone()
    };
    let other = Outcome { cost_cents: Some(101), ..good.clone() };
    let stray = Outcome { id: "0".to_owned(), ..good.clone() };
    let costless = Outcome { cost_cents: None, ..outcome(&all[1]) };
    let half = &outcome(&all[2]).line()[..80];
    let whole = [&stopped, &good, &stray, &costless].map(Outcome::line).concat();
    let text = format!("{whole}{half}");
    let read = outcomes("a.jsonl", text.as_bytes());
    assert_eq!(codes(&read), [("V183", Some(4)), ("V182", Some(5))]);
    let files =
        [("a.jsonl".to_owned(), read), ("b.jsonl".to_owned(), outcomes("b.jsonl", good.line().as_bytes()))];
    let (taken, findings) = settle(&known, &files);
    // What a time limit cut short gives way to what is whole; what is the same twice is one.
    assert_eq!(taken.values().collect::<Vec<_>>(), [&good]);
    assert_eq!(findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V183", "V182", "V185"]);
    let mut files = vec![
        ("a.jsonl".to_owned(), outcomes("a.jsonl", other.line().as_bytes())),
        ("b.jsonl".to_owned(), outcomes("b.jsonl", good.line().as_bytes())),
    ];
    let (taken, findings) = settle(&known, &files);
    assert_eq!(findings[0].code, "V186");
    files.reverse();
    assert_eq!(settle(&known, &files).0, taken);
}
