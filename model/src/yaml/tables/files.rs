//! Cells of a CSV file, or of a sheet of a workbook.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{DataRef, Reader, Xlsx};

use super::super::ReadOutcome;
use super::super::guard::{about_file, as_text};
use super::super::node::MOST_ITEMS;
use super::cells::rounded;
use crate::finding::Finding;

/// Columns that are looked at at most.
const MOST_COLUMNS: usize = 100;
/// Lines that are looked at at most: those of a list that is as long as can be, and some without anything.
const MOST_LINES: usize = 5 * MOST_ITEMS;

/// Bytes of a workbook at most when it is unpacked.
const MOST_UNPACKED: u64 = 64 * 1024 * 1024;

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Text, as it stands.
    Text(String),
    /// A number.
    Number(f64),
    /// Yes or no.
    Flag(bool),
}

impl Cell {
    /// As text.
    pub fn text(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Number(number) => rounded(*number),
            Self::Flag(flag) => flag.to_string(),
        }
    }
}

/// Rows that hold anything.
pub struct Rows {
    /// The sheet; none of a CSV file.
    pub sheet: Option<String>,
    /// Lines from 1 with their cells by column from 0.
    pub lines: Vec<(usize, BTreeMap<usize, Cell>)>,
}

/// Whether bytes are those of a workbook: a ZIP archive.
pub fn is_workbook(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
}

/// The rows of a sheet, the first where none is named; none at all where there is no such sheet.
pub fn rows(
    file: &str,
    bytes: &[u8],
    sheet: Option<&str>,
    outcome: &mut ReadOutcome,
) -> Result<Option<Rows>, Finding> {
    if is_workbook(bytes) {
        // No text to be shown, but one of the files that the case is made of.
        outcome.sources.insert(file.to_owned(), String::new());
        return workbook(file, bytes, sheet);
    }
    let text = as_text(bytes, file)?;
    outcome.sources.insert(file.to_owned(), text.clone());
    if sheet.is_some() { Ok(None) } else { csv(file, &text).map(Some) }
}

fn csv(file: &str, text: &str) -> Result<Rows, Finding> {
    let reader =
        csv::ReaderBuilder::new().has_headers(false).trim(csv::Trim::All).from_reader(text.as_bytes());
    let mut lines = Vec::new();
    for record in reader.into_records().take(MOST_LINES) {
        let record = record.map_err(|error| {
            let line = error.position().and_then(|place| usize::try_from(place.line()).ok());
            let found = match error.kind() {
                csv::ErrorKind::UnequalLengths { len, .. } => format!("{len} cells"),
                _ => error.to_string(),
            };
            about_file("V108", file, line, &found, "as many cells in every row as in the first")
        })?;
        let line = record.position().and_then(|place| usize::try_from(place.line()).ok()).unwrap_or(0);
        let cells = record.iter().take(MOST_COLUMNS).enumerate();
        let cells: BTreeMap<usize, Cell> = cells
            .filter(|(_, text)| !text.is_empty())
            .map(|(column, text)| (column, Cell::Text(text.to_owned())))
            .collect();
        if !cells.is_empty() {
            lines.push((line, cells));
        }
    }
    Ok(Rows { sheet: None, lines })
}

fn workbook(file: &str, bytes: &[u8], sheet: Option<&str>) -> Result<Option<Rows>, Finding> {
    let unfit = |error: &dyn std::fmt::Display| {
        about_file("V141", file, Some(1), &error.to_string(), "a workbook (XLSX) without a password")
    };
    // A small archive may hold a text without end.
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| unfit(&error))?;
    let mut size: u64 = 0;
    for position in 0..archive.len() {
        size = size.saturating_add(archive.by_index_raw(position).map_err(|error| unfit(&error))?.size());
    }
    if size > MOST_UNPACKED {
        return Err(about_file(
            "V103",
            file,
            None,
            &format!("{size} bytes unpacked"),
            "at most 64 MiB unpacked",
        ));
    }
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| unfit(&error))?;
    let names = book.sheet_names();
    let wanted = match sheet {
        Some(sheet) => names.iter().find(|name| name.trim().eq_ignore_ascii_case(sheet)),
        None => names.first(),
    };
    let Some(name) = wanted.cloned() else { return Ok(None) };
    let mut lines: BTreeMap<usize, BTreeMap<usize, Cell>> = BTreeMap::new();
    // Cell by cell, for a sheet may say that it reaches to the last row there can be.
    let mut reader = book.worksheet_cells_reader(&name).map_err(|error| unfit(&error))?;
    while let Some(found) = reader.next_cell().map_err(|error| unfit(&error))? {
        let (row, column) = found.get_position();
        let (Ok(row), Ok(column)) = (usize::try_from(row), usize::try_from(column)) else { continue };
        if row >= MOST_LINES {
            break;
        }
        let cell = match found.get_value() {
            DataRef::Int(number) => Cell::Number(*number as f64),
            DataRef::Float(number) => Cell::Number(*number),
            DataRef::String(text) => Cell::Text(text.clone()),
            DataRef::SharedString(text) => Cell::Text((*text).to_owned()),
            DataRef::Bool(flag) => Cell::Flag(*flag),
            DataRef::DateTime(date) if date.is_datetime() => {
                let (year, month, day, ..) = date.to_ymd_hms_milli();
                Cell::Text(format!("{year:04}-{month:02}-{day:02}"))
            }
            DataRef::DateTime(time) => Cell::Number(time.as_f64()),
            DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => Cell::Text(text.clone()),
            DataRef::Error(error) => Cell::Text(error.to_string()),
            _ => continue,
        };
        let is_empty = matches!(&cell, Cell::Text(text) if text.trim().is_empty());
        if column < MOST_COLUMNS && !is_empty {
            lines.entry(row + 1).or_default().insert(column, cell);
        }
    }
    Ok(Some(Rows { sheet: Some(name), lines: lines.into_iter().collect() }))
}
