//! R10: what a line fills, in one piece for each beer, and which beers never follow others.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, FormatId, LineId};
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Ledger, LineSlot};

/// Formats of other lines or other beers, beers in several pieces, and forbidden orders.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for (&(slot, line), line_slot) in &ledger.line_slots {
        formats(ledger, slot, line, line_slot, breaches);
        order(ledger, slot, line, line_slot, breaches);
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
