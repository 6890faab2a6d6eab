//! What a choice of vessels is to be made from: demand, candidates with what they cost, limits of money and floor.

use crate::case::{Case, FurtherShift, Vessel};
use crate::ids::{BeerId, CrewId, FormatId, LineId};
use crate::units::{Area, Money, Rate, Share, Volume};

/// Weeks of a year, as the running money counts them.
pub const WEEKS_A_YEAR: i64 = 52;
/// Ways to choose people, shifts and lines at most: each is a program of its own.
pub const MOST_WAYS: i64 = 32;

/// A choice that is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Paid for each hectolitre of cooled wort: what losses cost.
    pub wort: Money,
    /// A year's interest on what is bought; nothing where the file is silent.
    pub interest: Share,
    /// Limits of what is bought.
    pub limits: Limits,
    /// What is asked for: a year is made of these, each as a week that repeats. At least one.
    pub seasons: Vec<Season>,
    /// Vessels that can be bought.
    pub vessels: Vec<Offer>,
    /// People, shifts and lines that can be had.
    pub further: Vec<Further>,
}

/// Limits of what is bought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Limits {
    /// All prices together.
    pub price: Option<Money>,
    /// Floor of all that is bought.
    pub floor: Option<Area>,
}

/// Some weeks of a year in which the same is asked for each week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Season {
    /// Its name.
    pub name: String,
    /// Weeks of it in a year.
    pub weeks: i64,
    /// What is asked for, each beer and format once.
    pub demand: Vec<Asked>,
}

/// What is asked of a beer in a format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// Packaged volume in a week.
    pub a_week: Volume,
}

/// What a thing costs whoever buys it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Purchase {
    /// Paid once.
    pub price: Money,
    /// Years that it lasts, at least one.
    pub life: i64,
    /// Paid every year besides.
    pub yearly: Money,
    /// Floor that it takes.
    pub floor: Area,
}

/// Vessels that are alike and can be bought, as many as are named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The vessels, each with its name; at least one.
    pub vessels: Vec<Vessel>,
    /// What one of them costs.
    pub purchase: Purchase,
}

/// Something else that can be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Further {
    /// Its name.
    pub name: String,
    /// What it changes.
    pub change: Change,
    /// How often it can be had at most.
    pub at_most: i64,
    /// What it costs each time.
    pub purchase: Purchase,
}

/// What changes in the brewery.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// More people in the (first) shift of a crew.
    People {
        /// The crew.
        crew: CrewId,
        /// Heads.
        people: i64,
    },
    /// So many people of a crew work a further shift.
    Shift {
        /// The crew.
        crew: CrewId,
        /// The shift, as a position in `Calendar::shifts`.
        shift: usize,
        /// Heads.
        people: i64,
    },
    /// A line in place of one that is there.
    Line {
        /// The line.
        line: LineId,
        /// Its nominal speed.
        speed: Rate,
        /// People present together while it runs.
        people: i64,
    },
}

impl Case {
    /// The same with every vessel that can be bought, after those that are there.
    #[must_use]
    pub fn with_offers(&self) -> Self {
        let mut case = self.clone();
        for offer in self.layout.iter().flat_map(|layout| &layout.vessels) {
            case.vessels.extend(offer.vessels.iter().cloned());
        }
        case
    }

    /// The same with so many more people, shifts and lines.
    #[must_use]
    pub fn with_change(&self, change: Change, times: i64) -> Self {
        let mut case = self.clone();
        if times == 0 {
            return case;
        }
        match change {
            Change::People { crew, people } => case.crews[crew.0].people += people * times,
            Change::Shift { crew, shift, people } => {
                case.crews[crew.0].further_shifts.push(FurtherShift { shift, people });
            }
            Change::Line { line, speed, people } => {
                (case.lines[line.0].speed, case.lines[line.0].people) = (speed, people);
            }
        }
        case
    }
}
