//! What is not tried again: steps that broke a rule of the whole plan.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Calendar, Slot};
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::{Task, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::{About, Violation};

/// Steps that are not taken.
#[derive(Clone, Debug, Default)]
pub struct Bans {
    /// A batch or lot in this vessel, begun in this slot.
    pub begun: BTreeSet<(VesselId, Slot)>,
    /// Slots of the look-ahead in which nothing is brewed.
    pub brewing: BTreeSet<Slot>,
    /// Vessels that are left as they are.
    pub vessels: BTreeSet<VesselId>,
    /// Vessels that are not filled.
    pub fills: BTreeSet<VesselId>,
    /// Beers that are not brewed.
    pub beers: BTreeSet<BeerId>,
    /// Formats that are not filled.
    pub formats: BTreeSet<FormatId>,
    /// Slots without packaging.
    pub packaging: BTreeSet<Slot>,
    /// Slots without work in the cellar but what brewing needs.
    pub cellar: BTreeSet<Slot>,
    /// Slots without any work.
    pub slots: BTreeSet<Slot>,
    /// Nothing is begun from the day after the planned ones on.
    pub ahead: bool,
}

impl Bans {
    /// Learns from what a plan made of tasks breaks; false if there is nothing more to leave out.
    pub fn learn(&mut self, case: &Case, tasks: &[Task], violations: &[Violation]) -> bool {
        let before = self.size();
        for violation in violations {
            match violation.about {
                About::Vessel(vessel) => self.vessel(&case.calendar, tasks, vessel, violation.slot),
                About::Line(_)
                | About::Crew(_)
                | About::CleaningSets
                | About::CleaningSet(_)
                | About::Filter(_) => {
                    self.slot(violation.slot);
                }
                About::Brewhouse | About::CoolingPlant => self.brewing_by(tasks, violation.slot),
                About::Beer(beer) => {
                    self.beers.insert(beer);
                    if violation.slot.is_none_or(|slot| slot.0 >= case.calendar.planned_slots()) {
                        self.ahead = true;
                    }
                }
                About::Order(order) => {
                    self.formats.insert(case.order(order).format);
                }
                About::Kegs(pool) => self.formats.extend(&case.kegs[pool.0].formats),
                About::Material(material) => {
                    self.formats.extend(case.materials[material.0].uses.iter().map(|&(format, _)| format));
                }
                About::ColdStore => self.stop_packaging(tasks, violation.slot),
                About::WarmStore => self.stop_packaging(tasks, violation.slot),
                About::Outlook => self.look_ahead(case, violation),
                About::Pin(_) | About::KegWasher | About::EarlierPlan => {}
            }
        }
        self.size() > before
    }

    /// Leaves out work of slots that there is no order by the clock for: packaging first, then work in the cellar, then all.
    pub fn relieve(&mut self, slots: impl Iterator<Item = Slot>) {
        for slot in slots {
            self.slot(Some(slot));
        }
    }

    fn size(&self) -> usize {
        self.begun.len()
            + self.brewing.len()
            + self.vessels.len()
            + self.fills.len()
            + self.beers.len()
            + self.formats.len()
            + self.packaging.len()
            + self.cellar.len()
            + self.slots.len()
            + usize::from(self.ahead)
    }

    fn slot(&mut self, slot: Option<Slot>) {
        match slot {
            Some(slot) if self.packaging.insert(slot) || self.cellar.insert(slot) => {}
            Some(slot) => {
                self.slots.insert(slot);
            }
            None => self.ahead = true,
        }
    }

    fn stop_packaging(&mut self, tasks: &[Task], slot: Option<Slot>) {
        let runs = tasks.iter().filter(|task| matches!(task.work, Work::Package { .. }));
        let last = runs.map(|task| task.slot).filter(|&at| slot.is_none_or(|slot| at <= slot)).max();
        match last {
            Some(last) if !self.packaging.contains(&last) => {
                self.packaging.insert(last);
            }
            _ => self.ahead = true,
        }
    }

    fn vessel(&mut self, calendar: &Calendar, tasks: &[Task], vessel: VesselId, slot: Option<Slot>) {
        let fill = tasks.iter().rev().find(|task| {
            let fills_it = match task.work {
                Work::Brew { vessel: into, .. } | Work::Transfer { to: into, .. } => into == vessel,
                _ => false,
            };
            fills_it && slot.is_none_or(|slot| task.slot <= slot)
        });
        match fill {
            Some(task) if self.begun.insert((vessel, task.slot)) => {}
            _ if slot.is_none_or(|slot| slot.0 >= calendar.planned_slots()) && !self.ahead => {
                self.ahead = true
            }
            _ if self.fills.insert(vessel) => {}
            _ => {
                self.vessels.insert(vessel);
            }
        }
    }

    /// Too many turns in a period of the look-ahead: none on one more of its days.
    fn look_ahead(&mut self, case: &Case, violation: &Violation) {
        let first = violation.slot.filter(|_| violation.rule == RuleId::Turns);
        let slots = first.map(|first| (first.0..case.calendar.slots()).map(Slot));
        let another = slots.and_then(|mut slots| slots.find(|slot| !self.brewing.contains(slot)));
        match another {
            Some(slot) => {
                self.brewing.insert(slot);
            }
            None => self.ahead = true,
        }
    }

    fn brewing_by(&mut self, tasks: &[Task], slot: Option<Slot>) {
        for task in tasks.iter().rev() {
            if let Work::Brew { vessel, .. } = task.work
                && slot.is_none_or(|slot| task.slot <= slot)
                && self.begun.insert((vessel, task.slot))
            {
                return;
            }
        }
        self.ahead = true;
    }
}
