//! All decision variables: what each column means.
//!
//! | symbol | meaning | kind |
//! | --- | --- | --- |
//! | `brew[kind, group, turns by period]` | batches begun with these turns | integer |
//! | `ferment[kind, group, last turn, leaving]` | batches by when and how they leave the fermenter | integer |
//! | `tank_ways[kind, group, last turn, slots]` | batches by the slots of their tank work | integer |
//! | `crops`, `pitches`, `pitched`, `generations` | yeast by strain, generation, source and slot | integer |
//! | `movement[kind, first, last, lots]` | batches moved into these bright tanks | integer |
//! | `blend[kinds, period, tank]` | pairs of batches moved into one bright tank | integer |
//! | `hold[lot, emptied]` | bright lots by when they are empty | integer |
//! | `direct[kind, group, first, emptied]` | fermenters packaged from, by when they are empty | integer |
//! | `draw[source, period]` | volume drawn from lots or fermenters, hL | continuous |
//! | `pour[lot, period]` | volume poured from lots in serving tanks, hL | continuous |
//! | `serve_fill[source, tank, period]` | a tank that is only poured from is filled out of a lot or fermenter, and with how much, hL | binary, continuous |
//! | `wasted[lot]` | volume poured away of lots of day 0 in serving tanks, hL | continuous |
//! | `on_tap[lot, day]` | a lot has begun to pour and is not empty when a day ends | binary |
//! | `feed[beer, lines, line, period]` | volume from sources that can feed these lines into a line, hL | continuous |
//! | `pack[beer, format, period]` | volume into a format after the line's loss, hL | continuous |
//! | `early[beer, format, period, day]` | the same in a half week of the look-ahead up to a day, hL | continuous |
//! | `run`, `format_run`, `line_on` | a beer, a format of it, any beer on a line in a period | binary |
//! | `sequence[line, period, set]` | these beers run on the line, in their cheapest order | binary |
//! | `course[line, period, beer, formats]`, `step[line, period, place, place]` | the order of formats, from beer to beer | binary, integer |
//! | `visit[line, day]` | a mobile line runs on the day | binary |
//! | `kegs`, `washed`, `stale_kegs`, `bought` | whole kegs, and thousands of pieces of priced materials: whole packs, or any number; where there is a least order, that and what is beyond it | integer, continuous |
//! | `filter_on`, `filter_run` | a filter runs in a slot, a beer runs through it | binary |
//! | `first_turn[period]` | the day's first turn is in this period | binary |
//! | `clean`, `fresh`, `stale`, `to_stale`, `dirty`, `ready`, `old` | states of empty fermenters | integer, continuous |
//! | `full_clean[group, period]` | the clean of a vessel is the full one | binary |
//! | `overtime[crew, period]` | hours that a crew stays longer | continuous |
//! | `deliver[order, day]`, `surplus`, ... | packaged beer, hL | continuous |
//! | `whole[order, day]` | an order is delivered in full on a day | binary |
//!
//! In the look-ahead everything but `brew` and `ferment` starts is continuous.

pub mod about;
pub mod beers;
pub mod fermenting;
pub mod filtering;
pub mod formats;
pub mod holding;
pub mod kegs;
pub mod moving;
pub mod packaging;
pub mod resources;
pub mod sequences;
pub mod serve_only;
pub mod serving;

use std::collections::BTreeMap;

use cellarwright_model::case::Marks;
use cellarwright_model::ids::{BeerId, CrewId, FormatId, KegPoolId, LineId, MaterialId, OrderId, YeastId};
use cellarwright_model::units::{Money, Volume};

use super::context::KindId;
use super::grid::PeriodId;
use super::groups::GroupId;
use super::program::{ColumnId, Terms};
use super::rules::tank_work::Way;
use super::rules::yeast::Fill;

/// Batches begun with given turns.
#[derive(Clone, Debug)]
pub struct Brew {
    pub kind: KindId,
    pub group: GroupId,
    /// Turns by period, in order of time; the first entry begins the batch, the last ends its filling.
    pub turns: Vec<(PeriodId, i64)>,
    pub column: ColumnId,
}

impl Brew {
    /// Period of the first turn.
    pub fn first(&self) -> PeriodId {
        self.turns[0].0
    }

    /// Period of the last turn.
    pub fn last(&self) -> PeriodId {
        self.turns[self.turns.len() - 1].0
    }
}

