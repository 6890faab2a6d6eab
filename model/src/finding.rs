//! What is wrong with the input, as data. The words are made in the command-line crate.

/// One step of a path into a YAML file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PathStep {
    /// A key of a mapping.
    Key(String),
    /// A position in a list, from 0.
    Item(usize),
}

/// Where in which file a finding points.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Path of the file as given or as resolved beside the brew plan.
    pub file: String,
    /// Path inside the file; empty for the whole file.
    pub path: Vec<PathStep>,
    /// Line, from 1, where known.
    pub line: Option<usize>,
    /// Column in characters, from 1, where known.
    pub column: Option<usize>,
}

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing can be planned until it is mended.
    Error,
    /// Planned all the same; shown as a caution.
    Caution,
}

/// One thing wrong with the input. A code is never used again for another fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// `V1xx` syntax and keys, `V2xx` references, `V3xx` quantities, `V4xx` dates, `V5xx` sense,
    /// `V6xx` plan files.
    pub code: &'static str,
    /// Error or caution.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// The text of the value found, or the name it is about.
    pub found: String,
    /// What is allowed there.
    pub allowed: String,
    /// What to try, if anything better than `allowed` can be said.
    pub hint: Option<String>,
}
