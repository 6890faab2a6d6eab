//! A plan: what happens where and when, in units of the cellar.
//!
//! The planned days are a flat list of tasks that a checker can replay vessel by vessel.
//! The look-ahead, planned on a coarser grid, is a list of totals by period (`Outlook`).

use std::collections::BTreeMap;

use crate::calendar::Slot;
use crate::case::InTank;
use crate::ids::{BeerId, CrewId, FormatId, KegPoolId, LineId, OrderId, VesselId, YeastId};
use crate::units::{Minutes, Volume};

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Turns of wort into a fermenter; the first of a batch begins it, later ones within `fill_within` add to it.
    Brew {
        /// The beer.
        beer: BeerId,
        /// The fermenter.
        vessel: VesselId,
        /// Turns in this shift.
        turns: i64,
        /// Cooled wort of each, where they are part turns.
        part: Option<Volume>,
    },
    /// Cleaning an empty vessel.
    Clean {
        /// The vessel.
        vessel: VesselId,
        /// Whether it is the full clean in place of the short one.
        full: bool,
    },
    /// Sanitising a vessel that was cleaned more than 24 h ago.
    Sanitise {
        /// The vessel.
        vessel: VesselId,
    },
    /// Moving beer from a fermenter into an empty bright tank, which is cleaned before (where it is a bright tank only)
    /// and carbonated after, all begun in this shift.
    Transfer {
        /// The fermenter.
        from: VesselId,
        /// The bright tank.
        to: VesselId,
        /// Volume that leaves the fermenter.
        volume: Volume,
        /// Whether the clean before it (of a bright tank only) is the full one.
        full: bool,
    },
    /// Carbonating in the fermenter, for the direct route.
    Carbonate {
        /// The fermenter.
        vessel: VesselId,
    },
    /// Packaging from a bright tank or a carbonated fermenter. Tasks of one line and shift run in the order of the list.
    Package {
        /// The line.
        line: LineId,
        /// The format.
        format: FormatId,
        /// The vessel.
        vessel: VesselId,
        /// Volume that leaves the vessel, before the losses of line and format.
        volume: Volume,
    },
    /// Pitches of yeast into the batch that is begun in this shift, after its first turn.
    Pitch {
        /// The fermenter.
        vessel: VesselId,
        /// The strain.
        yeast: YeastId,
        /// Where they come from.
        from: PitchFrom,
        /// How many.
        pitches: i64,
    },
    /// Cropping the yeast of the batch in a fermenter.
    Crop {
        /// The fermenter.
        vessel: VesselId,
    },
    /// A piece of the beer's tank work, done to the batch in a fermenter.
    Tank {
        /// The beer.
        beer: BeerId,
        /// Its position in `Beer::tank_work`.
        work: usize,
        /// The fermenter.
        vessel: VesselId,
    },
    /// Washing empty kegs, which can be filled from this shift on.
    Wash {
        /// Kegs of this kind.
        pool: KegPoolId,
        /// How many.
        kegs: i64,
    },
    /// Last resort: pouring away what is in a vessel.
    Dump {
        /// The vessel.
        vessel: VesselId,
    },
}

/// Where pitches of yeast come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PitchFrom {
    /// Bought, generation 1.
    Bought,
    /// In store on day 0: a position in `Yeasts::in_store`.
    Store(usize),
    /// Cropped in the plan.
    Crop {
        /// The fermenter that was cropped.
        vessel: VesselId,
        /// The day, counted from day 0.
        day: usize,
    },
}

/// A piece of work in a slot. Within a slot the list's order is the order of work in a vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Task {
    /// When.
    pub slot: Slot,
    /// What.
    pub work: Work,
    /// Minutes from the start of its shift to its beginning, where the plan goes by the clock.
    pub begins: Option<Minutes>,
}

impl Task {
    /// A piece of work in a slot, without a clock time.
    #[must_use]
    pub fn new(slot: Slot, work: Work) -> Self {
        Self { slot, work, begins: None }
    }
}

/// A whole crew staying longer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Overtime {
    /// When.
    pub slot: Slot,
    /// Who.
    pub crew: CrewId,
    /// How much longer, clock time.
    pub time: Minutes,
}

/// What is poured from a serving tank on a day, after the work of all its shifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pour {
    /// The day, counted from day 0.
    pub day: usize,
    /// The serving tank.
    pub vessel: VesselId,
    /// How much.
    pub volume: Volume,
}

/// What of an order is delivered on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Delivery {
    /// The order.
    pub order: OrderId,
    /// The day, counted from day 0: its due day, or a later one where it may be late.
    pub day: i64,
    /// Packaged volume.
    pub volume: Volume,
}

/// A plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// Work of the planned days, in order of slots.
    pub tasks: Vec<Task>,
    /// Overtime in the planned days.
    pub overtime: Vec<Overtime>,
    /// Pouring in the planned days, in order of days.
    pub pours: Vec<Pour>,
    /// Deliveries of the whole horizon, in order of `OrderId` and day; an order not listed gets nothing.
    pub deliveries: Vec<Delivery>,
    /// What the look-ahead counts on; empty without look-ahead.
    pub outlook: Outlook,
}

impl Plan {
    /// The same plan where a day has more shifts: those that there were come first.
    #[must_use]
    pub fn with_shifts(&self, there: usize, then: usize) -> Self {
        let moved = |slot: Slot| Slot(slot.0 / there.max(1) * then + slot.0 % there.max(1));
        let mut plan = self.clone();
        plan.tasks.iter_mut().for_each(|task| task.slot = moved(task.slot));
        plan.overtime.iter_mut().for_each(|one| one.slot = moved(one.slot));
        plan
    }

