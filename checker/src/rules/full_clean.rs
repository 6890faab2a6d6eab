//! R27: vessels that are cleaned in full after so many fills, and between a beer with a mark and one without it.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Beer, FullClean, Marks, SinceFull};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Event, Ledger};

/// Fills that a full clean had to come before, and full cleans of vessels that have none.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        if let Some(full) = ledger.case.vessel(vessel).full_clean {
            walk(ledger, vessel, full, breaches);
        }
    }
    for task in &ledger.plan.tasks {
        let vessel = match task.work {
            Work::Clean { vessel, full: true } | Work::Transfer { to: vessel, full: true, .. } => vessel,
            _ => continue,
        };
        let data = ledger.case.vessel(vessel);
        let is_with_fill = matches!(task.work, Work::Transfer { .. });
        if data.full_clean.is_none() || (is_with_fill && !data.is_bright_only()) {
            let allowed = if is_with_fill { "a clean of its own" } else { "short" };
            let (found, allowed) = (Amount::Words("full"), Amount::Words(allowed));
            breaches.add(About::Vessel(vessel), task.slot, "cleaning", found, allowed);
        }
    }
}

fn walk(ledger: &Ledger, vessel: VesselId, full: FullClean, breaches: &mut Breaches) {
    let about = About::Vessel(vessel);
    for fill in fills(ledger, vessel, full) {
        if let Some(every) = full.every.filter(|&every| fill.number > every) {
            let (found, allowed) = (Amount::Number(fill.number), Amount::Number(every));
            breaches.add(about, fill.slot, "fills since the full clean", found, allowed);
        }
        if fill.left_behind != Marks::NONE {
            let (found, allowed) = (Amount::Words("short"), Amount::Words("full"));
            breaches.add(about, fill.slot, "clean after a marked beer", found, allowed);
        }
    }
}

/// A fill of a vessel that is cleaned in full from time to time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountedFill {
    /// When.
    pub slot: Slot,
    /// Fills since the last full clean, this one included.
    pub number: i64,
    /// Marks of the beer before that only a full clean would have taken off.
    pub left_behind: Marks,
}

/// Counts the fills of a vessel since its last full clean, and keeps the marks of its last beer.
#[must_use]
pub fn fills(ledger: &Ledger, vessel: VesselId, full: FullClean) -> Vec<CountedFill> {
    let mut since = ledger.case.since_full(vessel);
    let mut all = Vec::new();
    for entry in ledger.log(vessel) {
        if ledger.cleaned_by(vessel, entry) == Some(true) {
            since = SinceFull::default();
        }
        let Event::Filled(_, held) = entry.event else { continue };
        let beer = ledger.case.beer(ledger.holdings[held].beer);
        since.fills += 1;
        let left_behind = left_behind(full, since.marks, beer);
        all.push(CountedFill { slot: entry.slot, number: since.fills, left_behind });
        since.marks = beer.marks;
    }
    all
}

/// Marks of the last beer that a short clean leaves behind and the next beer does not have.
fn left_behind(full: FullClean, last: Marks, next: &Beer) -> Marks {
    last.common(full.after).without(next.marks)
}
