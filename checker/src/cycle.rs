//! Checks a cycle that is to be kept up for ever, by replaying it again and again with the ordinary rules.
//!
//! A plan of many days begins with an empty cellar and does the work of the cycle over and over, as far as there is beer for it. Long
//! enough after day 0 nothing is left of the beginning. Then two cycles on end must keep every rule, the work of the second must be that of the
//! first, and at the end of both the vessels must hold the same beer for the same time. Alike vessels may change places. A batch of whose turns
//! some may come after the end is whole if that of the cycle before is. What is so can go on for ever.
//! What a cycle is worth is what the plan is worth up to the end of the second cycle less what it is worth up to the end of the first.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Vessel};
use cellarwright_model::demand::Demand;
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};
use cellarwright_model::violation::Violation;

use crate::measures::Measures;
use crate::{Report, check as replay};

/// Volumes of one piece of work may differ by so much from one cycle to the next: rounding to whole millilitres, vessel by vessel.
const ROUNDING: Volume = Volume(1_000);

/// What one cycle is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kept {
    /// Every breach in the two cycles.
    pub violations: Vec<Violation>,
    /// The second cycle is the same as the first.
    pub repeats: bool,
    /// The objective of one cycle in parts; what is sold stands in `delivered`.
    pub breakdown: Breakdown,
    /// What one cycle packages, by beer and format.
    pub packaged: BTreeMap<(BeerId, FormatId), Volume>,
    /// Figures of one cycle.
    pub measures: Measures,
}

/// The work of a plan in the planned days of a case.
#[must_use]
pub fn until(plan: &Plan, case: &Case) -> Plan {
    let mut shorter = plan.clone();
    let end = Slot(case.calendar.planned_slots());
    shorter.tasks.retain(|task| task.slot < end);
    shorter.overtime.retain(|overtime| overtime.slot < end);
    shorter.pours.retain(|pour| pour.day < case.calendar.planned_days);
    shorter
}

/// Replays a plan whose last days are two cycles of so many days. Gives the replay of all days, and what one cycle is.
#[must_use]
pub fn check(case: &Case, plan: &Plan, demand: &Demand, days: usize) -> (Report, Kept) {
    let end = case.calendar.planned_days;
    let mut shorter = case.clone();
    shorter.calendar.planned_days = end - days;
    let whole = replay(case, plan);
    let before = replay(&shorter, &until(plan, &shorter));
    let first = case.calendar.slot(end - 2 * days, 0);
    let last = case.calendar.start(Slot(case.calendar.planned_slots()));
    // A batch whose last turns may come after the end is judged by the same batch a cycle before.
    let is_cut_off = |violation: &Violation, slot: Slot| {
        violation.rule == RuleId::FillLevel && case.calendar.start(slot) + case.brewhouse.fill_within >= last
    };
    let is_meant = |violation: &&Violation| {
        violation.slot.is_none_or(|slot| slot >= first && !is_cut_off(violation, slot))
    };
    let mut packaged = volumes(&whole);
    for (goods, volume) in volumes(&before) {
        let left = packaged.entry(goods).or_default();
        *left -= volume;
    }
    let mut breakdown = less(&whole.breakdown, &before.breakdown);
    breakdown.delivered = demand.income(&packaged);
    breakdown.materials = demand.materials(&packaged);
    let kept = Kept {
        violations: whole.violations.iter().filter(is_meant).cloned().collect(),
        repeats: works_repeat(case, plan, &whole, days)
            && vessels_repeat(case, (end - days, &before), (end, &whole)),
        breakdown,
        packaged,
        measures: whole.measures.less(&before.measures),
    };
    (whole, kept)
}

fn volumes(report: &Report) -> BTreeMap<(BeerId, FormatId), Volume> {
    report.accounts.packaged.iter().map(|goods| ((goods.beer, goods.format), goods.volume)).collect()
}

/// Part by part. What is left at the end is the same at both ends.
fn less(whole: &Breakdown, before: &Breakdown) -> Breakdown {
    Breakdown {
        delivered: Money::ZERO,
        missed: Money::ZERO,
        poured: whole.poured - before.poured,
        dry_taps: whole.dry_taps - before.dry_taps,
        surplus: Money::ZERO,
        in_tank: Money::ZERO,
        labour: whole.labour - before.labour,
        overtime: whole.overtime - before.overtime,
        cleaning: whole.cleaning - before.cleaning,
        transfers: whole.transfers - before.transfers,
        gas: whole.gas - before.gas,
        waiting: whole.waiting - before.waiting,
        dirty: whole.dirty - before.dirty,
        short_runs: whole.short_runs - before.short_runs,
        visits: whole.visits - before.visits,
        yeast: whole.yeast - before.yeast,
        late: Money::ZERO,
        materials: Money::ZERO,
        store: Money::ZERO,
        low_stock: Money::ZERO,
        last_resort: whole.last_resort - before.last_resort,
        packaged_planned: whole.packaged_planned - before.packaged_planned,
        packaged_look_ahead: Volume::ZERO,
        poured_planned: whole.poured_planned - before.poured_planned,
        poured_look_ahead: Volume::ZERO,
    }
}

/// The first vessel that is like this one but for its name and price.
fn alike(case: &Case, id: VesselId) -> VesselId {
    let plain = |vessel: &Vessel| Vessel { name: String::new(), price: None, ..vessel.clone() };
    let like = plain(case.vessel(id));
    case.vessel_ids().find(|&other| plain(case.vessel(other)) == like).unwrap_or(id)
}

