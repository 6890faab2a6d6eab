//! People, cleaning sets, brewhouse and clock time of each slot: what is left for one more piece of work.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Case, Job, Reach, RoleTimes};
use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::units::Minutes;

use crate::compile::context::Context;
use crate::compile::rules::{crew, turns};

/// Groups of named cleaning sets that are looked at: of so many sets at most.
const MOST_SETS: usize = 8;

/// What a piece of work asks of its slot.
#[derive(Clone, Debug, Default)]
pub struct Ask {
    /// Person-time by role.
    people: [i64; 3],
    /// Clock time on a cleaning set, by what reaches it.
    cleaning: Vec<(Reach, i64)>,
    /// Clock time of transfers.
    transfers: i64,
    /// Clock time at a filter, with the beer.
    filter: Option<(usize, BeerId, i64)>,
}

impl Ask {
    /// Person-time.
    pub fn people(mut self, crew: RoleTimes) -> Self {
        for role in Role::ALL {
            self.people[role as usize] += crew.of(role).0;
        }
        self
    }

    /// A clean with its people.
    pub fn clean(mut self, job: Job, reach: Reach) -> Self {
        self.cleaning.push((reach, job.takes.0));
        self.people(job.crew)
    }

    /// A transfer's clock time, and its filter's.
    pub fn transfer(mut self, takes: Minutes, filter: Option<(usize, BeerId, i64)>) -> Self {
        self.transfers += takes.0;
        if let Some((which, beer, time)) = filter {
            let before = self.filter.map_or(0, |(_, _, before)| before);
            self.filter = Some((which, beer, before + time));
        }
        self
    }
}

#[derive(Clone, Debug, Default)]
struct Shift {
    people: [i64; 3],
    cleaning: BTreeMap<Reach, i64>,
    transfers: i64,
    filters: BTreeMap<usize, (BeerId, i64)>,
    lines: Vec<(LineId, i64)>,
}

/// Turns of a day.
#[derive(Clone, Copy, Debug, Default)]
struct Day {
    turns: i64,
    time: i64,
}

/// The hours of all slots.
#[derive(Clone, Debug)]
pub struct Hours<'a> {
    case: &'a Case,
    shifts: Vec<Shift>,
    days: Vec<Day>,
    /// Person-time of the crews that have one of some roles, by slot and by roles as bits.
    there: Vec<[i64; 8]>,
    works: Vec<[bool; 3]>,
    /// Hours of the packaging crew that goes home first, and people at the lines, by slot.
    packers: Vec<(i64, i64)>,
    most_turns: i64,
}

impl<'a> Hours<'a> {
    /// All slots of the horizon, with what outages ask of people.
    pub fn new(context: &Context<'a>) -> Self {
        let case = context.case;
        let slots = || (0..case.calendar.slots()).map(Slot);
        let there = |slot: Slot| {
            let mut sums = [0; 8];
            for id in case.crew_ids() {
                let time = case.crew_hours(id, slot).0 * case.crew_people(id, slot);
                for (roles, sum) in sums.iter_mut().enumerate() {
                    if Role::ALL
                        .iter()
                        .any(|&role| roles & (1 << role as usize) != 0 && case.crew(id).has(role))
                    {
                        *sum += time;
                    }
                }
            }
            sums
        };
        let packers = |slot: Slot| {
            let hours = case.crew_ids().filter(|&id| case.crew(id).has(Role::Package));
            let hours = hours.map(|id| case.crew_hours(id, slot).0).filter(|&hours| hours > 0).min();
            (hours.unwrap_or(0), crew::heads_there(context, slot))
        };
        let mut hours = Self {
            case,
            shifts: vec![Shift::default(); case.calendar.slots()],
            days: vec![Day::default(); case.calendar.days()],
            there: slots().map(there).collect(),
            works: slots().map(|slot| Role::ALL.map(|role| case.works(role, slot))).collect(),
            packers: slots().map(packers).collect(),
            most_turns: turns::most_a_day(context),
        };
        for outage in &case.fixed.outages {
            for role in Role::ALL {
                if let Some(slot) = case.outage_slot(outage, role) {
                    hours.shifts[slot.0].people[role as usize] += outage.crew.of(role).0;
                }
            }
        }
        hours
    }

    /// Whether a role works in a slot.
    pub fn works(&self, role: Role, slot: Slot) -> bool {
        self.works[slot.0][role as usize]
    }

    /// Whether there is time for a piece of work.
    pub fn fits(&self, slot: Slot, ask: &Ask) -> bool {
        let shift = &self.shifts[slot.0];
        let hours = self.case.shift_hours(slot).0;
        let people = (1..8).all(|roles: usize| {
            let sum: i64 = (0..3)
                .filter(|role| roles & (1 << role) != 0)
                .map(|role| shift.people[role] + ask.people[role])
                .sum();
            sum <= self.there[slot.0][roles]
        });
        let at_once = self.case.transfer.at_once;
        let transfers =
            ask.transfers == 0 || at_once.is_none_or(|most| shift.transfers + ask.transfers <= most * hours);
        people && transfers && self.filter_fits(slot, ask) && self.sets_fit(slot, &ask.cleaning)
    }

