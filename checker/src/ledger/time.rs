//! Time of people and cleaning sets, turns of the brewhouse, overtime, and what work costs by itself.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Away, Case, Reach, RoleTimes};
use cellarwright_model::ids::{BeerId, CrewId, VesselId};
use cellarwright_model::plan::Overtime;
use cellarwright_model::units::{Minutes, Money, Volume};

use super::{Entry, Event, Holding, Ledger};

/// A piece of work with its person-time and costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Charge {
    /// When.
    pub slot: Slot,
    /// Whether the shift is worked by the role of the task; if not, its person-time is not asked of anyone.
    pub worked: bool,
    /// Whether one person may do its cellar work with nobody else there.
    pub alone: bool,
    /// Person-time by role.
    pub crew: RoleTimes,
    /// Clock time on a cleaning set.
    pub cleaning: Minutes,
    /// The cleaning sets that can do it.
    pub reach: Reach,
    /// Cost of its person-time.
    pub labour: Money,
    /// Cost of vessels cleaned or sanitised.
    pub cleaning_cost: Money,
    /// Cost of a bright tank filled.
    pub transfer: Money,
    /// Cost of carbon dioxide.
    pub gas: Money,
    /// Cost of beer poured away.
    pub dump: Money,
}

impl Charge {
    /// Work that costs its person-time only.
    #[must_use]
    pub fn of(case: &Case, slot: Slot, crew: RoleTimes) -> Self {
        Self {
            slot,
            worked: true,
            alone: false,
            crew,
            cleaning: Minutes::ZERO,
            reach: Reach::ALL,
            labour: case.rates.labour.for_time(crew.total()),
            cleaning_cost: Money::ZERO,
            transfer: Money::ZERO,
            gas: Money::ZERO,
            dump: Money::ZERO,
        }
    }
}

/// Turns of a day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TurnsOfDay {
    /// How many.
    pub turns: i64,
    /// Clock time of all of them.
    pub time: Minutes,
    /// The last slot of the day that brews.
    pub last: Option<Slot>,
}

/// Adds person-times.
#[must_use]
pub fn sum(first: RoleTimes, second: RoleTimes) -> RoleTimes {
    let mut total = first;
    for role in Role::ALL {
        total.0[role as usize] += second.of(role);
    }
    total
}

fn times(crew: RoleTimes, factor: i64) -> RoleTimes {
    let mut total = crew;
    for role in Role::ALL {
        total.0[role as usize] = Minutes(crew.of(role).0.saturating_mul(factor));
    }
    total
}

