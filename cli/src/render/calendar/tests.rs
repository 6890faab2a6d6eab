//! What a newer plan makes of a calendar.

use cellarwright_model::testkit::{F2, hl};
use cellarwright_model::units::Minutes;
use jiff::civil::{Date, date};

use super::entries::{Entry, When, entries};
use super::file::{Crew, Former, read, update};
use crate::render::testcase::{case, plan, view};

const MONDAY: Date = date(2026, 12, 7);

fn whose() -> Crew {
    Crew { crew: "cellar; hands, \\ \"early\"".into(), cellar: "Hall: no. 7".into() }
}

fn day_entry(uid: &str, day: Date, summary: &str) -> Entry {
    Entry {
        uid: uid.to_owned(),
        when: When::Days(day, day.tomorrow().unwrap()),
        summary: summary.to_owned(),
        location: "F1".into(),
        description: "one\ntwo".into(),
        is_busy: false,
    }
}

/// A calendar after plans one after another, each with its first day.
fn after(plans: &[(Date, &[Entry])]) -> String {
    let mut text = None;
    for (first_day, entries) in plans {
        let former = text.map_or_else(Former::default, |text: String| read(&text).unwrap().1);
        text = update(&whose(), &former, *first_day, entries);
    }
    text.unwrap()
}

/// The lines of the event with a mark, unfolded.
fn event(text: &str, uid: &str) -> Option<Vec<String>> {
    let unfolded = text.replace("\r\n ", "");
    let mut events = unfolded.split("BEGIN:VEVENT").skip(1);
    let found = events.find(|event| event.contains(&format!("UID:{uid}\r\n")))?;
    Some(found.lines().map(str::to_owned).collect())
}

#[track_caller]
fn assert_has(text: &str, uid: &str, lines: &[&str]) {
    let event = event(text, uid).unwrap_or_else(|| panic!("no {uid} in {text}"));
    for line in lines {
        assert!(event.iter().any(|found| found == line), "{line} in {event:?}");
    }
}

#[test]
fn the_same_plan_again_changes_no_byte() {
    let entries = [day_entry("a", MONDAY, "clean"), day_entry("b", date(2026, 12, 8), "fill")];
    let once = after(&[(MONDAY, &entries)]);
    assert_eq!(once, after(&[(MONDAY, &entries), (MONDAY, &entries)]));
    assert_has(&once, "a", &["SEQUENCE:0", "DTSTAMP:20261207T000000Z", "STATUS:CONFIRMED"]);
    assert_has(&once, "a", &["DTSTART;VALUE=DATE:20261207", "DTEND;VALUE=DATE:20261208"]);
}

#[test]
fn what_changes_gets_the_next_number_and_a_later_stamp_and_the_rest_stays() {
    let before = [day_entry("a", MONDAY, "clean"), day_entry("b", MONDAY, "fill")];
    let changed = [day_entry("a", MONDAY, "clean in full"), day_entry("b", MONDAY, "fill")];
    let text = after(&[(MONDAY, &before), (MONDAY, &changed)]);
    assert_has(&text, "a", &["SEQUENCE:1", "DTSTAMP:20261207T000001Z", "SUMMARY:clean in full"]);
    assert_has(&text, "b", &["SEQUENCE:0", "DTSTAMP:20261207T000000Z"]);
    assert_eq!(text.matches("BEGIN:VEVENT").count(), 2);
}

#[test]
fn what_is_gone_is_cancelled_stays_so_and_comes_back() {
    let entries = [day_entry("a", MONDAY, "clean")];
    let gone = after(&[(MONDAY, &entries), (MONDAY, &[])]);
    let lines = ["SEQUENCE:1", "STATUS:CANCELLED", "TRANSP:TRANSPARENT", "SUMMARY:cancelled: clean"];
    assert_has(&gone, "a", &lines);
    assert_eq!(gone, after(&[(MONDAY, &entries), (MONDAY, &[]), (MONDAY, &[])]), "cancelled once");
    let back = after(&[(MONDAY, &entries), (MONDAY, &[]), (MONDAY, &entries)]);
    assert_has(&back, "a", &["SEQUENCE:2", "STATUS:CONFIRMED", "SUMMARY:clean", "DTSTAMP:20261207T000002Z"]);
}

#[test]
fn a_stamp_is_later_than_the_one_before_even_if_the_newer_plan_begins_earlier() {
    let entries = [day_entry("a", MONDAY, "clean")];
    let text = after(&[(MONDAY, &entries), (date(2026, 11, 30), &[])]);
    assert_has(&text, "a", &["SEQUENCE:1", "DTSTAMP:20261207T000001Z"]);
}