/// When and how a batch leaves its fermenter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Leaving {
    /// Moved into bright tanks from `first` to `last`; no `last` if the horizon ends before the last stage.
    Bright { first: PeriodId, last: Option<PeriodId> },
    /// Carbonated (unless it was before day 0, or never is) and packaged from, beginning at `first`; of a batch that has a
    /// `part` moved before, what that leaves.
    Direct { part: Option<Part>, carbonated: Option<PeriodId>, first: PeriodId },
    /// Moved into a conditioning tank, to go on from there as a batch of another kind.
    Moved { at: PeriodId, to: GroupId },
    /// Last resort.
    Dump(PeriodId),
    /// Still there at the end.
    Stays,
}

impl Leaving {
    /// Period in which the first of the batch leaves; none if it stays.
    pub fn begins(self) -> Option<PeriodId> {
        match self {
            Self::Direct { part: Some(part), .. } => Some(part.at),
            Self::Bright { first, .. }
            | Self::Direct { first, .. }
            | Self::Moved { at: first, .. }
            | Self::Dump(first) => Some(first),
            Self::Stays => None,
        }
    }

    /// The fermenter that is packaged from, if it is.
    pub fn direct_lot(self, kind: KindId, group: GroupId) -> Option<DirectLot> {
        match self {
            Self::Direct { part, first, .. } => Some(DirectLot { kind, group, part, first }),
            Self::Bright { .. } | Self::Moved { .. } | Self::Dump(_) | Self::Stays => None,
        }
    }
}

/// The part of a batch that is moved into a bright tank before the rest is packaged from the fermenter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Part {
    /// Period of the transfer, in the planned days.
    pub at: PeriodId,
    /// The bright tank.
    pub to: GroupId,
    /// Leaves the fermenter.
    pub leaves: Volume,
}

/// When a batch is ready and may leave, which its tank work decides.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Course {
    /// First and last possible ready day: one day in the planned days.
    pub ready: (i64, i64),
    /// First and last day of leaving, as far as tank work decides about them.
    pub leaves: (i64, i64),
    /// First period of carbonating in the fermenter, as far as tank work decides about it.
    pub carbonates_from: PeriodId,
    /// Whether it may stay in its fermenter to its end.
    pub stays_there: bool,
    /// Slots of the planned days in which it may be moved, each with the group of conditioning tanks; none where tank work
    /// decides nothing about it.
    pub moves: Option<Vec<(PeriodId, GroupId)>>,
}

/// Where pitches come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum YeastSource {
    /// Bought.
    Bought,
    /// A position in `Yeasts::in_store`.
    Store(usize),
    /// Cropped in this period.
    Crop(PeriodId),
}

/// Batches by the slots in which their tank work is done.
#[derive(Clone, Debug)]
pub struct TankWay {
    pub kind: KindId,
    pub group: GroupId,
    /// Period of the last turn; none for beer in tank on day 0.
    pub filled: Option<PeriodId>,
    pub way: Way,
    pub column: ColumnId,
}

/// Batches in fermenters and conditioning tanks.
#[derive(Clone, Debug)]
pub struct Ferment {
    pub kind: KindId,
    pub group: GroupId,
    /// Period of the last turn, wherever the batch is now; none for beer in tank on day 0.
    pub filled: Option<PeriodId>,
    pub course: Course,
    pub leaving: Leaving,
    pub column: ColumnId,
}

/// One bright tank filled in a movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stage {
    pub group: GroupId,
    /// None if the horizon ends before it.
    pub period: Option<PeriodId>,
    /// Leaves the fermenter.
    pub leaves: Volume,
    /// Arrives in the bright tank.
    pub arrives: Volume,
}

/// Batches moved into bright tanks.
#[derive(Clone, Debug)]
pub struct Movement {
    pub kind: KindId,
    /// The fermenter, where it is one that must be told from others.
    pub from: Option<GroupId>,
    pub first: PeriodId,
    pub last: Option<PeriodId>,
    pub stages: Vec<Stage>,
    pub column: ColumnId,
}

/// Pairs of whole batches moved into one bright tank each.
#[derive(Clone, Copy, Debug)]
pub struct Blend {
    /// The kinds, each with its fermenter where that is told from others; twice the same for two batches that are alike.
    pub parts: [(KindId, Option<GroupId>); 2],
    pub period: PeriodId,
    pub lot: Lot,
    pub column: ColumnId,
}

