//! Tank work: what is done to a batch in its fermenter, and what that means for its ready day.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, TankWork, TankWorkKind};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::units::Volume;

use super::{Charge, Holding, Kind, Ledger, Misfit, Way};

/// The tank work of one batch.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WorkDone {
    /// Days of the first pieces, done before day 0.
    pub before: Vec<i64>,
    /// Slots of pieces done in the plan in this vessel, by their position in the beer's list.
    pub done: BTreeMap<usize, Slot>,
    /// Slots of pieces done in the plan in the fermenter, before the batch was moved here.
    pub done_there: BTreeMap<usize, Slot>,
    /// Days late, by what was done after the batch was moved on from here.
    pub late_after_move: i64,
    /// Pieces that are due before the day on which the batch is moved on from here, and not done by then; the day each is due.
    pub undone_at_move: Vec<(usize, i64)>,
    /// First and last day on which each of those might have been done.
    pub windows: BTreeMap<usize, (i64, i64)>,
    /// Pieces that are left out, with the last day on which each might have been done.
    pub left_out: Vec<(usize, i64)>,
    /// Position of the first piece that is left to the days after the planned ones, if any.
    pub pending: Option<usize>,
    /// There is no way to do what is left on later days.
    pub no_way: bool,
    /// First day on which the beer may leave after its work and contact times.
    pub leaves_from: Option<i64>,
    /// A chill that is done too soon after what went in before: its slot, and the first day for it.
    pub chilled_early: Vec<(Slot, i64)>,
}

impl WorkDone {
    /// Slot of the last piece that is done.
    #[must_use]
    pub fn last(&self) -> Option<Slot> {
        self.done.values().chain(self.done_there.values()).max().copied()
    }

    /// All pieces done in the plan, wherever the batch was.
    #[must_use]
    pub fn all(&self) -> BTreeMap<usize, Slot> {
        self.done.iter().chain(&self.done_there).map(|(&position, &slot)| (position, slot)).collect()
    }

    /// What of it goes with a batch that is moved into a conditioning tank.
    #[must_use]
    pub fn taken_along(&self) -> Self {
        Self { before: self.before.clone(), done_there: self.all(), ..Self::default() }
    }
}

/// How far the pieces before one have come: what decides about the pieces after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Standing {
    /// Pieces left out among those of later days.
    left_out: usize,
    /// Days late.
    late: i64,
    /// Day of the last piece.
    last: i64,
    /// Day up to which contact times last.
    contact: i64,
}

impl Standing {
    /// First day on which the beer may leave.
    fn leaves_from(self) -> i64 {
        self.contact.max(self.last + 1)
    }

    /// After a piece that was due on a day and done on another.
    fn after(self, work: &TankWork, due: i64, done: i64) -> Self {
        let before = if work.kind == TankWorkKind::Chill { i64::MIN } else { self.contact };
        Self {
            late: self.late + if work.moves { (done - due).max(0) } else { 0 },
            last: done,
            contact: before.max(done + work.contact),
            ..self
        }
    }
}

/// What is known of a batch before its work.
#[derive(Clone, Copy, Debug)]
struct Batch<'a> {
    case: &'a Case,
    works: &'a [TankWork],
    /// Day of the last turn.
    on: i64,
    opening: bool,
}

impl Batch<'_> {
    fn due(&self, work: &TankWork, late: i64) -> i64 {
        let due = self.on + work.day + late;
        if self.opening { due.max(0) } else { due }
    }

    /// First and last day of a piece.
    fn window(&self, work: &TankWork, late: i64) -> (i64, i64) {
        let due = self.due(work, late);
        ((due - work.early).max(self.on + 1), due + work.slip)
    }

    /// The best way to do the pieces from one on, on days from `first` on; what is late is counted from the day that it
    /// was due, not from day 0.
    fn on_later_days(&self, from: usize, standing: Standing, first: i64) -> Option<Standing> {
        let mut all = BTreeSet::from([standing]);
        for work in &self.works[from..] {
            let mut next = BTreeSet::new();
            for standing in all {
                let due = self.on + work.day + standing.late;
                let (begins, ends) = self.window(work, standing.late);
                let contact = if work.kind == TankWorkKind::Chill { standing.contact } else { i64::MIN };
                for day in begins.max(first).max(standing.last).max(contact)..=ends {
                    if works_on(self.case, work, day) {
                        next.insert(standing.after(work, due, day));
                    }
                }
                if self.opening {
                    next.insert(Standing { left_out: standing.left_out + 1, ..standing });
                }
            }
            all = next;
        }
        all.into_iter().min_by_key(|one| (one.left_out, one.late, one.leaves_from()))
    }
}

/// Whether a piece of work can be done on a day.
fn works_on(case: &Case, work: &TankWork, day: i64) -> bool {
    let calendar = &case.calendar;
    usize::try_from(day).is_ok_and(|day| {
        (0..calendar.shifts.len())
            .map(|shift| calendar.slot(day, shift))
            .any(|slot| case.works_in_tank(work, slot) && work.job.takes <= case.shift_hours(slot))
    })
}

/// The earliest ready day of a batch whose last turn is on a day of the look-ahead; none if its tank work cannot be done.
#[must_use]
pub fn earliest_ready(case: &Case, beer: BeerId, on: i64) -> Option<i64> {
    let data = case.beer(beer);
    let batch = Batch { case, works: &data.tank_work, on, opening: false };
    let nothing = Standing { left_out: 0, late: 0, last: on, contact: i64::MIN };
    Some(on + data.stay_days() + batch.on_later_days(0, nothing, on)?.late)
}

