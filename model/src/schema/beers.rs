//! The keys of a beer.

use super::shared::{
    CREW, DAYS, JOB_KIND, MONEY, NAME, NAMES, PRESSURE, SHARE, TEMPERATURE, TIME, VOLUME, YES_NO,
};
use super::{Kind, Map, Scalar, map, optional, required};
use crate::case::TankWorkKind;

const GRAVITY: Kind = Kind::One(Scalar::Gravity);
const VOLUMES: Kind = Kind::One(Scalar::Carbonation);

pub const BEER: Map = map(&[
    required("name", NAME, "Its name.", "Lantern Pale"),
    required(
        "turns",
        Kind::OneOrMore(&Kind::One(Scalar::Whole(1, 12))),
        "Whole turns that a batch may have.",
        "[1, 2]",
    ),
    optional(
        "part_turns",
        Kind::OneOrMore(&VOLUME),
        "Wort of batches of one smaller turn.",
        "[10 hL, 14 hL]",
    ),
    optional("turn", VOLUME, "Wort of a turn of this beer; the brewhouse's where it is left out.", "18 hL"),
    optional(
        "brew_longer",
        Kind::Either(&[TIME, JOB_KIND]),
        "What a turn takes longer, with people all the time or with person-time of its own.",
        "90 min",
    ),
    required(
        "stay",
        Kind::Named(&DAYS),
        "Parts of its stay by name, counted from the day of the last turn.",
        "{ferment: 6 d, dry hop: 3 d, chill: 2 d}",
    ),
    optional(
        "condition_from",
        NAME,
        "The part of the stay from which it may lie in a conditioning tank.",
        "lager",
    ),
    optional(
        "may_wait",
        DAYS,
        "Days that it may wait after the stay at no cost; 5 d where it is left out.",
        "5 d",
    ),
    optional(
        "must_leave",
        DAYS,
        "Days from the last turn by which it has left; stay + `may_wait` + 14 d where it is left out.",
        "28 d",
    ),
    optional(
        "bright_wait",
        DAYS,
        "Days that it may wait in a bright tank at no cost; 3 d where it is left out.",
        "3 d",
    ),
    optional(
        "bright_must_leave",
        DAYS,
        "Days from the fill by which it has left a bright tank; `bright_wait` + 4 d where it is left out.",
        "8 d",
    ),
    required(
        "routes",
        Kind::OneOrMore(&Kind::One(Scalar::Word(&["direct", "bright", "both"]))),
        "`direct`: packaged straight from the fermenter; `bright`: by a bright tank; `both`: a batch may do both.",
        "[direct, bright]",
    ),
    optional("loss", Kind::Map(&LOSSES), "Beer left behind.", "{tank: 6 %, direct: 2 %}"),
    optional(
        "carbonation",
        Kind::Either(&[Kind::One(Scalar::Word(&["none", "in package"])), Kind::Map(&CARBONATION)]),
        "Carbon dioxide; `none` for beer racked flat, `in package` for beer that conditions there.",
        "{volumes: 2.5, at: 2 degC}",
    ),
    optional(
        "nitrogen",
        Kind::Map(&NITROGEN),
        "Nitrogen, for beer that is carbonated in a tank.",
        "{pressure: 160 kPa, takes: 10 h}",
    ),
    optional(
        "split",
        Kind::One(Scalar::Word(&["needed", "free", "never"])),
        "Whether a batch is divided over bright tanks: where none holds it (where it is left out), freely, never.",
        "needed",
    ),
    optional("blend", YES_NO, "Whether two batches may fill one bright tank.", "yes"),
    optional(
        "contribution",
        Kind::Either(&[MONEY, Kind::Named(&MONEY)]),
        "What a hectolitre earns; by format it also says which formats the beer is packaged in. 100 where it is left out.",
        "{can case: 325, keg: 230}",
    ),
    optional(
        "filter",
        Kind::Either(&[YES_NO, NAME]),
        "The filter that it goes through, or `yes` where the cellar has one.",
        "sheet filter",
    ),
    optional("release", DAYS, "Days from packaging until it may be delivered.", "10 d"),
    optional(
        "fresh",
        DAYS,
        "Days from packaging to delivery at most; no limit where it is left out.",
        "90 d",
    ),
    optional(
        "ferments",
        Kind::Map(&FERMENTS),
        "Its gravities, for the heat that the cooling plant takes out.",
        "{from: 12 degP, to: 2.5 degP, over: 5 d}",
    ),
    optional(
        "tank_work",
        Kind::List(&Kind::Map(&TANK_WORK)),
        "Work on each batch in its tank.",
        "[{name: dry hop, day: 6 d, crew: {cellar: 1 h}, takes: 1 h}]",
    ),
    optional("yeast", NAME, "Its strain of yeast.", "house ale"),
    optional(
        "pitch",
        Kind::One(Scalar::Word(&["per batch", "per turn"])),
        "Pitches of a batch: one (where it is left out), or one for each turn.",
        "per turn",
    ),
    optional("gravity", Kind::One(Scalar::OriginalGravity), "Its original gravity, for cropping.", "12 degP"),
    optional(
        "marks",
        NAMES,
        "What it leaves behind (an allergen, a dark malt), by the cellar's words.",
        "[wheat]",
    ),
    optional("sales", VOLUME, "What sells of it in a week beyond the orders.", "32 hL"),
]);

