//! The tables against the reader, in both directions; the JSON Schema against an independent validator.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use jsonschema::Validator;
use serde_yaml::Value;

use super::{File, Kind, Map, Need, Scalar, change, happened, json, study};
use crate::finding::{PathStep, Severity};
use crate::plan::Plan;
use crate::yaml::node::listening;
use crate::yaml::{ReadOutcome, read_case, read_happened, read_study, read_texts};

/// What stands, or is asked for, at a place: single values (by what is allowed), and kinds of lists and mappings.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Place {
    kinds: BTreeSet<String>,
    /// Keys, and those of them that must be there, always or sometimes.
    keys: BTreeSet<String>,
    needed: BTreeSet<String>,
}

impl Place {
    /// What the reader asked for here.
    fn hear(&mut self, what: &str, word: String) {
        match what {
            "value" => self.kinds.insert(word),
            "key" => self.keys.insert(word),
            "needed" => self.needed.insert(word),
            kind => self.kinds.insert(kind.to_owned()),
        };
    }
}

type Places = BTreeMap<(String, String), Place>;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn every_key() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src/schema/every_key/brewplan.yaml")
}

/// All YAML files of the cases, and the example that uses every key; brew plans first.
fn files() -> (Vec<PathBuf>, Vec<PathBuf>) {
    (files_with("brewplan:"), files_with("cellar:"))
}

/// The files of the kind that begins with a key; a brew plan names its cellar, so that key is looked for last.
fn files_with(key: &str) -> Vec<PathBuf> {
    let mut found: BTreeMap<&str, Vec<PathBuf>> = BTreeMap::new();
    let mut folders = vec![root().join("cases"), every_key().parent().unwrap().to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "yaml") {
                let text = std::fs::read_to_string(&path).unwrap();
                let has = |key: &&str| text.lines().any(|line| line.starts_with(key));
                let kind = ["change:", "happened:", "study:", "brewplan:"]
                    .into_iter()
                    .find(has)
                    .unwrap_or("cellar:");
                found.entry(kind).or_default().push(path);
            }
        }
    }
    assert!(found["brewplan:"].len() > 40 && found["cellar:"].len() > 30);
    let mut files = found.remove(key).unwrap_or_default();
    files.sort();
    files
}

/// Everything that the table of a file knows.
fn table(word: &str, map: &'static Map) -> Places {
    fn walk(kind: Kind, at: &str, word: &str, found: &mut Places) {
        let place = found.entry((word.to_owned(), at.to_owned())).or_default();
        match kind {
            Kind::One(scalar) => {
                place.kinds.insert(scalar.allowed());
            }
            Kind::Map(map) => {
                for key in map.keys {
                    place.keys.insert(key.name.to_owned());
                    if key.need != Need::Optional {
                        place.needed.insert(key.name.to_owned());
                    }
                }
                for key in map.keys {
                    walk(key.kind, &format!("{at}/{}", key.name), word, found);
                }
            }
            Kind::Named(inner) => {
                place.kinds.insert("entries".to_owned());
                walk(*inner, &format!("{at}/{{}}"), word, found);
            }
            Kind::List(inner) => {
                place.kinds.insert("items".to_owned());
                walk(*inner, at, word, found);
            }
            Kind::OneOrMore(inner) => {
                place.kinds.insert("items or one".to_owned());
                walk(*inner, at, word, found);
            }
            Kind::Either(kinds) => kinds.iter().for_each(|&one| walk(one, at, word, found)),
        }
    }
    let mut found = Places::new();
    walk(Kind::Map(map), "", word, &mut found);
    found
}

/// The place of a path in the table: entries of lists stand for one another, and so do names.
fn place_of(word: &str, path: &[PathStep], table: &Places) -> String {
    let mut at = String::new();
    for step in path {
        let PathStep::Key(key) = step else { continue };
        let is_named = table
            .get(&(word.to_owned(), at.clone()))
            .is_some_and(|place| place.kinds.contains("entries") && !place.keys.contains(key));
        at = if is_named { format!("{at}/{{}}") } else { format!("{at}/{key}") };
    }
    at
}

