//! What the look-ahead counts on, in totals by period and millionths.

use std::collections::BTreeMap;

use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{
    Count, Leaving as Left, Moved, Outlook, OutlookBatch, OutlookLot, OutlookPackaging, OutlookPour,
    OutlookUse, Period, Source as From, Used,
};
use cellarwright_model::units::Volume;

use super::Values;
use super::batches::Cellar;
use super::ways::{Path, Shares, Ways, paths};
use crate::compile::columns::{Emptied, Filled, Leaving, Lot, Source};
use crate::compile::context::{Context, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::{tank_work, turns};

/// Reads the outlook; empty without look-ahead.
pub fn read(context: &Context, values: Values, cellar: &Cellar) -> Outlook {
    if context.case.calendar.look_ahead_days == 0 {
        return Outlook::default();
    }
    let mut outlook = Outlook { periods: periods(context), ..Outlook::default() };
    from_the_planned_days(context, cellar, &mut outlook);
    new_batches(context, values, &mut cellar.ways.clone(), &mut outlook);
    new_lots(context, values, &mut outlook);
    packaging(context, values, &mut outlook);
    pours(context, values, &mut outlook);
    uses(context, values, &mut outlook);
    outlook.batches.sort_unstable();
    outlook.lots.sort_unstable();
    outlook.uses.sort_unstable();
    outlook
}

/// The outlook of a plan that does nothing: what is in tank stays.
pub fn idle(context: &Context) -> Outlook {
    let mut outlook = Outlook { periods: periods(context), ..Outlook::default() };
    for tank in &context.case.in_tank {
        let source = From::InTank(tank.vessel);
        let (beer, count) = (tank.beer, Count::ONE);
        if tank.is_bright {
            outlook.lots.push(OutlookLot { source, beer, volume: tank.filled, count, emptied: None });
        } else {
            outlook.batches.push(OutlookBatch {
                source,
                beer,
                turns: 0,
                part: None,
                count,
                moved: None,
                leaving: Left::Stays,
            });
        }
    }
    outlook
}

/// The periods of the look-ahead.
pub fn periods(context: &Context) -> Vec<Period> {
    (context.grid.fine()..context.grid.len())
        .map(|id| {
            let period = context.grid.period(id);
            Period { first_day: period.first_day as usize, last_day: period.last_day as usize }
        })
        .collect()
}

fn coarse(context: &Context, period: PeriodId) -> Option<usize> {
    period.checked_sub(context.grid.fine())
}

fn count(value: f64) -> Count {
    Count((value * 1e6).round() as i64)
}

fn like(context: &Context, group: GroupId) -> VesselId {
    context.groups.get(group).vessels[0]
}

fn left(context: &Context, leaving: Leaving) -> Left {
    let at = |period| coarse(context, period).unwrap_or_default();
    match leaving {
        Leaving::Bright { first, .. } => Left::Bright(at(first)),
        Leaving::Direct { first, .. } => Left::Direct(at(first)),
        Leaving::Dump(period) => Left::Dump(at(period)),
        Leaving::Moved { .. } | Leaving::Stays => Left::Stays,
    }
}

/// Millionths of shares that add up to exactly one; what rounding leaves goes to the largest.
fn whole<T: Copy>(shares: &Shares<T>) -> Vec<(T, Count)> {
    let mut counts: Vec<(T, Count)> = shares.iter().map(|&(what, share)| (what, count(share))).collect();
    let sum: i64 = counts.iter().map(|one| one.1.0).sum();
    if let Some(largest) = counts.iter_mut().max_by_key(|one| one.1) {
        largest.1.0 += Count::ONE.0 - sum;
    }
    counts
}

fn from_the_planned_days(context: &Context, cellar: &Cellar, outlook: &mut Outlook) {
    for batch in cellar.batches.iter().filter(|batch| batch.leaving.is_none()) {
        let Some(vessel) = batch.vessel else { continue };
        let beer = context.kind(batch.kind).beer;
        for (path, count) in whole(&batch.later) {
            let leaving = left(context, path.leaving);
            let moved = moved(context, path);
            let source = From::InTank(vessel);
            let (turns, part) = (0, None);
            outlook.batches.push(OutlookBatch { source, beer, turns, part, count, moved, leaving });
        }
    }
    for run in cellar.lots.iter().filter(|run| run.emptied.is_none()) {
        let Some(vessel) = run.vessel else { continue };
        for (emptied, count) in whole(&run.later) {
            let emptied = match emptied {
                Emptied::At(period) | Emptied::Dump(period) => coarse(context, period),
                Emptied::Stays => None,
            };
            let source = From::InTank(vessel);
            let volume = Volume(run.left);
            outlook.lots.push(OutlookLot { source, beer: run.lot.beer, volume, count, emptied });
        }
    }
}

fn moved(context: &Context, path: Path) -> Option<Moved> {
    let (at, to) = path.moved?;
    Some(Moved { like: like(context, to), period: coarse(context, at)? })
}

fn new_batches(context: &Context, values: Values, ways: &mut Ways, outlook: &mut Outlook) {
    for ferment in &context.columns.ferments {
        let Some(period) = ferment.filled.and_then(|period| coarse(context, period)) else { continue };
        let kind = context.kind(ferment.kind);
        let Origin::New { turns, part } = kind.origin else { continue };
        let has_work = !tank_work::pieces(context, ferment.kind).is_empty();
        let key = (ferment.kind, ferment.filled, has_work.then(|| ferment.course.clone()));
        let source = From::New { like: like(context, ferment.group), period };
        for (path, share) in paths(context, ways, key, ferment.leaving, values.of(ferment.column)) {
            let count = count(share);
            if count > Count(0) {
                let (moved, leaving) = (moved(context, path), left(context, path.leaving));
                let beer = kind.beer;
                outlook.batches.push(OutlookBatch { source, beer, turns, part, count, moved, leaving });
            }
        }
    }
}

fn new_lots(context: &Context, values: Values, outlook: &mut Outlook) {
    for hold in &context.columns.holds {
        let Source::Bright(lot) = hold.source else { continue };
        let Filled::In(filled) = lot.filled else { continue };
        let Some(period) = coarse(context, filled) else { continue };
        let count = count(values.of(hold.column));
        if count > Count(0) {
            outlook.lots.push(OutlookLot {
                source: From::New { like: like(context, lot.group), period },
                beer: lot.beer,
                volume: volume_of_each(context, values, lot),
                count,
                emptied: match hold.emptied {
                    Emptied::At(at) | Emptied::Dump(at) => coarse(context, at),
                    Emptied::Stays => None,
                },
            });
        }
    }
}

/// What is in each of some lots of the look-ahead: in tanks that are only poured from, what arrives over how often.
fn volume_of_each(context: &Context, values: Values, lot: Lot) -> Volume {
    if !context.groups.get(lot.group).like.is_serve_only() {
        return lot.volume;
    }
    let transfer = context.case.transfer;
    let kept = 1.0 - transfer.loss_share.0 as f64 / 1e6;
    let (mut leaves, mut filled) = (0.0, 0.0);
    for fill in context.columns.serve_fills.iter().filter(|fill| fill.to == lot) {
        leaves += values.of(fill.leaves);
        filled += values.of(fill.filled);
    }
    let each = kept * leaves / filled - transfer.loss_fixed.hectolitres();
    Volume((each * 100_000.0).round() as i64)
}

fn packaging(context: &Context, values: Values, outlook: &mut Outlook) {
    for (&(beer, line, id), &run) in &context.columns.runs {
        let Some(period) = coarse(context, id) else { continue };
        let loss = context.case.line(line).loss;
        let mut lost = (values.of(run) * loss.hectolitres() * 100_000.0).round() as i64;
        for packaged in &context.case.beer(beer).packaged {
            let format = context.case.format(packaged.format);
            let Some(&column) = context.columns.packs.get(&(beer, packaged.format, id)) else { continue };
            let into = values.millilitres(column);
            if format.line == line && into > 0 {
                outlook.packaging.push(OutlookPackaging {
                    period,
                    beer,
                    format: packaged.format,
                    drawn: Volume(into + lost),
                    packaged: format.yields(Volume(into)),
                });
                lost = 0;
            }
        }
        // Beer of a run that is lost as a whole.
        let first = context.case.beer(beer).packaged.iter().map(|packaged| packaged.format);
        let first = first.into_iter().find(|&format| context.case.format(format).line == line);
        if let Some(format) = first.filter(|_| lost > 0) {
            let drawn = Volume(lost);
            outlook.packaging.push(OutlookPackaging { period, beer, format, drawn, packaged: Volume::ZERO });
        }
    }
    outlook.packaging.sort_unstable();
}

fn pours(context: &Context, values: Values, outlook: &mut Outlook) {
    let mut poured: BTreeMap<(usize, BeerId), i64> = BTreeMap::new();
    for (&(lot, id), &column) in &context.columns.pours {
        if let Some(period) = coarse(context, id) {
            *poured.entry((period, lot.beer)).or_default() += values.millilitres(column);
        }
    }
    for ((period, beer), volume) in poured.into_iter().filter(|&(_, volume)| volume > 0) {
        outlook.pours.push(OutlookPour { period, beer, volume: Volume(volume) });
    }
}

fn uses(context: &Context, values: Values, outlook: &mut Outlook) {
    let mut note = |id: PeriodId, what: Used, value: f64| {
        if let (Some(period), true) = (coarse(context, id), value > 5e-7) {
            outlook.uses.push(OutlookUse { period, what, count: count(value) });
        }
    };
    let a_day = turns::most_a_day(context).max(1) as f64;
    for (id, terms) in turns::turns(context) {
        let turns: f64 = terms.iter().map(|&(column, count)| values.of(column) * count).sum();
        let first = context.columns.first_turns.get(&id).map(|&column| values.of(column));
        note(id, Used::BrewDay, first.unwrap_or(turns / a_day));
    }
    for (&(line, id), &column) in &context.columns.line_on {
        note(id, Used::LineShift(line), values.of(column));
    }
    for (&(beer, line, id), &column) in &context.columns.runs {
        note(id, Used::Run(line, beer), values.of(column));
    }
    for (&(group, id), &column) in &context.columns.clean {
        note(id, Used::Clean(like(context, group)), values.of(column));
    }
    let mut blends: BTreeMap<(PeriodId, BeerId), f64> = BTreeMap::new();
    for blend in &context.columns.blends {
        *blends.entry((blend.period, blend.lot.beer)).or_default() += values.of(blend.column);
    }
    for ((id, beer), value) in blends {
        note(id, Used::SecondTransfer(beer), value);
    }
    for (&(yeast, id), &column) in &context.columns.bought_ahead {
        note(id, Used::BoughtYeast(yeast), values.of(column));
    }
    for (&(crew, id), &column) in &context.columns.overtime {
        note(id, Used::OvertimeMinutes(crew), values.of(column) * 60.0);
    }
}
