//! The keys of a crew.

use super::shared::{MONEY, NAME, TIME, WEEKDAYS, YES_NO};
use super::{Key, Kind, Map, Scalar, map, optional, required, sometimes};

const PEOPLE: Kind = Kind::One(Scalar::Whole(1, 500));
const DATES: Kind = Kind::One(Scalar::Dates);

pub const CREW_MEMBERS: Map = map(&[
    required("name", NAME, "Its name.", "brewers"),
    sometimes("people", PEOPLE, "People in its shift; `shifts` in its place where it works several.", "2"),
    optional("shift", NAME, "The shift that it works; the first where it is left out.", "early"),
    optional("shifts", Kind::Named(&PEOPLE), "The people in each shift.", "{early: 2, late: 1}"),
    sometimes(
        "roles",
        Kind::OneOrMore(&Kind::One(Scalar::Word(&["brew", "cellar", "package"]))),
        "What its people can do; left out with `check_only`.",
        "[brew, cellar]",
    ),
    optional("check_only", YES_NO, "It does nothing but tank work that one person may do `alone`.", "yes"),
    required("hours", TIME, "Hours of a shift that are paid, the break included.", "7.5 h"),
    optional("break", TIME, "The part of them that is a break.", "30 min"),
    optional("days", WEEKDAYS, "Days on which it works; mon-fri where it is left out.", "mon-fri"),
    optional(
        "off",
        Kind::OneOrMore(&DATES),
        "Dates, or first and last dates, on which it is not there.",
        "[2026-12-24]",
    ),
    optional(
        "absent",
        Kind::OneOrMore(&Kind::Map(&ABSENCE)),
        "Dates on which some of its people are not there.",
        "[{on: 2026-12-11, people: 1}]",
    ),
    optional(
        "overtime",
        Kind::Map(&OVERTIME),
        "Overtime: the whole crew stays longer.",
        "{at_most: 1 h, a_week: 3 h, cost: 42}",
    ),
]);

const ABSENCE: Map = map(&[ABSENT_ON, ABSENT_PEOPLE, ABSENT_SHIFT]);

pub const ABSENT_ON: Key = required("on", DATES, "The date, or the first and the last one.", "2026-12-11");
pub const ABSENT_PEOPLE: Key = required("people", PEOPLE, "How many of them.", "1");
pub const ABSENT_SHIFT: Key =
    sometimes("shift", NAME, "The shift; needed where the crew works several.", "late");

const OVERTIME: Map = map(&[
    required("at_most", TIME, "In one shift.", "1 h"),
    optional("a_week", TIME, "From a Monday to the Sunday after; no limit where it is left out.", "3 h"),
    required("cost", MONEY, "What an hour of each of them costs on top of labour.", "42"),
]);
