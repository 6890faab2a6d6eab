//! With what orders that no plan fills could be filled: the smallest change of each kind, each by itself, each confirmed by a plan.
//!
//! Hours of a crew on a day: the least is the optimum of a program in which its overtime then is paid for and nothing else is. Days, of orders
//! due later or beer in tank ready earlier: one more until there is a plan. Resources: one unit more of each (`model::lever`). That
//! fewer do not do is proven by the same programs. A plan of the changed case must pass the checker and fill the orders, or the change is
//! not named.

use std::cmp::Reverse;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Cost};
use cellarwright_model::ids::{CrewId, OrderId};
use cellarwright_model::lever::{Lever, longer, usual_overtime};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use super::change::{Change, MOST_DAYS, candidates, with};
use super::trial::{Point, Trial, filled, is_plan};
use super::{Member, Step, Steps};
use crate::compile::without::Without;
use crate::decode::decode;
use crate::side_by_side;
use crate::solve::SolveError;

/// Minutes that a crew is asked to stay longer than the program says before it is given up: plans are in whole minutes and millilitres.
const ROUNDING: i64 = 2;
/// The least time is found to a tenth of a minute.
const TENTHS: f64 = 600.0;

/// A change with which the orders can be filled: a plan of the changed case was found, and the checker passes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Enough {
    /// The change.
    pub change: Change,
    /// A minute or a day less is proven not to do. (Less than one unit is nothing, which does not do.)
    pub is_least: bool,
    /// What it costs, as far as that is known.
    pub price: Cost,
}

/// Changes that were tried.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Those with which the orders can be filled: by price, then those without one.
    pub enough: Vec<Enough>,
    /// Those that are proven not to be enough by themselves, with the most of each that was tried.
    pub not_enough: Vec<Change>,
    /// Those that were not settled in time, with the most of each that was to be tried.
    pub open: Vec<Change>,
}

/// Tries every kind of change: what the things that forbid it suggest first.
///
/// # Errors
/// If HiGHS fails.
pub fn find(
    trial: &Trial,
    asked: &[OrderId],
    members: &[Member],
    steps: &dyn Steps,
) -> Result<Changes, SolveError> {
    let case = trial.case;
    let mut all = candidates(case, asked);
    all.sort_by_key(|change| Reverse(change.is_suggested(case, members)));
    let done = AtomicUsize::new(0);
    steps.at(Step::Changes { done: 0, of: all.len() });
    let stop = || steps.stop();
    let tried =
        side_by_side::each_in_time(&all, trial.options.workers(), trial.until, &stop, |change, seconds| {
            let trial = Trial { until: Instant::now() + Duration::from_secs_f64(seconds), ..*trial };
            let tried = Attempt { trial: &trial, asked }.settle(change);
            steps.at(Step::Changes { done: done.fetch_add(1, Ordering::Relaxed) + 1, of: all.len() });
            tried
        });
    let mut changes = Changes::default();
    for (change, tried) in all.into_iter().zip(tried) {
        match tried.unwrap_or(Ok(Tried::Open))? {
            Tried::Enough(change, is_least) => {
                let price = change.price(case);
                changes.enough.push(Enough { change, is_least, price });
            }
            Tried::NotEnough => changes.not_enough.push(change),
            Tried::Open => changes.open.push(change),
        }
    }
    changes.enough.sort_by_key(|enough| rank(case, enough));
    Ok(changes)
}

/// By what is paid in the planned days, then what has no price: days, the fewest first, then units of resources.
fn rank(case: &Case, enough: &Enough) -> (bool, i64) {
    let weeks = case.calendar.planned_days.div_ceil(7) as i64;
    if enough.price != Cost::default() {
        let once = enough.price.once.unwrap_or_default();
        return (false, once.0 + enough.price.a_week.unwrap_or_default().0 * weeks);
    }
    let days = match enough.change {
        Change::Longer { .. } => 0,
        Change::Later { days, .. } | Change::ReadyEarlier { days, .. } => days,
        Change::More(Lever::Stay { .. } | Lever::Wait { .. }) => MOST_DAYS + 1,
        Change::More(_) => MOST_DAYS + 2,
    };
    (true, days)
}

