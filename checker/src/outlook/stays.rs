//! Batches and lots of the look-ahead: when they may and must leave, and how many vessels they take.

use std::collections::BTreeMap;

use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Count, Leaving};
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::{About, Amount, Violation};

use super::entry::{Batch, Entries, From, holding, kind, last_vessel, leaves, size, slack};
use crate::ledger::Ledger;
use crate::rules::Breaches;

/// R01, R02, R04, R05, R06, R21 of the look-ahead.
pub fn check(ledger: &Ledger, entries: &Entries, all: &mut Vec<Violation>) {
    let mut one_batch = Breaches::of(RuleId::OneBatch);
    whole_vessels(ledger, entries, &mut one_batch);
    present(ledger, entries, &mut one_batch);
    all.extend(one_batch.into_violations());
    for batch in entries.batches.iter().filter(|batch| batch.count > 0) {
        uses(ledger, batch, all);
        moved(ledger, entries, batch, all);
        fill_level(ledger, batch, all);
        ready(ledger, entries, batch, all);
        wait(ledger, entries, batch, all);
    }
    lots(ledger, entries, all);
}

/// Shares of each vessel that holds beer when the planned days end add up to one.
fn whole_vessels(ledger: &Ledger, entries: &Entries, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        let Some(held) = ledger.held_at_end(vessel) else { continue };
        let from = From::Held(held);
        let batches = entries.batches.iter().filter(|batch| batch.from == from).map(|batch| batch.count);
        let lots = entries.lots.iter().filter(|lot| lot.from == from).map(|lot| lot.count);
        let sum: i128 = batches.chain(lots).map(i128::from).sum();
        if sum != i128::from(Count::ONE.0) {
            let found = Amount::Number(i64::try_from(sum).unwrap_or(i64::MAX));
            let allowed = Amount::Number(Count::ONE.0);
            breaches.add(About::Vessel(vessel), None, "millionths of it counted on", found, allowed);
        }
    }
}

/// At the end of each period no more batches and lots than vessels of the kind.
fn present(ledger: &Ledger, entries: &Entries, breaches: &mut Breaches) {
    let mut there: BTreeMap<(VesselId, usize), (i128, usize)> = BTreeMap::new();
    let batches = entries.batches.iter().map(|batch| {
        let left = batch.moved.map(|moved| moved.period).or(leaves(batch.leaving));
        (batch.from, batch.vessel, batch.count, left)
    });
    let moved = entries.batches.iter().filter_map(|batch| {
        let moved = batch.moved?;
        Some((From::Period(moved.period), moved.like, batch.count, leaves(batch.leaving)))
    });
    let lots = entries.lots.iter().map(|lot| (lot.from, lot.vessel, lot.count, lot.emptied));
    for (from, vessel, count, left) in batches.chain(moved).chain(lots) {
        let first = match from {
            From::Held(_) => 0,
            From::Period(period) => period,
        };
        for period in first..left.unwrap_or(entries.periods.len()) {
            let sum = there.entry((kind(ledger.case, vessel), period)).or_default();
            sum.0 += i128::from(count);
            sum.1 += 1;
        }
    }
    for ((vessel, period), (count, parts)) in there {
        let most = i128::from(size(ledger.case, vessel)) * i128::from(Count::ONE.0);
        if count > most + slack(parts) {
            let slot = ledger.case.calendar.slot(entries.periods[period].first_day, 0);
            let found = Amount::Number(i64::try_from(count).unwrap_or(i64::MAX));
            let allowed = Amount::Number(i64::try_from(most).unwrap_or(i64::MAX));
            breaches.add(About::Vessel(vessel), slot, "millionths of vessels", found, allowed);
        }
    }
}

fn one(
    all: &mut Vec<Violation>,
    rule: RuleId,
    batch: &Batch,
    what: &'static str,
    found: Amount,
    allowed: Amount,
) {
    let mut breaches = Breaches::of(rule);
    breaches.add(About::Vessel(batch.vessel), None, what, found, allowed);
    all.extend(breaches.into_violations());
}

fn uses(ledger: &Ledger, batch: &Batch, all: &mut Vec<Violation>) {
    let uses = ledger.case.vessel(batch.vessel).uses;
    let last = ledger.case.vessel(last_vessel(batch)).uses;
    let beer = ledger.case.beer(batch.beer);
    let mut breach = |found, allowed| {
        one(all, RuleId::Use, batch, "use", Amount::Words(found), Amount::Words(allowed));
    };
    if !uses.ferment && matches!(batch.from, From::Period(_)) {
        breach("brewed into", "ferment");
    }
    match batch.leaving {
        Leaving::Bright(_) if !beer.bright => breach("bright", "direct"),
        Leaving::Direct(_) if !beer.direct || !last.package => breach("direct", "package"),
        Leaving::Bright(_) | Leaving::Direct(_) | Leaving::Dump(_) | Leaving::Stays => {}
    }
}

