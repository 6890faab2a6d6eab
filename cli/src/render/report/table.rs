//! Tables: a caption, headed columns, and a headed first cell in each row.

use maud::{Markup, html};

/// A column.
#[derive(Clone, Copy, Debug)]
pub struct Column<'a> {
    /// What stands over it.
    pub heading: &'a str,
    /// How its cells are set, as the style sheet calls it; nothing for plain words.
    pub class: Option<&'static str>,
}

/// A column of words.
#[must_use]
pub fn words(heading: &str) -> Column<'_> {
    Column { heading, class: None }
}

/// A column of numbers.
#[must_use]
pub fn numbers(heading: &str) -> Column<'_> {
    Column { heading, class: Some("number") }
}

/// A column of names, with room for a word.
#[must_use]
pub fn names(heading: &str) -> Column<'_> {
    Column { heading, class: Some("name") }
}

/// A column of long names that head their rows, with room for some words however narrow the window is.
#[must_use]
pub fn long_names(heading: &str) -> Column<'_> {
    Column { heading, class: Some("figure") }
}

/// A column of pairs of numbers with a word, which may stand in two lines.
#[must_use]
pub fn pairs(heading: &str) -> Column<'_> {
    Column { heading, class: Some("pair") }
}

/// A column of units, none of which is broken over two lines.
#[must_use]
pub fn units(heading: &str) -> Column<'_> {
    Column { heading, class: Some("unit") }
}

/// A column of dates or times, none of which is broken over two lines.
#[must_use]
pub fn dates(heading: &str) -> Column<'_> {
    Column { heading, class: Some("date") }
}

/// A table with its caption; what is wider than the window is moved within its own frame.
#[must_use]
pub fn framed(caption: &str, body: &Markup) -> Markup {
    html! {
        div class="frame" {
            table {
                caption { (caption) }
                (body)
            }
        }
    }
}

/// The head of a table.
#[must_use]
pub fn head(columns: &[Column]) -> Markup {
    html! {
        thead {
            tr {
                @for column in columns {
                    th scope="col" class=[column.class] { (column.heading) }
                }
            }
        }
    }
}

/// A cell below a column.
#[must_use]
pub fn cell(column: Column, text: &str) -> Markup {
    html! { td class=[column.class] { (text) } }
}

/// A table of texts; the first cell of each row heads it. The last row may be a sum.
#[must_use]
pub fn table(caption: &str, columns: &[Column], rows: &[Vec<String>], sum: Option<&[String]>) -> Markup {
    let body = html! {
        (head(columns))
        tbody { @for row in rows { (line(columns, row)) } }
        @if let Some(sum) = sum { tfoot { (line(columns, sum)) } }
    };
    framed(caption, &body)
}

fn line(columns: &[Column], row: &[String]) -> Markup {
    html! {
        tr {
            @for (place, (column, text)) in columns.iter().zip(row).enumerate() {
                @if place == 0 { th scope="row" { (text) } } @else { (cell(*column, text)) }
            }
        }
    }
}
