//! One file for each rule: what of the replayed facts breaks it.

mod bright_rest;
mod calendar;
mod clean;
mod crew;
mod direct;
mod fill_level;
mod filter;
mod full_clean;
mod hours;
mod line;
mod one_batch;
mod orders;
mod outage;
mod packages;
mod pinned;
mod pressure;
mod ready;
mod serving;
mod stages;
mod start;
mod store;
mod tank_work;
mod turns;
mod uses;
mod volume;
mod wait;
mod warm_store;
mod yeast;

pub use clean::{clean_at_end, dirty_days, sets_use as cleaning_sets_use};
pub use crew::{available as available_people, check_hours, line_hours, needed as needed_people, packers};
pub use filter::{filter_time, transfer_time};
pub use full_clean::fills as fills_since_full_clean;
pub use line::visits as line_visits;
pub use orders::counts as is_counted_order;
pub use packages::{bought, kegs_by_slot, materials_bought, washing_time};
pub use pressure::{
    limit as pressure_limit, limit_when_full as pressure_limit_when_full, needed as pressure_needed,
    needed_fermenting as pressure_fermenting,
};
pub use serving::{last_day as last_serving_day, poured, tap};
pub use store::{hired_cost, lacking_cost, stored};
pub use tank_work::{chills_by_day, left_out_charge};
pub use turns::turns_by_liquor;
pub use wait::{costs as waiting_costs, hard_end, leaving_day};
pub use warm_store::standing as standing_warm;
pub use yeast::{costs as yeast_costs, is_allowed as is_crop_allowed};

use cellarwright_model::calendar::Slot;
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::{About, Amount, Violation};

use crate::changes::{Changes, done};
use crate::ledger::Ledger;

/// Collects the breaches of one rule.
#[derive(Debug)]
pub struct Breaches {
    rule: RuleId,
    found: Vec<Violation>,
}

impl Breaches {
    /// None yet.
    #[must_use]
    pub fn of(rule: RuleId) -> Self {
        Self { rule, found: Vec::new() }
    }

    /// Adds one.
    pub fn add(
        &mut self,
        about: About,
        slot: impl Into<Option<Slot>>,
        what: &'static str,
        found: Amount,
        allowed: Amount,
    ) {
        self.found.push(Violation { rule: self.rule, about, slot: slot.into(), what, found, allowed });
    }

    /// All of them.
    #[must_use]
    pub fn into_violations(self) -> Vec<Violation> {
        self.found
    }
}

/// Every breach of every rule in the planned days.
#[must_use]
pub fn check(ledger: &Ledger, changes: Option<&Changes>) -> Vec<Violation> {
    let mut violations = Vec::new();
    for rule in RuleId::ALL {
        let mut breaches = Breaches::of(rule);
        check_one(rule, ledger, &mut breaches);
        if rule == RuleId::Pinned {
            done::check(ledger, changes, &mut breaches);
        }
        violations.extend(breaches.into_violations());
    }
    violations
}

fn check_one(rule: RuleId, ledger: &Ledger, breaches: &mut Breaches) {
    match rule {
        RuleId::OneBatch => one_batch::check(ledger, breaches),
        RuleId::FillLevel => fill_level::check(ledger, breaches),
        RuleId::Turns => turns::check(ledger, breaches),
        RuleId::Ready => ready::check(ledger, breaches),
        RuleId::Wait => wait::check(ledger, breaches),
        RuleId::BrightRest => bright_rest::check(ledger, breaches),
        RuleId::Direct => direct::check(ledger, breaches),
        RuleId::Clean => clean::check(ledger, breaches),
        RuleId::Crew => crew::check(ledger, breaches),
        RuleId::Line => line::check(ledger, breaches),
        RuleId::Pressure => pressure::check(ledger, breaches),
        RuleId::Volume => volume::check(ledger, breaches),
        RuleId::Filter => filter::check(ledger, breaches),
        RuleId::Packages => packages::check(ledger, breaches),
        RuleId::Orders => {
            orders::check(ledger, breaches);
            store::check(ledger, breaches);
        }
        RuleId::Start => start::check(ledger, breaches),
        RuleId::Outage => outage::check(ledger, breaches),
        RuleId::Pinned => pinned::check(ledger, breaches),
        RuleId::Yeast => yeast::check(ledger, breaches),
        RuleId::TankWork => tank_work::check(ledger, breaches),
        RuleId::Serving => serving::check(ledger, breaches),
        RuleId::Calendar => calendar::check(ledger, breaches),
        RuleId::Use => uses::check(ledger, breaches),
        RuleId::Stages => stages::check(ledger, breaches),
        RuleId::Hours => hours::check(ledger, breaches),
        RuleId::WarmStore => warm_store::check(ledger, breaches),
        RuleId::FullClean => full_clean::check(ledger, breaches),
    }
}

/// What a breach by a task is about: the vessel that is worked on, the line or the kegs.
fn about(work: &Work) -> About {
    match *work {
        Work::Brew { vessel, .. }
        | Work::Clean { vessel, .. }
        | Work::Sanitise { vessel }
        | Work::Carbonate { vessel }
        | Work::Pitch { vessel, .. }
        | Work::Crop { vessel }
        | Work::Tank { vessel, .. }
        | Work::Dump { vessel }
        | Work::Transfer { to: vessel, .. } => About::Vessel(vessel),
        Work::Wash { pool, .. } => About::Kegs(pool),
        Work::Package { line, .. } => About::Line(line),
    }
}
