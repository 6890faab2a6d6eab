//! Where the texts of files come from, and their values.

use std::cell::RefCell;
use std::path::PathBuf;

use serde_yaml::Value;

use super::{ReadOutcome, guard};
use crate::finding::Finding;

/// Said where a text is no YAML.
const YAML: &str = "YAML; look at brackets, quotes, colons and indentation here and in the line above";

/// Where texts come from: files, or texts in memory.
pub trait Library {
    /// The text of a file named relative to the brew plan, and the name to show.
    fn text(&self, name: &str) -> (String, Result<String, Finding>) {
        let (shown, bytes) = self.bytes(name);
        let text = bytes.and_then(|bytes| guard::as_text(&bytes, &shown));
        (shown, text)
    }

    /// The bytes of a file named relative to the brew plan, and the name to show.
    fn bytes(&self, name: &str) -> (String, Result<Vec<u8>, Finding>);
}

/// A folder of files.
pub struct Folder(pub PathBuf);

impl Library for Folder {
    fn bytes(&self, name: &str) -> (String, Result<Vec<u8>, Finding>) {
        let path = self.0.join(name);
        let shown = path.display().to_string();
        let bytes = guard::read_bytes(&path, &shown);
        (shown, bytes)
    }
}

/// Texts by name.
pub struct Memory<'m>(pub &'m [(&'m str, &'m [u8])]);

impl Library for Memory<'_> {
    fn bytes(&self, name: &str) -> (String, Result<Vec<u8>, Finding>) {
        let found = self.0.iter().find(|(known, _)| *known == name);
        let missing = || guard::about_file("V101", name, None, "nothing", "a file that can be read");
        (name.to_owned(), found.map_or_else(|| Err(missing()), |(_, bytes)| Ok(bytes.to_vec())))
    }
}

/// A file that was read, by the name that it was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The name.
    pub name: String,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// Another library, every file of which is kept once it is read; under another name, where one is given.
pub struct Keeping<'l> {
    inner: &'l dyn Library,
    called: Option<&'l str>,
    kept: RefCell<Vec<Kept>>,
}

impl<'l> Keeping<'l> {
    /// Nothing is kept yet.
    pub fn new(inner: &'l dyn Library, called: Option<&'l str>) -> Self {
        Self { inner, called, kept: RefCell::default() }
    }

    /// What was read, in the order in which it was asked for.
    pub fn take(self) -> Vec<Kept> {
        self.kept.into_inner()
    }
}

impl Library for Keeping<'_> {
    fn bytes(&self, name: &str) -> (String, Result<Vec<u8>, Finding>) {
        let found = self.inner.bytes(name);
        let name = self.called.unwrap_or(name);
        let mut kept = self.kept.borrow_mut();
        if let Ok(bytes) = &found.1
            && kept.iter().all(|file| file.name != name)
        {
            kept.push(Kept { name: name.to_owned(), bytes: bytes.clone() });
        }
        found
    }
}

/// Reads a file's text and value; faults go to the findings.
pub fn load(library: &dyn Library, name: &str, outcome: &mut ReadOutcome) -> (String, Option<Value>) {
    let (file, text) = library.text(name);
    let text = match text {
        Ok(text) => text,
        Err(finding) => {
            outcome.findings.push(finding);
            return (file, None);
        }
    };
    outcome.sources.insert(file.clone(), text.clone());
    if let Err(finding) = guard::check_yaml(&text, &file) {
        outcome.findings.push(finding);
        return (file, None);
    }
    match serde_yaml::from_str::<Value>(&text) {
        Ok(value) => (file, Some(value)),
        Err(error) => {
            let line = error.location().map(|place| place.line());
            let mut finding = guard::about_file("V100", &file, line, &error.to_string(), YAML);
            finding.place.column = error.location().map(|place| place.column());
            outcome.findings.push(finding);
            (file, None)
        }
    }
}
