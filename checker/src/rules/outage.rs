//! R15: what is away is not used, and a vessel is empty for its upkeep.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Away, Outage};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use super::filter::filter_runs;
use crate::ledger::Ledger;

/// Work with what is away, and beer in vessels that must be empty.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    check_of(ledger, RuleId::Outage, breaches);
    for outage in ledger.case.fixed.outages.iter().filter(|outage| outage.must_be_empty) {
        let Away::Vessel(vessel) = outage.what else { continue };
        let days = ledger.days_of(outage);
        for holding in ledger.holdings.iter().filter(|holding| holding.vessel == vessel) {
            let from = holding.from.map_or(0, |slot| ledger.day(slot));
            let until = holding.emptied.map_or(i64::MAX, |slot| ledger.day(slot));
            if let Some(day) = days.clone().find(|&day| from <= day && day <= until) {
                let slot = ledger.case.calendar.slot(usize::try_from(day).unwrap_or_default(), 0);
                let (found, allowed) = (Amount::Words("with beer in it"), Amount::Words("empty"));
                breaches.add(About::Vessel(vessel), slot, "upkeep", found, allowed);
            }
        }
    }
}

/// Work with what is away by the outages that belong to a rule.
pub fn check_of(ledger: &Ledger, rule: RuleId, breaches: &mut Breaches) {
    pours(ledger, rule, breaches);
    for task in ledger.plan.tasks.iter().filter(|task| ledger.is_planned(task.slot)) {
        let day = ledger.day(task.slot);
        let mut named = uses(&task.work);
        if matches!(task.work, Work::Transfer { .. }) {
            let places = 0..ledger.case.filters.len();
            let running = places.filter(|&place| filter_runs(ledger, place, task.slot));
            named.extend(running.map(Away::Filter));
        }
        named.sort_unstable();
        named.dedup();
        for what in named {
            let is_away =
                |outage: &Outage| outage.what == what && outage.rule() == rule && outage.covers(day);
            if ledger.case.fixed.outages.iter().any(is_away) {
                let (found, allowed) = (Amount::Words("used"), Amount::Words("left alone"));
                breaches.add(about(what), task.slot, "away", found, allowed);
            }
        }
    }
}

/// Pouring from what is away.
fn pours(ledger: &Ledger, rule: RuleId, breaches: &mut Breaches) {
    for pour in ledger.plan.pours.iter().filter(|pour| pour.day < ledger.case.calendar.planned_days) {
        let day = i64::try_from(pour.day).unwrap_or(i64::MAX);
        let is_away = |outage: &Outage| {
            outage.what == Away::Vessel(pour.vessel) && outage.rule() == rule && outage.covers(day)
        };
        if ledger.case.fixed.outages.iter().any(is_away) {
            let slot = ledger.case.calendar.slot(pour.day, 0);
            let (found, allowed) = (Amount::Words("poured from"), Amount::Words("left alone"));
            breaches.add(About::Vessel(pour.vessel), slot, "away", found, allowed);
        }
    }
}

fn about(what: Away) -> About {
    match what {
        Away::Vessel(vessel) => About::Vessel(vessel),
        Away::Line(line) => About::Line(line),
        Away::Brewhouse => About::Brewhouse,
        Away::Filter(place) => About::Filter(place),
        Away::KegWasher => About::KegWasher,
    }
}

/// What a piece of work uses.
fn uses(work: &Work) -> Vec<Away> {
    match *work {
        Work::Brew { vessel, .. } => vec![Away::Brewhouse, Away::Vessel(vessel)],
        Work::Transfer { from, to, .. } => vec![Away::Vessel(from), Away::Vessel(to)],
        Work::Package { line, vessel, .. } => vec![Away::Line(line), Away::Vessel(vessel)],
        Work::Clean { vessel, .. }
        | Work::Sanitise { vessel }
        | Work::Carbonate { vessel }
        | Work::Pitch { vessel, .. }
        | Work::Crop { vessel }
        | Work::Tank { vessel, .. }
        | Work::Dump { vessel } => vec![Away::Vessel(vessel)],
        Work::Wash { .. } => vec![Away::KegWasher],
    }
}

impl Ledger<'_> {
    /// Days of an outage that are planned days.
    fn days_of(&self, outage: &Outage) -> std::ops::Range<i64> {
        outage.first_day.max(0)..(outage.last_day + 1).min(self.end())
    }

    /// The slot in which upkeep of a fermenter ends, if it is a planned one.
    pub fn upkeep_ends(&self, outage: &Outage) -> Option<Slot> {
        let day = usize::try_from(outage.last_day).ok().filter(|_| outage.last_day < self.end())?;
        Some(Slot(self.case.calendar.slot(day + 1, 0).0 - 1))
    }
}
