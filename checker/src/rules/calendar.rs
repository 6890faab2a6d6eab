//! R20: work happens only in the planned days, on its working days and shifts.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::violation::{About, Amount};

use super::{Breaches, about};
use crate::ledger::{Ledger, Misfit};

/// Tasks and overtime outside the planned days, tasks in shifts that their role does not work.
pub fn check(ledger: &Ledger, breaches: &mut Breaches) {
    let last = Slot(ledger.case.calendar.planned_slots().saturating_sub(1));
    for &(position, misfit) in &ledger.misfits {
        let task = &ledger.plan.tasks[position];
        let about = about(&task.work);
        match misfit {
            Misfit::OutOfDays(role) => {
                breaches.add(about, task.slot, name(role), Amount::Slot(task.slot), Amount::Slot(last));
            }
            Misfit::NotWorked(role) => {
                let allowed = Amount::Words("a working shift");
                breaches.add(about, task.slot, name(role), Amount::Slot(task.slot), allowed);
            }
            Misfit::NoTurns(_)
            | Misfit::NoVolume(_)
            | Misfit::CarbonatesLot
            | Misfit::NoSuchTankWork
            | Misfit::TankWorkTwice
            | Misfit::NoWasher
            | Misfit::NoKegs(_) => {}
        }
    }
    for overtime in ledger.plan.overtime.iter().filter(|overtime| !ledger.is_planned(overtime.slot)) {
        let about = About::Crew(overtime.crew);
        breaches.add(about, overtime.slot, "overtime", Amount::Slot(overtime.slot), Amount::Slot(last));
    }
}

fn name(role: Role) -> &'static str {
    match role {
        Role::Brew => "brewing",
        Role::Cellar => "cellar work",
        Role::Package => "packaging",
    }
}
