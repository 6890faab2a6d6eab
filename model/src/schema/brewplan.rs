//! The keys of `brewplan.yaml`.

use super::beers::BEER;
use super::crews::CREW_MEMBERS;
use super::day_zero::{IN_STORE, IN_TANK, SINCE_FULL, STOCK};
use super::layout::LAYOUT;
use super::pins::{OUTAGE, PIN};
use super::shared::{
    CREW, DATE, DATED_KEGS, DATED_PIECES, DAYS, MONEY, NAME, NAMES, ORDERED, SHARE, TIME, VOLUME, WEEKDAYS,
    YES_NO,
};
use super::{Kind, Map, Scalar, map, optional, required, tables};

/// Most kegs or pieces of a material.
const MOST: i64 = 1_000_000_000;
const COUNT: Kind = Kind::One(Scalar::Whole(0, MOST));

pub const BREWPLAN: Map = map(&[
    required("brewplan", NAME, "The title of the plan.", "Week of 7 December"),
    required(
        "cellar",
        Kind::One(Scalar::Path),
        "The file of the cellar, beginning in the folder of this file.",
        "cellar.yaml",
    ),
    required("starts", DATE, "The first planned day.", "2026-12-07"),
    required("plan_for", DAYS, "Days that are planned shift by shift.", "1 week"),
    optional(
        "look_ahead",
        DAYS,
        "Days beyond them that are counted in coarse periods, so that the plan is not short-sighted.",
        "5 weeks",
    ),
    required(
        "aim",
        Kind::Either(&[Kind::One(Scalar::Word(&["orders", "output"])), Kind::Map(&AIM)]),
        "What the best plan is: `orders` (money), `output` (volume packaged and poured), or output in a mix.",
        "orders",
    ),
    optional(
        "show_units",
        Kind::One(Scalar::Word(&["metric", "us"])),
        "Units in which plans and reports are shown: `metric` (hL, kPa, degC) or `us` (bbl, gal, psi, degF); `--units` comes first.",
        "us",
    ),
    optional("clock_times", YES_NO, "Whether every piece of work gets a time of day.", "yes"),
    optional(
        "calendar",
        Kind::Map(&CALENDAR),
        "Days on which each kind of work is done and beer is delivered.",
        "{brew: mon-fri, cellar: mon-sat}",
    ),
    optional(
        "shifts",
        Kind::List(&Kind::Map(&SHIFT)),
        "Shifts of a day; one from 07:00 where it is left out.",
        "[{name: day, starts: \"06:00\", hours: 8 h}]",
    ),
    required(
        "crew",
        Kind::List(&Kind::Map(&CREW_MEMBERS)),
        "Crews: who can do what, and when.",
        "[{name: brewers, people: 2, roles: [brew, cellar], hours: 8 h}]",
    ),
    optional(
        "yeasts",
        Kind::List(&Kind::Map(&YEAST)),
        "Strains of yeast.",
        "[{name: house ale, bought: {price: 260, lead: 4 d}}]",
    ),
    optional(
        "yeast_in_store",
        Kind::List(&Kind::Map(&IN_STORE)),
        "Yeast in store on the first day.",
        "[{yeast: house ale, generation: 3, cropped: 2026-12-04}]",
    ),
    required(
        "beers",
        Kind::List(&Kind::Map(&BEER)),
        "The beers.",
        "[{name: Lantern Pale, turns: [1, 2], stay: {ferment: 6 d}, routes: direct}]",
    ),
    optional(
        "taproom",
        Kind::Map(&TAPROOM),
        "What guests of the taproom ask for.",
        "{pours: [{beer: Lantern Pale, a_day: 60 L}]}",
    ),
    optional(
        "orders",
        Kind::Either(&[Kind::One(Scalar::Path), Kind::List(&Kind::Map(&ORDER)), Kind::Map(&tables::ORDERS)]),
        "Orders, or the CSV file or workbook that lists them, or such a file with its sheet and columns.",
        "orders.csv",
    ),
    optional(
        "rates",
        Kind::List(&Kind::Map(&RATE)),
        "What sells every week, written out as orders.",
        "[{beer: Lych Gate Mild, format: cask, a_week: 8 hL}]",
    ),
    optional(
        "keep",
        Kind::List(&Kind::Map(&KEEP)),
        "Stock that is to be kept.",
        "[{beer: Lantern Pale, format: can case, at_least: 3 hL, cost: 2}]",
    ),
    optional(
        "stock",
        Kind::Either(&[Kind::One(Scalar::Path), Kind::List(&Kind::Map(&STOCK)), Kind::Map(&tables::STOCK)]),
        "Packaged beer that is there on the first day, or the file that lists it.",
        "[{beer: Lantern Pale, format: can case, quantity: 9 hL}]",
    ),
    optional(
        "in_tank",
        Kind::Either(&[
            Kind::One(Scalar::Path),
            Kind::List(&Kind::Map(&IN_TANK)),
            Kind::Map(&tables::IN_TANK),
        ]),
        "Beer in vessels on the first day, or the file that lists it.",
        "[{vessel: F1, beer: Lantern Pale, filled: 20 hL, on: 2026-11-26}]",
    ),
    optional(
        "dirty",
        NAMES,
        "Empty vessels that are dirty on the first day; other empty ones are clean.",
        "[F8]",
    ),
    optional(
        "since_full",
        Kind::List(&Kind::Map(&SINCE_FULL)),
        "What has been in vessels since their last full clean.",
        "[{vessel: B1, fills: 5}]",
    ),
    optional(
        "kegs",
        Kind::List(&Kind::Map(&KEGS)),
        "Kinds of kegs that come back.",
        "[{name: steel kegs, formats: [keg], clean: 160}]",
    ),
    optional(
        "materials",
        Kind::List(&Kind::Map(&MATERIAL)),
        "Cans, labels, caps and the like.",
        "[{name: cans, uses: {can case: 24}, in_stock: 60000}]",
    ),
    optional(
        "prices",
        Kind::List(&Kind::Map(&PRICE)),
        "What one unit more of things costs, for `levers`: each entry names one of them.",
        "[{vessel: F1, price: 24000}, {person: packers, a_week: 900}]",
    ),
    optional(
        "outages",
        Kind::List(&Kind::Map(&OUTAGE)),
        "What is away, and when.",
        "[{line: kegs, from: 2026-12-22, reason: service visit}]",
    ),
    optional(
        "upkeep",
        Kind::List(&Kind::Map(&OUTAGE)),
        "Upkeep; a vessel is empty for it unless `may_hold_beer` says otherwise.",
        "[{vessel: B2, from: 2026-12-09, reason: valve inspection}]",
    ),
    optional(
        "pinned",
        Kind::List(&Kind::Map(&PIN)),
        "Work that the plan must contain.",
        "[{brew: Lantern Pale, on: 2026-12-08}]",
    ),
    optional(
        "money",
        Kind::Map(&MONEY_RATES),
        "Unit costs, in the brewery's currency; each has a default that is an assumption.",
        "{labour: 30, clean: 15}",
    ),
    optional(
        "layout",
        Kind::Map(&LAYOUT),
        "What is asked for in a year and what can be bought to meet it, for the command `layout`.",
        "{wort: 28, demand: [{beer: Lantern Pale, format: keg, a_week: 20 hL}]}",
    ),
]);

