//! The search against trying every minute, on small random shifts.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::Reach;
use cellarwright_model::ids::VesselId;

use super::job::{CrewThere, Hands, Job, Machine, Shift};
use super::search::{Order, order};

/// Pseudo-random numbers (a linear congruence with Knuth's constants, from memory).
struct Random(u64);

impl Random {
    fn below(&mut self, most: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % most as u64) as i64
    }
}

/// Length of the shift in (long) minutes.
const LENGTH: i64 = 7;

fn shift(random: &mut Random) -> Shift {
    let mut jobs = Vec::new();
    for number in 0..2 + random.below(3) {
        let (takes, tail) = (1 + random.below(4), random.below(3));
        let mut job = Job { latest: LENGTH - takes, ..Job::default() };
        if random.below(3) > 0 {
            let role = if random.below(2) == 0 { Role::Cellar } else { Role::Package };
            let to = 1 + random.below(takes);
            job.hands.push(Hands { role, people: 1 + random.below(2), alone: false, from: 0, to });
        }
        if random.below(2) == 0 {
            let from = tail.min(takes - 1);
            job.add_clean(Reach::ALL, from, takes);
        }
        if random.below(2) == 0 {
            let vessel = VesselId(random.below(2) as usize);
            job.add_hold(Machine::Vessel(vessel), 0, takes);
        }
        if number > 0 && random.below(3) == 0 {
            job.after.push((random.below(number) as usize, random.below(4)));
        }
        jobs.push(job);
    }
    let crew = |roles: &[Role], people: i64, until: i64| CrewThere {
        roles: roles.to_vec(),
        check_only: false,
        people,
        until,
        brewers_until: until,
        minutes: people * until,
    };
    let mut crews = vec![crew(&[Role::Cellar, Role::Package], 1 + random.below(2), LENGTH - random.below(2))];
    if random.below(2) == 0 {
        crews.push(crew(&[Role::Package], 1, LENGTH - random.below(3)));
    }
    Shift { jobs, crews, cleaning_sets: 1, has_named_sets: false }
}

/// Whether an order keeps every machine, job and person, minute by minute and person by person.
fn is_kept(shift: &Shift, begins: &[i64]) -> bool {
    for (job, &begin) in shift.jobs.iter().zip(begins) {
        let late = begin < job.earliest || begin > job.latest;
        if late || job.after.iter().any(|&(before, lag)| begins[before] + lag > begin) {
            return false;
        }
    }
    let mut machines: Vec<Machine> = Vec::new();
    machines.extend(shift.jobs.iter().flat_map(|job| job.holds.iter().map(|hold| hold.machine)));
    for machine in machines {
        for minute in 0..=2 * LENGTH {
            let busy = shift.jobs.iter().zip(begins).flat_map(|(job, begin)| {
                job.holds.iter().filter(move |hold| {
                    hold.machine == machine && begin + hold.from <= minute && minute < begin + hold.to
                })
            });
            if busy.count() > 1 {
                return false;
            }
        }
    }
    let mut heads: Vec<(Role, i64, i64)> = Vec::new();
    for (job, begin) in shift.jobs.iter().zip(begins) {
        for hands in &job.hands {
            for _ in 0..hands.people {
                heads.push((hands.role, begin + hands.from, begin + hands.to));
            }
        }
    }
    let mut people: Vec<(&CrewThere, Vec<(i64, i64)>)> = Vec::new();
    for crew in &shift.crews {
        people.extend((0..crew.people).map(|_| (crew, Vec::new())));
    }
    give(&heads, &mut people)
}

/// Gives each head's work to a person, every way.
fn give(heads: &[(Role, i64, i64)], people: &mut [(&CrewThere, Vec<(i64, i64)>)]) -> bool {
    let Some((&(role, from, to), rest)) = heads.split_first() else { return true };
    for number in 0..people.len() {
        let (crew, busy) = &people[number];
        let is_free = busy.iter().all(|&(begin, end)| to <= begin || end <= from);
        if crew.roles.contains(&role) && to <= crew.until && is_free {
            people[number].1.push((from, to));
            if give(rest, people) {
                return true;
            }
            people[number].1.pop();
        }
    }
    false
}

fn exists(shift: &Shift, begins: &mut Vec<i64>) -> bool {
    if begins.len() == shift.jobs.len() {
        return is_kept(shift, begins);
    }
    for begin in 0..=LENGTH {
        begins.push(begin);
        if exists(shift, begins) {
            return true;
        }
        begins.pop();
    }
    false
}

#[test]
fn the_search_finds_an_order_exactly_where_there_is_one() {
    let mut random = Random(7);
    let (mut found, mut none) = (0, 0);
    for number in 0..1_500 {
        let made = shift(&mut random);
        let there_is = exists(&made, &mut Vec::new());
        match order(&made) {
            Order::Found(begins) => {
                assert!(is_kept(&made, &begins), "{number}: {begins:?} {made:?}");
                found += 1;
            }
            Order::None => {
                assert!(!there_is, "{number}: {made:?}");
                none += 1;
            }
            Order::Unknown => panic!("{number}: not decided"),
        }
    }
    assert!(found > 300 && none > 300, "{found} {none}");
}
