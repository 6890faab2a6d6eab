//! Walking a YAML value: every fault becomes a finding with its path, and the walk goes on.

use std::cell::{Cell, RefCell};
use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::rc::Rc;

use serde_yaml::{Mapping, Value};

use super::quantity::QuantityFault;
use crate::finding::{Finding, PathStep, Place, Severity};
use crate::measures::UnitSystem;

/// Findings of one file that are kept at most.
pub const MOST_FINDINGS: usize = 200;
/// Entries of a list, or rows of a CSV file, that are read at most.
pub const MOST_ITEMS: usize = 2_000;

/// The finding that stands for all that are not kept.
pub fn too_many(file: &str) -> Finding {
    let found = format!("more than {MOST_FINDINGS}");
    super::guard::about_file("V114", file, Some(1), &found, "a file with fewer faults")
}

/// The findings of one file while it is read.
#[derive(Clone, Debug)]
pub struct Findings {
    file: Rc<str>,
    list: Rc<RefCell<Vec<Finding>>>,
    units: Rc<Cell<UnitSystem>>,
}

impl Findings {
    /// No findings yet for a file.
    pub fn new(file: &str) -> Self {
        Self { file: file.into(), list: Rc::default(), units: Rc::default() }
    }

    /// Says in which units limits are shown, where that is known.
    pub fn show_in(&self, units: Option<UnitSystem>) {
        self.units.set(units.unwrap_or_default());
    }

    /// The file.
    pub fn file(&self) -> Rc<str> {
        Rc::clone(&self.file)
    }

    /// Adds a finding at a path.
    ///
    /// A file with more findings than anybody reads ends in one that says so.
    pub fn add(&self, finding: Finding) {
        let mut list = self.list.borrow_mut();
        match list.len().cmp(&MOST_FINDINGS) {
            Ordering::Less => list.push(finding),
            Ordering::Equal => list.push(too_many(&self.file)),
            Ordering::Greater => {}
        }
    }

    /// All findings so far.
    pub fn take(&self) -> Vec<Finding> {
        self.list.take()
    }
}

