//! The look-ahead: what the plan counts on after the planned days, in totals by period, checked and valued.
//!
//! Definitions, each a function of its own:
//!
//! - `Kind of a vessel` (`entry::kind`): vessels with the same uses, sizes, pressures, cleaning, purging and turnaround are one kind.
//! - `Count` of batches, lots, runs and days in millionths; `entry::slack` is what rounding may add.
//! - `Filled` (`entry::Batch::filled`, `entry::Lot::filled`): beer from the planned days has its own day, beer of a period
//!   was filled on one of the period's days; ready on its own day or `stay` days after, first and last day alike.
//! - `Leaves` (`entry::leaves`): in the period of leaving, on its first day at the earliest; what stays, on the day after
//!   the horizon.
//! - May leave (`stays::ready`): the first possible ready day is no later than the last day of the period of leaving.
//! - Must leave (`stays::wait`): the first day of the period of leaving is no later than the last possible hard end.
//! - Present (`stays::present`): a batch or lot is in its vessel at the end of each period from its own to the one before
//!   its leaving; at each end there are no more than vessels of the kind.
//! - Cleaned (`people::cleaned`): batches filled up to each period are no more than vessels clean when the planned days end
//!   and cleanings up to that period. Cleaning sets: clock time of all cleans <= sets x shift hours of the period.
//! - Turns (`people::turns`): turns <= `turns_per_day` x brewing days; brewing days counted >= turns / `turns_per_day` and
//!   clock time <= brewing days x `hours_per_day`, with the first turn of each counted day (where it differs).
//! - Person-time (`people::needed`): as in the planned days, by period; a line needs start-up and clean-down for each shift,
//!   the shortest change for each run beyond its shifts, and running time; changes of format are not counted.
//! - Line time (`people::line_time`) <= hours and overtime limits of the working shifts, shifts <= working shifts.
//! - Heat (`cooling::check`): of batches by their days, those of a period from its first day on, <= `heat_a_day` x days of the period.
//! - Available volume (`volumes::check`): lots filled up to a period <= what arrives of batches that left by then; drawn up
//!   to a period <= lots and direct batches up to it; packaged <= drawn less the line's loss for each run and formats' losses.
//! - Tanks that are only poured from: what they are filled with counts as drawn, with the loss of a transfer, and as a lot; poured
//!   up to a period <= what serving tanks hold, or are filled with up to it.
//! - Delivered (`ledger::Goods`): from the first delivery day after the period's first packaging day on, plus release.
//! - Costs (`costs::add`): of the same work as person-time; waiting of batches and lots from the last possible ready or fill day
//!   to the first day of leaving; over-limit for beer of day 0 only; each entry rounded to the cent.
//! - At the end (`costs::in_tank`): batches that stay have the days from their first possible fill day behind them; lots that stay
//!   are worth what is left of them after all that is drawn; what is left besides is in fermenters that are being packaged from
//!   (`costs::direct_at_end`), if that may go on into the last period.

mod cooling;
mod costs;
pub mod entry;
mod people;
mod stays;
mod volumes;

use cellarwright_model::money::Breakdown;
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::{About, Amount, Violation};

use crate::ledger::Ledger;
use crate::objective::TankBeer;
use crate::rules::Breaches;
use entry::{Entries, Fault};

/// Checks and values the look-ahead of a plan.
#[derive(Debug)]
pub struct Ahead<'a> {
    ledger: &'a Ledger<'a>,
    entries: Entries,
}

impl<'a> Ahead<'a> {
    /// Reads the entries of the plan's look-ahead.
    #[must_use]
    pub fn read(ledger: &'a Ledger<'a>) -> Self {
        Self { ledger, entries: Entries::read(ledger) }
    }

    /// Every breach in the look-ahead.
    #[must_use]
    pub fn violations(&self) -> Vec<Violation> {
        let mut all = Vec::new();
        faults(&self.entries, &mut all);
        if self.ledger.looks_ahead() {
            stays::check(self.ledger, &self.entries, &mut all);
            people::check(self.ledger, &self.entries, &mut all);
            cooling::check(self.ledger, &self.entries, &mut all);
            volumes::check(self.ledger, &self.entries, &mut all);
        }
        all
    }

    /// Beer in vessels at the end of the horizon, as counted on.
    #[must_use]
    pub fn in_tank(&self) -> Vec<TankBeer> {
        costs::in_tank(self.ledger, &self.entries)
    }

    /// Adds the costs of the look-ahead.
    pub fn add_costs(&self, parts: &mut Breakdown) {
        if self.ledger.looks_ahead() {
            costs::add(self.ledger, &self.entries, parts);
        }
    }
}

fn faults(entries: &Entries, all: &mut Vec<Violation>) {
    for &fault in &entries.faults {
        let (rule, what, found, allowed) = match fault {
            Fault::Periods => {
                (RuleId::Calendar, "periods", "not the look-ahead's", "the days after the plan")
            }
            Fault::NoPeriod => (RuleId::Calendar, "period", "not listed", "one of the look-ahead"),
            Fault::Negative => (RuleId::Volume, "count or volume", "less than nothing", "nothing or more"),
            Fault::NotThere => (RuleId::Start, "beer in tank", "not there", "what the planned days leave"),
        };
        let mut breaches = Breaches::of(rule);
        breaches.add(About::Outlook, None, what, Amount::Words(found), Amount::Words(allowed));
        all.extend(breaches.into_violations());
    }
}
