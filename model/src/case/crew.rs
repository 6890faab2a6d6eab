//! Crews: who is there, when, and for what.

use crate::calendar::{Role, Weekdays};
use crate::units::{Minutes, Money};

/// Overtime that a crew may work: the whole crew stays together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OvertimeLimit {
    /// At most so long after each shift.
    pub at_most: Minutes,
    /// Paid per person and hour.
    pub cost: Money,
}

/// One crew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crew {
    /// Its name.
    pub name: String,
    /// Heads.
    pub people: i64,
    /// What they can do.
    pub roles: Vec<Role>,
    /// Working hours of each person in a shift.
    pub hours: Minutes,
    /// Days of the week on which they come.
    pub days: Weekdays,
    /// The shift that they work, as a position in `Calendar::shifts`.
    pub shift: usize,
    /// Overtime, if any.
    pub overtime: Option<OvertimeLimit>,
}

impl Crew {
    /// Whether the crew has a role.
    #[must_use]
    pub fn has(&self, role: Role) -> bool {
        self.roles.contains(&role)
    }
}
