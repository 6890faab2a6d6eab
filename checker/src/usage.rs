//! Use of every resource in the planned days, slot by slot, as the replay counts it.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, Reach};
use cellarwright_model::ids::{CrewId, KegPoolId, LineId, MaterialId, VesselId, YeastId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Volume};

/// A resource.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Resource {
    /// Turns of the brewhouse, per day (amounts are turns).
    Turns,
    /// Clock minutes of the brewhouse, per day.
    BrewhouseTime,
    /// Person-minutes of all crews that have the role, per slot.
    RoleTime(Role),
    /// Person-minutes of one crew that no other crew can do, per slot.
    CrewTime(CrewId),
    /// Overtime minutes of each person of a crew, per week from Monday to Sunday and shift (in the first slot of it).
    WeekOvertime(CrewId),
    /// Chills that the cooling plant can begin, per day (amounts are vessels).
    Chills,
    /// Kilojoules that the cooling plant takes out, per day.
    CoolingHeat,
    /// Clock minutes of cleaning sets, per slot: of all, or of some with what only these can do.
    CleaningTime(Reach),
    /// Clock minutes of a line, per slot.
    LineTime(LineId),
    /// Millilitres in the warm store, per day.
    WarmStore,
    /// Clock minutes of a filter (a position in `Case::filters`), per slot.
    FilterTime(usize),
    /// Clock minutes of all transfers, per slot, where only so many are possible at once.
    TransferTime,
    /// Clean kegs of one kind, per slot: those filled of those there.
    Kegs(KegPoolId),
    /// Kegs of one kind that are owned, per day: those full or out at the end of it, of all.
    OwnedKegs(KegPoolId),
    /// Clock minutes of the keg washer, per slot.
    KegWasher,
    /// Pieces of a material, per day: those used of those there.
    Material(MaterialId),
    /// Pitches of a strain, per slot: those pitched of those there, in store, cropped or bought in the slot.
    Yeast(YeastId),
    /// What stands in the cold store at the end of the day, in millilitres or in millionths of a pallet, up to what it holds.
    ColdStore,
    /// What is hired besides, in the same unit.
    HiredStore,
    /// Fills of a vessel before its full clean is due, in the slots of its fills: one of those left.
    FillsLeft(VesselId),
    /// A vessel's slots with beer or cleaning in it: 1 of 1 in each slot.
    Vessel(VesselId),
}

impl Resource {
    /// The rule that limits it.
    #[must_use]
    pub fn rule(self, case: &Case) -> RuleId {
        match self {
            Self::Turns | Self::BrewhouseTime => RuleId::Turns,
            Self::RoleTime(_) | Self::CrewTime(_) | Self::WeekOvertime(_) => RuleId::Crew,
            Self::Chills | Self::CoolingHeat => RuleId::TankWork,
            Self::CleaningTime(_) => RuleId::Clean,
            Self::LineTime(_) => RuleId::Line,
            Self::WarmStore => RuleId::WarmStore,
            Self::FilterTime(_) | Self::TransferTime => RuleId::Filter,
            Self::Kegs(_) | Self::OwnedKegs(_) | Self::KegWasher | Self::Material(_) => RuleId::Packages,
            Self::Yeast(_) => RuleId::Yeast,
            Self::ColdStore | Self::HiredStore => RuleId::Orders,
            Self::FillsLeft(_) => RuleId::FullClean,
            Self::Vessel(vessel) => {
                let vessel = case.vessel(vessel);
                match (vessel.is_cleaned_apart(), vessel.is_serve_only()) {
                    (true, _) => RuleId::OneBatch,
                    (false, true) => RuleId::Serving,
                    (false, false) => RuleId::BrightRest,
                }
            }
        }
    }
}

/// Use of one resource in one slot (of one day where the resource counts by day: then its first slot).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Use {
    /// When.
    pub slot: Slot,
    /// What is used, in the resource's unit.
    pub used: i64,
    /// What there is.
    pub available: i64,
}

/// Use of one resource over the planned days; slots in which there is none of it are left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ResourceUse {
    /// The resource.
    pub resource: Resource,
    /// Its use, in order of slots.
    pub uses: Vec<Use>,
}

/// A batch or lot as the replay saw it, for drawings and tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// The vessel.
    pub vessel: VesselId,
    /// The beer.
    pub beer: cellarwright_model::ids::BeerId,
    /// Slot of the fill; none if it was there on day 0.
    pub from: Option<Slot>,
    /// Ready day, for a fermenter.
    pub ready: Option<i64>,
    /// Volume: after the tank loss in a fermenter, arrived in a bright tank.
    pub volume: Volume,
    /// Slot in which the last of it left; none if still there when the planned days end.
    pub until: Option<Slot>,
    /// Volume still there when the planned days end.
    pub left: Volume,
}

