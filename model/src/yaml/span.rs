//! Lines and columns of findings: the file is parsed once more, with positions, only if there is something to report.

use saphyr::{LoadableYamlNode, MarkedYaml, YamlData};

use crate::finding::{Finding, PathStep};

/// Fills in line and column of all findings of a file that have a path; the nearest place that exists is taken.
pub fn locate(findings: &mut [Finding], file: &str, text: &str) {
    let mine = |finding: &&mut Finding| finding.place.file == file && finding.place.line.is_none();
    if !findings.iter_mut().any(|finding| mine(&&mut *finding)) {
        return;
    }
    let Ok(documents) = MarkedYaml::load_from_str(text) else { return };
    let Some(root) = documents.first() else { return };
    for finding in findings.iter_mut().filter(mine) {
        let (line, column) = position(root, &finding.place.path);
        finding.place.line = Some(line);
        finding.place.column = Some(column);
    }
}

/// Line and column, both from 1, of the value at a path (of its key, if the value is a mapping's).
fn position(root: &MarkedYaml, path: &[PathStep]) -> (usize, usize) {
    let mut node = root;
    let mut found = (node.span.start.line(), node.span.start.col() + 1);
    for step in path {
        let next = match (&node.data, step) {
            (YamlData::Mapping(mapping), PathStep::Key(key)) => mapping
                .iter()
                .find(|(name, _)| name.data.as_str() == Some(key.as_str()))
                .map(|(name, value)| (name.span.start, value)),
            (YamlData::Sequence(items), PathStep::Item(position)) => {
                items.get(*position).map(|item| (item.span.start, item))
            }
            _ => None,
        };
        let Some((start, value)) = next else { break };
        found = (start.line(), start.col() + 1);
        node = value;
    }
    found
}
