//! A YAML document of which every part knows the file and path that it was written at.

use std::collections::BTreeMap;
use std::rc::Rc;

use serde_yaml::{Mapping, Value};

use crate::finding::{Finding, PathStep};
use crate::yaml::node::{Node, shown};

/// Where a part was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The file, as places name it.
    pub file: Rc<str>,
    /// The path in it.
    pub path: Vec<PathStep>,
}

/// What a part is.
#[derive(Clone, Debug)]
pub enum Kind {
    /// A single value.
    Single(Value),
    /// A mapping.
    Map(Vec<(Value, Tree)>),
    /// A list.
    List(Vec<Tree>),
}

/// A part of a document.
#[derive(Clone, Debug)]
pub struct Tree {
    /// Where it was written.
    pub origin: Origin,
    /// What it is.
    pub kind: Kind,
}

/// Keys whose values name an entry of a list, the first of them that it has.
const NAMES: [&str; 5] = ["names", "name", "vessel", "line", "beer"];

impl Tree {
    /// A document, or a part of it, as it stands in a file.
    pub fn of(value: &Value, file: &Rc<str>, path: &[PathStep]) -> Self {
        let below = |step: PathStep, value: &Value| {
            let mut path = path.to_vec();
            path.push(step);
            Self::of(value, file, &path)
        };
        let kind = match value {
            Value::Mapping(mapping) => Kind::Map(
                mapping
                    .iter()
                    .map(|(key, value)| (key.clone(), below(PathStep::Key(shown(key)), value)))
                    .collect(),
            ),
            Value::Sequence(items) => Kind::List(
                items.iter().enumerate().map(|(place, item)| below(PathStep::Item(place), item)).collect(),
            ),
            single => Kind::Single(single.clone()),
        };
        Self { origin: Origin { file: Rc::clone(file), path: path.to_vec() }, kind }
    }

    /// A part of the file that is being walked.
    pub fn of_node(node: &Node) -> Self {
        Self::of(node.value, &node.findings.file(), &node.path)
    }

    /// The value under a key of a mapping.
    pub fn get(&self, key: &str) -> Option<&Tree> {
        match &self.kind {
            Kind::Map(entries) => entries.iter().find(|(name, _)| shown(name) == key).map(|(_, tree)| tree),
            Kind::Single(_) | Kind::List(_) => None,
        }
    }

    /// The same, to be changed.
    pub fn get_mut(&mut self, key: &str) -> Option<&mut Tree> {
        match &mut self.kind {
            Kind::Map(entries) => {
                entries.iter_mut().find(|(name, _)| shown(name) == key).map(|(_, tree)| tree)
            }
            Kind::Single(_) | Kind::List(_) => None,
        }
    }

    /// The names that an entry of a list goes by; a single value is its own name.
    pub fn names(&self) -> Vec<String> {
        let single = |tree: &Tree| match &tree.kind {
            Kind::Single(value) => Some(shown(value).trim().to_owned()),
            Kind::Map(_) | Kind::List(_) => None,
        };
        let Kind::Map(_) = self.kind else { return single(self).into_iter().collect() };
        match NAMES.iter().find_map(|key| self.get(key)) {
            Some(Tree { kind: Kind::List(items), .. }) => items.iter().filter_map(single).collect(),
            Some(one) => single(one).into_iter().collect(),
            None => Vec::new(),
        }
    }

    fn is_name(&self, name: &str) -> bool {
        matches!(&self.kind, Kind::Single(value) if shown(value).trim() == name)
    }

    /// Takes a name out of an entry that goes by several; false where it is the only one.
    pub fn drop_name(&mut self, name: &str) -> bool {
        let Some(Tree { kind: Kind::List(items), .. }) = self.get_mut("names") else { return false };
        if items.len() < 2 {
            return false;
        }
        items.retain(|item| !item.is_name(name));
        true
    }

    /// Leaves an entry one of its names.
    pub fn keep_name(&mut self, name: &str) {
        if let Some(Tree { kind: Kind::List(items), .. }) = self.get_mut("names") {
            items.retain(|item| item.is_name(name));
        }
    }

    /// The document as the reader takes it, and where its parts come from.
    pub fn value(&self, file: &str, origins: &mut Origins) -> Value {
        let root = Origin { file: file.into(), path: Vec::new() };
        self.value_at(file, &mut Vec::new(), &root, origins)
    }

    fn value_at(
        &self,
        file: &str,
        at: &mut Vec<PathStep>,
        expected: &Origin,
        origins: &mut Origins,
    ) -> Value {
        if self.origin != *expected {
            origins.0.entry(file.to_owned()).or_default().insert(at.clone(), self.origin.clone());
        }
        let mut below = |step: PathStep, tree: &Tree| {
            let mut expected = self.origin.clone();
            expected.path.push(step.clone());
            at.push(step);
            let value = tree.value_at(file, at, &expected, origins);
            at.pop();
            value
        };
        match &self.kind {
            Kind::Single(value) => value.clone(),
            Kind::List(items) => Value::Sequence(
                items.iter().enumerate().map(|(place, tree)| below(PathStep::Item(place), tree)).collect(),
            ),
            Kind::Map(entries) => {
                let entries = entries.iter();
                let values = entries.map(|(key, tree)| (key.clone(), below(PathStep::Key(shown(key)), tree)));
                Value::Mapping(values.collect::<Mapping>())
            }
        }
    }
}

/// Where parts of changed documents come from: by file and path, each part that does not stand where its parent's place says.
#[derive(Debug, Default)]
pub struct Origins(BTreeMap<String, BTreeMap<Vec<PathStep>, Origin>>);

impl Origins {
    /// Turns places in changed documents into places in the files that they were written in.
    pub fn place(&self, findings: &mut [Finding]) {
        for finding in findings.iter_mut().filter(|finding| finding.place.line.is_none()) {
            let Some(known) = self.0.get(&finding.place.file) else { continue };
            let path = &finding.place.path;
            let Some((length, origin)) =
                (0..=path.len()).rev().find_map(|length| Some((length, known.get(&path[..length])?)))
            else {
                continue;
            };
            let mut whole = origin.path.clone();
            whole.extend_from_slice(&path[length..]);
            finding.place.file = origin.file.to_string();
            finding.place.path = whole;
        }
    }
}
