//! A crew's calendar as a file: read, brought up to date, written.

use std::collections::BTreeMap;

use icalendar::{Calendar, Component, Event, EventLike, Property};
use jiff::civil::{Date, DateTime, Time};

use super::entries::{Entry, When};
use crate::render::words::calendar as own;

/// Who writes these files: what does not say so is not ours.
const PRODUCT: &str = "-//cellarwright//crew calendar//EN";
/// The crew that a file is for.
const CREW: &str = "X-CELLARWRIGHT-CREW";
/// The brewery that a file is for.
const CELLAR: &str = "X-CELLARWRIGHT-CELLAR";
/// Days before the first planned one for which what is past is kept.
const KEPT: i32 = 56;
/// What tells whether an entry has changed.
const CONTENT: [&str; 7] = ["DTSTART", "DTEND", "SUMMARY", "LOCATION", "DESCRIPTION", "TRANSP", "STATUS"];
/// How dates and times are written.
const DATE: &str = "%Y%m%d";
/// The same with the time of day.
const TIME: &str = "%Y%m%dT%H%M%S";
/// The same in universal time, for stamps.
const STAMP: &str = "%Y%m%dT%H%M%SZ";

/// Whose calendar it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crew {
    /// The crew.
    pub crew: String,
    /// The brewery.
    pub cellar: String,
}

/// A calendar that an earlier plan has left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Former {
    events: BTreeMap<String, Event>,
}

/// Reads a calendar; none where it is not one of ours.
#[must_use]
pub fn read(text: &str) -> Option<(Crew, Former)> {
    let calendar: Calendar = text.parse().ok()?;
    if calendar.property_value("PRODID") != Some(PRODUCT) {
        return None;
    }
    let value = |key| calendar.property_value(key).map(str::to_owned);
    let whose = Crew { crew: value(CREW)?, cellar: value(CELLAR)? };
    let mut former = Former::default();
    for event in calendar.events() {
        former.events.insert(event.get_uid()?.to_owned(), event.clone());
    }
    Some((whose, former))
}

/// The calendar of a crew with what is planned from a day on, as text.
///
/// What is new comes in with sequence number 0. What is planned as before stays as it is, to the byte. What has changed, is planned again
/// or is no longer planned (from the first planned day on) gets the next sequence number and a later stamp; the last is cancelled
/// and stays in the file, so that whoever reads it takes it out. What lies before the first planned day stays as it is for eight weeks.
///
/// None where there is nothing: a calendar has an entry at least (RFC 5545, 3.6), so the last ones stay however old they are.
#[must_use]
pub fn update(whose: &Crew, former: &Former, first_day: Date, entries: &[Entry]) -> Option<String> {
    let mut events: BTreeMap<String, Event> = BTreeMap::new();
    for (uid, event) in &former.events {
        if is_over(event, first_day) {
            if !is_over(event, first_day.saturating_sub(jiff::Span::new().days(KEPT))) {
                events.insert(uid.clone(), event.clone());
            }
        } else {
            let gone = if is_cancelled(event) { event.clone() } else { cancelled(event, first_day) };
            events.insert(uid.clone(), gone);
        }
    }
    for entry in entries {
        let planned = planned(entry);
        let event = match former.events.get(&entry.uid) {
            Some(before) if is_same(before, &planned) => before.clone(),
            before => numbered(planned, before, first_day),
        };
        events.insert(entry.uid.clone(), event);
    }
    if events.is_empty() {
        events.clone_from(&former.events);
    }
    if events.is_empty() {
        return None;
    }
    let mut calendar = Calendar::empty();
    for (key, value) in [("VERSION", "2.0"), ("PRODID", PRODUCT), ("CALSCALE", "GREGORIAN")] {
        calendar.append_property((key, value));
    }
    calendar.append_property(("X-WR-CALNAME", own::name(&whose.crew, &whose.cellar).as_str()));
    calendar.append_property((CREW, whose.crew.as_str()));
    calendar.append_property((CELLAR, whose.cellar.as_str()));
    let mut in_order: Vec<((String, String), Event)> =
        events.into_iter().map(|(uid, event)| ((begins(&event), uid), event)).collect();
    in_order.sort_by(|(one, _), (other, _)| one.cmp(other));
    for (_, event) in in_order {
        calendar.push(event);
    }
    Some(calendar.to_string())
}

