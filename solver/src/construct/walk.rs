//! The walk through the slots: beer out of tanks first, then work in them, then cleaning and filling again.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Case};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::money::expected_packaged;
use cellarwright_model::plan::{Pour, Task, Work};
use cellarwright_model::units::Volume;

use super::bans::Bans;
use super::demand::Demand;
use super::hours::Hours;
use super::vessel::{Gas, Held, State, Tank};
use super::{Manner, Style};
use crate::compile::context::Context;

/// A plan in the making.
pub struct Walk<'a, 'b> {
    pub(super) context: &'b Context<'a>,
    pub(super) case: &'a Case,
    pub(super) style: Style,
    pub(super) bans: &'b Bans,
    pub(super) tanks: Vec<Tank>,
    pub(super) hours: Hours<'a>,
    pub(super) demand: Demand<'a, 'b>,
    pub(super) tasks: Vec<Task>,
    pub(super) pours: Vec<Pour>,
    /// What is left of kegs that can be filled, by kind.
    pub(super) kegs: Vec<i64>,
    /// Pieces used, by material.
    pub(super) used: Vec<i64>,
    /// Pitches left, by entry in store.
    pub(super) pitches: Vec<i64>,
    /// Chills by day.
    pub(super) chills: Vec<i64>,
    /// Pins that are kept, by position.
    pub(super) kept: BTreeSet<usize>,
}

impl<'a, 'b> Walk<'a, 'b> {
    /// Makes a plan of all slots of the horizon.
    pub fn through(context: &'b Context<'a>, manner: &'b Manner, bans: &'b Bans) -> Self {
        let case = context.case;
        let mut walk = Self {
            context,
            case,
            style: manner.style,
            bans,
            tanks: case.vessel_ids().map(|id| Tank::new(case, id)).collect(),
            hours: Hours::new(context),
            demand: Demand::new(context, &manner.after_due),
            tasks: Vec::new(),
            pours: Vec::new(),
            kegs: case.kegs.iter().map(|pool| pool.clean).collect(),
            used: vec![0; case.materials.len()],
            pitches: case.yeast.in_store.iter().map(|store| store.pitches).collect(),
            chills: vec![0; case.calendar.days()],
            kept: BTreeSet::new(),
        };
        for tank in &case.in_tank {
            let beer = case.beer(tank.beer);
            let volume = Held::opening(case, tank).volume;
            walk.demand.in_vessels(tank.beer, expected_packaged(case, beer, volume, tank.is_bright).0);
        }
        let last = if bans.ahead { case.calendar.planned_slots() } else { case.calendar.slots() };
        for slot in (0..last).map(Slot) {
            let done = case.fixed.earlier.as_deref().filter(|earlier| earlier.is_kept(case, slot));
            if let Some(earlier) = done {
                walk.do_again(slot, &earlier.plan);
            } else if !bans.slots.contains(&slot) {
                walk.slot(slot);
            }
            if case.calendar.shift(slot) + 1 == case.calendar.shifts.len() {
                match done {
                    Some(earlier) => walk.pour_again(slot, &earlier.plan),
                    None => walk.pour(slot),
                }
            }
        }
        walk
    }

    fn slot(&mut self, slot: Slot) {
        self.open_for_upkeep(slot);
        if self.hours.works(Role::Package, slot) && !self.bans.packaging.contains(&slot) {
            self.package(slot);
        }
        self.work_in_tanks(slot);
        let is_cellar_open = self.hours.works(Role::Cellar, slot) && !self.bans.cellar.contains(&slot);
        if is_cellar_open {
            self.carbonate(slot);
            self.transfer(slot);
        }
        let may_brew = !self.case.is_away(Away::Brewhouse, slot) && !self.bans.brewing.contains(&slot);
        if self.hours.works(Role::Brew, slot) && may_brew {
            self.brew(slot);
        }
        if is_cellar_open {
            for vessel in self.case.vessel_ids() {
                self.clean(vessel, slot);
            }
        }
    }

    /// Whether anything may be done with a vessel in a slot.
    pub(super) fn is_there(&self, vessel: VesselId, slot: Slot) -> bool {
        !self.case.is_away(Away::Vessel(vessel), slot) && !self.bans.vessels.contains(&vessel)
    }

