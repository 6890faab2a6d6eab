//! Transfers into bright tanks, and cleaning.

use std::cmp::Reverse;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Job, Split, Turnaround};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Minutes, Volume, mul_div};

use super::hours::Ask;
use super::vessel::{Gas, Held, State};
use super::walk::Walk;
use crate::compile::rules::{bright_rest, pressure, stages, uses};

/// A part of a batch on its way: into which tank, what leaves, what arrives.
type Part = (VesselId, Volume, Volume);

impl Walk<'_, '_> {
    /// Moves every batch that is ready and for which there is a tank: those that must leave soonest first.
    pub(super) fn transfer(&mut self, slot: Slot) {
        let mut ready: Vec<(bool, bool, i64, VesselId)> = Vec::new();
        let day = self.day(slot);
        for tank in &self.tanks {
            let Some(held) = tank.held() else { continue };
            if self.may_leave(tank.id, held, slot) && !self.goes_direct(tank.id, held, slot) {
                let wanted = self.case.beer(held.beer).packaged.iter().filter_map(|packaged| {
                    self.demand.wanted(self.context, held.beer, packaged.format, day + 1).0
                });
                let is_last = held.ends <= day + 3;
                let due = wanted.min().unwrap_or(i64::MAX / 4 + held.ends);
                ready.push((held.begun.is_none(), !is_last, if is_last { held.ends } else { due }, tank.id));
            }
        }
        ready.sort_unstable();
        for (.., from) in ready {
            self.transfer_from(from, slot);
        }
    }

    fn may_leave(&self, vessel: VesselId, held: &Held, slot: Slot) -> bool {
        let day = self.day(slot);
        let begun =
            held.begun.is_none_or(|begun| stages::soon_enough(self.context, Role::Cellar, begun, slot));
        !held.is_lot
            && self.case.beer(held.beer).bright
            && !held.is_direct
            && !matches!(held.gas, Gas::In(_))
            && day >= held.leaves_from(self.case)
            && slot.0 >= held.after
            && held.is_worked(self.case)
            && (held.begun.is_some() || held.opening || day <= held.ends)
            && begun
            && self.is_there(vessel, slot)
    }

    /// Whether a batch is packaged from its fermenter: it can be, and no bright tank takes it, or none is free for too long.
    pub(super) fn goes_direct(&self, vessel: VesselId, held: &Held, slot: Slot) -> bool {
        let beer = self.case.beer(held.beer);
        let data = self.case.vessel(vessel);
        if held.is_direct || matches!(held.gas, Gas::In(_)) {
            return true;
        }
        let can = uses::may_package_from(self.context, beer, data)
            && pressure::may_carbonate(self.context, beer, data)
            && held.transfers == 0;
        let feeds = beer.packaged.iter().any(|packaged| {
            let line = self.case.format(packaged.format).line;
            self.case.reaches_line(vessel, line)
                && pressure::may_feed(self.context, beer, data, self.case.line(line))
        });
        let waits = self.style.direct || self.day(slot) > held.leaves_from(self.case) + beer.may_wait.min(2);
        can && feeds && (waits || !beer.bright || !self.could_be_bright(vessel, held))
    }

    /// Whether bright tanks of the cellar can take a batch, were they free.
    fn could_be_bright(&self, from: VesselId, held: &Held) -> bool {
        let beer = self.case.beer(held.beer);
        let arrives = self.case.arrives(beer, held.left);
        let tanks = || self.case.vessel_ids().filter(|&to| self.may_take(from, held, to));
        let takes_all = tanks().any(|to| {
            let data = self.case.vessel(to);
            (data.least..=data.holds).contains(&arrives)
        });
        let together: i64 = tanks().map(|to| self.case.vessel(to).holds.0).sum();
        takes_all || beer.split != Split::Never && together >= arrives.0
    }