/// The tables beside the example that uses every key, in one workbook.
fn in_a_workbook() -> (String, Vec<u8>) {
    let folder = every_key().parent().unwrap().to_owned();
    let mut brewplan = std::fs::read_to_string(folder.join("tables.yaml")).unwrap();
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, sheet) in [("orders.csv", "Orders"), ("stock.csv", "Stock"), ("tanks.csv", "Tanks")] {
        let into = book.add_worksheet();
        into.set_name(sheet).unwrap();
        let mut rows = csv::ReaderBuilder::new().has_headers(false).from_path(folder.join(name)).unwrap();
        for (line, row) in (0_u32..).zip(rows.records()) {
            for (column, cell) in (0_u16..).zip(&row.unwrap()) {
                into.write_string(line, column, cell).unwrap();
            }
        }
        assert!(brewplan.contains(name));
        brewplan = brewplan.replace(&format!("file: {name}"), &format!("file: book.xlsx\n  sheet: {sheet}"));
    }
    (brewplan, book.save_to_buffer().unwrap())
}

/// Reads all files: how each brew plan is called, and what came of it.
fn outcomes() -> Vec<(String, ReadOutcome)> {
    let mut all: Vec<(String, ReadOutcome)> =
        files().0.iter().map(|path| (path.display().to_string(), read_case(path))).collect();
    let (brewplan, book) = in_a_workbook();
    let cellar = std::fs::read(every_key().with_file_name("cellar.yaml")).unwrap();
    let texts: [(&str, &[u8]); 3] =
        [("workbook.yaml", brewplan.as_bytes()), ("cellar.yaml", &cellar), ("book.xlsx", &book)];
    all.push(("workbook.yaml".to_owned(), read_texts(&texts)));
    all
}

#[test]
fn a_workbook_and_csv_files_of_the_same_rows_are_the_same_case() {
    let all = outcomes();
    let case = |end: &str| all.iter().find(|(name, _)| name.ends_with(end)).unwrap().1.case.clone().unwrap();
    assert!(case("workbook.yaml") == case("every_key/tables.yaml"));
    assert_eq!(case("workbook.yaml").in_tank.len(), 12);
}

