//! R17 of the look-ahead: heat of a period, as if each batch of a period had its last turn on the period's first day.

use cellarwright_model::plan::Count;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Heat;
use cellarwright_model::violation::{About, Amount, Violation};

use super::entry::{Entries, From, slack};
use crate::cooling::heat_by_day;
use crate::ledger::Ledger;
use crate::rules::Breaches;

/// Heat of every period against as many days of the plant.
pub fn check(ledger: &Ledger, entries: &Entries, all: &mut Vec<Violation>) {
    let Some(limit) = ledger.case.cooling.heat_a_day else { return };
    let mut breaches = Breaches::of(RuleId::TankWork);
    let held = heat_by_day(ledger);
    for period in 0..entries.periods.len() {
        let (first, last) = (entries.first_day(period), entries.last_day(period));
        let mut heat = held.range(first..=last).map(|(_, heat)| i128::from(heat.0)).sum::<i128>() * ONE;
        let mut rounding = ONE;
        for batch in &entries.batches {
            let (From::Period(filled), Some(ferments)) = (batch.from, ledger.case.beer(batch.beer).ferments)
            else {
                continue;
            };
            let on = entries.first_day(filled);
            let days = (first.max(on)..=last).filter(|&day| ferments.is_on(on, day)).count() as i128;
            let wort = ledger.case.wort_of(batch.beer, batch.turns, batch.part);
            let each = i128::from(ferments.heat_a_day(wort).0) * days;
            heat += each * i128::from(batch.count);
            rounding += each * slack(1);
        }
        let allowed = i128::from(limit.0) * i128::from(last - first + 1);
        if heat > allowed * ONE + rounding {
            let amount = |heat: i128| Amount::Heat(Heat(i64::try_from(heat).unwrap_or(i64::MAX)));
            let (found, allowed) = (amount(heat / ONE), amount(allowed));
            let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
            breaches.add(About::Outlook, Some(slot), "heat of the period", found, allowed);
        }
    }
    all.extend(breaches.into_violations());
}

const ONE: i128 = Count::ONE.0 as i128;