/// What the reader asks of a value.
#[cfg_attr(not(test), allow(dead_code, reason = "only tests listen"))]
#[derive(Clone, Copy, Debug)]
enum Asked<'w> {
    /// A single value, of which this is allowed.
    Value(&'w str),
    /// Names and values.
    Entries,
    /// A list.
    Items,
    /// A list, or one value in its place.
    ItemsOrOne,
    /// A key.
    Key(&'static str),
    /// A key that must be there.
    Needed(&'static str),
}

/// What the reader asks, kept for tests.
#[cfg(test)]
pub mod listening {
    use std::cell::RefCell;

    use super::{Asked, PathStep};

    /// File, path, and what was asked in words: `value` and what is allowed, `entries`, `items`, `items or one`, `key` and
    /// its name, `needed` and its name.
    pub type Heard = (String, Vec<PathStep>, &'static str, String);

    thread_local! {
        static HEARD: RefCell<Vec<Heard>> = const { RefCell::new(Vec::new()) };
    }

    pub(super) fn hear(file: &str, path: &[PathStep], asked: Asked) {
        let (what, name) = match asked {
            Asked::Value(allowed) => ("value", allowed),
            Asked::Entries => ("entries", ""),
            Asked::Items => ("items", ""),
            Asked::ItemsOrOne => ("items or one", ""),
            Asked::Key(key) => ("key", key),
            Asked::Needed(key) => ("needed", key),
        };
        HEARD.with_borrow_mut(|heard| heard.push((file.to_owned(), path.to_vec(), what, name.to_owned())));
    }

    /// Everything since the last time, on this thread.
    pub fn take() -> Vec<Heard> {
        HEARD.take()
    }
}

/// A value at a path of a file.
#[derive(Clone, Debug)]
pub struct Node<'a> {
    /// The value.
    pub value: &'a Value,
    /// Where it stands.
    pub path: Vec<PathStep>,
    /// Where findings go.
    pub findings: Findings,
}

/// The allowed word that is most like one that was found.
pub fn did_you_mean<'a>(found: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let lower = found.to_lowercase();
    let scored = allowed.into_iter().map(|word| (strsim::jaro_winkler(&lower, &word.to_lowercase()), word));
    let best = scored.max_by(|one, other| one.0.total_cmp(&other.0))?;
    (best.0 >= 0.8).then(|| format!("did you mean `{}`?", best.1))
}

/// The text of a value as a person would write it.
pub fn shown(value: &Value) -> String {
    match value {
        Value::Null => "nothing".into(),
        Value::Bool(yes) => yes.to_string(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => text.clone(),
        Value::Sequence(_) => "a list".into(),
        Value::Mapping(_) => "a mapping".into(),
        Value::Tagged(_) => "a tagged value".into(),
    }
}

impl<'a> Node<'a> {
    /// The root of a file.
    pub fn root(value: &'a Value, findings: Findings) -> Self {
        Self { value, path: Vec::new(), findings }
    }

    /// The text of the value.
    pub fn shown(&self) -> String {
        shown(self.value)
    }

    /// Units in which limits are shown.
    pub fn units(&self) -> UnitSystem {
        self.findings.units.get()
    }

    /// Tells a test what the reader asks of this value.
    #[cfg(test)]
    fn note(&self, asked: Asked) {
        listening::hear(&self.findings.file, &self.path, asked);
    }

    #[cfg(not(test))]
    fn note(&self, _asked: Asked) {}

    fn place(&self) -> Place {
        Place { file: self.findings.file.to_string(), path: self.path.clone(), line: None, column: None }
    }

    /// Reports something about this value.
    pub fn report(
        &self,
        code: &'static str,
        severity: Severity,
        found: &str,
        allowed: &str,
        hint: Option<String>,
    ) {
        let (found, allowed) = (found.to_owned(), allowed.to_owned());
        self.findings.add(Finding { code, severity, place: self.place(), found, allowed, hint });
    }

    /// Reports an error about this value.
    pub fn error(&self, code: &'static str, allowed: &str, hint: Option<String>) {
        self.report(code, Severity::Error, &self.shown(), allowed, hint);
    }

    /// Reports that the value is of the wrong kind.
    pub fn wrong_kind(&self, allowed: &str) {
        self.error("V112", allowed, None);
    }

    /// The value as text; numbers as they are written. Reports anything else.
    pub fn text(&self, allowed: &str) -> Option<String> {
        self.note(Asked::Value(allowed));
        match self.value {
            Value::String(text) => Some(text.clone()),
            Value::Number(number) => Some(number.to_string()),
            Value::Null | Value::Bool(_) | Value::Sequence(_) | Value::Mapping(_) | Value::Tagged(_) => {
                self.wrong_kind(allowed);
                None
            }
        }
    }

    /// A name: text that is not empty.
    pub fn name(&self) -> Option<String> {
        let text = self.text("a name")?;
        let trimmed = text.trim();
        if trimmed.is_empty() || trimmed.chars().count() > 80 {
            self.error("V112", "a name of 1 to 80 characters", None);
            return None;
        }
        Some(trimmed.to_owned())
    }

    /// `yes` or `no` in the usual spellings.
    pub fn yes_or_no(&self) -> Option<bool> {
        self.note(Asked::Value("`yes` or `no`"));
        match self.value {
            Value::Bool(yes) => Some(*yes),
            Value::String(text) if matches!(text.as_str(), "yes" | "allowed" | "true") => Some(true),
            Value::String(text) if matches!(text.as_str(), "no" | "false") => Some(false),
            _ => {
                self.wrong_kind("`yes` or `no`");
                None
            }
        }
    }

    /// A whole number within a range.
    pub fn whole(&self, least: i64, most: i64) -> Option<i64> {
        let allowed = format!("a whole number from {least} to {most}");
        self.note(Asked::Value(&allowed));
        let number = match self.value {
            Value::Number(number) => number.as_i64(),
            Value::String(text) => text.trim().parse().ok(),
            _ => None,
        };
        match number {
            None => self.wrong_kind(&allowed),
            Some(number) if number < 0 && least >= 0 => self.error("V303", &allowed, None),
            Some(number) if !(least..=most).contains(&number) => self.error("V304", &allowed, None),
            Some(number) => return Some(number),
        }
        None
    }

    /// A value read by a parser of quantities; `allowed` names its units.
    pub fn quantity<T>(&self, parse: impl Fn(&str) -> Result<T, QuantityFault>, allowed: &str) -> Option<T> {
        let text = self.text(allowed)?;
        match parse(&text) {
            Ok(found) => return Some(found),
            Err(QuantityFault::NotANumber) => self.error("V112", allowed, None),
            Err(QuantityFault::NoUnit) => {
                self.error("V301", allowed, Some("write the unit behind the number".into()))
            }
            Err(QuantityFault::UnknownUnit(unit)) => {
                let units = allowed.split([',', ' ']).filter(|word| !word.is_empty());
                let hint = did_you_mean(&unit, units);
                self.report("V302", Severity::Error, &unit, allowed, hint);
            }
            Err(QuantityFault::Negative) => self.error("V303", "nothing below zero", None),
            Err(QuantityFault::Absurd) => {
                self.error("V304", "a size that a brewery can have", Some("check the unit".into()))
            }
        }
        None
    }

    /// One of some words.
    pub fn one_of<T: Copy>(&self, words: &[(&str, T)]) -> Option<T> {
        let allowed: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
        let text = self.text(&allowed.join(", "))?;
        let found = words.iter().find(|(word, _)| *word == text.trim()).map(|&(_, meaning)| meaning);
        if found.is_none() {
            let hint = did_you_mean(&text, words.iter().map(|(word, _)| *word));
            self.error("V113", &allowed.join(", "), hint);
        }
        found
    }

    /// The items of a list; a single value counts as a list of one where `single` says so.
    ///
    /// A list that is longer than any brewery's is reported and cut.
    pub fn items(&self, single: bool) -> Vec<Node<'a>> {
        self.note(if single { Asked::ItemsOrOne } else { Asked::Items });
        if matches!(self.value, Value::Sequence(items) if items.len() > MOST_ITEMS) {
            self.error("V304", &format!("at most {MOST_ITEMS} entries"), None);
        }
        match self.value {
            Value::Sequence(items) => items
                .iter()
                .take(MOST_ITEMS)
                .enumerate()
                .map(|(position, value)| {
                    let mut path = self.path.clone();
                    path.push(PathStep::Item(position));
                    Node { value, path, findings: self.findings.clone() }
                })
                .collect(),
            Value::Null => Vec::new(),
            _ if single => vec![self.clone()],
            _ => {
                self.wrong_kind("a list");
                Vec::new()
            }
        }
    }

    /// The fields of a mapping. Reports anything else.
    pub fn fields(&self) -> Option<Fields<'a>> {
        match self.value {
            Value::Mapping(mapping) => {
                Some(Fields { node: self.clone(), mapping, asked: RefCell::default() })
            }
            _ => {
                self.wrong_kind("a mapping of keys to values");
                None
            }
        }
    }

    /// Keys and values of a mapping; none of anything else, of which nothing is said.
    pub fn entries_if_any(&self) -> Vec<(String, Node<'a>)> {
        if matches!(self.value, Value::Mapping(_)) { self.entries() } else { Vec::new() }
    }

    /// Keys and values of a mapping whose keys are names.
    pub fn entries(&self) -> Vec<(String, Node<'a>)> {
        self.note(Asked::Entries);
        let Value::Mapping(mapping) = self.value else {
            self.wrong_kind("a mapping of names to values");
            return Vec::new();
        };
        mapping
            .iter()
            .map(|(key, value)| {
                let name = shown(key);
                let mut path = self.path.clone();
                path.push(PathStep::Key(name.clone()));
                (name, Node { value, path, findings: self.findings.clone() })
            })
            .collect()
    }
}

