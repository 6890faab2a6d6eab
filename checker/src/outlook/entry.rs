//! The entries of a look-ahead, read with their bounds, so that nothing in them can overflow.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::{Count, Leaving, Moved, Outlook, OutlookLot, Period, Source, Used};
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;

use crate::exact::bounded;
use crate::ledger::{Holding, Kind, Ledger, earliest_ready};

/// More of anything than a look-ahead counts.
const MOST: i64 = 1_000_000_000_000;

/// Something in the look-ahead that cannot be meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// The periods are not the days after the planned ones, without gaps.
    Periods,
    /// An entry names a period that is not listed.
    NoPeriod,
    /// A count or volume below nothing.
    Negative,
    /// Beer from a vessel that does not hold it when the planned days end.
    NotThere,
}

/// Where beer comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// From a holding of the planned days: its position in `Ledger::holdings`.
    Held(usize),
    /// Filled in a period.
    Period(usize),
}

/// Batches of one source that leave alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Batch {
    /// Where from.
    pub from: From,
    /// The vessel, or one like it.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// Turns of each new batch.
    pub turns: i64,
    /// Wort of the one turn, where it is a part turn.
    pub part: Option<Volume>,
    /// How many, in millionths.
    pub count: i64,
    /// When and into which kind of vessel they are moved for the rest of their stay.
    pub moved: Option<Moved>,
    /// When and how they leave.
    pub leaving: Leaving,
    /// What each has in its vessel after the tank loss (what is left, for a batch that has begun to leave; what
    /// arrives, for one that is moved).
    pub volume: Volume,
}

/// Lots of one source that are emptied alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lot {
    /// Where from.
    pub from: From,
    /// The vessel, or one like it.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// How many, in millionths.
    pub count: i64,
    /// Period of the last packaging.
    pub emptied: Option<usize>,
    /// What each holds when the look-ahead or the lot begins.
    pub volume: Volume,
}

/// Packaging of a beer in a format in a period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packaging {
    /// The period.
    pub period: usize,
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// What leaves vessels.
    pub drawn: Volume,
    /// What is packaged.
    pub packaged: Volume,
}

/// First and last day on which something may have happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First day.
    pub first: i64,
    /// Last day.
    pub last: i64,
}

/// The entries that can be meant.
#[derive(Clone, Debug, Default)]
pub struct Entries {
    /// The periods.
    pub periods: Vec<Period>,
    /// Batches.
    pub batches: Vec<Batch>,
    /// Lots.
    pub lots: Vec<Lot>,
    /// Packaging.
    pub packaging: Vec<Packaging>,
    /// Poured by period and beer.
    pub pours: Vec<(usize, BeerId, Volume)>,
    /// Counts by period, in millionths.
    pub uses: Vec<(usize, Used, i64)>,
    /// What cannot be meant, each kind once.
    pub faults: Vec<Fault>,
}

impl Entries {
    /// Reads the look-ahead of a plan.
    #[must_use]
    pub fn read(ledger: &Ledger) -> Self {
        let mut entries = Self::default();
        let outlook = &ledger.plan.outlook;
        if !ledger.looks_ahead() {
            if *outlook != Outlook::default() {
                entries.faults.push(Fault::Periods);
            }
            return entries;
        }
        if !are_the_days_after(ledger.case, &outlook.periods) {
            entries.faults.push(Fault::Periods);
            return entries;
        }
        entries.periods.clone_from(&outlook.periods);
        entries.read_batches(ledger);
        entries.read_lots(ledger);
        entries.read_packaging(ledger);
        for pour in &outlook.pours {
            if let (Some(period), Some(volume)) = (entries.period(pour.period), entries.volume(pour.volume)) {
                entries.pours.push((period, pour.beer, volume));
            }
        }
        for used in &outlook.uses {
            if let (Some(period), Some(count)) = (entries.period(used.period), entries.count(used.count)) {
                entries.uses.push((period, used.what, count));
            }
        }
        entries.faults.sort_unstable();
        entries.faults.dedup();
        entries
    }

    fn period(&mut self, period: usize) -> Option<usize> {
        if period < self.periods.len() {
            return Some(period);
        }
        self.faults.push(Fault::NoPeriod);
        None
    }

    fn count(&mut self, count: Count) -> Option<i64> {
        if count < Count(0) {
            self.faults.push(Fault::Negative);
            return None;
        }
        Some(count.0.min(MOST))
    }

    fn volume(&mut self, volume: Volume) -> Option<Volume> {
        if volume < Volume::ZERO {
            self.faults.push(Fault::Negative);
            return None;
        }
        Some(bounded(volume))
    }

