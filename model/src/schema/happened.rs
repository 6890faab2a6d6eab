//! The keys of the file of what happened, for `replan`.

use super::brewplan::ORDER;
use super::crews::{ABSENT_ON, ABSENT_PEOPLE, ABSENT_SHIFT};
use super::pins::OUTAGE;
use super::shared::{DATE, DAYS, NAME, NAMES, ORDERED, VOLUME};
use super::{Kind, Map, Scalar, json, map, optional, required, sometimes};

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
    optional(
        "holds",
        Kind::List(&Kind::Map(&HOLDS)),
        "Batches of which another volume is in the fermenter than their turns say.",
        "[{vessel: F3, volume: 18 hL}]",
    ),
    optional(
        "orders",
        Kind::Map(&ORDERS),
        "Orders that came in, were withdrawn or were changed.",
        "{withdrawn: [second van]}",
    ),
    optional(
        "otherwise",
        Kind::List(&Kind::Map(&OTHERWISE)),
        "Work of the days before that was done otherwise than the plan says.",
        "[{brew: Lantern Pale, on: 2026-12-08, instead: {on: 2026-12-09}}]",
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

const HOLDS: Map = map(&[
    required("vessel", NAME, "The fermenter; nothing of the batch has left it yet.", "F3"),
    required("volume", VOLUME, "What is in it, before the tank loss.", "18 hL"),
]);

const ORDERS: Map = map(&[
    optional(
        "added",
        Kind::List(&Kind::Map(&ORDER)),
        "Orders that came in, as the brew plan lists them.",
        "[{name: fete, beer: Lantern Pale, format: keg, quantity: 2 hL, due: 2026-12-18}]",
    ),
    optional(
        "withdrawn",
        NAMES,
        "Names of orders that nobody wants any more; what was delivered of them before stays delivered.",
        "[second van]",
    ),
    optional(
        "changed",
        Kind::List(&Kind::Map(&CHANGED)),
        "Orders with another quantity or another day.",
        "[{name: first van, quantity: 10 hL}]",
    ),
]);

const CHANGED: Map = map(&[
    required("name", NAME, "The order, as the brew plan names it.", "first van"),
    optional("quantity", ORDERED, "How much it is now: a volume, or packages.", "10 hL"),
    optional("due", DATE, "The day on which it is due now.", "2026-12-17"),
]);

const OTHERWISE: Map = Map {
    keys: &[
        sometimes("brew", NAME, "Turns of this beer.", "Lantern Pale"),
        sometimes("transfer", NAME, "A transfer of this beer.", "Quillon Bitter"),
        sometimes("package", NAME, "A run of this beer.", "Lantern Pale"),
        sometimes("clean", NAME, "The clean of this vessel.", "F3"),
        sometimes("carbonate", NAME, "Carbonating in this vessel.", "F3"),
        sometimes("crop", NAME, "Cropping from this vessel.", "F4"),
        sometimes("dump", NAME, "Pouring away what is in this vessel.", "F2"),
        sometimes("tank_work", NAME, "This piece of tank work on the `beer`.", "dry hop"),
        sometimes("beer", NAME, "The beer of `tank_work`.", "Marrowtide IPA"),
        optional("vessel", NAME, "The vessel of `brew` or `tank_work`, where it must be told.", "F7"),
        optional("from", NAME, "The vessel that `transfer` or `package` takes from.", "F2"),
        optional("to", NAME, "The vessel that `transfer` fills.", "B1"),
        optional("format", NAME, "The format of `package`.", "keg"),
        required("on", DATE, "The day for which it was planned.", "2026-12-08"),
        optional("shift", NAME, "The shift for which it was planned.", "early"),
        required(
            "instead",
            Kind::Either(&[Kind::One(Scalar::Word(&["not done"])), Kind::Map(&INSTEAD)]),
            "What differs from the plan, or `not done`.",
            "{on: 2026-12-09}",
        ),
    ],
    one_of: &["brew", "transfer", "package", "clean", "carbonate", "crop", "dump", "tank_work"],
};

const INSTEAD: Map = map(&[
    optional("on", DATE, "The day on which it was done.", "2026-12-09"),
    optional("shift", NAME, "The shift in which it was done.", "late"),
    optional("vessel", NAME, "The vessel that was brewed into, or worked on.", "F8"),
    optional("from", NAME, "The vessel that was taken from.", "F3"),
    optional("to", NAME, "The vessel that was filled.", "B2"),
    optional("turns", Kind::One(Scalar::Whole(1, 12)), "Turns that were brewed.", "1"),
    optional("volume", VOLUME, "What left the vessel.", "18 hL"),
]);

/// The JSON Schema of the file, in lines.
#[must_use]
pub fn text() -> String {
    json::whole("What happened since a plan of cellarwright was made, for `replan`", &HAPPENED)
}
