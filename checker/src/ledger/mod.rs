//! The replay: what a plan does to vessels, lines and people, as facts that the rules judge.

mod event;
mod fill;
mod filter;
mod holding;
mod lines;
mod packages;
mod start;
mod stock;
mod take;
mod tank_work;
mod time;
mod yeast;

pub use event::{EmptiedBy, Entry, Event, FilledBy};
pub use holding::{Carbonated, Holding, Kind, Out, Way};
pub use lines::{LineSlot, Piece, Run, line_change};
pub use packages::PIECE;
pub use stock::{Goods, Packed, deliverable_from};
pub use tank_work::{WorkDone, earliest_ready};
pub use time::{Charge, TurnsOfDay};
pub use yeast::{Crop, Pitch, YeastBook};

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, TankWork};
use cellarwright_model::ids::{CrewId, KegPoolId, LineId, VesselId};
use cellarwright_model::plan::{Plan, Task, Work};
use cellarwright_model::units::{Minutes, Volume};

use crate::exact::bounded;

/// A task that cannot be carried out for what it says itself, whatever the cellar holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// It is not in the planned days.
    OutOfDays(Role),
    /// Its shift is not worked by this role.
    NotWorked(Role),
    /// No turn or fewer.
    NoTurns(i64),
    /// No volume or less.
    NoVolume(Volume),
    /// Carbonating beer that was transferred in.
    CarbonatesLot,
    /// A piece of tank work that does not belong to the beer in the vessel.
    NoSuchTankWork,
    /// A piece of tank work that was done before.
    TankWorkTwice,
    /// Kegs are to be washed, and there is no washer.
    NoWasher,
    /// No keg or fewer.
    NoKegs(i64),
}

/// Everything that a plan does, replayed.
#[derive(Clone, Debug)]
pub struct Ledger<'a> {
    /// The case.
    pub case: &'a Case,
    /// The plan.
    pub plan: &'a Plan,
    /// Batches and lots, in the order in which they began.
    pub holdings: Vec<Holding>,
    /// Events of each vessel, in order.
    pub logs: Vec<Vec<Entry>>,
    /// Tasks that misfit: their position in the plan, and why.
    pub misfits: Vec<(usize, Misfit)>,
    /// Pours that cannot be meant: their positions in the plan.
    pub bad_pours: Vec<usize>,
    /// Turns by day.
    pub turns: BTreeMap<usize, TurnsOfDay>,
    /// Person-time and clock time of everything but lines.
    pub charges: Vec<Charge>,
    /// Lines that run, by slot and line.
    pub line_slots: BTreeMap<(Slot, LineId), LineSlot>,
    /// Kegs washed, by slot and kind.
    pub washed: BTreeMap<(Slot, KegPoolId), i64>,
    /// Vessels by the slots in which they are cleaned in full.
    pub full_cleans: BTreeSet<(Slot, VesselId)>,
    /// Overtime by slot and crew, within its limit.
    pub overtime: BTreeMap<(Slot, CrewId), Minutes>,
    /// Packaged beer by beer and format.
    pub goods: Goods,
    /// Crops and pitches.
    pub yeast: YeastBook,
    /// What each vessel holds now: a position in `holdings`.
    current: Vec<Option<usize>>,
}

impl<'a> Ledger<'a> {
    /// Replays a plan.
    #[must_use]
    pub fn replay(case: &'a Case, plan: &'a Plan) -> Self {
        let mut ledger = Self::start(case, plan);
        let mut order: Vec<usize> = (0..plan.tasks.len()).collect();
        order.sort_by_key(|&position| plan.tasks[position].slot);
        let mut pours: Vec<usize> = (0..plan.pours.len()).collect();
        pours.sort_by_key(|&position| plan.pours[position].day);
        let mut pours = pours.into_iter().peekable();
        for position in order {
            let task = &plan.tasks[position];
            let day = case.calendar.day(task.slot);
            while let Some(pour) = pours.next_if(|&pour| plan.pours[pour].day < day) {
                ledger.pour(pour);
            }
            ledger.task(position, task);
        }
        for pour in pours {
            ledger.pour(pour);
        }
        ledger.count_upkeep();
        ledger.finish_tank_work();
        ledger.count_overtime();
        ledger.finish_lines();
        ledger.finish_filters();
        ledger.goods = Goods::count(&ledger);
        ledger
    }

    /// The events of a vessel.
    #[must_use]
    pub fn log(&self, vessel: VesselId) -> &[Entry] {
        &self.logs[vessel.0]
    }

    /// Whether an event is a clean of its vessel, which a bright or serving tank has with its fill; and if so, whether it is the full one.
    #[must_use]
    pub fn cleaned_by(&self, vessel: VesselId, entry: &Entry) -> Option<bool> {
        let is_clean = match self.case.vessel(vessel).is_bright_only() {
            true => matches!(entry.event, Event::Filled(..)),
            false => entry.event == Event::Cleaned,
        };
        is_clean.then(|| self.full_cleans.contains(&(entry.slot, vessel)))
    }

    /// What a vessel holds when the planned days end: a position in `holdings`.
    #[must_use]
    pub fn held_at_end(&self, vessel: VesselId) -> Option<usize> {
        self.current[vessel.0]
    }

