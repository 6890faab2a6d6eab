//! What the clock times of a plan mean: who and what is busy from when to when. Written from the reading of R23 alone.

pub mod people;
mod pitching;
pub mod sets;

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Reach, RoleTimes};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Minutes, Volume};

use crate::exact::{Fine, bounded};
use crate::ledger::{Carbonated, Ledger, Piece, line_change};
use people::Duty;

/// Something busy, in minutes from midnight of day 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Busy {
    pub from: i64,
    pub to: i64,
    /// The slot of the task.
    pub slot: Slot,
}

/// A task that begins at another time than the one before it on its line is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OffBeat {
    pub slot: Slot,
    pub line: LineId,
    pub begins: Minutes,
    pub due: Minutes,
}

/// Work that must be over by a time of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deadline {
    pub slot: Slot,
    pub position: usize,
    pub over: i64,
    pub by: i64,
    pub what: &'static str,
}

/// Everything that the clock times say.
#[derive(Clone, Debug, Default)]
pub struct Clock {
    /// With the position of the task in the plan.
    pub vessels: Vec<(VesselId, usize, Busy)>,
    /// In the order of the plan.
    pub brewhouse: Vec<Busy>,
    /// In the order of the plan.
    pub washer: Vec<Busy>,
    /// With the position of the filter in the case.
    pub filters: Vec<(usize, Busy)>,
    pub cleaning_sets: Vec<(Reach, Busy)>,
    pub duties: Vec<(Slot, Duty)>,
    pub off_beat: Vec<OffBeat>,
    pub deadlines: Vec<Deadline>,
    /// For each task that brews, when its first turn is over, in minutes from the start of its shift.
    first_turns: BTreeMap<usize, i64>,
    /// For each crop, when it is over, in minutes from the start of its shift.
    crops: BTreeMap<usize, i64>,
    /// Tasks without a clock time.
    pub without: Vec<usize>,
}

/// Whether the plan has clock times at all.
#[must_use]
pub fn has_times(ledger: &Ledger) -> bool {
    ledger.plan.tasks.iter().any(|task| task.begins.is_some())
}

/// Reads the clock times of the planned days.
#[must_use]
pub fn read(ledger: &Ledger) -> Clock {
    let mut clock = Clock::default();
    let mut brewed_on: Option<usize> = None;
    for (position, task) in
        ledger.plan.tasks.iter().enumerate().filter(|(_, task)| ledger.is_planned(task.slot))
    {
        // Pitching takes no time of its own.
        if matches!(task.work, Work::Pitch { .. }) {
            continue;
        }
        let Some(begins) = task.begins else {
            clock.without.push(position);
            continue;
        };
        let day = ledger.case.calendar.day(task.slot);
        let is_first_turn = brewed_on != Some(day);
        if matches!(task.work, Work::Brew { .. }) {
            brewed_on = Some(day);
        }
        let begins = begins.0.clamp(-MOST, MOST);
        Task { ledger, position, slot: task.slot, begins }.read(&task.work, is_first_turn, &mut clock);
    }
    for (&(slot, line), line_slot) in &ledger.line_slots {
        let pieces: Vec<(BeerId, Piece)> = line_slot
            .runs
            .iter()
            .flat_map(|run| run.pieces.iter().map(move |&piece| (run.beer, piece)))
            .collect();
        read_line(ledger, slot, line, pieces, &mut clock);
    }
    pitching::read(ledger, &mut clock);
    clock
}

/// Clock times are taken within a year, so that sums stay sums.
const MOST: i64 = 366 * 24 * 60;

/// More kegs than anybody washes in a shift.
const MOST_KEGS: i64 = 1_000_000;

/// The last minute of a shift for work that needs somebody to the end: its clock time, or its longest overtime.
#[must_use]
pub fn shift_ends(ledger: &Ledger, slot: Slot) -> Minutes {
    let mut last = ledger.case.shift_hours(slot);
    for crew in ledger.case.crew_ids() {
        last = last.max(leaves(ledger, crew, slot));
    }
    last
}

/// When a crew leaves: its hours with the break, and its overtime; nothing where it is not there.
#[must_use]
pub fn leaves(ledger: &Ledger, crew: cellarwright_model::ids::CrewId, slot: Slot) -> Minutes {
    if ledger.case.crew_people(crew, slot) == 0 {
        return Minutes::ZERO;
    }
    let overtime = ledger.overtime.get(&(slot, crew)).copied().unwrap_or_default();
    ledger.case.crew(crew).hours + overtime
}

