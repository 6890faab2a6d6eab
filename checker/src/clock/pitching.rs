//! Whether yeast is cropped by the time at which it is pitched, where both are in one slot.

use std::collections::BTreeSet;

use cellarwright_model::plan::Work;

use super::{Clock, Deadline};
use crate::ledger::Ledger;

/// Yeast follows the first wort: its crop is over by the end of the first turn of the batch.
pub(super) fn read(ledger: &Ledger, clock: &mut Clock) {
    let mut known = BTreeSet::new();
    for pitch in &ledger.yeast.pitches {
        let Some(crop) = pitch.crop.map(|crop| ledger.yeast.crops[crop]) else { continue };
        if crop.slot != pitch.slot || !known.insert((crop.position, pitch.vessel)) {
            continue;
        }
        let first = ledger.plan.tasks.iter().position(|task| {
            task.slot == pitch.slot
                && matches!(task.work, Work::Brew { vessel, .. } if vessel == pitch.vessel)
        });
        let turn = first.and_then(|first| clock.first_turns.get(&first));
        if let (Some(&over), Some(&by)) = (clock.crops.get(&crop.position), turn) {
            let (slot, position) = (crop.slot, crop.position);
            clock.deadlines.push(Deadline { slot, position, over, by, what: "cropped" });
        }
    }
}
