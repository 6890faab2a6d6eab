//! Orders, stock and beer in tank from workbooks: real dates and numbers, and where a bad cell is.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod sample;

use cellarwright_model::finding::Severity;
use cellarwright_model::units::{Share, Volume};
use cellarwright_model::yaml::{ReadOutcome, read_texts};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook, Worksheet};
use sample::{BREWPLAN, CELLAR, ORDERS};

const NAMED: &str = "orders: {file: book.xlsx, sheet: Orders, columns: {name: Customer, beer: Product, format: Package, quantity: Amount, \
    due: Delivery, likely: Chance, firm: Firm}, unit: hL}";

fn read(brewplan: &str, book: &[u8]) -> ReadOutcome {
    read_texts(&[
        ("brewplan.yaml", brewplan.as_bytes()),
        ("cellar.yaml", CELLAR.as_bytes()),
        ("book.xlsx", book),
        ("orders.csv", ORDERS.as_bytes()),
    ])
}

fn row(sheet: &mut Worksheet, line: u32, cells: &[&str]) {
    for (column, cell) in (0_u16..).zip(cells) {
        sheet.write_string(line, column, *cell).unwrap();
    }
}

/// A title, a header in the fourth line, orders below it, another sheet before it.
fn book(change: impl FnOnce(&mut Worksheet)) -> Vec<u8> {
    let date = Format::new().set_num_format("dd.mm.yyyy");
    let mut book = Workbook::new();
    row(book.add_worksheet().set_name("Notes").unwrap(), 0, &["nothing of use"]);
    let sheet = book.add_worksheet();
    sheet.set_name("Orders").unwrap();
    row(sheet, 0, &["Orders of December"]);
    row(sheet, 3, &["Customer", "Product", "Package", "Amount", "Delivery", "Remark", "Chance", "Firm"]);
    row(sheet, 4, &["Inn", "Pale", "can case", "", "", "call first"]);
    sheet.write_number(4, 3, 12.5).unwrap();
    sheet.write_datetime_with_format(4, 4, ExcelDateTime::from_ymd(2026, 12, 11).unwrap(), &date).unwrap();
    row(sheet, 6, &["Shop", "Stout", "can case", "1,200 L", "18 Dec 2026", "", "", "no"]);
    sheet.write_number(6, 6, 0.7).unwrap();
    change(sheet);
    book.save_to_buffer().unwrap()
}

#[test]
fn dates_numbers_titles_blank_lines_and_other_columns() {
    let brewplan = BREWPLAN.replace("orders: orders.csv", NAMED);
    let outcome = read(&brewplan, &book(|_| {}));
    assert_eq!(outcome.findings, Vec::new());
    let orders = outcome.case.unwrap().orders;
    assert_eq!(orders.len(), 2);
    assert_eq!((orders[0].name.as_str(), orders[0].quantity, orders[0].due), ("Inn", Volume(1_250_000), 4));
    assert_eq!((orders[1].quantity, orders[1].due), (Volume(1_200_000), 11));
    assert_eq!((orders[1].likely, orders[1].firm, orders[0].firm), (Share(700_000), false, true));
}

#[test]
fn a_bad_cell_is_told_by_sheet_and_cell() {
    let brewplan = BREWPLAN.replace("orders: orders.csv", NAMED);
    type Change = fn(&mut Worksheet);
    let changes: [(Change, &str, &str); 6] = [
        (|sheet| row(sheet, 6, &["Shop", "Stoot"]), "V202", "B7"),
        (
            |sheet| {
                sheet.write_string(4, 4, "11/12/2026").unwrap();
            },
            "V401",
            "E5",
        ),
        (
            |sheet| {
                sheet.write_string(6, 3, "12,5").unwrap();
            },
            "V302",
            "D7",
        ),
        (
            |sheet| {
                sheet.write_string(6, 3, "12 kPa").unwrap();
            },
            "V302",
            "D7",
        ),
        (
            |sheet| {
                sheet.write_number(4, 3, -3).unwrap();
            },
            "V303",
            "D5",
        ),
        (|sheet| row(sheet, 8, &["Late", "Pale", "can case"]), "V111", "D9"),
    ];
    for (change, code, cell) in changes {
        let outcome = read(&brewplan, &book(change));
        assert!(outcome.case.is_none());
        let found = outcome.findings.iter().find(|finding| finding.code == code).unwrap();
        assert_eq!(found.severity, Severity::Error);
        assert_eq!(found.place.file, format!("book.xlsx, sheet Orders, cell {cell}"), "{found:?}");
        // Day and month with strokes could stand in either order.
        assert_eq!(
            found.hint.as_ref().is_some_and(|hint| hint.contains("month")),
            code == "V401",
            "{found:?}"
        );
    }
}