struct Task<'l, 'a> {
    ledger: &'l Ledger<'a>,
    position: usize,
    slot: Slot,
    /// Minutes after the shift's start.
    begins: i64,
}

impl Task<'_, '_> {
    fn busy(&self, from: i64, to: i64) -> Busy {
        let start = self.ledger.case.calendar.start(self.slot).0 + self.begins;
        Busy { from: start + from, to: start + to, slot: self.slot }
    }

    /// People of one piece of work: as many as it takes to do its person-time within its clock time.
    fn people(&self, crew: RoleTimes, from: i64, takes: Minutes, clock: &mut Clock) {
        for role in Role::ALL {
            let time = crew.of(role).0;
            if time > 0 {
                let heads =
                    if takes.0 > 0 { time.div_euclid(takes.0) + i64::from(time % takes.0 > 0) } else { 1 };
                let each = time.div_euclid(heads) + i64::from(time % heads > 0);
                let from = self.begins + from;
                clock.duties.push((self.slot, Duty { role, heads, from, to: from + each, alone: false }));
            }
        }
    }

    fn over_in_shift(&self, over: i64, clock: &mut Clock) {
        let by = shift_ends(self.ledger, self.slot).0;
        self.deadline(self.begins + over, by, "over", clock);
        if self.begins < 0 {
            self.deadline(-self.begins, 0, "before its shift", clock);
        }
    }

    fn deadline(&self, over: i64, by: i64, what: &'static str, clock: &mut Clock) {
        clock.deadlines.push(Deadline { slot: self.slot, position: self.position, over, by, what });
    }

    /// Carbonating is over when the shift of the first packaging from the vessel starts.
    fn carbonated(&self, vessel: VesselId, over: i64, clock: &mut Clock) {
        let packages = |work: &Work| match *work {
            Work::Package { vessel: from, .. } => from == vessel,
            Work::Transfer { from, to, .. } => from == vessel && self.ledger.case.vessel(to).is_serve_only(),
            _ => false,
        };
        let later = self.ledger.plan.tasks.iter().filter(|task| {
            task.slot > self.slot && self.ledger.is_planned(task.slot) && packages(&task.work)
        });
        if let Some(first) = later.map(|task| task.slot).min() {
            let calendar = &self.ledger.case.calendar;
            let by = calendar.start(first) - calendar.start(self.slot);
            self.deadline(self.begins + over, by.0, "carbonated", clock);
        }
    }

