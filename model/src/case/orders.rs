//! What is asked for.

use crate::ids::{BeerId, FormatId};
use crate::units::{Money, Share, Volume};

/// How late an order may be delivered, and what that costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Late {
    /// Days after the due day, at most.
    pub at_most: i64,
    /// Cost per hectolitre and day after the due day.
    pub cost: Money,
}

/// One order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// How to call it: its own name, or its place in the file.
    pub name: String,
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// Packaged volume.
    pub quantity: Volume,
    /// Day on which it is delivered, counted from day 0.
    pub due: i64,
    /// Missing it costs a charge besides the contribution.
    pub firm: bool,
    /// How likely it is to come; what does not come is worth surplus. Firm orders are certain.
    pub likely: Share,
    /// Delivered on one day in full, or not at all.
    pub whole: bool,
    /// May be delivered after its due day.
    pub late: Option<Late>,
    /// Days from packaging to delivery at most, where the order has a limit of its own.
    pub fresh: Option<i64>,
}

impl Order {
    /// The last day on which it may be delivered, whether deliveries go out on it or not.
    #[must_use]
    pub fn last_day(&self) -> i64 {
        self.due + self.late.map_or(0, |late| late.at_most)
    }
}

/// A share of the packaged volume in a mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MixShare {
    /// The beer.
    pub beer: BeerId,
    /// The format, or any.
    pub format: Option<FormatId>,
    /// Its share of all packaged volume.
    pub share: Share,
}

/// Shares of the packaged volume that an output plan must keep, within a tolerance.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mix {
    /// The shares; beers not named are free.
    pub shares: Vec<MixShare>,
    /// Each share may be off by so much of all packaged volume.
    pub tolerance: Share,
}

/// What is aimed at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Aim {
    /// The best contribution from orders and surplus, less costs.
    Orders,
    /// The most packaged volume, in a mix where one is stated.
    Output(Option<Mix>),
}