#[test]
fn what_lies_before_the_plan_stays_as_it_is_for_eight_weeks() {
    let evening = Entry {
        when: When::Time(date(2026, 12, 7).at(22, 0, 0, 0), 480),
        ..day_entry("night", MONDAY, "watch")
    };
    let upkeep =
        Entry { when: When::Days(MONDAY, date(2026, 12, 12)), ..day_entry("upkeep", MONDAY, "valve") };
    let entries = [day_entry("a", MONDAY, "clean"), evening, upkeep];
    let tuesday = date(2026, 12, 8);
    let text = after(&[(MONDAY, &entries), (tuesday, &[])]);
    assert_has(&text, "a", &["SEQUENCE:0", "STATUS:CONFIRMED"]);
    assert_has(&text, "night", &["SEQUENCE:0", "STATUS:CONFIRMED", "DTEND:20261208T060000"]);
    // What is away to Friday and no longer planned is cancelled.
    assert_has(&text, "upkeep", &["SEQUENCE:1", "STATUS:CANCELLED"]);
    let other = [day_entry("other", date(2027, 2, 5), "clean")];
    let later = |day| after(&[(MONDAY, &entries), (tuesday, &[]), (day, &other)]);
    assert!(event(&later(date(2027, 2, 1)), "a").is_some(), "56 days");
    assert!(event(&later(date(2027, 2, 2)), "a").is_none(), "57 days");
    // But a calendar that would be empty keeps what it has.
    let empty = after(&[(MONDAY, &entries), (tuesday, &[]), (date(2027, 3, 1), &[])]);
    assert_has(&empty, "a", &["SEQUENCE:0", "STATUS:CONFIRMED"]);
}

#[test]
fn names_with_marks_of_the_format_come_back_as_they_were() {
    let evil = "a,b;c\\d\\n:\"e\" BEGIN:VEVENT";
    let long = "Überlange Würze 🍺 ".repeat(40);
    let entries = [day_entry("a", MONDAY, evil), day_entry("b", MONDAY, &long), day_entry("c", MONDAY, "\\")];
    let text = after(&[(MONDAY, &entries)]);
    assert_eq!(text, after(&[(MONDAY, &entries), (MONDAY, &entries)]), "read back as the same");
    assert_eq!(read(&text).unwrap().0, whose());
    for line in text.split("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\n', '\r']), "{} bytes: {line}", line.len());
    }
    assert_eq!(text.matches("\r\nBEGIN:VEVENT").count(), 3);
}

#[test]
fn only_our_own_files_are_read() {
    assert_eq!(update(&whose(), &Former::default(), MONDAY, &[]), None, "nothing is no calendar");
    let text = after(&[(MONDAY, &[day_entry("a", MONDAY, "clean")])]);
    assert!(read(&text).is_some());
    assert!(read(&text.replace("-//cellarwright//crew calendar//EN", "-//somebody//else//EN")).is_none());
    assert!(read(&text.replace("X-CELLARWRIGHT-CREW", "X-OTHER")).is_none());
    for other in ["", "BEGIN:VCALENDAR", "not a calendar\n", "BEGIN:VCARD\r\nEND:VCARD\r\n"] {
        assert!(read(other).is_none(), "{other}");
    }
}

#[test]
fn marks_stay_where_times_and_volumes_change_and_differ_by_crew_day_and_vessel() {
    let mut case = case();
    case.clock_times = true;
    let timed = |first: i64| {
        let mut plan = plan(&case);
        for (task, minutes) in plan.tasks.iter_mut().zip([first, 0, 60, 240, 0, 0, 0]) {
            task.begins = Some(Minutes(minutes));
        }
        plan
    };
    let crew =
        &case.crews.iter().find(|crew| crew.has(cellarwright_model::calendar::Role::Cellar)).unwrap().name;
    let of = |plan| entries(&view(&case, &plan), crew);
    let (early, late) = (of(timed(90)), of(timed(120)));
    let uids = |entries: &[Entry]| entries.iter().map(|entry| entry.uid.clone()).collect::<Vec<_>>();
    let sorted = |entries: &[Entry]| {
        let mut uids = uids(entries);
        uids.sort();
        uids
    };
    assert_eq!(sorted(&early), sorted(&late));
    assert_ne!(early, late);
    let unique: std::collections::BTreeSet<String> = uids(&early).into_iter().collect();
    assert_eq!(unique.len(), early.len());
    assert!(early.len() >= 4 && early.iter().all(|entry| entry.is_busy), "{early:?}");
    // 06:00 and 90 minutes; the clean of F2 takes two hours.
    let clean =
        early.iter().find(|entry| entry.location == "F2" && entry.summary.starts_with("clean")).unwrap();
    assert_eq!(clean.when, When::Time(MONDAY.at(7, 30, 0, 0), case.vessel(F2).cleaning(false).takes.0));
    // A plan without times: whole days, and other entries of the same work keep their marks.
    let whole_days = of(plan(&case));
    assert_eq!(sorted(&whole_days), sorted(&early));
    assert!(whole_days.iter().all(|entry| matches!(entry.when, When::Days(..)) && !entry.is_busy));
    let mut smaller = plan(&case);
    for task in &mut smaller.tasks {
        if let cellarwright_model::plan::Work::Transfer { volume, .. } = &mut task.work {
            *volume = hl(1_000);
        }
    }
    assert_eq!(sorted(&of(smaller)), sorted(&early));
    assert_eq!(entries(&view(&case, &plan(&case)), "nobody"), Vec::new());
}
