//! The ways to put the tank work of a batch into slots, and what follows from each: the course of the batch, with the slots in which it may
//! be moved into a conditioning tank.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{TankWork, TankWorkKind};
use cellarwright_model::units::Minutes;

use crate::compile::columns::Course;
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::tank_work::pieces;
use crate::compile::rules::{calendar, conditioning, outage, ready};

/// A way to do the tank work of a batch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// Pieces done in the planned days, in order.
    pub pieces: Vec<(usize, PeriodId)>,
    /// Number of pieces left out (of beer in tank on day 0).
    pub left_out: i64,
    /// First piece that is left to later days.
    pub pending: Option<usize>,
    /// What follows for the batch.
    pub course: Course,
}

/// What pieces done so far mean for the rest: (left out on later days, days late, day of the last, end of contact).
type Sofar = (i64, i64, i64, i64);

/// A batch whose ways are looked for.
struct Search<'c, 'a> {
    context: &'c Context<'a>,
    kind: KindId,
    group: GroupId,
    pieces: &'a [TankWork],
    on: i64,
    is_opening: bool,
    ready: i64,
    known_late: i64,
    /// Pieces of beer in tank on day 0 that are done.
    done: usize,
    /// Conditioning tanks that it may be moved into.
    tanks: Vec<GroupId>,
    end: i64,
    found: Vec<Way>,
}

impl Search<'_, '_> {
    /// Due day without regard to day 0, first and last day.
    fn window(&self, piece: &TankWork, late: i64) -> (i64, i64, i64) {
        let due = self.on + piece.day + late;
        let counted = if self.is_opening { due.max(0) } else { due };
        (due, (counted - piece.early).max(self.on + 1), counted + piece.slip)
    }

    fn go(&mut self, position: usize, sofar: Sofar, way: &Way, is_open: bool) {
        let Some(piece) = self.pieces.get(position) else {
            self.finish(sofar, way, is_open);
            return;
        };
        let (due, first, last) = self.window(piece, sofar.1);
        let earliest = first.max(sofar.2).max(if is_chill(piece) { sofar.3 } else { first });
        for day in earliest.max(0)..=last.min(self.end - 1) {
            for slot in slots_of(self.context, piece, day) {
                if self.tanks.is_empty() && !outage::is_vessel_there(self.context, self.group, slot) {
                    continue;
                }
                if way.pieces.last().is_some_and(|&(_, before)| slot.0 < before) {
                    continue;
                }
                let mut longer = way.clone();
                longer.pieces.push((position, slot.0));
                self.go(position + 1, after(sofar, piece, due, day), &longer, false);
            }
        }
        if last >= self.end
            && !is_open
            && let Some(best) = self.later(position, sofar)
        {
            let mut longer = way.clone();
            longer.pending = Some(position);
            longer.left_out += best.0;
            self.finish(best, &longer, false);
        }
        if self.is_opening {
            let mut shorter = way.clone();
            shorter.left_out += 1;
            self.go(position + 1, sofar, &shorter, is_open || last >= self.end);
        }
    }

    /// The best way to do the pieces from one on after the planned days.
    fn later(&self, position: usize, sofar: Sofar) -> Option<Sofar> {
        let mut all: BTreeSet<Sofar> = BTreeSet::from([sofar]);
        for piece in &self.pieces[position..] {
            let mut next = BTreeSet::new();
            for sofar in all {
                let (due, first, last) = self.window(piece, sofar.1);
                let earliest = first.max(sofar.2).max(if is_chill(piece) { sofar.3 } else { first });
                for day in earliest.max(self.end)..=last {
                    if !slots_of(self.context, piece, day).is_empty() {
                        next.insert(after(sofar, piece, due, day));
                    }
                }
                if self.is_opening {
                    next.insert((sofar.0 + 1, sofar.1, sofar.2, sofar.3));
                }
            }
            all = next;
        }
        all.into_iter().min_by_key(|&(left_out, late, last, contact)| (left_out, late, contact.max(last + 1)))
    }

    /// `is_open`: a piece is left out that would count as still to be done if the beer stayed beyond the planned days.
    fn finish(&mut self, (_, late, last, contact): Sofar, way: &Way, is_open: bool) {
        let ready = self.ready + late - self.known_late;
        let mut from = contact.max(last + 1);
        if ready::is_kept(self.context, self.kind) {
            from = from.max(ready);
        }
        let to = if is_open { self.end - 1 } else { i64::MAX };
        let carbonates_from = match (way.pending, way.pieces.last()) {
            (Some(_), _) => self.context.grid.fine(),
            (None, Some(&(_, slot)))
                if ready::may_carbonate(self.context, self.kind, ready, self.day(slot)) =>
            {
                slot
            }
            (None, _) => 0,
        };
        let is_there =
            |&(_, slot): &(usize, PeriodId)| outage::is_vessel_there(self.context, self.group, Slot(slot));
        let stays_there = way.pieces.iter().all(is_there);
        let moves = self.moves(way);
        if !stays_there && moves.is_empty() {
            return;
        }
        let moves = Some(moves).filter(|_| !self.tanks.is_empty());
        let course =
            Course { ready: (ready, ready), leaves: (from, to), carbonates_from, stays_there, moves };
        self.found.push(Way { course, ..way.clone() });
    }

