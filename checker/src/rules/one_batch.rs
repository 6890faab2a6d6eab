//! R01: a vessel holds one batch from fill to empty.

use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Event, Ledger};

/// Fills into a vessel that holds something else, or the same beer too late.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        for entry in ledger.log(vessel) {
            if let Event::FilledOver(_, held) = entry.event {
                let left = ledger.holdings[held].left;
                let volume = if left.0 > 0 { left } else { ledger.holdings[held].volume };
                let about = About::Vessel(vessel);
                breaches.add(about, entry.slot, "fill", Amount::Volume(volume), Amount::Words("empty"));
            }
        }
    }
}
