//! Puts the jobs of a shift in order: list scheduling first, then a search of every order within a limit.
//!
//! In the order with the smallest sum of beginnings every job begins either at its earliest time or where something that it
//! needs is set free by a job before it; else it could begin a minute sooner. So only such times are tried, and if all of
//! them fail there is no order at all.

use std::collections::BTreeSet;

use super::job::{Job, Machine, Shift};
use super::people::{Duty, Manned, Pool, able, can_man, pools};

/// Partial orders that the search looks at.
const MOST_NODES: usize = 1_500;

/// What a search says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Order {
    /// Beginnings of the jobs.
    Found(Vec<i64>),
    /// There is none.
    None,
    /// None was found within the limit.
    Unknown,
}

struct Search<'a> {
    shift: &'a Shift,
    begins: Vec<Option<i64>>,
    seen: BTreeSet<Vec<Option<i64>>>,
    is_given_up: bool,
}

/// Finds an order of a shift.
pub fn order(shift: &Shift) -> Order {
    if shift.jobs.is_empty() {
        return Order::Found(Vec::new());
    }
    for rule in Priority::ALL {
        if let Some(begins) = list(shift, rule) {
            return Order::Found(begins);
        }
    }
    let begins = vec![None; shift.jobs.len()];
    let mut search = Search { shift, begins, seen: BTreeSet::new(), is_given_up: false };
    if search.deepen() {
        return Order::Found(search.begins.iter().map(|begin| begin.unwrap_or_default()).collect());
    }
    if search.is_given_up { Order::Unknown } else { Order::None }
}

/// Which job a list takes first.
#[derive(Clone, Copy)]
enum Priority {
    /// The one that may begin no later than.
    Latest,
    /// The one that most waits for.
    Chain,
    /// The one that takes people longest.
    Hands,
    /// In the order of the plan.
    Given,
}

impl Priority {
    const ALL: [Self; 4] = [Self::Latest, Self::Chain, Self::Hands, Self::Given];

    fn of(self, shift: &Shift, job: usize) -> i64 {
        match self {
            Self::Latest => shift.jobs[job].latest,
            Self::Chain => -chain(shift, job, 0),
            Self::Hands => {
                let hands = shift.jobs[job].hands.iter();
                -hands.map(|hands| hands.people * (hands.to - hands.from)).sum::<i64>()
            }
            Self::Given => 0,
        }
    }
}

/// Time from the beginning of a job to that of the last that waits for it.
fn chain(shift: &Shift, job: usize, depth: usize) -> i64 {
    if depth > shift.jobs.len() {
        return 0;
    }
    let mut longest = 0;
    for (later, of) in shift.jobs.iter().enumerate() {
        for &(_, lag) in of.after.iter().filter(|&&(before, _)| before == job) {
            longest = longest.max(lag + chain(shift, later, depth + 1));
        }
    }
    longest
}

/// Each job in turn as early as it can be after those before it.
fn list(shift: &Shift, priority: Priority) -> Option<Vec<i64>> {
    let count = shift.jobs.len();
    let mut begins: Vec<Option<i64>> = vec![None; count];
    for _ in 0..count {
        let is_next = |&job: &usize| {
            begins[job].is_none() && shift.jobs[job].after.iter().all(|&(before, _)| begins[before].is_some())
        };
        let next = (0..count).filter(is_next).min_by_key(|&job| (priority.of(shift, job), job))?;
        let times = candidates(shift, &begins, next);
        let found = times.into_iter().find(|&time| fits(shift, &begins, next, time) == Manned::Yes)?;
        begins[next] = Some(found);
    }
    begins.into_iter().collect()
}

/// Earliest beginning of a job by what must come before it, placed or not.
fn earliest(shift: &Shift, begins: &[Option<i64>], job: usize, depth: usize) -> i64 {
    let mut time = shift.jobs[job].earliest;
    if depth > shift.jobs.len() {
        return time;
    }
    for &(before, lag) in &shift.jobs[job].after {
        let begin = begins[before].unwrap_or_else(|| earliest(shift, begins, before, depth + 1));
        time = time.max(begin + lag);
    }
    time
}

/// Times at which a job may begin: the earliest, and where something that it needs is set free.
fn candidates(shift: &Shift, begins: &[Option<i64>], job: usize) -> Vec<i64> {
    let first = earliest(shift, begins, job, 0);
    let own = &shift.jobs[job];
    let mut times = BTreeSet::from([first]);
    for (other, begin) in shift.jobs.iter().zip(begins) {
        let Some(begin) = *begin else { continue };
        for hold in &own.holds {
            for busy in other.holds.iter().filter(|busy| busy.machine == hold.machine) {
                times.insert(begin + busy.to - hold.from);
            }
        }
        for hands in &own.hands {
            for busy in &other.hands {
                times.insert(begin + busy.to - hands.from);
            }
        }
    }
    times.into_iter().filter(|&time| time >= first && time <= own.latest).collect()
}

