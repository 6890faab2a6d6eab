//! What one unit more of each resource adds, with what is proven of it.
//!
//! The case is solved as it is, then with each lever, to a plan and a bound. With `plan` and `bound` of both, the best with the lever less the
//! best without it lies between `plan with - bound without` and `bound with - plan without`: true whenever a search ends. Every plan is
//! tried in the other cases too (by the checker), and where more can never hurt, plans and bounds of one case hold for another.

mod job;
mod range;

use std::time::{Duration, Instant};

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::lever::{Lever, levers, with};
use cellarwright_model::units::{Money, Volume};

use crate::answer::{NoObserver, Observer, Options};
use crate::repeating::{RepeatError, refusals};
use crate::side_by_side;
use crate::solve::SolveError;
use job::{Job, Tried};

/// Where a lever is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Horizon {
    /// The days of the brew plan.
    Planned,
    /// A cycle of so many weeks that repeats for ever.
    Repeating(usize),
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// Where levers are looked for.
    pub horizon: Horizon,
    /// How well each case is solved; the seconds are for all of them together, the threads are searches at a time.
    pub search: Options,
    /// Pairs among so many levers are tried too; none where nothing is asked of pairs.
    pub pairs_of: Option<usize>,
}

/// A case as far as it is solved. Objectives are those of `Breakdown::objective`, of the horizon or of a cycle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Solved {
    /// The best plan found.
    pub objective: i64,
    /// No plan of the case is better; none where there was no time to prove anything.
    pub bound: Option<i64>,
    /// What the plan packages and pours.
    pub volume: Volume,
    /// Contribution of what it packages and pours.
    pub contribution: Money,
    /// The search ended by itself.
    pub is_complete: bool,
}

/// How far a lever was tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It is proven to add nothing that would be seen.
    Nothing,
    /// The search came to its end.
    Solved,
    /// The search was cut by time or by hand; the range is true all the same.
    Cut,
    /// There was no time for it.
    NotTried,
    /// The search failed: a fault of this program, or no plan that keeps what is pinned.
    Failed,
}

/// What one lever, or a pair of levers, adds to the objective.
#[derive(Clone, Debug, PartialEq)]
pub struct Gain {
    /// The levers, in their order.
    pub levers: Vec<Lever>,
    /// How far it was tried.
    pub state: State,
    /// Why it failed, if it did.
    pub failure: Option<String>,
    /// It adds at least so much; none where nothing is known.
    pub low: Option<i64>,
    /// It adds at most so much; none where nothing is known.
    pub high: Option<i64>,
    /// Objective of the best plan with it less that of the best plan without it, within `low` and `high`.
    pub found: Option<i64>,
    /// What the best plan with it packages and pours beyond the best plan without it.
    pub volume: Option<Volume>,
    /// The same of contribution.
    pub contribution: Option<Money>,
    /// More of it can never hurt.
    pub never_hurts: bool,
    /// Paid once for it, if anything is known to be.
    pub price: Option<Money>,
    /// Paid for it every week, besides what is paid for work, if anything is known to be.
    pub costs_a_week: Option<Money>,
}

/// A pair, and what it adds beyond the sum of its parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// What both add together.
    pub gain: Gain,
    /// It adds at least so much more than the sum of its parts; may be below nothing. None where nothing is known.
    pub beyond_low: Option<i64>,
    /// It adds at most so much more than the sum of its parts.
    pub beyond_high: Option<i64>,
}