/// Lots that are alike: beer, tank group, volume, and when filled (or which opening lot).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Lot {
    pub beer: BeerId,
    pub group: GroupId,
    pub volume: Volume,
    pub filled: Filled,
    /// Transfers that filled it: two for a blend.
    pub transfers: i64,
}

/// When a lot was filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Filled {
    /// Before day 0: a position in `Case::in_tank`.
    Opening(usize),
    /// In this period.
    In(PeriodId),
}

/// Fermenters packaged from that are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DirectLot {
    pub kind: KindId,
    pub group: GroupId,
    /// What was moved before.
    pub part: Option<Part>,
    /// Period of the first packaging.
    pub first: PeriodId,
}

/// Where beer on its way to a line comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// A bright tank.
    Bright(Lot),
    /// A fermenter.
    Direct(DirectLot),
}

impl Source {
    /// The vessels that it is in.
    pub fn group(self) -> GroupId {
        match self {
            Self::Bright(lot) => lot.group,
            Self::Direct(lot) => lot.group,
        }
    }
}

/// How a vessel that is packaged from ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Emptied {
    /// Last packaging in this period.
    At(PeriodId),
    /// Last resort.
    Dump(PeriodId),
    /// Not empty at the end.
    Stays,
}

/// A fill of a tank that is only poured from, out of a bright lot or a fermenter.
#[derive(Clone, Copy, Debug)]
pub struct ServeFill {
    pub from: Source,
    /// The lot that it makes; its volume is the most that the tank holds.
    pub to: Lot,
    pub period: PeriodId,
    /// Whether it is done; in the look-ahead how often.
    pub filled: ColumnId,
    /// What leaves the source, hL.
    pub leaves: ColumnId,
}

/// Lots (or fermenters packaged from) by how they end.
#[derive(Clone, Debug)]
pub struct Hold {
    pub source: Source,
    pub emptied: Emptied,
    pub column: ColumnId,
}

