//! Lists that stand in a table of their own, a CSV file or a sheet of a workbook (XLSX), instead of in the brew plan.
//!
//! `files` reads cells, `cells` makes of each the text that the brew plan would have, and the list is then read as if it stood
//! there; what is found is told by line and column, or by sheet and cell.

mod cells;
mod files;

use std::collections::BTreeMap;

use serde_yaml::{Mapping, Value};

use super::guard::about_file;
use super::node::{Findings, MOST_ITEMS, Node, did_you_mean};
use super::{Library, ReadOutcome};
use crate::finding::{Finding, PathStep, Severity};
use crate::measures::UnitSystem;
use crate::schema::Scalar;
use cells::Reading;

pub use files::is_workbook;

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// A name, or `yes` and `no`.
    Text,
    /// Names with semicolons between them.
    Names,
    /// A date.
    Date,
    /// A quantity; the table's unit where the cell has none.
    Quantity,
    /// A plain number.
    Number,
    /// Days; `d` where the cell has no unit.
    Days,
    /// A share; `%` where the cell has none, and of one or less the share itself.
    Share,
}

/// A column that a list may have: its key, what it holds, whether it must be there.
pub type Known = (&'static str, Holds, bool);

/// The columns of orders.
pub const ORDERS: &[Known] = &[
    ("name", Holds::Text, false),
    ("beer", Holds::Text, true),
    ("format", Holds::Text, true),
    ("quantity", Holds::Quantity, true),
    ("due", Holds::Date, true),
    ("firm", Holds::Text, false),
    ("likely", Holds::Share, false),
    ("whole", Holds::Text, false),
    ("late", Holds::Days, false),
    ("late_cost", Holds::Number, false),
    ("fresh", Holds::Days, false),
];

/// The columns of stock.
pub const STOCK: &[Known] = &[
    ("beer", Holds::Text, true),
    ("format", Holds::Text, true),
    ("quantity", Holds::Quantity, true),
    ("packaged_on", Holds::Date, false),
    ("from", Holds::Date, false),
];

/// The columns of beer in tank.
pub const IN_TANK: &[Known] = &[
    ("vessel", Holds::Text, true),
    ("beer", Holds::Text, true),
    ("filled", Holds::Quantity, true),
    ("on", Holds::Date, true),
    ("ready", Holds::Date, false),
    ("carbonated", Holds::Text, false),
    ("done", Holds::Names, false),
    ("generation", Holds::Number, false),
    ("cropped", Holds::Text, false),
];

/// Units that a table may state for all its quantities.
const UNITS: [(&str, &str); 6] =
    [("hL", "hL"), ("L", "L"), ("m3", "m3"), ("bbl", "bbl"), ("gal", "gal"), ("packages", "packages")];
/// Rows at the top in which the header is looked for.
const MOST_TITLE_ROWS: usize = 20;

/// A table as the brew plan names it.
struct Named<'a> {
    file: String,
    sheet: Option<(Node<'a>, String)>,
    /// Headers by key, where the brew plan names any.
    headers: Option<BTreeMap<&'static str, String>>,
    unit: Option<&'static str>,
    reading: Reading,
}

/// Whether the value of a list's key names a table: a file, or `{file: .., sheet: ..}`.
pub fn is_named(node: &Node) -> bool {
    node.value.is_string() || node.value.is_mapping()
}

fn named<'a>(node: &Node<'a>, known: &[Known]) -> Option<Named<'a>> {
    if node.value.is_string() {
        let file = node.text(&Scalar::Path.allowed())?;
        return Some(Named { file, sheet: None, headers: None, unit: None, reading: Reading::POINT });
    }
    let fields = node.fields()?;
    let file = fields.required("file").and_then(|node| node.text(&Scalar::Path.allowed()));
    let sheet = fields.optional("sheet").and_then(|node| node.name().map(|name| (node, name)));
    let mut headers = None;
    if let Some(columns) = fields.optional("columns").and_then(|node| node.fields()) {
        let own = known.iter().filter_map(|&(key, ..)| Some((key, columns.optional(key)?.name()?)));
        headers = Some(own.collect());
        columns.finish();
    }
    let unit = fields.optional("unit").and_then(|node| node.one_of(&UNITS));
    let decimal = fields.optional("decimal");
    let decimal =
        decimal.and_then(|node| node.one_of(&[("point", Reading::POINT), ("comma", Reading::COMMA)]));
    fields.finish();
    Some(Named { file: file?, sheet, headers, unit, reading: decimal.unwrap_or(Reading::POINT) })
}

