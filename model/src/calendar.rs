//! Days, shifts and the kinds of work that each day allows.
//!
//! Time runs in **slots**: one slot is one shift of one day, numbered from the first shift of day 0.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::units::{MINUTES_PER_DAY, Minutes};

/// One shift of one day, numbered from the first shift of day 0: `day * shifts + shift`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot(pub usize);

/// A kind of work, done by the crews that have the role.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Making wort in the brewhouse.
    Brew,
    /// Transfers, cleaning, carbonating.
    Cellar,
    /// Running the packaging lines.
    Package,
}

impl Role {
    /// All roles in their fixed order.
    pub const ALL: [Self; 3] = [Self::Brew, Self::Cellar, Self::Package];

    /// The word used in the input files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Brew => "brew",
            Self::Cellar => "cellar",
            Self::Package => "package",
        }
    }
}

/// A set of days of the week, Monday first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Weekdays(pub [bool; 7]);

impl Weekdays {
    /// Every day of the week.
    pub const ALL: Self = Self([true; 7]);
    /// Monday to Friday.
    pub const MONDAY_TO_FRIDAY: Self = Self([true, true, true, true, true, false, false]);

    /// Whether the date falls on one of these days.
    #[must_use]
    pub fn has(self, date: Date) -> bool {
        let index = date.weekday().to_monday_zero_offset();
        usize::try_from(index).is_ok_and(|index| self.0[index])
    }
}

/// Days from a first to a last date, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DateRange {
    /// The first date.
    pub first: Date,
    /// The last date, not before the first.
    pub last: Date,
}

impl DateRange {
    /// Whether the date is one of these days.
    #[must_use]
    pub fn has(self, date: Date) -> bool {
        (self.first..=self.last).contains(&date)
    }
}

/// A shift of the day: when it starts and how long it lasts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shift {
    /// The name, as the crews give it.
    pub name: String,
    /// Minutes after midnight.
    pub starts: Minutes,
    /// Clock time from its start to its end.
    pub hours: Minutes,
}

/// The days of the horizon, their shifts, and what may be done when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// Day 0.
    pub starts: Date,
    /// Days planned in full, from day 0.
    pub planned_days: usize,
    /// Days of look-ahead after them.
    pub look_ahead_days: usize,
    /// The shifts of a day, in the order of their start.
    pub shifts: Vec<Shift>,
    /// Days of the week for brewing, by `Role` in its fixed order.
    pub work: [Weekdays; 3],
    /// Days of the week on which beer can be delivered.
    pub deliver: Weekdays,
    /// Dates on which nobody works.
    pub closed: BTreeSet<Date>,
}

impl Calendar {
    /// All days of the horizon.
    #[must_use]
    pub fn days(&self) -> usize {
        self.planned_days + self.look_ahead_days
    }

    /// Slots of the days planned in full.
    #[must_use]
    pub fn planned_slots(&self) -> usize {
        self.planned_days * self.shifts.len()
    }

    /// All slots of the horizon.
    #[must_use]
    pub fn slots(&self) -> usize {
        self.days() * self.shifts.len()
    }

    /// The slot of a shift on a day.
    #[must_use]
    pub fn slot(&self, day: usize, shift: usize) -> Slot {
        Slot(day * self.shifts.len() + shift)
    }

    /// The day of a slot.
    #[must_use]
    pub fn day(&self, slot: Slot) -> usize {
        slot.0 / self.shifts.len()
    }

    /// The position of a slot's shift in its day.
    #[must_use]
    pub fn shift(&self, slot: Slot) -> usize {
        slot.0 % self.shifts.len()
    }

    /// The date of a day counted from day 0; days before it are negative.
    #[must_use]
    pub fn date(&self, day: i64) -> Date {
        self.starts.saturating_add(jiff::Span::new().days(day.clamp(-7_000_000, 7_000_000)))
    }

    /// Days from day 0 to a date; negative before it.
    #[must_use]
    pub fn day_of(&self, date: Date) -> i64 {
        date.duration_since(self.starts).as_hours() / 24
    }

    /// The Monday of a day's week, counted from day 0.
    #[must_use]
    pub fn monday(&self, day: i64) -> i64 {
        day - i64::from(self.date(day).weekday().to_monday_zero_offset())
    }

    /// Minutes from midnight of day 0 to the start of a slot.
    #[must_use]
    pub fn start(&self, slot: Slot) -> Minutes {
        let day = self.day(slot) as i64;
        Minutes(day * MINUTES_PER_DAY) + self.shifts[self.shift(slot)].starts
    }

    /// The time of day so many minutes after the start of a slot's shift, as `06:30`.
    #[must_use]
    pub fn time_of_day(&self, slot: Slot, after: Minutes) -> String {
        let minutes = (self.shifts[self.shift(slot)].starts + after).0.rem_euclid(MINUTES_PER_DAY);
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    }

    /// Whether the calendar allows this kind of work on a day (crews are another matter).
    #[must_use]
    pub fn allows(&self, role: Role, day: usize) -> bool {
        let date = self.date(day as i64);
        self.work[role as usize].has(date) && !self.closed.contains(&date)
    }

    /// Whether beer can be delivered on a day.
    #[must_use]
    pub fn delivers(&self, day: i64) -> bool {
        let date = self.date(day);
        self.deliver.has(date) && !self.closed.contains(&date)
    }
}