const AIM: Map = map(&[required(
    "output",
    Kind::Map(&OUTPUT),
    "Output in a mix.",
    "{mix: [{beer: Lantern Pale, share: 60 %}], tolerance: 5 %}",
)]);

const OUTPUT: Map = map(&[
    required(
        "mix",
        Kind::List(&Kind::Map(&MIX)),
        "Shares of what is packaged in the planned days.",
        "[{beer: Lantern Pale, share: 60 %}]",
    ),
    optional("tolerance", SHARE, "How far a share may be off; 5 % where it is left out.", "5 %"),
]);

const MIX: Map = map(&[
    required("beer", NAME, "The beer.", "Lantern Pale"),
    optional("format", NAME, "The format; all of them where it is left out.", "keg"),
    required("share", SHARE, "Its share.", "60 %"),
]);

const CALENDAR: Map = map(&[
    optional("brew", WEEKDAYS, "Days of brewing; mon-fri where it is left out.", "mon-fri"),
    optional("cellar", WEEKDAYS, "Days of cellar work; mon-fri where it is left out.", "mon-sat"),
    optional("package", WEEKDAYS, "Days of packaging; mon-fri where it is left out.", "[mon, tue, thu]"),
    optional("deliver", WEEKDAYS, "Days of delivery; those of packaging where it is left out.", "mon-fri"),
    optional(
        "closed",
        Kind::OneOrMore(&Kind::One(Scalar::Dates)),
        "Dates, or first and last dates, on which nobody works.",
        "[2026-12-25, 2026-12-28 to 2027-01-01]",
    ),
]);

