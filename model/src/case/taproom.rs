//! The taproom: which beers are poured behind the bar, how much of them a day, and what that earns.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::ids::BeerId;
use crate::units::{Minutes, Money, Volume};

/// A beer on tap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tap {
    /// The beer.
    pub beer: BeerId,
    /// What guests ask for on each day of the week, Monday first; nothing on days without it.
    pub a_day: [Volume; 7],
    /// Earned per hectolitre poured.
    pub contribution: Money,
    /// Days after a serving tank was filled in which it may be poured.
    pub pour_within: i64,
}

/// The taproom; without beers on tap there is none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taproom {
    /// Minutes after midnight at which it opens: a tank whose rest is over by then pours on that day.
    pub opens: Minutes,
    /// Dates on which it is closed.
    pub closed: BTreeSet<Date>,
    /// Beers on tap, each once.
    pub pours: Vec<Tap>,
}

impl Taproom {
    /// The tap of a beer, if it has one.
    #[must_use]
    pub fn tap(&self, beer: BeerId) -> Option<&Tap> {
        self.pours.iter().find(|tap| tap.beer == beer)
    }

    /// What guests ask of a beer on a date.
    #[must_use]
    pub fn asked(&self, beer: BeerId, date: Date) -> Volume {
        if self.closed.contains(&date) {
            return Volume::ZERO;
        }
        let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or_default();
        self.tap(beer).and_then(|tap| tap.a_day.get(weekday).copied()).unwrap_or_default()
    }
}
