//! Findings that only follow from others: a name is not unknown if its own entry is broken or its whole list is missing.

use serde_yaml::Value;

use crate::finding::{Finding, Severity};

/// Lists whose entries bear names: the code of an unknown name, the list's key, the key of the name or names.
const LISTS: [(&str, &str, &str); 4] = [
    ("V201", "vessels", "names"),
    ("V202", "beers", "name"),
    ("V203", "formats", "name"),
    ("V206", "lines", "name"),
];

/// Leaves out unknown names that a file does name, in an entry with an error of its own, or whose list no file has.
pub fn keep_first(findings: &mut Vec<Finding>, files: &[&Value]) {
    let is_cause = |finding: &Finding| {
        finding.severity == Severity::Error && LISTS.iter().all(|(code, ..)| *code != finding.code)
    };
    if findings.iter().any(is_cause) {
        findings.retain(|finding| match LISTS.iter().find(|(code, ..)| *code == finding.code) {
            Some((_, list, key)) => {
                let has_list = files.iter().any(|file| file.get(list).is_some());
                has_list && !files.iter().any(|file| names(file, list, key, &finding.found))
            }
            None => true,
        });
    }
}

/// Whether an entry of a file's list bears a name.
fn names(file: &Value, list: &str, key: &str, name: &str) -> bool {
    let entries = file.get(list).and_then(Value::as_sequence).into_iter().flatten();
    entries.filter_map(|entry| entry.get(key)).any(|value| match value {
        Value::Sequence(all) => all.iter().any(|one| one.as_str() == Some(name)),
        one => one.as_str() == Some(name),
    })
}