    pub(super) fn day(&self, slot: Slot) -> i64 {
        self.case.calendar.day(slot) as i64
    }

    pub(super) fn add(&mut self, slot: Slot, work: Work) {
        self.tasks.push(Task::new(slot, work));
    }

    /// Upkeep that is over has opened its vessel.
    pub(super) fn open_for_upkeep(&mut self, slot: Slot) {
        let day = self.day(slot);
        for outage in
            self.case.fixed.outages.iter().filter(|outage| outage.soils() && outage.last_day + 1 == day)
        {
            if let Away::Vessel(vessel) = outage.what
                && matches!(self.tanks[vessel.0].state, State::Clean { .. })
                && slot.0 > 0
            {
                self.tanks[vessel.0].state = State::Dirty { since: Some(Slot(slot.0 - 1)), emptying: None };
            }
        }
    }

    /// Beer leaves a vessel for lines or as a transfer of some clock time.
    pub(super) fn draw(
        &mut self,
        slot: Slot,
        vessel: VesselId,
        volume: Volume,
        emptying: Option<cellarwright_model::units::Minutes>,
    ) {
        let Some(held) = self.tanks[vessel.0].held_mut() else { return };
        held.begun.get_or_insert(slot);
        held.left -= volume;
        if held.left <= Volume::ZERO {
            self.tanks[vessel.0].state = State::Dirty { since: Some(slot), emptying };
        }
    }

    /// What may be packaged of beer in a vessel.
    pub(super) fn expected(&self, beer: BeerId, volume: Volume, is_bright: bool) -> i64 {
        expected_packaged(self.case, self.case.beer(beer), volume, is_bright).0
    }

    /// Does the tank work that is due.
    fn work_in_tanks(&mut self, slot: Slot) {
        for vessel in self.case.vessel_ids() {
            let Some(held) = self.tanks[vessel.0].held() else { continue };
            if held.is_lot || held.begun.is_some() || slot.0 < held.after || !self.is_there(vessel, slot) {
                continue;
            }
            self.work_in_tank(vessel, slot);
        }
    }

    fn work_in_tank(&mut self, vessel: VesselId, slot: Slot) {
        let day = self.day(slot);
        let case = self.case;
        while let Some(held) = self.tanks[vessel.0].held() {
            let Some(piece) = case.beer(held.beer).tank_work.get(held.worked) else { return };
            let due = held.on + piece.day + held.late;
            let shown = if held.opening { due.max(0) } else { due };
            let is_chill = piece.kind == cellarwright_model::case::TankWorkKind::Chill;
            if held.opening && day > shown + piece.slip {
                // What is overdue for good is left out.
                if let Some(held) = self.tanks[vessel.0].held_mut() {
                    held.worked += 1;
                }
                continue;
            }
            let too_early = day < shown || day <= held.on || is_chill && day < held.contact;
            let chills =
                case.cooling.chills_a_day.is_some_and(|most| is_chill && self.chills[day as usize] >= most);
            let ask = super::hours::Ask::default().people(piece.job.crew);
            let fits = self.hours.works(Role::Cellar, slot)
                && piece.job.takes <= case.shift_hours(slot)
                && self.hours.fits(slot, &ask);
            if too_early || chills || !fits {
                return;
            }
            let (beer, work) = (held.beer, held.worked);
            self.hours.take(slot, &ask);
            self.add(slot, Work::Tank { beer, work, vessel });
            self.worked(vessel, slot, work);
        }
    }

    /// Notes that a piece of tank work is done.
    pub(super) fn worked(&mut self, vessel: VesselId, slot: Slot, work: usize) {
        let (case, day) = (self.case, self.day(slot));
        let Some(held) = self.tanks[vessel.0].held_mut() else { return };
        let Some(piece) = case.beer(held.beer).tank_work.get(work) else { return };
        let is_chill = piece.kind == cellarwright_model::case::TankWorkKind::Chill;
        let due = held.on + piece.day + held.late;
        let late = if piece.moves { (day - due).max(0) } else { 0 };
        held.worked = work + 1;
        held.late += late;
        held.ready += late;
        held.contact = if is_chill { day + piece.contact } else { held.contact.max(day + piece.contact) };
        held.last_work = Some(slot);
        held.last_work_day = day;
        if is_chill {
            self.chills[day as usize] += 1;
        }
    }