/// An entry as an event without number and stamp.
fn planned(entry: &Entry) -> Event {
    let mut event = Event::new();
    event.uid(&entry.uid).summary(&entry.summary).description(&entry.description);
    if !entry.location.is_empty() {
        event.location(&entry.location);
    }
    match entry.when {
        When::Days(first, after) => {
            for (key, date) in [("DTSTART", first), ("DTEND", after)] {
                let mut property = Property::new(key, date.strftime(DATE).to_string());
                event.append_property(property.add_parameter("VALUE", "DATE").done());
            }
        }
        When::Time(starts, minutes) => {
            event.add_property("DTSTART", starts.strftime(TIME).to_string());
            // What takes no time has no end (RFC 5545, 3.6.1).
            if minutes > 0 {
                let ends = starts.saturating_add(jiff::Span::new().minutes(minutes));
                event.add_property("DTEND", ends.strftime(TIME).to_string());
            }
        }
    }
    event.add_property("STATUS", "CONFIRMED");
    event.add_property("TRANSP", if entry.is_busy { "OPAQUE" } else { "TRANSPARENT" });
    event.done()
}

/// An event that is no longer planned.
fn cancelled(before: &Event, first_day: Date) -> Event {
    let mut event = before.clone();
    event.add_property("STATUS", "CANCELLED").add_property("TRANSP", "TRANSPARENT");
    event.summary(&own::cancelled(before.get_summary().unwrap_or_default()));
    numbered(event, Some(before), first_day)
}

/// An event with the sequence number after the former one's, and a stamp that depends on nothing but the plan and the former file:
/// midnight of the first planned day, and a second for each sequence number, but always later than the former one.
fn numbered(mut event: Event, before: Option<&Event>, first_day: Date) -> Event {
    let sequence = before.map_or(0, |before| sequence(before).saturating_add(1));
    let own = first_day
        .to_datetime(Time::midnight())
        .saturating_add(jiff::Span::new().seconds(sequence.min(86_399)));
    let former = before.and_then(|before| DateTime::strptime(STAMP, before.property_value("DTSTAMP")?).ok());
    let later = former.map(|former| former.saturating_add(jiff::Span::new().seconds(1)));
    let stamp = later.map_or(own, |later| later.max(own));
    event.add_property("SEQUENCE", sequence.to_string());
    event.add_property("DTSTAMP", stamp.strftime(STAMP).to_string());
    event
}

fn sequence(event: &Event) -> i64 {
    event.property_value("SEQUENCE").and_then(|number| number.parse().ok()).unwrap_or(0)
}

fn is_cancelled(event: &Event) -> bool {
    event.property_value("STATUS") == Some("CANCELLED")
}

fn is_same(before: &Event, planned: &Event) -> bool {
    CONTENT.iter().all(|key| before.property_value(key) == planned.property_value(key))
}

/// When an event begins, as written: in order of time.
fn begins(event: &Event) -> String {
    event.property_value("DTSTART").unwrap_or_default().to_owned()
}

/// Whether an event lies before a day: it begins before it and, where it takes whole days, ends before it. What begins in the evening
/// before belongs to the evening.
fn is_over(event: &Event, day: Date) -> bool {
    let day = day.strftime(DATE).to_string();
    let start = begins(event);
    let takes_days = !start.contains('T');
    let end = event.property_value("DTEND").filter(|_| takes_days).unwrap_or_default();
    start.get(..8).is_some_and(|start| start < day.as_str()) && end <= day.as_str()
}
