//! What is there on day 0.

use crate::ids::{BeerId, FormatId, VesselId};
use crate::units::Volume;

/// Packaged beer on day 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// How much.
    pub quantity: Volume,
    /// The first day on which it can be delivered: day 0 or before where it is there at once.
    pub from: i64,
    /// Day of its packaging; before day 0, so negative.
    pub packaged_on: i64,
}

/// Beer in a vessel on day 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InTank {
    /// The vessel.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// A fermenter: wort filled in, before any loss. A conditioning or bright tank: beer in it now.
    pub filled: Volume,
    /// Day of its last turn, or of its transfer into the bright tank; before day 0, so negative.
    pub on: i64,
    /// Day on which it is ready; from the stay, or the brewer's own date.
    pub ready: i64,
    /// Carbonated already, so that it can be packaged from the first shift on; always so in a bright tank.
    pub carbonated: bool,
    /// Beer that was transferred in, to be packaged from here (a bright tank, or a fermenter used as one).
    pub is_bright: bool,
    /// Days on which the first pieces of its beer's tank work were done, in order, counted from day 0; the rest is still to do.
    pub work_done: Vec<i64>,
}
