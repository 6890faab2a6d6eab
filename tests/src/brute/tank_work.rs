//! R17: tank work on batches, in the vessel that holds them. Beer in tank on day 0 has all of its work done: leaving pieces out is not tried.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{TankWork, TankWorkKind};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Task, Work};

use super::facts::Facts;
use super::heat::chill;
use super::state::{Batch, Content, Gas, Leaving, State};

/// How far the work on a batch has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Progress {
    /// Days late, by pieces that move what follows.
    pub late: i64,
    /// First day on which nothing is in contact any more.
    pub contact: i64,
    /// Day of the last piece.
    pub last: i64,
    /// Pieces done.
    pub done: usize,
}

impl Progress {
    /// Of a batch on which nothing is done yet.
    pub fn none() -> Self {
        Self { late: 0, contact: i64::MIN, last: i64::MIN, done: 0 }
    }

    /// With one piece more, due on a day and done on another.
    pub fn with(self, piece: &TankWork, due: i64, day: i64) -> Self {
        let slipped = if piece.moves && day > due { day - due } else { 0 };
        let ends_contact = piece.kind == TankWorkKind::Chill;
        let until = day + piece.contact;
        Self {
            late: self.late + slipped,
            contact: if ends_contact { until } else { self.contact.max(until) },
            last: day,
            done: self.done + 1,
        }
    }
}

fn pieces<'a>(facts: &Facts<'a>, batch: &Batch) -> &'a [TankWork] {
    &facts.case.beer(batch.beer).tank_work
}

/// Due day of a piece as things stand.
fn due(batch: &Batch, progress: Progress, piece: &TankWork) -> i64 {
    batch.on + piece.day + progress.late
}

/// Whether the next piece may be done on a day, and its due day; none if it may not.
fn may_be_done(batch: &Batch, progress: Progress, piece: &TankWork, day: i64) -> Option<i64> {
    let due = due(batch, progress, piece);
    let in_time = due - piece.early <= day && day <= due + piece.slip && day > batch.on;
    let in_order = day >= progress.last;
    let in_contact = piece.kind == TankWorkKind::Chill && day < progress.contact;
    (in_time && in_order && !in_contact).then_some(due)
}

/// All ways to go on with the work on what a vessel holds in a slot: no piece, the next one, the next two and so on.
pub fn tank_work(facts: &Facts, state: &State, slot: Slot, vessel: VesselId) -> Vec<State> {
    let mut found = vec![state.clone()];
    let mut state = state.clone();
    loop {
        let Content::Batch(batch) = &state.vessels[vessel.0] else { return found };
        let is_free = matches!(batch.leaving, Leaving::NotYet) && !matches!(batch.gas, Gas::In(_));
        let Some(piece) = pieces(facts, batch).get(batch.work.done).filter(|_| is_free) else {
            return found;
        };
        let day = facts.day(slot);
        let works = facts.works(Role::Cellar, slot) && piece.job.takes <= facts.clock(slot);
        let Some(due) = may_be_done(batch, batch.work, piece, day).filter(|_| works) else { return found };
        let (beer, number, job, is_chill) =
            (batch.beer, batch.work.done, piece.job, piece.kind == TankWorkKind::Chill);
        let wort = batch.wort;
        let mut after = batch.clone();
        after.work = batch.work.with(piece, due, day);
        after.ready += after.work.late - batch.work.late;
        state.vessels[vessel.0] = Content::Batch(after);
        chill(&mut state.heat, piece, wort, day);
        state.slots[slot.0].chills += i64::from(is_chill);
        let shifts = facts.case.calendar.shifts.len();
        let first_of_day = slot.0 - slot.0 % shifts;
        let chills: i64 = state.slots[first_of_day..=slot.0].iter().map(|work| work.chills).sum();
        if facts.case.cooling.chills_a_day.is_some_and(|most| chills > most) {
            return found;
        }
        state.job(facts, slot, &job);
        state.tasks.push(Task::new(slot, Work::Tank { beer, work: number, vessel }));
        found.push(state.clone());
    }
}

/// Whether a batch may leave on a day as far as its work decides.
pub fn may_leave(facts: &Facts, batch: &Batch, day: i64) -> bool {
    let is_done = batch.work.done == pieces(facts, batch).len();
    is_done && day > batch.work.last && day >= batch.work.contact
}

/// Whether all pieces are done.
pub fn is_done(facts: &Facts, batch: &Batch) -> bool {
    batch.work.done == pieces(facts, batch).len()
}

/// R21: whether all pieces that are due before a day are done.
pub fn may_be_moved(facts: &Facts, batch: &Batch, day: i64) -> bool {
    let left = pieces(facts, batch).iter().skip(batch.work.done);
    left.map(|piece| due(batch, batch.work, piece)).all(|due| due >= day)
}

/// Whether the next piece of every batch can still be done after a slot, if it is the last of its day.
pub fn is_in_time(facts: &Facts, state: &State, slot: Slot) -> bool {
    let shifts = facts.case.calendar.shifts.len();
    let is_last = slot.0 % shifts == shifts - 1;
    state.vessels.iter().all(|content| match content {
        Content::Batch(batch) if is_last => {
            let next = pieces(facts, batch).get(batch.work.done);
            next.is_none_or(|piece| due(batch, batch.work, piece) + piece.slip > facts.day(slot))
        }
        Content::Batch(_) | Content::Empty(_) | Content::Lot(_) => true,
    })
}

/// Days that the work left to the days after the horizon makes a batch late at best; none if it cannot be done.
pub fn late_at_best(facts: &Facts, batch: &Batch) -> Option<i64> {
    let mut best: Option<(i64, i64)> = None;
    go_on(facts, batch, batch.work, &mut best);
    best.map(|(late, _)| late - batch.work.late)
}

fn go_on(facts: &Facts, batch: &Batch, progress: Progress, best: &mut Option<(i64, i64)>) {
    let Some(piece) = pieces(facts, batch).get(progress.done) else {
        let found = (progress.late, progress.contact.max(progress.last + 1));
        *best = Some(best.map_or(found, |best| best.min(found)));
        return;
    };
    let calendar = &facts.case.calendar;
    for day in facts.days()..=due(batch, progress, piece) + piece.slip {
        let mut slots = (0..calendar.shifts.len()).map(|shift| calendar.slot(day as usize, shift));
        let works = slots.any(|slot| {
            facts.case.works(Role::Cellar, slot) && piece.job.takes <= facts.case.shift_hours(slot)
        });
        if let Some(due) = may_be_done(batch, progress, piece, day).filter(|_| works) {
            go_on(facts, batch, progress.with(piece, due, day), best);
        }
    }
}
