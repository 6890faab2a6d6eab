//! The plan as tables: once as a workbook, once as a folder of CSV files, with the same rows.

mod csv;
mod rows;
#[cfg(test)]
mod tests;
mod workbook;

pub use csv::text as csv;
pub use rows::sheets;
pub use workbook::bytes as workbook;

use std::collections::BTreeSet;

/// A table with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Its name: unlike all others, and fit for a sheet and a file.
    pub name: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; each as long as there are columns.
    pub rows: Vec<Vec<Cell>>,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its header, with the unit of its numbers.
    pub header: String,
    /// How wide it is, in characters.
    pub width: u16,
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Text; never a formula.
    Text(String),
    /// Text in one line, which goes on over the empty cells beside it.
    Line(String),
    /// A date such as `2026-12-07`.
    Date(String),
    /// A number with so many decimals.
    Number(f64, u8),
}

impl Cell {
    fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() { Self::Empty } else { Self::Text(text) }
    }

    fn date(date: Option<&String>) -> Self {
        date.map_or(Self::Empty, |date| Self::Date(date.clone()))
    }

    fn number(number: Option<f64>, decimals: u8) -> Self {
        number.map_or(Self::Empty, |number| Self::Number(number, decimals))
    }

    fn count(number: Option<i64>) -> Self {
        Self::number(number.map(|number| number as f64), 0)
    }
}

/// Whether a program for spreadsheets might take a text for a formula when it is read from a file or typed again.
#[must_use]
pub fn looks_like_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'])
}

/// Most characters of a sheet's name, as all programs for spreadsheets take it.
const MOST_LETTERS: usize = 31;

/// A name that a sheet and a file can have: the wish, or the nearest that is free.
fn free_name(wish: &str, taken: &mut BTreeSet<String>) -> String {
    let is_odd = |letter: char| letter.is_control() || "[]:*?/\\<>|\"".contains(letter);
    let plain: String = wish.chars().map(|letter| if is_odd(letter) { ' ' } else { letter }).collect();
    let plain = plain.trim_matches(|letter: char| letter == '\'' || letter == '.' || letter.is_whitespace());
    let plain = if plain.is_empty() { "sheet" } else { plain };
    for number in 1.. {
        let end = if number == 1 { String::new() } else { format!(" {number}") };
        let letters = MOST_LETTERS - end.len();
        let start: String = plain.chars().take(letters).collect();
        let name = format!(
            "{}{end}",
            start.trim_end_matches(|letter: char| letter == '\'' || letter.is_whitespace())
        );
        if taken.insert(name.to_lowercase()) {
            return name;
        }
    }
    plain.to_owned()
}
