//! The keys of `cellar.yaml`.

use super::lines::{FORMAT, LINE};
use super::shared::{CREW, JOB_KIND, LOSS, MONEY, NAME, NAMES, PRESSURE, RATE, SHARE, TIME, VOLUME};
use super::{Key, Kind, Map, Scalar, map, optional, required};

/// When a vessel is cleaned after it is empty, or filled again.
pub const TURNAROUND: Kind = Kind::One(Scalar::Word(&["same shift", "next shift"]));

pub const CELLAR: Map = map(&[
    required("cellar", NAME, "The name of the brewery.", "Fennick Wharf"),
    optional(
        "altitude",
        Kind::One(Scalar::Altitude),
        "Height above sea level, for the pressure of the air; 0 m where it is left out.",
        "20 m",
    ),
    required(
        "brewhouse",
        Kind::Map(&BREWHOUSE),
        "Size, times and people of a turn.",
        "{turn: 20 hL, first_turn: {takes: 7 h, crew: {brew: 7 h}}, turns_per_day: 2}",
    ),
    required(
        "vessels",
        Kind::List(&Kind::Map(&VESSELS)),
        "The vessels; alike ones together.",
        "[{names: [F1, F2], uses: [ferment, package], holds: 20 hL, rated: 200 kPa, clean: {takes: 2 h, crew: {cellar: 1 h}}}]",
    ),
    optional(
        "pressure",
        Kind::Map(&MARGINS),
        "What is kept between a needed pressure and what plate and relief device allow.",
        "{margin: 10 %, breakout: 15 kPa}",
    ),
    optional(
        "cleaning",
        Kind::Map(&CLEANING),
        "Cleaning sets, and how long clean and dirty may last.",
        "{sets: 1, stays_clean: 24 h}",
    ),
    optional("cooling", Kind::Map(&COOLING), "Limits of the cooling plant.", "{chills_a_day: 3}"),
    optional(
        "sanitise",
        JOB_KIND,
        "Sanitising a vessel that has been clean for longer than `stays_clean`.",
        "{takes: 30 min, crew: {cellar: 30 min}}",
    ),
    optional(
        "transfer",
        Kind::Map(&TRANSFER),
        "Moving beer from one vessel to another.",
        "{takes: 3 h, crew: {cellar: 1.5 h}, loss: 40 L + 0.5 %}",
    ),
    optional(
        "carbonate",
        JOB_KIND,
        "Carbonating a tank; it runs on unattended after the shift.",
        "{takes: 6 h, crew: {cellar: 30 min}}",
    ),
    optional(
        "filters",
        Kind::List(&Kind::Map(&FILTER)),
        "Filters that beer goes through on the way to a bright tank.",
        "[{name: sheet filter, rate: 20 hL/h}]",
    ),
    optional(
        "warm_store",
        VOLUME,
        "What the warm store holds of beer that conditions in its package.",
        "30 hL",
    ),
    optional(
        "cold_store",
        Kind::Map(&COLD_STORE),
        "What the store for packaged beer holds.",
        "{holds: 220 hL}",
    ),
    required(
        "lines",
        Kind::List(&Kind::Map(&LINE)),
        "Packaging lines.",
        "[{name: kegs, speed: 800 L/h, people: 2}]",
    ),
    optional(
        "keg_washer",
        Kind::Map(&WASHER),
        "What washes kegs, where they are not washed by the line that fills them.",
        "{pace: 40 kegs/h, people: 1}",
    ),
    required(
        "formats",
        Kind::List(&Kind::Map(&FORMAT)),
        "What beer is packaged in.",
        "[{name: keg, line: kegs, contents: 30 L}]",
    ),
]);

