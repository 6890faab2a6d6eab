//! Where the search stands: what is in every vessel, what was done in every slot, what it has cost.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Beer, Job, Reach};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::Task;
use cellarwright_model::units::{Minutes, Money, Volume};

use super::facts::Facts;
use super::full_clean::FullCleans;
use super::heat::{Heat, ferment};
use super::tank_work::Progress;

/// How an empty vessel was cleaned last.
#[derive(Clone, Copy, Debug)]
pub struct Cleaned {
    /// Clock of the start of the cleaning's slot.
    pub at: Minutes,
    /// The slot; none before day 0.
    pub slot: Option<Slot>,
}

/// How a vessel became empty.
#[derive(Clone, Copy, Debug)]
pub struct Emptied {
    /// When; none before day 0.
    pub slot: Option<Slot>,
    /// The day.
    pub day: i64,
    /// By a transfer (or else by packaging).
    pub by_transfer: bool,
    /// In the second round of transfers of its slot.
    pub is_late: bool,
    /// The beer that was in it.
    pub beer: Option<BeerId>,
}

/// An empty vessel; dirty where `cleaned` is none.
#[derive(Clone, Copy, Debug)]
pub struct Empty {
    /// Last cleaning since it was emptied.
    pub cleaned: Option<Cleaned>,
    /// Slot in which it was cleaned once more, because a pin asks for it.
    pub again: Option<Slot>,
    /// Last emptying.
    pub emptied: Emptied,
}

/// Whether a batch in a fermenter is carbonated.
#[derive(Clone, Copy, Debug)]
pub enum Gas {
    /// Not yet.
    None,
    /// Before day 0.
    Opening,
    /// In this slot.
    In(Slot),
}

/// How a batch leaves its fermenter.
#[derive(Clone, Debug)]
pub enum Leaving {
    /// It has not begun to.
    NotYet,
    /// By transfers: those still to come, with the volume that leaves.
    Stages {
        /// Slot of the first.
        first: Slot,
        /// The rest.
        pending: Vec<(VesselId, Volume)>,
    },
    /// A part was moved; the rest is to be packaged from the fermenter.
    Parted,
    /// Packaged from: position in `State::lots`.
    Direct(usize),
}

/// A batch in a fermenter or conditioning tank.
#[derive(Clone, Debug)]
pub struct Batch {
    /// It is in a conditioning tank for the rest of its stay.
    pub moved: bool,
    /// The beer.
    pub beer: BeerId,
    /// Turns so far; 0 for beer in tank on day 0.
    pub turns: i64,
    /// Wort of the one turn, where it is a part turn.
    pub part: Option<Volume>,
    /// Slot of the first turn; none for beer in tank on day 0.
    pub first: Option<Slot>,
    /// Day of the last turn.
    pub on: i64,
    /// Ready day.
    pub ready: i64,
    /// Wort in its fermenter.
    pub wort: Volume,
    /// After the tank loss.
    pub volume: Volume,
    /// Whether and when it was carbonated.
    pub gas: Gas,
    /// Slot in which a part was moved before the rest is packaged from the fermenter.
    pub parted: Option<Slot>,
    /// How it leaves.
    pub leaving: Leaving,
    /// Its tank work.
    pub work: Progress,
}

impl Batch {
    /// Beer in tank on day 0.
    pub fn is_opening(&self) -> bool {
        self.first.is_none()
    }

    /// R02: whether it has all its turns: a size that its beer lists.
    pub fn is_complete(&self, beer: &Beer) -> bool {
        self.is_opening()
            || match self.part {
                Some(part) => self.turns == 1 && beer.part_turns.contains(&part),
                None => beer.turns.contains(&self.turns),
            }
    }
}

/// What is in a vessel.
#[derive(Clone, Debug)]
pub enum Content {
    /// Nothing.
    Empty(Empty),
    /// A batch in a fermenter.
    Batch(Batch),
    /// A lot in a bright tank: position in `State::lots`.
    Lot(usize),
}

/// Beer that is packaged from one vessel: a bright lot, or a batch on the direct route.
#[derive(Clone, Copy, Debug)]
pub struct Lot {
    /// Where it is.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// How much there is to draw.
    pub volume: Volume,
    /// Transfers that fill it.
    pub transfers: i64,
    /// The second transfer of a blend is still to come.
    pub is_open: bool,
    /// Straight from the fermenter.
    pub is_direct: bool,
    /// In tank on day 0.
    pub is_opening: bool,
    /// Day of the fill (bright), of the last turn (direct).
    pub filled: i64,
    /// Slot of the fill, of a bright lot filled within the horizon.
    pub filled_in: Option<Slot>,
    /// Slot of the first packaging.
    pub first: Option<Slot>,
    /// Slot of the last packaging; none while there is something left.
    pub emptied: Option<Slot>,
}