    fn read(&self, work: &Work, is_first_turn: bool, clock: &mut Clock) {
        let case = self.ledger.case;
        match *work {
            Work::Brew { beer, vessel, turns, .. } => self.brew(beer, vessel, turns, is_first_turn, clock),
            Work::Clean { vessel, full } => {
                let clean = case.vessel(vessel).cleaning(full);
                self.people(clean.crew, 0, clean.takes, clock);
                clock.cleaning_sets.push((case.vessel(vessel).reach, self.busy(0, clean.takes.0)));
                clock.vessels.push((vessel, self.position, self.busy(0, clean.takes.0)));
                self.over_in_shift(clean.takes.0, clock);
            }
            Work::Sanitise { vessel } => {
                self.people(case.sanitise.crew, 0, case.sanitise.takes, clock);
                clock.vessels.push((vessel, self.position, self.busy(0, case.sanitise.takes.0)));
                self.over_in_shift(case.sanitise.takes.0, clock);
            }
            Work::Transfer { from, to, volume, full } => self.transfer(from, (to, full), volume, clock),
            Work::Carbonate { vessel } => {
                let mut held = self.ledger.holdings.iter();
                let held =
                    held.find(|held| held.vessel == vessel && held.carbonated == Carbonated::In(self.slot));
                let beer = held.map(|held| case.beer(held.beer));
                let takes = beer.map_or(case.carbonate.takes, |beer| case.carbonating_takes(beer));
                self.people(case.carbonate.crew, 0, takes, clock);
                clock.vessels.push((vessel, self.position, self.busy(0, takes.0)));
                self.over_in_shift(0, clock);
                self.carbonated(vessel, takes.0, clock);
            }
            Work::Tank { beer, work, vessel } => {
                let found = case.beer(beer).tank_work.get(work);
                let is_alone = found.is_some_and(|piece| piece.alone);
                let piece = found.map(|piece| piece.job).unwrap_or_default();
                let before = clock.duties.len();
                self.people(piece.crew, 0, piece.takes, clock);
                for (_, duty) in &mut clock.duties[before..] {
                    duty.alone = is_alone && duty.role == Role::Cellar;
                }
                clock.vessels.push((vessel, self.position, self.busy(0, piece.takes.0)));
                self.over_in_shift(piece.takes.0, clock);
            }
            Work::Crop { vessel } => {
                let crops = self.ledger.yeast.crops.iter();
                let job = crops
                    .filter(|crop| crop.position == self.position)
                    .filter_map(|crop| case.beer(self.ledger.holdings[crop.held?].beer).yeast)
                    .find_map(|beer| case.yeast.strain(beer.yeast).crop.map(|crop| crop.job))
                    .unwrap_or_default();
                self.people(job.crew, 0, job.takes, clock);
                clock.vessels.push((vessel, self.position, self.busy(0, job.takes.0)));
                self.over_in_shift(job.takes.0, clock);
                clock.crops.insert(self.position, self.begins + job.takes.0);
            }
            Work::Wash { kegs, .. } => {
                let Some(washer) = case.keg_washer else { return };
                let takes = kegs.clamp(0, MOST_KEGS).saturating_mul(60).div_euclid(washer.pace.max(1));
                let from = self.begins;
                if washer.people > 0 {
                    let duty = Duty {
                        role: washer.role,
                        heads: washer.people,
                        from,
                        to: from + takes,
                        alone: false,
                    };
                    clock.duties.push((self.slot, duty));
                }
                clock.washer.push(self.busy(0, takes));
                self.over_in_shift(takes, clock);
            }
            Work::Dump { vessel } => {
                clock.vessels.push((vessel, self.position, self.busy(0, 0)));
                self.over_in_shift(0, clock);
            }
            // With its line.
            Work::Package { .. } | Work::Pitch { .. } => {}
        }
    }

    fn brew(&self, beer: BeerId, vessel: VesselId, turns: i64, is_first: bool, clock: &mut Clock) {
        let brewhouse = &self.ledger.case.brewhouse;
        let longer = self.ledger.case.beer(beer).brewing.longer;
        let mut at = 0;
        for turn in 0..turns.clamp(0, 1_000) {
            let job = if turn == 0 && is_first { brewhouse.first_turn } else { brewhouse.next_turn };
            self.people(longer.crew, at, longer.takes, clock);
            let begins = at + longer.takes.0;
            self.people(job.crew, begins, job.takes, clock);
            let over = begins + job.takes.0;
            clock.first_turns.entry(self.position).or_insert(self.begins + over);
            clock.brewhouse.push(self.busy(at, over));
            clock.vessels.push((
                vessel,
                self.position,
                self.busy(over - brewhouse.knock_out.min(job.takes).0, over),
            ));
            at = over;
        }
        if self.begins < 0 {
            self.deadline(-self.begins, 0, "before its shift", clock);
        }
    }