const LOSSES: Map = map(&[
    optional("tank", SHARE, "Left in the fermenter (yeast, hops).", "6 %"),
    optional("direct", SHARE, "Lost beside that when it is packaged straight from the fermenter.", "2 %"),
]);

const CARBONATION: Map = map(&[
    optional("volumes", VOLUMES, "Volumes of carbon dioxide; 2.5 where it is left out.", "2.5"),
    optional("at", TEMPERATURE, "Temperature of carbonating; 2 degC where it is left out.", "2 degC"),
    optional("during_chill", YES_NO, "It may be carbonated on the last day of the stay already.", "yes"),
    optional("pump", YES_NO, "Whether a pump may feed it to a line; yes where it is left out.", "yes"),
    optional(
        "spund",
        Kind::Map(&SPUND),
        "Fermented to its end under pressure, so that it keeps its own gas.",
        "{volumes: 2.0, at: 12 degC}",
    ),
]);

const SPUND: Map = map(&[
    optional("volumes", VOLUMES, "Volumes that it keeps; all of them where it is left out.", "2.0"),
    required("at", TEMPERATURE, "Temperature at the end of fermentation.", "12 degC"),
]);

const NITROGEN: Map = map(&[
    required("pressure", PRESSURE, "Gauge pressure of the gas in the tank.", "160 kPa"),
    required("takes", TIME, "Clock time of giving it.", "10 h"),
]);

const FERMENTS: Map = map(&[
    required("from", GRAVITY, "Gravity of the wort.", "12 degP"),
    required("to", GRAVITY, "Gravity of the beer.", "2.5 degP"),
    required("over", DAYS, "Days from the last turn in which it ferments.", "5 d"),
]);

/// The kinds of tank work that have a meaning of their own.
const KINDS: [&str; 7] = ["dry hop", "crop", "dump", "fining", "rest", "gravity check", "chill"];

const TANK_WORK: Map = map(&[
    required("name", NAME, "Its name.", "dry hop"),
    optional(
        "kind",
        Kind::One(Scalar::NameOr(&KINDS)),
        "What it is, where its name does not say so.",
        "dry hop",
    ),
    required("day", DAYS, "Days after the day of the last turn on which it is due.", "6 d"),
    optional("early", DAYS, "Days that it may be early.", "1 d"),
    optional("slip", DAYS, "Days that it may be late.", "1 d"),
    optional("contact", DAYS, "Days that lie at least between it and chilling, or leaving.", "2 d"),
    optional(
        "cools_by",
        Kind::One(Scalar::Drop),
        "Degrees by which a chill cools the beer, for the cooling plant.",
        "18 degC",
    ),
    optional("moves", YES_NO, "Whether being late makes what follows late; yes where it is left out.", "no"),
    optional("alone", YES_NO, "Whether one person may do it with nobody else there.", "yes"),
    optional("takes", TIME, "Clock time.", "1 h"),
    optional("crew", CREW, "Person-time by role.", "{cellar: 1 h}"),
]);

/// The words of the kinds are those that the case knows.
const _: () = assert!(KINDS.len() == TankWorkKind::NAMED.len());
