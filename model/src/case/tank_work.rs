//! Work on a batch while it is in its fermenter: dry hopping, cropping, fining, rests, chilling.

use crate::case::Job;
use crate::units::{Heat, TemperatureDrop};

/// What a piece of tank work is, where that matters to something else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TankWorkKind {
    /// Hops into the tank.
    DryHop,
    /// Yeast taken out to be pitched again.
    Crop,
    /// Yeast, trub or hops let out and thrown away.
    Dump,
    /// Finings into the tank.
    Fining,
    /// A change of temperature, to hold the beer there.
    Rest,
    /// A sample taken and measured.
    GravityCheck,
    /// The beer begins to be cooled down: it loads the cooling plant and ends the contact time of what went in before.
    Chill,
    /// Anything else.
    #[default]
    Other,
}

impl TankWorkKind {
    /// All kinds that have a word.
    pub const NAMED: [Self; 7] =
        [Self::DryHop, Self::Crop, Self::Dump, Self::Fining, Self::Rest, Self::GravityCheck, Self::Chill];

    /// The word used in the input files; empty for anything else.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::DryHop => "dry hop",
            Self::Crop => "crop",
            Self::Dump => "dump",
            Self::Fining => "fining",
            Self::Rest => "rest",
            Self::GravityCheck => "gravity check",
            Self::Chill => "chill",
            Self::Other => "",
        }
    }
}

/// A piece of tank work that every batch of a beer needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TankWork {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: TankWorkKind,
    /// Days after the last turn on which it is due.
    pub day: i64,
    /// Days that it may be done early.
    pub early: i64,
    /// Days that it may be done late.
    pub slip: i64,
    /// Whether what follows, the ready day included, is late by as much.
    pub moves: bool,
    /// Clock time (within one shift) and person-time.
    pub job: Job,
    /// One person may do it with nobody else in the cellar.
    pub alone: bool,
    /// Days from its day to the day on which the next chill is done, or the beer leaves where there is none: at least so many.
    pub contact: i64,
    /// Degrees that the beer is cooled by on that day; nothing but of a chill.
    pub cools_by: TemperatureDrop,
}

/// Limits of the cooling plant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cooling {
    /// Chills that may be begun on one day, over all vessels.
    pub chills_a_day: Option<i64>,
    /// Heat that it takes out on one day, over all vessels.
    pub heat_a_day: Option<Heat>,
}
