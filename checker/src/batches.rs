//! The batches that a plan ferments, for those who ask when each is ready and when it is needed.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Plan;

use crate::ledger::{Kind, Ledger};

/// A batch in its fermenter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Batch {
    /// The fermenter.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// It was in tank on day 0.
    pub opening: bool,
    /// Day of its last turn, counted from day 0.
    pub on: i64,
    /// The day on which it is ready by its stay.
    pub ready: i64,
    /// The slot in which the first of it leaves; none where it stays beyond the planned days.
    pub leaves: Option<Slot>,
}

/// All batches of a plan, by the order in which they were begun; what was moved on counts where it was brewed.
#[must_use]
pub fn batches(case: &Case, plan: &Plan) -> Vec<Batch> {
    let ledger = Ledger::replay(case, plan);
    let batches = ledger.holdings.iter().filter(|holding| holding.kind == Kind::Batch && !holding.moved);
    batches
        .map(|holding| Batch {
            vessel: holding.vessel,
            beer: holding.beer,
            opening: holding.opening,
            on: holding.on,
            ready: holding.ready,
            leaves: holding.outs.iter().map(|out| out.slot).min(),
        })
        .collect()
}