const SHIFT: Map = map(&[
    required("name", NAME, "Its name.", "day"),
    required("starts", Kind::One(Scalar::TimeOfDay), "When it starts, in quotes.", "\"06:00\""),
    required("hours", TIME, "Its clock time.", "8 h"),
]);

const YEAST: Map = map(&[
    required("name", NAME, "Its name.", "house ale"),
    optional("bought", Kind::Map(&BOUGHT), "Where it can be bought.", "{price: 260, lead: 4 d}"),
    optional("crop", Kind::Map(&CROP), "Where it can be cropped.", "{from: 4 d, to: 8 d, pitches: 3}"),
    optional("keeps", DAYS, "Days from cropping after which pitching it costs `late_cost`.", "3 d"),
    optional("keeps_at_most", DAYS, "Days from cropping after which it is not pitched.", "7 d"),
    optional("late_cost", MONEY, "What a pitch costs for each day beyond `keeps`.", "25"),
    optional(
        "generations",
        Kind::One(Scalar::Whole(1, 50)),
        "The last generation that is pitched; bought yeast is the first.",
        "8",
    ),
]);

const BOUGHT: Map = map(&[
    required("price", MONEY, "What a pitch costs.", "260"),
    optional("lead", DAYS, "Days from ordering to delivery.", "4 d"),
]);

const CROP: Map = map(&[
    required("from", DAYS, "First day for cropping, counted from the day of the last turn.", "4 d"),
    required("to", DAYS, "Last day for cropping.", "8 d"),
    required("pitches", Kind::One(Scalar::Whole(1, 100)), "Pitches that a crop gives.", "3"),
    optional(
        "not_above",
        Kind::One(Scalar::OriginalGravity),
        "Beers of a higher original gravity are not cropped from.",
        "17 degP",
    ),
    optional(
        "before",
        Kind::One(Scalar::Word(&["dry hop", "leaving"])),
        "Cropped before the first dry hop (where it is left out), or at any time before the beer leaves.",
        "dry hop",
    ),
    optional("takes", TIME, "Clock time.", "1 h"),
    optional("crew", CREW, "Person-time by role.", "{cellar: 30 min}"),
]);

const TAPROOM: Map = map(&[
    optional(
        "opens",
        Kind::One(Scalar::TimeOfDay),
        "When it opens, in quotes; 12:00 where it is left out.",
        "\"12:00\"",
    ),
    optional("days", WEEKDAYS, "Days on which it is open; every day where it is left out.", "tue-sun"),
    optional("closed", Kind::OneOrMore(&DATE), "Dates on which it is closed.", "[2026-12-25]"),
    required(
        "pours",
        Kind::List(&Kind::Map(&TAP)),
        "The beers on tap.",
        "[{beer: Lantern Pale, a_day: 60 L}]",
    ),
]);

const TAP: Map = map(&[
    required("beer", NAME, "The beer.", "Lantern Pale"),
    required(
        "a_day",
        Kind::Either(&[VOLUME, Kind::Named(&VOLUME)]),
        "What guests ask for on an opening day, or by days of the week.",
        "{tue-thu: 60 L, fri-sun: 120 L}",
    ),
    optional(
        "contribution",
        MONEY,
        "What a hectolitre poured earns; that of the dearest format where it is left out.",
        "500",
    ),
    optional(
        "pour_within",
        DAYS,
        "Days after filling in which a tank may be poured; 30 d where it is left out.",
        "21 d",
    ),
]);

