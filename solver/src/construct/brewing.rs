//! Brewing: the beer that is short soonest, into a clean vessel that suits it.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, PinnedWork};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{PitchFrom, Work};
use cellarwright_model::units::{Minutes, Volume};

use super::vessel::{Gas, Held};
use super::walk::Walk;
use crate::compile::rules::{pressure, uses};

/// Days between the ready day of beer and its delivery, at least.
const ON_THE_WAY: i64 = 2;

/// A batch that might be brewed now.
#[derive(Clone, Copy, Debug)]
struct Choice {
    beer: BeerId,
    vessel: VesselId,
    turns: i64,
    part: Option<Volume>,
    wort: Volume,
}

impl Walk<'_, '_> {
    /// Brews as long as something is short and there is a vessel, people and time.
    pub(super) fn brew(&mut self, slot: Slot) {
        self.brew_what_is_pinned(slot);
        if self.is_one_to_come(slot) {
            return;
        }
        let mut left_out = Vec::new();
        while let Some(beer) = self.shortest(slot, &left_out) {
            let choice = self.choice(beer, slot, None);
            if !choice.is_some_and(|choice| self.try_brew(choice, slot)) {
                left_out.push(beer);
            }
        }
    }

    /// Begins the batches that are pinned to a slot, as soon as they can be.
    fn brew_what_is_pinned(&mut self, slot: Slot) {
        let case = self.case;
        for (position, pin) in case.fixed.pins.iter().enumerate() {
            let PinnedWork::Brew { beer, .. } = pin.work else { continue };
            if self.kept.contains(&position) || !pin.is_in(&case.calendar, slot) {
                continue;
            }
            let choice = self.choice(beer, slot, Some(pin.work));
            if choice.is_some_and(|choice| self.try_brew(choice, slot)) {
                self.kept.insert(position);
            }
        }
    }

    /// Whether a pinned batch is still to come: vessels, people and liquor are left to it.
    fn is_one_to_come(&self, slot: Slot) -> bool {
        let calendar = &self.case.calendar;
        self.case.fixed.pins.iter().enumerate().any(|(position, pin)| {
            let mut slots = (slot.0..calendar.planned_slots()).map(Slot);
            matches!(pin.work, PinnedWork::Brew { .. })
                && !self.kept.contains(&position)
                && slots.any(|slot| pin.is_in(calendar, slot))
        })
    }

    /// The beer that is short soonest; without any the one that is worth most, where that is wished.
    fn shortest(&self, slot: Slot, left_out: &[BeerId]) -> Option<BeerId> {
        let day = self.day(slot);
        let beers = || {
            self.case.beer_ids().filter(|beer| !left_out.contains(beer) && !self.bans.beers.contains(beer))
        };
        if self.is_aim_output() {
            let key = |beer: &BeerId| (self.demand.against_mix(*beer), self.case.beer(*beer).stay_days());
            let all = beers().filter(|beer| key(beer).0.is_finite());
            return all
                .min_by(|one, other| key(one).partial_cmp(&key(other)).unwrap_or(std::cmp::Ordering::Equal));
        }
        let short = beers().filter_map(|beer| {
            let stay = self.case.beer(beer).stay_days();
            let from = day + stay + ON_THE_WAY;
            let (due, _) = self.demand.short(beer, from, self.style.ahead)?;
            Some((due - from, -self.worth(beer), beer))
        });
        short.min().map(|short| short.2).or_else(|| {
            let spare = beers().filter(|&beer| self.style.spare && self.sells_spare(beer));
            spare.max_by_key(|&beer| (self.worth(beer) / self.case.beer(beer).stay_days().max(1), beer))
        })
    }

    fn worth(&self, beer: BeerId) -> i64 {
        self.case.beer(beer).packaged.iter().map(|packaged| packaged.contribution.0).max().unwrap_or(0)
    }

    fn sells_spare(&self, beer: BeerId) -> bool {
        let most = self.case.beer(beer).sales.map(|sales| sales.0 * self.case.rates.surplus_weeks);
        self.demand.unsold(beer, most) > self.case.turn_of(beer).0 / 2
    }