/// Whether a job can begin at a time beside the jobs that have theirs.
fn fits(shift: &Shift, begins: &[Option<i64>], job: usize, time: i64) -> Manned {
    let own = &shift.jobs[job];
    for (later, begin) in shift.jobs.iter().zip(begins) {
        let waits = later.after.iter().filter(|&&(before, _)| before == job);
        if let Some(begin) = begin
            && waits.into_iter().any(|&(_, lag)| time + lag > *begin)
        {
            return Manned::No;
        }
    }
    for hold in own.holds.iter().filter(|hold| hold.machine != Machine::CleaningSets) {
        if is_busy(shift, begins, hold.machine, time + hold.from, time + hold.to) {
            return Manned::No;
        }
    }
    let cleans = own.holds.iter().any(|hold| hold.machine == Machine::CleaningSets);
    let by_sets = if cleans { sets_suffice(shift, begins, (own, time)) } else { Manned::Yes };
    if by_sets != Manned::Yes || own.hands.is_empty() {
        return by_sets;
    }
    let mut duties: Vec<Duty> = Vec::new();
    for (of, begin) in placed(shift, begins).chain([(own, time)]) {
        duties.extend(of.hands.iter().map(|hands| Duty {
            from: begin + hands.from,
            to: begin + hands.to,
            people: hands.people,
            pools: able(&shift.crews, hands, begin + hands.to),
        }));
    }
    duties.sort_unstable();
    can_man(&pools(&shift.crews), &duties)
}

/// Jobs that have their beginning, with it.
fn placed<'s>(shift: &'s Shift, begins: &'s [Option<i64>]) -> impl Iterator<Item = (&'s Job, i64)> {
    shift.jobs.iter().zip(begins).filter_map(|(job, begin)| Some((job, (*begin)?)))
}

/// Whether there is a set for every clean, each on one set from its beginning to its end.
fn sets_suffice(shift: &Shift, begins: &[Option<i64>], more: (&Job, i64)) -> Manned {
    let all = i64::MAX / 1_000_000;
    let sets = usize::try_from(shift.cleaning_sets.clamp(0, 64)).unwrap_or(0);
    let pools = if shift.has_named_sets {
        vec![Pool { people: 1, minutes: all }; sets]
    } else {
        vec![Pool { people: shift.cleaning_sets, minutes: all }]
    };
    let mut duties: Vec<Duty> = Vec::new();
    for (of, begin) in placed(shift, begins).chain([more]) {
        let cleans = of.holds.iter().filter(|hold| hold.machine == Machine::CleaningSets);
        duties.extend(cleans.map(|hold| Duty {
            from: begin + hold.from,
            to: begin + hold.to,
            people: 1,
            pools: if shift.has_named_sets { hold.reach.0 } else { 1 },
        }));
    }
    duties.sort_unstable();
    can_man(&pools, &duties)
}

/// Whether a placed job uses a machine at some moment between two times.
fn is_busy(shift: &Shift, begins: &[Option<i64>], machine: Machine, from: i64, to: i64) -> bool {
    placed(shift, begins).any(|(job, begin)| {
        let mut held = job.holds.iter().filter(|hold| hold.machine == machine);
        held.any(|hold| begin + hold.from < to && begin + hold.to > from)
    })
}

impl Search<'_> {
    fn deepen(&mut self) -> bool {
        if self.seen.len() >= MOST_NODES {
            self.is_given_up = true;
            return false;
        }
        if !self.seen.insert(self.begins.clone()) {
            return false;
        }
        let mut waiting: Vec<(i64, usize, Vec<i64>)> = Vec::new();
        for job in (0..self.begins.len()).filter(|&job| self.begins[job].is_none()) {
            let mut times = Vec::new();
            let mut is_unsure = false;
            for time in candidates(self.shift, &self.begins, job) {
                match fits(self.shift, &self.begins, job, time) {
                    Manned::Yes => times.push(time),
                    Manned::No => {}
                    Manned::Unknown => is_unsure = true,
                }
            }
            if is_unsure {
                self.is_given_up = true;
            }
            if times.is_empty() {
                return false;
            }
            waiting.push((self.shift.jobs[job].latest - times[0], job, times));
        }
        if waiting.is_empty() {
            return true;
        }
        waiting.sort();
        for (_, job, times) in waiting {
            for time in times {
                self.begins[job] = Some(time);
                if self.deepen() {
                    return true;
                }
                self.begins[job] = None;
                if self.is_given_up && self.seen.len() >= MOST_NODES {
                    return false;
                }
            }
        }
        false
    }
}