    /// Where beer comes from, and the vessel.
    fn source(
        &mut self,
        ledger: &Ledger,
        source: Source,
        beer: BeerId,
        kind: Kind,
    ) -> Option<(From, VesselId)> {
        match source {
            Source::New { like, period } => Some((From::Period(self.period(period)?), like)),
            Source::InTank(vessel) => {
                let held = ledger.held_at_end(vessel).filter(|&held| {
                    let holding = &ledger.holdings[held];
                    holding.kind == kind && holding.beer == beer
                });
                if held.is_none() {
                    self.faults.push(Fault::NotThere);
                }
                held.map(|held| (From::Held(held), vessel))
            }
        }
    }

    fn read_batches(&mut self, ledger: &Ledger) {
        for batch in &ledger.plan.outlook.batches {
            let Some((from, vessel)) = self.source(ledger, batch.source, batch.beer, Kind::Batch) else {
                continue;
            };
            let Some(count) = self.count(batch.count) else { continue };
            let left_in = match batch.leaving {
                Leaving::Bright(period) | Leaving::Direct(period) | Leaving::Dump(period) => period,
                Leaving::Stays => 0,
            };
            if batch.leaving != Leaving::Stays && self.period(left_in).is_none() {
                continue;
            }
            if batch.turns < 0 {
                self.faults.push(Fault::Negative);
                continue;
            }
            let turns = batch.turns.min(1_000_000);
            let part = batch.part.map(bounded);
            let wort = bounded(ledger.case.wort_of(batch.beer, turns, part));
            let volume = match from {
                From::Held(held) => ledger.holdings[held].left,
                From::Period(_) => ledger.case.beer(batch.beer).loss_tank.taken_off(wort),
            };
            if batch.moved.is_some_and(|moved| self.period(moved.period).is_none()) {
                continue;
            }
            let volume = match batch.moved {
                Some(_) => ledger.case.transfer.arrives(volume),
                None => volume,
            };
            let (beer, moved, leaving) = (batch.beer, batch.moved, batch.leaving);
            self.batches.push(Batch { from, vessel, beer, turns, part, count, moved, leaving, volume });
        }
    }

    fn read_lots(&mut self, ledger: &Ledger) {
        for lot in &ledger.plan.outlook.lots {
            if is_nothing(ledger, lot) {
                continue;
            }
            let Some((from, vessel)) = self.source(ledger, lot.source, lot.beer, Kind::Lot) else { continue };
            let (Some(count), Some(volume)) = (self.count(lot.count), self.volume(lot.volume)) else {
                continue;
            };
            if lot.emptied.is_some_and(|period| self.period(period).is_none()) {
                continue;
            }
            let volume = match from {
                From::Held(held) => ledger.holdings[held].left,
                From::Period(_) => volume,
            };
            self.lots.push(Lot { from, vessel, beer: lot.beer, count, emptied: lot.emptied, volume });
        }
    }

    fn read_packaging(&mut self, ledger: &Ledger) {
        for entry in &ledger.plan.outlook.packaging {
            let (drawn, packaged) = (self.volume(entry.drawn), self.volume(entry.packaged));
            if let (Some(period), Some(drawn), Some(packaged)) = (self.period(entry.period), drawn, packaged)
            {
                let (beer, format) = (entry.beer, entry.format);
                self.packaging.push(Packaging { period, beer, format, drawn, packaged });
            }
        }
    }

    /// How many of something there are in a period, in millionths.
    #[must_use]
    pub fn used(&self, period: usize, what: Used) -> i128 {
        let counts = self.uses.iter().filter(|used| used.0 == period && used.1 == what);
        counts.map(|used| i128::from(used.2)).sum()
    }

    /// What is poured of a beer in a period.
    #[must_use]
    pub fn poured(&self, period: usize, beer: BeerId) -> Volume {
        let here = self.pours.iter().filter(|pour| (pour.0, pour.1) == (period, beer));
        here.fold(Volume::ZERO, |sum, pour| bounded(sum + pour.2))
    }

    /// What guests of the taproom ask of a beer in a period.
    #[must_use]
    pub fn asked(&self, case: &Case, period: usize, beer: BeerId) -> Volume {
        let days = self.first_day(period)..=self.last_day(period);
        days.map(|day| case.asked(beer, day)).sum()
    }

    /// First day of a period.
    #[must_use]
    pub fn first_day(&self, period: usize) -> i64 {
        self.periods[period].first_day as i64
    }

    /// Last day of a period.
    #[must_use]
    pub fn last_day(&self, period: usize) -> i64 {
        self.periods[period].last_day as i64
    }

    /// Slots of a period.
    pub fn slots(&self, case: &Case, period: usize) -> impl Iterator<Item = Slot> + use<> {
        let calendar = &case.calendar;
        let Period { first_day, last_day } = self.periods[period];
        (calendar.slot(first_day, 0).0..calendar.slot(last_day + 1, 0).0).map(Slot)
    }