/// What the columns mean.
#[derive(Clone, Debug, Default)]
pub struct Columns {
    pub brews: Vec<Brew>,
    pub ferments: Vec<Ferment>,
    pub tank_ways: Vec<TankWay>,
    /// Crops: fill, generation of the batch, period.
    pub crops: BTreeMap<(Fill, i64, PeriodId), ColumnId>,
    /// Pitches: strain, generation, source, period.
    pub pitches: BTreeMap<(YeastId, i64, YeastSource, PeriodId), ColumnId>,
    /// Batches pitched: strain, period of the first turn, pitches of each, generation.
    pub pitched: BTreeMap<(YeastId, PeriodId, i64, i64), ColumnId>,
    /// Batches of a position in `brews` by generation, where they can be cropped.
    pub generations: BTreeMap<(usize, i64), ColumnId>,
    /// Pitches bought in a period of the look-ahead.
    pub bought_ahead: BTreeMap<(YeastId, PeriodId), ColumnId>,
    pub movements: Vec<Movement>,
    pub blends: Vec<Blend>,
    /// Fills of tanks that are only poured from.
    pub serve_fills: Vec<ServeFill>,
    pub holds: Vec<Hold>,
    /// Drawn from a source in a period, hL.
    pub draws: BTreeMap<(Source, PeriodId), ColumnId>,
    /// Poured from a lot in a period, hL.
    pub pours: BTreeMap<(Lot, PeriodId), ColumnId>,
    /// Poured away of a lot of day 0, hL.
    pub wasted: BTreeMap<Lot, ColumnId>,
    /// A lot has begun to pour and is not empty at the end of a day.
    pub on_tap: BTreeMap<(Lot, i64), ColumnId>,
    /// What is left at the end in sources that stay, hL.
    pub left: BTreeMap<Source, ColumnId>,
    /// Volume from sources that can feed the lines of a set (as bits of `LineId`) into a line, hL.
    pub feeds: BTreeMap<(BeerId, u64, LineId, PeriodId), ColumnId>,
    /// Volume into a format after the line's loss, hL.
    pub packs: BTreeMap<(BeerId, FormatId, PeriodId), ColumnId>,
    /// The same in a half week of the look-ahead up to a day (counted from day 0), where an order is due before all of it can be there.
    pub early: BTreeMap<(BeerId, FormatId, PeriodId, i64), ColumnId>,
    pub runs: BTreeMap<(BeerId, LineId, PeriodId), ColumnId>,
    pub format_runs: BTreeMap<(BeerId, FormatId, PeriodId), ColumnId>,
    pub line_on: BTreeMap<(LineId, PeriodId), ColumnId>,
    /// Sets of beers on a line with changes by pair, in their cheapest order.
    pub sequences: BTreeMap<(LineId, PeriodId), Vec<sequences::Sequence>>,
    /// The order of formats on a line with changes of format by pair.
    pub format_orders: BTreeMap<(LineId, PeriodId), formats::FormatOrder>,
    /// Days (counted from day 0) on which a line runs that is paid by the visit or has a smallest visit.
    pub visits: BTreeMap<(LineId, usize), ColumnId>,
    /// Whether a filter runs in a slot, by its position in `Case::filters`.
    pub filter_on: BTreeMap<(usize, PeriodId), ColumnId>,
    /// Whether a beer runs through its filter in a slot.
    pub filter_runs: BTreeMap<(BeerId, PeriodId), ColumnId>,
    /// Whole kegs filled in a slot of the planned days.
    pub kegs: BTreeMap<(BeerId, FormatId, PeriodId), ColumnId>,
    /// Kegs washed in a slot of the planned days.
    pub washed: BTreeMap<(KegPoolId, PeriodId), ColumnId>,
    /// Kegs that count as dirty again after a day (counted from day 0).
    pub stale_kegs: BTreeMap<(KegPoolId, i64), ColumnId>,
    /// Thousands of pieces of a priced material that are bought, as a sum of columns.
    pub bought: BTreeMap<MaterialId, Terms>,
    /// What a run lacks of the smallest run, hL.
    pub short_runs: BTreeMap<(BeerId, LineId, PeriodId), ColumnId>,
    pub first_turns: BTreeMap<PeriodId, ColumnId>,
    /// Hours.
    pub overtime: BTreeMap<(CrewId, PeriodId), ColumnId>,
    /// Whole minutes of it, where those of a week are limited.
    pub overtime_minutes: BTreeMap<(CrewId, PeriodId), ColumnId>,
    pub clean: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Cleans of vessels that are dirty since before day 0, where the others have a hard end.
    pub clean_opening: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Cleans of a vessel that is clean already, where a pin may mean them.
    pub clean_again: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Whether the clean of a vessel in a period of the planned days is the full one.
    pub full_cleans: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Fills of a vessel since its full clean, after a period.
    pub since_full: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Whether a mark is in a vessel after a period.
    pub marked: BTreeMap<(GroupId, Marks, PeriodId), ColumnId>,
    /// Filled while still clean: (group, cleaned, filled); cleaned `None` means before day 0.
    pub fresh: BTreeMap<(GroupId, Option<PeriodId>, PeriodId), ColumnId>,
    /// Filled after sanitising.
    pub stale: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Cleaned and not filled while still clean.
    pub to_stale: BTreeMap<(GroupId, Option<PeriodId>), ColumnId>,
    /// Dirty at the end of a period.
    pub dirty: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Clean at the end of a period.
    pub ready: BTreeMap<(GroupId, PeriodId), ColumnId>,
    /// Dirty too long at the end of a day.
    pub old: BTreeMap<(GroupId, i64), ColumnId>,
    /// By order and day, hL.
    pub deliver: BTreeMap<(OrderId, i64), ColumnId>,
    /// What stands in the cold store above what it holds, in hL or pallets, and on how many days.
    pub store_over: Vec<(ColumnId, i64)>,
    /// What is lacking of a least stock, hL, what it costs, and how often.
    pub lacking: Vec<(ColumnId, Money, i64)>,
    /// An order that is delivered whole or not at all is delivered on this day.
    pub whole: BTreeMap<(OrderId, i64), ColumnId>,
    /// What is left of a beer and format at the end, hL.
    pub surplus: BTreeMap<(BeerId, FormatId), ColumnId>,
}

/// All subsets of a size, in order.
fn subsets<T: Copy>(of: &[T], size: usize) -> Vec<Vec<T>> {
    if size == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (position, &first) in of.iter().enumerate() {
        for mut rest in subsets(&of[position + 1..], size - 1) {
            rest.insert(0, first);
            all.push(rest);
        }
    }
    all
}
