//! Pieces that several keys share.

use super::{Kind, Map, Scalar, map, optional, required};

pub const NAME: Kind = Kind::One(Scalar::Name);
pub const VOLUME: Kind = Kind::One(Scalar::Volume);
pub const TIME: Kind = Kind::One(Scalar::Time);
pub const DAYS: Kind = Kind::One(Scalar::Days);
pub const PRESSURE: Kind = Kind::One(Scalar::Pressure);
pub const SHARE: Kind = Kind::One(Scalar::Share);
pub const RATE: Kind = Kind::One(Scalar::Rate);
pub const MONEY: Kind = Kind::One(Scalar::Money);
pub const DATE: Kind = Kind::One(Scalar::Date);
pub const YES_NO: Kind = Kind::One(Scalar::YesNo);
pub const TEMPERATURE: Kind = Kind::One(Scalar::Temperature);
pub const LOSS: Kind = Kind::One(Scalar::Loss);
pub const ORDERED: Kind = Kind::One(Scalar::Ordered);
pub const WEEKDAYS: Kind = Kind::OneOrMore(&Kind::One(Scalar::Weekdays));
pub const NAMES: Kind = Kind::OneOrMore(&NAME);
pub const CREW: Kind = Kind::Map(&ROLE_TIMES);
pub const JOB_KIND: Kind = Kind::Map(&JOB);

/// Person-time by role.
pub const ROLE_TIMES: Map = map(&[
    optional("brew", TIME, "Person-time of people who can brew, all of them together.", "7 h"),
    optional("cellar", TIME, "Person-time of people who can do cellar work, all of them together.", "1.5 h"),
    optional("package", TIME, "Person-time of people who can package, all of them together.", "2 h"),
]);

/// A piece of work.
pub const JOB: Map = map(&[
    required("takes", TIME, "Clock time from beginning to end.", "3 h"),
    required(
        "crew",
        CREW,
        "Person-time that it takes, by role; what is left of the clock time runs unattended.",
        "{cellar: 1.5 h}",
    ),
]);

/// Dated numbers of kegs.
pub const DATED_KEGS: Map = map(&[
    required("on", DATE, "The date, on the first day or later.", "2026-12-09"),
    required("kegs", Kind::One(Scalar::Whole(0, 1_000_000_000)), "How many come back.", "80"),
]);

/// Dated numbers of pieces.
pub const DATED_PIECES: Map = map(&[
    required("on", DATE, "The date, on the first day or later.", "2026-12-15"),
    required("quantity", Kind::One(Scalar::Whole(0, 1_000_000_000)), "How many pieces come.", "80000"),
]);
