//! The tables as JSON Schema (draft 7, which editors read).

use serde_yaml::{Mapping, Value};

use super::{File, Key, Kind, Map, Need, Scalar};

/// The JSON Schema of a file, in lines.
///
/// # Panics
/// Never: a tree of texts, numbers and lists can be written.
#[must_use]
pub fn text(file: File) -> String {
    whole(file.says(), file.map())
}

/// The JSON Schema of a table, in lines.
pub(super) fn whole(says: &str, map: &Map) -> String {
    let mut whole = Mapping::new();
    put(&mut whole, "$schema", "http://json-schema.org/draft-07/schema#");
    put(&mut whole, "title", says);
    whole.extend(mapping(map));
    written(whole)
}

/// A schema as text.
pub(super) fn written(whole: Mapping) -> String {
    let mut text = serde_json::to_string_pretty(&Value::Mapping(whole)).unwrap_or_default();
    text.push('\n');
    text
}

pub(super) fn put(into: &mut Mapping, key: &str, value: impl Into<Value>) {
    into.insert(Value::from(key), value.into());
}

pub(super) fn words(words: impl IntoIterator<Item = &'static str>) -> Value {
    Value::Sequence(words.into_iter().map(Value::from).collect())
}

/// A mapping of known keys; any other key is a fault.
fn mapping(map: &Map) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "type", "object");
    let mut properties = Mapping::new();
    for key in map.keys {
        put(&mut properties, key.name, documented(key, kind(key.kind)));
    }
    put(&mut found, "properties", properties);
    let needed: Vec<&str> =
        map.keys.iter().filter(|key| key.need == Need::Required).map(|key| key.name).collect();
    if !needed.is_empty() {
        put(&mut found, "required", words(needed));
    }
    if !map.one_of.is_empty() {
        let each = map.one_of.iter().map(|&key| {
            let mut one = Mapping::new();
            put(&mut one, "required", words([key]));
            Value::Mapping(one)
        });
        put(&mut found, "oneOf", each.collect::<Vec<_>>());
    }
    put(&mut found, "additionalProperties", false);
    found
}

/// A key's kind with its meaning, unit and example.
pub(super) fn documented(key: &Key, kind: Mapping) -> Mapping {
    let mut found = Mapping::new();
    let allowed = allowed(key.kind);
    let units = if allowed.is_empty() { String::new() } else { format!("\nAllowed: {allowed}.") };
    put(&mut found, "description", format!("{}{units}\nExample: {}: {}", key.says, key.name, key.example));
    found.extend(kind);
    if let Ok(example) = serde_yaml::from_str::<Value>(key.example) {
        put(&mut found, "examples", vec![example]);
    }
    found
}

/// What is allowed, with units, in words; nothing where the editor shows it anyway.
pub fn allowed(kind: Kind) -> String {
    match kind {
        Kind::One(Scalar::Name | Scalar::NameOr(_) | Scalar::Path) | Kind::Map(_) => String::new(),
        Kind::One(scalar) => scalar.allowed(),
        Kind::Named(inner) | Kind::List(inner) | Kind::OneOrMore(inner) => allowed(*inner),
        Kind::Either(kinds) => {
            let all: Vec<String> =
                kinds.iter().map(|&kind| allowed(kind)).filter(|text| !text.is_empty()).collect();
            all.join("; or ")
        }
    }
}

pub(super) fn any_of(kinds: Vec<Mapping>) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "anyOf", kinds.into_iter().map(Value::Mapping).collect::<Vec<_>>());
    found
}

pub(super) fn kind(kind_of: Kind) -> Mapping {
    match kind_of {
        Kind::One(scalar) => single(scalar),
        Kind::Map(map) => mapping(map),
        Kind::Named(inner) => {
            let mut found = Mapping::new();
            put(&mut found, "type", "object");
            put(&mut found, "additionalProperties", kind(*inner));
            found
        }
        Kind::List(inner) => list(*inner),
        Kind::OneOrMore(inner) => any_of(vec![list(*inner), kind(*inner)]),
        Kind::Either(kinds) => any_of(kinds.iter().map(|&one| kind(one)).collect()),
    }
}

/// A list; like a key without a value, a list may be empty.
pub(super) fn list(inner: Kind) -> Mapping {
    let mut found = Mapping::new();
    put(&mut found, "type", words(["array", "null"]));
    put(&mut found, "items", kind(inner));
    found
}

fn single(scalar: Scalar) -> Mapping {
    let mut found = Mapping::new();
    match scalar {
        Scalar::Word(all) => put(&mut found, "enum", words(all.iter().copied())),
        Scalar::YesNo => {
            let mut all = vec![Value::from("yes"), Value::from("no"), Value::from(true), Value::from(false)];
            all.extend(["allowed", "true", "false"].map(Value::from));
            put(&mut found, "enum", all);
        }
        Scalar::NameOr(all) => {
            let mut known = Mapping::new();
            put(&mut known, "enum", words(all.iter().copied()));
            return any_of(vec![known, single(Scalar::Name)]);
        }
        _ => {
            let kinds = match scalar {
                Scalar::Whole(..) => words(["integer", "string"]),
                _ if scalar.may_be_number() => words(["string", "number"]),
                _ => Value::from("string"),
            };
            put(&mut found, "type", kinds);
            if let Some(pattern) = scalar.pattern() {
                put(&mut found, "pattern", pattern);
            }
            if matches!(scalar, Scalar::Name) {
                put(&mut found, "maxLength", 80);
            }
            if let Scalar::Whole(least, most) = scalar {
                put(&mut found, "minimum", least);
                put(&mut found, "maximum", most);
            }
            if matches!(scalar, Scalar::Money | Scalar::Factor | Scalar::Carbonation) {
                put(&mut found, "minimum", 0);
            }
        }
    }
    found
}