/// Everything that the reader asks of all files.
fn asked(table: &Places) -> Places {
    let mut found = Places::new();
    listening::take();
    let all = outcomes();
    let heard = listening::take();
    for (_, outcome) in &all {
        let errors: Vec<_> =
            outcome.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{errors:#?}");
    }
    // What stands in tables is asked of lists that the brew plan could hold itself.
    let is_table = |name: &str| [".csv", ".xlsx"].iter().any(|end| name.ends_with(end));
    for (name, path, what, word) in heard.into_iter().filter(|heard| !is_table(&heard.0)) {
        let is_brewplan = all.iter().any(|(brewplan, _)| *brewplan == name);
        let file = if is_brewplan { File::BrewPlan } else { File::Cellar };
        let at = (file.word().to_owned(), place_of(file.word(), &path, table));
        found.entry(at).or_default().hear(what, word);
    }
    found
}

#[test]
fn table_and_reader_know_the_same_keys_units_and_words() {
    let mut table_places = table("brewplan", File::BrewPlan.map());
    table_places.extend(table("cellar", File::Cellar.map()));
    compare(&table_places, &asked(&table_places));
}

#[test]
fn table_and_reader_know_the_same_keys_of_what_happened() {
    let table = table("happened", &happened::HAPPENED);
    let mut case = read_case(&every_key()).case.unwrap();
    let file = every_key().with_file_name("happened.yaml");
    listening::take();
    let outcome = read_happened(&mut case, &mut Plan::default(), 2, &file);
    // The plan is empty, so that no work of it was done otherwise.
    assert!(outcome.findings.iter().all(|finding| finding.code == "V155"), "{:#?}", outcome.findings);
    let mut asked = Places::new();
    for (_, path, what, word) in listening::take() {
        let at = ("happened".to_owned(), place_of("happened", &path, &table));
        asked.entry(at).or_default().hear(what, word);
    }
    compare(&table, &asked);
}

#[test]
fn table_and_reader_know_the_same_keys_of_a_study() {
    let table = table("study", &study::STUDY);
    let case = read_case(&every_key()).case.unwrap();
    listening::take();
    let outcome = read_study(&case, case.layout.as_ref().unwrap(), &every_key().with_file_name("study.yaml"));
    assert!(outcome.findings.is_empty(), "{:#?}", outcome.findings);
    let mut asked = Places::new();
    for (_, path, what, word) in listening::take() {
        let at = ("study".to_owned(), place_of("study", &path, &table));
        asked.entry(at).or_default().hear(what, word);
    }
    compare(&table, &asked);
}

/// Table and reader know the same.
fn compare(table_places: &Places, asked: &Places) {
    let mut differences = Vec::new();
    let places: BTreeSet<_> = table_places.keys().chain(asked.keys()).collect();
    for place in places {
        let (known, read) = (table_places.get(place), asked.get(place));
        if known != read {
            differences.push(format!(
                "{}:{}\n  table  {known:?}\n  reader {read:?}",
                place.0,
                if place.1.is_empty() { "/" } else { &place.1 }
            ));
        }
    }
    assert!(
        differences.is_empty(),
        "add new keys to `model/src/schema` and to `model/src/schema/every_key`:\n{}",
        differences.join("\n")
    );
}

fn validator(file: File) -> Validator {
    let schema: serde_json::Value = serde_json::from_str(&json::text(file)).unwrap();
    jsonschema::draft7::new(&schema).unwrap()
}

fn as_json(text: &str) -> serde_json::Value {
    serde_json::to_value(serde_yaml::from_str::<Value>(text).unwrap()).unwrap()
}

#[test]
fn the_committed_schemas_are_fresh() {
    for file in File::ALL {
        let path = root().join("schema").join(file.schema_name());
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            committed == json::text(file),
            "run `cargo run --release -- schema {} > schema/{}`",
            file.word(),
            file.schema_name()
        );
    }
    let others = [
        ("change", change::SCHEMA_NAME, change::text()),
        ("happened", happened::SCHEMA_NAME, happened::text()),
        ("study", study::SCHEMA_NAME, study::text()),
        ("item", study::ITEM_SCHEMA_NAME, study::item_text()),
        ("result", study::RESULT_SCHEMA_NAME, study::result_text()),
    ];
    for (word, name, text) in others {
        let committed = std::fs::read_to_string(root().join("schema").join(name)).unwrap_or_default();
        assert!(committed == text, "run `cargo run --release -- schema {word} > schema/{name}`");
    }
}

/// Every file validates, and names its schema in its first line.
fn validate_and_name(paths: &[PathBuf], schema: &str, schema_name: &str) -> Validator {
    let schema: serde_json::Value = serde_json::from_str(schema).unwrap();
    let validator = jsonschema::draft7::new(&schema).unwrap();
    let meant = root().join("schema").join(schema_name).canonicalize().unwrap();
    for path in paths {
        let text = std::fs::read_to_string(path).unwrap();
        let document = as_json(&text);
        let errors: Vec<String> = validator
            .iter_errors(&document)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}:\n{}", path.display(), errors.join("\n"));
        let (first, _) = text.split_once('\n').unwrap();
        let named = first.strip_prefix("# yaml-language-server: $schema=").unwrap_or_default();
        let named = path.parent().unwrap().join(named).canonicalize().ok();
        assert_eq!(named.as_ref(), Some(&meant), "the first line of {} names the schema", path.display());
    }
    validator
}

#[test]
fn every_change_of_the_cases_validates_and_names_its_schema() {
    let changes = files_with("change:");
    assert!(changes.len() >= 5, "{changes:?}");
    let validator = validate_and_name(&changes, &change::text(), change::SCHEMA_NAME);
    for wrong in [
        "{change: x, ad: {cellar: {}}}",
        "{change: x, add: {cellar: {vessels: {likes: F1}}}}",
        "{change: x, alter: {cellar: {vessels: {F1: {hold: 10 hL}}}}}",
        "{change: x, alter: {brewplan: {beers: {Ale: {routes: [drect]}}}}}",
        "{add: {cellar: {}}}",
    ] {
        assert!(!validator.is_valid(&as_json(wrong)), "{wrong}");
    }
}

