//! What the two YAML files may hold: every key with its kind of value, unit, meaning and an example, in one table.
//!
//! `brewplan` and `cellar` are the tables, `scalar` the kinds of single values, `json` writes them as JSON Schema. The reader
//! (`yaml`) has code of its own for each key; a test walks both and fails on any key or kind that only one of them knows.

mod beers;
mod brewplan;
mod cellar;
pub mod change;
mod crews;
mod day_zero;
pub mod happened;
mod json;
mod layout;
mod lines;
mod pins;
mod scalar;
mod shared;
pub mod study;
mod tables;
#[cfg(test)]
mod tests;

pub use json::text;
pub use scalar::Scalar;

/// One of the two files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    /// What is to be done: `brewplan.yaml`.
    BrewPlan,
    /// What there is to do it with: `cellar.yaml`.
    Cellar,
}

impl File {
    /// Both.
    pub const ALL: [Self; 2] = [Self::BrewPlan, Self::Cellar];

    /// The word for it: `brewplan` or `cellar`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::BrewPlan => "brewplan",
            Self::Cellar => "cellar",
        }
    }

    /// The name of the file that holds its JSON Schema.
    #[must_use]
    pub fn schema_name(self) -> &'static str {
        match self {
            Self::BrewPlan => "brewplan.schema.json",
            Self::Cellar => "cellar.schema.json",
        }
    }

    /// What the file says of itself to a person who opens the schema.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::BrewPlan => {
                "A brew plan of cellarwright: days, crews, beers, orders, and what is there on the first day"
            }
            Self::Cellar => "A cellar of cellarwright: brewhouse, vessels, cleaning, lines and formats",
        }
    }

    /// Its keys.
    #[must_use]
    pub fn map(self) -> &'static Map {
        match self {
            Self::BrewPlan => &brewplan::BREWPLAN,
            Self::Cellar => &cellar::CELLAR,
        }
    }

    /// The line that tells an editor where the schema is, as its first comment.
    #[must_use]
    pub fn editor_line(self, folder: &str) -> String {
        format!("# yaml-language-server: $schema={folder}{}", self.schema_name())
    }
}

/// Whether a key must be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Always.
    Required,
    /// Never.
    Optional,
    /// Only beside, or without, another key.
    Sometimes,
}

/// A key of a mapping.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// Whether it must be there.
    pub need: Need,
    /// What may stand under it.
    pub kind: Kind,
    /// What it means, in a sentence or two.
    pub says: &'static str,
    /// An example, in YAML.
    pub example: &'static str,
}

/// A mapping of known keys.
#[derive(Debug)]
pub struct Map {
    /// The keys, in the order in which a person would write them.
    pub keys: &'static [Key],
    /// Of these keys exactly one must be there; none of it where the list is empty.
    pub one_of: &'static [&'static str],
}

/// What may stand under a key.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A single value.
    One(Scalar),
    /// A mapping of known keys.
    Map(&'static Map),
    /// A mapping of names to values.
    Named(&'static Kind),
    /// A list.
    List(&'static Kind),
    /// A list, or one value in its place.
    OneOrMore(&'static Kind),
    /// One of several kinds.
    Either(&'static [Kind]),
}

/// A mapping of which every key may be there.
const fn map(keys: &'static [Key]) -> Map {
    Map { keys, one_of: &[] }
}

/// A key that must be there.
const fn required(name: &'static str, kind: Kind, says: &'static str, example: &'static str) -> Key {
    Key { name, need: Need::Required, kind, says, example }
}

/// A key that may be left out.
const fn optional(name: &'static str, kind: Kind, says: &'static str, example: &'static str) -> Key {
    Key { name, need: Need::Optional, kind, says, example }
}

/// A key that must be there beside, or without, another one.
const fn sometimes(name: &'static str, kind: Kind, says: &'static str, example: &'static str) -> Key {
    Key { name, need: Need::Sometimes, kind, says, example }
}
