//! Packaging lines and the formats that they fill.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::case::Reach;
use crate::ids::{BeerId, FormatId, LineId};
use crate::units::{Minutes, Money, Pressure, Rate, Share, Volume, mul_div};

/// A beer that never runs on a line after another beer within one shift (the line is cleaned down after the shift).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NeverAfter {
    /// The beer that may not follow.
    pub beer: BeerId,
    /// The beer before it.
    pub after: BeerId,
}

/// A change from one beer to another that takes its own time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChangePair {
    /// The beer before.
    pub from: BeerId,
    /// The beer that comes next.
    pub to: BeerId,
    /// Clock time between them.
    pub takes: Minutes,
}

/// A change from one format to another that takes its own time, or is never made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FormatPair {
    /// The format before.
    pub from: FormatId,
    /// The format that comes next.
    pub to: FormatId,
    /// Clock time between them; none where the second never comes directly after the first within one shift.
    pub takes: Option<Minutes>,
}

/// On which days a line is in the house.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Comes {
    /// It stands there.
    #[default]
    Always,
    /// On these dates: a mobile line.
    On(BTreeSet<Date>),
    /// Every so many days from a date on: a mobile line.
    Every {
        /// Its first date.
        from: Date,
        /// Days from one visit to the next, at least one.
        days: i64,
    },
}

impl Comes {
    /// Whether the line is there on a date.
    #[must_use]
    pub fn is_there(&self, date: Date) -> bool {
        match self {
            Self::Always => true,
            Self::On(dates) => dates.contains(&date),
            Self::Every { from, days } => {
                let since = date.duration_since(*from).as_hours() / 24;
                since >= 0 && since % (*days).max(1) == 0
            }
        }
    }
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
    /// The cleaning sets that can clean it down.
    pub reach: Reach,
    /// For every beer after the first in a shift, where no pair says otherwise.
    pub change_beer: Minutes,
    /// Changes between two beers that take another time, each ordered pair at most once.
    pub change_pairs: Vec<ChangePair>,
    /// For every format after the first of one beer in a shift, where no pair says otherwise.
    pub change_format: Minutes,
    /// Changes between two formats that take another time or are never made, each ordered pair at most once.
    pub format_pairs: Vec<FormatPair>,
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
    /// Days on which it is in the house.
    pub comes: Comes,
    /// Paid for each day on which it runs (a visit of a mobile line).
    pub visit: Money,
    /// Smallest volume drawn on a day on which it runs.
    pub least_visit: Volume,
}

impl Line {
    /// Clock time of the change from one beer to the next.
    #[must_use]
    pub fn change(&self, from: BeerId, to: BeerId) -> Minutes {
        let pair = self.change_pairs.iter().find(|pair| (pair.from, pair.to) == (from, to));
        pair.map_or(self.change_beer, |pair| pair.takes)
    }

    /// What an ordered pair of formats says, where one names them.
    #[must_use]
    pub fn format_pair(&self, from: FormatId, to: FormatId) -> Option<FormatPair> {
        self.format_pairs.iter().find(|pair| (pair.from, pair.to) == (from, to)).copied()
    }

    /// The shortest change between any two beers, for the look-ahead, which knows no order.
    #[must_use]
    pub fn shortest_change(&self) -> Minutes {
        self.change_pairs.iter().map(|pair| pair.takes).fold(self.change_beer, Minutes::min)
    }

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
    /// Given away in each package beyond its contents, as a share of them; it is neither sold nor lost.
    pub overfill: Share,
    /// Packages on a pallet, where the cold store counts pallets.
    pub pallet: Option<i64>,
    /// Lost of the beer that reaches the line (low fills, rejects), after the line's loss per beer.
    pub loss: Share,
}

impl Format {
    /// What is sold of so much beer that reaches the format: its loss taken off, and what packages hold beyond their contents;
    /// rounded down to the millilitre.
    #[must_use]
    pub fn yields(&self, volume: Volume) -> Volume {
        let filled = self.loss.taken_off(volume);
        Volume(mul_div(filled.0, Share::WHOLE.0, Share::WHOLE.0 + self.overfill.0))
    }

    /// The same as a plain number: sold of each part that reaches the format.
    #[must_use]
    pub fn kept(&self) -> f64 {
        (1.0 - self.loss.as_fraction()) / (1.0 + self.overfill.as_fraction())
    }
}