/// A list as the brew plan would hold it, with the places that its values come from.
pub struct Table {
    /// The list.
    pub value: Value,
    file: String,
    /// None of a CSV file.
    sheet: Option<String>,
    /// Lines of the entries, from 1.
    lines: Vec<usize>,
    /// Columns by key, from 0.
    columns: BTreeMap<&'static str, usize>,
}

/// Reads the table that a node names.
pub fn read(library: &dyn Library, node: &Node, known: &[Known], outcome: &mut ReadOutcome) -> Option<Table> {
    let named = named(node, known)?;
    let (file, bytes) = library.bytes(&named.file);
    let sheet = named.sheet.as_ref().map(|(_, name)| name.as_str());
    let rows = match bytes.and_then(|bytes| files::rows(&file, &bytes, sheet, outcome)) {
        Ok(Some(rows)) => rows,
        Ok(None) => {
            let node = named.sheet.as_ref().map_or(node, |(node, _)| node);
            node.error("V142", "a sheet of the workbook; a CSV file has none", None);
            return None;
        }
        Err(finding) => {
            outcome.findings.push(finding);
            return None;
        }
    };
    let (header, columns) = match header(&file, &rows, &named, known) {
        Ok(found) => found,
        Err(findings) => {
            outcome.findings.extend(findings);
            return None;
        }
    };
    let mut lines = Vec::new();
    let mut entries = Vec::new();
    for (line, cells) in rows.lines.iter().filter(|(line, _)| *line > header) {
        let mut entry = Mapping::new();
        for &(key, holds, _) in known {
            let cell = columns.get(key).and_then(|column| cells.get(column));
            if let Some(value) = cell.and_then(|cell| cells::value(cell, holds, named.unit, named.reading)) {
                put(&mut entry, key, value);
            }
        }
        if !entry.is_empty() && entries.len() <= MOST_ITEMS {
            lines.push(*line);
            entries.push(Value::Mapping(entry));
        }
    }
    Some(Table { value: Value::Sequence(entries), file, sheet: rows.sheet, lines, columns })
}

/// Puts a value where the brew plan has it: `late` and `late_cost` are one key there.
fn put(entry: &mut Mapping, key: &str, value: Value) {
    let (key, part) = match key {
        "late" => ("late", Some("at_most")),
        "late_cost" => ("late", Some("cost")),
        other => (other, None),
    };
    match part {
        None => {
            entry.insert(Value::from(key), value);
        }
        Some(part) => {
            let both = entry.entry(Value::from(key)).or_insert_with(|| Value::Mapping(Mapping::new()));
            if let Some(both) = both.as_mapping_mut() {
                both.insert(Value::from(part), value);
            }
        }
    }
}

