//! Calendars by the real command, read by another parser than the one that the command uses, and taken in as a calendar program would.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::process::Output;

use ical::parser::ical::component::IcalCalendar;

use common::{cases, run};

/// An event as a calendar program keeps it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Kept {
    sequence: u32,
    stamp: String,
    status: String,
    starts: String,
    ends: Option<String>,
    summary: String,
}

#[track_caller]
fn assert_ends(output: &Output, code: i32) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert_eq!(output.status.code(), Some(code), "{}{}", text(&output.stdout), text(&output.stderr));
}

/// A folder with a case of its own, to be changed.
struct Brewery {
    folder: tempfile::TempDir,
}

impl Brewery {
    fn of(case: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let cases = cases().join(case);
        for name in ["brewplan.yaml", "cellar.yaml"] {
            std::fs::copy(cases.join(name), folder.path().join(name)).unwrap();
        }
        Self { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn name(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    fn change(&self, from: &str, to: &str) {
        let file = self.path("brewplan.yaml");
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(text.contains(from), "{from}");
        std::fs::write(file, text.replace(from, to)).unwrap();
    }

    fn plan(&self, calendars: &str) -> Output {
        run(&["plan", &self.name("brewplan.yaml"), "--quiet", "--calendar", &self.name(calendars)])
    }

    fn file(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }
}

/// Reads a calendar strictly.
fn parsed(text: &str) -> IcalCalendar {
    for line in text.split("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\n', '\r']), "{line:?}");
    }
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    let mut calendars = ical::IcalParser::new(text.as_bytes());
    let calendar = calendars.next().unwrap().unwrap();
    assert!(!calendar.events.is_empty(), "a calendar has a component at least");
    assert!(calendars.next().is_none());
    calendar
}

/// Takes a calendar in, as RFC 5546 says: an event is known by its UID, a higher sequence number, or the same with a later stamp, replaces it.
fn take_in(kept: &mut BTreeMap<String, Kept>, text: &str) {
    let calendar = parsed(text);
    let mut seen = Vec::new();
    for event in &calendar.events {
        let find = |name: &str| event.properties.iter().find(|property| property.name == name);
        let value = |name: &str| find(name).and_then(|property| property.value.clone());
        let uid = value("UID").unwrap();
        assert!(!seen.contains(&uid), "twice in a file: {uid}");
        seen.push(uid.clone());
        let starts = find("DTSTART").unwrap();
        let is_date =
            starts.params.iter().flatten().any(|(name, values)| name == "VALUE" && values == &["DATE"]);
        assert!(starts.params.iter().flatten().all(|(name, _)| name != "TZID"), "floating");
        let start = starts.value.clone().unwrap();
        assert_eq!(start.len(), if is_date { 8 } else { 15 }, "{start}");
        let new = Kept {
            sequence: value("SEQUENCE").unwrap().parse().unwrap(),
            stamp: value("DTSTAMP").unwrap(),
            status: value("STATUS").unwrap(),
            starts: start,
            ends: value("DTEND"),
            summary: value("SUMMARY").unwrap(),
        };
        assert!(new.ends.as_ref().is_none_or(|ends| *ends > new.starts), "{new:?}");
        match kept.get(&uid) {
            Some(old) if (old.sequence, &old.stamp) > (new.sequence, &new.stamp) => panic!("{old:?} {new:?}"),
            Some(old) if (old.sequence, &old.stamp) == (new.sequence, &new.stamp) => assert_eq!(*old, new),
            _ => drop(kept.insert(uid, new)),
        }
    }
}

/// What somebody sees of a calendar: without numbers, and without what is cancelled.
fn seen(kept: &BTreeMap<String, Kept>) -> Vec<(String, Option<String>, String)> {
    let there = kept.values().filter(|kept| kept.status != "CANCELLED");
    let mut seen: Vec<_> =
        there.map(|kept| (kept.starts.clone(), kept.ends.clone(), kept.summary.clone())).collect();
    seen.sort();
    seen
}

const CELLAR_HANDS: &str = "crew-cellar-hands.ics";
const PACKERS: &str = "crew-packers.ics";

#[test]
fn taking_in_a_newer_plan_updates_and_cancels_and_doubles_nothing() {
    let brewery = Brewery::of("tiny/early-and-late");
    let cellar = |folder: &str| brewery.file(&format!("{folder}/{}", CELLAR_HANDS));
    let mut kept = BTreeMap::new();
    assert_ends(&brewery.plan("calendars"), 0);
    // The brewers have nothing to do.
    assert_eq!(std::fs::read_dir(brewery.path("calendars")).unwrap().count(), 2);
    let first = cellar("calendars");
    take_in(&mut kept, &first);
    assert!(kept.len() >= 4 && kept.values().all(|kept| kept.sequence == 0), "{kept:?}");
    let before = seen(&kept);
    // The same plan again.
    assert_ends(&brewery.plan("calendars"), 0);
    assert_eq!(cellar("calendars"), first, "not a byte is different");
    // Wednesday and Thursday are off for the cellar.
    brewery.change("cellar: mon-fri, package", "cellar: [mon, tue, fri], package");
    assert_ends(&brewery.plan("calendars"), 0);
    assert_ends(&brewery.plan("fresh"), 0);
    take_in(&mut kept, &cellar("calendars"));
    let mut fresh = BTreeMap::new();
    take_in(&mut fresh, &cellar("fresh"));
    assert_eq!(seen(&kept), seen(&fresh), "as if there had never been another plan");
    assert_ne!(seen(&kept), before);
    assert!(kept.values().any(|kept| kept.status == "CANCELLED" && kept.sequence == 1), "{kept:?}");
    assert!(kept.values().any(|kept| kept.status == "CONFIRMED" && kept.sequence == 0), "{kept:?}");
    // And back.
    brewery.change("cellar: [mon, tue, fri], package", "cellar: mon-fri, package");
    assert_ends(&brewery.plan("calendars"), 0);
    take_in(&mut kept, &cellar("calendars"));
    assert_eq!(seen(&kept), before);
    assert!(kept.values().any(|kept| kept.status == "CONFIRMED" && kept.sequence == 2), "{kept:?}");
}

#[test]
fn times_of_day_come_from_the_plan_by_the_clock() {
    let brewery = Brewery::of("tiny/by-the-clock");
    let plan = brewery.name("plan.yaml");
    let calendars = brewery.name("calendars");
    let brewplan = brewery.name("brewplan.yaml");
    assert_ends(&run(&["plan", &brewplan, "--quiet", "--out", &plan, "--calendar", &calendars]), 0);
    let mut kept = BTreeMap::new();
    let text = brewery.file("calendars/crew-cellar-hand.ics");
    take_in(&mut kept, &text);
    // Four hours from the start of the shift.
    let clean = ("20261207T060000".to_owned(), Some("20261207T100000".to_owned()), "clean\\, F1".to_owned());
    assert_eq!(seen(&kept), [clean]);
    // `check` of the same plan writes the same.
    assert_ends(&run(&["check", &brewplan, &plan, "--calendar", &calendars]), 0);
    assert_eq!(brewery.file("calendars/crew-cellar-hand.ics"), text);
    // A plan that breaks rules is nobody's calendar.
    let broken = brewery.file("plan.yaml").replace("turns: 1", "turns: 2");
    std::fs::write(brewery.path("broken.yaml"), broken).unwrap();
    let output =
        run(&["check", &brewplan, &brewery.name("broken.yaml"), "--calendar", &brewery.name("none")]);
    assert_ends(&output, 1);
    assert!(String::from_utf8_lossy(&output.stderr).contains("no calendar is written"));
    assert!(!brewery.path("none").exists());
}

#[test]
fn files_of_others_are_left_as_they_are_and_said_before_the_search() {
    let brewery = Brewery::of("tiny/early-and-late");
    std::fs::create_dir(brewery.path("calendars")).unwrap();
    let own = brewery.path("calendars").join(PACKERS);
    std::fs::write(&own, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//me//mine//EN\r\nEND:VCALENDAR\r\n")
        .unwrap();
    let before = std::fs::read(&own).unwrap();
    let output = brewery.plan("calendars");
    assert_ends(&output, 2);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("left as it is") && said.contains(PACKERS) && output.stdout.is_empty(), "{said}");
    assert_eq!(std::fs::read(&own).unwrap(), before);
    assert_eq!(std::fs::read_dir(brewery.path("calendars")).unwrap().count(), 1, "nothing else is written");
    // Other files are no matter.
    std::fs::rename(&own, brewery.path("calendars").join("mine.ics")).unwrap();
    assert_ends(&brewery.plan("calendars"), 0);
    assert_eq!(std::fs::read(brewery.path("calendars/mine.ics")).unwrap(), before);
    // Another brewery with crews of the same names.
    let file = brewery.path("cellar.yaml");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text.replace("cellar: Early packers, late cellar", "cellar: Another house"))
        .unwrap();
    let packers = brewery.file(&format!("calendars/{}", PACKERS));
    let output = brewery.plan("calendars");
    assert_ends(&output, 2);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("belongs to Early packers, late cellar"), "{said}");
    assert_eq!(brewery.file(&format!("calendars/{}", PACKERS)), packers);
    // A directory that cannot be made.
    let output = brewery.plan("nowhere/calendars");
    assert_ends(&output, 2);
    assert!(String::from_utf8_lossy(&output.stderr).contains("name a directory"));
}

#[test]
fn work_of_a_crew_that_is_gone_is_cancelled() {
    let brewery = Brewery::of("tiny/early-and-late");
    assert_ends(&brewery.plan("calendars"), 0);
    brewery.change("name: packers", "name: can crew");
    assert_ends(&brewery.plan("calendars"), 0);
    let mut gone = BTreeMap::new();
    take_in(&mut gone, &brewery.file(&format!("calendars/{}", PACKERS)));
    assert!(!gone.is_empty() && gone.values().all(|kept| kept.status == "CANCELLED"), "{gone:?}");
    let mut new = BTreeMap::new();
    take_in(&mut new, &brewery.file("calendars/crew-can-crew.ics"));
    assert_eq!(new.len(), gone.len());
    assert!(new.keys().all(|uid| !gone.contains_key(uid)));
}