/// One beer on one line in one slot.
#[derive(Clone, Debug, Default)]
pub struct Run {
    /// Formats filled.
    pub formats: BTreeSet<FormatId>,
    /// Lots drawn from: positions in `State::lots`.
    pub lots: BTreeSet<usize>,
}

/// What is done in a slot.
#[derive(Clone, Debug, Default)]
pub struct SlotWork {
    /// Person-minutes by role, packaging excepted.
    pub need: [i64; 3],
    /// Clock time on the cleaning sets, by the sets that can do it.
    pub cleaning: BTreeMap<Reach, Minutes>,
    /// Turns brewed.
    pub turns: i64,
    /// Clock minutes that their beers take longer.
    pub longer: i64,
    /// Chills begun.
    pub chills: i64,
    /// Runs on the lines.
    pub runs: BTreeMap<(LineId, BeerId), Run>,
}

/// Where the search stands.
#[derive(Clone, Debug)]
pub struct State {
    /// By vessel.
    pub vessels: Vec<Content>,
    /// All lots so far.
    pub lots: Vec<Lot>,
    /// By slot.
    pub slots: Vec<SlotWork>,
    /// Heat by planned day.
    pub heat: Heat,
    /// Running costs so far without those of packaging and overtime, cents.
    pub costs: f64,
    /// Charges of the last resort so far, cents.
    pub last_resort: f64,
    /// Tasks so far without packaging.
    pub tasks: Vec<Task>,
    /// The slot's second round of transfers has begun.
    pub is_late: bool,
    /// Full cleans.
    pub full_cleans: FullCleans,
}

impl State {
    /// R14: what is there on day 0.
    pub fn opening(facts: &Facts) -> Self {
        let case = facts.case;
        let clean_before = Cleaned { at: facts.start(Slot(0)) - case.cleaning.stays_clean, slot: None };
        let long_ago = Emptied { slot: None, day: -1, by_transfer: false, is_late: false, beer: None };
        let mut vessels: Vec<Content> = case
            .vessel_ids()
            .map(|id| {
                let cleaned = (!case.dirty.contains(&id)).then_some(clean_before);
                Content::Empty(Empty { cleaned, again: None, emptied: long_ago })
            })
            .collect();
        let mut lots = Vec::new();
        let mut heat = vec![0; case.calendar.planned_days];
        for in_tank in &case.in_tank {
            let beer = case.beer(in_tank.beer);
            vessels[in_tank.vessel.0] = if in_tank.is_bright {
                lots.push(Lot {
                    vessel: in_tank.vessel,
                    beer: in_tank.beer,
                    volume: in_tank.filled,
                    transfers: 1,
                    is_open: false,
                    is_direct: false,
                    is_opening: true,
                    filled: in_tank.on,
                    filled_in: None,
                    first: None,
                    emptied: None,
                });
                Content::Lot(lots.len() - 1)
            } else {
                let moved =
                    case.vessel(in_tank.vessel).uses.condition && !case.vessel(in_tank.vessel).uses.ferment;
                let volume = if moved { in_tank.filled } else { beer.loss_tank.taken_off(in_tank.filled) };
                ferment(facts, &mut heat, in_tank.beer, in_tank.filled, in_tank.on);
                Content::Batch(Batch {
                    moved,
                    wort: in_tank.filled,
                    beer: in_tank.beer,
                    turns: 0,
                    part: None,
                    first: None,
                    on: in_tank.on,
                    ready: in_tank.ready,
                    volume,
                    gas: if in_tank.carbonated { Gas::Opening } else { Gas::None },
                    parted: None,
                    leaving: Leaving::NotYet,
                    work: {
                        let mut work = Progress::none();
                        for (piece, &day) in beer.tank_work.iter().zip(&in_tank.work_done) {
                            work = work.with(piece, in_tank.on + piece.day + work.late, day);
                        }
                        work
                    },
                })
            };
        }
        let slots = vec![SlotWork::default(); facts.slots()];
        let full_cleans = FullCleans::opening(facts);
        let (costs, last_resort, tasks) = (0.0, 0.0, Vec::new());
        Self { vessels, lots, slots, heat, costs, last_resort, tasks, is_late: false, full_cleans }
    }

    /// Counts the crew and the labour of a job.
    pub fn job(&mut self, facts: &Facts, slot: Slot, job: &Job) {
        for (need, time) in self.slots[slot.0].need.iter_mut().zip(job.crew.0) {
            *need += time.0;
        }
        self.costs += per_hour(facts.case.rates.labour.0, job.crew.total().0);
    }
}

/// Cents for minutes at a price per hour.
pub fn per_hour(cents: i64, minutes: i64) -> f64 {
    cents as f64 * minutes as f64 / 60.0
}

/// Whole cents for a volume at a price per hectolitre: each such amount is rounded to the cent once.
pub fn per_hectolitre(cents: i64, volume: Volume) -> f64 {
    Money(cents).for_volume(volume).0 as f64
}
