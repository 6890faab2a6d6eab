//! One unit more of a resource, as data: what it is, which ones make sense in a case, and the case with them.

mod apply;
mod list;
mod longer;

pub use apply::with;
pub use list::levers;
pub use longer::{longer, usual_overtime};

use crate::case::{Case, Cost, Priced, Vessel};
use crate::ids::{BeerId, CrewId, LineId, VesselId};
use crate::units::Money;

/// One unit more of something. Indices belong to the case that it is listed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lever {
    /// One more vessel like this one, empty and clean on day 0.
    Vessel {
        /// The first vessel of its kind.
        like: VesselId,
    },
    /// A first bright tank, of the size and make of this fermenter.
    FirstBright {
        /// The fermenter.
        like: VesselId,
    },
    /// One more person in a shift of a crew.
    Person {
        /// The crew.
        crew: CrewId,
        /// The shift, as a position in `Calendar::shifts`.
        shift: usize,
    },
    /// The people of a crew are there an hour longer in each of their shifts. A line runs while its crew is there, so for packers
    /// this is the line hour.
    Hour {
        /// The crew.
        crew: CrewId,
    },
    /// One more turn a day, with the brewhouse hours for it.
    Turn,
    /// One more cleaning set, which reaches everything.
    CleaningSet,
    /// A second shift of a crew, with as many people as the first.
    SecondShift {
        /// The crew.
        crew: CrewId,
    },
    /// A beer is ready a day earlier, and free of waiting costs up to the same day as before.
    Stay {
        /// The beer.
        beer: BeerId,
    },
    /// A beer may wait a day longer, and its hard end is a day later.
    Wait {
        /// The beer.
        beer: BeerId,
    },
    /// A rating and relief setting of vessels of one kind that holds all their beers and feeds all their lines.
    Rating {
        /// The first vessel of its kind.
        like: VesselId,
    },
    /// A pump before a line, for beers that accept it.
    Pump {
        /// The line.
        line: LineId,
    },
}

impl Lever {
    /// Whether more of it can never hurt: every plan without it is a plan with it, at no higher cost.
    ///
    /// - A vessel, a cleaning set, a pump, a higher rating or a turn more need not be used, and cost nothing unused.
    /// - An hour more leaves all that was done within the shorter hours, overtime included.
    /// - Beer that is ready a day earlier, or may wait a day longer, may do on every day what it did before, and waits no day that costs more.
    /// - A person more stands idle at no cost, unless the crew works overtime: that is paid for all who are there.
    /// - A second shift is not: what comes at most one shift before or after something else is counted in shifts that work.
    /// - Nor is an earlier ready day of beer with tank work or conditioning, whose days hang on it.
    #[must_use]
    pub fn never_hurts(self, case: &Case) -> bool {
        match self {
            Self::Vessel { .. }
            | Self::FirstBright { .. }
            | Self::Turn
            | Self::CleaningSet
            | Self::Hour { .. }
            | Self::Wait { .. }
            | Self::Rating { .. }
            | Self::Pump { .. } => true,
            Self::Person { crew, .. } => {
                case.crew(crew).overtime.is_none_or(|overtime| overtime.cost == Money::ZERO)
            }
            Self::SecondShift { .. } => false,
            Self::Stay { beer } => {
                let beer = case.beer(beer);
                beer.conditions.is_none() && beer.tank_work.is_empty()
            }
        }
    }

    /// Whether a plan with it means the same by the same numbers of shifts and vessels without it.
    #[must_use]
    pub fn keeps_numbers(self) -> bool {
        match self {
            Self::SecondShift { .. } => false,
            Self::Vessel { .. }
            | Self::FirstBright { .. }
            | Self::Person { .. }
            | Self::Hour { .. }
            | Self::Turn
            | Self::CleaningSet
            | Self::Stay { .. }
            | Self::Wait { .. }
            | Self::Rating { .. }
            | Self::Pump { .. } => true,
        }
    }

    /// Whether it adds a vessel.
    #[must_use]
    pub fn adds_vessel(self) -> bool {
        matches!(self, Self::Vessel { .. } | Self::FirstBright { .. })
    }

    /// What it costs, once and a week, as far as that is known: what the brew plan says, or for a vessel the price of its kind in the cellar.
    #[must_use]
    pub fn price(self, case: &Case) -> Cost {
        let is_same = |one: VesselId, other: VesselId| alike(case, one).any(|id| id == other);
        let is_it = |of: Priced| match (of, self) {
            (Priced::Vessel(of), Self::Vessel { like }) | (Priced::Rating(of), Self::Rating { like }) => {
                is_same(like, of)
            }
            (Priced::FirstBright, Self::FirstBright { .. })
            | (Priced::Turn, Self::Turn)
            | (Priced::CleaningSet, Self::CleaningSet) => true,
            (Priced::Person(of), Self::Person { crew, .. })
            | (Priced::Hour(of), Self::Hour { crew })
            | (Priced::SecondShift(of), Self::SecondShift { crew }) => of == crew,
            (Priced::Pump(of), Self::Pump { line }) => of == line,
            (Priced::Stay(of), Self::Stay { beer }) | (Priced::Wait(of), Self::Wait { beer }) => of == beer,
            _ => false,
        };
        if let Some(price) = case.prices.iter().find(|price| is_it(price.of)) {
            return price.cost;
        }
        match self {
            Self::Vessel { like } => {
                Cost { once: alike(case, like).find_map(|id| case.vessel(id).price), a_week: None }
            }
            Self::FirstBright { .. }
            | Self::Person { .. }
            | Self::Hour { .. }
            | Self::Turn
            | Self::CleaningSet
            | Self::SecondShift { .. }
            | Self::Stay { .. }
            | Self::Wait { .. }
            | Self::Rating { .. }
            | Self::Pump { .. } => Cost::default(),
        }
    }
}

/// The vessels of one kind: they differ in nothing but name and price, and reach and are reached by the same.
pub fn alike(case: &Case, like: VesselId) -> impl Iterator<Item = VesselId> + '_ {
    case.vessel_ids()
        .filter(move |&id| is_alike(case.vessel(like), case.vessel(id)) && case.is_connected_alike(like, id))
}

fn is_alike(one: &Vessel, other: &Vessel) -> bool {
    let plain = |vessel: &Vessel| Vessel { name: String::new(), price: None, ..vessel.clone() };
    plain(one) == plain(other)
}

/// The part of a beer's stay that is shortened: the longest, the first of several.
#[must_use]
pub fn longest_stage(case: &Case, beer: BeerId) -> Option<usize> {
    let stay = &case.beer(beer).stay;
    let longest = stay.iter().map(|stage| stage.days).max()?;
    stay.iter().position(|stage| stage.days == longest)
}

#[cfg(test)]
mod tests;
