//! The sheets as a workbook (XLSX): real dates and numbers, headers that stay, pages that fit.

use jiff::civil::{Date, date};
use rust_xlsxwriter::{DocProperties, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError};

use super::{Cell, Sheet, looks_like_formula};

/// The date that the file bears, whenever it is made, so that the same plan gives the same bytes.
const MADE: Date = date(2000, 1, 1);
/// A4, as the file format counts paper.
const A4: u8 = 9;

/// How cells look.
struct Looks {
    header: Format,
    text: Format,
    line: Format,
    /// Text that stays text even if somebody opens the cell and closes it again.
    quoted: Format,
    date: Format,
    /// Numbers by decimals.
    numbers: Vec<Format>,
}

/// The workbook's bytes.
///
/// # Errors
/// If a sheet is larger than the file format allows.
pub fn bytes(title: &str, sheets: &[Sheet]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let properties = DocProperties::new().set_title(title).set_creation_datetime(&day_of(MADE)?);
    book.set_properties(&properties);
    let top = Format::new().set_align(FormatAlign::Top);
    let text = top.clone().set_text_wrap();
    let numbers = (0..=7).map(|decimals: usize| {
        let format =
            if decimals == 0 { "#,##0".to_owned() } else { format!("#,##0.{}", "0".repeat(decimals)) };
        top.clone().set_num_format(format)
    });
    let looks = Looks {
        header: text.clone().set_bold().set_border_bottom(FormatBorder::Thin),
        quoted: text.clone().set_quote_prefix(),
        text,
        line: top.clone(),
        date: top.clone().set_num_format("yyyy-mm-dd").set_align(FormatAlign::Left),
        numbers: numbers.collect(),
    };
    for sheet in sheets {
        write(book.add_worksheet(), sheet, &looks)?;
    }
    book.save_to_buffer()
}

fn write(into: &mut Worksheet, sheet: &Sheet, looks: &Looks) -> Result<(), XlsxError> {
    into.set_name(&sheet.name)?;
    for (number, column) in (0_u16..).zip(&sheet.columns) {
        into.set_column_width(number, f64::from(column.width))?;
        match column.header.parse::<Date>() {
            // The columns of days bear dates.
            Ok(day) => {
                into.write_datetime_with_format(0, number, day_of(day)?, &looks.date.clone().set_bold())?
            }
            Err(_) => into.write_string_with_format(0, number, &column.header, &looks.header)?,
        };
    }
    let headers = sheet.columns.iter().map(|column| column.header.as_str());
    set_height(into, 0, headers, sheet)?;
    for (line, cells) in (1_u32..).zip(&sheet.rows) {
        for (number, cell) in (0_u16..).zip(cells) {
            write_cell(into, line, number, cell, looks)?;
        }
        let texts = cells.iter().map(|cell| if let Cell::Text(text) = cell { text.as_str() } else { "" });
        set_height(into, line, texts, sheet)?;
    }
    let last_row = u32::try_from(sheet.rows.len()).unwrap_or(u32::MAX);
    let last_column = u16::try_from(sheet.columns.len().saturating_sub(1)).unwrap_or(u16::MAX);
    into.set_freeze_panes(1, 0)?;
    into.set_repeat_rows(0, 0)?;
    into.set_print_area(0, 0, last_row, last_column)?;
    into.set_paper_size(A4).set_landscape().set_print_fit_to_pages(1, 0);
    into.set_print_gridlines(true);
    into.set_footer("&L&A&R&P / &N");
    Ok(())
}

/// Height of a line of text, in points: that of a row where nothing else is said.
const LINE: f64 = 15.0;

/// Makes a row as high as its longest text needs: not every program does when it opens the file.
fn set_height<'a>(
    into: &mut Worksheet,
    row: u32,
    texts: impl Iterator<Item = &'a str>,
    sheet: &Sheet,
) -> Result<(), XlsxError> {
    let lines = texts.zip(&sheet.columns).map(|(text, column)| lines(text, usize::from(column.width)));
    let most = lines.max().unwrap_or(1);
    if most > 1 {
        into.set_row_height(row, LINE * most as f64)?;
    }
    Ok(())
}

/// Lines that a text takes in a column so many characters wide; they are measured in digits, than which letters are narrower on average.
fn lines(text: &str, width: usize) -> usize {
    let width = width.max(1);
    let (mut lines, mut used) = (1, 0);
    for word in text.split_whitespace() {
        let letters = word.chars().count();
        if used > 0 && used + 1 + letters > width {
            lines += 1;
            used = 0;
        }
        used += letters + usize::from(used > 0);
        // A word that is too long goes on in the next line.
        lines += (used.max(1) - 1) / width;
        used = (used.max(1) - 1) % width + 1;
    }
    lines
}

fn write_cell(
    into: &mut Worksheet,
    line: u32,
    number: u16,
    cell: &Cell,
    looks: &Looks,
) -> Result<(), XlsxError> {
    match cell {
        Cell::Empty => {}
        Cell::Text(text) => {
            let format = if looks_like_formula(text) { &looks.quoted } else { &looks.text };
            into.write_string_with_format(line, number, text, format)?;
        }
        Cell::Line(text) => {
            let format = if looks_like_formula(text) { &looks.quoted } else { &looks.line };
            into.write_string_with_format(line, number, text, format)?;
        }
        Cell::Date(text) => {
            match text.parse::<Date>() {
                Ok(day) => into.write_datetime_with_format(line, number, day_of(day)?, &looks.date)?,
                Err(_) => into.write_string_with_format(line, number, text, &looks.text)?,
            };
        }
        Cell::Number(value, decimals) => {
            let format = looks.numbers.get(usize::from(*decimals)).unwrap_or(&looks.text);
            into.write_number_with_format(line, number, *value, format)?;
        }
    }
    Ok(())
}

fn day_of(day: Date) -> Result<rust_xlsxwriter::ExcelDateTime, XlsxError> {
    let part = |number: i8| number.unsigned_abs();
    rust_xlsxwriter::ExcelDateTime::from_ymd(day.year().unsigned_abs(), part(day.month()), part(day.day()))
}
