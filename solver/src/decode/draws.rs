//! Which vessel gives how much to which line and format, in whole millilitres.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Line;
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::{Task, Work};
use cellarwright_model::rule::RuleId;

use super::Values;
use super::batches::Cellar;
use crate::compile::columns::{DirectLot, Emptied, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::rules::volume;
use crate::compile::sequence::{Place, cheapest};

/// A volume below this is rounding, in millilitres: it goes with the draw before it.
const CRUMB: i64 = 100;
/// Beers on a line in a shift that are put in order by trying every subset.
const MOST_ORDERED: usize = 14;

/// A vessel that is packaged from.
struct Giver {
    vessel: VesselId,
    left: i64,
    ends: Option<PeriodId>,
    lot: Option<usize>,
}

/// Reads packaging; what stays in lots is noted in them.
pub fn read(context: &Context, values: Values, cellar: &mut Cellar) -> Vec<Task> {
    let mut drawn: BTreeMap<(PeriodId, BeerId, u64), Vec<(VesselId, i64)>> = BTreeMap::new();
    for (source, mut givers) in givers(context, cellar) {
        // The one that ends first gives first.
        givers.sort_by_key(|giver| giver.ends.unwrap_or(PeriodId::MAX));
        let beer = volume::beer_of(context, source);
        let lines = volume::lines_of(context, source);
        let range = (source, 0)..=(source, PeriodId::MAX);
        for (&(_, period), &column) in context.columns.draws.range(range) {
            if !context.grid.is_fine(period) {
                break;
            }
            let mut wanted = values.millilitres(column);
            for giver in &mut givers {
                let mut gives = wanted.clamp(0, giver.left);
                if giver.left - gives <= CRUMB && (gives > CRUMB || giver.ends == Some(period))
                    || giver.ends == Some(period)
                {
                    gives = giver.left;
                }
                if gives <= CRUMB && gives < giver.left {
                    gives = 0;
                }
                if gives > 0 {
                    giver.left -= gives;
                    wanted -= gives;
                    drawn.entry((period, beer, lines)).or_default().push((giver.vessel, gives));
                }
            }
        }
        for giver in givers {
            if let Some(lot) = giver.lot {
                cellar.lots[lot].left = giver.left;
            }
        }
    }
    let by_line = to_lines(context, values, drawn);
    to_formats(context, values, by_line)
}

fn givers(context: &Context, cellar: &Cellar) -> BTreeMap<Source, Vec<Giver>> {
    let mut all: BTreeMap<Source, Vec<Giver>> = BTreeMap::new();
    for (position, run) in cellar.lots.iter().enumerate() {
        let ends = match run.emptied {
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
        if let (Some(Leaving::Direct { first, .. }), Some(vessel)) = (batch.leaving, batch.vessel) {
            let source = Source::Direct(DirectLot { kind: batch.kind, group: batch.group, first });
            let left = context.kind(batch.kind).direct_volume.0;
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
        for beer in in_best_order(context, context.case.line(line), &beers) {
            let givers = &by_line[&(period, line, beer)];
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
            for (format, vessel, amount) in share_out(givers, &quotas) {
                let volume = cellarwright_model::units::Volume(amount);
                let work = Work::Package { line, format, vessel, volume };
                tasks.push(Task::new(Slot(period), work));
            }
        }
    }
    tasks
}

/// Beers in the order of least changes that keeps the line's "never after"; otherwise by their ids.
fn in_best_order(context: &Context, line: &Line, beers: &[BeerId]) -> Vec<BeerId> {
    if line.change_pairs.is_empty() || beers.len() > MOST_ORDERED {
        return in_allowed_order(line, beers);
    }
    let places: Vec<Place> = beers.iter().copied().map(Some).collect();
    let order = cheapest(line, &places, context.keeps(RuleId::Line)).map(|(_, order)| order);
    order.map_or_else(|| in_allowed_order(line, beers), |order| order.into_iter().flatten().collect())
}

/// Beers in an order that keeps the line's "never after", otherwise by their ids.
fn in_allowed_order(line: &Line, beers: &[BeerId]) -> Vec<BeerId> {
    let mut waiting = beers.to_vec();
    let mut order = Vec::new();
    while !waiting.is_empty() {
        // A beer may come next if no beer still waiting must not run after it.
        let next = waiting.iter().position(|&beer| {
            !line
                .never_after
                .iter()
                .any(|pair| pair.after == beer && pair.beer != beer && waiting.contains(&pair.beer))
        });
        order.push(waiting.remove(next.unwrap_or(0)));
    }
    order
}
