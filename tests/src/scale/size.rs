//! The five sizes.

/// Fermenters that are alike.
#[derive(Clone, Copy, Debug)]
pub struct Class {
    /// How many.
    pub count: i64,
    /// Turns of the brewhouse that one holds.
    pub turns: i64,
    /// Packaged from directly: holds the pressure.
    pub packages: bool,
}

/// A packaging line and its formats.
#[derive(Clone, Copy, Debug)]
pub struct LineKind {
    /// Name.
    pub name: &'static str,
    /// People while it runs.
    pub people: i64,
    /// Names and contents of its formats.
    pub formats: &'static [(&'static str, &'static str)],
}

/// What a size has.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// Name, the first part of a case's folder.
    pub name: &'static str,
    /// Weeks of orders.
    pub weeks: i64,
    /// Wort of a turn, hL.
    pub turn: i64,
    /// Fermenters.
    pub fermenters: &'static [Class],
    /// Bright tanks: how many, and turns that one holds.
    pub brights: &'static [(i64, i64)],
    /// Number of beers.
    pub beers: usize,
    /// Beers in two and three formats by turns, for a fixed number of products; otherwise drawn.
    pub fixed_products: bool,
    /// Least and longest days in tank.
    pub stay: (i64, i64),
    /// Packaging lines.
    pub lines: &'static [LineKind],
    /// Turns a day at most.
    pub turns_per_day: i64,
    /// Hours of the first turn of a day and of every other.
    pub turn_hours: (i64, i64),
    /// Hours of the shift.
    pub shift: i64,
    /// Minutes that each person works.
    pub person_minutes: i64,
    /// Cleaning sets.
    pub sets: i64,
}

impl Size {
    /// All fermenters.
    #[must_use]
    pub fn total_fermenters(&self) -> i64 {
        self.fermenters.iter().map(|class| class.count).sum()
    }

    /// What all fermenters hold, hL.
    #[must_use]
    pub fn fermenters_hold(&self) -> i64 {
        self.fermenters.iter().map(|class| class.count * class.turns * self.turn).sum()
    }
}

const fn class(count: i64, turns: i64, packages: bool) -> Class {
    Class { count, turns, packages }
}

const KEG: (&str, &str) = ("keg", "30 L");
const BIG_KEG: (&str, &str) = ("big keg", "50 L");
const CAN: (&str, &str) = ("can case", "24 x 440 mL");
const SLIM: (&str, &str) = ("slim case", "24 x 330 mL");
const BOTTLE: (&str, &str) = ("bottle case", "12 x 500 mL");
const TIN: (&str, &str) = ("tin", "5 L");

const fn line(name: &'static str, people: i64, formats: &'static [(&'static str, &'static str)]) -> LineKind {
    LineKind { name, people, formats }
}

/// 30 fermenters, 5 lines, 40 products: the size for which Georgiadis, Elekidis and Georgiadis (2021),
/// doi 10.1016/j.fbp.2020.11.008, report up to two hours. Their data are not used.
pub const PUBLISHED: Size = Size {
    name: "published",
    weeks: 6,
    turn: 50,
    fermenters: &[class(8, 1, true), class(6, 2, true), class(10, 2, false), class(6, 4, false)],
    brights: &[(6, 1), (6, 2)],
    beers: 16,
    fixed_products: true,
    stay: (10, 24),
    lines: &[
        line("kegs", 2, &[KEG]),
        line("big kegs", 2, &[BIG_KEG]),
        line("cans", 3, &[CAN]),
        line("bottles", 3, &[BOTTLE]),
        line("tins", 2, &[TIN]),
    ],
    turns_per_day: 6,
    turn_hours: (6, 3),
    shift: 10,
    person_minutes: 540,
    sets: 4,
};

/// All sizes, from small to large.
pub const SIZES: [&Size; 5] = [
    &Size {
        name: "brewpub",
        weeks: 4,
        turn: 10,
        fermenters: &[class(2, 1, true), class(2, 1, false), class(2, 2, true)],
        brights: &[(1, 1), (1, 2)],
        beers: 4,
        fixed_products: false,
        stay: (10, 14),
        lines: &[line("kegs", 1, &[KEG]), line("cans", 1, &[CAN])],
        turns_per_day: 1,
        turn_hours: (7, 4),
        shift: 8,
        person_minutes: 450,
        sets: 1,
    },
    &Size {
        name: "town",
        weeks: 6,
        turn: 20,
        fermenters: &[class(5, 1, true), class(2, 2, true), class(3, 2, false), class(2, 4, false)],
        brights: &[(2, 1), (2, 2)],
        beers: 8,
        fixed_products: false,
        stay: (10, 24),
        lines: &[line("kegs", 2, &[KEG]), line("cans", 3, &[CAN, SLIM])],
        turns_per_day: 3,
        turn_hours: (6, 4),
        shift: 8,
        person_minutes: 450,
        sets: 2,
    },
    &Size {
        name: "regional",
        weeks: 6,
        turn: 40,
        fermenters: &[class(12, 1, true), class(6, 2, true), class(8, 2, false), class(6, 4, false)],
        brights: &[(6, 1), (4, 2)],
        beers: 16,
        fixed_products: false,
        stay: (10, 24),
        lines: &[line("kegs", 2, &[KEG, BIG_KEG]), line("cans", 4, &[CAN]), line("bottles", 4, &[BOTTLE])],
        turns_per_day: 6,
        turn_hours: (6, 3),
        shift: 10,
        person_minutes: 540,
        sets: 3,
    },
    &Size {
        name: "large",
        weeks: 6,
        turn: 60,
        fermenters: &[class(20, 1, true), class(12, 2, true), class(14, 2, false), class(12, 4, false)],
        brights: &[(14, 1), (6, 2)],
        beers: 30,
        fixed_products: false,
        stay: (10, 24),
        lines: &[
            line("kegs", 3, &[KEG, BIG_KEG]),
            line("cans", 5, &[CAN, SLIM]),
            line("bottles", 5, &[BOTTLE]),
        ],
        turns_per_day: 11,
        turn_hours: (4, 2),
        shift: 10,
        person_minutes: 540,
        sets: 5,
    },
    &PUBLISHED,
];
