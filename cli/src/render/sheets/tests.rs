//! Sheets of a plan that holds every kind of row, read back by another library.

use std::collections::BTreeSet;
use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};

use super::super::testcase;
use super::super::view::View;
use super::*;

fn of_plan() -> View {
    let case = testcase::case();
    let plan = testcase::plan(&case);
    testcase::view(&case, &plan)
}

fn read(bytes: Vec<u8>) -> Vec<(String, calamine::Range<Data>)> {
    let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap();
    book.worksheets()
}

#[test]
fn the_workbook_reads_back_with_every_sheet_row_date_and_number() {
    let view = of_plan();
    let sheets = sheets(&view);
    let read = read(workbook("A plan", &sheets).unwrap());
    assert_eq!(read.len(), sheets.len());
    let (mut dates, mut numbers, mut texts) = (0, 0, 0);
    for (sheet, (name, range)) in sheets.iter().zip(&read) {
        assert_eq!(&sheet.name, name);
        for (line, row) in (1_u32..).zip(&sheet.rows) {
            assert_eq!(row.len(), sheet.columns.len(), "{name}");
            for (number, cell) in (0_u32..).zip(row) {
                let found = range.get_value((line, number)).cloned().unwrap_or_default();
                match (cell, found) {
                    (Cell::Empty, Data::Empty) => {}
                    (Cell::Text(text) | Cell::Line(text), Data::String(found)) => {
                        assert_eq!(*text, found);
                        texts += 1;
                    }
                    (Cell::Date(text), Data::DateTime(found)) => {
                        let (year, month, day, ..) = found.to_ymd_hms_milli();
                        assert_eq!(*text, format!("{year:04}-{month:02}-{day:02}"));
                        dates += 1;
                    }
                    (Cell::Number(value, _), Data::Float(found)) => {
                        assert!((value - found).abs() < 1e-9);
                        numbers += 1;
                    }
                    (Cell::Number(value, _), Data::Int(found)) => {
                        assert!((value - found as f64).abs() < 1e-9);
                        numbers += 1;
                    }
                    (cell, found) => panic!("{name} {line} {number}: {cell:?} came back as {found:?}"),
                }
            }
        }
    }
    assert!(dates > 5 && numbers > 20 && texts > 20, "{dates} {numbers} {texts}");
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let view = of_plan();
    let one = workbook("A plan", &sheets(&view)).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert_eq!(one, workbook("A plan", &sheets(&view)).unwrap());
}

#[test]
fn every_piece_of_work_is_in_the_sheet_of_each_crew_that_does_it() {
    let view = of_plan();
    let sheets = sheets(&view);
    assert_eq!(sheets[1].rows.len(), view.work.len());
    for (crew, sheet) in view.crews.iter().zip(&sheets[2..]) {
        assert_eq!(sheet.name, crew.crew);
        let theirs = view
            .work
            .iter()
            .filter(|row| row.crews.contains(&crew.crew) || row.crew.as_deref() == Some(crew.crew.as_str()));
        assert_eq!(sheet.rows.len(), theirs.count(), "{}", crew.crew);
    }
}

#[test]
fn text_never_becomes_a_formula() {
    let evil = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1"];
    let cells = evil.iter().map(|text| Cell::text(*text)).chain([Cell::Line("=1+1".to_owned())]);
    let rows = cells.map(|cell| vec![cell, Cell::Number(-1.5, 1)]).collect();
    let columns = vec![
        Column { header: "=HYPERLINK(\"x\")".to_owned(), width: 10 },
        Column { header: "number".to_owned(), width: 10 },
    ];
    let sheet = Sheet { name: "Evil".to_owned(), columns, rows };
    let bytes = workbook("=title", std::slice::from_ref(&sheet)).unwrap();
    let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap();
    assert!(book.worksheet_formula("Evil").unwrap().used_cells().next().is_none(), "no formula at all");
    let range = book.worksheet_range("Evil").unwrap();
    assert_eq!(range.get_value((1, 0)), Some(&Data::String("=1+1".to_owned())));
    assert_eq!(range.get_value((1, 1)), Some(&Data::Float(-1.5)));
    let text = csv(&sheet).unwrap();
    let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let records: Vec<::csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(records.len(), evil.len() + 2);
    for record in &records {
        assert!(record[0].starts_with('\''), "{record:?}");
    }
    // A number below nothing stays a number.
    assert_eq!(&records[1][1], "-1.5");
}

