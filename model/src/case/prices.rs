//! What one unit more of something costs.

use crate::ids::{BeerId, CrewId, LineId, VesselId};
use crate::units::Money;

/// What has a price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Priced {
    /// One more vessel like this one.
    Vessel(VesselId),
    /// A first bright tank.
    FirstBright,
    /// One more person of a crew, in any of its shifts.
    Person(CrewId),
    /// An hour more in each shift of a crew.
    Hour(CrewId),
    /// A second shift of a crew.
    SecondShift(CrewId),
    /// One more turn a day.
    Turn,
    /// One more cleaning set.
    CleaningSet,
    /// A pump before a line.
    Pump(LineId),
    /// A higher rating of the vessels like this one.
    Rating(VesselId),
    /// A beer that is ready a day earlier.
    Stay(BeerId),
    /// A beer that may wait a day longer.
    Wait(BeerId),
}

/// A price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Price {
    /// What it is of.
    pub of: Priced,
    /// How much it is.
    pub cost: Cost,
}

/// What is paid for something.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Paid once, if anything is.
    pub once: Option<Money>,
    /// Paid every week besides what is paid for work, if anything is.
    pub a_week: Option<Money>,
}