/// Result of one order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderResult {
    /// The order.
    pub order: cellarwright_model::ids::OrderId,
    /// Delivered.
    pub delivered: Volume,
    /// Missed.
    pub missed: Volume,
    /// What is delivered on which day, counted from day 0.
    pub days: Vec<(i64, Volume)>,
}

impl OrderResult {
    /// A package or more is missed; less is what rounding to whole litres takes.
    #[must_use]
    pub fn is_short(&self, case: &Case) -> bool {
        is_a_package(case, self.order, self.missed)
    }

    /// What is not there on the due day.
    #[must_use]
    pub fn missed_in_time(&self, case: &Case) -> Volume {
        let order = case.order(self.order);
        let late = self.days.iter().filter(|&&(day, _)| day > order.due);
        self.missed + late.map(|&(_, volume)| volume).sum()
    }

    /// A package or more is missed or comes late.
    #[must_use]
    pub fn is_short_in_time(&self, case: &Case) -> bool {
        is_a_package(case, self.order, self.missed_in_time(case))
    }
}

/// Whether a volume of an order is a package or more, or all of it.
fn is_a_package(case: &Case, order: cellarwright_model::ids::OrderId, volume: Volume) -> bool {
    let order = case.order(order);
    volume > Volume::ZERO && volume >= case.format(order.format).contents.min(order.quantity)
}

/// A material that must be ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ToOrder {
    /// The material.
    pub material: MaterialId,
    /// The last day on which ordering is in time; none if no order arrives within the horizon.
    pub by: Option<i64>,
    /// The day on which more is used than is there.
    pub needed: i64,
    /// Pieces, up to whole ones.
    pub pieces: i64,
    /// Packs, where it comes in packs.
    pub packs: Option<i64>,
    /// Their price, a part of the objective.
    pub cost: cellarwright_model::units::Money,
}

/// Pitches that a plan leaves, and that a further batch could be pitched with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpareYeast {
    /// The strain.
    pub yeast: YeastId,
    /// The generation that the batch would be.
    pub generation: i64,
    /// The first slot in which they are there.
    pub from: Slot,
    /// The last day on which they may be pitched.
    pub last_day: i64,
    /// How many.
    pub pitches: i64,
}

/// Where the kegs of one kind are at the end of a planned day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KegsOfDay {
    /// The kind.
    pub pool: KegPoolId,
    /// The day.
    pub day: usize,
    /// Washed and ready to be filled; without a keg washer all empty ones.
    pub clean: i64,
    /// Empty and dirty.
    pub dirty: i64,
    /// Full and not delivered; one that is begun counts.
    pub full: i64,
    /// Out at customers: all others of those that are owned, if the case says how many those are.
    pub out: Option<i64>,
}

/// A beer on tap on a day on which guests ask for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TapUse {
    /// The beer.
    pub beer: cellarwright_model::ids::BeerId,
    /// The day.
    pub day: usize,
    /// Asked for.
    pub asked: Volume,
    /// Poured.
    pub poured: Volume,
}

/// Everything that the replay counted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Usage {
    /// Resources, in their order.
    pub resources: Vec<ResourceUse>,
    /// Batches and lots, by vessel and time.
    pub stays: Vec<Stay>,
    /// Orders, in their order.
    pub orders: Vec<OrderResult>,
    /// Line time in clock minutes by line and slot where the line runs.
    pub line_times: Vec<(LineId, Slot, Minutes)>,
    /// Materials to be ordered, in their order.
    pub to_order: Vec<ToOrder>,
    /// Kegs by kind and planned day.
    pub kegs: Vec<KegsOfDay>,
    /// What guests of the taproom ask for on the planned days, and get, by beer and day.
    pub taps: Vec<TapUse>,
    /// Generation of the yeast of each `Pitch` task, and of the batch of each `Crop` task, by its position in `Plan::tasks`.
    pub generations: Vec<(usize, i64)>,
    /// Dirty kegs left in each slot after its washing, by kind and slot, where there are any and a washer that washes them.
    pub dirty_kegs: Vec<(KegPoolId, Slot, i64)>,
    /// Pitches left in store and of crops, and of crops that the plan could make besides, or in another slot.
    pub spare_yeast: Vec<SpareYeast>,
    /// Packaged volume of each `Package` task, by its position in `Plan::tasks`.
    pub packaged: Vec<(usize, Volume)>,
}
