//! R12 volume: what leaves is what came in less the losses of that step; a split adds up.
//!
//! Rows:
//! - batches that begin to move = movements; lots filled by movements = lots held;
//! - for lots filled together: drawn by period p >= volume of the lots that are empty by p, and in all exactly what
//!   their lots held, less what is left at the end; of fermenters first packaged from together each draws its least in the first
//!   and in its last period, so drawn by p >= that volume + the least of those that are not empty by p; with a look-ahead, lots that stay are not drawn from (identical lots can then be given their draws, the one that ends first first);
//! - for each beer and period: drawn from sources = fed into lines = into formats + the line's loss per run.

use std::collections::BTreeMap;

use cellarwright_model::case::Beer;
use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::{direct, filter, pressure, serve_only};
use crate::compile::columns::{Emptied, Filled, Leaving, Lot, Source};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// Columns of what leaves a source, by period.
type Outs = Vec<(PeriodId, ColumnId)>;

/// The beer of a source.
pub fn beer_of(context: &Context, source: Source) -> BeerId {
    match source {
        Source::Bright(lot) => lot.beer,
        Source::Direct(lot) => context.kind(lot.kind).beer,
    }
}

/// The volume of each vessel of a source.
pub fn volume_of(context: &Context, source: Source) -> Volume {
    match source {
        Source::Bright(lot) => lot.volume,
        Source::Direct(lot) => direct::volume(context, lot),
    }
}

/// Lines that a source can feed, as bits of their ids.
pub fn lines_of(context: &Context, source: Source) -> u64 {
    let group = source.group();
    let beer = context.case.beer(beer_of(context, source));
    let vessel = &context.groups.get(group).like;
    let mut lines = 0;
    if vessel.is_serve_only() {
        return lines;
    }
    for packaged in &beer.packaged {
        let line = context.case.format(packaged.format).line;
        if filter::may_feed(context, group, line)
            && pressure::may_feed(context, beer, vessel, context.case.line(line))
        {
            lines |= 1 << line.0;
        }
    }
    lines
}

/// What is in a fermenter of so much wort, after the tank loss.
pub fn after_tank(context: &Context, beer: &Beer, wort: Volume) -> Volume {
    if context.keeps(RuleId::Volume) { beer.loss_tank.taken_off(wort) } else { wort }
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    movements_match_batches(context);
    lots_match_movements(context);
    draws_match_lots(context);
    lines_match_draws(context);
    serve_only::add(context);
}

fn movements_match_batches(context: &mut Context) {
    let mut balance: BTreeMap<(KindId, Option<GroupId>, PeriodId, Option<PeriodId>), Terms> = BTreeMap::new();
    for ferment in &context.columns.ferments {
        if let Leaving::Bright { first, last } = ferment.leaving {
            let from = context.named(ferment.group);
            balance.entry((ferment.kind, from, first, last)).or_default().push((ferment.column, 1.0));
        }
    }
    for movement in &context.columns.movements {
        let key = (movement.kind, movement.from, movement.first, movement.last);
        balance.entry(key).or_default().push((movement.column, -1.0));
    }
    for blend in &context.columns.blends {
        for (kind, from) in blend.parts {
            let key = (kind, from, blend.period, Some(blend.period));
            balance.entry(key).or_default().push((blend.column, -1.0));
        }
    }
    for terms in balance.into_values() {
        context.program.equal(RuleId::Volume, terms, 0.0);
    }
}

fn lots_match_movements(context: &mut Context) {
    let mut balance: BTreeMap<Lot, Terms> = BTreeMap::new();
    for movement in &context.columns.movements {
        let beer = context.kind(movement.kind).beer;
        for stage in &movement.stages {
            if let Some(period) = stage.period {
                let filled = Filled::In(period);
                let lot = Lot { beer, group: stage.group, volume: stage.arrives, filled, transfers: 1 };
                balance.entry(lot).or_default().push((movement.column, 1.0));
            }
        }
    }
    for ferment in &context.columns.ferments {
        if let Some(lot) = direct::part_lot(context, ferment.kind, ferment.leaving) {
            balance.entry(lot).or_default().push((ferment.column, 1.0));
        }
    }
    for blend in &context.columns.blends {
        balance.entry(blend.lot).or_default().push((blend.column, 1.0));
    }
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && !is_filled_in_parts(context, hold.source)
        {
            balance.entry(lot).or_default().push((hold.column, -1.0));
        }
    }
    for (lot, terms) in balance {
        match lot.filled {
            Filled::In(_) => context.program.equal(RuleId::Volume, terms, 0.0),
            Filled::Opening(_) => context.program.equal(RuleId::Start, terms, -1.0),
        }
    }
}

