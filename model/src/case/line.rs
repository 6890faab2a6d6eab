//! Packaging lines and the formats that they fill.

use crate::ids::{BeerId, LineId};
use crate::units::{Minutes, Pressure, Rate, Share, Volume};

/// A beer that never runs on a line after another beer within one shift (the line is cleaned down after the shift).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NeverAfter {
    /// The beer that may not follow.
    pub beer: BeerId,
    /// The beer before it.
    pub after: BeerId,
}

/// One packaging line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its name.
    pub name: String,
    /// Nominal speed.
    pub speed: Rate,
    /// Good output over nominal output while it runs.
    pub efficiency: Share,
    /// People present together while it runs, starts up, changes over and is cleaned down.
    pub people: i64,
    /// Once in each shift that it runs.
    pub start_up: Minutes,
    /// Once in each shift that it runs, on a cleaning set.
    pub clean_down: Minutes,
    /// For every beer after the first in a shift.
    pub change_beer: Minutes,
    /// For every format after the first of one beer in a shift.
    pub change_format: Minutes,
    /// Lost of each beer in each shift that it runs.
    pub loss: Volume,
    /// Smallest run of a beer in a shift; less costs.
    pub least_run: Volume,
    /// Pressure that must push the beer to the line; zero where it does not matter.
    pub feed: Pressure,
    /// A pump may stand in for the pressure, for beers that accept it.
    pub pump: bool,
    /// Hard orders between beers within a shift.
    pub never_after: Vec<NeverAfter>,
}

impl Line {
    /// Speed x efficiency, rounded down to whole millilitres an hour.
    #[must_use]
    pub fn pace(&self) -> Rate {
        Rate(self.efficiency.of(Volume(self.speed.0)).0)
    }
}

/// One package format.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Format {
    /// Its name.
    pub name: String,
    /// The line that fills it.
    pub line: LineId,
    /// Beer in one package (a case, a keg).
    pub contents: Volume,
    /// Lost of the beer that reaches the line (low fills, rejects), after the line's loss per beer.
    pub loss: Share,
}
