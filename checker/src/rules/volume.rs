//! R12: what leaves is what came in less the losses of that step.

use cellarwright_model::plan::Work;
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::{About, Amount};

use super::Breaches;
use crate::ledger::{Event, Ledger, Misfit};

/// More taken than is there, beer gone without a trace, volumes of nothing, runs below the line's loss.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    for vessel in ledger.case.vessel_ids() {
        let about = About::Vessel(vessel);
        for entry in ledger.log(vessel) {
            match entry.event {
                Event::TakenTooMuch(held, there) => {
                    let outs = ledger.holdings[held].outs.iter();
                    let taken: Volume = outs.filter(|out| out.slot == entry.slot).map(|out| out.volume).sum();
                    let (found, allowed) = (Amount::Volume(taken), Amount::Volume(there));
                    breaches.add(about, entry.slot, "leaves", found, allowed);
                }
                Event::Vanished(_, left) => {
                    let allowed = Amount::Volume(tolerance::VOLUME);
                    breaches.add(about, entry.slot, "left when cleaned", Amount::Volume(left), allowed);
                }
                Event::Nothing { had: true, wanted } => {
                    let allowed = Amount::Volume(Volume::ZERO);
                    breaches.add(about, entry.slot, "leaves", Amount::Volume(wanted), allowed);
                }
                Event::Nothing { had: false, .. }
                | Event::Filled(..)
                | Event::Added(_)
                | Event::FilledOver(..)
                | Event::Emptied(..)
                | Event::Cleaned
                | Event::Opened
                | Event::CleanedOver(_)
                | Event::Sanitised(_)
                | Event::Carbonated(_) => {}
            }
        }
    }
    no_volumes(ledger, breaches);
    runs(ledger, breaches);
}

fn no_volumes(ledger: &Ledger, breaches: &mut Breaches) {
    for &(position, misfit) in &ledger.misfits {
        let Misfit::NoVolume(volume) = misfit else { continue };
        let task = &ledger.plan.tasks[position];
        if let Work::Transfer { from: vessel, .. } | Work::Package { vessel, .. } = task.work {
            let (found, allowed) = (Amount::Volume(volume), Amount::Volume(Volume(1)));
            breaches.add(About::Vessel(vessel), task.slot, "leaves", found, allowed);
        }
    }
}

fn runs(ledger: &Ledger, breaches: &mut Breaches) {
    for (&(slot, line), line_slot) in &ledger.line_slots {
        let loss = ledger.case.line(line).loss;
        for run in line_slot.runs.iter().filter(|run| run.drawn < loss) {
            breaches.add(About::Line(line), slot, "run", Amount::Volume(run.drawn), Amount::Volume(loss));
        }
    }
}