/// What came of a change.
enum Tried {
    /// So much does, and whether it is the least.
    Enough(Change, bool),
    NotEnough,
    Open,
}

/// One change that is tried.
struct Attempt<'a> {
    trial: &'a Trial<'a>,
    asked: &'a [OrderId],
}

impl Attempt<'_> {
    /// The least of a change that does, where the most does.
    fn settle(&self, most: &Change) -> Result<Tried, SolveError> {
        match most {
            Change::Longer { crew, slot, time } => self.least_time(*crew, *slot, *time),
            Change::Later { orders, days } => {
                self.fewest_days(*days, |days| Change::Later { orders: orders.clone(), days })
            }
            Change::ReadyEarlier { in_tank, days } => {
                self.fewest_days(*days, |days| Change::ReadyEarlier { in_tank: *in_tank, days })
            }
            Change::More(_) => Ok(match self.does(most)? {
                Some(true) => Tried::Enough(most.clone(), true),
                Some(false) => Tried::NotEnough,
                None => Tried::Open,
            }),
        }
    }

    /// Whether there is a plan with a change; none if that is not known in time.
    fn does(&self, change: &Change) -> Result<Option<bool>, SolveError> {
        match with(self.trial.case, change) {
            Some(case) => self.trial.has_plan(&case, self.asked),
            None => Ok(Some(false)),
        }
    }

    fn fewest_days(&self, most: i64, change: impl Fn(i64) -> Change) -> Result<Tried, SolveError> {
        let mut is_proven = true;
        for days in 1..=most {
            match self.does(&change(days))? {
                Some(true) => return Ok(Tried::Enough(change(days), is_proven)),
                Some(false) => {}
                None => is_proven = false,
            }
        }
        Ok(if is_proven { Tried::NotEnough } else { Tried::Open })
    }

    fn least_time(&self, crew: CrewId, slot: Slot, most: Minutes) -> Result<Tried, SolveError> {
        let usual = usual_overtime(self.trial.case, crew);
        let Some((case, apart)) = longer(self.trial.case, crew, slot, usual + most) else {
            return Ok(Tried::NotEnough);
        };
        let Some(mut context) = filled(&case, &Without::default(), self.asked) else {
            return Ok(Tried::NotEnough);
        };
        let Some(&overtime) = context.columns.overtime.get(&(apart, slot.0)) else {
            return Ok(Tried::NotEnough);
        };
        let beyond = context.program.column(0.0, f64::INFINITY, false);
        context.program.earn(beyond, -1.0);
        context.program.at_most(RuleId::Crew, vec![(overtime, 1.0), (beyond, -1.0)], usual.hours());
        let found = match self.trial.point(&context.program, 0.0, TENTHS)? {
            Point::None => return Ok(Tried::NotEnough),
            Point::Unknown => return Ok(Tried::Open),
            Point::At(found) => found,
        };
        let minutes = |hours: f64| (hours * 60.0 - 1e-3).ceil() as i64;
        let needed = minutes(found.values[beyond.0]).max(1);
        let mut is_least = found.bound.is_finite() && minutes(-found.bound) >= needed;
        let plan = decode(&context, &found.values);
        for time in needed..=(needed + ROUNDING).min(most.0) {
            let change = Change::Longer { crew, slot, time: Minutes(time) };
            let Some(case) = with(self.trial.case, &change) else { break };
            if is_plan(&case, &plan, self.asked) {
                return Ok(Tried::Enough(change, is_least));
            }
            match self.trial.has_plan(&case, self.asked)? {
                Some(true) => return Ok(Tried::Enough(change, is_least)),
                Some(false) => {}
                None => is_least = false,
            }
        }
        Ok(Tried::Open)
    }
}
