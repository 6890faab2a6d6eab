//! The JSON Schema of changes, made from the tables of the two files: the same keys, none of which must be there, and lists that
//! may also be given by the names of their entries.

use serde_yaml::{Mapping, Value};

use super::json::{any_of, documented, kind, list, put, words, written};
use super::shared::NAME;
use super::{File, Kind};

/// The name of the file that holds it.
pub const SCHEMA_NAME: &str = "change.schema.json";

/// The JSON Schema of a change, in lines.
#[must_use]
pub fn text() -> String {
    let mut parts = Mapping::new();
    for file in File::ALL {
        let whole = part(Kind::Map(file.map()), file.word(), &mut parts);
        put(&mut parts, file.word(), Value::Mapping(whole));
    }
    put(&mut parts, "names", Value::Mapping(names()));
    let mut properties = Mapping::new();
    let title = "The title of the change. A file with this key is a change to a brew plan and its cellar, for `compare`.";
    put(&mut properties, "change", described(title, kind(NAME)));
    let taken_out = "What is taken out first: names of keys, and of entries of lists.";
    put(&mut properties, "remove", described(taken_out, of_both(|_| "names")));
    let altered =
        "What is altered then: keys with their new values; entries of lists by name; a list as a whole.";
    put(&mut properties, "alter", described(altered, of_both(File::word)));
    let added = "What is added last: entries of lists, each whole or `like` another one with a name of its own; keys that are not there.";
    put(&mut properties, "add", described(added, of_both(File::word)));
    let mut whole = Mapping::new();
    put(&mut whole, "$schema", "http://json-schema.org/draft-07/schema#");
    put(
        &mut whole,
        "title",
        "A change of cellarwright: what `compare` takes out of, alters in and adds to a brew plan and its cellar",
    );
    put(&mut whole, "type", "object");
    put(&mut whole, "properties", properties);
    put(&mut whole, "required", words(["change"]));
    put(&mut whole, "additionalProperties", false);
    put(&mut whole, "definitions", parts);
    written(whole)
}

fn described(says: &str, kind: Mapping) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "description", says);
    found.extend(kind);
    found
}

fn reference(name: &str) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "$ref", format!("#/definitions/{name}"));
    found
}

/// A mapping of the two files to a definition.
fn of_both(name: fn(File) -> &'static str) -> Mapping {
    let mut properties = Mapping::new();
    for file in File::ALL {
        put(&mut properties, file.word(), reference(name(file)));
    }
    object(properties)
}

fn object(properties: Mapping) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "type", "object");
    put(&mut found, "properties", properties);
    put(&mut found, "additionalProperties", false);
    found
}

fn by_name(values: Mapping) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "type", "object");
    put(&mut found, "additionalProperties", values);
    found
}

fn array(items: Mapping) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "type", words(["array", "null"]));
    put(&mut found, "items", items);
    found
}

/// Names of what is taken out: one, a list, or below a key or name.
fn names() -> Mapping {
    any_of(vec![kind(NAME), array(kind(NAME)), by_name(reference("names"))])
}

/// A part of a file in a change, at a path; entries of lists become definitions of their own.
fn part(kind_of: Kind, at: &str, parts: &mut Mapping) -> Mapping {
    match kind_of {
        Kind::One(_) => kind(kind_of),
        Kind::Map(map) => {
            let mut properties = Mapping::new();
            for key in map.keys {
                let below = part(key.kind, &format!("{at}-{}", key.name), parts);
                put(&mut properties, key.name, documented(key, below));
            }
            object(properties)
        }
        Kind::Named(inner) => by_name(part(*inner, at, parts)),
        Kind::List(inner) | Kind::OneOrMore(inner) => match inner {
            Kind::Map(_) => {
                let whole = entry(part(*inner, at, parts));
                put(parts, at, whole);
                any_of(vec![array(reference(at)), reference(at), by_name(reference(at))])
            }
            _ => any_of(vec![list(*inner), kind(*inner)]),
        },
        Kind::Either(kinds) => {
            let kinds = kinds.iter().enumerate();
            any_of(kinds.map(|(place, &one)| part(one, &format!("{at}-{place}"), parts)).collect())
        }
    }
}

/// An entry of a list, which may be like another one.
fn entry(mut found: Mapping) -> Mapping {
    let says = "The entry of the list that this one is like but for what stands beside it.";
    if let Some(Value::Mapping(properties)) = found.get_mut("properties") {
        put(properties, "like", described(says, kind(NAME)));
    }
    found
}