/// All levers of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Levers {
    /// Where they were looked for.
    pub horizon: Horizon,
    /// Weeks that an objective is of.
    pub weeks: f64,
    /// The case as it is.
    pub base: Solved,
    /// A gain up to this adds nothing that would be seen.
    pub nothing: i64,
    /// By lever, in their fixed order.
    pub gains: Vec<Gain>,
    /// Pairs that were asked for.
    pub pairs: Vec<Pair>,
    /// Pairs that there are of all levers.
    pub all_pairs: usize,
    /// Seconds from start to end.
    pub seconds: f64,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum LeverError {
    /// The case as it is has no plan.
    #[error(transparent)]
    Plan(#[from] SolveError),
    /// The case as it is has no cycle.
    #[error(transparent)]
    Cycle(#[from] RepeatError),
}

/// Told of each step: how many searches are over, of how many.
pub trait Steps: Observer {
    /// A search is over.
    fn step(&self, done: usize, of: usize);
}

impl Steps for NoObserver {
    fn step(&self, _done: usize, _of: usize) {}
}

/// Said of levers that make no sense together.
const NOT_TOGETHER: &str = "they make no sense together";

/// Share of the time for the case as it is, on which every range hangs.
const SHARE_OF_BASE: f64 = 0.3;
/// Share of what is left for levers one by one, where pairs are asked for.
const SHARE_OF_SINGLES: f64 = 0.5;

/// Finds out what every lever of a case adds, within the time asked for.
///
/// # Errors
/// If the case as it is has no plan, or what a repeating week cannot count. Of a lever that fails only its own row says so.
pub fn find(case: &Case, asked: &Asked, steps: &dyn Steps) -> Result<Levers, LeverError> {
    find_among(case, &levers(case), asked, steps)
}

/// The same for some levers only.
///
/// # Errors
/// As `find`.
pub fn find_among(
    case: &Case,
    all: &[Lever],
    asked: &Asked,
    steps: &dyn Steps,
) -> Result<Levers, LeverError> {
    let started = Instant::now();
    let end = started + Duration::from_secs_f64(asked.search.seconds.clamp(0.01, 1e7));
    if let Horizon::Repeating(weeks) = asked.horizon {
        let refused = refusals(case, weeks);
        if !refused.is_empty() {
            return Err(RepeatError::Refused(refused).into());
        }
    }
    let weeks = weeks(case, asked.horizon);
    let nothing = nothing(&case.aim, weeks);
    let base = Job::new(case.clone(), Vec::new(), asked);
    let base_options = Options {
        seconds: asked.search.seconds * if all.is_empty() { 1.0 } else { SHARE_OF_BASE },
        ..asked.search
    };
    let base = side_by_side::alone(|| base.solve(&base_options, steps, None))?;
    let singles: Vec<Vec<Lever>> = all.iter().map(|&lever| vec![lever]).collect();
    let until = match asked.pairs_of {
        Some(_) => Instant::now() + end.saturating_duration_since(Instant::now()).mul_f64(SHARE_OF_SINGLES),
        None => end,
    };
    let rounds = Rounds { case, asked, base: &base, nothing, steps };
    let singles = rounds.run(&singles, until);
    let (chosen, all_pairs) = match asked.pairs_of {
        Some(most) => range::pairs(case, &base, &singles, most),
        None => (Vec::new(), 0),
    };
    let pairs = rounds.run(&chosen, end);
    let found = range::Found { case, base, singles, pairs, nothing };
    let (base, gains, pairs) = found.settled();
    Ok(Levers {
        horizon: asked.horizon,
        weeks,
        base,
        nothing,
        gains,
        pairs,
        all_pairs,
        seconds: started.elapsed().as_secs_f64(),
    })
}

/// Levers tried side by side.
struct Rounds<'a> {
    case: &'a Case,
    asked: &'a Asked,
    base: &'a Tried,
    nothing: i64,
    steps: &'a dyn Steps,
}

impl Rounds<'_> {
    /// Bounds in fractions first, which may prove that there is nothing to be had; then the searches.
    fn run(&self, all: &[Vec<Lever>], until: Instant) -> Vec<Tried> {
        let make = |levers: &Vec<Lever>| {
            let changed = with(self.case, levers);
            changed.map(|case| Job::new(case, levers.clone(), self.asked))
        };
        let jobs: Vec<Option<Job>> = all.iter().map(make).collect();
        let workers = self.asked.search.workers();
        let enough = self.base.objective().map(|objective| objective.saturating_add(self.nothing));
        let stop = || self.steps.stop();
        let relaxed = side_by_side::each_in_time(&jobs, workers, until, &stop, |job, seconds| {
            let options = Options { seconds, threads: 1, ..self.asked.search };
            job.as_ref().and_then(|job| job.bound_in_fractions(&options))
        });
        let is_open = |bound: &Option<Option<i64>>| {
            let proven = bound.flatten().zip(enough).is_some_and(|(bound, enough)| bound <= enough);
            !proven
        };
        let open: Vec<usize> = (0..jobs.len()).filter(|&place| is_open(&relaxed[place])).collect();
        let done = std::sync::atomic::AtomicUsize::new(jobs.len() - open.len());
        let searched = side_by_side::each_in_time(&open, workers, until, &stop, |&place, seconds| {
            let options = Options { seconds, threads: 1, ..self.asked.search };
            let solved = jobs[place].as_ref().map(|job| job.solve(&options, self.steps, enough));
            let done = done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
            self.steps.step(done, jobs.len());
            solved
        });
        let mut tried: Vec<Tried> = Vec::new();
        for (place, levers) in all.iter().enumerate() {
            let changed = jobs[place].as_ref().map(|job| job.case().clone());
            let mut one = Tried::not_yet(levers.clone(), changed, relaxed[place].flatten());
            if let Some(position) = open.iter().position(|&open| open == place) {
                match searched.get(position) {
                    Some(Some(Some(Ok(solved)))) => one.take(solved),
                    Some(Some(Some(Err(error)))) => one.failure = Some(error.to_string()),
                    Some(Some(None)) => one.failure = Some(NOT_TOGETHER.to_owned()),
                    Some(None) | None => {}
                }
            }
            tried.push(one);
        }
        tried
    }
}

/// Weeks that an objective is of: what `aim: output` counts is in the planned days.
fn weeks(case: &Case, horizon: Horizon) -> f64 {
    let days = match (horizon, &case.aim) {
        (Horizon::Repeating(weeks), _) => return weeks as f64,
        (Horizon::Planned, Aim::Orders) => case.calendar.days(),
        (Horizon::Planned, Aim::Output(_)) => case.calendar.planned_days,
    };
    days as f64 / 7.0
}

/// Half of the last place of what a person is shown a week: half a unit of money, or 5 L.
fn nothing(aim: &Aim, weeks: f64) -> i64 {
    let a_week = match aim {
        Aim::Orders => 50.0,
        Aim::Output(_) => 500_000.0,
    };
    (a_week * weeks).floor() as i64
}
