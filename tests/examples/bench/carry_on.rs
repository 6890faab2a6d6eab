//! How honest the look-ahead is: the plan of the first week is carried on, week by week, until all weeks are planned in full.

use std::path::Path;
use std::time::Instant;

use cellarwright_model::case::Earlier;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, Options, solve};

use crate::child::GAP;

/// Days that are planned at a time.
const WEEK: usize = 7;

/// What came of a case.
#[derive(Clone, Copy, Debug)]
pub struct Carried {
    /// What the plan of the first week and its look-ahead were worth, in cents or hundredths of a millilitre.
    pub promised: f64,
    /// What the plan of all weeks was worth in the end, in the same unit.
    pub reached: f64,
    /// Seconds for all weeks together.
    pub seconds: f64,
}

impl Carried {
    /// How much less was reached than promised, as a share of the promise.
    pub fn lost(&self) -> f64 {
        (self.promised - self.reached) / self.promised.abs().max(1e-9)
    }
}

/// Plans a case of several planned weeks a week at a time, what was planned before kept as it is, each week within so many seconds.
///
/// # Errors
/// What is wrong with the files, or the week that could not be planned.
pub fn carry_on(path: &Path, seconds: f64) -> Result<Carried, String> {
    let mut case = read_case(path).case.ok_or_else(|| format!("{} cannot be read", path.display()))?;
    let days = case.calendar.planned_days;
    let options = Options { seconds, gap: GAP, ..Options::default() };
    let started = Instant::now();
    let mut promised = None;
    let mut reached = 0;
    for from_day in (0..days).step_by(WEEK) {
        case.calendar.planned_days = (from_day + WEEK).min(days);
        case.calendar.look_ahead_days = days - case.calendar.planned_days;
        let answer = solve(&case, &options, &NoObserver)
            .map_err(|error| format!("{}, from day {from_day}: {error}", path.display()))?;
        reached = answer.objective;
        promised.get_or_insert(reached);
        let plan = answer.plan;
        let from_day = case.calendar.planned_days;
        let earlier = Earlier { plan, from_day, per_change: 0, at_most: None, is_done_kept: true };
        case.fixed.earlier = Some(Box::new(earlier));
    }
    let promised = promised.unwrap_or(reached) as f64;
    Ok(Carried { promised, reached: reached as f64, seconds: started.elapsed().as_secs_f64() })
}
