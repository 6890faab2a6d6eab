//! The jobs of a shift of a plan, from its tasks.
//!
//! A filled bright tank is one job: its clean (of a bright-only tank), the transfer, and carbonating, one after another. A line
//! is one job: start-up, its tasks with their changes, clean-down. Turns of one task follow one another.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, Job as Piece, Line, RoleTimes, Vessel};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::{PitchFrom, Plan, Task, Work};
use cellarwright_model::units::Minutes;

use super::job::{CrewThere, Hands, Hold, Job, Machine, Shift};
use crate::compile::format_sequence::from_to;

/// A shift with what its jobs are in the plan.
#[derive(Clone, Debug, Default)]
pub struct Planned {
    pub shift: Shift,
    /// For each job the tasks that it is: position in the plan, and minutes from the job's beginning to theirs.
    pub tasks: Vec<Vec<(usize, i64)>>,
    /// Positions of the jobs that brew, in the order of their turns.
    pub brews: Vec<usize>,
    /// Some line runs several beers or formats: another order of them was not tried.
    pub has_choice_of_runs: bool,
}

/// What is known of a plan as a whole before its shifts are put in order.
pub struct Whole<'p> {
    pub case: &'p Case,
    pub plan: &'p Plan,
    /// Task positions by slot, in the order of the plan.
    pub by_slot: BTreeMap<Slot, Vec<usize>>,
    /// The beer of each task that moves or packages.
    pub beers: BTreeMap<usize, BeerId>,
}

/// How a task touches a vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Touch {
    Out,
    Dumped,
    Cleaned,
    In,
    Carbonated,
    /// Its number among those of the shift: tank work keeps its order.
    Worked(usize),
}

/// A transfer of a blend: the first cleans and purges the tank, the second carbonates it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Blend {
    First,
    Second,
}

struct Contact {
    job: usize,
    vessel: VesselId,
    touch: Touch,
    from: i64,
    to: i64,
}

impl<'p> Whole<'p> {
    /// Looks through a plan. The beer of a vessel is what was last filled into it.
    pub fn new(case: &'p Case, plan: &'p Plan) -> Self {
        let mut by_slot: BTreeMap<Slot, Vec<usize>> = BTreeMap::new();
        let mut beers = BTreeMap::new();
        let mut held: BTreeMap<VesselId, BeerId> =
            case.in_tank.iter().map(|tank| (tank.vessel, tank.beer)).collect();
        for (position, task) in plan.tasks.iter().enumerate() {
            by_slot.entry(task.slot).or_default().push(position);
            match task.work {
                Work::Brew { beer, vessel, .. } => {
                    held.insert(vessel, beer);
                }
                Work::Transfer { from, to, .. } => {
                    if let Some(&beer) = held.get(&from) {
                        held.insert(to, beer);
                        beers.insert(position, beer);
                    }
                }
                Work::Package { vessel, .. } | Work::Carbonate { vessel } | Work::Crop { vessel } => {
                    if let Some(&beer) = held.get(&vessel) {
                        beers.insert(position, beer);
                    }
                }
                Work::Clean { .. }
                | Work::Sanitise { .. }
                | Work::Pitch { .. }
                | Work::Tank { .. }
                | Work::Wash { .. }
                | Work::Dump { .. } => {}
            }
        }
        Self { case, plan, by_slot, beers }
    }

    /// The tasks of a slot.
    pub fn tasks(&self, slot: Slot) -> &[usize] {
        self.by_slot.get(&slot).map_or(&[], Vec::as_slice)
    }

    /// Clock time of carbonating the beer that a task is about.
    fn carbonating_takes(&self, position: usize) -> Minutes {
        let beer = self.beers.get(&position).map(|&beer| self.case.beer(beer));
        beer.map_or(self.case.carbonate.takes, |beer| self.case.carbonating_takes(beer))
    }