/// A piece of work without the name of its vessel, and how much it moves.
fn signature(case: &Case, work: &Work, beer: Option<BeerId>) -> (String, Volume) {
    let alike = |vessel: VesselId| alike(case, vessel).0;
    let beer = beer.map(|beer| beer.0);
    match *work {
        Work::Brew { vessel, beer, turns, part } => {
            (format!("brew {} {} {turns} {part:?}", alike(vessel), beer.0), Volume::ZERO)
        }
        Work::Clean { vessel, full } => (format!("clean {} {full}", alike(vessel)), Volume::ZERO),
        Work::Sanitise { vessel } => (format!("sanitise {}", alike(vessel)), Volume::ZERO),
        Work::Transfer { from, to, volume, full } => {
            (format!("transfer {} {} {beer:?} {full}", alike(from), alike(to)), volume)
        }
        Work::Carbonate { vessel } => (format!("carbonate {} {beer:?}", alike(vessel)), Volume::ZERO),
        // From which of several vessels of a beer a line draws how much is no part of the cycle.
        Work::Package { line, format, volume, .. } => {
            (format!("package {beer:?} {} {}", line.0, format.0), volume)
        }
        Work::Pitch { .. } => ("pitch".to_owned(), Volume::ZERO),
        Work::Crop { vessel } => (format!("crop {} {beer:?}", alike(vessel)), Volume::ZERO),
        Work::Tank { beer, vessel, work } => {
            (format!("tank {} {} {work}", alike(vessel), beer.0), Volume::ZERO)
        }
        Work::Wash { pool, kegs } => (format!("wash {} {kegs}", pool.0), Volume::ZERO),
        Work::Dump { vessel } => (format!("dump {} {beer:?}", alike(vessel)), Volume::ZERO),
    }
}

/// The work of so many days from a day on: how often and how much of each piece, by slot.
fn work_of(
    case: &Case,
    plan: &Plan,
    report: &Report,
    first: usize,
    days: usize,
) -> BTreeMap<(usize, String), (i64, Volume)> {
    let (from, to) = (case.calendar.slot(first, 0), case.calendar.slot(first + days, 0));
    let mut all: BTreeMap<(usize, String), (i64, Volume)> = BTreeMap::new();
    for task in plan.tasks.iter().filter(|task| task.slot >= from && task.slot < to) {
        let vessel = match task.work {
            Work::Transfer { from, .. } => Some(from),
            Work::Carbonate { vessel }
            | Work::Package { vessel, .. }
            | Work::Crop { vessel }
            | Work::Tank { vessel, .. }
            | Work::Dump { vessel } => Some(vessel),
            Work::Brew { .. }
            | Work::Clean { .. }
            | Work::Sanitise { .. }
            | Work::Pitch { .. }
            | Work::Wash { .. } => None,
        };
        let beer = vessel.and_then(|vessel| held(report, vessel, task.slot));
        let (name, volume) = signature(case, &task.work, beer);
        let is_package = matches!(task.work, Work::Package { .. });
        let entry = all.entry((task.slot.0 - from.0, name)).or_default();
        entry.0 = if is_package { 1 } else { entry.0 + 1 };
        entry.1 += volume;
    }
    for overtime in plan.overtime.iter().filter(|overtime| overtime.slot >= from && overtime.slot < to) {
        let name = format!("overtime {} {}", overtime.crew.0, overtime.time.0);
        all.entry((overtime.slot.0 - from.0, name)).or_default().0 += 1;
    }
    for pour in plan.pours.iter().filter(|pour| (first..first + days).contains(&pour.day)) {
        let slot = case.calendar.slot(pour.day, 0);
        let last = case.calendar.slot(pour.day + 1, 0);
        let beer = held(report, pour.vessel, Slot(last.0 - 1));
        let entry = all.entry((slot.0 - from.0, format!("pour {:?}", beer.map(|beer| beer.0)))).or_default();
        *entry = (1, entry.1 + pour.volume);
    }
    all
}

/// The beer that is in a vessel in a slot, as work finds it.
fn held(report: &Report, vessel: VesselId, slot: Slot) -> Option<BeerId> {
    let there = report.usage.stays.iter().filter(|stay| {
        stay.vessel == vessel
            && stay.from.is_none_or(|from| from <= slot)
            && stay.until.is_none_or(|until| until >= slot)
    });
    // What is emptied in the slot comes before what is filled in it.
    there.min_by_key(|stay| stay.from).map(|stay| stay.beer)
}

fn works_repeat(case: &Case, plan: &Plan, report: &Report, days: usize) -> bool {
    let end = case.calendar.planned_days;
    let first = work_of(case, plan, report, end - 2 * days, days);
    let second = work_of(case, plan, report, end - days, days);
    let is_alike = |one: &(i64, Volume), other: &(i64, Volume)| {
        one.0 == other.0 && (one.1.0 - other.1.0).abs() <= ROUNDING.0 * one.0.max(1)
    };
    first.len() == second.len()
        && first.iter().all(|(key, one)| second.get(key).is_some_and(|other| is_alike(one, other)))
}

/// The same beer, for the same time, in as many of the vessels that are alike, at the end of the first cycle and of the second.
fn vessels_repeat(case: &Case, (first, before): (usize, &Report), (second, whole): (usize, &Report)) -> bool {
    let at = |day: usize, report: &Report| -> BTreeMap<(VesselId, BeerId, usize, Volume), usize> {
        let slot = case.calendar.slot(day, 0);
        let mut all = BTreeMap::new();
        for stay in report.usage.stays.iter().filter(|stay| stay.until.is_none()) {
            let Some(from) = stay.from else { continue };
            let key = (alike(case, stay.vessel), stay.beer, slot.0 - from.0, stay.volume);
            *all.entry(key).or_default() += 1;
        }
        all
    };
    at(first, before) == at(second, whole)
}
