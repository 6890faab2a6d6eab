//! Crews: who is there, when, and for what.

use jiff::civil::Date;

use crate::calendar::{DateRange, Role, Weekdays};
use crate::units::{Minutes, Money};

/// Overtime that a crew may work: the whole crew stays together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OvertimeLimit {
    /// At most so long after each shift.
    pub at_most: Minutes,
    /// At most so long in a week from Monday to Sunday, for the people of each of the crew's shifts.
    pub a_week: Option<Minutes>,
    /// Paid per person and hour.
    pub cost: Money,
}

/// A further shift that other people of a crew work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FurtherShift {
    /// The shift, as a position in `Calendar::shifts`.
    pub shift: usize,
    /// Heads.
    pub people: i64,
}

/// People of a crew who are not there on some days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Absence {
    /// The days.
    pub on: DateRange,
    /// Their shift, as a position in `Calendar::shifts`.
    pub shift: usize,
    /// Heads.
    pub people: i64,
}

/// One crew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crew {
    /// Its name.
    pub name: String,
    /// Heads in its (first) shift.
    pub people: i64,
    /// What they can do; nothing where they only check.
    pub roles: Vec<Role>,
    /// They come for a short while and do only tank work that one person may do alone.
    pub check_only: bool,
    /// Hours that each person is there in a shift, with the break.
    pub hours: Minutes,
    /// Unpaid break within these hours.
    pub pause: Minutes,
    /// Days of the week on which they come.
    pub days: Weekdays,
    /// The (first) shift that they work, as a position in `Calendar::shifts`.
    pub shift: usize,
    /// Further shifts, each with its own people.
    pub further_shifts: Vec<FurtherShift>,
    /// Dates on which nobody of the crew comes.
    pub off: Vec<DateRange>,
    /// Dates on which fewer come.
    pub absent: Vec<Absence>,
    /// Overtime, if any.
    pub overtime: Option<OvertimeLimit>,
}

impl Crew {
    /// Whether the crew has a role.
    #[must_use]
    pub fn has(&self, role: Role) -> bool {
        self.roles.contains(&role)
    }

    /// Working hours of each person in a shift: without the break.
    #[must_use]
    pub fn working_hours(&self) -> Minutes {
        (self.hours - self.pause).max(Minutes::ZERO)
    }

    /// Positions in `Calendar::shifts` of the shifts that the crew works, the first one first.
    pub fn shifts(&self) -> impl Iterator<Item = usize> + use<'_> {
        std::iter::once(self.shift).chain(self.further_shifts.iter().map(|further| further.shift))
    }

    /// Heads that belong to a shift, whoever is absent.
    #[must_use]
    pub fn people_of_shift(&self, shift: usize) -> i64 {
        let first = if self.shift == shift { self.people } else { 0 };
        let further = self.further_shifts.iter().filter(|further| further.shift == shift);
        first + further.map(|further| further.people).sum::<i64>()
    }

    /// Heads that come for a shift of a date, on which the brewery is open.
    #[must_use]
    pub fn people_on(&self, date: Date, shift: usize) -> i64 {
        if !self.days.has(date) || self.off.iter().any(|days| days.has(date)) {
            return 0;
        }
        let away = self.absent.iter().filter(|absence| absence.shift == shift && absence.on.has(date));
        (self.people_of_shift(shift) - away.map(|absence| absence.people).sum::<i64>()).max(0)
    }
}
