//! A study: many demands and several layouts, each pair of them a work item that any machine can do by itself.
//!
//! `yaml::read_study` reads what is to be studied, `scenarios` makes the demands, `item` and `outcome` are the lines that are written and read back, `lines`
//! reads files of them.

mod item;
mod lines;
mod outcome;
mod scenarios;
#[cfg(test)]
mod tests;

use crate::case::Layout;
use crate::ids::{BeerId, FormatId};
use crate::units::Share;

pub use item::{Common, Item, ItemFile, ItemSeason, ItemVolume, Opened, Unreadable, bought, names};
pub use lines::{CODES, Lines, items, no_item, outcomes, settle, wrong_item};
pub use outcome::{Outcome, Status};
pub use scenarios::{Scenario, scenarios};

/// Draws at most.
pub const MOST_DRAWS: i64 = 10_000;
/// The name of the layout that is chosen anew in each scenario, among all that can be bought.
pub const CHEAPEST: &str = "whatever is cheapest";

/// What is to be studied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Study {
    /// Its title.
    pub name: String,
    /// Demands that are said; each with the factors of the demand of the brew plan.
    pub stated: Vec<Stated>,
    /// Demands that are drawn.
    pub draws: Draws,
    /// Layouts that are tried in each.
    pub layouts: Vec<Listed>,
    /// Whether the cheapest of everything that can be bought is looked for in each scenario too.
    pub cheapest: bool,
}

/// A demand that is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stated {
    /// Its name.
    pub name: String,
    /// Factors; where several fit they multiply.
    pub factors: Vec<Factor>,
}

/// Demands that are drawn.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Draws {
    /// How many.
    pub number: i64,
    /// The seed: the same gives the same draws.
    pub seed: i64,
    /// Factors, each drawn evenly from its range, once for each draw.
    pub factors: Vec<Factor>,
}

/// A factor of what is asked for, of everything that it names; of all where it names nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Factor {
    /// In a season, by position.
    pub season: Option<usize>,
    /// Of a beer.
    pub beer: Option<BeerId>,
    /// In a format.
    pub format: Option<FormatId>,
    /// The smallest that it can be.
    pub least: Share,
    /// The largest that it can be.
    pub most: Share,
}

/// A layout with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its name.
    pub name: String,
    /// What it buys: vessels by offer, then people, shifts and lines by position in `Layout::further`.
    pub vessels: Vec<i64>,
    /// How often each of the further things is had.
    pub further: Vec<i64>,
}

impl Listed {
    /// A layout that buys nothing.
    #[must_use]
    pub fn nothing(name: String, layout: &Layout) -> Self {
        Self { name, vessels: vec![0; layout.vessels.len()], further: vec![0; layout.further.len()] }
    }
}