    /// The batch of a beer that suits what is short best, as it is pinned if it is: the largest that is not too large, else the smallest.
    fn choice(&self, beer: BeerId, slot: Slot, pinned: Option<PinnedWork>) -> Option<Choice> {
        let case = self.case;
        let day = self.day(slot);
        let from = day + case.beer(beer).stay_days() + ON_THE_WAY;
        let short = self.demand.short(beer, from, self.style.ahead + 7).map_or(i64::MAX / 4, |short| short.1);
        let mut best: Option<((bool, i64, i64), Choice)> = None;
        for vessel in case.vessel_ids() {
            if !self.may_brew_into(beer, vessel, slot) {
                continue;
            }
            for (turns, part) in case.beer(beer).batch_sizes() {
                if pinned.is_some_and(|pinned| !is_as_pinned(pinned, vessel, turns, part)) {
                    continue;
                }
                let wort = case.wort_of(beer, turns, part);
                let data = case.vessel(vessel);
                if wort < data.least || wort > data.holds || !self.can_leave(beer, vessel, wort, slot) {
                    continue;
                }
                let yields = self.expected(beer, case.beer(beer).loss_tank.taken_off(wort), false);
                let is_much = yields > short + short / 3;
                let size = if is_much { yields } else { -yields };
                let key = (is_much, size, data.holds.0);
                if best.as_ref().is_none_or(|(before, _)| key < *before) {
                    best = Some((key, Choice { beer, vessel, turns, part, wort }));
                }
            }
        }
        best.map(|best| best.1)
    }

    fn may_brew_into(&self, beer: BeerId, vessel: VesselId, slot: Slot) -> bool {
        let case = self.case;
        let (data, day) = (case.vessel(vessel), self.day(slot));
        let stays = case.beer(beer).must_leave;
        let is_needed = case.fixed.outages.iter().any(|outage| {
            outage.what == Away::Vessel(vessel) && outage.last_day >= day && outage.first_day <= day + stays
        });
        uses::may_ferment(data)
            && pressure::may_ferment(self.context, case.beer(beer), data)
            && self.is_there(vessel, slot)
            && !is_needed
            && !self.bans.fills.contains(&vessel)
            && !self.bans.begun.contains(&(vessel, slot))
            && self.before_brew(vessel, slot).is_some()
    }

    /// Whether a batch has a way out of its vessel.
    fn can_leave(&self, beer: BeerId, vessel: VesselId, wort: Volume, slot: Slot) -> bool {
        let held = self.new_batch(beer, wort, slot);
        self.goes_direct(vessel, &held, slot)
            || self.case.beer(beer).bright && self.bright_takes(vessel, &held)
    }

    fn bright_takes(&self, vessel: VesselId, held: &Held) -> bool {
        let beer = self.case.beer(held.beer);
        let arrives = self.case.arrives(beer, held.left);
        let tanks = || self.case.vessel_ids().filter(|&to| self.may_take(vessel, held, to));
        let takes_all = tanks().any(|to| {
            let data = self.case.vessel(to);
            (data.least..=data.holds).contains(&arrives)
        });
        let together: i64 = tanks().map(|to| self.case.vessel(to).holds.0).sum();
        takes_all || beer.split != cellarwright_model::case::Split::Never && together >= arrives.0
    }

    pub(super) fn new_batch(&self, beer: BeerId, wort: Volume, slot: Slot) -> Held {
        let data = self.case.beer(beer);
        let (on, volume) = (self.day(slot), data.loss_tank.taken_off(wort));
        Held {
            beer,
            is_lot: false,
            opening: false,
            from: Some(slot),
            on,
            after: slot.0 + 1,
            ready: on + data.stay_days(),
            ends: on + data.must_leave,
            volume,
            left: volume,
            is_direct: false,
            gas: Gas::No,
            rests: Minutes::ZERO,
            begun: None,
            transfers: 0,
            worked: 0,
            late: 0,
            last_work: None,
            last_work_day: on,
            contact: i64::MIN,
        }
    }