impl Ledger<'_> {
    pub(super) fn charge_turns(&mut self, slot: Slot, beer: BeerId, turns: i64) {
        let longer = self.case.beer(beer).brewing.longer;
        let brewhouse = &self.case.brewhouse;
        let day = self.case.calendar.day(slot);
        let today = self.turns.entry(day).or_default();
        let (mut crew, mut time, mut further) = (RoleTimes::default(), Minutes::ZERO, turns);
        if today.turns == 0 {
            crew = brewhouse.first_turn.crew;
            time = brewhouse.first_turn.takes;
            further -= 1;
        }
        crew = sum(crew, times(brewhouse.next_turn.crew, further));
        crew = sum(crew, times(longer.crew, turns));
        time += Minutes(brewhouse.next_turn.takes.0.saturating_mul(further));
        time += Minutes(longer.takes.0.saturating_mul(turns));
        today.turns += turns;
        today.time += time;
        today.last = Some(slot);
        self.charges.push(Charge::of(self.case, slot, crew));
    }

    /// A transfer of a beer (of none that is known, where there is nothing in the vessel). The second of a blend shares the
    /// clean and the carbonating of the first. `full` belongs to a vessel that is cleaned with its fill.
    pub(super) fn charge_transfer(
        &mut self,
        slot: Slot,
        (to, full): (VesselId, bool),
        arrived: Volume,
        beer: Option<BeerId>,
        is_second: bool,
    ) {
        let vessel = self.case.vessel(to);
        let is_forced = beer.is_none_or(|beer| self.case.beer(beer).is_forced());
        let whole = self.case.rates.gas;
        let rate = beer.map_or(whole, |beer| self.case.beer(beer).gas(whole));
        let mut crew = self.case.transfer.job.crew;
        if is_forced && !is_second {
            crew = sum(crew, self.case.carbonate.crew);
        }
        if !is_second {
            crew = sum(crew, vessel.purge.job.crew);
        }
        let (mut cleaning, mut cleaning_cost) = (Minutes::ZERO, Money::ZERO);
        if vessel.is_bright_only() && !is_second {
            let clean = self.cleaned(slot, to, full);
            cleaning_cost = self.case.clean_cost(to, full);
            crew = sum(crew, clean.crew);
            cleaning = clean.takes;
        }
        self.charges.push(Charge {
            cleaning,
            reach: vessel.reach,
            cleaning_cost,
            transfer: self.case.rates.transfer,
            gas: if is_second { Money::ZERO } else { vessel.purge.gas }
                + if is_forced { rate.for_volume(arrived) } else { Money::ZERO },
            ..Charge::of(self.case, slot, crew)
        });
    }

    /// A transfer into a tank that is only poured from: cleaned and purged, nothing is carbonated.
    pub(super) fn charge_fill_to_serve(&mut self, slot: Slot, to: VesselId, full: bool) {
        let vessel = self.case.vessel(to);
        let clean = self.cleaned(slot, to, full);
        let crew = sum(self.case.transfer.job.crew, sum(vessel.purge.job.crew, clean.crew));
        self.charges.push(Charge {
            cleaning: clean.takes,
            reach: vessel.reach,
            cleaning_cost: self.case.clean_cost(to, full),
            transfer: self.case.rates.transfer,
            gas: vessel.purge.gas,
            ..Charge::of(self.case, slot, crew)
        });
    }

    /// Clock time of the transfers that fill a lot, one after another.
    #[must_use]
    pub fn lot_filling_takes(&self, lot: &Holding) -> Minutes {
        if self.case.vessel(lot.vessel).is_serve_only() {
            return self.case.transfer.takes();
        }
        let transfers = i64::try_from(lot.parts.len()).unwrap_or(1);
        self.case.filling_takes(self.case.beer(lot.beer), transfers, lot.filled)
    }

    /// Person-time of outages, and vessels opened by upkeep that stand empty when it ends.
    pub(super) fn count_upkeep(&mut self) {
        for outage in &self.case.fixed.outages {
            for role in Role::ALL {
                let time = outage.crew.of(role);
                if let Some(slot) = self.case.outage_slot(outage, role).filter(|_| time > Minutes::ZERO) {
                    self.charges.push(Charge::of(self.case, slot, RoleTimes::only(role, time)));
                }
            }
            let ends = self.upkeep_ends(outage).filter(|_| outage.soils());
            if let (Away::Vessel(vessel), Some(slot)) = (outage.what, ends) {
                let log = &mut self.logs[vessel.0];
                let place = log.iter().position(|entry| entry.slot > slot).unwrap_or(log.len());
                log.insert(place, Entry { slot, event: Event::Opened });
            }
        }
    }

    /// A transfer into a conditioning tank: it is purged, nothing is cleaned or carbonated with it.
    pub(super) fn charge_move(&mut self, slot: Slot, to: VesselId) {
        let purge = self.case.vessel(to).purge;
        let crew = sum(self.case.transfer.job.crew, purge.job.crew);
        let transfer = self.case.rates.transfer;
        self.charges.push(Charge { transfer, gas: purge.gas, ..Charge::of(self.case, slot, crew) });
    }

    /// Overtime that may be worked, by slot and crew: what is above a limit is left out here and found by its rule.
    pub(super) fn count_overtime(&mut self) {
        for overtime in &self.plan.overtime {
            let Overtime { slot, crew, time } = *overtime;
            if !self.is_planned(slot) {
                continue;
            }
            let limit = self.overtime_limit(crew, slot);
            let sum = self.overtime.entry((slot, crew)).or_default();
            // A sum above the limit is kept, so that the rule finds it, but within bounds.
            *sum = Minutes(sum.0.saturating_add(time.0.clamp(0, limit.0.saturating_add(1_000_000))));
            *sum = (*sum).min(Minutes(1_000_000_000));
        }
    }

    /// The most overtime that a crew may work in a slot.
    #[must_use]
    pub fn overtime_limit(&self, crew: CrewId, slot: Slot) -> Minutes {
        if self.case.crew_hours(crew, slot) == Minutes::ZERO {
            return Minutes::ZERO;
        }
        self.case.crew(crew).overtime.map_or(Minutes::ZERO, |limit| limit.at_most)
    }

    /// Hours and overtime of each person of a crew in a slot.
    #[must_use]
    pub fn hours(&self, crew: CrewId, slot: Slot) -> Minutes {
        let hours = self.case.crew_hours(crew, slot);
        if hours == Minutes::ZERO {
            return hours;
        }
        hours + self.overtime.get(&(slot, crew)).copied().unwrap_or_default()
    }
}