    /// The work of cropping the beer that a task is about.
    fn crop_job(&self, position: usize) -> Piece {
        let beer = self.beers.get(&position).and_then(|&beer| self.case.beer(beer).yeast);
        let crop = beer.and_then(|beer| self.case.yeast.strain(beer.yeast).crop);
        crop.map(|crop| crop.job).unwrap_or_default()
    }

    /// The crops of a slot that what is brewed into a vessel in it is pitched from, each once.
    fn crops_pitched(&self, slot: Slot, vessel: VesselId) -> BTreeSet<usize> {
        let mut crops = BTreeSet::new();
        for &position in self.tasks(slot) {
            let Work::Pitch { vessel: into, from: PitchFrom::Crop { vessel: of, day }, .. } =
                self.task(position).work
            else {
                continue;
            };
            if into == vessel && day == self.case.calendar.day(slot) {
                let is_it = |crop: &&usize| self.task(**crop).work == Work::Crop { vessel: of };
                crops.extend(self.tasks(slot).iter().filter(is_it));
            }
        }
        crops
    }

    fn task(&self, position: usize) -> Task {
        self.plan.tasks[position]
    }

    /// Whether turns were brewed on the slot's day before it.
    fn has_brewed_before(&self, slot: Slot) -> bool {
        let calendar = &self.case.calendar;
        let first = calendar.slot(calendar.day(slot), 0);
        let mut before = self.by_slot.range(first..slot).flat_map(|(_, positions)| positions);
        before.any(|&position| matches!(self.task(position).work, Work::Brew { .. }))
    }

    /// Where a transfer stands in a blend, if it is of one: two transfers of a beer that blends into one bright tank.
    fn place_in_blend(&self, slot: Slot, position: usize) -> Option<Blend> {
        let Work::Transfer { to, .. } = self.task(position).work else { return None };
        let blends = self.beers.get(&position).is_some_and(|&beer| self.case.beer(beer).blend);
        if !blends || !self.case.vessel(to).is_bright_only() {
            return None;
        }
        let is_into =
            |&&other: &&usize| matches!(self.task(other).work, Work::Transfer { to: tank, .. } if tank == to);
        let all: Vec<usize> = self.tasks(slot).iter().filter(is_into).copied().collect();
        if all.len() < 2 {
            return None;
        }
        Some(if all[0] == position { Blend::First } else { Blend::Second })
    }

    /// Minutes from the start of a slot to that of the first packaging from a vessel after it.
    fn packaged_after(&self, slot: Slot, vessel: VesselId) -> Option<i64> {
        let mut later = self.by_slot.range(Slot(slot.0 + 1)..).flat_map(|(_, positions)| positions);
        let first = later.find(|&&position| {
            match self.task(position).work {
                Work::Package { vessel: from, .. } => from == vessel,
                // Into a tank that is only poured from it is drawn as packaging draws it.
                Work::Transfer { from, to, .. } => from == vessel && self.case.vessel(to).is_serve_only(),
                _ => false,
            }
        });
        let calendar = &self.case.calendar;
        first.map(|&position| (calendar.start(self.task(position).slot) - calendar.start(slot)).0)
    }
}

/// The crews of a slot, with the overtime that they work.
pub fn crews(
    case: &Case,
    slot: Slot,
    overtime: &dyn Fn(cellarwright_model::ids::CrewId) -> i64,
) -> Vec<CrewThere> {
    let there = case.crew_ids().filter(|&crew| case.crew_hours(crew, slot).0 > 0);
    there
        .map(|id| {
            let (crew, people, longer) = (case.crew(id), case.crew_people(id, slot), overtime(id));
            let until = crew.hours.0 + longer;
            CrewThere {
                roles: crew.roles.clone(),
                check_only: crew.check_only,
                people,
                until,
                brewers_until: until.max(case.brewhouse.hours_per_day.0),
                minutes: people * (case.crew_hours(id, slot).0 + longer),
            }
        })
        .collect()
}

