//! Which vessel gives how much to which line and format, in whole millilitres.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::{Pour, Task, Work};
use cellarwright_model::units::Volume;

use super::Values;
use super::batches::Cellar;
use super::run_order;
use crate::compile::columns::{Emptied, Lot, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::rules::volume;

/// A volume below this is rounding, in millilitres: it goes with the draw before it.
const CRUMB: i64 = 100;

/// Kept by a vessel that is not empty at the end, in millilitres.
const LEAST_LEFT: i64 = (volume::LEAST_LEFT * 100_000.0) as i64;

/// A vessel that is packaged from.
struct Giver {
    vessel: VesselId,
    left: i64,
    ends: Option<PeriodId>,
    lot: Option<usize>,
}

/// Reads packaging and pouring; what stays in lots is noted in them.
pub fn read(context: &Context, values: Values, cellar: &mut Cellar) -> (Vec<Task>, Vec<Pour>) {
    let mut drawn: BTreeMap<(PeriodId, BeerId, u64), Vec<(VesselId, i64)>> = BTreeMap::new();
    let mut pours: Vec<Pour> = Vec::new();
    let mut fills: Vec<Task> = Vec::new();
    // Tanks that are only poured from come last: what they hold comes from the others.
    let is_filled = |source: &Source| matches!(source, Source::Bright(lot) if serve_fill(context, lot));
    let mut sources: Vec<(Source, Vec<Giver>)> = givers(context, cellar).into_iter().collect();
    sources.sort_by_key(|(source, _)| is_filled(source));
    let mut arrived: BTreeMap<Lot, i64> = BTreeMap::new();
    for (source, mut givers) in sources {
        if let (true, Source::Bright(lot)) = (is_filled(&source), source) {
            for giver in &mut givers {
                giver.left = arrived.get(&lot).copied().unwrap_or_default();
            }
        }
        // The one that ends first gives first.
        givers.sort_by_key(|giver| giver.ends.unwrap_or(PeriodId::MAX));
        let beer = volume::beer_of(context, source);
        let lines = volume::lines_of(context, source);
        let mut outs = wanted(context, values, source);
        if let [giver] = &givers[..] {
            keep_least_fill(context, &mut outs, giver.left);
        }
        if givers.len() > 1 && volume::may_be_several(context, source) {
            let least = (volume::LEAST_DRAW * volume::volume_of(context, source).0 as f64) as i64;
            for out in outs {
                let is_first = matches!(source, Source::Direct(lot) if lot.first == out.period);
                for (vessel, gives) in take_together(&mut givers, &out, is_first, least) {
                    drawn.entry((out.period, beer, lines)).or_default().push((vessel, gives));
                }
            }
            continue;
        }
        for Out { period, packaged, fills: here, poured } in outs {
            let is_poured_last = poured > CRUMB;
            let is_filled_last = !is_poured_last && !here.is_empty();
            let is_packaged_last = !is_poured_last && !is_filled_last;
            for (number, (lot, leaves)) in here.iter().enumerate() {
                let is_last = is_filled_last && number + 1 == here.len();
                let packaged = if number == 0 { packaged } else { 0 };
                for (vessel, gives) in take(&mut givers, packaged, None) {
                    drawn.entry((period, beer, lines)).or_default().push((vessel, gives));
                }
                for (from, gives) in take(&mut givers, *leaves, is_last.then_some(period)) {
                    let to = context.groups.get(lot.group).vessels[0];
                    let volume = Volume(gives);
                    arrived.insert(*lot, context.case.transfer.arrives(volume).0);
                    fills.push(Task::new(Slot(period), Work::Transfer { from, to, volume, full: false }));
                }
            }
            let packaged = if here.is_empty() { packaged } else { 0 };
            for (vessel, gives) in take(&mut givers, packaged, is_packaged_last.then_some(period)) {
                drawn.entry((period, beer, lines)).or_default().push((vessel, gives));
            }
            for (vessel, gives) in take(&mut givers, poured, is_poured_last.then_some(period)) {
                let day = context.case.calendar.day(Slot(period));
                pours.push(Pour { day, vessel, volume: Volume(gives) });
            }
        }
        for giver in givers {
            if let Some(lot) = giver.lot {
                cellar.lots[lot].left = giver.left;
            }
        }
    }
    let by_line = to_lines(context, values, drawn);
    pours.sort_unstable();
    fills.extend(to_formats(context, values, by_line));
    (fills, pours)
}

/// Whether a lot is filled out of another one, into a tank that is only poured from.
fn serve_fill(context: &Context, lot: &Lot) -> bool {
    context.columns.serve_fills.iter().any(|fill| fill.to == *lot)
}

/// Whether what leaves for a tank that is only poured from is its least fill or more.
fn is_enough(context: &Context, to: &Lot, leaves: i64) -> bool {
    context.case.transfer.arrives(Volume(leaves)) >= context.groups.get(to.group).like.least
}

/// What leaves for a tank, with the millilitre that rounding lets its least fill lack.
fn enough(context: &Context, to: &Lot, leaves: i64) -> i64 {
    let mut near = leaves..=leaves + 2;
    near.find(|&volume| is_enough(context, to, volume)).unwrap_or(leaves)
}

/// What leaves a source in a period, in millilitres.
#[derive(Default)]
struct Out {
    period: PeriodId,
    packaged: i64,
    /// Into tanks that are only poured from.
    fills: Vec<(Lot, i64)>,
    poured: i64,
}

/// What leaves a source by period of the planned days.
fn wanted(context: &Context, values: Values, source: Source) -> Vec<Out> {
    let mut wanted: BTreeMap<PeriodId, Out> = BTreeMap::new();
    for (&(_, period), &column) in context.columns.draws.range((source, 0)..=(source, PeriodId::MAX)) {
        wanted.entry(period).or_default().packaged = values.millilitres(column);
    }
    if let Source::Bright(lot) = source {
        for (&(_, period), &column) in context.columns.pours.range((lot, 0)..=(lot, PeriodId::MAX)) {
            wanted.entry(period).or_default().poured = values.millilitres(column);
        }
    }
    for fill in context.columns.serve_fills.iter().filter(|fill| fill.from == source) {
        let out = wanted.entry(fill.period).or_default();
        if values.count(fill.filled) > 0 {
            out.fills.push((fill.to, enough(context, &fill.to, values.millilitres(fill.leaves))));
        }
    }
    let fine = wanted.into_iter().filter(|&(period, _)| context.grid.is_fine(period));
    fine.map(|(period, out)| Out { period, ..out }).collect()
}

/// Where the last that leaves a vessel is a fill, the millilitres that rounding lets it lack of the tank's least come from what
/// leaves before: from packaging, or from a fill that has more than its least.
fn keep_least_fill(context: &Context, outs: &mut [Out], left: i64) {
    let of_out = |out: &Out| out.packaged + out.poured + out.fills.iter().map(|fill| fill.1).sum::<i64>();
    let last = outs.iter().rfind(|out| of_out(out) > CRUMB).filter(|out| out.poured <= CRUMB);
    let Some((to, leaves)) = last.and_then(|out| out.fills.last()) else { return };
    let others = outs.iter().map(of_out).sum::<i64>() - leaves;
    if is_enough(context, to, left - others) {
        return;
    }
    let mut lacks = 1..=CRUMB;
    let Some(lacks) = lacks.find(|lacks| is_enough(context, to, left - others + lacks)) else { return };
    if let Some(out) = outs.iter_mut().max_by_key(|out| out.packaged).filter(|out| out.packaged > 2 * CRUMB) {
        out.packaged -= lacks;
        return;
    }
    let mut fills: Vec<&mut (Lot, i64)> = outs.iter_mut().flat_map(|out| &mut out.fills).collect();
    fills.pop();
    if let Some(fill) = fills.into_iter().find(|fill| is_enough(context, &fill.0, fill.1 - lacks)) {
        fill.1 -= lacks;
    }
}

/// Takes a volume from vessels in order; those that end in the period `last` give all that they have.
fn take(givers: &mut [Giver], volume: i64, last: Option<PeriodId>) -> Vec<(VesselId, i64)> {
    let mut wanted = volume;
    let mut taken = Vec::new();
    for giver in givers {
        let ends_here = last.is_some() && giver.ends == last;
        let mut gives = wanted.clamp(0, giver.left);
        if ends_here || (giver.left - gives <= CRUMB && gives > CRUMB) {
            gives = giver.left;
        }
        if gives <= CRUMB && gives < giver.left {
            gives = 0;
        }
        if gives > 0 {
            giver.left -= gives;
            wanted -= gives;
            taken.push((giver.vessel, gives));
        }
    }
    taken
}

/// Takes what is packaged in a period from fermenters that begin together, those that end first before the others: each gives its
/// least in the first period and keeps as much for its last, in which it gives all that it has; one that stays is not emptied.
fn take_together(givers: &mut [Giver], out: &Out, is_first: bool, least: i64) -> Vec<(VesselId, i64)> {
    let bounds: Vec<(i64, i64)> = givers
        .iter()
        .map(|giver| match giver.ends {
            Some(period) if period <= out.period => (giver.left, giver.left),
            _ => {
                let lowest = if is_first { least.min(giver.left) } else { 0 };
                let kept = if giver.ends.is_some() { least } else { LEAST_LEFT };
                (lowest, (giver.left - kept).max(lowest))
            }
        })
        .collect();
    let mut wanted = out.packaged - bounds.iter().map(|bound| bound.0).sum::<i64>();
    let mut taken = Vec::new();
    for (giver, (lowest, highest)) in givers.iter_mut().zip(bounds) {
        let more = wanted.min(highest - lowest);
        let gives = lowest + if more > CRUMB { more } else { 0 };
        wanted -= gives - lowest;
        if gives > 0 {
            giver.left -= gives;
            taken.push((giver.vessel, gives));
        }
    }
    taken
}

fn givers(context: &Context, cellar: &Cellar) -> BTreeMap<Source, Vec<Giver>> {
    let mut all: BTreeMap<Source, Vec<Giver>> = BTreeMap::new();
    for (position, run) in cellar.lots.iter().enumerate() {
        let ends = match run.emptied {
            // A serving tank of day 0 may be poured from before the rest of it is poured away.
            Some(Emptied::Dump(_)) if context.columns.wasted.contains_key(&run.lot) => None,
            Some(Emptied::Dump(_)) => continue,
            Some(Emptied::At(period)) => Some(period),
            Some(Emptied::Stays) | None => None,
        };
        if let Some(vessel) = run.vessel {
            let giver = Giver { vessel, left: run.lot.volume.0, ends, lot: Some(position) };
            all.entry(Source::Bright(run.lot)).or_default().push(giver);
        }
    }
    for batch in &cellar.batches {
        let lot = batch.leaving.and_then(|leaving| leaving.direct_lot(batch.kind, batch.group));
        if let (Some(lot), Some(vessel)) = (lot, batch.vessel) {
            let source = Source::Direct(lot);
            let left = volume::volume_of(context, source).0;
            all.entry(source).or_default().push(Giver { vessel, left, ends: batch.emptied, lot: None });
        }
    }
    all
}

type ByLine = BTreeMap<(PeriodId, LineId, BeerId), Vec<(VesselId, i64)>>;

fn to_lines(
    context: &Context,
    values: Values,
    drawn: BTreeMap<(PeriodId, BeerId, u64), Vec<(VesselId, i64)>>,
) -> ByLine {
    let mut by_line = ByLine::new();
    for ((period, beer, lines), givers) in drawn {
        let quotas: Vec<(LineId, i64)> = context
            .case
            .line_ids()
            .filter_map(|line| {
                let column = context.columns.feeds.get(&(beer, lines, line, period))?;
                Some((line, values.millilitres(*column)))
            })
            .collect();
        for (line, vessel, amount) in share_out(&givers, &quotas) {
            by_line.entry((period, line, beer)).or_default().push((vessel, amount));
        }
    }
    by_line
}

/// Gives out what vessels give over quotas in order; the largest quota takes what rounding leaves.
fn share_out<T: Copy>(givers: &[(VesselId, i64)], quotas: &[(T, i64)]) -> Vec<(T, VesselId, i64)> {
    let given: i64 = givers.iter().map(|giver| giver.1).sum();
    let asked: i64 = quotas.iter().map(|quota| quota.1).sum();
    let mut quotas: Vec<(T, i64)> = quotas.to_vec();
    if let Some(largest) = quotas.iter_mut().max_by_key(|quota| quota.1) {
        largest.1 += given - asked;
    }
    quotas.retain(|quota| quota.1 > 0);
    let mut quotas = quotas.into_iter();
    let mut current = quotas.next();
    let mut shared = Vec::new();
    for &(vessel, amount) in givers {
        let mut left = amount;
        while left > 0 {
            let Some((what, quota)) = current else { break };
            let used = left.min(quota);
            shared.push((what, vessel, used));
            left -= used;
            current = if quota > used { Some((what, quota - used)) } else { quotas.next() };
        }
    }
    shared
}

fn to_formats(context: &Context, values: Values, by_line: ByLine) -> Vec<Task> {
    let mut slots: BTreeMap<(PeriodId, LineId), Vec<BeerId>> = BTreeMap::new();
    for &(period, line, beer) in by_line.keys() {
        slots.entry((period, line)).or_default().push(beer);
    }
    let mut tasks = Vec::new();
    for ((period, line), beers) in slots {
        let quotas = beers.iter().map(|&beer| (beer, quotas(context, values, period, line, beer))).collect();
        for (beer, quotas) in run_order::in_order(context, context.case.line(line), quotas) {
            let givers = &by_line[&(period, line, beer)];
            for (format, vessel, amount) in share_out(givers, &quotas) {
                let volume = Volume(amount);
                let work = Work::Package { line, format, vessel, volume };
                tasks.push(Task::new(Slot(period), work));
            }
        }
    }
    tasks
}

/// What each format of a run draws, in millilitres, in the order of the formats' ids.
fn quotas(
    context: &Context,
    values: Values,
    period: PeriodId,
    line: LineId,
    beer: BeerId,
) -> Vec<(FormatId, i64)> {
    let mut quotas: Vec<(FormatId, i64)> = Vec::new();
    for packaged in &context.case.beer(beer).packaged {
        if let Some(&column) = context.columns.packs.get(&(beer, packaged.format, period))
            && context.case.format(packaged.format).line == line
        {
            quotas.push((packaged.format, values.millilitres(column)));
        }
    }
    quotas.sort_unstable();
    // The line's loss goes with the first format that runs; a run may be no more than that loss.
    let first = quotas.iter().position(|quota| quota.1 > CRUMB).unwrap_or(0);
    if let Some(first) = quotas.get_mut(first) {
        first.1 += context.case.line(line).loss.0;
    }
    quotas.retain(|quota| quota.1 > CRUMB);
    quotas
}
