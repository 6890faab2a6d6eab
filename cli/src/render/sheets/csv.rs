//! A sheet as CSV (RFC 4180): dates as `2026-12-07`, numbers with a point.

use super::{Cell, Sheet, looks_like_formula};

/// The sheet's text. Text that a program for spreadsheets might take for a formula has an apostrophe before it.
///
/// # Errors
/// If it cannot be written, which memory always can.
pub fn text(sheet: &Sheet) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(sheet.columns.iter().map(|column| safe(&column.header)))?;
    for row in &sheet.rows {
        writer.write_record(row.iter().map(shown))?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn shown(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) | Cell::Line(text) => safe(text),
        Cell::Date(date) => date.clone(),
        Cell::Number(value, decimals) => {
            let text = format!("{value:.*}", usize::from(*decimals));
            // Nothing has no sign.
            if text.trim_start_matches('-').bytes().all(|byte| matches!(byte, b'0' | b'.')) {
                text.trim_start_matches('-').to_owned()
            } else {
                text
            }
        }
    }
}

fn safe(text: &str) -> String {
    if looks_like_formula(text) { format!("'{text}") } else { text.to_owned() }
}