    /// Whether a vessel is a bright tank for a batch, whatever is in it.
    pub(super) fn may_take(&self, from: VesselId, held: &Held, to: VesselId) -> bool {
        let (beer, data) = (self.case.beer(held.beer), self.case.vessel(to));
        to != from
            && data.is_bright_only()
            && uses::may_be_bright(beer, data)
            && pressure::may_carbonate(self.context, beer, data)
            && self.case.reaches_vessel(from, to)
            && !self.bans.fills.contains(&to)
    }

    /// Whether a tank is empty and can be filled in a slot.
    fn is_free(&self, to: VesselId, slot: Slot) -> bool {
        let since = match self.tanks[to.0].state {
            State::Full(_) => return false,
            State::Dirty { since, .. } | State::Clean { since, .. } => since,
        };
        let opens = self.case.fixed.outages.iter().any(|outage| {
            outage.must_be_empty
                && outage.what == cellarwright_model::case::Away::Vessel(to)
                && outage.last_day >= self.day(slot)
        });
        let is_barred = self.bans.begun.contains(&(to, slot));
        since.is_none_or(|since| since < slot) && !opens && !is_barred && self.is_there(to, slot)
    }

    fn transfer_from(&mut self, from: VesselId, slot: Slot) {
        let Some(held) = self.tanks[from.0].held().cloned() else { return };
        let beer = self.case.beer(held.beer);
        let arrives = self.case.arrives(beer, held.left);
        let mut all: Vec<VesselId> =
            self.case.vessel_ids().filter(|&to| self.may_take(from, &held, to)).collect();
        // The largest first.
        all.sort_by_key(|&to| (Reverse(self.case.vessel(to).holds), to));
        let free: Vec<VesselId> = all.iter().copied().filter(|&to| self.is_free(to, slot)).collect();
        let takes = |to: VesselId, volume: Volume| {
            let data = self.case.vessel(to);
            (data.least..=data.holds).contains(&volume)
                && bright_rest::may_fill(self.context, held.beer, data, (1, volume), slot)
        };
        // A beer on tap goes where it can be poured, any other where nothing is poured; small tanks first.
        let single = free.iter().copied().filter(|&to| takes(to, arrives)).min_by_key(|&to| {
            let data = self.case.vessel(to);
            let is_tapped = self.case.tap(data, held.beer).is_some();
            (self.serves_enough(&held) == is_tapped, data.holds, to)
        });
        if let Some(to) = single {
            self.try_transfer(from, &held, &[(to, held.left, arrives)], slot);
            return;
        }
        let volume_fits = |&to: &VesselId| {
            let data = self.case.vessel(to);
            (data.least..=data.holds).contains(&self.case.arrives(beer, held.volume))
        };
        let may_split = match beer.split {
            Split::Never => false,
            Split::Free => true,
            Split::Needed => !all.iter().any(volume_fits),
        };
        if !may_split {
            return;
        }
        let division = |tanks: &[VesselId], count: usize| {
            let mut divisions = tanks.windows(count).map(|some| self.divided(&held, some));
            divisions.find(|parts| parts.iter().all(|&(to, _, arrives)| takes(to, arrives)))
        };
        for count in 2..=stages::MOST_TANKS {
            if let Some(parts) = division(&free, count) {
                self.try_transfer(from, &held, &parts, slot);
                return;
            }
            // Over no more tanks than are needed: it waits until so many are free.
            if division(&all, count).is_some() {
                return;
            }
        }
    }

    /// Whether what is in serving tanks is enough of a beer for a week.
    fn serves_enough(&self, held: &Held) -> bool {
        let Some(tap) = self.case.taproom.tap(held.beer) else { return true };
        let there = self.tanks.iter().filter_map(|tank| {
            let held = tank.held().filter(|other| other.is_lot && other.beer == held.beer)?;
            self.case.tap(self.case.vessel(tank.id), held.beer).map(|_| held.left.0)
        });
        there.sum::<i64>() >= tap.a_day.iter().map(|day| day.0).sum()
    }