const BREWHOUSE: Map = map(&[
    required("turn", VOLUME, "Cooled wort of a whole turn.", "20 hL"),
    optional(
        "least_turn",
        VOLUME,
        "The smallest turn that can be brewed; nothing where it is left out.",
        "12 hL",
    ),
    required("first_turn", JOB_KIND, "The first turn of a day.", "{takes: 7 h, crew: {brew: 7 h}}"),
    optional(
        "next_turn",
        JOB_KIND,
        "Every further turn of a day; like the first where it is left out.",
        "{takes: 4 h, crew: {brew: 4 h}}",
    ),
    optional(
        "knock_out",
        TIME,
        "The last part of a turn, in which wort flows into the fermenter; 60 min where it is left out.",
        "1 h",
    ),
    required("turns_per_day", Kind::One(Scalar::Whole(1, 24)), "Turns of a day at most.", "2"),
    optional("hours_per_day", TIME, "Hours of brewing a day at most; 24 h where it is left out.", "12 h"),
    optional(
        "liquor",
        Kind::Map(&LIQUORS),
        "Hot and cold liquor, where it limits the turns of a day.",
        "{hot: {tank: 45 hL, per_turn: 30 hL, makes: 5 hL/h}}",
    ),
    optional(
        "fill_within",
        TIME,
        "The turns of a batch begin within this time of the first; 24 h where it is left out.",
        "30 h",
    ),
]);

const LIQUORS: Map = map(&[
    optional("hot", Kind::Map(&LIQUOR), "Hot liquor.", "{tank: 45 hL, per_turn: 30 hL, makes: 5 hL/h}"),
    optional("cold", Kind::Map(&LIQUOR), "Cold liquor.", "{tank: 60 hL, per_turn: 26 hL, makes: 6 hL/h}"),
]);

const LIQUOR: Map = map(&[
    required("tank", VOLUME, "What the tank holds; it is full when the first turn of a day begins.", "45 hL"),
    required("per_turn", VOLUME, "What a turn takes when it begins.", "30 hL"),
    required("makes", RATE, "What is made an hour until the tank is full.", "5 hL/h"),
]);

// Keys of vessels, whether they are there or can be bought.
pub const HOLDS: Key = required("holds", VOLUME, "The most that it holds.", "20 hL");
pub const LEAST: Key =
    optional("least", VOLUME, "The least that it is filled to; nothing where it is left out.", "18 hL");
pub const RATED: Key =
    required("rated", PRESSURE, "The rating of its data plate, gauge pressure.", "200 kPa");
pub const RELIEF: Key = optional(
    "relief",
    PRESSURE,
    "The setting of its relief device, gauge pressure; the rating where it is left out.",
    "150 kPa",
);
pub const BEER_HEIGHT: Key = optional(
    "beer_height",
    Kind::One(Scalar::Height),
    "Height of the beer in it when it is full: what the foot of the vessel bears on top.",
    "1.6 m",
);

const VESSELS: Map = map(&[
    required("names", NAMES, "The names of vessels that are alike.", "[F1, F2]"),
    required(
        "uses",
        Kind::OneOrMore(&Kind::One(Scalar::Word(&["ferment", "package", "bright", "serve", "condition"]))),
        "What the vessel is used for: `ferment`, `package` (straight from it), `condition` (cold weeks), `bright`, `serve` (poured from).",
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
        "{takes: 30 min, crew: {cellar: 10 min}, gas: 4}",
    ),
    optional(
        "refill",
        TURNAROUND,
        "When a bright tank is filled again after its last packaging; the next shift where it is left out.",
        "next shift",
    ),
    optional("rest", TIME, "How long beer rests in a serving tank before it is poured.", "12 h"),
    optional(
        "reaches",
        NAMES,
        "Vessels and lines that hoses or pipes reach from it; everything where it is left out.",
        "[B1, cans]",
    ),
    optional(
        "price",
        MONEY,
        "What one of them costs to buy; for weighing cellars against each other.",
        "24000",
    ),
]);

const CLEAN: Map = map(&[
    required("takes", TIME, "Clock time.", "2.5 h"),
    required("crew", CREW, "Person-time by role.", "{cellar: 1.5 h}"),
    optional(
        "after",
        TURNAROUND,
        "Whether it can be cleaned in the shift in which a transfer empties it; so where it is left out.",
        "same shift",
    ),
    optional(
        "full",
        Kind::Map(&FULL),
        "A longer clean that is due from time to time.",
        "{every: 6, after: [wheat], takes: 5 h, crew: {cellar: 2.5 h}, cost: 45}",
    ),
]);

const FULL: Map = map(&[
    optional("every", Kind::One(Scalar::Whole(1, 1_000)), "Fills between two full cleans at most.", "6"),
    optional(
        "after",
        NAMES,
        "Marks of beers (an allergen, a dark malt) after which a beer without the mark needs a full clean first.",
        "[wheat]",
    ),
    required("takes", TIME, "Clock time; no less than that of the short clean.", "5 h"),
    required("crew", CREW, "Person-time by role.", "{cellar: 2.5 h}"),
    optional("cost", MONEY, "What it costs; the rate of a clean where it is left out.", "45"),
]);

