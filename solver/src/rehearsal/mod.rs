//! A rehearsal: what becomes of a plan when beer takes longer and lines stop, planned again each time as a brewer would.
//!
//! What happens is known on the day on which it matters: that a batch is late on the morning of the day on which it should be ready (the day
//! before, where it is carbonated while it is chilled), that a line stops on the morning of the day. Where the plan still keeps every rule, nobody
//! changes anything. Otherwise the rest of the days is planned again from that day on, with what is done kept and each change weighed (R16).

mod draws;
mod stage;

use cellarwright_checker::batches::{Batch, batches};
use cellarwright_checker::{Report, check};
use cellarwright_model::case::Case;
use cellarwright_model::ids::OrderId;
use cellarwright_model::plan::Plan;
use cellarwright_model::units::{Share, Volume};

use crate::answer::{Observer, Options};
use crate::side_by_side;
use crate::solve::SolveError;
use stage::Stage;

/// Each batch is tried with one to so many days.
pub const MOST_LATE: i64 = 3;

/// How likely it is that things go otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chances {
    /// That a batch is ready one, two or three days late.
    pub late: [Share; MOST_LATE as usize],
    /// That a line stops for a day on which it is to run.
    pub stop: Share,
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// How many draws.
    pub draws: usize,
    /// Of the draws.
    pub seed: u64,
    /// How likely it is that things go otherwise.
    pub chances: Chances,
    /// What the smallest change costs, in the unit of the objective.
    pub per_change: i64,
    /// How well each time is planned again; the threads are how many rehearsals are done at a time.
    pub search: Options,
}

/// An order that gets less, or gets it later, than by the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fall {
    /// The order.
    pub order: OrderId,
    /// How much less it gets in all.
    pub short: Volume,
    /// How much more of it comes after its due day.
    pub late: Volume,
}

/// How a rehearsal went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Course {
    /// The plan keeps every rule as it is.
    Stands,
    /// It was planned again so many times, with so many changes in all.
    PlannedAgain {
        /// How many times.
        times: usize,
        /// Changes, each time against the plan before.
        changes: usize,
    },
    /// No plan keeps what is done.
    NoPlan,
    /// None was found in time.
    NotInTime,
}

/// What came of a rehearsal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// How it went.
    pub course: Course,
    /// Orders that fail, in their order.
    pub falls: Vec<Fall>,
    /// Packaged and poured in the planned days.
    pub output: Volume,
    /// A search was cut by time: a better plan might be there.
    pub is_cut: bool,
}

/// A batch, and what comes of it when it is late.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateBatches {
    /// The batch.
    pub batch: Batch,
    /// The day on which it is known that it is late.
    pub known: i64,
    /// What comes of one, two and three days; none where it was stopped before.
    pub outcomes: Vec<Option<Outcome>>,
}

impl LateBatches {
    /// Days up to which, one after another, a condition holds.
    fn days(&self, holds: impl Fn(&Outcome) -> bool) -> i64 {
        let all = self.outcomes.iter().take_while(|outcome| outcome.as_ref().is_some_and(&holds));
        all.count() as i64
    }

    /// Days by which it may be late with nothing else changed.
    #[must_use]
    pub fn spare(&self) -> i64 {
        self.days(|outcome| outcome.course == Course::Stands)
    }

    /// Days by which it may be late without an order that fails, planned again where that is needed.
    #[must_use]
    pub fn bearable(&self) -> i64 {
        self.days(|outcome| {
            let is_kept = matches!(outcome.course, Course::Stands | Course::PlannedAgain { .. });
            is_kept && outcome.falls.is_empty()
        })
    }
}

/// A draw, and what came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draw {
    /// Batches that were late.
    pub late: usize,
    /// Days on which a line that was to run stopped.
    pub stops: usize,
    /// What came of it.
    pub outcome: Outcome,
}

/// A whole rehearsal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rehearsal {
    /// Every batch that is to be ready in the planned days.
    pub batches: Vec<LateBatches>,
    /// Batches that are to be ready in these days and are not rehearsed: brewed by the plan, to be moved into a conditioning tank.
    pub left_out: Vec<Batch>,
    /// The draws that were done, in their order.
    pub draws: Vec<Draw>,
    /// What the plan packages and pours in the planned days.
    pub promised: Volume,
}

/// Rehearses a plan that keeps every rule. `told` hears how many of how many rehearsals are done.
///
/// # Errors
/// If HiGHS fails, or the checker finds that a plan breaks a rule: faults of this program.
pub fn rehearse(
    case: &Case,
    plan: &Plan,
    asked: &Asked,
    observer: &dyn Observer,
    told: &(dyn Fn(usize, usize) + Sync),
) -> Result<Rehearsal, SolveError> {
    let promised = output(&check(case, plan));
    let stage = Stage { case, plan, asked, observer };
    let (batches, left_out): (Vec<Batch>, Vec<Batch>) = in_these_days(case, plan)
        .into_iter()
        .partition(|batch| batch.opening || case.beer(batch.beer).conditions.is_none());
    let mut tasks: Vec<Rehearsed> = Vec::new();
    for batch in &batches {
        tasks.extend((1..=MOST_LATE).map(|days| Rehearsed::Late(*batch, days)));
    }
    tasks.extend((0..asked.draws).map(Rehearsed::Draw));
    let workers = asked.search.workers();
    let done = std::sync::atomic::AtomicUsize::new(0);
    let all = tasks.len();
    let outcomes = side_by_side::each(&tasks, workers, |_, task| {
        if observer.stop() {
            return Ok(None);
        }
        let draw = match task {
            Rehearsed::Late(batch, days) => {
                stage.late(batch, *days).map(|outcome| Draw { late: 1, stops: 0, outcome })
            }
            Rehearsed::Draw(number) => stage.draw(*number),
        };
        told(done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1, all);
        draw.map(Some)
    });
    let mut outcomes = outcomes.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter();
    let batches = batches
        .into_iter()
        .map(|batch| LateBatches {
            batch,
            known: known(case, &batch),
            outcomes: outcomes
                .by_ref()
                .take(MOST_LATE as usize)
                .map(|draw| draw.map(|draw| draw.outcome))
                .collect(),
        })
        .collect();
    let draws = outcomes.flatten().collect();
    Ok(Rehearsal { batches, left_out, draws, promised })
}

/// One rehearsal.
#[derive(Clone, Copy)]
enum Rehearsed {
    /// A batch is so many days late.
    Late(Batch, i64),
    /// The draw with this number.
    Draw(usize),
}

fn output(report: &Report) -> Volume {
    report.breakdown.packaged_planned + report.breakdown.poured_planned
}

/// Batches of which it becomes known in the planned days whether they are ready.
fn in_these_days(case: &Case, plan: &Plan) -> Vec<Batch> {
    let planned = case.calendar.planned_days as i64;
    let all = batches(case, plan).into_iter();
    all.filter(|batch| (0..planned).contains(&known(case, batch)) && batch.ready < planned).collect()
}

/// The day on which it is known whether a batch is ready.
fn known(case: &Case, batch: &Batch) -> i64 {
    batch.ready - i64::from(case.beer(batch.beer).during_chill)
}