    /// Days of a period on which a role works.
    #[must_use]
    pub fn working_days(&self, ledger: &Ledger, role: Role, period: usize) -> i64 {
        ledger.working_days(role, self.first_day(period) - 1, self.last_day(period))
    }

    /// Days on which beer was filled into its vessel (with its last turn).
    #[must_use]
    pub fn filled(&self, ledger: &Ledger, from: From) -> Span {
        match from {
            From::Held(held) => Span { first: ledger.holdings[held].on, last: ledger.holdings[held].on },
            From::Period(period) => Span { first: self.first_day(period), last: self.last_day(period) },
        }
    }

    /// Days on which a batch is ready.
    #[must_use]
    pub fn ready(&self, ledger: &Ledger, batch: &Batch) -> Span {
        match batch.from {
            From::Held(held) => {
                Span { first: ledger.holdings[held].ready, last: ledger.holdings[held].ready }
            }
            From::Period(_) => {
                let stay = ledger.case.beer(batch.beer).stay_days();
                let filled = self.filled(ledger, batch.from);
                if !ledger.case.beer(batch.beer).tank_work.is_empty() {
                    let days = filled.first..=filled.last;
                    let ready: Vec<i64> =
                        days.filter_map(|day| earliest_ready(ledger.case, batch.beer, day)).collect();
                    if let (Some(&first), Some(&last)) = (ready.iter().min(), ready.iter().max()) {
                        return Span { first, last };
                    }
                }
                Span { first: filled.first + stay, last: filled.last + stay }
            }
        }
    }
}

/// Whether a lot is what a vessel still held in the planned days, but not at their end: nothing.
fn is_nothing(ledger: &Ledger, lot: &OutlookLot) -> bool {
    match lot.source {
        Source::InTank(vessel) => {
            let is_empty = ledger.held_at_end(vessel).is_none();
            is_empty && lot.volume >= Volume::ZERO && lot.volume <= tolerance::VOLUME
        }
        Source::New { .. } => false,
    }
}

/// The holding of the planned days, if the beer comes from one.
#[must_use]
pub fn holding<'a>(ledger: &'a Ledger, from: From) -> Option<&'a Holding> {
    match from {
        From::Held(held) => ledger.holdings.get(held),
        From::Period(_) => None,
    }
}

/// The vessel that a batch leaves from, or one like it.
#[must_use]
pub fn last_vessel(batch: &Batch) -> VesselId {
    batch.moved.map_or(batch.vessel, |moved| moved.like)
}

/// The period in which a batch leaves; none if it stays.
#[must_use]
pub fn leaves(leaving: Leaving) -> Option<usize> {
    match leaving {
        Leaving::Bright(period) | Leaving::Direct(period) | Leaving::Dump(period) => Some(period),
        Leaving::Stays => None,
    }
}

/// The first vessel of the same kind.
#[must_use]
pub fn kind(case: &Case, vessel: VesselId) -> VesselId {
    case.vessel_ids().find(|&other| is_like(case, other, vessel)).unwrap_or(vessel)
}

/// Vessels of the same kind.
#[must_use]
pub fn size(case: &Case, vessel: VesselId) -> i64 {
    case.vessel_ids().filter(|&other| is_like(case, other, vessel)).count() as i64
}

fn is_like(case: &Case, first: VesselId, second: VesselId) -> bool {
    let connected = case.is_connected_alike(first, second);
    let (first, second) = (case.vessel(first), case.vessel(second));
    connected
        && first.uses == second.uses
        && (first.holds, first.least) == (second.holds, second.least)
        && (first.rated, first.relief, first.beer_height) == (second.rated, second.relief, second.beer_height)
        && (first.clean, first.reach, first.purge) == (second.clean, second.reach, second.purge)
        && (first.clean_after, first.refill) == (second.clean_after, second.refill)
        && first.rest == second.rest
}

/// What rounding of so many entries to millionths may add to a sum of counts, in millionths.
#[must_use]
pub fn slack(entries: usize) -> i128 {
    entries as i128 + 10
}

/// What rounding may add to a sum of volumes, in millilitres.
#[must_use]
pub fn volume_slack(entries: usize, volumes: i128) -> i128 {
    (entries as i128 + 1) * i128::from(tolerance::VOLUME.0) + volumes / 500_000
}

fn are_the_days_after(case: &Case, periods: &[Period]) -> bool {
    let mut next = case.calendar.planned_days;
    for period in periods {
        if period.first_day != next
            || period.last_day < period.first_day
            || period.last_day >= case.calendar.days()
        {
            return false;
        }
        next = period.last_day + 1;
    }
    next == case.calendar.days()
}