#[test]
fn every_file_of_what_happened_validates_and_names_its_schema() {
    let files = files_with("happened:");
    assert!(!files.is_empty());
    let validator = validate_and_name(&files, &happened::text(), happened::SCHEMA_NAME);
    for wrong in [
        "{late: []}",
        "{happened: x, lates: []}",
        "{happened: x, late: [{vessel: F1}]}",
        "{happened: x, late: [{vessel: F1, days: soon}]}",
        "{happened: x, out: [{vessel: B1, line: kegs, from: 2026-12-09}]}",
        "{happened: x, away: [{crew: brewers, on: 2026-12-09}]}",
        "{happened: x, orders: {dropped: [x]}}",
        "{happened: x, orders: {changed: [{quantity: 10 hL}]}}",
        "{happened: x, otherwise: [{clean: F1, on: 2026-12-09}]}",
        "{happened: x, otherwise: [{clean: F1, on: 2026-12-09, instead: skipped}]}",
        "{happened: x, otherwise: [{clean: F1, brew: Ale, on: 2026-12-09, instead: not done}]}",
    ] {
        assert!(!validator.is_valid(&as_json(wrong)), "{wrong}");
    }
}

#[test]
fn every_study_validates_and_names_its_schema() {
    let files = files_with("study:");
    assert!(files.len() >= 2, "{files:?}");
    let validator = validate_and_name(&files, &study::text(), study::SCHEMA_NAME);
    for wrong in [
        "{scenarios: [], layouts: []}",
        "{study: x, scenarios: [{name: y, factors: [{least: 1}]}], layouts: []}",
        "{study: x, scenarios: [{name: y}], layouts: [{buys: [B1]}]}",
        "{study: x, scenarios: [{name: y}], layouts: [], draws: {number: 0, factors: []}}",
        "{study: x, scenarios: [{name: y}], layouts: [], drawn: {}}",
    ] {
        assert!(!validator.is_valid(&as_json(wrong)), "{wrong}");
    }
}

#[test]
fn every_case_file_validates_and_names_its_schema() {
    let (brewplans, cellars) = files();
    for (file, paths) in [(File::BrewPlan, brewplans), (File::Cellar, cellars)] {
        validate_and_name(&paths, &json::text(file), file.schema_name());
    }
}

/// All mappings of a value, as paths.
fn mappings(value: &Value, path: &mut Vec<Value>, found: &mut Vec<Vec<Value>>) {
    match value {
        Value::Mapping(map) => {
            found.push(path.clone());
            for (key, value) in map {
                path.push(key.clone());
                mappings(value, path, found);
                path.pop();
            }
        }
        Value::Sequence(items) => {
            for (position, value) in items.iter().enumerate() {
                path.push(Value::from(position));
                mappings(value, path, found);
                path.pop();
            }
        }
        _ => {}
    }
}

fn at<'v>(value: &'v mut Value, path: &[Value]) -> &'v mut serde_yaml::Mapping {
    let found = path.iter().fold(value, |value, step| match step.as_u64() {
        Some(position) if value.is_sequence() => value.get_mut(position as usize).unwrap(),
        _ => value.get_mut(step).unwrap(),
    });
    found.as_mapping_mut().unwrap()
}