#[test]
fn a_missing_sheet_column_or_workbook_is_told_with_a_hint() {
    let codes = |brewplan: &str, book: &[u8]| -> Vec<(&str, Option<String>)> {
        let outcome = read(brewplan, book);
        outcome.findings.iter().map(|finding| (finding.code, finding.hint.clone())).collect()
    };
    let book = book(|_| {});
    let brewplan = BREWPLAN.replace("orders: orders.csv", NAMED);
    assert_eq!(codes(&brewplan.replace("sheet: Orders", "sheet: Odders"), &book), [("V142", None)]);
    assert_eq!(
        codes(&brewplan.replace("quantity: Amount", "quantity: Amounts"), &book),
        [("V109", Some("did you mean `Amount`?".to_owned()))]
    );
    assert_eq!(codes(&brewplan, &book[..book.len() / 2])[0].0, "V141");
    assert_eq!(codes(&brewplan, b"PK\x03\x04nothing")[0].0, "V141");
}

#[test]
fn a_sheet_that_says_it_is_as_large_as_can_be_takes_no_room() {
    let brewplan = BREWPLAN.replace("orders: orders.csv", NAMED);
    let large = book(|sheet| {
        sheet.write_string(1_048_575, 16_383, "far out").unwrap();
    });
    assert_eq!(read(&brewplan, &large).findings, Vec::new());
}

#[test]
fn a_small_archive_that_unpacks_to_very_much_is_refused() {
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    archive.start_file("xl/sharedStrings.xml", zip::write::SimpleFileOptions::default()).unwrap();
    std::io::Write::write_all(&mut archive, &vec![b' '; 65 * 1024 * 1024]).unwrap();
    let bytes = archive.finish().unwrap().into_inner();
    assert!(bytes.len() < 1024 * 1024);
    let outcome = read(&BREWPLAN.replace("orders: orders.csv", NAMED), &bytes);
    assert_eq!(outcome.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V103"]);
}

#[test]
fn stock_and_tanks_are_read_from_tables_too() {
    let csv = "vessel;beer".to_owned();
    let tanks = "vessel,beer,filled,on,ready\nF1,Pale,40 hL,2026-11-27,2026-12-10\n";
    let brewplan = BREWPLAN.replace(
        "in_tank:\n  - {vessel: F1, beer: Pale, filled: 40 hL, on: 2026-11-27, ready: 2026-12-10}\n",
        "in_tank: tanks.csv\n",
    );
    let with = |tanks: &str| {
        read_texts(&[
            ("brewplan.yaml", brewplan.as_bytes()),
            ("cellar.yaml", CELLAR.as_bytes()),
            ("orders.csv", ORDERS.as_bytes()),
            ("tanks.csv", tanks.as_bytes()),
        ])
    };
    let inline = read(BREWPLAN, b"").case.unwrap();
    assert_eq!(with(tanks).case.unwrap(), inline);
    let wrong = with(&tanks.replace("F1", "F9"));
    let place = &wrong.findings[0].place;
    assert_eq!((place.file.as_str(), place.line, place.column), ("tanks.csv", Some(2), Some(1)));
    assert_eq!(with(&csv).findings.iter().filter(|finding| finding.code == "V109").count(), 4);
    let typo = with(&tanks.replace("ready", "redy"));
    assert_eq!(
        (typo.findings[0].code, typo.findings[0].hint.as_deref()),
        ("V110", Some("did you mean `ready`?"))
    );
}
