//! Whether every clean has a cleaning set that reaches it, from its beginning to its end.

use cellarwright_model::case::{Case, Reach};

use super::Busy;

/// Steps after which no set is found.
const MOST_STEPS: usize = 100_000;

/// The first clean, in order of time, for which no set is free whichever do those before it.
#[must_use]
pub fn first_without_set(case: &Case, mut cleans: Vec<(Reach, Busy)>) -> Option<Busy> {
    cleans.sort_by_key(|&(reach, busy)| (busy.from, busy.to, reach));
    let sets = usize::try_from(case.cleaning_sets.clamp(0, 1_000)).unwrap_or(0);
    let mut search = Search {
        cleans: &cleans,
        has_names: !case.cleaning.named.is_empty(),
        free: vec![i64::MIN; sets],
        steps: 0,
        furthest: 0,
    };
    if search.find(0) { None } else { cleans.get(search.furthest).map(|&(_, busy)| busy) }
}

struct Search<'c> {
    cleans: &'c [(Reach, Busy)],
    has_names: bool,
    /// When each set is free.
    free: Vec<i64>,
    steps: usize,
    furthest: usize,
}

impl Search<'_> {
    fn find(&mut self, next: usize) -> bool {
        let Some(&(reach, busy)) = self.cleans.get(next) else { return true };
        self.furthest = self.furthest.max(next);
        self.steps += 1;
        for set in 0..self.free.len() {
            let reaches = !self.has_names || set < 64 && reach.0 & (1 << set) != 0;
            if self.steps > MOST_STEPS {
                return false;
            }
            if !reaches || self.free[set] > busy.from {
                continue;
            }
            let before = std::mem::replace(&mut self.free[set], busy.to);
            if self.find(next + 1) {
                return true;
            }
            self.free[set] = before;
            if !self.has_names {
                // Sets without names are alike.
                return false;
            }
        }
        false
    }
}
