//! The keys of `layout`: what is asked for in a year, and what can be bought to meet it.

use super::cellar::{BEER_HEIGHT, HOLDS, LEAST, PURGE, RATED, RELIEF, TURNAROUND};
use super::shared::{CREW, MONEY, NAME, NAMES, RATE, SHARE, TIME, VOLUME};
use super::{Kind, Map, Scalar, map, optional, required, sometimes};

const AREA: Kind = Kind::One(Scalar::Area);
const YEARS: Kind = Kind::One(Scalar::Years);

pub const LAYOUT: Map = map(&[
    required("wort", MONEY, "What a hectolitre of cooled wort costs: the price of losses.", "28"),
    optional(
        "interest",
        SHARE,
        "A year's interest on what is bought, in equal yearly payments; without it the price is divided by the life.",
        "5 %",
    ),
    optional("limits", Kind::Map(&LIMITS), "What may be bought at most.", "{price: 400000, floor: 60 m2}"),
    optional(
        "demand",
        Kind::List(&Kind::Map(&ASKED)),
        "What is asked for in every week of the year.",
        "[{beer: Lantern Pale, format: keg, a_week: 20 hL}]",
    ),
    optional(
        "seasons",
        Kind::List(&Kind::Map(&SEASON)),
        "In place of `demand`: seasons of a year, each a week that repeats.",
        "[{name: summer, weeks: 20, demand: [{beer: Lantern Pale, format: keg, a_week: 30 hL}]}]",
    ),
    optional(
        "vessels",
        Kind::List(&Kind::Map(&OFFER)),
        "Vessels that can be bought, as many as are named; alike ones together.",
        "[{names: [N1, N2], uses: [bright], holds: 20 hL, rated: 200 kPa, clean: {takes: 1 h, crew: {cellar: 1 h}}, price: 25000, life: 20 years}]",
    ),
    optional(
        "further",
        Kind::List(&Kind::Map(&FURTHER)),
        "People, shifts and lines that can be had.",
        "[{name: one more packer, crew: packers, people: 1, yearly: 3000}]",
    ),
]);

const LIMITS: Map = map(&[
    optional("price", MONEY, "The sum of all prices.", "400000"),
    optional("floor", AREA, "Floor of all that is bought.", "60 m2"),
]);

const ASKED: Map = map(&[
    required("beer", NAME, "The beer.", "Lantern Pale"),
    required("format", NAME, "The format.", "keg"),
    required("a_week", VOLUME, "Packaged volume in a week.", "20 hL"),
]);

const SEASON: Map = map(&[
    required("name", NAME, "Its name.", "summer"),
    required("weeks", Kind::One(Scalar::Whole(1, 52)), "Weeks of it in a year.", "20"),
    required(
        "demand",
        Kind::List(&Kind::Map(&ASKED)),
        "What is asked for in each of its weeks.",
        "[{beer: Lantern Pale, format: keg, a_week: 30 hL}]",
    ),
]);

const OFFER: Map = map(&[
    required("names", NAMES, "The names of the vessels: so many can be bought.", "[N1, N2]"),
    required(
        "uses",
        Kind::OneOrMore(&Kind::One(Scalar::Word(&["ferment", "package", "bright", "serve", "condition"]))),
        "What it can be used for, as in the cellar; `serve` is not counted.",
        "[ferment, package]",
    ),
    HOLDS,
    LEAST,
    RATED,
    RELIEF,
    BEER_HEIGHT,
    required(
        "clean",
        Kind::Map(&CLEAN),
        "Cleaning it.",
        "{takes: 2.5 h, crew: {cellar: 1.5 h}, after: same shift}",
    ),
    optional(
        "purge",
        Kind::Map(&PURGE),
        "Purging it with gas before a transfer fills it.",
        "{takes: 1 h, crew: {cellar: 15 min}, gas: 4}",
    ),
    optional("refill", TURNAROUND, "When a bright tank may be filled again.", "next shift"),
    required("price", MONEY, "What one of them costs, set up.", "25000"),
    required("life", YEARS, "Years that it lasts.", "20 years"),
    optional(
        "yearly",
        MONEY,
        "What one of them costs every year besides; nothing where it is left out.",
        "300",
    ),
    optional("floor", AREA, "Floor that it takes; none where it is left out.", "5 m2"),
]);

const CLEAN: Map = map(&[
    required("takes", TIME, "Clock time.", "2.5 h"),
    required("crew", CREW, "Person-time.", "{cellar: 1.5 h}"),
    optional("after", TURNAROUND, "Whether in the shift that empties it, or later.", "same shift"),
]);

const FURTHER: Map = map(&[
    required("name", NAME, "What it is called.", "one more packer"),
    optional("crew", NAME, "The crew that has more people, or works a further shift.", "packers"),
    optional("shift", NAME, "The further shift of the crew.", "late"),
    sometimes(
        "people",
        Kind::Either(&[Kind::One(Scalar::Whole(1, 100)), Kind::One(Scalar::Whole(0, 100))]),
        "How many more people, those of the further shift, or those that the line takes.",
        "1",
    ),
    optional(
        "at_most",
        Kind::One(Scalar::Whole(1, 20)),
        "How often more people can be had; once where it is left out.",
        "2",
    ),
    optional("line", NAME, "The line that it stands in place of.", "kegs"),
    sometimes("speed", RATE, "The nominal speed of the line.", "2000 L/h"),
    sometimes("price", MONEY, "What the line costs, set up.", "60000"),
    sometimes("life", YEARS, "Years that the line lasts.", "15 years"),
    sometimes("yearly", MONEY, "What it costs every year; hours that are worked are paid besides.", "3000"),
    optional("floor", AREA, "Floor that the line takes.", "20 m2"),
]);
