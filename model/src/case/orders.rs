//! What is asked for.

use crate::ids::{BeerId, FormatId};
use crate::units::{Share, Volume};

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
