//! Replays a plan vessel by vessel in whole numbers, finds every rule it breaks and recomputes its objective.
//!
//! This crate sees cases and plans only; it knows nothing of the program that made the plan.

pub mod account;
pub mod batches;
pub mod changes;
mod clock;
mod cooling;
pub mod cycle;
mod exact;
mod ledger;
pub mod measures;
mod objective;
mod outlook;
pub mod pressure_table;
mod rules;
pub mod usage;
mod usage_fill;
mod usage_packages;
mod usage_yeast;

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::Plan;
use cellarwright_model::violation::Violation;

use account::Accounts;
use changes::Changes;
use measures::Measures;
use usage::Usage;

/// What the replay found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// Every breach, in order of rule, time and vessel. Empty for a plan that can be carried out.
    pub violations: Vec<Violation>,
    /// The objective in parts.
    pub breakdown: Breakdown,
    /// Use of every resource of the planned days.
    pub usage: Usage,
    /// Where the beer of the planned days went.
    pub accounts: Accounts,
    /// Figures that cellars are weighed by.
    pub measures: Measures,
    /// What the plan changes against an earlier one, where the case has one.
    pub changes: Option<Changes>,
}

impl Report {
    /// The objective, less what changes cost: whole cents with `aim: orders`, hundredths of a millilitre with `aim: output`.
    #[must_use]
    pub fn objective(&self, aim: &Aim) -> i64 {
        self.breakdown.objective(aim) - self.changes.as_ref().map_or(0, |changes| changes.cost)
    }
}

/// Replays a plan, finds every rule that it breaks and recomputes its objective.
///
/// Indices in the plan must belong to the case; everything else may be wrong and is found.
#[must_use]
pub fn check(case: &Case, plan: &Plan) -> Report {
    let ledger = ledger::Ledger::replay(case, plan);
    let ahead = outlook::Ahead::read(&ledger);
    let changes = changes::changes(&ledger);
    let mut violations = rules::check(&ledger, changes.as_ref());
    violations.extend(ahead.violations());
    violations.sort_by_key(|violation| (violation.rule, violation.slot, violation.about));
    let in_tank = if ledger.looks_ahead() { ahead.in_tank() } else { objective::in_tank_at_end(&ledger) };
    let mut breakdown = objective::breakdown(&ledger, &in_tank);
    ahead.add_costs(&mut breakdown);
    Report {
        violations,
        breakdown,
        usage: usage_fill::usage(&ledger),
        accounts: account::accounts(&ledger),
        measures: measures::measures(&ledger),
        changes,
    }
}