#[test]
fn a_key_that_nobody_knows_is_refused_by_schema_and_reader_wherever_it_stands() {
    let folder = every_key().parent().unwrap().to_owned();
    let text = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let mut tried = 0;
    for file in File::ALL {
        let validator = validator(file);
        let own = format!("{}.yaml", file.word());
        let whole: Value = serde_yaml::from_str(&text(&own)).unwrap();
        let mut all = Vec::new();
        mappings(&whole, &mut Vec::new(), &mut all);
        for path in all {
            let mut changed = whole.clone();
            at(&mut changed, &path).insert(Value::from("zzz"), Value::from("?"));
            assert!(!validator.is_valid(&serde_json::to_value(&changed).unwrap()), "{path:?}");
            let changed = serde_yaml::to_string(&changed).unwrap();
            let (brewplan, cellar) = match file {
                File::BrewPlan => (changed, text("cellar.yaml")),
                File::Cellar => (text("brewplan.yaml"), changed),
            };
            let outcome =
                read_texts(&[("brewplan.yaml", brewplan.as_bytes()), ("cellar.yaml", cellar.as_bytes())]);
            assert!(outcome.case.is_none(), "{path:?}");
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn a_key_that_must_be_there_is_missed_by_schema_and_reader() {
    let folder = every_key().parent().unwrap().to_owned();
    let text = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    for file in File::ALL {
        let validator = validator(file);
        let whole: Value = serde_yaml::from_str(&text(&format!("{}.yaml", file.word()))).unwrap();
        for key in file.map().keys {
            let mut changed = whole.clone();
            assert!(at(&mut changed, &[]).remove(key.name).is_some(), "{} is in the example", key.name);
            let is_valid = validator.is_valid(&serde_json::to_value(&changed).unwrap());
            assert_eq!(is_valid, key.need == Need::Optional, "{}", key.name);
        }
    }
}

fn keys_of(map: &'static Map, found: &mut Vec<&'static super::Key>) {
    fn inside(kind: Kind, found: &mut Vec<&'static super::Key>) {
        match kind {
            Kind::One(_) => {}
            Kind::Map(map) => keys_of(map, found),
            Kind::Named(inner) | Kind::List(inner) | Kind::OneOrMore(inner) => inside(*inner, found),
            Kind::Either(kinds) => kinds.iter().for_each(|&kind| inside(kind, found)),
        }
    }
    for key in map.keys {
        found.push(key);
        inside(key.kind, found);
    }
}

#[test]
fn every_key_has_a_sentence_and_an_example_that_its_schema_takes() {
    let mut count = 0;
    for map in [File::BrewPlan.map(), File::Cellar.map(), &happened::HAPPENED] {
        let mut keys = Vec::new();
        keys_of(map, &mut keys);
        for key in keys {
            assert!(key.says.ends_with('.') && key.says.len() > 4, "{}", key.name);
            let schema = serde_json::to_value(json::kind(key.kind)).unwrap();
            let validator = jsonschema::draft7::new(&schema).unwrap();
            assert!(validator.is_valid(&as_json(key.example)), "{}: {}", key.name, key.example);
            count += 1;
        }
    }
    assert!(count > 250, "{count}");
}

/// Whether the reader takes a text as a value of a kind.
fn reader_takes(scalar: Scalar, text: &str) -> bool {
    use crate::yaml::quantity::{self, Metres, Millimetres};
    use crate::yaml::{node, orders, store, words};
    let value = Value::from(text);
    let node = node::Node::root(&value, node::Findings::new("a text"));
    match scalar {
        Scalar::Name | Scalar::NameOr(_) => node.name().is_some(),
        Scalar::Word(_) | Scalar::Path => panic!("not tried"),
        Scalar::YesNo => node.yes_or_no().is_some(),
        Scalar::Whole(least, most) => node.whole(least, most).is_some(),
        Scalar::Date => words::date(&node).is_some(),
        Scalar::Dates => words::dates(&node).is_some(),
        Scalar::TimeOfDay => words::time_of_day(&node).is_some(),
        Scalar::Weekdays => words::weekdays(&node).is_some(),
        Scalar::Money => words::money(&node).is_some(),
        Scalar::Factor => words::factor(&node).is_some(),
        Scalar::Carbonation => quantity::parse_carbonation(text).is_ok(),
        Scalar::Volume => words::volume(&node).is_some(),
        Scalar::Ordered => orders::quantity_of(text, crate::units::Volume(1)).is_ok(),
        Scalar::Room => store::room_of(text).is_ok(),
        Scalar::Contents => quantity::parse_contents(text).is_ok(),
        Scalar::Loss => quantity::parse_loss(text).is_ok(),
        Scalar::Time => words::time(&node).is_some(),
        Scalar::Days => words::days(&node).is_some(),
        Scalar::Pressure => words::pressure(&node).is_some(),
        Scalar::Share => words::share(&node).is_some(),
        Scalar::Rate => words::rate(&node).is_some(),
        Scalar::KegPace => words::keg_pace(&node).is_some(),
        Scalar::Temperature => words::temperature(&node).is_some(),
        Scalar::Drop => words::drop(&node).is_some(),
        Scalar::Heat => words::heat(&node).is_some(),
        Scalar::Gravity => words::gravity(&node).is_some(),
        Scalar::OriginalGravity => {
            quantity::parse::<crate::units::Gravity>(text).is_ok_and(|found| found.0 >= 0)
        }
        Scalar::Altitude => quantity::parse::<Metres>(text).is_ok(),
        Scalar::Height => quantity::parse::<Millimetres>(text).is_ok(),
        Scalar::Area => words::area(&node).is_some(),
        Scalar::Years => quantity::parse::<quantity::Years>(text).is_ok(),
    }
}

#[test]
fn schema_and_reader_take_the_same_texts() {
    let kinds = [
        Scalar::Name,
        Scalar::YesNo,
        Scalar::Whole(1, 50),
        Scalar::Date,
        Scalar::Dates,
        Scalar::TimeOfDay,
        Scalar::Weekdays,
        Scalar::Money,
        Scalar::Factor,
        Scalar::Carbonation,
        Scalar::Volume,
        Scalar::Ordered,
        Scalar::Room,
        Scalar::Contents,
        Scalar::Loss,
        Scalar::Time,
        Scalar::Days,
        Scalar::Pressure,
        Scalar::Share,
        Scalar::Rate,
        Scalar::KegPace,
        Scalar::Temperature,
        Scalar::Drop,
        Scalar::Heat,
        Scalar::Gravity,
        Scalar::OriginalGravity,
        Scalar::Altitude,
        Scalar::Height,
        Scalar::Area,
        Scalar::Years,
    ];
    let mut texts: Vec<String> = [
        "2",
        "2.5",
        "+2",
        "-2",
        "0",
        "2.",
        ".5",
        "1.2.3",
        "two",
        " 3 ",
        "",
        " ",
        "yes",
        "no",
        "allowed",
        "maybe",
        "true",
        "2026-12-07",
        "2026-12-7",
        "2026-12-24 to 2026-12-27",
        "2026-12-24 - 2026-12-27",
        "06:30",
        "6:30",
        "24:00",
        "12:60",
        "12:00:00",
        "mon",
        "mon-fri",
        "mon - fri",
        "mon-",
        "Monday",
        "every day",
        "none",
        "24 x 440 mL",
        "24x 440mL",
        "x 440 mL",
        "2 packages",
        "2packages",
        "2.5 packages",
        "2 package",
        "3 pallets",
        "1 pallet",
        "40 L + 0.5 %",
        "40 L+0.5%",
        "0.5 % + 40 L",
        "40 L +",
        "+ 40 L",
        "40 L 0.5 %",
        "2 hl",
        "2 HL",
        "1.1234567 L",
        "1 000 L",
        "1,000 L",
    ]
    .map(String::from)
    .to_vec();
    let units = "hL L mL cL m3 bbl gal h min d day days week weeks kPa psi bar Pa % L/h hL/h bbl/h gal/h kegs/h degC degF C F kWh MJ kJ \
        BTU ton-h degP m ft cm mm m2 sqft year years";
    for unit in units.split(' ') {
        texts.extend(["2 ", "2", "2.5 ", "-2 ", "+2 "].map(|number| format!("{number}{unit}")));
    }
    let mut taken = 0;
    for kind in kinds {
        let schema = serde_json::to_value(json::kind(Kind::One(kind))).unwrap();
        let validator = jsonschema::draft7::new(&schema).unwrap();
        // 2 degF is no temperature of beer, which no pattern can say.
        let is_cold = |text: &&String| kind == Scalar::Temperature && text.ends_with('F');
        for text in texts.iter().filter(|text| !is_cold(text)) {
            let reader = reader_takes(kind, text);
            let schema = validator.is_valid(&serde_json::Value::from(text.as_str()));
            assert_eq!(schema, reader, "{kind:?} {text:?}: schema {schema}, reader {reader}");
            taken += usize::from(reader);
        }
    }
    assert!(taken > 150, "{taken}");
}
