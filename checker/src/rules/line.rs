//! R10: what a line fills, in one piece for each beer, which beers and formats never follow others, and visits of mobile lines.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, FormatId, LineId};
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, LineSlot};

/// Formats of other lines or other beers, beers in several pieces, and forbidden orders.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for (&(slot, line), line_slot) in &ledger.line_slots {
        formats(ledger, slot, line, line_slot, breaches);
        order(ledger, slot, line, line_slot, breaches);
        order_of_formats(ledger, slot, line, line_slot, breaches);
        if !ledger.case.line_is_there(line, slot) {
            let (found, allowed) = (Amount::Slot(slot), Amount::Words("a day on which the line comes"));
            breaches.add(About::Line(line), slot, "visit", found, allowed);
        }
    }
    smallest_visits(ledger, breaches);
}

/// Days on which each line runs, with what it draws and of how many tasks.
#[must_use]
pub fn visits(ledger: &Ledger) -> BTreeMap<(LineId, usize), (Volume, usize)> {
    let mut visits: BTreeMap<(LineId, usize), (Volume, usize)> = BTreeMap::new();
    for (&(slot, line), line_slot) in &ledger.line_slots {
        let visit = visits.entry((line, ledger.case.calendar.day(slot))).or_default();
        visit.0 = Volume(visit.0.0.saturating_add(line_slot.drawn().0));
        visit.1 += line_slot.runs.iter().map(|run| run.pieces.len()).sum::<usize>();
    }
    visits
}

fn smallest_visits(ledger: &Ledger, breaches: &mut Breaches) {
    for ((line, day), (drawn, pieces)) in visits(ledger) {
        let least = ledger.case.line(line).least_visit;
        let rounding = Volume(tolerance::VOLUME.0.saturating_mul(pieces as i64));
        if drawn + rounding < least {
            let slot = ledger.case.calendar.slot(day, 0);
            let (found, allowed) = (Amount::Volume(drawn), Amount::Volume(least));
            breaches.add(About::Line(line), slot, "volume of the visit", found, allowed);
        }
    }
}

fn formats(ledger: &Ledger, slot: Slot, line: LineId, line_slot: &LineSlot, breaches: &mut Breaches) {
    let mut seen: BTreeSet<(BeerId, FormatId)> = BTreeSet::new();
    for run in &line_slot.runs {
        for &format in run.formats.keys() {
            if !seen.insert((run.beer, format)) {
                continue;
            }
            if ledger.case.format(format).line != line {
                let (found, allowed) = (Amount::Words("of another line"), Amount::Words("of this line"));
                breaches.add(About::Line(line), slot, "format", found, allowed);
            } else if ledger.case.beer(run.beer).contribution(format).is_none() {
                let (found, allowed) = (Amount::Words("not of this beer"), Amount::Words("of this beer"));
                breaches.add(About::Beer(run.beer), slot, "format", found, allowed);
            }
        }
    }
}

fn order(ledger: &Ledger, slot: Slot, line: LineId, line_slot: &LineSlot, breaches: &mut Breaches) {
    let about = About::Line(line);
    let pieces = line_slot.order.len();
    if pieces > line_slot.runs.len() {
        let allowed = Amount::Number(line_slot.runs.len() as i64);
        breaches.add(about, slot, "runs", Amount::Number(pieces as i64), allowed);
    }
    let mut before: BTreeSet<BeerId> = BTreeSet::new();
    for run in &line_slot.runs {
        let forbidden = ledger.case.line(line).never_after.iter();
        if forbidden.into_iter().any(|never| never.beer == run.beer && before.contains(&never.after)) {
            let (found, allowed) = (Amount::Words("after"), Amount::Words("never after"));
            breaches.add(About::Beer(run.beer), slot, "order of beers", found, allowed);
        }
        before.insert(run.beer);
    }
}

/// On a line with changes of format by pair: every format of a run in one piece, and no change that is never made.
fn order_of_formats(
    ledger: &Ledger,
    slot: Slot,
    line: LineId,
    line_slot: &LineSlot,
    breaches: &mut Breaches,
) {
    let data = ledger.case.line(line);
    if data.format_pairs.is_empty() {
        return;
    }
    let sequence = line_slot.sequence();
    let once: BTreeSet<(BeerId, FormatId)> = sequence.iter().copied().collect();
    if sequence.len() > once.len() {
        let (found, allowed) = (sequence.len() as i64, once.len() as i64);
        let about = About::Line(line);
        breaches.add(about, slot, "runs of formats", Amount::Number(found), Amount::Number(allowed));
    }
    for (before, next) in sequence.iter().zip(sequence.iter().skip(1)) {
        if data.format_pair(before.1, next.1).is_some_and(|pair| pair.takes.is_none()) {
            let (found, allowed) = (Amount::Words("directly after"), Amount::Words("never directly after"));
            breaches.add(About::Beer(next.0), slot, "order of formats", found, allowed);
        }
    }
}