fn draws_match_lots(context: &mut Context) {
    let mut holds: BTreeMap<Source, Vec<usize>> = BTreeMap::new();
    for (position, hold) in context.columns.holds.iter().enumerate() {
        holds.entry(hold.source).or_default().push(position);
    }
    for (source, positions) in holds {
        if is_filled_in_parts(context, source) {
            continue;
        }
        let volume = volume_of(context, source).hectolitres();
        let draws = draws_of(context, source);
        let outs = all_outs(context, source, &draws);
        let mut whole: Terms = outs.iter().map(|&(_, column)| (column, 1.0)).collect();
        let wasted = wasted_of(context, source);
        for &position in &positions {
            let hold = &context.columns.holds[position];
            match hold.emptied {
                Emptied::At(_) => whole.push((hold.column, -volume)),
                Emptied::Stays if context.columns.left.contains_key(&source) => {
                    whole.push((hold.column, -volume));
                }
                Emptied::Dump(_) if wasted.is_some() => whole.push((hold.column, -volume)),
                Emptied::Stays | Emptied::Dump(_) => {}
            }
        }
        whole.extend(wasted.map(|column| (column, 1.0)));
        if let Some(&left) = context.columns.left.get(&source) {
            whole.push((left, 1.0));
        }
        context.program.equal(RuleId::Volume, whole, 0.0);
        let mut periods: Vec<PeriodId> = outs.iter().map(|&(period, _)| period).collect();
        periods.dedup();
        // Of several fermenters those that are not empty by then have begun: what empties the one must leave them their first draw.
        let begun = if may_be_several(context, source) { LEAST_DRAW * volume } else { 0.0 };
        if begun == 0.0 {
            periods.pop();
        }
        for period in periods {
            let mut by_then: Terms =
                outs.iter().filter(|&&(at, _)| at <= period).map(|&(_, column)| (column, 1.0)).collect();
            let before = by_then.len();
            for &position in &positions {
                let hold = &context.columns.holds[position];
                if matches!(hold.emptied, Emptied::At(at) if at <= period) {
                    by_then.push((hold.column, -volume));
                } else if begun > 0.0 {
                    by_then.push((hold.column, -begun));
                }
            }
            if by_then.len() > before {
                context.program.at_least(RuleId::Volume, by_then, 0.0);
            }
        }
        left_only_in_what_stays(context, source, &positions, volume);
        if let Some(wasted) = wasted {
            wasted_only_when_dumped(context, wasted, &positions, (&outs, &draws), volume);
        }
        first_and_last_packaging_draw(context, source, &positions, &outs, volume);
    }
}

/// Whether a lot is one that `serve_only` writes the rows of: how much is in it is a column.
fn is_filled_in_parts(context: &Context, source: Source) -> bool {
    matches!(source, Source::Bright(Lot { group, filled: Filled::In(_), .. })
        if context.groups.get(group).like.is_serve_only())
}

/// What is drawn from a source for lines, in order of periods.
fn draws_of(context: &Context, source: Source) -> Outs {
    let draws = context.columns.draws.range((source, 0)..=(source, PeriodId::MAX));
    draws.map(|(&(_, period), &column)| (period, column)).collect()
}

/// The same with what goes into tanks that are only poured from, and what is poured from it, in order of periods.
fn all_outs(context: &Context, source: Source, draws: &Outs) -> Outs {
    let mut outs = draws.clone();
    let fills = context.columns.serve_fills.iter().filter(|fill| fill.from == source);
    outs.extend(fills.map(|fill| (fill.period, fill.leaves)));
    if let Source::Bright(lot) = source {
        let pours = context.columns.pours.range((lot, 0)..=(lot, PeriodId::MAX));
        outs.extend(pours.map(|(&(_, period), &column)| (period, column)));
    }
    outs.sort_by_key(|&(period, _)| period);
    outs
}

fn wasted_of(context: &Context, source: Source) -> Option<ColumnId> {
    match source {
        Source::Bright(lot) => context.columns.wasted.get(&lot).copied(),
        Source::Direct(_) => None,
    }
}

