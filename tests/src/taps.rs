//! The best plan of a case with tanks that are only poured from, by trying everything, written from the readings in
//! DEVELOPERS.md alone.
//!
//! The cases lose nothing on the way, nothing but pouring, dry taps, kegs, transfers with their cleans, and gas has a price, there are
//! people enough, tanks take the same time to clean, and all volumes are multiples of one unit.
//! Once it is settled what is filled and tapped when, volumes flow through a network, so some best plan has multiples of the unit:
//! every one is tried, slot by slot. Vessel 0 is a fermenter, vessel 1 a bright tank, the others are only poured from.

use std::collections::HashMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Beer, Case, PinnedWork};
use cellarwright_model::ids::BeerId;
use cellarwright_model::units::{MINUTES_PER_DAY, Minutes, Money, Volume};

/// What every volume of a case is a multiple of: half a hectolitre.
pub const UNIT: Volume = Volume(50_000);

/// How the beer in the fermenter comes to its carbon dioxide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Gas {
    /// It has it, or never needs it.
    There,
    /// It is not carbonated yet.
    Not,
    /// Carbonated in this slot.
    In(usize),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Batch {
    beer: usize,
    left: i64,
    gas: Gas,
    ready: i64,
    /// Slot of the first way out.
    first: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Bright {
    beer: usize,
    left: i64,
    /// Minute from which it may be packaged, and the slot before.
    free_from: (i64, Option<usize>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Tap {
    beer: usize,
    left: i64,
    first_day: i64,
    last_day: i64,
    begun: bool,
}

/// All vessels at the start of a slot.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
struct State {
    batch: Option<Batch>,
    bright: Option<Bright>,
    taps: Vec<Option<Tap>>,
    /// The pin of the case is kept, if there is one.
    kept: bool,
}

/// What a case is worth in which the pin cannot be kept.
pub const NO_PLAN: i64 = i64::MIN / 4;

/// The best that a case can reach, in cents; `NO_PLAN` where its one pin, of a transfer, cannot be kept.
#[must_use]
pub fn best(case: &Case) -> i64 {
    let taps = vec![None; case.vessels.len() - 2];
    let mut state = State { batch: None, bright: None, taps, kept: case.fixed.pins.is_empty() };
    for tank in &case.in_tank {
        let (beer, left) = (tank.beer.0, tank.filled.0 / UNIT.0);
        match tank.vessel.0 {
            0 => {
                let has_gas = tank.carbonated || !case.beer(tank.beer).is_forced();
                let gas = if has_gas { Gas::There } else { Gas::Not };
                state.batch = Some(Batch { beer, left, gas, ready: tank.ready, first: None });
            }
            1 => state.bright = Some(Bright { beer, left, free_from: (i64::MIN, None) }),
            number => {
                let last_day = tank.on + case.taproom.tap(tank.beer).map_or(0, |tap| tap.pour_within);
                let tap = Tap { beer, left, first_day: tank.ready, last_day, begun: false };
                state.taps[number - 2] = Some(tap);
            }
        }
    }
    Search { case, known: HashMap::new() }.from(0, &state)
}

struct Search<'a> {
    case: &'a Case,
    known: HashMap<(usize, State), i64>,
}

impl Search<'_> {
    fn works(&self, role: Role, slot: usize) -> bool {
        self.case.works(role, Slot(slot))
    }

    fn start(&self, slot: usize) -> Minutes {
        self.case.calendar.start(Slot(slot))
    }

    fn day(&self, slot: usize) -> i64 {
        self.case.calendar.day(Slot(slot)) as i64
    }

    fn beer(&self, beer: usize) -> &Beer {
        self.case.beer(BeerId(beer))
    }

    /// The best from a slot on.
    fn from(&mut self, slot: usize, state: &State) -> i64 {
        if slot == self.case.calendar.planned_slots() {
            return if state.kept { 0 } else { NO_PLAN };
        }
        let key = (slot, state.clone());
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        let mut most = i64::MIN;
        let day_ends = (slot + 1).is_multiple_of(self.case.calendar.shifts.len());
        for (earned, after) in self.after_work(slot, state) {
            let rest = match day_ends {
                true => self.after_pouring(slot, &after, 0),
                false => self.from(slot + 1, &after),
            };
            most = most.max(if rest > NO_PLAN { earned + rest } else { NO_PLAN });
        }
        self.known.insert(key, most);
        most
    }

    /// Transfers in a slot for which there is time to clean the tanks that they fill.
    fn most_transfers(&self, slot: usize) -> i64 {
        let hours = self.case.shift_hours(Slot(slot)).0 * self.case.cleaning_sets;
        hours / self.case.vessels[1].clean.takes.0.max(1)
    }

    /// Gas for so much of a beer.
    fn gas(&self, beer: usize, units: i64) -> i64 {
        let beer = self.beer(beer);
        if beer.is_forced() { beer.gas(self.case.rates.gas).for_volume(Volume(units * UNIT.0)).0 } else { 0 }
    }

    /// Every way to work in a slot: what kegs earn in it less what it costs, and the vessels after it.
    fn after_work(&self, slot: usize, before: &State) -> Vec<(i64, State)> {
        let each = (self.case.rates.transfer + self.case.rates.clean).0;
        let mut states = vec![(0, 0, before.clone())];
        if let Some(moved) = self.moved_bright(slot, before) {
            let gas = before.batch.map_or(0, |batch| self.gas(batch.beer, batch.left));
            states.push((1, each + gas, moved));
        }
        for tank in 0..before.taps.len() {
            if before.taps[tank].is_none() && self.works(Role::Cellar, slot) {
                for (transfers, cost, state) in states.clone() {
                    let filled = self.filled(slot, &state, tank).into_iter();
                    states.extend(filled.map(|next| (transfers + 1, cost + each, next)));
                }
            }
        }
        states.retain(|&(transfers, _, _)| transfers <= self.most_transfers(slot));
        let mut done: Vec<(i64, State)> = Vec::new();
        for (_, cost, state) in states {
            for (earned, state) in self.packaged(slot, &state) {
                if let Some(gassed) = self.carbonated(slot, &state) {
                    let gas = gassed.batch.map_or(0, |batch| self.gas(batch.beer, batch.left));
                    done.push((earned - cost - gas, gassed));
                }
                done.push((earned - cost, state));
            }
        }
        for (_, state) in &mut done {
            state.batch = state.batch.filter(|batch| batch.left > 0);
            state.bright = state.bright.filter(|bright| bright.left > 0);
        }
        done
    }

    /// The batch moved into the bright tank, where it is empty.
    fn moved_bright(&self, slot: usize, state: &State) -> Option<State> {
        let is_whole = |batch: &Batch| batch.first.is_none() && !matches!(batch.gas, Gas::In(_));
        let batch = state.batch.filter(is_whole)?;
        let (vessel, beer) = (&self.case.vessels[1], self.beer(batch.beer));
        let fits = (vessel.least.0..=vessel.holds.0).contains(&(batch.left * UNIT.0));
        let may = beer.bright
            && fits
            && state.bright.is_none()
            && self.works(Role::Cellar, slot)
            && batch.ready <= self.day(slot);
        let gas = if beer.is_forced() { self.case.carbonate.takes } else { Minutes::ZERO };
        let work = vessel.clean.takes + self.case.transfer.takes() + gas;
        let free_from = ((self.start(slot) + work).0, Some(slot));
        let bright = Bright { beer: batch.beer, left: batch.left, free_from };
        let kept = state.kept || self.is_pinned(slot, batch.beer, (0, 1), batch.left);
        may.then(|| State { batch: None, bright: Some(bright), kept, ..state.clone() })
    }

    /// Whether the pin of the case means a transfer of so many units.
    fn is_pinned(&self, slot: usize, beer: usize, vessels: (usize, usize), units: i64) -> bool {
        let Some(pin) = self.case.fixed.pins.first() else { return false };
        let PinnedWork::Transfer { beer: of, from, to, volume } = pin.work else { return false };
        let is_on = pin.day.is_none_or(|day| day as i64 == self.day(slot));
        let is_in = pin.shift.is_none_or(|shift| shift == slot % self.case.calendar.shifts.len());
        let are_these = from.is_none_or(|from| from.0 == vessels.0) && to.is_none_or(|to| to.0 == vessels.1);
        of.0 == beer && is_on && is_in && are_these && volume.is_none_or(|volume| volume.0 == units * UNIT.0)
    }

    /// Every way to fill a tank that is only poured from.
    fn filled(&self, slot: usize, state: &State, tank: usize) -> Vec<State> {
        let vessel = &self.case.vessels[2 + tank];
        let (least, holds) = ((vessel.least.0 + UNIT.0 - 1) / UNIT.0, vessel.holds.0 / UNIT.0);
        let day = self.day(slot);
        let over = self.start(slot) + vessel.clean.takes + self.case.transfer.takes() + vessel.rest;
        let opens = self.case.taproom.opens.0;
        let first_day = (day..).find(|day| day * MINUTES_PER_DAY + opens >= over.0).unwrap_or(day);
        let made = |beer: usize, left: i64| {
            let within = self.case.taproom.tap(BeerId(beer))?.pour_within;
            Some(Tap { beer, left, first_day, last_day: day + within, begun: false })
        };
        let mut all = Vec::new();
        if let Some(batch) = state.batch.filter(|batch| self.may_draw_batch(slot, batch)) {
            for volume in least..=holds.min(batch.left) {
                let mut next = state.clone();
                next.taps[tank] = made(batch.beer, volume);
                let first = Some(batch.first.unwrap_or(slot));
                next.batch = Some(Batch { left: batch.left - volume, first, ..batch });
                next.kept |= self.is_pinned(slot, batch.beer, (0, 2 + tank), volume);
                all.extend(next.taps[tank].is_some().then_some(next));
            }
        }
        if let Some(bright) = state.bright.filter(|bright| self.may_draw_bright(slot, bright)) {
            for volume in least..=holds.min(bright.left) {
                let mut next = state.clone();
                next.taps[tank] = made(bright.beer, volume);
                next.bright = Some(Bright { left: bright.left - volume, ..bright });
                next.kept |= self.is_pinned(slot, bright.beer, (1, 2 + tank), volume);
                all.extend(next.taps[tank].is_some().then_some(next));
            }
        }
        all
    }

    /// Every way to put beer into kegs.
    fn packaged(&self, slot: usize, state: &State) -> Vec<(i64, State)> {
        let works = self.works(Role::Package, slot);
        let from_batch =
            state.batch.filter(|batch| works && self.may_draw_batch(slot, batch)).map_or(0, |one| one.left);
        let from_bright = state
            .bright
            .filter(|bright| works && self.may_draw_bright(slot, bright))
            .map_or(0, |one| one.left);
        let worth = |beer: usize, volume: i64| {
            let price =
                self.beer(beer).packaged.first().map_or(Money::ZERO, |packaged| packaged.contribution);
            price.for_volume(Volume(volume * UNIT.0)).0
        };
        let mut all = Vec::new();
        for first in 0..=from_batch {
            for second in 0..=from_bright {
                let (mut next, mut earned) = (state.clone(), 0);
                if let Some(batch) = next.batch.as_mut().filter(|_| first > 0) {
                    batch.left -= first;
                    batch.first = Some(batch.first.unwrap_or(slot));
                    earned += worth(batch.beer, first);
                }
                if let Some(bright) = next.bright.as_mut().filter(|_| second > 0) {
                    bright.left -= second;
                    earned += worth(bright.beer, second);
                }
                all.push((earned, next));
            }
        }
        all
    }

    /// The batch carbonated in its fermenter.
    fn carbonated(&self, slot: usize, state: &State) -> Option<State> {
        let batch = state.batch.filter(|batch| batch.gas == Gas::Not && batch.left > 0)?;
        let may =
            self.beer(batch.beer).direct && self.works(Role::Cellar, slot) && batch.ready <= self.day(slot);
        let batch = Batch { gas: Gas::In(slot), ..batch };
        may.then(|| State { batch: Some(batch), ..state.clone() })
    }

    /// Whether beer may be drawn from the fermenter: ready, carbonated in time and not too early, not long after the first.
    fn may_draw_batch(&self, slot: usize, batch: &Batch) -> bool {
        let vessel = &self.case.vessels[0];
        if batch.left == 0
            || batch.ready > self.day(slot)
            || !self.beer(batch.beer).direct
            || !vessel.uses.package
        {
            return false;
        }
        if let Some(first) = batch.first {
            let days = self.day(first) + 1..=self.day(slot);
            let shifts = self.case.calendar.shifts.len();
            let packages =
                |day: i64| (0..shifts).any(|shift| self.works(Role::Package, day as usize * shifts + shift));
            return days.filter(|&day| packages(day)).count() <= 3;
        }
        let takes = self.case.carbonate.takes;
        match batch.gas {
            Gas::There => true,
            Gas::Not => false,
            Gas::In(at) => {
                let is_early = |other: usize| other < slot && self.start(other) + takes <= self.start(slot);
                let later =
                    (at + 1..slot).filter(|&other| is_early(other) && self.works(Role::Cellar, other));
                is_early(at) && later.count() <= 1
            }
        }
    }

    fn may_draw_bright(&self, slot: usize, bright: &Bright) -> bool {
        let is_later = bright.free_from.1.is_none_or(|filled| slot > filled);
        bright.left > 0 && is_later && self.start(slot).0 >= bright.free_from.0
    }

    /// The best from the evening of a slot's day on: every way to pour one beer after the other.
    fn after_pouring(&mut self, slot: usize, state: &State, beer: usize) -> i64 {
        if beer == self.case.beers.len() {
            let mut next = state.clone();
            for tank in &mut next.taps {
                *tank = tank.filter(|tap| tap.left > 0);
            }
            return self.from(slot + 1, &next);
        }
        let Some(data) = self.case.taproom.tap(BeerId(beer)) else {
            return self.after_pouring(slot, state, beer + 1);
        };
        let (contribution, day) = (data.contribution, self.day(slot));
        let asked = self.case.asked(BeerId(beer), day).0 / UNIT.0;
        let mut most = i64::MIN;
        for next in self.poured(day, state, beer, asked) {
            let left = |state: &State| -> i64 {
                state.taps.iter().flatten().filter(|tap| tap.beer == beer).map(|tap| tap.left).sum()
            };
            let poured = left(state) - left(&next);
            let worth = contribution.for_volume(Volume(poured * UNIT.0)).0
                - self.case.rates.dry_tap.for_volume(Volume((asked - poured) * UNIT.0)).0;
            let rest = self.after_pouring(slot, &next, beer + 1);
            most = most.max(if rest > NO_PLAN { worth + rest } else { NO_PLAN });
        }
        most
    }

    /// Every way to pour no more of a beer than is asked for, with one tank on tap.
    fn poured(&self, day: i64, before: &State, beer: usize, asked: i64) -> Vec<State> {
        let mut states = vec![(0, before.clone())];
        for tank in 0..before.taps.len() {
            let Some(tap) = before.taps[tank].filter(|tap| tap.beer == beer) else { continue };
            if day < tap.first_day || day > tap.last_day {
                continue;
            }
            for (sum, state) in states.clone() {
                for volume in 1..=tap.left.min(asked - sum) {
                    let mut next = state.clone();
                    next.taps[tank] = Some(Tap { left: tap.left - volume, begun: true, ..tap });
                    states.push((sum + volume, next));
                }
            }
        }
        let is_on_tap = |tap: &Option<Tap>, evening: i64| {
            tap.is_some_and(|tap| tap.beer == beer && tap.begun && tap.left > 0 && evening < tap.last_day)
        };
        states.retain(|(_, after)| {
            let on_tap: Vec<usize> =
                (0..after.taps.len()).filter(|&tank| is_on_tap(&after.taps[tank], day)).collect();
            let stays = on_tap.iter().find(|&&tank| is_on_tap(&before.taps[tank], day - 1));
            let others_pour = (0..after.taps.len())
                .any(|tank| Some(&tank) != stays && after.taps[tank] != before.taps[tank]);
            on_tap.len() < 2 && (stays.is_none() || !others_pour)
        });
        states.into_iter().map(|(_, state)| state).collect()
    }
}
