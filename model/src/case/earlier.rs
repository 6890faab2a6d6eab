//! An earlier plan that people have read: what of it is done stays, and every change of the rest counts.

use super::{Case, Fixed};
use crate::calendar::Slot;
use crate::ids::{BeerId, VesselId};
use crate::plan::{Plan, Work};
use crate::units::Volume;

/// A plan that is being carried out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// The plan, with what has been done before `from_day` as it was done.
    pub plan: Plan,
    /// The first day that is planned again, counted from day 0; what lies before it is done.
    pub from_day: usize,
    /// What the smallest change of the least work costs, in the unit of the objective (`Breakdown::objective`).
    pub per_change: i64,
    /// Changes at most.
    pub at_most: Option<usize>,
    /// Whether what is done has to stay as it is; left out only to explain a conflict.
    pub is_done_kept: bool,
}

impl Earlier {
    /// Whether a slot lies before the day from which the plan is made again.
    #[must_use]
    pub fn is_done(&self, case: &Case, slot: Slot) -> bool {
        case.calendar.day(slot) < self.from_day
    }

    /// Whether what is in a slot has to stay as it was done.
    #[must_use]
    pub fn is_kept(&self, case: &Case, slot: Slot) -> bool {
        self.is_done_kept && self.is_done(case, slot)
    }

    /// How near a day is: twice as dear on the first two days that are planned again, for which people have arranged themselves.
    #[must_use]
    pub fn nearness(&self, day: usize) -> i64 {
        if day < self.from_day + 2 { 2 } else { 1 }
    }

    /// What a change costs, in the unit of the objective: of work of this weight, on this day (of a move the nearer of the two days).
    #[must_use]
    pub fn cost(&self, change: ChangeKind, weight: i64, day: usize) -> i64 {
        self.per_change.saturating_mul(change.weight() * weight * self.nearness(day))
    }
}

/// How a piece of work differs from the earlier plan; the dearest that applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChangeKind {
    /// Another amount, in the same shift and vessels.
    Amount,
    /// Another shift of the same day.
    Shift,
    /// Another day.
    Day,
    /// Another vessel.
    Vessel,
    /// No longer done.
    Dropped,
    /// Not in the earlier plan.
    New,
}

/// Where and when a piece of work is done, and how much of it, as far as that is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// When.
    pub slot: Slot,
    /// The vessel that a transfer empties.
    pub from: Option<VesselId>,
    /// The vessel filled or worked on.
    pub vessel: Option<VesselId>,
    /// How much; nothing where volumes are not compared.
    pub volume: Volume,
}

impl ChangeKind {
    /// How a piece of work differs from one of the earlier plan; none where it does not.
    #[must_use]
    pub fn between(case: &Case, old: Placed, new: Placed) -> Option<Self> {
        let day = |placed: Placed| case.calendar.day(placed.slot);
        if (old.from, old.vessel) != (new.from, new.vessel) {
            Some(Self::Vessel)
        } else if day(old) != day(new) {
            Some(Self::Day)
        } else if old.slot != new.slot {
            Some(Self::Shift)
        } else {
            let apart = Volume((old.volume - new.volume).0.abs());
            (apart > same_amount_within(old.volume)).then_some(Self::Amount)
        }
    }

    /// How much it weighs beside the others. A move costs no more than two moves that come to the same, and less than leaving one piece of work
    /// out and doing another; so the cheapest comparison of two plans has the fewest changes too.
    #[must_use]
    pub fn weight(self) -> i64 {
        match self {
            Self::Amount | Self::Shift => 1,
            Self::Day => 2,
            Self::Vessel => 3,
            Self::Dropped | Self::New => 4,
        }
    }
}

/// What a change of brewing weighs.
pub const BREW_WEIGHT: i64 = 2;
/// What a change of other work weighs.
pub const WORK_WEIGHT: i64 = 1;

/// How much a change of this work weighs; none where it follows from other work and is not counted.
#[must_use]
pub fn change_weight(work: &Work) -> Option<i64> {
    match work {
        Work::Brew { .. } => Some(BREW_WEIGHT),
        Work::Transfer { .. }
        | Work::Package { .. }
        | Work::Clean { .. }
        | Work::Carbonate { .. }
        | Work::Tank { .. }
        | Work::Crop { .. }
        | Work::Dump { .. } => Some(WORK_WEIGHT),
        Work::Sanitise { .. } | Work::Pitch { .. } | Work::Wash { .. } => None,
    }
}

/// Below this a difference of volume is none, whatever the volume.
const LEAST_DIFFERENCE: Volume = Volume(20_000);

/// By how much a volume may differ and still be the same amount to those who work by the plan: a twentieth, and 20 L in any case.
#[must_use]
pub fn same_amount_within(volume: Volume) -> Volume {
    Volume(volume.0 / 20).max(LEAST_DIFFERENCE)
}

/// A run of less than this is no longer the run that was planned.
#[must_use]
pub fn least_of_the_same_run(volume: Volume) -> Volume {
    Volume(volume.0 / 2)
}

/// A batch brewed by the earlier plan that takes longer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LateBatch {
    /// Its fermenter.
    pub vessel: VesselId,
    /// Day of its last turn, counted from day 0.
    pub on: i64,
    /// Days by which it is ready later than its stay says.
    pub days: i64,
}

/// A batch brewed by the earlier plan of which another volume is in its fermenter than its turns say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MeasuredBatch {
    /// Its fermenter.
    pub vessel: VesselId,
    /// Day of its last turn, counted from day 0.
    pub on: i64,
    /// The beer.
    pub beer: BeerId,
    /// Turns of it.
    pub turns: i64,
    /// Wort of the one turn, where it is a part turn.
    pub part: Option<Volume>,
    /// What is in the fermenter, before the tank loss.
    pub holds: Volume,
}

impl Fixed {
    /// What was measured of a batch with its last turn on a day, in place of the wort that was brewed.
    #[must_use]
    pub fn measured(&self, vessel: VesselId, on: i64) -> Option<Volume> {
        let mut found = self.measured.iter().filter(|one| one.vessel == vessel && one.on == on);
        found.next().map(|one| one.holds)
    }

    /// Days by which a batch with its last turn on a day is ready later than its stay says.
    #[must_use]
    pub fn late_by(&self, vessel: VesselId, on: i64) -> i64 {
        self.late.iter().filter(|late| late.vessel == vessel && late.on == on).map(|late| late.days).sum()
    }
}
