//! What a vessel holds while the plan is made slot by slot.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, InTank, Marks};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::units::{Minutes, Volume};

/// Whether a batch is carbonated in its fermenter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gas {
    /// Not yet.
    No,
    /// Before day 0.
    Before,
    /// In this slot.
    In(Slot),
}

/// Beer in a vessel.
#[derive(Clone, Debug)]
pub struct Held {
    /// The beer.
    pub beer: BeerId,
    /// It was transferred in, to be packaged or poured from here.
    pub is_lot: bool,
    /// It was there on day 0.
    pub opening: bool,
    /// Slot of its first turn, or of its transfer.
    pub from: Option<Slot>,
    /// Day of its last turn, or of its transfer.
    pub on: i64,
    /// First slot after its last turn.
    pub after: usize,
    /// Day on which it is ready.
    pub ready: i64,
    /// Last day on which the next step may begin; for a lot that of its last packaging.
    pub ends: i64,
    /// What it held when it was filled, after the tank loss.
    pub volume: Volume,
    /// What is left.
    pub left: Volume,
    /// Whether the loss of direct packaging is taken off.
    pub is_direct: bool,
    /// Whether it is carbonated, for a batch.
    pub gas: Gas,
    /// A lot: clock time from its fill to its first packaging.
    pub rests: Minutes,
    /// Slot in which it began to leave.
    pub begun: Option<Slot>,
    /// Bright tanks that it was transferred into.
    pub transfers: i64,
    /// Pieces of tank work that are done or left out.
    pub worked: usize,
    /// Days late by its tank work.
    pub late: i64,
    /// Slot of the last piece in the plan.
    pub last_work: Option<Slot>,
    /// Day of the last piece.
    pub last_work_day: i64,
    /// Day up to which contact times last.
    pub contact: i64,
}

impl Held {
    /// Beer of day 0.
    pub fn opening(case: &Case, tank: &InTank) -> Self {
        let beer = case.beer(tank.beer);
        let volume = if tank.is_bright || case.was_moved(tank) {
            tank.filled
        } else {
            beer.loss_tank.taken_off(tank.filled)
        };
        let stays = if tank.is_bright { beer.bright_must_leave } else { beer.must_leave };
        let works = beer.tank_work.iter().zip(&tank.work_done);
        let contact = works.fold(i64::MIN, |contact, (work, day)| contact.max(day + work.contact));
        Self {
            beer: tank.beer,
            is_lot: tank.is_bright,
            opening: true,
            from: None,
            on: tank.on,
            after: 0,
            ready: tank.ready,
            ends: tank.on + stays,
            volume,
            left: volume,
            is_direct: false,
            gas: if tank.carbonated || tank.is_bright { Gas::Before } else { Gas::No },
            rests: Minutes::ZERO,
            begun: None,
            transfers: 0,
            worked: tank.work_done.len(),
            late: 0,
            last_work: None,
            last_work_day: tank.work_done.last().copied().unwrap_or(tank.on),
            contact,
        }
    }

    /// First day on which it may leave.
    pub fn leaves_from(&self, case: &Case) -> i64 {
        if self.is_lot || case.beer(self.beer).tank_work.is_empty() {
            return self.ready;
        }
        self.ready.max(self.last_work_day + 1).max(self.contact)
    }

    /// Whether all of its tank work is done.
    pub fn is_worked(&self, case: &Case) -> bool {
        self.is_lot || self.worked >= case.beer(self.beer).tank_work.len()
    }
}

/// What a vessel is.
#[derive(Clone, Debug)]
pub enum State {
    /// Empty and not cleaned.
    Dirty {
        /// Slot in which it was emptied; none before day 0.
        since: Option<Slot>,
        /// Clock time of the transfer that emptied it; none if it was packaged.
        emptying: Option<Minutes>,
    },
    /// Empty and clean.
    Clean {
        /// Slot of the clean; none before day 0.
        since: Option<Slot>,
        /// Clock time of the emptying, if that was in the same slot.
        emptying: Minutes,
    },
    /// Beer.
    Full(Box<Held>),
}

/// One vessel.
#[derive(Clone, Debug)]
pub struct Tank {
    /// Which.
    pub id: VesselId,
    /// What it is.
    pub state: State,
    /// Fills since its last full clean.
    pub fills: i64,
    /// Marks of the last beer.
    pub marks: Marks,
}

impl Tank {
    /// As it is on day 0.
    pub fn new(case: &Case, id: VesselId) -> Self {
        let tank = case.in_tank.iter().find(|tank| tank.vessel == id);
        let state = match tank {
            Some(tank) => State::Full(Box::new(Held::opening(case, tank))),
            None if case.dirty.contains(&id) => State::Dirty { since: None, emptying: None },
            None => State::Clean { since: None, emptying: Minutes::ZERO },
        };
        let since = case.since_full(id);
        Self { id, state, fills: since.fills, marks: since.marks }
    }

    /// The beer in it.
    pub fn held(&self) -> Option<&Held> {
        match &self.state {
            State::Full(held) => Some(held),
            State::Dirty { .. } | State::Clean { .. } => None,
        }
    }

    /// The beer in it, to be changed.
    pub fn held_mut(&mut self) -> Option<&mut Held> {
        match &mut self.state {
            State::Full(held) => Some(held),
            State::Dirty { .. } | State::Clean { .. } => None,
        }
    }

    /// Whether its next clean is a full one, whatever comes next.
    pub fn needs_full(&self, case: &Case) -> bool {
        case.vessel(self.id).full_clean.is_some_and(|full| {
            full.every.is_some_and(|every| self.fills >= every)
                || self.marks.common(full.after) != Marks::NONE
        })
    }

    /// Notes a clean.
    pub fn cleaned(&mut self, full: bool) {
        if full {
            self.fills = 0;
            self.marks = Marks::NONE;
        }
    }

    /// Notes a fill.
    pub fn filled(&mut self, case: &Case, held: Held) {
        self.fills += 1;
        self.marks = case.beer(held.beer).marks;
        self.state = State::Full(Box::new(held));
    }
}
