//! The keys of a study, and of the lines that it writes and reads back.

use serde_yaml::{Mapping, Value};

use super::json::{put, written};
use super::shared::{NAME, NAMES};
use super::{Kind, Map, Scalar, json, map, optional, required};
use crate::study::MOST_DRAWS;

/// The name of the file that holds the JSON Schema of a study.
pub const SCHEMA_NAME: &str = "study.schema.json";
/// That of an item's line.
pub const ITEM_SCHEMA_NAME: &str = "item.schema.json";
/// That of a result's line.
pub const RESULT_SCHEMA_NAME: &str = "result.schema.json";

const FACTOR: Kind = Kind::One(Scalar::Factor);

/// The keys.
pub const STUDY: Map = map(&[
    required("study", NAME, "What is studied; it says what the file is.", "Which layout keeps up"),
    required(
        "scenarios",
        Kind::List(&Kind::Map(&SCENARIO)),
        "Demands that are said, each by factors of what the layout's seasons ask for.",
        "[{name: a hot summer, factors: [{beer: Lantern Pale, factor: 1.3}]}]",
    ),
    optional(
        "draws",
        Kind::Map(&DRAWS),
        "Demands that are drawn besides.",
        "{number: 100, factors: [{beer: Lantern Pale, least: 0.8, most: 1.3}]}",
    ),
    required(
        "layouts",
        Kind::List(&Kind::Map(&LISTED)),
        "Layouts that are tried in each of them.",
        "[{name: as it is}, {name: two bright tanks, buys: [N1, N2]}]",
    ),
    optional(
        "cheapest",
        Kind::One(Scalar::YesNo),
        "Whether the cheapest of everything that can be bought is looked for in each of them too.",
        "yes",
    ),
]);

const SCENARIO: Map = map(&[
    required("name", NAME, "Its name.", "a hot summer"),
    optional(
        "factors",
        Kind::List(&Kind::Map(&STATED)),
        "Factors of what is asked for; where several fit they multiply.",
        "[{season: summer, factor: 1.3}]",
    ),
]);

const SEASON: super::Key = optional("season", NAME, "The season; every one where it is left out.", "summer");
const BEER: super::Key = optional("beer", NAME, "The beer; every one where it is left out.", "Lantern Pale");
const FORMAT: super::Key = optional("format", NAME, "The format; every one where it is left out.", "keg");

const STATED: Map =
    map(&[SEASON, BEER, FORMAT, required("factor", FACTOR, "So many times what is asked for.", "1.3")]);

const DRAWS: Map = map(&[
    required("number", Kind::One(Scalar::Whole(1, MOST_DRAWS)), "How many.", "100"),
    optional("seed", Kind::One(Scalar::Whole(0, 1_000_000_000)), "The same gives the same draws.", "1"),
    required(
        "factors",
        Kind::List(&Kind::Map(&DRAWN)),
        "Factors, each drawn evenly from its range, once for each draw.",
        "[{beer: Lantern Pale, least: 0.8, most: 1.3}]",
    ),
]);

const DRAWN: Map = map(&[
    SEASON,
    BEER,
    FORMAT,
    required("least", FACTOR, "The smallest that it can be.", "0.8"),
    required("most", FACTOR, "The largest that it can be.", "1.3"),
]);

const LISTED: Map = map(&[
    required("name", NAME, "Its name.", "two bright tanks"),
    optional(
        "buys",
        NAMES,
        "What it buys, by name: vessels of the layout, and people, shifts and lines as often as they are had; nothing where it is left out.",
        "[N1, N2]",
    ),
]);

/// The JSON Schema of the file, in lines.
#[must_use]
pub fn text() -> String {
    json::whole("A study of cellarwright: many demands, and layouts that are tried in each", &STUDY)
}