    /// Slots in which the turns of a batch are made, from a slot on; none if they cannot all be made in time.
    fn turns_of(&self, choice: &Choice, slot: Slot) -> Vec<(Slot, i64)> {
        let case = self.case;
        let Some(besides) = self.before_brew(choice.vessel, slot) else { return Vec::new() };
        let mut left = choice.turns;
        let mut found = Vec::new();
        for at in (slot.0..case.calendar.slots()).map(Slot) {
            if case.calendar.start(at) - case.calendar.start(slot) > case.brewhouse.fill_within {
                break;
            }
            let may = self.hours.works(Role::Brew, at)
                && !case.is_away(Away::Brewhouse, at)
                && !self.bans.slots.contains(&at);
            // In a later slot of the same day the first turn of the day is made by then.
            let is_counted = at == slot || case.calendar.day(at) != case.calendar.day(slot);
            if may
                && is_counted
                && !found.iter().any(|&(other, _)| case.calendar.day(other) == case.calendar.day(at))
            {
                let ask = if at == slot { besides.clone() } else { super::hours::Ask::default() };
                let turns = self.hours.turns_left(at, choice.beer, left, &ask);
                if turns == 0 && at == slot {
                    return Vec::new();
                }
                if turns > 0 {
                    found.push((at, turns));
                    left -= turns;
                }
            }
            if left == 0 {
                return found;
            }
        }
        Vec::new()
    }

    fn try_brew(&mut self, choice: Choice, slot: Slot) -> bool {
        let case = self.case;
        let turns = self.turns_of(&choice, slot);
        let Some(&(last, _)) = turns.last() else { return false };
        let pitches = match case.beer(choice.beer).yeast {
            Some(yeast) => match self.pitches(yeast.yeast, yeast.pitches(choice.turns), self.day(slot)) {
                Some(from) => Some((yeast.yeast, from, yeast.pitches(choice.turns))),
                None => return false,
            },
            None => None,
        };
        if !self.prepare(choice.vessel, slot) {
            return false;
        }
        let Choice { beer, vessel, part, .. } = choice;
        for &(at, turns) in &turns {
            self.hours.take_turns(at, beer, turns);
            self.add(at, Work::Brew { beer, vessel, turns, part });
        }
        if let Some((yeast, from, pitches)) = pitches {
            if let PitchFrom::Store(entry) = from {
                self.pitches[entry] -= pitches;
            }
            self.add(slot, Work::Pitch { vessel, yeast, from, pitches });
        }
        let held = Held { from: Some(slot), ..self.new_batch(beer, choice.wort, last) };
        self.begin(vessel, held);
        true
    }

    /// Notes a batch that is begun in a vessel.
    pub(super) fn begin(&mut self, vessel: VesselId, held: Held) {
        let yields = self.expected(held.beer, held.volume, false);
        self.demand.in_vessels(held.beer, yields);
        self.demand.brewed(held.beer, yields);
        self.tanks[vessel.0].filled(self.case, held);
    }

    /// Where the pitches of a batch come from: out of the store, else bought, else out of the store at a cost for their age.
    fn pitches(&self, yeast: cellarwright_model::ids::YeastId, pitches: i64, day: i64) -> Option<PitchFrom> {
        let strain = self.case.yeast.strain(yeast);
        let stored = |keeps: i64| {
            let mut entries = self.case.yeast.in_store.iter().zip(&self.pitches);
            let found = entries.position(|(store, &left)| {
                store.yeast == yeast
                    && left >= pitches
                    && store.generation <= strain.generations
                    && day - store.cropped <= keeps
            });
            found.map(PitchFrom::Store)
        };
        let bought = strain.bought.is_some_and(|bought| day >= bought.lead);
        let fresh = stored(strain.keeps).or(bought.then_some(PitchFrom::Bought));
        fresh.or_else(|| stored(strain.keeps_at_most))
    }
}

/// Whether a batch is the one that is pinned.
fn is_as_pinned(pinned: PinnedWork, into: VesselId, turns_made: i64, part_made: Option<Volume>) -> bool {
    let PinnedWork::Brew { vessel, turns, part, .. } = pinned else { return false };
    vessel.is_none_or(|vessel| vessel == into)
        && turns.is_none_or(|turns| turns == turns_made && part_made.is_none())
        && part.is_none_or(|part| part_made == Some(part))
}
