//! How honest the look-ahead is: the plan of the first week is carried on through all weeks, planned in full.

use std::path::Path;

use cellarwright_model::case::Earlier;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, Options, solve};

use crate::child::GAP;

/// Days that are planned first.
const WEEK: usize = 7;

/// What came of a case, in cents or hundredths of a millilitre.
#[derive(Clone, Copy, Debug)]
pub struct Carried {
    /// What the plan of the first week and its look-ahead were worth.
    pub promised: f64,
    /// What no plan of all weeks that begins with this week is worth more than.
    pub at_most: f64,
    /// What the plan of all weeks was worth in the end.
    pub reached: f64,
}

impl Carried {
    /// How much less was reached than promised, as a share of the promise.
    pub fn lost(&self) -> f64 {
        self.short_of_promise(self.reached)
    }

    /// How much less than promised is possible at most, as a share of the promise: what the look-ahead is too hopeful by, at least.
    pub fn lost_at_least(&self) -> f64 {
        self.short_of_promise(self.at_most)
    }

    fn short_of_promise(&self, worth: f64) -> f64 {
        (self.promised - worth) / self.promised.abs().max(1e-9)
    }
}

/// Plans the first week of a case of several planned weeks, and then all weeks, with that week as it is, each within so many seconds.
///
/// # Errors
/// What is wrong with the files, or that the week cannot be carried on.
pub fn carry_on(path: &Path, seconds: f64) -> Result<Carried, String> {
    let mut case = read_case(path).case.ok_or_else(|| format!("{} cannot be read", path.display()))?;
    let days = case.calendar.planned_days;
    let options = Options { seconds, gap: GAP, ..Options::default() };
    let failed = |from: usize| move |error| format!("{}, from day {from}: {error}", path.display());
    case.calendar.planned_days = WEEK.min(days);
    case.calendar.look_ahead_days = days - case.calendar.planned_days;
    let week = solve(&case, &options, &NoObserver).map_err(failed(0))?;
    let from_day = case.calendar.planned_days;
    let earlier = Earlier { plan: week.plan, from_day, per_change: 0, at_most: None, is_done_kept: true };
    case.fixed.earlier = Some(Box::new(earlier));
    (case.calendar.planned_days, case.calendar.look_ahead_days) = (days, 0);
    let all = solve(&case, &options, &NoObserver).map_err(failed(from_day))?;
    let [promised, at_most, reached] = [week.objective, all.bound, all.objective].map(|worth| worth as f64);
    Ok(Carried { promised, at_most, reached })
}