    /// Notes that a batch is carbonated in its fermenter.
    pub(super) fn carbonated(&mut self, vessel: VesselId, slot: Slot) {
        let case = self.case;
        let Some(held) = self.tanks[vessel.0].held_mut() else { return };
        held.gas = Gas::In(slot);
        held.is_direct = true;
        held.left = case.beer(held.beer).loss_direct.taken_off(held.left);
    }

    /// Pours from serving tanks at the end of a day.
    fn pour(&mut self, slot: Slot) {
        let day = self.day(slot);
        for tap in &self.case.taproom.pours {
            let asked = self.case.asked(tap.beer, day);
            let pours = |tank: &&Tank| {
                let id = tank.id;
                tank.held().is_some_and(|held| {
                    let opens = self.case.calendar.start(self.case.calendar.slot(day as usize, 0)).0
                        - self.case.calendar.shifts[0].starts.0
                        + self.case.taproom.opens.0;
                    let rested = held.from.is_none_or(|from| {
                        self.case.calendar.start(from).0 + held.rests.0 + self.case.vessel(id).rest.0 <= opens
                    });
                    held.is_lot
                        && held.beer == tap.beer
                        && self.case.tap(self.case.vessel(id), held.beer).is_some()
                        && day >= held.ready
                        && day <= held.on + tap.pour_within
                        && rested
                }) && self.is_there(id, slot)
            };
            let from = self
                .tanks
                .iter()
                .filter(pours)
                .min_by_key(|tank| tank.held().map(|held| (held.begun.is_none(), held.on, tank.id)));
            let Some(vessel) = from.map(|tank| tank.id) else { continue };
            let left = self.tanks[vessel.0].held().map_or(Volume::ZERO, |held| held.left);
            let volume = asked.min(left);
            if volume > Volume::ZERO {
                self.pours.push(Pour { day: day as usize, vessel, volume });
                self.draw(slot, vessel, volume, None);
            }
        }
    }

    /// Carbonates fermenters that are packaged from in the next slot in which that can be.
    fn carbonate(&mut self, slot: Slot) {
        let day = self.day(slot);
        let case = self.case;
        for vessel in case.vessel_ids() {
            let Some(held) = self.tanks[vessel.0].held() else { continue };
            let beer = case.beer(held.beer);
            // Only so much is carbonated at once as two days of packaging take.
            let waits = self.tanks.iter().filter_map(|tank| {
                tank.held().filter(|held| !held.is_lot && held.gas != Gas::No).map(|held| held.left.0)
            });
            let waits: i64 = waits.sum();
            if waits > 0 && waits + held.left.0 > 2 * self.a_day(held.beer, slot) {
                continue;
            }
            let early = i64::from(beer.during_chill);
            let may = !held.is_lot
                && held.gas == Gas::No
                && beer.is_forced()
                && held.transfers == 0
                && held.is_worked(case)
                && day >= held.ready - early
                && slot.0 >= held.after
                && held.last_work.is_none_or(|last| last <= slot)
                && self.is_there(vessel, slot)
                && self.goes_direct(vessel, held, slot);
            let ask = super::hours::Ask::default().people(case.carbonate.crew);
            if !may || !self.hours.fits(slot, &ask) {
                continue;
            }
            let takes = case.carbonating_takes(beer);
            let ready = held.leaves_from(case);
            let over = case.calendar.start(slot) + takes;
            let mut later = (slot.0 + 1..case.calendar.slots()).map(Slot);
            let next = later.find(|&next| {
                self.hours.works(Role::Package, next)
                    && !self.bans.packaging.contains(&next)
                    && case.calendar.start(next) >= over
                    && self.day(next) >= ready
            });
            let Some(next) = next else { continue };
            let chances = (slot.0 + 1..next.0).map(Slot).filter(|&at| {
                self.hours.works(Role::Cellar, at)
                    && case.calendar.start(at) + takes <= case.calendar.start(next)
            });
            if chances.count() > 1 || self.day(next) > held.ends || !self.is_there(vessel, next) {
                continue;
            }
            self.hours.take(slot, &ask);
            self.add(slot, Work::Carbonate { vessel });
            self.carbonated(vessel, slot);
        }
    }
}
