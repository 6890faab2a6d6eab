//! Findings as reports with the place in the source, on stderr.

use std::collections::BTreeMap;
use std::path::Path;

use cellarwright_model::finding::{Finding, Severity};
use miette::{LabeledSpan, MietteDiagnostic, NamedSource, Report};

use crate::render::words::findings as words;

/// Shows every finding of one severity, in their order.
pub fn show(findings: &[Finding], severity: Severity, sources: &BTreeMap<String, String>) {
    for finding in findings.iter().filter(|finding| finding.severity == severity) {
        eprintln!("{:?}", report(finding, sources));
    }
}

/// Shows findings that are in no file.
pub fn show_all(findings: &[Finding]) {
    show(findings, Severity::Error, &BTreeMap::new());
}

/// Makes reports no wider than the screen that the rest is made for.
pub fn set_up() {
    let width = 100;
    // A hook can be set once in a process; the first one stays.
    drop(miette::set_hook(Box::new(move |_| {
        Box::new(miette::MietteHandlerOpts::new().width(width).context_lines(1).build())
    })));
}

/// A finding as a report.
#[must_use]
pub fn report(finding: &Finding, sources: &BTreeMap<String, String>) -> Report {
    let source = sources.get(&finding.place.file);
    let place = source.and_then(|text| span(finding, text));
    let mut message = words::sentence(finding);
    if place.is_none() {
        message = format!("{}: {message}", words::place(&finding.place));
    }
    let mut diagnostic = MietteDiagnostic::new(message).with_code(finding.code);
    diagnostic = diagnostic.with_severity(match finding.severity {
        Severity::Error => miette::Severity::Error,
        Severity::Caution => miette::Severity::Warning,
    });
    if let Some(help) = words::help(finding) {
        diagnostic = diagnostic.with_help(help);
    }
    let (Some((start, length)), Some(text)) = (place, source) else {
        return Report::new(diagnostic);
    };
    let path = words::path(&finding.place.path);
    let label = LabeledSpan::new((!path.is_empty()).then_some(path), start, length);
    Report::new(diagnostic.with_label(label))
        .with_source_code(NamedSource::new(&finding.place.file, text.clone()))
}

/// Where the finding points in the text: bytes from the start, and how many.
fn span(finding: &Finding, text: &str) -> Option<(usize, usize)> {
    let line = finding.place.line?.checked_sub(1)?;
    let start: usize = text.split_inclusive('\n').take(line).map(str::len).sum();
    let rest = text.get(start..)?;
    let whole_line = rest.split(['\n', '\r']).next().unwrap_or_default();
    let place = finding.place.column.unwrap_or(1).max(1) - 1;
    let is_table = Path::new(&finding.place.file).extension().is_some_and(|extension| extension == "csv");
    let (offset, length) = if is_table {
        cell(whole_line, place, &finding.found)
    } else {
        entry(whole_line, place, &finding.found)
    };
    Some((start + offset, length))
}

/// A cell of a table's row, by its number from 0; the text found tells where the number does not, else it is the row.
fn cell(line: &str, number: usize, found: &str) -> (usize, usize) {
    let mut begins = vec![0];
    let mut is_quoted = false;
    for (position, byte) in line.bytes().enumerate() {
        match byte {
            b'"' => is_quoted = !is_quoted,
            b',' if !is_quoted => begins.push(position + 1),
            _ => {}
        }
    }
    let begin = begins.get(number).copied().unwrap_or(0);
    let end = begins.get(number + 1).map_or(line.len(), |next| next - 1);
    let here = line.get(begin..end).unwrap_or_default();
    if found.is_empty() {
        return (begin + here.len() - here.trim_start().len(), here.trim().len());
    }
    match here.find(found) {
        Some(within) => (begin + within, found.len()),
        None => line.find(found).map_or((0, line.len()), |offset| (offset, found.len())),
    }
}

/// A key with its value, or the part of the value that was found, from a column counted in characters from 0.
fn entry(line: &str, column: usize, found: &str) -> (usize, usize) {
    let offset: usize = line.chars().take(column).map(char::len_utf8).sum();
    let here = line.get(offset..).unwrap_or_default();
    if !found.is_empty() && here.starts_with(found) {
        return (offset, found.len());
    }
    let end = here.find([',', '}', ']', '#']).unwrap_or(here.len());
    let here = here[..end].trim_end();
    let value = here.find(':').map_or(0, |colon| colon + 1);
    match here[value..].find(found).filter(|_| !found.is_empty()) {
        Some(within) => (offset + value + within, found.len()),
        None => (offset, here.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cellarwright_model::finding::{PathStep, Place};

    fn finding(line: usize, column: usize, found: &str) -> Finding {
        Finding {
            code: "V301",
            severity: Severity::Error,
            place: Place {
                file: "cellar.yaml".into(),
                path: vec![PathStep::Key("vessels".into()), PathStep::Item(0), PathStep::Key("holds".into())],
                line: Some(line),
                column: Some(column),
            },
            found: found.into(),
            allowed: "a volume such as 40 hL".into(),
            hint: Some("write the unit".into()),
        }
    }

    #[test]
    fn the_span_covers_the_value_after_wide_letters() {
        let text = "a: 1\nnämé: 40, b: 2\n";
        let (start, length) = span(&finding(2, 7, "40"), text).unwrap();
        assert_eq!(&text[start..start + length], "40");
        assert_eq!(span(&finding(9, 1, ""), text), Some((text.len(), 0)));
    }

    #[test]
    fn the_span_is_the_part_of_the_value_that_was_found() {
        let text = "rated: 200 kpa2\n- {vessel: F1, beer: Pale}\nB1: 1\n";
        let at = |line, column, found| {
            let (start, length) = span(&finding(line, column, found), text).unwrap();
            (start, &text[start..start + length])
        };
        assert_eq!(at(1, 1, "kpa2"), (11, "kpa2"));
        assert_eq!(at(1, 1, "nothing"), (0, "rated: 200 kpa2"));
        assert_eq!(at(2, 4, "F1"), (27, "F1"));
        assert_eq!(at(3, 1, "1"), (47, "1"));
    }

    #[test]
    fn a_column_of_a_table_is_a_cell() {
        let text = "beer,format,quantity\nPale, keg ,\"4, or 5\"\r\nkeg,keg,\nPale,crate\n";
        let at = |line, column, found: &str| {
            let mut finding = finding(line, column, found);
            finding.place.file = "orders.csv".into();
            let (start, length) = span(&finding, text).unwrap();
            (start, &text[start..start + length])
        };
        assert_eq!(at(2, 1, "Pale"), (21, "Pale"));
        assert_eq!(at(2, 2, "keg"), (27, "keg"));
        assert_eq!(at(2, 3, "4, or 5"), (33, "4, or 5"));
        assert_eq!(at(3, 2, "keg"), (47, "keg"));
        assert_eq!(at(3, 3, ""), (51, ""));
        assert_eq!(at(4, 9, "crate"), (57, "crate"));
        assert_eq!(at(4, 1, "3 cells"), (52, "Pale,crate"));
    }

    #[test]
    fn a_report_names_file_value_and_remedy() {
        let sources = BTreeMap::from([("cellar.yaml".to_owned(), "holds: 40\n".to_owned())]);
        for sources in [sources, BTreeMap::new()] {
            let text = format!("{:?}", report(&finding(1, 8, "40"), &sources));
            for part in ["V301", "cellar.yaml", "40", "a volume such as 40 hL", "write the unit"] {
                assert!(text.contains(part), "{part} in {text}");
            }
        }
    }
}