/// The latest minute for work that does not run on unattended: the end of the shift, or of the longest overtime.
pub fn end_of_shift(case: &Case, slot: Slot, crews: &[CrewThere]) -> i64 {
    let last = crews.iter().map(|crew| crew.until).max().unwrap_or(0);
    last.max(case.shift_hours(slot).0)
}

/// The jobs of a slot; `turns` is the order of its brewing tasks, `before` what earlier slots are busy with.
pub fn read(whole: &Whole, slot: Slot, turns: &[usize], before: &[Busy]) -> Planned {
    let case = whole.case;
    let overtime = |crew| {
        let here =
            whole.plan.overtime.iter().filter(|overtime| overtime.slot == slot && overtime.crew == crew);
        here.map(|overtime| overtime.time.0).sum()
    };
    let crews = crews(case, slot, &overtime);
    let end = end_of_shift(case, slot, &crews);
    let mut planned = Planned::default();
    planned.shift.cleaning_sets = case.cleaning_sets;
    planned.shift.has_named_sets = !case.cleaning.named.is_empty();
    planned.shift.crews = crews;
    planned.keep_busy(before, case.calendar.start(slot).0);
    let mut contacts: Vec<Contact> = Vec::new();
    let mut lines: Vec<LineId> = Vec::new();
    for &position in whole.tasks(slot) {
        let job = planned.shift.jobs.len();
        match whole.task(position).work {
            // Brewing comes below, in the order of its turns.
            Work::Brew { .. } => {}
            Work::Package { line, .. } => {
                if !lines.contains(&line) {
                    lines.push(line);
                    read_line(whole, slot, line, end, &mut planned, &mut contacts);
                }
            }
            Work::Clean { vessel, full } => {
                let clean = case.vessel(vessel).cleaning(full);
                let mut made = Job { latest: end - clean.takes.0, ..Job::default() };
                made.add_hands(clean.crew, 0, clean.takes.0);
                made.add_clean(case.vessel(vessel).reach, 0, clean.takes.0);
                contacts.push(Contact { job, vessel, touch: Touch::Cleaned, from: 0, to: clean.takes.0 });
                planned.add(made, position);
            }
            Work::Sanitise { vessel } => {
                let mut made = Job { latest: end - case.sanitise.takes.0, ..Job::default() };
                made.add_hands(case.sanitise.crew, 0, case.sanitise.takes.0);
                contacts.push(Contact {
                    job,
                    vessel,
                    touch: Touch::Cleaned,
                    from: 0,
                    to: case.sanitise.takes.0,
                });
                planned.add(made, position);
            }
            Work::Transfer { from, to, volume, full } => {
                let gas_takes = whole.carbonating_takes(position);
                let is_forced = whole.beers.get(&position).is_none_or(|&beer| case.beer(beer).is_forced());
                let of_blend = whole.place_in_blend(slot, position);
                let is_to_serve = case.vessel(to).is_serve_only();
                let is_forced = is_forced && !is_to_serve && of_blend != Some(Blend::First);
                let gas = is_forced.then_some(gas_takes);
                let beer = whole.beers.get(&position).filter(|_| !is_to_serve).map(|&beer| case.beer(beer));
                let arrives = beer.map_or(volume, |beer| case.arrives(beer, volume));
                let takes = beer.map_or(case.transfer.takes(), |beer| case.transfer_takes(beer, arrives)).0;
                let is_first_fill = of_blend != Some(Blend::Second);
                let (mut made, fit) =
                    filling(case, &case.vessel(to).cleaned(full), is_first_fill, gas, (takes, end));
                let moved = fit + takes;
                if let Some((beer, filter)) = beer.and_then(|beer| Some((beer, case.filter_of(beer)?))) {
                    let runs = filter.running(arrives).0;
                    made.add_hold(Machine::Filter(beer.filter.unwrap_or_default()), fit, fit + runs);
                    if filter.people > 0 && runs > 0 {
                        let (role, people) = (Role::Cellar, filter.people);
                        made.hands.push(Hands { role, people, alone: false, from: fit, to: fit + runs });
                    }
                }
                if let Some(by) = whole.packaged_after(slot, to) {
                    made.latest = made.latest.min(by - moved - gas.unwrap_or_default().0);
                }
                if of_blend == Some(Blend::Second)
                    && let Some(first) =
                        contacts.iter().find(|one| one.vessel == to && one.touch == Touch::In)
                {
                    made.after.push((first.job, first.to));
                }
                contacts.push(Contact { job, vessel: from, touch: Touch::Out, from: fit, to: moved });
                contacts.push(Contact { job, vessel: to, touch: Touch::In, from: 0, to: moved });
                planned.add(made, position);
            }
            Work::Carbonate { vessel } => {
                let takes = whole.carbonating_takes(position).0;
                let by = whole.packaged_after(slot, vessel).map_or(end, |by| by - takes);
                let mut made = Job { latest: by.min(end), ..Job::default() };
                made.add_hands(case.carbonate.crew, 0, takes);
                contacts.push(Contact { job, vessel, touch: Touch::Carbonated, from: 0, to: takes });
                planned.add(made, position);
            }
            Work::Tank { beer, work, vessel } => {
                let found = case.beer(beer).tank_work.get(work);
                let piece = found.map(|piece| piece.job).unwrap_or_default();
                let mut made = alone(piece.crew, piece.takes.0, end - piece.takes.0);
                made.may_be_done_alone(found.is_some_and(|piece| piece.alone));
                let touch = Touch::Worked(job);
                contacts.push(Contact { job, vessel, touch, from: 0, to: piece.takes.0 });
                planned.add(made, position);
            }
            // With its batch, in no time.
            Work::Pitch { .. } => {}
            Work::Crop { vessel } => {
                let piece = whole.crop_job(position);
                let made = alone(piece.crew, piece.takes.0, end - piece.takes.0);
                let touch = Touch::Worked(job);
                contacts.push(Contact { job, vessel, touch, from: 0, to: piece.takes.0 });
                planned.add(made, position);
            }
            Work::Wash { kegs, .. } => {
                let Some(washer) = case.keg_washer else { continue };
                let takes = kegs.max(0).saturating_mul(60).div_euclid(washer.pace.max(1));
                let mut made = Job { latest: end - takes, ..Job::default() };
                made.add_hold(Machine::KegWasher, 0, takes);
                if washer.people > 0 && takes > 0 {
                    made.hands.push(Hands {
                        role: washer.role,
                        people: washer.people,
                        alone: false,
                        from: 0,
                        to: takes,
                    });
                }
                planned.add(made, position);
            }
            Work::Dump { vessel } => {
                contacts.push(Contact { job, vessel, touch: Touch::Dumped, from: 0, to: 0 });
                planned.add(Job { latest: end, ..Job::default() }, position);
            }
        }
    }
    let mut is_first = !whole.has_brewed_before(slot);
    let mut begun: BTreeSet<VesselId> = BTreeSet::new();
    for &position in turns {
        let Work::Brew { beer, vessel, turns, .. } = whole.task(position).work else { continue };
        let job = planned.shift.jobs.len();
        let (mut made, starts) = brewing(case, beer, turns, is_first);
        let longer = case.beer(beer).brewing.longer.takes.0;
        is_first = false;
        if let Some(&before) = planned.brews.last() {
            let takes = planned.shift.jobs[before].holds.iter().map(|hold| hold.to).max().unwrap_or(0);
            made.after.push((before, takes));
        }
        for window in starts.windows(2) {
            let knock_out = case.brewhouse.knock_out.0.min(window[1] - window[0] - longer);
            contacts.push(Contact {
                job,
                vessel,
                touch: Touch::In,
                from: window[1] - knock_out,
                to: window[1],
            });
        }
        if let Some(&pitched) = starts.get(1)
            && begun.insert(vessel)
        {
            for crop in whole.crops_pitched(slot, vessel) {
                let takes = whole.crop_job(crop).takes.0;
                let jobs = planned.tasks.iter().position(|tasks| tasks.iter().any(|&(task, _)| task == crop));
                made.after.extend(jobs.map(|job| (job, takes - pitched)));
            }
        }
        planned.brews.push(job);
        planned.add(made, position);
    }
    connect(&mut planned, &contacts);
    planned
}