    /// One beer goes through a filter in a slot.
    fn filter_fits(&self, slot: Slot, ask: &Ask) -> bool {
        let Some((which, beer, time)) = ask.filter else { return true };
        let filter = &self.case.filters[which];
        let hours = self.case.shift_hours(slot).0;
        let ran = self.shifts[slot.0].filters.get(&which);
        ran.is_none_or(|&(other, _)| other == beer)
            && !self.case.is_away(Away::Filter(which), slot)
            && filter.start_up.0 + ran.map_or(0, |&(_, before)| before) + time <= hours
    }

    fn sets_fit(&self, slot: Slot, cleaning: &[(Reach, i64)]) -> bool {
        if cleaning.is_empty() {
            return true;
        }
        let hours = self.case.shift_hours(slot).0;
        let named = self.case.cleaning.named.len().min(MOST_SETS);
        let within = |group: Reach| {
            let before = self.shifts[slot.0].cleaning.iter().map(|(&reach, &time)| (reach, time));
            let all = before.chain(cleaning.iter().copied());
            all.filter(|(reach, _)| reach.is_within(group)).map(|(_, time)| time).sum::<i64>()
        };
        if named == 0 {
            return within(Reach::ALL) <= self.case.cleaning_sets * hours;
        }
        let mut groups = (1..1_u64 << named).map(Reach);
        groups.all(|group| within(group) <= i64::from(group.0.count_ones()) * hours)
    }

    /// Takes the time of a piece of work.
    pub fn take(&mut self, slot: Slot, ask: &Ask) {
        let shift = &mut self.shifts[slot.0];
        for (sum, people) in shift.people.iter_mut().zip(ask.people) {
            *sum += people;
        }
        for &(reach, time) in &ask.cleaning {
            *shift.cleaning.entry(reach).or_default() += time;
        }
        shift.transfers += ask.transfers;
        if let Some((which, beer, time)) = ask.filter {
            shift.filters.entry(which).or_insert((beer, 0)).1 += time;
        }
    }

    /// Turns of a beer that can still be made on the day of a slot, with its people in that slot and besides what else is asked
    /// of them.
    pub fn turns_left(&self, slot: Slot, beer: BeerId, wanted: i64, besides: &Ask) -> i64 {
        let day = self.days[self.case.calendar.day(slot)];
        let most = wanted.min(self.most_turns - day.turns);
        let fits = |turns: &i64| {
            let (time, ask) = self.turns(slot, beer, *turns, besides.clone());
            day.time + time <= self.case.brewhouse.hours_per_day.0 && self.fits(slot, &ask)
        };
        (1..=most).rev().find(fits).unwrap_or(0)
    }

    fn turns(&self, slot: Slot, beer: BeerId, turns: i64, ask: Ask) -> (i64, Ask) {
        let brewhouse = &self.case.brewhouse;
        let longer = self.case.beer(beer).brewing.longer;
        let is_first = self.days[self.case.calendar.day(slot)].turns == 0;
        let (mut time, mut ask) = (0, ask);
        for turn in 0..turns {
            let job = if is_first && turn == 0 { brewhouse.first_turn } else { brewhouse.next_turn };
            time += job.takes.0 + longer.takes.0;
            ask = ask.people(job.crew).people(longer.crew);
        }
        (time, ask)
    }

    /// Takes the time of turns.
    pub fn take_turns(&mut self, slot: Slot, beer: BeerId, turns: i64) {
        let (time, ask) = self.turns(slot, beer, turns, Ask::default());
        self.take(slot, &ask);
        let day = &mut self.days[self.case.calendar.day(slot)];
        day.turns += turns;
        day.time += time;
    }

    /// Minutes that a line may run in a slot, start-up and clean-down included.
    pub fn line_room(&self, slot: Slot, line: LineId) -> i64 {
        let data = self.case.line(line);
        let (hours, heads) = self.packers[slot.0];
        if data.people > heads || !self.sets_fit(slot, &[(data.reach, data.clean_down.0)]) {
            return 0;
        }
        let shift = &self.shifts[slot.0];
        let mut room = hours.min(self.case.shift_hours(slot).0);
        if data.people > 0 {
            for roles in (1..8_usize).filter(|roles| roles & (1 << Role::Package as usize) != 0) {
                let asked: i64 =
                    (0..3).filter(|role| roles & (1 << role) != 0).map(|role| shift.people[role]).sum();
                room = room.min((self.there[slot.0][roles] - asked).div_euclid(data.people));
            }
        }
        // Lines whose people are not there together run one after another.
        let count = shift.lines.len().min(10);
        for chosen in 1..1_usize << count {
            let others =
                || (0..count).filter(|which| chosen & (1 << which) != 0).map(|which| shift.lines[which]);
            let mut needs: Vec<i64> = others().map(|(other, _)| self.case.line(other).people).collect();
            needs.push(data.people);
            needs.sort_unstable();
            let mut left = heads;
            let together = needs.iter().take_while(|&&need| {
                left -= need;
                left >= 0
            });
            let together = together.count() as i64;
            room = room.min(together * hours - others().map(|(_, time)| time).sum::<i64>());
        }
        room
    }

    /// Takes the time of a line.
    pub fn take_line(&mut self, slot: Slot, line: LineId, time: i64) {
        let data = self.case.line(line);
        let shift = &mut self.shifts[slot.0];
        shift.people[Role::Package as usize] += time * data.people;
        *shift.cleaning.entry(data.reach).or_default() += data.clean_down.0;
        shift.lines.push((line, time));
    }
}