    /// A batch over some tanks, in proportion to what they hold.
    fn divided(&self, held: &Held, tanks: &[VesselId]) -> Vec<Part> {
        let beer = self.case.beer(held.beer);
        let holds: i64 = tanks.iter().map(|&to| self.case.vessel(to).holds.0).sum();
        let mut left = held.left;
        let mut parts = Vec::new();
        for (position, &to) in tanks.iter().enumerate() {
            let share = Volume(mul_div(held.left.0, self.case.vessel(to).holds.0, holds.max(1)));
            let leaves = if position + 1 == tanks.len() { left } else { share };
            left -= leaves;
            parts.push((to, leaves, self.case.arrives(beer, leaves)));
        }
        parts
    }

    fn try_transfer(&mut self, from: VesselId, held: &Held, parts: &[Part], slot: Slot) {
        let case = self.case;
        let beer = case.beer(held.beer);
        let mut ask = Ask::default();
        for &(to, _, arrives) in parts {
            let data = case.vessel(to);
            let clean = data.cleaning(self.tanks[to.0].needs_full(case));
            let takes = case.transfer_takes(beer, arrives);
            let filter = beer.filter.map(|which| (which, held.beer, case.filters[which].running(arrives).0));
            ask = ask.people(case.transfer.job.crew).people(data.purge.job.crew).clean(clean, data.reach);
            if beer.is_forced() {
                ask = ask.people(case.carbonate.crew);
            }
            if clean.takes + data.purge.job.takes + takes > case.shift_hours(slot) {
                return;
            }
            ask = ask.transfer(takes, filter);
            if let Some((which, _, time)) = filter {
                let people = case.filters[which].people * (time + case.filters[which].start_up.0);
                ask = ask.people(cellarwright_model::case::RoleTimes::only(Role::Cellar, Minutes(people)));
            }
        }
        if !self.hours.fits(slot, &ask) {
            return;
        }
        self.hours.take(slot, &ask);
        self.demand.in_vessels(held.beer, -self.expected(held.beer, held.left, false));
        for &part in parts {
            let full = self.tanks[part.0.0].needs_full(case);
            self.add(slot, Work::Transfer { from, to: part.0, volume: part.1, full });
            self.move_part(slot, from, held, part, full);
        }
    }

    /// Notes that a part of a batch has come into a tank.
    pub(super) fn move_part(
        &mut self,
        slot: Slot,
        from: VesselId,
        held: &Held,
        (to, leaves, arrives): Part,
        full: bool,
    ) {
        let (case, beer) = (self.case, self.case.beer(held.beer));
        let emptying = case.transfer_takes(beer, case.arrives(beer, held.volume));
        self.draw(slot, from, leaves, Some(emptying.max(case.transfer_takes(beer, held.volume))));
        self.demand.in_vessels(held.beer, self.expected(held.beer, arrives, true));
        let gas = if beer.is_forced() { case.carbonating_takes(beer) } else { Minutes::ZERO };
        let data = case.vessel(to);
        let work = bright_rest::before_fill(&data.cleaned(full)) + case.transfer_takes(beer, arrives);
        let on = self.day(slot);
        let lot = Held {
            is_lot: true,
            opening: false,
            from: Some(slot),
            on,
            ready: on,
            ends: on + beer.bright_must_leave,
            volume: arrives,
            left: arrives,
            gas: Gas::Before,
            rests: work + gas,
            begun: None,
            transfers: 0,
            ..held.clone()
        };
        self.tanks[to.0].cleaned(full);
        self.tanks[to.0].filled(case, lot);
        if let Some(held) = self.tanks[from.0].held_mut() {
            held.transfers += 1;
        }
    }