/// A machine that is busy, in minutes from midnight of day 0.
#[derive(Clone, Copy, Debug)]
pub struct Busy {
    pub hold: Hold,
    pub from: i64,
    pub to: i64,
}

impl Planned {
    /// What earlier slots are still busy with when this one starts.
    fn keep_busy(&mut self, before: &[Busy], start: i64) {
        for busy in before.iter().filter(|busy| busy.to > start) {
            let hold = Hold { from: busy.from - start, to: busy.to - start, ..busy.hold };
            self.shift.jobs.push(Job { holds: vec![hold], ..Job::default() });
            self.tasks.push(Vec::new());
        }
    }

    /// What its jobs are busy with.
    pub fn busy(&self, times: &[i64], start: i64) -> Vec<Busy> {
        let own = self.shift.jobs.iter().zip(times).zip(&self.tasks).filter(|(_, tasks)| !tasks.is_empty());
        own.flat_map(|((job, begin), _)| {
            job.holds.iter().map(move |&hold| {
                let at = start + begin;
                Busy { hold, from: at + hold.from, to: at + hold.to }
            })
        })
        .collect()
    }

    fn add(&mut self, job: Job, position: usize) {
        self.shift.jobs.push(job);
        self.tasks.push(vec![(position, 0)]);
    }
}