#[test]
fn names_of_sheets_fit_every_program_and_are_unlike() {
    let mut taken = BTreeSet::from(["history".to_owned()]);
    let long = "a very long name of a crew that works at night";
    let wishes = [long, long, "A/B: [c]*?", "", "'''", "History", "plan", "Plan", "..", "Früh|schicht"];
    let names: Vec<String> = wishes.iter().map(|wish| free_name(wish, &mut taken)).collect();
    let lower: BTreeSet<String> = names.iter().map(|name| name.to_lowercase()).collect();
    assert_eq!(lower.len(), names.len(), "{names:?}");
    for name in &names {
        assert!((1..=31).contains(&name.chars().count()), "{name}");
        assert!(
            !name.contains(['[', ']', ':', '*', '?', '/', '\\', '|']) && !name.starts_with(['\'', '.']),
            "{name}"
        );
        assert!(!name.eq_ignore_ascii_case("history"));
    }
    let sheets: Vec<Sheet> = names
        .iter()
        .map(|name| Sheet { name: name.clone(), columns: Vec::new(), rows: Vec::new() })
        .collect();
    assert_eq!(read(workbook("names", &sheets).unwrap()).len(), names.len());
}

#[test]
fn a_row_is_as_high_as_its_longest_text_as_one_program_set_lines_over_the_row_below() {
    let columns = vec![
        Column { header: "a header of three lines".to_owned(), width: 10 },
        Column { header: "value".to_owned(), width: 30 },
    ];
    let long = "words that go on and on until they need a second line, and then a third line as well";
    let rows = vec![
        vec![Cell::text("short"), Cell::text("short")],
        vec![Cell::text("short"), Cell::text(long)],
        vec![Cell::text("short"), Cell::Line(long.to_owned())],
        vec![Cell::text("w".repeat(40)), Cell::Empty],
    ];
    let sheet = Sheet { name: "High".to_owned(), columns, rows };
    let bytes = workbook("High", std::slice::from_ref(&sheet)).unwrap();
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    let mut part = archive.by_name("xl/worksheets/sheet1.xml").unwrap();
    std::io::Read::read_to_string(&mut part, &mut text).unwrap();
    let heights: Vec<Option<&str>> = text
        .split("<row ")
        .skip(1)
        .map(|row| row.split('>').next()?.split(" ht=\"").nth(1)?.split('"').next())
        .collect();
    assert_eq!(heights, [Some("45"), None, Some("45"), None, Some("60")]);
}

#[test]
fn headers_stay_and_every_sheet_prints_whole_on_a4_across() {
    let view = of_plan();
    let sheets = sheets(&view);
    let mut archive = zip::ZipArchive::new(Cursor::new(workbook("A plan", &sheets).unwrap())).unwrap();
    let mut part = |name: &str| {
        let mut text = String::new();
        std::io::Read::read_to_string(&mut archive.by_name(name).unwrap(), &mut text).unwrap();
        text
    };
    for number in 1..=sheets.len() {
        let sheet = part(&format!("xl/worksheets/sheet{number}.xml"));
        assert!(sheet.contains("<pane ySplit=\"1\"") && sheet.contains("state=\"frozen\""), "{number}");
        // Paper 9 is A4 (ECMA-376, part 1, 18.3.1.63).
        assert!(sheet.contains("paperSize=\"9\"") && sheet.contains("orientation=\"landscape\""), "{number}");
        assert!(sheet.contains("fitToHeight=\"0\""), "{number}");
        assert!(sheet.contains("gridLines=\"1\""), "rows can be followed on paper: {number}");
    }
    let book = part("xl/workbook.xml");
    for name in ["_xlnm.Print_Area", "_xlnm.Print_Titles"] {
        assert_eq!(book.matches(name).count(), sheets.len(), "{name}");
    }
}