/// A batch is moved into a conditioning tank that takes it, between its fill and its leaving and no earlier than it may be.
fn moved(ledger: &Ledger, entries: &Entries, batch: &Batch, all: &mut Vec<Violation>) {
    let Some(moved) = batch.moved else { return };
    let vessel = ledger.case.vessel(moved.like);
    let Some(days) = ledger.case.beer(batch.beer).conditions.filter(|_| vessel.uses.condition) else {
        let (found, allowed) = (Amount::Words("moved"), Amount::Words("condition"));
        one(all, RuleId::Use, batch, "use", found, allowed);
        return;
    };
    let allowed = batch.volume.max(vessel.least).min(vessel.holds);
    if batch.volume != allowed {
        one(all, RuleId::FillLevel, batch, "fill", Amount::Volume(batch.volume), Amount::Volume(allowed));
    }
    let filled = match batch.from {
        From::Held(_) => 0,
        From::Period(period) => period,
    };
    let is_in_order = filled <= moved.period && leaves(batch.leaving).is_none_or(|left| moved.period <= left);
    let (day, first) = (entries.last_day(moved.period), entries.ready(ledger, batch).first - days);
    if !is_in_order || day < first {
        one(all, RuleId::Ready, batch, "is moved", Amount::Day(day), Amount::Day(first));
    }
}

fn fill_level(ledger: &Ledger, batch: &Batch, all: &mut Vec<Violation>) {
    if !matches!(batch.from, From::Period(_)) {
        return;
    }
    let vessel = ledger.case.vessel(batch.vessel);
    let each = batch.part.unwrap_or(ledger.case.turn_of(batch.beer));
    let wort = i128::from(each.0) * i128::from(batch.turns);
    let beer = ledger.case.beer(batch.beer);
    let listed = match batch.part {
        Some(part) => batch.turns == 1 && beer.part_turns.contains(&part),
        None => beer.turns.contains(&batch.turns),
    };
    if !listed || wort < i128::from(vessel.least.0) || wort > i128::from(vessel.holds.0) {
        let allowed = Amount::Volume(vessel.holds);
        one(all, RuleId::FillLevel, batch, "turns", Amount::Number(batch.turns), allowed);
    }
}

/// A batch leaves in a period of which the last day is no earlier than its first possible ready day.
fn ready(ledger: &Ledger, entries: &Entries, batch: &Batch, all: &mut Vec<Violation>) {
    let Some(period) = leaves(batch.leaving) else { return };
    if matches!(batch.leaving, Leaving::Dump(_)) {
        return;
    }
    let (ready, leaves) = (entries.ready(ledger, batch).first, entries.last_day(period));
    if leaves < ready {
        one(all, RuleId::Ready, batch, "leaves", Amount::Day(leaves), Amount::Day(ready));
    }
}

/// A new batch leaves in a period of which the first day is no later than its last possible hard end.
fn wait(ledger: &Ledger, entries: &Entries, batch: &Batch, all: &mut Vec<Violation>) {
    let held = holding(ledger, batch.from);
    if held.is_some_and(|holding| holding.opening || holding.has_begun()) {
        return;
    }
    let end = ledger.case.calendar.days() as i64;
    let leaves = leaves(batch.leaving).map_or(end, |period| entries.first_day(period));
    let hard_end = entries.filled(ledger, batch.from).last + ledger.case.beer(batch.beer).must_leave;
    if leaves > hard_end {
        one(all, RuleId::Wait, batch, "leaves", Amount::Day(leaves), Amount::Day(hard_end));
    }
}

/// Lots are filled between `least` and `holds` in vessels that may be filled, and emptied no earlier than filled nor later
/// than their hard end.
fn lots(ledger: &Ledger, entries: &Entries, all: &mut Vec<Violation>) {
    let end = ledger.case.calendar.days() as i64;
    for lot in entries.lots.iter().filter(|lot| lot.count > 0) {
        let about = About::Vessel(lot.vessel);
        let vessel = ledger.case.vessel(lot.vessel);
        let mut breach = |rule, what, found, allowed| {
            let mut breaches = Breaches::of(rule);
            breaches.add(about, None, what, found, allowed);
            all.extend(breaches.into_violations());
        };
        if let From::Period(period) = lot.from {
            let is_only_poured = vessel.is_serve_only() && super::costs::tap(ledger, lot).is_some();
            if !vessel.uses.bright && !is_only_poured {
                let (found, allowed) = (Amount::Words("transferred into"), Amount::Words("bright"));
                breach(RuleId::Use, "use", found, allowed);
            }
            let allowed = lot.volume.max(vessel.least).min(vessel.holds);
            if (lot.volume - allowed).0.abs() > cellarwright_model::tolerance::VOLUME.0 {
                breach(RuleId::FillLevel, "fill", Amount::Volume(lot.volume), Amount::Volume(allowed));
            }
            if let Some(emptied) = lot.emptied.filter(|&emptied| emptied < period) {
                let (found, allowed) = (entries.first_day(emptied), entries.first_day(period));
                breach(RuleId::BrightRest, "packaging", Amount::Day(found), Amount::Day(allowed));
            }
        }
        let opening = holding(ledger, lot.from).is_some_and(|holding| holding.opening);
        let emptied = lot.emptied.map_or(end, |period| entries.first_day(period));
        let hard_end = entries.filled(ledger, lot.from).last + ledger.case.beer(lot.beer).bright_must_leave;
        let is_served = super::costs::tap(ledger, lot).is_some();
        if !opening && !is_served && emptied > hard_end {
            breach(RuleId::Wait, "waits in the bright tank", Amount::Day(emptied), Amount::Day(hard_end));
        }
    }
}
