//! What happens to a vessel, in order: the facts that rules judge.

use cellarwright_model::calendar::Slot;
use cellarwright_model::units::Volume;

/// How a vessel is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FilledBy {
    /// With wort.
    Brew,
    /// With beer from a fermenter.
    Transfer,
}

/// How a vessel became empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EmptiedBy {
    /// The last of it was transferred.
    Transfer,
    /// The last of it was packaged.
    Packaging,
    /// The last of it was poured in the taproom.
    Pouring,
    /// It was poured away.
    Dump,
}

/// What is done to a vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// Beer or wort begins to be held: position in `Ledger::holdings`.
    Filled(FilledBy, usize),
    /// A further turn of the batch that it holds, or the second batch of a blend.
    Added(usize),
    /// A fill although it holds something that does not take it.
    FilledOver(FilledBy, usize),
    /// The last of what it held is gone.
    Emptied(EmptiedBy, usize),
    /// Opened by upkeep while it was empty.
    Opened,
    /// Cleaned by a task of its own while empty.
    Cleaned,
    /// Cleaned although it holds beer of which nothing has left.
    CleanedOver(usize),
    /// Beer that had begun to leave is gone without a trace when the vessel is cleaned.
    Vanished(usize, Volume),
    /// Sanitised; whether it held beer.
    Sanitised(bool),
    /// Carbonated by a task of its own.
    Carbonated(usize),
    /// More is taken out than is there: the volume there.
    TakenTooMuch(usize, Volume),
    /// Something is to be done with beer, and there is none; whether there has been any since day 0.
    Nothing {
        /// There was beer in it earlier in the plan or on day 0.
        had: bool,
        /// How much was to be taken.
        wanted: Volume,
    },
}

/// An event with its time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry {
    /// When.
    pub slot: Slot,
    /// What.
    pub event: Event,
}
