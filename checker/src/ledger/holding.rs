//! Beer in a vessel, from its fill until it is empty: a batch in a fermenter or a lot in a bright tank.

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, LineId, VesselId};
use cellarwright_model::units::Volume;

use super::WorkDone;

/// What kind of beer a vessel holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Wort was filled in and ferments here, or was moved here while it does.
    Batch,
    /// Beer was transferred in.
    Lot,
}

/// Whether a batch is carbonated in its fermenter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carbonated {
    /// Not yet.
    No,
    /// It was on day 0.
    Before,
    /// In this slot.
    In(Slot),
}

/// The way on which beer leaves a vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Into another vessel, where this much arrives.
    Transfer {
        /// The vessel.
        to: VesselId,
        /// What arrives.
        arrived: Volume,
    },
    /// Into a conditioning tank, where this much arrives.
    Condition {
        /// The vessel.
        to: VesselId,
        /// What arrives.
        arrived: Volume,
    },
    /// Carbonated beer into a tank that is only poured from, where this much arrives.
    Serve {
        /// The vessel.
        to: VesselId,
        /// What arrives.
        arrived: Volume,
    },
    /// To a line.
    Line(LineId),
    /// Poured in the taproom.
    Pour,
    /// Poured away.
    Dump,
}

/// Beer that leaves a vessel in a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Out {
    /// When.
    pub slot: Slot,
    /// How.
    pub way: Way,
    /// How much leaves.
    pub volume: Volume,
}

/// Beer in a vessel from its fill until it is empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holding {
    /// The vessel.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// Batch or lot.
    pub kind: Kind,
    /// It was there on day 0 (in this vessel, or in the one that it was moved from).
    pub opening: bool,
    /// A batch that was moved here from its fermenter for the rest of its stay.
    pub moved: bool,
    /// The batch as it was in its fermenter before it was moved here: a position in `Ledger::holdings`.
    pub came_from: Option<usize>,
    /// Slot of the first turn or of the transfer; none for what was there on day 0.
    pub from: Option<Slot>,
    /// Turns of a new batch.
    pub turns: i64,
    /// Wort of each of the part turns among them (as the tasks name them).
    pub part_turns: Vec<Volume>,
    /// Vessels that a lot was transferred from.
    pub parts: Vec<VesselId>,
    /// Day of the last turn, or of the transfer.
    pub on: i64,
    /// Day on which it is ready.
    pub ready: i64,
    /// Days of the stay by its own dates.
    pub stay: i64,
    /// Wort filled in, or beer that arrived.
    pub filled: Volume,
    /// Beer to be taken out: after the tank loss in a fermenter, what arrived in a bright tank.
    pub volume: Volume,
    /// What is still there.
    pub left: Volume,
    /// Whether it is carbonated (a lot always is, or will be by the time of its packaging).
    pub carbonated: Carbonated,
    /// Slot in which some of it was moved after it had been carbonated here by the plan.
    pub moved_carbonated: Option<Slot>,
    /// The loss of the direct route is taken off `left`.
    pub direct_loss_taken: bool,
    /// What was taken off.
    pub direct_loss: Volume,
    /// Generation of its yeast, if it is known and, of beer of day 0, not cropped.
    pub generation: Option<i64>,
    /// Its tank work.
    pub work: WorkDone,
    /// What left it, in order.
    pub outs: Vec<Out>,
    /// Slot in which the last of it left.
    pub emptied: Option<Slot>,
}

impl Holding {
    /// Whether some of it has left.
    #[must_use]
    pub fn has_begun(&self) -> bool {
        !self.outs.is_empty()
    }

    /// Slot in which the first of it left.
    #[must_use]
    pub fn first_out(&self) -> Option<Slot> {
        self.outs.first().map(|out| out.slot)
    }

    /// Transfers into a conditioning tank, in order.
    pub fn moves(&self) -> impl Iterator<Item = &Out> {
        self.outs.iter().filter(|out| matches!(out.way, Way::Condition { .. }))
    }

    /// Transfers out of it into a bright tank, in order.
    pub fn transfers(&self) -> impl Iterator<Item = &Out> {
        self.outs.iter().filter(|out| matches!(out.way, Way::Transfer { .. }))
    }

    /// What is drawn from it when it is carbonated, for lines and for tanks that are only poured from, in order.
    pub fn draws(&self) -> impl Iterator<Item = &Out> {
        self.outs.iter().filter(|out| matches!(out.way, Way::Line(_) | Way::Serve { .. }))
    }

    /// What goes from it into tanks that are only poured from, in order.
    pub fn to_serve(&self) -> impl Iterator<Item = &Out> {
        self.outs.iter().filter(|out| matches!(out.way, Way::Serve { .. }))
    }
}