/// The fields of a mapping, with a memory of the keys that were asked for.
pub struct Fields<'a> {
    /// The mapping itself.
    pub node: Node<'a>,
    mapping: &'a Mapping,
    asked: RefCell<BTreeSet<&'static str>>,
}

impl<'a> Fields<'a> {
    /// Notes a key that is read later.
    pub fn will_read(&self, key: &'static str) {
        self.node.note(Asked::Key(key));
        self.asked.borrow_mut().insert(key);
    }

    /// The value of a key, if it is there.
    pub fn optional(&self, key: &'static str) -> Option<Node<'a>> {
        self.will_read(key);
        let value = self.mapping.get(key)?;
        let mut path = self.node.path.clone();
        path.push(PathStep::Key(key.to_owned()));
        Some(Node { value, path, findings: self.node.findings.clone() })
    }

    /// The value of a key; reports if it is missing.
    pub fn required(&self, key: &'static str) -> Option<Node<'a>> {
        self.node.note(Asked::Needed(key));
        let found = self.optional(key);
        if found.is_none() {
            self.node.report("V111", Severity::Error, key, &format!("the key `{key}`"), None);
        }
        found
    }

    /// Reports every key that nobody asked for. Call it last.
    pub fn finish(&self) {
        let asked = self.asked.borrow();
        for (key, value) in self.mapping {
            let name = shown(key);
            if !asked.contains(name.as_str()) {
                let hint = did_you_mean(&name, asked.iter().copied());
                let keys: Vec<String> = asked.iter().map(|key| format!("`{key}`")).collect();
                let mut path = self.node.path.clone();
                path.push(PathStep::Key(name.clone()));
                let node = Node { value, path, findings: self.node.findings.clone() };
                node.report("V110", Severity::Error, &name, &keys.join(", "), hint);
            }
        }
    }
}