    /// The beer that each task takes out of a vessel or brings into one, from what is in tank on day 0; none where it is about no beer.
    #[must_use]
    pub fn beers(&self, in_tank: &[InTank]) -> Vec<Option<BeerId>> {
        let mut held: BTreeMap<VesselId, BeerId> =
            in_tank.iter().map(|tank| (tank.vessel, tank.beer)).collect();
        let of_task = |task: &Task| match task.work {
            Work::Brew { beer, vessel, .. } => {
                held.insert(vessel, beer);
                Some(beer)
            }
            Work::Transfer { from, to, .. } => {
                let beer = held.get(&from).copied()?;
                held.insert(to, beer);
                Some(beer)
            }
            Work::Package { vessel, .. }
            | Work::Carbonate { vessel }
            | Work::Crop { vessel }
            | Work::Dump { vessel } => held.get(&vessel).copied(),
            Work::Tank { beer, .. } => Some(beer),
            Work::Clean { .. } | Work::Sanitise { .. } | Work::Pitch { .. } | Work::Wash { .. } => None,
        };
        self.tasks.iter().map(of_task).collect()
    }
}

/// A number of batches, lots, runs or days, in millionths (a look-ahead counts in fractions).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Count(pub i64);

impl Count {
    /// One whole.
    pub const ONE: Self = Self(1_000_000);
}

/// A period of the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Period {
    /// First day, counted from day 0.
    pub first_day: usize,
    /// Last day, included.
    pub last_day: usize,
}

/// Where beer of the look-ahead comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// It is in this vessel when the planned days end.
    InTank(VesselId),
    /// It is brewed (or transferred) in a period of the look-ahead, into a vessel like this one.
    New {
        /// Any vessel of the kind.
        like: VesselId,
        /// Position in `Outlook::periods`.
        period: usize,
    },
}

/// How a batch leaves its fermenter in the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Leaving {
    /// Transferred into bright tanks in a period.
    Bright(usize),
    /// Packaged from the fermenter in a period.
    Direct(usize),
    /// Last resort: dumped in a period.
    Dump(usize),
    /// Still there at the end of the horizon.
    Stays,
}

/// Batches moved into conditioning tanks in the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moved {
    /// Any vessel of the kind.
    pub like: VesselId,
    /// Position in `Outlook::periods`.
    pub period: usize,
}

/// Batches in fermenters and conditioning tanks in the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutlookBatch {
    /// Where they come from.
    pub source: Source,
    /// The beer.
    pub beer: BeerId,
    /// Turns of each batch (0 for what is in tank).
    pub turns: i64,
    /// Cooled wort of the one turn, where it is a part turn.
    pub part: Option<Volume>,
    /// How many.
    pub count: Count,
    /// When they are moved for the rest of their stay, if they are.
    pub moved: Option<Moved>,
    /// When and how they leave.
    pub leaving: Leaving,
}

/// Lots in bright tanks in the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutlookLot {
    /// Where they are, or when they are filled.
    pub source: Source,
    /// The beer.
    pub beer: BeerId,
    /// Volume of each lot when filled (what is left, for what is in tank).
    pub volume: Volume,
    /// How many.
    pub count: Count,
    /// Period of the last packaging (position in `Outlook::periods`), or still there at the end.
    pub emptied: Option<usize>,
}

/// Pouring in the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutlookPour {
    /// Position in `Outlook::periods`.
    pub period: usize,
    /// The beer.
    pub beer: BeerId,
    /// How much.
    pub volume: Volume,
}

/// Packaging in the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutlookPackaging {
    /// Position in `Outlook::periods`.
    pub period: usize,
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// Volume that leaves vessels for this format, with its part of the line's loss per beer.
    pub drawn: Volume,
    /// Packaged volume.
    pub packaged: Volume,
}

/// A count of something in a period of the look-ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutlookUse {
    /// Position in `Outlook::periods`.
    pub period: usize,
    /// Of what.
    pub what: Used,
    /// How many.
    pub count: Count,
}

/// What is counted in `OutlookUse`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Used {
    /// Days with brewing (each has one first turn).
    BrewDay,
    /// Shifts in which a line runs (start-up and clean-down).
    LineShift(LineId),
    /// Runs of a beer on a line (loss and change).
    Run(LineId, BeerId),
    /// Cleanings of fermenters like this vessel.
    Clean(VesselId),
    /// Second batches of a beer transferred into bright tanks that another one fills in part.
    SecondTransfer(BeerId),
    /// Pitches of yeast bought.
    BoughtYeast(YeastId),
    /// Whole-crew overtime in minutes (the count is in millionths of a minute).
    OvertimeMinutes(CrewId),
}

/// The look-ahead in totals by period: what the plan counts on, not what is committed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outlook {
    /// The periods, in order.
    pub periods: Vec<Period>,
    /// Batches in fermenters.
    pub batches: Vec<OutlookBatch>,
    /// Lots in bright tanks.
    pub lots: Vec<OutlookLot>,
    /// Packaging.
    pub packaging: Vec<OutlookPackaging>,
    /// Pouring.
    pub pours: Vec<OutlookPour>,
    /// Counts of set-up work.
    pub uses: Vec<OutlookUse>,
}