/// Filling a bright tank, without the fermenter that it comes from: the job, and when the tank is clean and purged. The second
/// transfer of a blend finds it so. `gas` is the time of carbonating, if it is; `takes` is the transfer's clock time, which is
/// over by `end`.
pub fn filling(
    case: &Case,
    vessel: &Vessel,
    is_first: bool,
    gas: Option<Minutes>,
    (takes, end): (i64, i64),
) -> (Job, i64) {
    let mut job = Job::default();
    let is_cleaned = vessel.is_bright_only() && is_first;
    let cleaned = if is_cleaned { vessel.clean.takes.0 } else { 0 };
    if is_cleaned {
        job.add_hands(vessel.clean.crew, 0, cleaned);
        job.add_clean(vessel.reach, 0, cleaned);
    }
    let purge = if is_first { vessel.purge.job } else { cellarwright_model::case::Job::default() };
    job.add_hands(purge.crew, cleaned, purge.takes.0);
    let fit = cleaned + purge.takes.0;
    let moved = fit + takes;
    job.add_hands(case.transfer.job.crew, fit, takes);
    if let Some(gas) = gas {
        job.add_hands(case.carbonate.crew, moved, gas.0);
    }
    job.latest = end - moved;
    (job, fit)
}

/// Turns one after another: the job, and when each turn begins and the last is over. What the beer takes longer comes first in
/// each turn.
pub fn brewing(case: &Case, beer: BeerId, turns: i64, is_first: bool) -> (Job, Vec<i64>) {
    let brewhouse = &case.brewhouse;
    let longer = case.beer(beer).brewing.longer;
    let mut job = Job { latest: i64::MAX / 4, ..Job::default() };
    let (mut at, mut starts) = (0, vec![0]);
    for turn in 0..turns.clamp(0, 100) {
        let of = if is_first && turn == 0 { brewhouse.first_turn } else { brewhouse.next_turn };
        job.add_hands(longer.crew, at, longer.takes.0);
        at += longer.takes.0;
        job.add_hands(of.crew, at, of.takes.0);
        at += of.takes.0;
        starts.push(at);
    }
    job.add_hold(Machine::Brewhouse, 0, at);
    (job, starts)
}