/// A serving tank of day 0 is poured away once, with something in it, and nothing leaves it after that: what is packaged in the
/// slot is packaged before, what is poured on the day would be poured after.
fn wasted_only_when_dumped(
    context: &mut Context,
    wasted: ColumnId,
    positions: &[usize],
    (outs, draws): (&Outs, &Outs),
    volume: f64,
) {
    let mut most = vec![(wasted, 1.0)];
    let mut least = vec![(wasted, 1.0)];
    let mut dumped: Terms = Vec::new();
    for period in 0..context.grid.len() {
        let before = dumped.clone();
        for &position in positions {
            let hold = &context.columns.holds[position];
            if hold.emptied == Emptied::Dump(period) {
                most.push((hold.column, -volume));
                least.push((hold.column, -LEAST_LEFT));
                dumped.push((hold.column, volume));
            }
        }
        let here = |outs: &Outs| -> Terms {
            outs.iter().filter(|&&(at, _)| at == period).map(|&(_, column)| (column, 1.0)).collect()
        };
        let packaged = here(draws);
        let mut poured = here(outs);
        poured.retain(|term| !packaged.contains(term));
        for (gone, leaves) in [(before, packaged), (dumped.clone(), poured)] {
            if !leaves.is_empty() && !gone.is_empty() {
                let mut row = gone;
                row.extend(leaves);
                context.program.at_most(RuleId::Volume, row, volume);
            }
        }
    }
    context.program.at_most(RuleId::Volume, most, 0.0);
    context.program.at_least(RuleId::Volume, least, 0.0);
}

fn left_only_in_what_stays(context: &mut Context, source: Source, positions: &[usize], volume: f64) {
    if let Some(&left) = context.columns.left.get(&source) {
        let mut most = vec![(left, 1.0)];
        let mut least = vec![(left, 1.0)];
        for &position in positions {
            let hold = &context.columns.holds[position];
            if hold.emptied == Emptied::Stays {
                most.push((hold.column, -volume));
                least.push((hold.column, -LEAST_LEFT));
            }
        }
        context.program.at_most(RuleId::Volume, most, 0.0);
        context.program.at_least(RuleId::Volume, least, 0.0);
    }
}

/// Least volume in each vessel that is not empty at the end, hL: with less it would be empty, and dirty.
pub const LEAST_LEFT: f64 = 0.01;
/// Least share of a fermenter's beer that its first and its last packaging draw: a litre would not make it begun.
pub const LEAST_DRAW: f64 = 0.1;

/// Whether several fermenters may be first packaged from in the same slot of the planned days.
pub fn may_be_several(context: &Context, source: Source) -> bool {
    let Source::Direct(lot) = source else { return false };
    context.grid.is_fine(lot.first) && context.groups.get(lot.group).size() > 1
}

fn first_and_last_packaging_draw(
    context: &mut Context,
    source: Source,
    positions: &[usize],
    outs: &Outs,
    volume: f64,
) {
    let Source::Direct(lot) = source else { return };
    if !context.grid.is_fine(lot.first) {
        return;
    }
    for (number, here) in outs.chunk_by(|one, other| one.0 == other.0).enumerate() {
        let period = here[0].0;
        let mut terms: Terms = here.iter().map(|&(_, column)| (column, 1.0)).collect();
        let before = terms.len();
        for &position in positions {
            let hold = &context.columns.holds[position];
            if number == 0 || hold.emptied == Emptied::At(period) {
                terms.push((hold.column, -LEAST_DRAW * volume));
            }
        }
        if terms.len() > before {
            context.program.at_least(RuleId::Volume, terms, 0.0);
        }
    }
}

fn lines_match_draws(context: &mut Context) {
    let mut drawn: BTreeMap<(BeerId, u64, PeriodId), Terms> = BTreeMap::new();
    for (&(source, period), &column) in &context.columns.draws {
        let key = (beer_of(context, source), lines_of(context, source), period);
        drawn.entry(key).or_default().push((column, 1.0));
    }
    let mut fed: BTreeMap<(BeerId, LineId, PeriodId), Terms> = BTreeMap::new();
    for (&(beer, lines, line, period), &column) in &context.columns.feeds {
        drawn.entry((beer, lines, period)).or_default().push((column, -1.0));
        fed.entry((beer, line, period)).or_default().push((column, 1.0));
    }
    for terms in drawn.into_values() {
        context.program.equal(RuleId::Volume, terms, 0.0);
    }
    for (&(beer, format, period), &column) in &context.columns.packs {
        let line = context.case.format(format).line;
        fed.entry((beer, line, period)).or_default().push((column, -1.0));
    }
    for ((beer, line, period), mut terms) in fed {
        if let Some(&run) = context.columns.runs.get(&(beer, line, period)) {
            terms.push((run, -context.case.line(line).loss.hectolitres()));
        }
        context.program.equal(RuleId::Volume, terms, 0.0);
    }
}
