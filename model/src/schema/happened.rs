//! The keys of the file of what happened, for `replan`.

use super::crews::{ABSENT_ON, ABSENT_PEOPLE, ABSENT_SHIFT};
use super::pins::OUTAGE;
use super::shared::{DAYS, NAME};
use super::{Kind, Map, json, map, optional, required};

/// The name of the file that holds its JSON Schema.
pub const SCHEMA_NAME: &str = "happened.schema.json";

/// The keys.
pub const HAPPENED: Map = map(&[
    required("happened", NAME, "What happened, in a few words; it says what the file is.", "F2 is stuck"),
    optional(
        "late",
        Kind::List(&Kind::Map(&LATE)),
        "Batches that are ready later than their stay says.",
        "[{vessel: F2, days: 3 d}]",
    ),
    optional(
        "out",
        Kind::List(&Kind::Map(&OUTAGE)),
        "Vessels, lines and the like that cannot be used.",
        "[{vessel: F4, from: 2026-12-10, to: 2026-12-12, reason: door seal}]",
    ),
    optional(
        "away",
        Kind::List(&Kind::Map(&AWAY)),
        "People who are away.",
        "[{crew: brewers, people: 1, on: 2026-12-10 to 2026-12-11}]",
    ),
]);

const LATE: Map = map(&[
    required("vessel", NAME, "The fermenter that the batch is in.", "F2"),
    required("days", DAYS, "How many days later it is ready, from 1 to 200.", "3 d"),
]);

const AWAY: Map = map(&[
    required("crew", NAME, "The crew, as the brew plan names it.", "brewers"),
    ABSENT_ON,
    ABSENT_PEOPLE,
    ABSENT_SHIFT,
]);

/// The JSON Schema of the file, in lines.
#[must_use]
pub fn text() -> String {
    json::whole("What happened since a plan of cellarwright was made, for `replan`", &HAPPENED)
}
