//! The keys of packaging lines and formats.

use super::shared::{DATE, DAYS, MONEY, NAME, NAMES, PRESSURE, RATE, SHARE, TIME, VOLUME, YES_NO};
use super::{Kind, Map, Scalar, map, optional, required};

pub const LINE: Map = map(&[
    required("name", NAME, "Its name.", "cans"),
    required("speed", RATE, "Nominal speed.", "1200 L/h"),
    optional(
        "efficiency",
        SHARE,
        "What it makes of its nominal speed over a run; 100 % where it is left out.",
        "65 %",
    ),
    required("people", Kind::One(Scalar::Whole(0, 100)), "People who are there together while it runs.", "3"),
    optional("start_up", TIME, "Clock time before the first beer of a shift.", "1.5 h"),
    optional("clean_down", TIME, "Clock time after the last beer of a shift, on a cleaning set.", "1 h"),
    optional(
        "change",
        Kind::Map(&CHANGE),
        "Clock time between two beers or formats.",
        "{beer: 45 min, format: 20 min}",
    ),
    optional("loss", VOLUME, "Beer lost for each beer and shift.", "80 L"),
    optional(
        "least_run",
        VOLUME,
        "A beer's run that is smaller costs `short_run` for what is missing.",
        "8 hL",
    ),
    optional(
        "feed",
        Kind::Map(&FEED),
        "The pressure at its filler, and whether a pump may make it.",
        "{pressure: 80 kPa, pump: allowed}",
    ),
    optional(
        "never_after",
        Kind::List(&Kind::Map(&NEVER_AFTER)),
        "Beers that never follow others in a shift.",
        "[{beer: Withy Staithe Pils, after: Tallowby Porter}]",
    ),
    optional(
        "comes",
        Kind::Either(&[Kind::OneOrMore(&DATE), Kind::Map(&COMES)]),
        "The dates of a mobile line; always there where it is left out.",
        "{from: 2026-12-10, every: 2 weeks}",
    ),
    optional("visit", MONEY, "What a day of a mobile line costs.", "450"),
    optional("least_visit", VOLUME, "The least that is drawn on such a day.", "12 hL"),
]);

const CHANGE: Map = map(&[
    optional("beer", TIME, "From one beer to another.", "45 min"),
    optional("format", TIME, "From one format of a beer to another.", "20 min"),
    optional(
        "pairs",
        Kind::List(&Kind::Map(&PAIR)),
        "Changes from one beer to another that take longer or shorter than `beer`.",
        "[{from: Tallowby Porter, to: Lantern Pale, takes: 90 min}]",
    ),
    optional(
        "after_mark",
        Kind::List(&Kind::Map(&AFTER_MARK)),
        "Changes from a beer with a mark to one without it.",
        "[{mark: wheat, takes: 45 min}]",
    ),
    optional(
        "format_pairs",
        Kind::List(&Kind::Map(&FORMAT_PAIR)),
        "Changes from one format to another that take longer or shorter than `format`, or are never made.",
        "[{from: keg, to: cask, takes: 40 min}]",
    ),
]);

const PAIR: Map = map(&[
    required("from", NAMES, "Beers before it.", "Tallowby Porter"),
    required("to", NAMES, "Beers after it.", "[Withy Staithe Pils, Lantern Pale]"),
    required("takes", TIME, "Clock time.", "90 min"),
]);

const AFTER_MARK: Map = Map {
    keys: &[
        required("mark", NAME, "The mark.", "wheat"),
        optional("takes", TIME, "Clock time of the change.", "45 min"),
        optional("never", YES_NO, "`yes`: never in one shift.", "yes"),
    ],
    one_of: &["takes", "never"],
};

const FORMAT_PAIR: Map = Map {
    keys: &[
        required("from", NAMES, "Formats before it.", "keg"),
        required("to", NAMES, "Formats after it.", "[cask, small keg]"),
        optional("takes", TIME, "Clock time.", "40 min"),
        optional("never", YES_NO, "`yes`: never one directly after the other in one shift.", "yes"),
    ],
    one_of: &["takes", "never"],
};

const FEED: Map = map(&[
    optional("pressure", PRESSURE, "Gauge pressure that the filler needs.", "80 kPa"),
    optional("pump", YES_NO, "Whether a pump may make it; no where it is left out.", "allowed"),
]);

const NEVER_AFTER: Map = map(&[
    required("beer", NAME, "The beer.", "Withy Staithe Pils"),
    required("after", NAMES, "Beers that it does not follow in a shift.", "Tallowby Porter"),
]);

const COMES: Map = map(&[
    required("from", DATE, "A date on which it comes.", "2026-12-10"),
    required("every", DAYS, "Days or weeks from one visit to the next.", "2 weeks"),
]);

pub const FORMAT: Map = map(&[
    required("name", NAME, "Its name.", "can case"),
    required("line", NAME, "The line that fills it.", "cans"),
    required("contents", Kind::One(Scalar::Contents), "What a package holds.", "24 x 440 mL"),
    optional("loss", SHARE, "Share lost in packages (low fills, breakages).", "3 %"),
    optional("overfill", SHARE, "Share given away in each package beyond its contents.", "0.3 %"),
    optional("pallet", Kind::One(Scalar::Whole(1, 10_000)), "Packages on a pallet.", "60"),
]);