impl Ledger<'_> {
    pub(super) fn tank_work(
        &mut self,
        position: usize,
        slot: Slot,
        beer: BeerId,
        work: usize,
        vessel: VesselId,
    ) {
        let Some(piece) = self.case.beer(beer).tank_work.get(work) else {
            self.misfit(position, Misfit::NoSuchTankWork);
            return;
        };
        self.charges.push(Charge::of(self.case, slot, piece.job.crew));
        let Some(held) = self.held(slot, vessel, Volume::ZERO) else { return };
        let holding = &mut self.holdings[held];
        if holding.kind != Kind::Batch || holding.beer != beer {
            self.misfit(position, Misfit::NoSuchTankWork);
        } else if work < holding.work.before.len() || holding.work.all().contains_key(&work) {
            self.misfit(position, Misfit::TankWorkTwice);
        } else {
            holding.work.done.insert(work, slot);
        }
    }

    /// Judges the tank work of every batch and moves its ready day, once the whole plan is replayed.
    pub(super) fn finish_tank_work(&mut self) {
        for held in 0..self.holdings.len() {
            let holding = &self.holdings[held];
            if holding.kind != Kind::Batch || self.case.beer(holding.beer).tank_work.is_empty() {
                continue;
            }
            // The work of a batch that is moved is judged where it ends.
            if holding.moves().next().is_some() && self.holdings.iter().any(|to| to.came_from == Some(held)) {
                continue;
            }
            let (work, late) = self.judged(holding);
            if let Some(before) = holding.came_from {
                self.finish_where_it_was(before, &work, late);
            }
            let holding = &mut self.holdings[held];
            holding.work = work;
            holding.ready += late;
            holding.stay += late;
        }
    }

    /// What the work of a batch that was moved means for its time in the fermenter.
    fn finish_where_it_was(&mut self, held: usize, work: &WorkDone, late: i64) {
        let holding = &self.holdings[held];
        let works = &self.case.beer(holding.beer).tank_work;
        let late_then = self.late_so_far(holding);
        let batch = Batch { case: self.case, works, on: holding.on, opening: holding.opening };
        let moved_on = holding.moves().next().map_or(i64::MIN, |out| self.day(out.slot));
        let mut undone = Vec::new();
        for (position, piece) in works.iter().enumerate().skip(holding.work.before.len()) {
            let is_left_out = work.left_out.iter().any(|&(left_out, _)| left_out == position)
                && work.pending.is_none_or(|pending| position < pending);
            let due = batch.due(piece, late_then);
            let is_settled = holding.work.done.contains_key(&position) || holding.opening && is_left_out;
            if !is_settled && due < moved_on {
                undone.push((position, due));
            }
        }
        let windows = work.windows.iter().map(|(&position, &window)| (position, window));
        let windows = windows.filter(|(position, _)| holding.work.done.contains_key(position)).collect();
        let holding = &mut self.holdings[held];
        holding.work.windows = windows;
        holding.work.undone_at_move = undone;
        holding.work.late_after_move = late - late_then;
        holding.ready += late;
        holding.stay += late;
    }

    /// Days that the work done to a batch so far makes it late.
    pub(super) fn late_so_far(&self, holding: &Holding) -> i64 {
        let works = &self.case.beer(holding.beer).tank_work;
        let mut standing = Standing { left_out: 0, late: 0, last: holding.on, contact: i64::MIN };
        for (piece, &day) in works.iter().zip(&holding.work.before) {
            standing = standing.after(piece, holding.on + piece.day + standing.late, day);
        }
        let known_late = standing.late;
        for (position, slot) in holding.work.all() {
            if let Some(piece) = works.get(position) {
                let due = holding.on + piece.day + standing.late;
                standing = standing.after(piece, due, self.day(slot));
            }
        }
        standing.late - known_late
    }

    /// The work of a batch with all that follows from it, and by how many days it is late.
    fn judged(&self, holding: &Holding) -> (WorkDone, i64) {
        let works = &self.case.beer(holding.beer).tank_work;
        let batch = Batch { case: self.case, works, on: holding.on, opening: holding.opening };
        let mut work = WorkDone {
            before: holding.work.before.clone(),
            done: holding.work.done.clone(),
            done_there: holding.work.done_there.clone(),
            ..WorkDone::default()
        };
        let done = work.all();
        let mut standing = Standing { left_out: 0, late: 0, last: holding.on, contact: i64::MIN };
        for (piece, &day) in works.iter().zip(&work.before) {
            standing = standing.after(piece, holding.on + piece.day + standing.late, day);
        }
        let known_late = standing.late;
        let is_dumped = holding.outs.first().is_some_and(|out| out.way == Way::Dump);
        let end = self.end();
        for (position, piece) in works.iter().enumerate().skip(work.before.len()) {
            let window = batch.window(piece, standing.late);
            if let Some(&slot) = done.get(&position) {
                let day = self.day(slot);
                work.windows.insert(position, window);
                if piece.kind == TankWorkKind::Chill && day < standing.contact {
                    work.chilled_early.push((slot, standing.contact));
                }
                standing = standing.after(piece, holding.on + piece.day + standing.late, day);
                continue;
            }
            let is_overtaken = done.range(position..).next().is_some();
            let is_out = is_overtaken || holding.has_begun() || window.1 < end;
            if is_out && !is_dumped {
                work.left_out.push((position, window.1));
            } else if !is_out {
                work.pending = Some(position);
                break;
            }
        }
        if let Some(pending) = work.pending {
            match batch.on_later_days(pending, standing, end) {
                Some(best) => {
                    work.left_out.extend((0..best.left_out).map(|_| (pending, end)));
                    standing = best;
                }
                None => work.no_way = true,
            }
        }
        let has_work = !work.before.is_empty() || !done.is_empty() || work.pending.is_some();
        work.leaves_from = has_work.then(|| standing.leaves_from());
        (work, standing.late - known_late)
    }
}
