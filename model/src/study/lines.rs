//! Files of lines, read back: what is sound, and a finding for each line that is not.

use std::collections::BTreeMap;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::{Item, Outcome};
use crate::finding::{Finding, Place, Severity};

/// Codes of what is wrong with lines.
pub const CODES: [&str; 7] = ["V182", "V183", "V184", "V185", "V186", "V187", "V188"];

/// What stood in a file of lines.
#[derive(Clone, Debug)]
pub struct Lines<T> {
    /// What is sound, by number of the line from 1.
    pub sound: BTreeMap<usize, T>,
    /// What is not.
    pub findings: Vec<Finding>,
}

impl<T> Lines<T> {
    /// Keeps what nothing is wrong with.
    fn judged(mut self, wrong: impl Fn(usize, &T) -> Option<Finding>) -> Self {
        self.sound.retain(|&line, one| {
            let found = wrong(line, one);
            let is_sound = found.is_none();
            self.findings.extend(found);
            is_sound
        });
        self.findings.sort_by_key(|finding| finding.place.line);
        self
    }
}

/// Something as a line of JSON, with its end.
pub(super) fn line_of(one: &impl Serialize) -> String {
    // Texts, numbers and lists can always be written.
    let mut line = serde_json::to_string(one).unwrap_or_default();
    line.push('\n');
    line
}

/// A finding of a line.
fn about(code: &'static str, file: &str, line: usize, found: &str, allowed: &str) -> Finding {
    Finding {
        code,
        severity: Severity::Error,
        place: Place { file: file.to_owned(), line: Some(line), ..Place::default() },
        found: found.to_owned(),
        allowed: allowed.to_owned(),
        hint: None,
    }
}

/// The finding that there is no item in a line.
#[must_use]
pub fn no_item(file: &str, line: usize) -> Finding {
    about("V188", file, line, &line.to_string(), "the number of a line that holds an item")
}

/// The finding that an item names what its files do not have, or holds what `study prepare` does not write.
#[must_use]
pub fn wrong_item(file: &str, line: usize, found: &str) -> Finding {
    about("V183", file, line, found, ITEM)
}

/// What a line of items holds.
const ITEM: &str = "an item as `study prepare` writes it (`schema item` has its keys)";

/// Reads the lines that are meant; empty ones are passed over.
fn lines<T: DeserializeOwned>(
    file: &str,
    bytes: &[u8],
    wanted: &str,
    is_meant: &dyn Fn(usize) -> bool,
) -> Lines<T> {
    let mut found = Lines { sound: BTreeMap::new(), findings: Vec::new() };
    for (place, line) in bytes.split(|&byte| byte == b'\n').enumerate() {
        if !is_meant(place + 1) || line.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        match serde_json::from_slice(line) {
            Ok(one) => {
                found.sound.insert(place + 1, one);
            }
            Err(error) if error.is_eof() => {
                let allowed = "a whole line: what is cut off counts as not done";
                found.findings.push(about("V182", file, place + 1, "", allowed));
            }
            Err(error) => found.findings.push(about("V183", file, place + 1, &error.to_string(), wanted)),
        }
    }
    found
}

/// Reads the lines of a file of items that are meant. An item that is not what its id says, or was made by another version of the program, is not sound.
#[must_use]
pub fn items(file: &str, bytes: &[u8], version: &str, is_meant: &dyn Fn(usize) -> bool) -> Lines<Item> {
    lines(file, bytes, ITEM, is_meant).judged(|line, item: &Item| {
        if item.content_id() != item.id {
            Some(about("V184", file, line, &item.id, "an item as it was written: prepare it again"))
        } else if item.made_by == version {
            None
        } else {
            let allowed = format!("items of version {version}: prepare them again, or use the other version");
            Some(about("V187", file, line, &item.made_by, &allowed))
        }
    })
}

/// Reads a file of outcomes.
#[must_use]
pub fn outcomes(file: &str, bytes: &[u8]) -> Lines<Outcome> {
    let wanted = "a result as `study run` writes it (`schema result` has its keys)";
    lines(file, bytes, wanted, &|_| true).judged(|line, outcome: &Outcome| {
        let found = "a demand that is met, without its cost";
        (!outcome.is_whole()).then(|| about("V183", file, line, found, wanted))
    })
}

/// Takes one outcome for each item out of files of them: one without a time limit that struck before any other, then the one with the most time.
/// Outcomes of no item, and such as differ where they may not, are findings.
#[must_use]
pub fn settle(
    items: &BTreeMap<usize, Item>,
    files: &[(String, Lines<Outcome>)],
) -> (BTreeMap<String, Outcome>, Vec<Finding>) {
    let known: BTreeMap<&str, &Item> = items.values().map(|item| (item.id.as_str(), item)).collect();
    let mut taken: BTreeMap<String, Outcome> = BTreeMap::new();
    let mut findings = Vec::new();
    for (file, lines) in files {
        findings.extend(lines.findings.iter().cloned());
        for (&line, outcome) in &lines.sound {
            let is_of = |item: &&Item| item.scenario == outcome.scenario && item.layout == outcome.layout;
            if !known.get(outcome.id.as_str()).is_some_and(is_of) {
                let allowed = "results of these items";
                findings.push(about("V185", file, line, &outcome.id, allowed));
                continue;
            }
            let Some(before) = taken.get(&outcome.id) else {
                taken.insert(outcome.id.clone(), outcome.clone());
                continue;
            };
            if before != outcome && before.stopped_after_seconds == outcome.stopped_after_seconds {
                let allowed = match outcome.stopped_after_seconds {
                    None => "one result for each item, the same wherever it was done",
                    Some(_) => "one result for each item: the time limit struck at another place in each",
                };
                findings.push(about("V186", file, line, &outcome.id, allowed));
            }
            if rank(outcome) < rank(before) {
                taken.insert(outcome.id.clone(), outcome.clone());
            }
        }
    }
    (taken, findings)
}

/// The order in which outcomes of one item are taken; whichever is read first changes nothing.
fn rank(outcome: &Outcome) -> (bool, i64, String) {
    let stopped = outcome.stopped_after_seconds;
    (stopped.is_some(), -stopped.unwrap_or(0), outcome.line())
}