/// The line of the header, and the columns by key.
fn header(
    file: &str,
    rows: &files::Rows,
    named: &Named,
    known: &[Known],
) -> Result<(usize, BTreeMap<&'static str, usize>), Vec<Finding>> {
    let header_of = |key: &'static str| match &named.headers {
        Some(headers) => headers.get(key).cloned().unwrap_or_else(|| key.to_owned()),
        None => key.to_owned(),
    };
    let find = |cells: &BTreeMap<usize, files::Cell>, key| {
        let wanted = header_of(key).to_lowercase();
        cells.iter().find(|(_, cell)| cell.text().trim().to_lowercase() == wanted).map(|(&column, _)| column)
    };
    // The row with most of the headers, the first of those that have as many: titles may stand above it.
    let has = |cells: &BTreeMap<usize, files::Cell>| {
        known.iter().filter(|(key, ..)| find(cells, key).is_some()).count()
    };
    let top = rows.lines.iter().take(MOST_TITLE_ROWS);
    let found = top.rev().max_by_key(|(_, cells)| has(cells));
    let Some((line, cells)) = found else {
        return Err(vec![about_file(
            "V102",
            file,
            None,
            "an empty table",
            "a row of headers, then rows of values",
        )]);
    };
    let place = |column: usize| place(file, rows.sheet.as_deref(), Some(*line), Some(column));
    let texts: Vec<String> = cells.values().map(|cell| cell.text().trim().to_owned()).collect();
    let mut findings = Vec::new();
    for &(key, _, is_needed) in known {
        let is_named = named.headers.as_ref().is_some_and(|headers| headers.contains_key(key));
        if (is_needed || is_named) && find(cells, key).is_none() {
            let wanted = header_of(key);
            let mut finding =
                about_file("V109", file, Some(*line), &wanted, &format!("the column `{wanted}`"));
            finding.place = place(0);
            finding.hint = did_you_mean(&wanted, texts.iter().map(String::as_str));
            findings.push(finding);
        }
    }
    // A table whose columns are named may have others; of one without, each is one of the known.
    if named.headers.is_none() && findings.is_empty() {
        let all: Vec<&str> = known.iter().map(|&(key, ..)| key).collect();
        for (&column, cell) in cells {
            let text = cell.text().trim().to_owned();
            if !text.is_empty() && !all.iter().any(|key| key.eq_ignore_ascii_case(&text)) {
                let mut finding = about_file("V110", file, Some(*line), &text, &all.join(", "));
                finding.place = place(column);
                finding.hint = did_you_mean(&text, all.iter().copied());
                findings.push(finding);
            }
        }
    }
    if !findings.is_empty() {
        return Err(findings);
    }
    let columns = known.iter().filter_map(|&(key, ..)| Some((key, find(cells, key)?)));
    Ok((*line, columns.collect()))
}

/// A place in a table: line and column of a CSV file, sheet and cell of a workbook.
fn place(
    file: &str,
    sheet: Option<&str>,
    line: Option<usize>,
    column: Option<usize>,
) -> crate::finding::Place {
    let (file, line, column) = match sheet {
        None => (file.to_owned(), line, column.map(|column| column + 1)),
        Some(sheet) => {
            let cell = match (line, column) {
                (Some(line), Some(column)) => format!(", cell {}{line}", cells::letters(column)),
                (Some(line), None) => format!(", row {line}"),
                _ => String::new(),
            };
            (format!("{file}, sheet {sheet}{cell}"), None, None)
        }
    };
    crate::finding::Place { file, path: Vec::new(), line, column }
}

impl Table {
    /// Reads the list by a reader of the brew plan; what it finds is told by its place in the table.
    pub fn read<T>(
        &self,
        outcome: &mut ReadOutcome,
        units: UnitSystem,
        reader: impl FnOnce(&Node) -> T,
    ) -> T {
        let findings = Findings::new(&self.file);
        findings.show_in(Some(units));
        let node = Node::root(&self.value, findings.clone());
        let list = reader(&node);
        outcome.findings.extend(findings.take().into_iter().map(|finding| self.relocated(finding)));
        list
    }

    fn relocated(&self, mut finding: Finding) -> Finding {
        let mut line = None;
        let mut key: Option<&str> = None;
        for step in &finding.place.path {
            match step {
                PathStep::Item(position) if line.is_none() => line = self.lines.get(*position).copied(),
                PathStep::Item(_) => {}
                PathStep::Key(name) if key == Some("late") && name == "cost" => key = Some("late_cost"),
                PathStep::Key(name) if key.is_none() => key = Some(name),
                PathStep::Key(_) => {}
            }
        }
        // A key that is missing in an entry is an empty cell of its column.
        if finding.code == "V111" && finding.severity == Severity::Error {
            key = Some(match (key, finding.found.as_str()) {
                (Some("late"), "cost") => "late_cost",
                (Some("late"), _) => "late",
                (_, found) => found,
            });
        }
        let column = key.and_then(|key| self.columns.get(key)).copied();
        finding.place = place(&self.file, self.sheet.as_deref(), line, column);
        finding
    }
}
