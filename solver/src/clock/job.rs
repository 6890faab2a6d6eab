//! A shift as jobs: what each needs, when, and which must wait for which. All times are minutes from the shift's start.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Reach;
use cellarwright_model::ids::VesselId;

/// Something that does one thing at a time (cleaning sets: as many as there are).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Machine {
    /// The brewhouse.
    Brewhouse,
    /// The keg washer.
    KegWasher,
    /// A filter, by its position in `Case::filters`.
    Filter(usize),
    /// The cleaning sets.
    CleaningSets,
    /// A vessel.
    Vessel(VesselId),
}

/// A machine needed for a while, in minutes from the beginning of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Hold {
    pub machine: Machine,
    /// Of the cleaning sets: those that can do it, as bits.
    pub reach: Reach,
    pub from: i64,
    pub to: i64,
}

/// People needed for a while, in minutes from the beginning of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Hands {
    pub role: Role,
    pub people: i64,
    /// Those who only check may do it.
    pub alone: bool,
    pub from: i64,
    pub to: i64,
}

/// A piece of work without a gap.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Job {
    pub holds: Vec<Hold>,
    pub hands: Vec<Hands>,
    /// Jobs that must come first: their position, and the least time from their beginning to that of this one.
    pub after: Vec<(usize, i64)>,
    /// Earliest beginning.
    pub earliest: i64,
    /// Latest beginning.
    pub latest: i64,
}

/// A crew in a shift.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CrewThere {
    pub roles: Vec<Role>,
    pub check_only: bool,
    pub people: i64,
    /// They leave by then.
    pub until: i64,
    /// Those who brew leave by then (they may have come later).
    pub brewers_until: i64,
    /// Person-minutes of all of them.
    pub minutes: i64,
}

/// A shift to be put in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shift {
    pub jobs: Vec<Job>,
    pub crews: Vec<CrewThere>,
    pub cleaning_sets: i64,
    /// The sets have names, and each reaches what it lists.
    pub has_named_sets: bool,
}

impl Job {
    /// Adds the people of one piece of work that begins at `from` and lasts `takes`: as many as its person-time needs to be
    /// worked within its clock time, from its beginning.
    pub fn add_hands(&mut self, crew: cellarwright_model::case::RoleTimes, from: i64, takes: i64) {
        for role in Role::ALL {
            let time = crew.of(role).0;
            if time <= 0 {
                continue;
            }
            let people = if takes > 0 { (time + takes - 1).div_euclid(takes) } else { 1 };
            let each = (time + people - 1).div_euclid(people);
            self.hands.push(Hands { role, people, alone: false, from, to: from + each });
        }
    }

    /// Notes whether its cellar work may be done by those who only check.
    pub fn may_be_done_alone(&mut self, alone: bool) {
        for hands in self.hands.iter_mut().filter(|hands| hands.role == Role::Cellar) {
            hands.alone = alone;
        }
    }

    /// Adds a machine.
    pub fn add_hold(&mut self, machine: Machine, from: i64, to: i64) {
        if to > from {
            self.holds.push(Hold { machine, reach: Reach::ALL, from, to });
        }
    }

    /// Adds a clean on one of the sets that reach it.
    pub fn add_clean(&mut self, reach: Reach, from: i64, to: i64) {
        if to > from {
            self.holds.push(Hold { machine: Machine::CleaningSets, reach, from, to });
        }
    }
}