    /// The clean of a vessel in a slot, if it is dirty and can be cleaned then.
    fn clean_of(&self, vessel: VesselId, slot: Slot) -> Option<(Job, bool)> {
        let State::Dirty { since, emptying } = self.tanks[vessel.0].state else { return None };
        let data = self.case.vessel(vessel);
        if !data.is_cleaned_apart() || !self.hours.works(Role::Cellar, slot) || !self.is_there(vessel, slot) {
            return None;
        }
        let full = self.tanks[vessel.0].needs_full(self.case);
        let job = data.cleaning(full);
        let before = if since == Some(slot) {
            if data.clean_after != Turnaround::SameShift {
                return None;
            }
            emptying?
        } else {
            Minutes::ZERO
        };
        (before + job.takes <= self.case.shift_hours(slot)).then_some((job, full))
    }

    /// Cleans a vessel if it can be.
    pub(super) fn clean(&mut self, vessel: VesselId, slot: Slot) -> bool {
        let Some((job, full)) = self.clean_of(vessel, slot) else { return false };
        let ask = Ask::default().clean(job, self.case.vessel(vessel).reach);
        if !self.hours.fits(slot, &ask) {
            return false;
        }
        self.hours.take(slot, &ask);
        self.add(slot, Work::Clean { vessel, full });
        self.cleaned(vessel, slot, full);
        true
    }

    /// Notes that a vessel is cleaned.
    pub(super) fn cleaned(&mut self, vessel: VesselId, slot: Slot, full: bool) {
        let emptying = match self.tanks[vessel.0].state {
            State::Dirty { since, emptying } if since == Some(slot) => emptying.unwrap_or(Minutes::ZERO),
            State::Dirty { .. } | State::Clean { .. } | State::Full(_) => Minutes::ZERO,
        };
        self.tanks[vessel.0].cleaned(full);
        self.tanks[vessel.0].state = State::Clean { since: Some(slot), emptying };
    }

    /// What makes a vessel fit to be filled with wort in a slot: nothing, or a clean, or sanitising. None if it cannot be.
    pub(super) fn before_brew(&self, vessel: VesselId, slot: Slot) -> Option<Ask> {
        let case = self.case;
        let data = case.vessel(vessel);
        let knock = case.brewhouse.next_turn.takes;
        match self.tanks[vessel.0].state {
            State::Full(_) => None,
            State::Dirty { since, emptying } => {
                let (job, _) = self.clean_of(vessel, slot)?;
                let before = if since == Some(slot) { emptying? } else { Minutes::ZERO };
                let fits = before + job.takes + knock <= case.shift_hours(slot);
                fits.then(|| Ask::default().clean(job, data.reach))
            }
            State::Clean { since, emptying } if since == Some(slot) => {
                let takes = emptying + data.clean.takes + knock;
                (takes <= case.shift_hours(slot)).then(Ask::default)
            }
            State::Clean { since, .. } => {
                let stays = case.cleaning.stays_clean;
                let cleaned =
                    since.map_or(case.calendar.start(Slot(0)) - stays, |at| case.calendar.start(at));
                if case.calendar.start(slot) - cleaned <= stays {
                    return Some(Ask::default());
                }
                let may = self.hours.works(Role::Cellar, slot);
                may.then(|| Ask::default().people(case.sanitise.crew))
            }
        }
    }

    /// Makes a vessel fit to be filled, as `before_brew` says.
    pub(super) fn prepare(&mut self, vessel: VesselId, slot: Slot) -> bool {
        let Some(ask) = self.before_brew(vessel, slot) else { return false };
        let State::Clean { since, .. } = self.tanks[vessel.0].state else { return self.clean(vessel, slot) };
        let case = self.case;
        let stays = case.cleaning.stays_clean;
        let cleaned = since.map_or(case.calendar.start(Slot(0)) - stays, |at| case.calendar.start(at));
        if since != Some(slot) && case.calendar.start(slot) - cleaned > stays {
            self.hours.take(slot, &ask);
            self.add(slot, Work::Sanitise { vessel });
        }
        true
    }
}
