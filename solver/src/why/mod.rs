//! Why an order is short or late: what filling it in full on its due day would displace, or what forbids it.
//!
//! The case is solved as it is, then among the plans that fill the orders asked about. With `plan` and `bound` of both, filling them costs at
//! least `plan - bound with them` and at most `bound - plan with them`, whenever a search ends. Where no plan fills them, `forbid`
//! finds a smallest set of what forbids it, and `enough` with what they could be filled.

mod change;
mod confirm;
mod enough;
mod forbid;
mod parts;
mod trial;

use std::time::{Duration, Instant};

use cellarwright_model::case::Case;
use cellarwright_model::ids::OrderId;
use cellarwright_model::units::Volume;

use crate::answer::{Answer, NO_BOUND, NoObserver, Observer, Options};
use crate::highs::HighsError;
use crate::solve::{SolveError, fills, solve, solve_filling};
use trial::Trial;

pub use crate::compile::without::{Part, Subject};
pub use change::{Change, MOST_DAYS, MOST_LONGER, with};
pub use enough::{Changes, Enough};

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Orders that are to be filled in full on their due days, all of them.
    pub orders: Vec<OrderId>,
    /// How well to search; the seconds are for everything together.
    pub search: Options,
}

/// What the search is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The case as it is.
    AsItIs,
    /// With the orders filled.
    Filled,
    /// What forbids it: so many programs were tried.
    Forbids(usize),
    /// With what it could be done.
    Changes {
        /// So many changes were tried.
        done: usize,
        /// Of so many.
        of: usize,
    },
}

/// Told of each step.
pub trait Steps: Observer {
    /// A step begins.
    fn at(&self, step: Step);
}

impl Steps for NoObserver {
    fn at(&self, _step: Step) {}
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Why {
    /// The orders asked about.
    pub orders: Vec<OrderId>,
    /// The best plan as it is.
    pub as_it_is: Answer,
    /// What becomes of the orders.
    pub verdict: Verdict,
    /// Seconds from start to end.
    pub seconds: f64,
}

/// What becomes of the orders asked about.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// The best plan fills them in full on their due days.
    Filled,
    /// They can be filled, and this is what it takes.
    Displaces(Box<Displaced>),
    /// No plan fills them.
    Forbidden(Box<Forbidden>),
    /// Neither a plan that fills them nor a proof that there is none was found in time.
    NotInTime,
}

/// A plan that fills the orders, beside the plan as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Displaced {
    /// The best plan that fills them.
    pub answer: Answer,
    /// Filling them costs at least so much, in the unit of `Breakdown::objective`; never less than nothing.
    pub least: i64,
    /// At most so much; none where there was no time for a bound.
    pub most: Option<i64>,
}

/// Why no plan fills the orders.
#[derive(Clone, Debug, PartialEq)]
pub struct Forbidden {
    /// What forbids it, together.
    pub members: Vec<Member>,
    /// The members alone, with all else left out, were shown to forbid it.
    pub is_confirmed: bool,
    /// Even with fractions of batches and tanks they forbid it.
    pub in_fractions: bool,
    /// The look-ahead has no part in it.
    pub in_planned_days: bool,
    /// What can be delivered of the orders by their due days, all together.
    pub deliverable: Deliverable,
    /// With what they could be filled.
    pub changes: Changes,
}

/// The most of the orders asked about that can be delivered by their due days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Deliverable {
    /// So much is in a plan of the model; none where none was found in time.
    pub at_least: Option<Volume>,
    /// More is in none; none where there was no time to prove it.
    pub at_most: Option<Volume>,
}

/// One of the things that forbid it together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Member {
    /// What it is.
    pub what: What,
    /// Left out, the other members do not forbid it: shown by a point of the program. None: not proven in time.
    pub is_needed: Option<bool>,
    /// Left out of the case as it is, everything else in force, the orders can be filled. None: not proven in time.
    pub is_enough: Option<bool>,
}

/// What can have a part in forbidding it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// An order asked about, where there are several.
    Order(OrderId),
    /// A pin or an outage.
    Settled(crate::conflict::Settled),
    /// A rule, or a part of it.
    Rule(Part),
}

/// Share of the time for the case as it is.
const SHARE_AS_IT_IS: f64 = 0.25;
/// Share of what is left then for the plan with the orders filled.
const SHARE_FILLED: f64 = 0.5;
/// Share of what is left where no plan fills them for what forbids it; the rest is for changes.
const SHARE_FORBIDS: f64 = 0.5;

/// Finds out why orders are short or late.
///
/// # Errors
/// If the case as it is has no plan, or HiGHS fails.
pub fn why(case: &Case, asked: &Asked, steps: &dyn Steps) -> Result<Why, SolveError> {
    let started = Instant::now();
    let until = started + Duration::from_secs_f64(asked.search.seconds.clamp(0.01, 1e7));
    let left = || until.saturating_duration_since(Instant::now()).as_secs_f64();
    steps.at(Step::AsItIs);
    let options = Options { seconds: asked.search.seconds * SHARE_AS_IT_IS, ..asked.search };
    let as_it_is = solve(case, &options, steps)?;
    let verdict = if fills(case, &as_it_is.report, &asked.orders) {
        Verdict::Filled
    } else {
        steps.at(Step::Filled);
        let options = Options { seconds: left() * SHARE_FILLED, ..asked.search };
        // Where even fractions do not fill them there is no need to search.
        let trial = Trial { case, options, until };
        let filled = match trial.is_impossible_in_fractions(case, &asked.orders)? {
            Some(true) => Err(HighsError::Infeasible.into()),
            _ => solve_filling(case, &asked.orders, &options, steps),
        };
        match filled {
            Ok(answer) => Verdict::Displaces(Box::new(displaced(&as_it_is, answer))),
            Err(SolveError::Highs(HighsError::Infeasible)) => {
                let by_then = Instant::now() + Duration::from_secs_f64(left() * SHARE_FORBIDS);
                let mut verdict = forbid::find(&Trial { until: by_then, ..trial }, &asked.orders, steps)?;
                if let Verdict::Forbidden(found) = &mut verdict {
                    found.changes = enough::find(&trial, &asked.orders, &found.members, steps)?;
                }
                verdict
            }
            Err(SolveError::NotInTime) => Verdict::NotInTime,
            Err(error) => return Err(error),
        }
    };
    let seconds = started.elapsed().as_secs_f64();
    Ok(Why { orders: asked.orders.clone(), as_it_is, verdict, seconds })
}

/// A plan that fills the orders is one of the case as it is, so its bound is no better than that one's.
fn displaced(as_it_is: &Answer, mut answer: Answer) -> Displaced {
    let bound = as_it_is.bound.max(answer.objective);
    answer.bound = answer.bound.min(bound);
    let least = (as_it_is.objective - answer.bound).max(0);
    let most = (bound < NO_BOUND).then_some((bound - answer.objective).max(least));
    Displaced { answer, least, most }
}
