//! What the search looks up again and again: the calendar by slot, pressures, paces.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::carbonation::equilibrium;
use cellarwright_model::case::{Carbonating, Case, Vessel};
use cellarwright_model::ids::{BeerId, CrewId, LineId, OrderId, VesselId};
use cellarwright_model::units::{Minutes, Pressure};

/// A case with its calendar spelled out.
pub struct Facts<'a> {
    /// The case.
    pub case: &'a Case,
    /// Orders that must be delivered in full on their due days.
    pub filled: Vec<OrderId>,
    works: [Vec<bool>; 3],
    hours: Vec<Vec<Minutes>>,
}

impl<'a> Facts<'a> {
    /// Spells out a case. The search knows no look-ahead.
    pub fn new(case: &'a Case) -> Self {
        assert!(case.calendar.look_ahead_days == 0, "the brute force plans no look-ahead");
        let slots: Vec<Slot> = (0..case.calendar.slots()).map(Slot).collect();
        let works = Role::ALL.map(|role| slots.iter().map(|&slot| case.works(role, slot)).collect());
        let hours = case
            .crew_ids()
            .map(|crew| slots.iter().map(|&slot| case.crew_hours(crew, slot)).collect())
            .collect();
        Self { case, filled: Vec::new(), works, hours }
    }

    /// Whether a vessel ferments or conditions: it is cleaned by work of its own.
    pub fn is_apart(&self, vessel: VesselId) -> bool {
        let uses = self.case.vessel(vessel).uses;
        uses.ferment || uses.condition
    }

    /// Whether a vessel that is cleaned by work of its own may be filled by a transfer.
    pub fn may_be_moved_into(&self, vessel: VesselId) -> bool {
        let uses = self.case.vessel(vessel).uses;
        self.is_apart(vessel) && (uses.bright || uses.condition)
    }

    /// Number of slots.
    pub fn slots(&self) -> usize {
        self.case.calendar.slots()
    }

    /// Number of days.
    pub fn days(&self) -> i64 {
        self.case.calendar.days() as i64
    }

    /// The day of a slot.
    pub fn day(&self, slot: Slot) -> i64 {
        self.case.calendar.day(slot) as i64
    }

    /// The clock of a slot's start.
    pub fn start(&self, slot: Slot) -> Minutes {
        self.case.calendar.start(slot)
    }

    /// Clock time of a slot.
    pub fn clock(&self, slot: Slot) -> Minutes {
        self.case.shift_hours(slot)
    }

    /// Whether work of a role can be done in a slot.
    pub fn works(&self, role: Role, slot: Slot) -> bool {
        self.works[role as usize][slot.0]
    }

    /// Hours of a crew in a slot.
    pub fn hours(&self, crew: CrewId, slot: Slot) -> Minutes {
        self.hours[crew.0][slot.0]
    }

    /// Days after `after`, up to and including `to`, with a working slot of a role.
    pub fn working_days(&self, role: Role, after: i64, to: i64) -> i64 {
        let shifts = self.case.calendar.shifts.len();
        let mut count = 0;
        for day in (after + 1).max(0)..=to.min(self.days() - 1) {
            let first = day as usize * shifts;
            if (first..first + shifts).any(|slot| self.works[role as usize][slot]) {
                count += 1;
            }
        }
        count
    }

    fn limit(&self, vessel: &Vessel) -> Pressure {
        let lower = vessel.relief.min(vessel.rated).0;
        let share = 1_000_000 - self.case.pressure.below_relief.0;
        Pressure((i128::from(lower) * i128::from(share)).div_euclid(1_000_000) as i64)
    }

    /// R11: whether a beer may be carbonated in a vessel.
    pub fn may_carbonate(&self, beer: BeerId, vessel: VesselId) -> bool {
        let beer = self.case.beer(beer);
        if beer.carbonating != Carbonating::Forced {
            return true;
        }
        let balance = equilibrium(beer.carbonation, beer.carbonated_at, self.case.altitude_metres);
        let nitrogen = beer.nitrogen.map_or(0, |nitrogen| nitrogen.pressure.0);
        let needed = (balance + self.case.pressure.breakout).max(Pressure(nitrogen));
        needed <= self.limit_when_full(self.case.vessel(vessel))
    }

    /// The rating counts at the bottom of a full vessel: 9.79 Pa for each millimetre of beer, rounded up.
    fn limit_when_full(&self, vessel: &Vessel) -> Pressure {
        let share = 1_000_000 - self.case.pressure.below_relief.0;
        let rated = (i128::from(vessel.rated.0) * i128::from(share)).div_euclid(1_000_000) as i64;
        let beer =
            (vessel.beer_height * 979).div_euclid(100) + i64::from(vessel.beer_height * 979 % 100 != 0);
        self.limit(vessel).min(Pressure(rated - beer))
    }

    /// R11: whether a beer may ferment in a vessel.
    pub fn may_ferment(&self, beer: BeerId, vessel: VesselId) -> bool {
        self.case.beer(beer).spund.is_none_or(|spund| {
            let balance = equilibrium(spund.carbonation, spund.at, self.case.altitude_metres);
            balance.max(Pressure(0)) <= self.limit_when_full(self.case.vessel(vessel))
        })
    }

    /// Whether gas is put into a beer in a tank.
    pub fn is_forced(&self, beer: BeerId) -> bool {
        let beer = self.case.beer(beer);
        let brings_all = beer.spund.is_some_and(|spund| spund.carbonation >= beer.carbonation);
        beer.carbonating == Carbonating::Forced && (!brings_all || beer.nitrogen.is_some())
    }

    /// Clock time of carbonating a beer.
    pub fn carbonating(&self, beer: BeerId) -> Minutes {
        let nitrogen = self.case.beer(beer).nitrogen;
        nitrogen.map_or(self.case.carbonate.takes, |nitrogen| nitrogen.takes)
    }

    /// Cents of gas for a hectolitre: of the whole carbonation what the beer does not bring along, to the cent, down.
    pub fn gas(&self, beer: BeerId) -> i64 {
        let of = self.case.beer(beer);
        let own =
            of.spund.map_or(0, |spund| spund.carbonation.0 * 1_000_000 / of.carbonation.0).min(1_000_000);
        (self.case.rates.gas.0 * (1_000_000 - own)).div_euclid(1_000_000)
    }

    /// R11: whether a vessel can feed a beer to a line.
    pub fn may_feed(&self, beer: BeerId, vessel: VesselId, line: LineId) -> bool {
        let line = self.case.line(line);
        (line.pump && self.case.beer(beer).pump) || line.feed <= self.limit(self.case.vessel(vessel))
    }

    /// R13: first day on which beer packaged on `day` can be delivered.
    pub fn there_from(&self, beer: BeerId, day: i64) -> i64 {
        let mut first = day + 1;
        while !self.case.calendar.delivers(first) && first < day + 400 {
            first += 1;
        }
        first + self.case.beer(beer).release
    }

    /// R07: whether carbonating in one slot is late enough and early enough for a first packaging in another.
    pub fn carbonated_in_time(&self, beer: BeerId, carbonated: Slot, first: Slot) -> bool {
        let takes = self.carbonating(beer);
        let early_enough = |slot: Slot| slot < first && self.start(slot) + takes <= self.start(first);
        let later = (carbonated.0 + 1..first.0)
            .map(Slot)
            .filter(|&slot| self.works(Role::Cellar, slot) && early_enough(slot))
            .count();
        early_enough(carbonated) && later < 2
    }
}
