//! R14: what is in tank on day 0 stays what it is: nothing can be taken from a vessel that never held anything.

use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Event, Ledger};

/// Work with beer that is in no list of day 0 and that the plan did not bring.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        for entry in ledger.log(vessel) {
            if let Event::Nothing { had: false, wanted } = entry.event {
                let (found, allowed) = (Amount::Volume(wanted), Amount::Volume(Volume::ZERO));
                breaches.add(About::Vessel(vessel), entry.slot, "in tank", found, allowed);
            }
        }
    }
}