    /// The day of a slot, as a number that may be compared with days before day 0.
    #[must_use]
    pub fn day(&self, slot: Slot) -> i64 {
        self.case.calendar.day(slot) as i64
    }

    /// Whether beer left in vessels goes on into a look-ahead.
    #[must_use]
    pub fn looks_ahead(&self) -> bool {
        self.case.calendar.look_ahead_days > 0
    }

    /// The day after the planned days.
    #[must_use]
    pub fn end(&self) -> i64 {
        self.case.calendar.planned_days as i64
    }

    /// Whether a slot is one of the planned days.
    #[must_use]
    pub fn is_planned(&self, slot: Slot) -> bool {
        slot.0 < self.case.calendar.planned_slots()
    }

    /// Days in `(after, to]` with a slot that a role works.
    #[must_use]
    pub fn working_days(&self, role: Role, after: i64, to: i64) -> i64 {
        let first = (after + 1).max(0);
        (first..=to).filter(|&day| self.works_on(role, day)).count() as i64
    }

    /// Whether a role works in a shift of a day.
    #[must_use]
    pub fn works_on(&self, role: Role, day: i64) -> bool {
        let calendar = &self.case.calendar;
        usize::try_from(day).is_ok_and(|day| {
            (0..calendar.shifts.len()).any(|shift| self.case.works(role, calendar.slot(day, shift)))
        })
    }

    fn note(&mut self, vessel: VesselId, slot: Slot, event: Event) {
        self.logs[vessel.0].push(Entry { slot, event });
    }

    fn misfit(&mut self, position: usize, misfit: Misfit) {
        self.misfits.push((position, misfit));
    }

    fn task(&mut self, position: usize, task: &Task) {
        let role = role_of(self.case, &task.work);
        if !self.is_planned(task.slot) {
            self.misfit(position, Misfit::OutOfDays(role));
            return;
        }
        let piece = tank_piece(self.case, &task.work);
        let worked = match piece {
            Some(piece) => self.case.works_in_tank(piece, task.slot),
            None => self.case.works(role, task.slot),
        };
        if !worked {
            self.misfit(position, Misfit::NotWorked(role));
        }
        let before = self.charges.len();
        self.work(position, task);
        for charge in &mut self.charges[before..] {
            charge.worked = worked;
            charge.alone = piece.is_some_and(|piece| piece.alone);
        }
    }

    fn work(&mut self, position: usize, task: &Task) {
        match task.work {
            Work::Brew { beer, vessel, turns, part } if turns > 0 => {
                self.brew(task.slot, beer, vessel, turns, part);
            }
            Work::Brew { turns, .. } => self.misfit(position, Misfit::NoTurns(turns)),
            Work::Clean { vessel, full } => self.clean(task.slot, vessel, full),
            Work::Sanitise { vessel } => self.sanitise(task.slot, vessel),
            Work::Transfer { volume, .. } | Work::Package { volume, .. } if volume.0 <= 0 => {
                self.misfit(position, Misfit::NoVolume(volume));
            }
            Work::Transfer { from, to, volume, full } => {
                self.transfer(task.slot, from, to, bounded(volume), full);
            }
            Work::Package { line, format, vessel, volume } => {
                let piece = Piece { position, format, vessel, volume: bounded(volume) };
                self.package(task.slot, line, piece);
            }
            Work::Carbonate { vessel } => self.carbonate(position, task.slot, vessel),
            Work::Pitch { vessel, yeast, from, pitches } => {
                self.pitch(position, task.slot, vessel, yeast, from, pitches);
            }
            Work::Crop { vessel } => self.crop(position, task.slot, vessel),
            Work::Tank { beer, work, vessel } => self.tank_work(position, task.slot, beer, work, vessel),
            Work::Wash { pool, kegs } => self.wash(position, task.slot, pool, kegs),
            Work::Dump { vessel } => self.dump(task.slot, vessel),
        }
    }
}

/// The piece of tank work that a task is.
fn tank_piece<'c>(case: &'c Case, work: &Work) -> Option<&'c TankWork> {
    match *work {
        Work::Tank { beer, work, .. } => case.beer(beer).tank_work.get(work),
        Work::Brew { .. }
        | Work::Pitch { .. }
        | Work::Crop { .. }
        | Work::Package { .. }
        | Work::Wash { .. }
        | Work::Clean { .. }
        | Work::Sanitise { .. }
        | Work::Transfer { .. }
        | Work::Carbonate { .. }
        | Work::Dump { .. } => None,
    }
}

/// The role that does a piece of work.
#[must_use]
pub fn role_of(case: &Case, work: &Work) -> Role {
    match work {
        Work::Brew { .. } | Work::Pitch { .. } => Role::Brew,
        Work::Package { .. } => Role::Package,
        Work::Wash { .. } => case.keg_washer.map_or(Role::Cellar, |washer| washer.role),
        Work::Clean { .. }
        | Work::Sanitise { .. }
        | Work::Transfer { .. }
        | Work::Carbonate { .. }
        | Work::Crop { .. }
        | Work::Tank { .. }
        | Work::Dump { .. } => Role::Cellar,
    }
}