    /// Slots of the planned days in which a batch may be moved into conditioning tanks. With what is late by then, it is in the
    /// part of the stay that may be there, and all pieces that are due before the day are done; a piece in the slot of the move comes
    /// before it.
    fn moves(&self, way: &Way) -> Vec<(PeriodId, GroupId)> {
        let mut found = Vec::new();
        if self.tanks.is_empty() {
            return found;
        }
        let beer = self.context.case.beer(self.context.kind(self.kind).beer);
        let (rest, early) = (beer.conditions.unwrap_or_default(), i64::from(beer.during_chill));
        for slot in (0..self.context.grid.fine()).map(Slot) {
            let day = self.day(slot.0);
            let mut late = self.known_late;
            for &(position, done) in way.pieces.iter().filter(|&&(_, done)| done <= slot.0) {
                let due = self.on + self.pieces[position].day + late;
                late += if self.pieces[position].moves { (self.day(done) - due).max(0) } else { 0 };
            }
            let ready = self.ready + late - self.known_late;
            let is_due = |position: usize| {
                let done = way.pieces.iter().find(|&&(piece, _)| piece == position);
                let is_left_out = done.is_none() && way.pending.is_none_or(|pending| position < pending);
                let is_done = done.is_some_and(|&(_, done)| done <= slot.0);
                let due = self.on + self.pieces[position].day + late;
                let due = if self.is_opening { due.max(0) } else { due };
                !is_done && !is_left_out && due < day
            };
            let is_ripe = ready - rest <= day && day < ready - early;
            if !is_ripe || (self.done..self.pieces.len()).any(is_due) {
                continue;
            }
            for &to in &self.tanks {
                let is_there = way.pieces.iter().all(|&(_, done)| {
                    let vessel = if done <= slot.0 { self.group } else { to };
                    outage::is_vessel_there(self.context, vessel, Slot(done))
                });
                if is_there {
                    found.push((slot.0, to));
                }
            }
        }
        found
    }

    fn day(&self, slot: PeriodId) -> i64 {
        self.context.case.calendar.day(Slot(slot)) as i64
    }
}

/// Whether a piece begins to cool the beer down.
pub fn is_chill(piece: &TankWork) -> bool {
    piece.kind == TankWorkKind::Chill
}

fn after((left_out, late, _, contact): Sofar, piece: &TankWork, due: i64, day: i64) -> Sofar {
    let slipped = if piece.moves { (day - due).max(0) } else { 0 };
    let contact = if is_chill(piece) { day + piece.contact } else { contact.max(day + piece.contact) };
    (left_out, late + slipped, day, contact)
}

/// Slots of a day in which a piece can be done.
fn slots_of(context: &Context, piece: &TankWork, day: i64) -> Vec<Slot> {
    let Ok(day) = usize::try_from(day) else { return Vec::new() };
    let times = &context.case.calendar;
    (0..times.shifts.len())
        .map(|shift| times.slot(day, shift))
        .filter(|&slot| {
            let is_worked = calendar::works(context, Role::Cellar, slot)
                || piece.alone && context.case.check_time(slot) > Minutes::ZERO;
            is_worked && piece.job.takes <= context.case.shift_hours(slot)
        })
        .collect()
}

fn search<'c, 'a>(
    context: &'c Context<'a>,
    kind: KindId,
    group: GroupId,
    on: i64,
    ready: i64,
) -> Search<'c, 'a> {
    Search {
        context,
        kind,
        group,
        pieces: pieces(context, kind),
        on,
        is_opening: context.opening(kind).is_some(),
        ready,
        known_late: 0,
        done: 0,
        tanks: conditioning::tanks(context, kind, group),
        end: context.case.calendar.planned_days as i64,
        found: Vec::new(),
    }
}

const NO_WAY: Way = Way {
    pieces: Vec::new(),
    left_out: 0,
    pending: None,
    course: Course { ready: (0, 0), leaves: (0, 0), carbonates_from: 0, stays_there: true, moves: None },
};

/// All ways to do the tank work of an opening batch, or of one whose last turn is in a period of the planned days.
pub fn ways(context: &Context, kind: KindId, group: GroupId, filled: Option<PeriodId>) -> Vec<Way> {
    let (base, _) = ready::ready_days(context, kind, group, filled);
    let on = match (context.opening(kind), filled) {
        (Some(tank), _) => tank.on,
        (None, Some(period)) => context.grid.period(period).first_day,
        (None, None) => 0,
    };
    let mut search = search(context, kind, group, on, base);
    let mut sofar = (0, 0, on, i64::MIN);
    let done = context.opening(kind).map_or(&[][..], |tank| &tank.work_done);
    for (piece, &day) in search.pieces.iter().zip(done) {
        sofar = after(sofar, piece, on + piece.day + sofar.1, day);
    }
    search.known_late = sofar.1;
    search.done = done.len().min(search.pieces.len());
    search.go(search.done, sofar, &NO_WAY, false);
    search.found
}

/// The courses of an opening batch or of batches filled in a period; none where their tank work cannot be done.
pub fn courses(context: &Context, kind: KindId, group: GroupId, filled: Option<PeriodId>) -> Vec<Course> {
    let ready = ready::ready_days(context, kind, group, filled);
    let leaves = (i64::MIN, i64::MAX);
    let plain = Course { ready, leaves, carbonates_from: 0, stays_there: true, moves: None };
    if pieces(context, kind).is_empty() {
        return vec![plain];
    }
    match filled {
        Some(period) if !context.grid.is_fine(period) => {
            let here = context.grid.period(period);
            let days = (here.first_day..=here.last_day).filter_map(|day| {
                let search = search(context, kind, group, day, day + ready.0 - here.first_day);
                let (_, late, _, _) = search.later(0, (0, 0, day, i64::MIN))?;
                Some(search.ready + late)
            });
            let days: Vec<i64> = days.collect();
            match (days.iter().min(), days.iter().max()) {
                (Some(&first), Some(&last)) => vec![Course { ready: (first, last), ..plain }],
                _ => Vec::new(),
            }
        }
        _ => {
            let all: BTreeSet<Course> =
                ways(context, kind, group, filled).into_iter().map(|way| way.course).collect();
            all.into_iter().collect()
        }
    }
}