    fn transfer(&self, from: VesselId, (to, full): (VesselId, bool), volume: Volume, clock: &mut Clock) {
        let case = self.ledger.case;
        let mut moving = 0;
        let filled = self.ledger.holdings.iter();
        let mut of_slot = filled.filter(|held| held.vessel == to && held.from == Some(self.slot));
        let held = of_slot.next();
        // Of a blend the first transfer cleans and purges, the second carbonates.
        let parts = held.map_or(&[][..], |held| &held.parts);
        let is_second = parts.len() > 1 && parts[1] == from;
        if case.vessel(to).is_bright_only() && !is_second {
            let clean = case.vessel(to).cleaning(full);
            self.people(clean.crew, 0, clean.takes, clock);
            clock.cleaning_sets.push((case.vessel(to).reach, self.busy(0, clean.takes.0)));
            moving = clean.takes.0;
        }
        if !is_second {
            let purge = case.vessel(to).purge.job;
            self.people(purge.crew, moving, purge.takes, clock);
            moving += purge.takes.0;
        }
        let beer = held.map(|held| case.beer(held.beer));
        // A tank that is only poured from gets beer that is filtered and carbonated.
        let is_to_serve = case.vessel(to).is_serve_only();
        let treated = beer.filter(|_| !is_to_serve);
        let arrived = treated.map_or(Volume::ZERO, |beer| case.arrives(beer, bounded(volume)));
        let takes = treated.map_or(case.transfer.takes(), |beer| case.transfer_takes(beer, arrived));
        let moved = moving + takes.0.min(MOST);
        self.people(case.transfer.job.crew, moving, takes, clock);
        if let Some((beer, filter)) = treated.and_then(|beer| Some((beer, case.filter_of(beer)?))) {
            let runs = filter.running(arrived).0.min(MOST);
            clock.filters.push((beer.filter.unwrap_or_default(), self.busy(moving, moving + runs)));
            if filter.people > 0 && runs > 0 {
                let (from, to) = (self.begins + moving, self.begins + moving + runs);
                let duty = Duty { role: Role::Cellar, heads: filter.people, from, to, alone: false };
                clock.duties.push((self.slot, duty));
            }
        }
        clock.vessels.push((from, self.position, self.busy(moving, moved)));
        clock.vessels.push((to, self.position, self.busy(0, moved)));
        self.over_in_shift(moved, clock);
        let is_forced = held.is_none_or(|held| case.beer(held.beer).is_forced());
        let mut over = moved;
        if is_forced && !is_to_serve && (is_second || parts.len() < 2) {
            let beer = held.map(|held| case.beer(held.beer));
            let takes = beer.map_or(case.carbonate.takes, |beer| case.carbonating_takes(beer));
            self.people(case.carbonate.crew, moved, takes, clock);
            over += takes.0;
        }
        self.carbonated(to, over, clock);
    }
}

/// A line from its start-up to its clean-down. `pieces` come with their beers.
fn read_line(ledger: &Ledger, slot: Slot, line: LineId, mut pieces: Vec<(BeerId, Piece)>, clock: &mut Clock) {
    let data = ledger.case.line(line);
    pieces.sort_by_key(|(_, piece)| piece.position);
    let Some(first) = pieces.first() else { return };
    let Some(begins) = ledger.plan.tasks[first.1.position].begins else { return };
    let begins = begins.0.clamp(-MOST, MOST);
    let task = |position: usize| Task { ledger, position, slot, begins };
    // Set-ups, and volumes apart, so that nothing is rounded on the way.
    let (mut set_ups, mut volume) = (Minutes::ZERO, Volume::ZERO);
    let at = |set_ups: Minutes, volume: Volume| {
        (Fine::from(set_ups) + Fine::running(data, volume)).rounded_down().0
    };
    let mut before: Option<(BeerId, FormatId)> = None;
    let mut of_run: Vec<FormatId> = Vec::new();
    for &(beer, piece) in &pieces {
        let from = at(set_ups, volume);
        let due = begins + from;
        if let Some(own) = ledger.plan.tasks[piece.position].begins.filter(|own| own.0 != due) {
            clock.off_beat.push(OffBeat { slot, line, begins: own, due: Minutes(due) });
        }
        let next = (beer, piece.format);
        let set_up = match before {
            None => data.start_up,
            Some(before) if !data.format_pairs.is_empty() => line_change(data, before, next),
            Some((last, _)) if last != beer => data.change(last, beer),
            Some(_) if of_run.contains(&piece.format) => Minutes::ZERO,
            Some(_) => data.change_format,
        };
        if before.is_none_or(|(last, _)| last != beer) {
            of_run.clear();
        }
        of_run.push(piece.format);
        before = Some(next);
        set_ups += set_up;
        volume = bounded(volume + piece.volume);
        let busy = task(piece.position).busy(from, at(set_ups, volume));
        clock.vessels.push((piece.vessel, piece.position, busy));
    }
    let cleaning = at(set_ups, volume);
    let over = cleaning + data.clean_down.0;
    let whole = task(first.1.position);
    clock.cleaning_sets.push((data.reach, whole.busy(cleaning, over)));
    if data.people > 0 {
        let duty =
            Duty { role: Role::Package, heads: data.people, from: begins, to: begins + over, alone: false };
        clock.duties.push((slot, duty));
    }
    whole.over_in_shift(over, clock);
}