fn read_line(
    whole: &Whole,
    slot: Slot,
    line: LineId,
    end: i64,
    planned: &mut Planned,
    contacts: &mut Vec<Contact>,
) {
    let data = whole.case.line(line);
    let pace = i128::from(data.pace().0.max(1));
    let job = planned.shift.jobs.len();
    let mut tasks = Vec::new();
    // Whole minutes, and millilitres over the pace, are added up apart, so that nothing is rounded on the way.
    let (mut minutes, mut volume) = (0_i64, 0_i128);
    let clock = |minutes: i64, volume: i128| minutes + (volume * 60 / pace) as i64;
    let mut before: Option<(Option<BeerId>, Vec<FormatId>)> = None;
    for &position in whole.tasks(slot) {
        let Work::Package { line: of, format, vessel, volume: drawn } = whole.task(position).work else {
            continue;
        };
        if of != line {
            continue;
        }
        let beer = whole.beers.get(&position).copied();
        let begins = clock(minutes, volume);
        planned.has_choice_of_runs |= before.is_some();
        let (change, formats) = match before {
            None => (data.start_up.0, vec![format]),
            Some((last, mut formats)) => {
                let takes = change(data, (last, &formats), (beer, format));
                if last != beer {
                    formats.clear();
                }
                if !formats.contains(&format) {
                    formats.push(format);
                }
                (takes.0, formats)
            }
        };
        minutes += change;
        before = Some((beer, formats));
        volume += i128::from(drawn.0.max(0));
        contacts.push(Contact { job, vessel, touch: Touch::Out, from: begins, to: clock(minutes, volume) });
        tasks.push((position, begins));
    }
    let cleaned = clock(minutes, volume);
    let over = cleaned + data.clean_down.0;
    let mut made = Job { latest: end - over, ..Job::default() };
    made.add_clean(data.reach, cleaned, over);
    let role = cellarwright_model::calendar::Role::Package;
    if data.people > 0 {
        made.hands.push(Hands { role, people: data.people, alone: false, from: 0, to: over });
    }
    planned.shift.jobs.push(made);
    planned.tasks.push(tasks);
}

/// Time of the change from what a line has filled, a beer and its formats in their order, to the next.
fn change(
    line: &Line,
    (last, formats): (Option<BeerId>, &[FormatId]),
    (beer, format): (Option<BeerId>, FormatId),
) -> Minutes {
    let by_beer = (last != beer)
        .then(|| last.zip(beer).map_or(line.change_beer, |(last, beer)| line.change(last, beer)));
    if !line.format_pairs.is_empty() {
        let before = formats.last().copied().unwrap_or(format);
        return from_to(line, by_beer, before, format, false).unwrap_or_default();
    }
    let usual = if formats.contains(&format) { Minutes::ZERO } else { line.change_format };
    by_beer.unwrap_or(usual)
}

/// Vessels do one thing at a time, in the order of the plan where that matters.
fn connect(planned: &mut Planned, contacts: &[Contact]) {
    for (number, first) in contacts.iter().enumerate() {
        planned.shift.jobs[first.job].add_hold(Machine::Vessel(first.vessel), first.from, first.to);
        for second in contacts[number + 1..].iter().filter(|second| second.vessel == first.vessel) {
            // The order of tasks in the plan: brewing, which is listed last here, comes after everything else.
            if first.job == second.job || first.touch == second.touch {
                continue;
            }
            let lag = first.to - second.from;
            planned.shift.jobs[second.job].after.push((first.job, lag));
        }
    }
}

/// Person-time of a job of one role by itself, for jobs that are counted and not planned.
pub fn alone(crew: RoleTimes, takes: i64, latest: i64) -> Job {
    let mut job = Job { latest, ..Job::default() };
    job.add_hands(crew, 0, takes);
    job
}
