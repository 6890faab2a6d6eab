//! What is planned beyond the planned days becomes totals of the look-ahead.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::{
    Count, Leaving, Outlook, OutlookBatch, OutlookLot, OutlookPackaging, OutlookPour, OutlookUse, PitchFrom,
    Plan, Pour, Source, Task, Used, Work,
};
use cellarwright_model::units::Volume;

use crate::compile::context::Context;

/// Beer in a vessel, as far as it has come.
#[derive(Clone, Copy, Debug)]
enum Beer {
    Batch { source: Source, beer: BeerId, turns: i64, part: Option<Volume>, leaving: Leaving },
    Lot { source: Source, beer: BeerId, volume: Volume, left: i64, emptied: Option<usize> },
}

/// Reads the plan of all slots into one of the planned days and an outlook.
pub fn fold(context: &Context, tasks: &[Task], pours: &[Pour]) -> Plan {
    let case = context.case;
    let end = case.calendar.planned_slots();
    let mut plan = Plan {
        tasks: tasks.iter().copied().filter(|task| task.slot.0 < end).collect(),
        pours: pours.iter().copied().filter(|pour| pour.day < case.calendar.planned_days).collect(),
        ..Plan::default()
    };
    if case.calendar.look_ahead_days > 0 {
        let mut tail = Tail::new(context, tasks, pours);
        tail.read(tasks, pours);
        plan.outlook = tail.written();
    }
    plan
}

struct Tail<'a, 'b> {
    context: &'b Context<'a>,
    outlook: Outlook,
    vessels: BTreeMap<VesselId, Beer>,
    drawn: BTreeMap<(usize, BeerId, FormatId), (i64, i64)>,
    poured: BTreeMap<(usize, BeerId), i64>,
    uses: BTreeMap<(usize, Used), i64>,
}

impl<'a, 'b> Tail<'a, 'b> {
    /// What stands in the vessels when the planned days end.
    fn new(context: &'b Context<'a>, tasks: &[Task], pours: &[Pour]) -> Self {
        let case = context.case;
        let mut vessels: BTreeMap<VesselId, Beer> = BTreeMap::new();
        for tank in &case.in_tank {
            let held = super::vessel::Held::opening(case, tank);
            vessels.insert(tank.vessel, standing(tank.vessel, tank.beer, tank.is_bright, held.left.0));
        }
        let mut left: BTreeMap<VesselId, i64> = case
            .in_tank
            .iter()
            .map(|tank| (tank.vessel, super::vessel::Held::opening(case, tank).left.0))
            .collect();
        let mut is_direct: BTreeSet<VesselId> = BTreeSet::new();
        let mut pours = pours.iter().peekable();
        for task in tasks.iter().filter(|task| task.slot.0 < case.calendar.planned_slots()) {
            while let Some(pour) = pours.next_if(|pour| pour.day < case.calendar.day(task.slot)) {
                take(&mut vessels, &mut left, pour.vessel, pour.volume.0);
            }
            match task.work {
                Work::Brew { beer, vessel, turns, part } => {
                    let wort = case.wort_of(beer, turns, part);
                    *left.entry(vessel).or_default() += case.beer(beer).loss_tank.taken_off(wort).0;
                    vessels.insert(vessel, standing(vessel, beer, false, 0));
                    is_direct.remove(&vessel);
                }
                Work::Transfer { from, to, volume, .. } => {
                    let Some(beer) = vessels.get(&from).map(beer_of) else { continue };
                    take(&mut vessels, &mut left, from, volume.0);
                    let arrived = case.arrives(case.beer(beer), volume).0;
                    left.insert(to, arrived);
                    vessels.insert(to, standing(to, beer, true, arrived));
                }
                Work::Carbonate { vessel } => {
                    direct(context, &vessels, &mut left, &mut is_direct, vessel);
                }
                Work::Package { vessel, volume, .. } => {
                    direct(context, &vessels, &mut left, &mut is_direct, vessel);
                    take(&mut vessels, &mut left, vessel, volume.0);
                }
                Work::Clean { .. }
                | Work::Sanitise { .. }
                | Work::Pitch { .. }
                | Work::Crop { .. }
                | Work::Tank { .. }
                | Work::Wash { .. }
                | Work::Dump { .. } => {}
            }
        }
        for pour in pours.filter(|pour| pour.day < case.calendar.planned_days) {
            take(&mut vessels, &mut left, pour.vessel, pour.volume.0);
        }
        for (vessel, beer) in &mut vessels {
            if let Beer::Lot { volume, left: there, .. } = beer {
                let left = left.get(vessel).copied().unwrap_or(0);
                (*volume, *there) = (Volume(left), left);
            }
        }
        let outlook = Outlook { periods: crate::decode::periods(context), ..Outlook::default() };
        Self {
            context,
            outlook,
            vessels,
            drawn: BTreeMap::new(),
            poured: BTreeMap::new(),
            uses: BTreeMap::new(),
        }
    }