const TERMS_FIRM: &str = "Whether missing it costs `missed_firm`.";
const LATE: Map = map(&[
    required("at_most", DAYS, "Days after the due day.", "3 d"),
    required("cost", MONEY, "What a hectolitre costs for each day.", "5"),
]);

pub const ORDER: Map = map(&[
    optional("name", NAME, "Whose it is.", "Ashpole Stores"),
    required("beer", NAME, "The beer.", "Lantern Pale"),
    required("format", NAME, "The format.", "can case"),
    required("quantity", ORDERED, "How much: a volume, or packages.", "16 hL"),
    required("due", DATE, "The day on which it is due.", "2026-12-09"),
    optional("likely", SHARE, "How likely it is to come; 100 % where it is left out.", "70 %"),
    optional("firm", YES_NO, TERMS_FIRM, "yes"),
    optional("whole", YES_NO, "Delivered whole on one day or not at all.", "yes"),
    optional("late", Kind::Map(&LATE), "It may be late.", "{at_most: 3 d, cost: 5}"),
    optional(
        "fresh",
        DAYS,
        "Days from packaging to delivery at most; the beer's where it is left out.",
        "14 d",
    ),
]);

const RATE: Map = map(&[
    optional("name", NAME, "Whose it is.", "Wharf inns"),
    required("beer", NAME, "The beer.", "Lych Gate Mild"),
    required("format", NAME, "The format.", "cask"),
    required("a_week", ORDERED, "How much a week: a volume, or packages.", "8 hL"),
    optional("from", DATE, "The first date; the first day of the plan where it is left out.", "2026-12-14"),
    optional("to", DATE, "The last date; the end of the look-ahead where it is left out.", "2027-01-08"),
    optional("due", WEEKDAYS, "Days of the week on which it is due; fri where it is left out.", "thu"),
    optional("likely", SHARE, "How likely it is to come; 100 % where it is left out.", "80 %"),
    optional("firm", YES_NO, TERMS_FIRM, "no"),
    optional("whole", YES_NO, "Delivered whole on one day or not at all.", "no"),
    optional("late", Kind::Map(&LATE), "It may be late.", "{at_most: 1 d, cost: 2}"),
    optional(
        "fresh",
        DAYS,
        "Days from packaging to delivery at most; the beer's where it is left out.",
        "14 d",
    ),
]);

const KEEP: Map = map(&[
    required("beer", NAME, "The beer.", "Lantern Pale"),
    required("format", NAME, "The format.", "can case"),
    required("at_least", ORDERED, "How much: a volume, or packages.", "3 hL"),
    required("cost", MONEY, "What a hectolitre costs that is lacking, each day or week.", "2"),
    optional(
        "each",
        Kind::One(Scalar::Word(&["day", "week"])),
        "Counted every day (where it is left out), or on Sundays.",
        "day",
    ),
]);

const KEGS: Map = map(&[
    required("name", NAME, "Its name.", "steel kegs"),
    required("formats", NAMES, "The formats that are filled into them.", "[keg]"),
    optional("clean", COUNT, "Clean ones on the first day.", "160"),
    optional("dirty", COUNT, "Dirty ones in the brewery on the first day.", "320"),
    optional("keeps", DAYS, "Days after washing after which a keg is washed again.", "10 d"),
    optional("back_after", DAYS, "Days from filling until a keg is back; this or `days_out`.", "28 d"),
    optional("days_out", DAYS, "Days from delivery until a keg is back.", "18 d"),
    optional("owned", COUNT, "All that are owned, wherever they are.", "1600"),
    optional(
        "returns",
        Kind::Either(&[Kind::List(&Kind::Map(&DATED_KEGS)), Kind::Map(&A_WEEK)]),
        "Those that are out on the first day and come back, by date or by week.",
        "[{on: 2026-12-09, kegs: 90}]",
    ),
]);