/// What may stand under a key of a line.
#[derive(Clone, Copy)]
enum Holds {
    Text,
    Whole,
    YesNo,
    Status,
    List(&'static Holds),
    Line(&'static [Entry]),
    OrNull(&'static Holds),
}

/// A key of a line: its name, what it holds, whether it may be left out, what it says.
type Entry = (&'static str, Holds, bool, &'static str);

const ITEM: &[Entry] = &[
    ("id", Holds::Text, false, "Name-based UUID (version 5) of everything else in the item."),
    ("made_by", Holds::Text, false, "The version of the program that made it; another one refuses it."),
    ("scenario", Holds::Text, false, "The demand."),
    ("layout", Holds::Text, false, "The layout."),
    (
        "buys",
        Holds::OrNull(&Holds::List(&Holds::Text)),
        false,
        "What the layout buys, by name. Null: whatever is cheapest.",
    ),
    ("seasons", Holds::List(&Holds::Line(ITEM_SEASON)), false, "What is asked for."),
    ("weeks", Holds::Whole, false, "Weeks after which everything repeats."),
    ("gap_millionths", Holds::Whole, false, "Gap at which a search ends, in millionths of what is found."),
    ("seed", Holds::Whole, false, "Random seed of the search."),
    (
        "nodes",
        Holds::OrNull(&Holds::Whole),
        false,
        "Nodes after which a search ends. Null: the gap alone ends it.",
    ),
    (
        "changed",
        Holds::YesNo,
        false,
        "Whether the last of the files is a change to the brew plan and its cellar.",
    ),
    ("files", Holds::List(&Holds::Line(ITEM_FILE)), false, "The brew plan, then every file that it names."),
];

const ITEM_SEASON: &[Entry] = &[
    ("season", Holds::Text, false, "Its name."),
    ("weeks", Holds::Whole, false, "Weeks of it in a year."),
    ("demand", Holds::List(&Holds::Line(ITEM_VOLUME)), false, "What is asked for in each of them."),
];

const ITEM_VOLUME: &[Entry] = &[
    ("beer", Holds::Text, false, "The beer."),
    ("format", Holds::Text, false, "The format."),
    ("a_week_ml", Holds::Whole, false, "Packaged volume in a week, millilitres."),
];

const ITEM_FILE: &[Entry] = &[
    ("name", Holds::Text, false, "Its name, as the brew plan has it."),
    ("text", Holds::Text, true, "Its text."),
    ("hex", Holds::Text, true, "Its bytes in hexadecimal digits, of a workbook."),
];

const RESULT: &[Entry] = &[
    ("id", Holds::Text, false, "The item."),
    ("scenario", Holds::Text, false, "Its demand."),
    ("layout", Holds::Text, false, "Its layout."),
    ("status", Holds::Status, false, "Whether the layout meets the demand; `not_met` is proven."),
    ("buys", Holds::List(&Holds::Text), false, "What is bought, by name."),
    ("bought_cents", Holds::OrNull(&Holds::Whole), false, "What that costs a year."),
    (
        "running_cents",
        Holds::OrNull(&Holds::Whole),
        false,
        "What it costs a year to run, as the checker replayed it.",
    ),
    ("cost_cents", Holds::OrNull(&Holds::Whole), false, "Both together."),
    ("bound_cents", Holds::OrNull(&Holds::Whole), false, "It cannot be had for less a year."),
    (
        "share_millionths",
        Holds::OrNull(&Holds::Whole),
        false,
        "The largest share of the demand that was found, where it is not met.",
    ),
    ("share_bound_millionths", Holds::OrNull(&Holds::Whole), false, "No more of the demand can be met."),
    (
        "proven",
        Holds::YesNo,
        false,
        "The bound is within the gap, or it is proven that the demand is not met.",
    ),
    ("confirmed", Holds::YesNo, false, "A second search with another seed found nothing beyond the bound."),
    (
        "stopped_after_seconds",
        Holds::OrNull(&Holds::Whole),
        false,
        "The time limit that struck. Null: none did, and the line is the same on every machine.",
    ),
];

/// The JSON Schema of an item's line.
#[must_use]
pub fn item_text() -> String {
    line("A work item of a study of cellarwright: one line of JSON that needs no other file", ITEM)
}

/// The JSON Schema of a result's line.
#[must_use]
pub fn result_text() -> String {
    line("The result of a work item of a study of cellarwright: one line of JSON", RESULT)
}

fn line(says: &str, entries: &[Entry]) -> String {
    let mut whole = Mapping::new();
    put(&mut whole, "$schema", "http://json-schema.org/draft-07/schema#");
    put(&mut whole, "title", says);
    whole.extend(object(entries));
    written(whole)
}

fn object(entries: &[Entry]) -> Mapping {
    let mut properties = Mapping::new();
    for &(name, holds, _, says) in entries {
        let mut one = Mapping::new();
        put(&mut one, "description", says);
        one.extend(schema(holds));
        put(&mut properties, name, one);
    }
    let needed = entries.iter().filter(|(_, _, may_lack, _)| !may_lack).map(|(name, ..)| Value::from(*name));
    let mut found = Mapping::new();
    put(&mut found, "type", "object");
    put(&mut found, "properties", properties);
    put(&mut found, "required", needed.collect::<Vec<_>>());
    put(&mut found, "additionalProperties", false);
    found
}

fn schema(holds: Holds) -> Mapping {
    let mut found = Mapping::new();
    match holds {
        Holds::Text => put(&mut found, "type", "string"),
        Holds::Whole => put(&mut found, "type", "integer"),
        Holds::YesNo => put(&mut found, "type", "boolean"),
        Holds::Status => put(&mut found, "enum", super::json::words(["met", "not_met", "unknown"])),
        Holds::List(inner) => {
            put(&mut found, "type", "array");
            put(&mut found, "items", schema(*inner));
        }
        Holds::Line(entries) => found = object(entries),
        Holds::OrNull(inner) => {
            let mut nothing = Mapping::new();
            put(&mut nothing, "type", "null");
            found = super::json::any_of(vec![schema(*inner), nothing]);
        }
    }
    found
}
