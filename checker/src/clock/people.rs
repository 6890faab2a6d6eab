//! Whether people can be found for every duty of a slot: each stays at it from beginning to end and does nothing else.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::tolerance;

use super::leaves;
use crate::ledger::Ledger;

/// People of a role at one piece of work, in minutes from the start of the shift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Duty {
    pub role: Role,
    pub heads: i64,
    pub from: i64,
    pub to: i64,
    /// Those who only check may do it.
    pub alone: bool,
}

/// Steps after which nobody is found.
const MOST_STEPS: usize = 100_000;

struct Crew {
    roles: Vec<Role>,
    checks: bool,
    leaves: i64,
    /// Those who brew may have come later and stay as long as the brewhouse is worked.
    brewers_leave: i64,
    /// When each person is free.
    free: Vec<i64>,
    /// Person-minutes left.
    left: i64,
}

/// The first duty, in order of time, for which nobody is found whoever does those before it.
#[must_use]
pub fn first_without_people(ledger: &Ledger, slot: Slot, duties: &[Duty]) -> Option<Duty> {
    let mut duties = duties.to_vec();
    duties.sort_by_key(|duty| (duty.from, duty.to, duty.role));
    let mut crews = Vec::new();
    for id in ledger.case.crew_ids() {
        let people = ledger.case.crew_people(id, slot).clamp(0, 500);
        if people == 0 {
            continue;
        }
        let leaves = leaves(ledger, id, slot).0;
        // Each duty was rounded up to whole minutes.
        let rounding = 2 * tolerance::TIME.0 * duties.len() as i64;
        crews.push(Crew {
            roles: ledger.case.crew(id).roles.clone(),
            checks: ledger.case.crew(id).check_only,
            leaves,
            brewers_leave: leaves.max(ledger.case.brewhouse.hours_per_day.0),
            free: vec![i64::MIN; usize::try_from(people).unwrap_or(0)],
            left: people * (ledger.hours(id, slot).0 + rounding),
        });
    }
    let (mut steps, mut furthest) = (0, 0);
    let found = find(&mut crews, &duties, 0, &mut steps, &mut furthest);
    if found { None } else { duties.get(furthest).copied() }
}

fn find(crews: &mut [Crew], duties: &[Duty], next: usize, steps: &mut usize, furthest: &mut usize) -> bool {
    *furthest = (*furthest).max(next.min(duties.len().saturating_sub(1)));
    let Some(&duty) = duties.get(next) else { return true };
    *steps += 1;
    if *steps > MOST_STEPS {
        return false;
    }
    for heads in ways(crews, duty) {
        let before: Vec<(Vec<i64>, i64)> = crews.iter().map(|crew| (crew.free.clone(), crew.left)).collect();
        for (crew, &heads) in crews.iter_mut().zip(&heads) {
            crew.take(duty, heads);
        }
        if find(crews, duties, next + 1, steps, furthest) {
            return true;
        }
        for (crew, (free, left)) in crews.iter_mut().zip(before) {
            (crew.free, crew.left) = (free, left);
        }
        if *steps > MOST_STEPS {
            return false;
        }
    }
    false
}

/// Every way to take the heads of a duty from the crews.
fn ways(crews: &[Crew], duty: Duty) -> Vec<Vec<i64>> {
    let mut ways: Vec<Vec<i64>> = vec![Vec::new()];
    for (number, crew) in crews.iter().enumerate() {
        let rest: i64 = crews[number + 1..].iter().map(|crew| crew.can_give(duty)).sum();
        let mut longer = Vec::new();
        for way in ways {
            let missing = duty.heads - way.iter().sum::<i64>();
            for heads in (missing - rest).max(0)..=crew.can_give(duty).min(missing) {
                let mut way = way.clone();
                way.push(heads);
                longer.push(way);
            }
        }
        ways = longer;
    }
    ways.retain(|way| way.iter().sum::<i64>() == duty.heads);
    ways
}

impl Crew {
    fn can_give(&self, duty: Duty) -> i64 {
        let leaves = if duty.role == Role::Brew { self.brewers_leave } else { self.leaves };
        let can = self.roles.contains(&duty.role) || self.checks && duty.alone;
        if !can || duty.to > leaves || duty.from < 0 {
            return 0;
        }
        let free = self.free.iter().filter(|&&free| free <= duty.from).count() as i64;
        free.min(self.left.max(0).div_euclid((duty.to - duty.from).max(1)))
    }

    fn take(&mut self, duty: Duty, heads: i64) {
        let mut missing = heads;
        for free in self.free.iter_mut().filter(|free| **free <= duty.from) {
            if missing > 0 {
                *free = duty.to;
                missing -= 1;
            }
        }
        self.left -= heads * (duty.to - duty.from);
    }
}
