//! A rule that a plan breaks, as data. The words are made in the command-line crate.

use crate::calendar::Slot;
use crate::case::Reach;
use crate::ids::{BeerId, CrewId, KegPoolId, LineId, MaterialId, OrderId, VesselId};
use crate::rule::RuleId;
use crate::units::{Heat, Minutes, Pressure, Volume};

/// A value in a violation, with its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Amount {
    /// A volume.
    Volume(Volume),
    /// A clock or person-time.
    Time(Minutes),
    /// A gauge pressure.
    Pressure(Pressure),
    /// Heat.
    Heat(Heat),
    /// Pallets, in millionths.
    Pallets(i64),
    /// A plain number (turns, heads, vessels).
    Number(i64),
    /// A day counted from day 0.
    Day(i64),
    /// A slot.
    Slot(Slot),
    /// A time of day: minutes after the start of a slot's shift.
    Clock(Slot, Minutes),
    /// A few words, such as `dirty` or `a bright tank`.
    Words(&'static str),
}

/// What a violation is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// A vessel.
    Vessel(VesselId),
    /// A line.
    Line(LineId),
    /// A crew.
    Crew(CrewId),
    /// A beer.
    Beer(BeerId),
    /// An order.
    Order(OrderId),
    /// A pin: a position in `Fixed::pins`.
    Pin(usize),
    /// The brewhouse.
    Brewhouse,
    /// The cooling plant.
    CoolingPlant,
    /// A filter: a position in `Case::filters`.
    Filter(usize),
    /// The keg washer.
    KegWasher,
    /// The cleaning sets.
    CleaningSets,
    /// The warm store.
    WarmStore,
    /// Some of the named cleaning sets.
    CleaningSet(Reach),
    /// Kegs of one kind.
    Kegs(KegPoolId),
    /// Cans, labels and the like.
    Material(MaterialId),
    /// The cold store.
    ColdStore,
    /// The look-ahead's totals.
    Outlook,
    /// The plan that is being carried out.
    EarlierPlan,
}

/// One breach of one rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Violation {
    /// The rule.
    pub rule: RuleId,
    /// What it is about.
    pub about: About,
    /// When; none for the plan as a whole.
    pub slot: Option<Slot>,
    /// What is measured, in a few words: `fill`, `leaves`, `line time`.
    pub what: &'static str,
    /// What the plan has.
    pub found: Amount,
    /// What would be allowed.
    pub allowed: Amount,
}