    fn period(&self, day: usize) -> usize {
        let periods = &self.outlook.periods;
        periods.iter().position(|period| (period.first_day..=period.last_day).contains(&day)).unwrap_or(0)
    }

    fn used(&mut self, period: usize, what: Used, count: i64) {
        *self.uses.entry((period, what)).or_default() += count * Count::ONE.0;
    }

    fn read(&mut self, tasks: &[Task], pours: &[Pour]) {
        let case = self.context.case;
        let (end, first) = (case.calendar.planned_slots(), case.calendar.planned_days);
        let mut brew_days = BTreeSet::new();
        let mut runs = BTreeSet::new();
        let mut shifts = BTreeSet::new();
        let mut pours = pours.iter().filter(|pour| pour.day >= first).peekable();
        for task in tasks.iter().filter(|task| task.slot.0 >= end) {
            let day = case.calendar.day(task.slot);
            while let Some(pour) = pours.next_if(|pour| pour.day < day) {
                self.pour(pour);
            }
            let period = self.period(day);
            match task.work {
                Work::Brew { beer, vessel, turns, part } => {
                    if brew_days.insert(day) {
                        self.used(period, Used::BrewDay, 1);
                    }
                    self.brew(vessel, period, (beer, turns, part));
                }
                Work::Clean { vessel, .. } => self.used(period, Used::Clean(vessel), 1),
                Work::Transfer { from, to, volume, .. } => self.transfer(from, to, period, volume),
                Work::Package { line, format, vessel, volume } => {
                    let Some(beer) = self.vessels.get(&vessel).map(beer_of) else { continue };
                    if shifts.insert((task.slot, line)) {
                        self.used(period, Used::LineShift(line), 1);
                    }
                    let is_new = runs.insert((task.slot, line, beer));
                    if is_new {
                        self.used(period, Used::Run(line, beer), 1);
                    }
                    let lost = if is_new { case.line(line).loss.0 } else { 0 };
                    let entry = self.drawn.entry((period, beer, format)).or_default();
                    entry.0 += volume.0;
                    entry.1 += (volume.0 - lost).max(0);
                    self.draw(vessel, period, volume.0);
                }
                Work::Pitch { yeast, from: PitchFrom::Bought, pitches, .. } => {
                    self.used(period, Used::BoughtYeast(yeast), pitches);
                }
                Work::Pitch { .. }
                | Work::Sanitise { .. }
                | Work::Carbonate { .. }
                | Work::Crop { .. }
                | Work::Tank { .. }
                | Work::Wash { .. }
                | Work::Dump { .. } => {}
            }
        }
        for pour in pours {
            self.pour(pour);
        }
    }

    fn brew(&mut self, vessel: VesselId, period: usize, (beer, turns, part): (BeerId, i64, Option<Volume>)) {
        match self.vessels.get_mut(&vessel) {
            // A further turn of the batch: it counts from its last.
            Some(Beer::Batch { source: source @ Source::New { .. }, turns: before, leaving, .. })
                if *leaving == Leaving::Stays =>
            {
                *source = Source::New { like: vessel, period };
                *before += turns;
            }
            // The rest of a batch that was begun in the planned days belongs to it.
            Some(Beer::Batch { source: Source::InTank(_), leaving: Leaving::Stays, .. }) => {}
            _ => {
                let source = Source::New { like: vessel, period };
                let batch = Beer::Batch { source, beer, turns, part, leaving: Leaving::Stays };
                self.put(vessel, batch);
            }
        }
    }

    /// Beer comes into a vessel; what was in it has left.
    fn put(&mut self, vessel: VesselId, beer: Beer) {
        if let Some(before) = self.vessels.insert(vessel, beer) {
            self.over(before);
        }
    }