const A_WEEK: Map =
    map(&[required("a_week", COUNT, "How many come back a week, divided over the delivery days.", "150")]);

const MATERIAL: Map = map(&[
    required("name", NAME, "Its name.", "cans"),
    required(
        "uses",
        Kind::Named(&Kind::One(Scalar::Whole(1, 10_000))),
        "Pieces in each package, by format.",
        "{can case: 24}",
    ),
    optional("beers", NAMES, "The beers that use it; all where it is left out.", "[Lantern Pale]"),
    optional("in_stock", COUNT, "Pieces there on the first day.", "60000"),
    optional(
        "lead",
        DAYS,
        "Days from ordering to delivery; where it is left out none can be ordered.",
        "14 d",
    ),
    optional("least_order", COUNT, "Pieces of an order at least.", "20000"),
    optional(
        "pack",
        Kind::One(Scalar::Whole(1, MOST)),
        "Pieces in a pack; any number where it is left out.",
        "2500",
    ),
    optional("price_per_1000", MONEY, "What a thousand pieces cost.", "95"),
    optional(
        "deliveries",
        Kind::List(&Kind::Map(&DATED_PIECES)),
        "Deliveries that are on their way.",
        "[{on: 2026-12-15, quantity: 80000}]",
    ),
]);

const MONEY_RATES: Map = map(&[
    optional("labour", MONEY, "A person-hour worked; 30 where it is left out.", "30"),
    optional("clean", MONEY, "Cleaning a vessel; 15.", "15"),
    optional("sanitise", MONEY, "Sanitising a vessel; 6.", "6"),
    optional("transfer", MONEY, "A transfer; 20.", "20"),
    optional("gas", MONEY, "Gas for a hectolitre carbonated; 1.50.", "1.50"),
    optional("waiting", MONEY, "A hectolitre that waits a day beyond `may_wait` or `bright_wait`; 1.", "1"),
    optional("dirty", MONEY, "A day that a vessel stays dirty beyond its first working day; 10.", "10"),
    optional("short_run", MONEY, "A hectolitre that a run is below `least_run`; 10.", "10"),
    optional("dry_tap", MONEY, "A hectolitre that guests ask for and do not get; 200.", "200"),
    optional("to_package", MONEY, "Packaging a hectolitre that is in a vessel at the end; 20.", "20"),
    optional(
        "over_limit",
        MONEY,
        "A hectolitre that stays a day beyond its hard end, a last resort; 50.",
        "50",
    ),
    optional("dump", MONEY, "A hectolitre poured away, a last resort; 500.", "500"),
    optional(
        "missed_firm",
        Kind::One(Scalar::Factor),
        "What missing a firm order costs, in contributions; 5.",
        "5",
    ),
    optional("surplus", SHARE, "What stock is worth at the end, of its contribution; 60 %.", "60 %"),
    optional(
        "surplus_weeks",
        Kind::One(Scalar::Whole(0, 52)),
        "Weeks of `sales` for which stock is worth that; 4.",
        "4",
    ),
]);

const PRICE: Map = map(&[
    optional("vessel", NAME, "One more vessel like this one.", "F1"),
    optional("first_bright", YES_NO, "A first bright tank, where there is none.", "yes"),
    optional("person", NAME, "One more person in a shift of this crew.", "packers"),
    optional("hour", NAME, "An hour more in each shift of this crew.", "packers"),
    optional("second_shift", NAME, "A second shift of this crew.", "packers"),
    optional("turn", YES_NO, "One more turn a day.", "yes"),
    optional("cleaning_set", YES_NO, "One more cleaning set.", "yes"),
    optional("pump", NAME, "A pump before this line.", "cans"),
    optional("rating", NAME, "A higher rating of the vessels like this one.", "B1"),
    optional("stay", NAME, "A stay of this beer that is a day shorter.", "Lantern Pale"),
    optional("wait", NAME, "A wait of this beer that may be a day longer.", "Lantern Pale"),
    optional("price", MONEY, "What is paid once.", "24000"),
    optional("a_week", MONEY, "What is paid every week, besides what is paid for work.", "900"),
]);
