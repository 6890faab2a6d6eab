//! Work that the brewer has pinned.

use crate::calendar::{Calendar, Slot};
use crate::ids::{BeerId, FormatId, LineId, VesselId};
use crate::units::Volume;

/// What is pinned; keys that are none are free.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PinnedWork {
    /// A batch is begun.
    Brew {
        /// The beer.
        beer: BeerId,
        /// Into this fermenter.
        vessel: Option<VesselId>,
        /// Of so many whole turns in all.
        turns: Option<i64>,
        /// Of one part turn of so much wort (then without `turns`).
        part: Option<Volume>,
    },
    /// Beer is moved into a bright or conditioning tank.
    Transfer {
        /// The beer.
        beer: BeerId,
        /// Out of this vessel.
        from: Option<VesselId>,
        /// Into this vessel.
        to: Option<VesselId>,
        /// So much leaves, no more and no less.
        volume: Option<Volume>,
    },
    /// A piece of tank work is done.
    Tank {
        /// The beer.
        beer: BeerId,
        /// Its position in `Beer::tank_work`.
        work: usize,
        /// To the batch in this vessel.
        vessel: Option<VesselId>,
    },
    /// Yeast is cropped.
    Crop {
        /// From the batch in this vessel.
        vessel: VesselId,
    },
    /// A vessel is cleaned by a task of its own.
    Clean {
        /// The vessel.
        vessel: VesselId,
    },
    /// What is in a vessel is poured away.
    Dump {
        /// The vessel.
        vessel: VesselId,
    },
    /// Beer is packaged.
    Package {
        /// The beer.
        beer: BeerId,
        /// In this format.
        format: Option<FormatId>,
        /// On this line.
        line: Option<LineId>,
        /// Out of this vessel (then neither format, line nor volume).
        from: Option<VesselId>,
        /// Packaged volume, no more and no less; at least `LEAST_PACKAGED` where it is left out.
        volume: Option<Volume>,
    },
}

/// What a packaging pin without a volume asks for at least.
pub const LEAST_PACKAGED: Volume = Volume::HECTOLITRE;

/// A packaged volume that is pinned may be off by so much: volumes are whole millilitres, and every run is rounded.
pub const PINNED_TOLERANCE: Volume = Volume(1_000);

/// Work that is pinned in the planned days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pin {
    /// What.
    pub work: PinnedWork,
    /// On this day, counted from day 0.
    pub day: Option<usize>,
    /// In this shift, as a position in `Calendar::shifts`.
    pub shift: Option<usize>,
}

impl Pin {
    /// Whether a slot has the day and the shift of the pin.
    #[must_use]
    pub fn is_in(&self, calendar: &Calendar, slot: Slot) -> bool {
        self.day.is_none_or(|day| day == calendar.day(slot))
            && self.shift.is_none_or(|shift| shift == calendar.shift(slot))
    }

    /// The vessels that it names.
    #[must_use]
    pub fn vessels(&self) -> Vec<VesselId> {
        match self.work {
            PinnedWork::Brew { vessel, .. } => vessel.into_iter().collect(),
            PinnedWork::Transfer { from, to, .. } => from.into_iter().chain(to).collect(),
            PinnedWork::Clean { vessel } | PinnedWork::Dump { vessel } | PinnedWork::Crop { vessel } => {
                vec![vessel]
            }
            PinnedWork::Tank { vessel, .. } => vessel.into_iter().collect(),
            PinnedWork::Package { from, .. } => from.into_iter().collect(),
        }
    }
}