pub const PURGE: Map = map(&[
    required("takes", TIME, "Clock time.", "30 min"),
    optional("crew", CREW, "Person-time by role.", "{cellar: 10 min}"),
    optional("gas", MONEY, "What the gas of a purge costs.", "4"),
]);

const MARGINS: Map = map(&[
    optional(
        "margin",
        SHARE,
        "Share by which every pressure stays below relief and rating; 10 % where it is left out.",
        "10 %",
    ),
    optional(
        "breakout",
        PRESSURE,
        "Pressure on top of equilibrium, so that gas stays in the beer while it moves.",
        "15 kPa",
    ),
]);

const CLEANING: Map = map(&[
    required(
        "sets",
        Kind::Either(&[Kind::One(Scalar::Whole(1, 50)), Kind::List(&Kind::Map(&SET))]),
        "How many things can be cleaned at a time, or the sets by name with what each reaches.",
        "1",
    ),
    optional(
        "stays_clean",
        TIME,
        "How long a clean vessel can be filled without sanitising; 24 h where it is left out.",
        "24 h",
    ),
    optional(
        "clean_within",
        Kind::One(Scalar::Days),
        "Working days of the cellar within which an emptied vessel must be cleaned; no limit where it is left out.",
        "4 d",
    ),
]);

const SET: Map = map(&[
    required("name", NAME, "Its name.", "small set"),
    optional(
        "cleans",
        NAMES,
        "Vessels and lines that it reaches; everything where it is left out.",
        "[F1, B1, kegs]",
    ),
]);

const COOLING: Map = map(&[
    optional("chills_a_day", Kind::One(Scalar::Whole(0, 500)), "Tanks that can be chilled on one day.", "3"),
    optional(
        "heat_a_day",
        Kind::One(Scalar::Heat),
        "Heat that the plant takes out of the fermenters in a day.",
        "250 kWh",
    ),
]);

const TRANSFER: Map = map(&[
    required("takes", TIME, "Clock time.", "3 h"),
    required("crew", CREW, "Person-time by role.", "{cellar: 1.5 h}"),
    optional("loss", LOSS, "What is lost: a volume, a share, or both.", "40 L + 0.5 %"),
    optional(
        "at_once",
        Kind::One(Scalar::Whole(1, 50)),
        "Transfers that hoses and pumps allow at a time; no limit where it is left out.",
        "2",
    ),
]);

const FILTER: Map = map(&[
    required("name", NAME, "Its name.", "sheet filter"),
    required("rate", RATE, "What goes through in an hour.", "20 hL/h"),
    optional("start_up", TIME, "Clock time before the first beer of a shift.", "1 h"),
    optional("change", TIME, "Clock time between two beers.", "30 min"),
    optional("loss", LOSS, "What is lost: a volume, a share, or both.", "30 L + 0.5 %"),
    optional("people", Kind::One(Scalar::Whole(0, 100)), "People of the cellar at it while it runs.", "1"),
]);

const ROOM: Kind = Kind::One(Scalar::Room);

const COLD_STORE: Map = map(&[
    required("holds", ROOM, "What it holds, as a volume or in pallets.", "220 hL"),
    optional("formats", NAMES, "The formats that stand in it; all where it is left out.", "[can case, keg]"),
    optional("overflow", Kind::Map(&OVERFLOW), "Room that can be hired.", "{at_most: 80 hL, cost: 2}"),
]);

const OVERFLOW: Map = map(&[
    required("at_most", ROOM, "How much, in the unit of `holds`.", "80 hL"),
    required("cost", MONEY, "What a hectolitre, or a pallet, costs a day.", "2"),
]);

const WASHER: Map = map(&[
    required("pace", Kind::One(Scalar::KegPace), "Kegs an hour.", "40 kegs/h"),
    required("people", Kind::One(Scalar::Whole(0, 100)), "People at it while it runs.", "1"),
    optional(
        "role",
        Kind::One(Scalar::Word(&["cellar", "package"])),
        "Whose people they are; the cellar's where it is left out.",
        "package",
    ),
]);