    fn transfer(&mut self, from: VesselId, to: VesselId, period: usize, volume: Volume) {
        let Some(Beer::Batch { leaving, beer, .. }) = self.vessels.get_mut(&from) else { return };
        let beer = *beer;
        if *leaving == Leaving::Stays {
            *leaving = Leaving::Bright(period);
        }
        let case = self.context.case;
        let volume = case.arrives(case.beer(beer), volume);
        let source = Source::New { like: to, period };
        self.put(to, Beer::Lot { source, beer, volume, left: volume.0, emptied: None });
    }

    fn draw(&mut self, vessel: VesselId, period: usize, volume: i64) {
        match self.vessels.get_mut(&vessel) {
            Some(Beer::Batch { leaving, .. }) if *leaving == Leaving::Stays => {
                *leaving = Leaving::Direct(period)
            }
            Some(Beer::Lot { left, emptied, .. }) => {
                *left -= volume;
                if *left <= 0 {
                    *emptied = Some(period);
                }
            }
            Some(Beer::Batch { .. }) | None => {}
        }
    }

    fn pour(&mut self, pour: &Pour) {
        let period = self.period(pour.day);
        let Some(beer) = self.vessels.get(&pour.vessel).map(beer_of) else { return };
        *self.poured.entry((period, beer)).or_default() += pour.volume.0;
        self.draw(pour.vessel, period, pour.volume.0);
    }

    fn over(&mut self, beer: Beer) {
        let count = Count::ONE;
        match beer {
            Beer::Batch { source, beer, turns, part, leaving } => {
                let (turns, part) = match source {
                    Source::New { .. } => (turns, part),
                    Source::InTank(_) => (0, None),
                };
                self.outlook.batches.push(OutlookBatch {
                    source,
                    beer,
                    turns,
                    part,
                    count,
                    moved: None,
                    leaving,
                });
            }
            Beer::Lot { source, beer, volume, emptied, .. } => {
                self.outlook.lots.push(OutlookLot { source, beer, volume, count, emptied });
            }
        }
    }

    fn written(mut self) -> Outlook {
        for beer in std::mem::take(&mut self.vessels).into_values() {
            self.over(beer);
        }
        for ((period, beer, format), (drawn, into)) in std::mem::take(&mut self.drawn) {
            let packaged = self.context.case.format(format).yields(Volume(into));
            self.outlook.packaging.push(OutlookPackaging {
                period,
                beer,
                format,
                drawn: Volume(drawn),
                packaged,
            });
        }
        for ((period, beer), volume) in std::mem::take(&mut self.poured) {
            self.outlook.pours.push(OutlookPour { period, beer, volume: Volume(volume) });
        }
        for ((period, what), count) in std::mem::take(&mut self.uses) {
            self.outlook.uses.push(OutlookUse { period, what, count: Count(count) });
        }
        self.outlook.batches.sort_unstable();
        self.outlook.lots.sort_unstable();
        self.outlook.uses.sort_unstable();
        self.outlook
    }
}

fn standing(vessel: VesselId, beer: BeerId, is_lot: bool, left: i64) -> Beer {
    let source = Source::InTank(vessel);
    if is_lot {
        return Beer::Lot { source, beer, volume: Volume(left), left, emptied: None };
    }
    Beer::Batch { source, beer, turns: 0, part: None, leaving: Leaving::Stays }
}

fn beer_of(beer: &Beer) -> BeerId {
    match *beer {
        Beer::Batch { beer, .. } | Beer::Lot { beer, .. } => beer,
    }
}

/// Takes the loss of the direct route off, once.
fn direct(
    context: &Context,
    vessels: &BTreeMap<VesselId, Beer>,
    left: &mut BTreeMap<VesselId, i64>,
    is_direct: &mut BTreeSet<VesselId>,
    vessel: VesselId,
) {
    if let Some(Beer::Batch { beer, .. }) = vessels.get(&vessel)
        && is_direct.insert(vessel)
        && let Some(left) = left.get_mut(&vessel)
    {
        *left = context.case.beer(*beer).loss_direct.taken_off(Volume(*left)).0;
    }
}

/// Takes beer out of a vessel; what is empty is gone.
fn take(
    vessels: &mut BTreeMap<VesselId, Beer>,
    left: &mut BTreeMap<VesselId, i64>,
    vessel: VesselId,
    volume: i64,
) {
    if let Some(there) = left.get_mut(&vessel) {
        *there -= volume;
        if *there <= 0 {
            left.remove(&vessel);
            vessels.remove(&vessel);
        }
    }
}
