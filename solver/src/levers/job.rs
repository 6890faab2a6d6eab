//! One case to be solved in one of the horizons, and plans of one case tried in another.

use std::sync::atomic::{AtomicBool, Ordering};

use cellarwright_checker::check;
use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::lever::Lever;
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::Plan;
use cellarwright_model::units::{Money, Volume};

use super::{Asked, Horizon, LeverError, Solved};
use crate::answer::{NO_BOUND, Observer, Options, Progress, Status};
use crate::compile::objective::{scale, shown};
use crate::repeating::{self, KeptUp, keep_up};
use crate::solve::{self, solve};

/// A case to be solved.
pub struct Job {
    case: Case,
    levers: Vec<Lever>,
    horizon: Horizon,
}

/// A plan that can be tried again.
#[derive(Clone, Debug)]
pub enum Again {
    /// Of planned days.
    Planned(Box<Plan>),
    /// Of a cycle.
    Repeating(Box<KeptUp>),
}

/// A case with some levers, as far as it was tried.
#[derive(Clone, Debug)]
pub struct Tried {
    /// The levers; none for the case as it is.
    pub levers: Vec<Lever>,
    /// The case; none where the levers make no sense together.
    pub case: Option<Case>,
    /// No plan of it is better, as far as was proven.
    pub bound: Option<i64>,
    /// The best plan so far, in numbers.
    pub best: Option<Solved>,
    /// The best plan so far.
    pub again: Option<Again>,
    /// Why the search failed, if it did.
    pub failure: Option<String>,
}

impl Tried {
    /// Levers of which only a bound is known.
    pub fn not_yet(levers: Vec<Lever>, case: Option<Case>, bound: Option<i64>) -> Self {
        Self { levers, case, bound, best: None, again: None, failure: None }
    }

    /// Takes over what a search gave.
    pub fn take(&mut self, other: &Self) {
        self.bound = self.bound.into_iter().chain(other.bound).min();
        (self.best, self.again) = (other.best, other.again.clone());
    }

    /// Objective of the best plan so far.
    pub fn objective(&self) -> Option<i64> {
        self.best.map(|best| best.objective)
    }

    /// The best plan of another case, tried in this one by the checker: its numbers, if it keeps every rule here.
    pub fn with_plan_of(&self, other: &Self) -> Option<Solved> {
        if other.levers.iter().any(|lever| lever.adds_vessel() || !lever.keeps_numbers()) {
            return None;
        }
        let case = self.case.as_ref()?;
        let shifts = |case: &Case| case.calendar.shifts.len();
        let (there, then) = (shifts(other.case.as_ref()?), shifts(case));
        match other.again.as_ref()? {
            Again::Planned(plan) => {
                // A further shift is a new one after the last of the day, or one that was there.
                let report = check(case, &plan.with_shifts(there, then));
                let is_kept = report.violations.is_empty();
                is_kept.then(|| of_plan(case, &report.breakdown, &packaged(&report), None, false))
            }
            Again::Repeating(_) if there != then => None,
            Again::Repeating(kept) => {
                let (judged, kept) = repeating::again(case, kept)?;
                let goods: Vec<_> = kept.packaged.into_iter().collect();
                Some(of_plan(&judged, &kept.breakdown, &goods, None, false))
            }
        }
    }
}

type Goods = Vec<((BeerId, FormatId), Volume)>;

fn packaged(report: &cellarwright_checker::Report) -> Goods {
    report.accounts.packaged.iter().map(|goods| ((goods.beer, goods.format), goods.volume)).collect()
}

/// A plan in numbers. With `aim: orders` the look-ahead counts too, and contribution is what is delivered and poured.
fn of_plan(case: &Case, parts: &Breakdown, goods: &Goods, bound: Option<i64>, is_complete: bool) -> Solved {
    let planned = parts.packaged_planned + parts.poured_planned;
    let (volume, contribution) = match case.aim {
        Aim::Orders => {
            let look_ahead = parts.packaged_look_ahead + parts.poured_look_ahead;
            (planned + look_ahead, parts.delivered + parts.poured)
        }
        Aim::Output(_) => {
            let earned = goods.iter().map(|&((beer, format), volume)| {
                let contribution = case.beer(beer).contribution(format).unwrap_or_default();
                contribution.for_volume(volume)
            });
            (planned, earned.sum::<Money>() + parts.poured)
        }
    };
    Solved { objective: parts.objective(&case.aim), bound, volume, contribution, is_complete }
}

impl Job {
    /// A case to be solved as asked.
    pub fn new(case: Case, levers: Vec<Lever>, asked: &Asked) -> Self {
        Self { case, levers, horizon: asked.horizon }
    }

    /// The case.
    pub fn case(&self) -> &Case {
        &self.case
    }

    /// Solves it. The search ends too when no plan can be worth more than `enough`.
    ///
    /// # Errors
    /// As `solve` and `keep_up`.
    pub fn solve(
        &self,
        options: &Options,
        observer: &dyn Observer,
        enough: Option<i64>,
    ) -> Result<Tried, LeverError> {
        let until = Until {
            inner: observer,
            enough: enough.map(|enough| enough as f64 / (scale(&self.case.aim) / shown(&self.case.aim))),
            is_over: AtomicBool::new(false),
        };
        let known = |bound: i64| (bound < NO_BOUND).then_some(bound);
        let (best, again) = match self.horizon {
            Horizon::Planned => {
                let answer = solve(&self.case, options, &until)?;
                let is_complete = answer.status != Status::Stopped;
                let goods = packaged(&answer.report);
                let parts = &answer.report.breakdown;
                let best = of_plan(&self.case, parts, &goods, known(answer.bound), is_complete);
                (best, Again::Planned(Box::new(answer.plan)))
            }
            Horizon::Repeating(weeks) => {
                let kept = keep_up(&self.case, weeks, options, &until)?;
                let is_complete = kept.status != Status::Stopped;
                let goods: Goods = kept.kept.packaged.clone().into_iter().collect();
                let parts = &kept.kept.breakdown;
                let best = of_plan(&self.case, parts, &goods, known(kept.bound), is_complete);
                (best, Again::Repeating(Box::new(kept)))
            }
        };
        Ok(Tried {
            levers: self.levers.clone(),
            case: Some(self.case.clone()),
            bound: best.bound,
            best: Some(best),
            again: Some(again),
            failure: None,
        })
    }

    /// A bound that is cheap: nothing need be whole.
    pub fn bound_in_fractions(&self, options: &Options) -> Option<i64> {
        let bound = match self.horizon {
            Horizon::Planned => solve::bound_in_fractions(&self.case, options).ok(),
            Horizon::Repeating(weeks) => repeating::bound_in_fractions(&self.case, weeks, options).ok(),
        };
        bound.flatten().filter(|&bound| bound < NO_BOUND)
    }
}

/// Ends a search once it is proven that nothing better than `enough` can come of it.
struct Until<'a> {
    inner: &'a dyn Observer,
    /// In units that people are shown.
    enough: Option<f64>,
    is_over: AtomicBool,
}

impl Observer for Until<'_> {
    fn progress(&self, progress: Progress) {
        // Of levers there are many at a time: only the case as it is tells of its steps.
        if self.enough.is_none() {
            self.inner.progress(progress);
        }
    }

    fn stop(&self) -> bool {
        self.is_over.load(Ordering::Relaxed) || self.inner.stop()
    }

    fn stop_at(&self, bound: Option<f64>) -> bool {
        if self.enough.zip(bound).is_some_and(|(enough, bound)| bound <= enough) {
            self.is_over.store(true, Ordering::Relaxed);
        }
        self.stop()
    }
}
