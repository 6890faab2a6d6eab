//! What is asked of the solver and what it answers.

use std::collections::BTreeMap;

use cellarwright_checker::Report;
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;

/// How long and how well to search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// Clock time for the search, in seconds.
    pub seconds: f64,
    /// Relative gap at which the search ends, such as 0.005.
    pub gap: f64,
    /// Threads of HiGHS.
    pub threads: i32,
    /// Random seed of HiGHS.
    pub seed: i32,
}

impl Options {
    /// Searches that are done at a time where each has one thread.
    #[must_use]
    pub fn workers(&self) -> usize {
        usize::try_from(self.threads).unwrap_or(1).max(1)
    }
}

impl Default for Options {
    fn default() -> Self {
        Self { seconds: 60.0, gap: 0.005, threads: 2, seed: 0 }
    }
}

/// How far the search has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Seconds since the start.
    pub seconds: f64,
    /// Objective of the best plan so far, in units of the answer (money, or hL).
    pub best: Option<f64>,
    /// Proven bound, in the same units.
    pub bound: Option<f64>,
}

/// Watches a search and may stop it. Called while HiGHS runs, so it must be quick.
pub trait Observer: Sync {
    /// A new best plan or a new bound.
    fn progress(&self, progress: Progress);
    /// Whether to stop and keep the best plan.
    fn stop(&self) -> bool;
    /// Whether to stop, now that this bound is proven (in the same units; none if there is none yet).
    fn stop_at(&self, bound: Option<f64>) -> bool {
        let _ = bound;
        self.stop()
    }
    /// Nodes after which a search ends, whatever the clock says: the same on every machine.
    fn most_nodes(&self) -> Option<i32> {
        None
    }
    /// Iterations of linear programs after which a search ends, in the same way.
    fn most_iterations(&self) -> Option<i64> {
        None
    }
}

/// Watches nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoObserver;

impl Observer for NoObserver {
    fn progress(&self, _progress: Progress) {}
    fn stop(&self) -> bool {
        false
    }
}

/// Is told of nothing, and stops when asked to.
pub(crate) struct OnlyStop<F>(pub F);

impl<F: Fn() -> bool + Sync> Observer for OnlyStop<F> {
    fn progress(&self, _progress: Progress) {}
    fn stop(&self) -> bool {
        (self.0)()
    }
}

/// Ends a search as another observer would, and tells it of nothing.
pub(crate) struct Untold<'o>(pub &'o dyn Observer);

impl Observer for Untold<'_> {
    fn progress(&self, _progress: Progress) {}
    fn stop(&self) -> bool {
        self.0.stop()
    }
    fn most_nodes(&self) -> Option<i32> {
        self.0.most_nodes()
    }
}

/// Ends a search as another observer would, when asked to, or after so many iterations, and tells of nothing.
pub(crate) struct Within<'o, F> {
    pub(crate) observer: &'o dyn Observer,
    pub(crate) is_over: F,
    pub(crate) iterations: Option<i64>,
}

impl<F: Fn() -> bool + Sync> Observer for Within<'_, F> {
    fn progress(&self, _progress: Progress) {}
    fn stop(&self) -> bool {
        (self.is_over)() || self.observer.stop()
    }
    fn most_nodes(&self) -> Option<i32> {
        self.observer.most_nodes()
    }
    fn most_iterations(&self) -> Option<i64> {
        self.iterations
    }
}

/// A gap within which every plan is.
pub(crate) const ANY_GAP: f64 = 1e6;

/// How the search ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Bound and objective meet (to the tolerances).
    Optimal,
    /// The gap asked for is reached.
    WithinGap,
    /// Time was up, or the search was stopped.
    Stopped,
}

/// A bound of so many units of the objective says nothing.
pub(crate) const NO_BOUND: i64 = 900_000_000_000_000_000;

/// A bound of a program in units of the objective, rounded up.
pub(crate) fn in_units(bound: f64, to_units: f64) -> i64 {
    (bound * to_units).min(NO_BOUND as f64).ceil() as i64
}

/// What a bound says of an objective.
pub(crate) struct Proof {
    /// The bound: never less than the objective.
    pub bound: i64,
    /// `bound - objective` over the objective's size.
    pub gap: f64,
    /// How the search ended.
    pub status: Status,
}

impl Proof {
    /// Of an objective and a bound in its unit; a unit of the program has so many of these.
    pub fn new(objective: i64, bound: i64, to_units: f64, is_complete: bool) -> Self {
        let bound = bound.max(objective);
        let gap = (bound - objective) as f64 / (objective.abs().max(1)) as f64;
        let is_tight = (bound - objective) as f64 <= to_units.max(1e-6 * objective.abs() as f64);
        let status = match (is_tight, is_complete) {
            (true, _) => Status::Optimal,
            (false, true) => Status::WithinGap,
            (false, false) => Status::Stopped,
        };
        Self { bound, gap, status }
    }
}

/// A plan and how good it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// How the search ended.
    pub status: Status,
    /// The plan.
    pub plan: Plan,
    /// The checker's replay of the plan; it has no violations.
    pub report: Report,
    /// Objective, recomputed by the checker: cents, or hundredths of a millilitre (`Breakdown::objective`).
    pub objective: i64,
    /// Proven bound on the objective of the program, in the same unit, rounded up. No plan of this model is better.
    pub bound: i64,
    /// `bound - objective` over the objective's size.
    pub gap: f64,
    /// Seconds from start to end.
    pub seconds: f64,
    /// Size of the program as compiled, without what `clock_times` cuts off later.
    pub size: Size,
    /// The same by the rule that wrote the rows; a rule without rows is left out.
    pub by_rule: BTreeMap<RuleId, RuleSize>,
}

/// Size of a program.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Size {
    /// Rows.
    pub rows: usize,
    /// Columns.
    pub columns: usize,
    /// Integer columns.
    pub integers: usize,
    /// Nonzeros.
    pub nonzeros: usize,
}

/// Rows of one rule.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RuleSize {
    /// Rows.
    pub rows: usize,
    /// Nonzeros of these rows.
    pub nonzeros: usize,
    /// Different columns in these rows. A column may be in rows of several rules, so these do not add up.
    pub columns_touched: usize,
}
