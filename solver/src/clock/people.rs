//! Whether the people who are there can do some pieces of work at given times: each by one person from beginning to end.

use cellarwright_model::calendar::Role;

use super::job::{CrewThere, Hands};

/// Steps of a search for an assignment before it is given up.
const MOST_STEPS: usize = 3_000;

/// Minutes by which person-time may be over for each piece of work: each was rounded up to a whole minute.
const ROUNDING: i64 = 2;

/// People at one piece of work (or the set of a clean), by the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Duty {
    pub from: i64,
    pub to: i64,
    pub people: i64,
    /// The pools that they can come from, as bits.
    pub pools: u64,
}

/// People who are alike: a crew; or cleaning sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pool {
    pub people: i64,
    /// Minutes of all of them together.
    pub minutes: i64,
}

/// The crews as pools.
pub fn pools(crews: &[CrewThere]) -> Vec<Pool> {
    crews.iter().take(64).map(|crew| Pool { people: crew.people, minutes: crew.minutes }).collect()
}

/// The crews that can do a piece of work that ends at a time.
pub fn able(crews: &[CrewThere], hands: &Hands, to: i64) -> u64 {
    let role = hands.role;
    let mut bits = 0;
    for (number, crew) in crews.iter().enumerate().take(64) {
        let until = if role == Role::Brew { crew.brewers_until } else { crew.until };
        let can = crew.roles.contains(&role) || crew.check_only && hands.alone;
        if can && to <= until {
            bits |= 1 << number;
        }
    }
    bits
}

/// What a search says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manned {
    Yes,
    No,
    /// Given up.
    Unknown,
}

struct Search<'a> {
    pools: &'a [Pool],
    duties: &'a [Duty],
    /// Heads given to each duty from each crew.
    given: Vec<Vec<i64>>,
    minutes: Vec<i64>,
    steps: usize,
}

/// Whether the pools can do the duties, which must be in order of their beginning.
pub fn can_man(pools: &[Pool], duties: &[Duty]) -> Manned {
    let minutes = pools.iter().map(|pool| pool.minutes + ROUNDING * pool.people * duties.len() as i64);
    let mut search = Search { pools, duties, given: Vec::new(), minutes: minutes.collect(), steps: 0 };
    match search.from(0) {
        true => Manned::Yes,
        false if search.steps > MOST_STEPS => Manned::Unknown,
        false => Manned::No,
    }
}

impl Search<'_> {
    fn from(&mut self, duty: usize) -> bool {
        self.steps += 1;
        if duty == self.duties.len() {
            return true;
        }
        if self.steps > MOST_STEPS {
            return false;
        }
        self.given.push(vec![0; self.pools.len()]);
        let found = self.share(duty, 0, self.duties[duty].people);
        self.given.pop();
        found
    }

    /// Gives `left` heads of a duty to the crews from `crew` on.
    fn share(&mut self, duty: usize, crew: usize, left: i64) -> bool {
        if left == 0 {
            return self.from(duty + 1);
        }
        if crew == self.pools.len() {
            return false;
        }
        let wanted = self.duties[duty];
        let length = wanted.to - wanted.from;
        let free = self.free(duty, crew).min(left).min(self.minutes[crew].div_euclid(length.max(1)));
        for heads in (0..=free.max(0)).rev() {
            self.given[duty][crew] = heads;
            self.minutes[crew] -= heads * length;
            let found = self.share(duty, crew + 1, left - heads);
            self.minutes[crew] += heads * length;
            self.given[duty][crew] = 0;
            if found {
                return true;
            }
        }
        false
    }

    /// Heads of a crew that are free for a duty. Those at work when it begins are all that are in the way: the duties
    /// before it began no later.
    fn free(&self, duty: usize, crew: usize) -> i64 {
        let wanted = self.duties[duty];
        if wanted.pools & (1 << crew) == 0 {
            return 0;
        }
        let mut free = self.pools[crew].people;
        for (before, given) in self.duties[..duty].iter().zip(&self.given) {
            if before.to > wanted.from {
                free -= given[crew];
            }
        }
        free
    }
}
