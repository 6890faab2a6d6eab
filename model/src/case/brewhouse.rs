//! The brewhouse and the common shape of a piece of work.

use super::Case;
use crate::calendar::Role;
use crate::ids::BeerId;
use crate::units::{Minutes, Rate, Volume};

/// Person-time by role.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RoleTimes(pub [Minutes; 3]);

impl RoleTimes {
    /// Person-time of one role.
    #[must_use]
    pub fn of(self, role: Role) -> Minutes {
        self.0[role as usize]
    }

    /// Person-time of one role alone.
    #[must_use]
    pub fn only(role: Role, time: Minutes) -> Self {
        let mut times = Self::default();
        times.0[role as usize] = time;
        times
    }

    /// Person-time over all roles.
    #[must_use]
    pub fn total(self) -> Minutes {
        self.0.into_iter().sum()
    }
}

/// A piece of work: clock time and person-time are two numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Job {
    /// Clock time.
    pub takes: Minutes,
    /// Person-time by role.
    pub crew: RoleTimes,
}

/// The brewhouse: wort in turns of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Brewhouse {
    /// Cooled wort per turn.
    pub turn: Volume,
    /// Cooled wort of the smallest turn that can be brewed; nothing where the file is silent.
    pub least_turn: Volume,
    /// The first turn of a day.
    pub first_turn: Job,
    /// Every further turn of that day.
    pub next_turn: Job,
    /// The end of a turn, in which the wort runs into its fermenter (at most the whole turn).
    pub knock_out: Minutes,
    /// Turns a day at most.
    pub turns_per_day: i64,
    /// Clock time a day that the brewhouse can be used for (the turns of a day add up to no more).
    pub hours_per_day: Minutes,
    /// A batch of several turns: the shift of the last turn starts at most so long after that of the first.
    pub fill_within: Minutes,
    /// Hot and cold liquor, where it limits the turns of a day; empty where the file is silent.
    pub liquor: Vec<Liquor>,
}

/// Brewing water that is got ready in a tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Liquor {
    /// What the tank holds.
    pub tank: Volume,
    /// What a turn takes from it when it begins.
    pub per_turn: Volume,
    /// What is heated, or cooled, in an hour until the tank is full.
    pub makes: Rate,
}

/// What is particular to a beer in the brewhouse.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Brewing {
    /// Cooled wort of each of its turns; the brewhouse's where the file is silent.
    pub turn: Option<Volume>,
    /// What each of its turns takes longer.
    pub longer: Job,
}

impl Case {
    /// Cooled wort of each turn of a beer.
    #[must_use]
    pub fn turn_of(&self, beer: BeerId) -> Volume {
        self.beer(beer).brewing.turn.unwrap_or(self.brewhouse.turn)
    }

    /// Cooled wort of so many turns of a beer, each a part turn if one is named. Huge numbers stay at the largest there is.
    #[must_use]
    pub fn wort_of(&self, beer: BeerId, turns: i64, part: Option<Volume>) -> Volume {
        Volume(part.unwrap_or(self.turn_of(beer)).0.saturating_mul(turns))
    }
}
