//! What is done stays as it was done: rows and bounds for the slots before the day from which the plan is made again.
//!
//! Rows: for each piece of work that is done, its columns = how often it was done; columns of other work in those slots are closed.
//! Volumes that are columns of their own (drawn, packaged, poured, delivered, overtime) stay within 5 mL or a few seconds.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Earlier;
use cellarwright_model::ids::{VesselId, YeastId};
use cellarwright_model::plan::{PitchFrom, Work};
use cellarwright_model::rule::RuleId;

use super::{Piece, is_done, pieces_of, runs_of};
use crate::compile::columns::YeastSource;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms};

/// What rounding to millilitres may do to a volume that is done, hL.
const ROUNDING: f64 = 0.000_05;

/// Adds all of it.
pub fn add(context: &mut Context, earlier: &Earlier, columns: &BTreeMap<Piece, Terms>) {
    whole_numbers(context, earlier, columns);
    packaging(context, earlier);
    out_of_vessels(context, earlier);
    people_and_kegs(context, earlier);
    yeast(context, earlier);
    deliveries(context, earlier);
}

/// Work that is counted.
fn whole_numbers(context: &mut Context, earlier: &Earlier, columns: &BTreeMap<Piece, Terms>) {
    let done = pieces_of(context.case, &earlier.plan);
    let mut wanted: BTreeMap<Piece, (usize, Terms)> = BTreeMap::new();
    for piece in done.into_iter().filter(|piece| is_done(context, earlier, piece.slot)) {
        wanted.entry(piece).or_default().0 += 1;
    }
    for (piece, terms) in columns {
        if !is_done(context, earlier, piece.slot) {
            continue;
        }
        let meant = wanted.iter_mut().find(|(one, _)| one.is_meant_by(piece));
        match meant {
            Some((_, (_, sum))) => sum.extend(terms.iter().copied()),
            None => terms.iter().for_each(|&(column, _)| close(context, column)),
        }
    }
    for (_, (count, mut terms)) in wanted {
        if terms.is_empty() {
            // Work that no column stands for: the program has no point, which `conflict` explains.
            terms.push((context.program.column(0.0, 0.0, false), 1.0));
        }
        context.program.equal(RuleId::Pinned, terms, count as f64);
    }
    let full: Vec<(VesselId, PeriodId)> = earlier
        .plan
        .tasks
        .iter()
        .filter_map(|task| match task.work {
            Work::Clean { vessel, full: true } | Work::Transfer { to: vessel, full: true, .. } => {
                Some((vessel, task.slot.0))
            }
            _ => None,
        })
        .collect();
    for (&(group, period), &column) in &context.columns.full_cleans.clone() {
        if is_done(context, earlier, period) {
            let is_full = full.contains(&(context.groups.get(group).vessels[0], period));
            between(context, column, f64::from(u8::from(is_full)), 0.0);
        }
    }
}

/// Nothing of a column.
fn close(context: &mut Context, column: ColumnId) {
    context.program.columns[column.0].upper = 0.0;
}

/// A column near a value.
fn between(context: &mut Context, column: ColumnId, value: f64, within: f64) {
    let column = &mut context.program.columns[column.0];
    (column.lower, column.upper) = ((value - within).max(0.0), value + within);
}

/// Beer by format and slot.
fn packaging(context: &mut Context, earlier: &Earlier) {
    let runs = runs_of(context.case, &earlier.plan);
    for (&key, &column) in &context.columns.packs.clone() {
        if is_done(context, earlier, key.2) {
            match runs.get(&key) {
                Some(volume) => between(context, column, volume.hectolitres(), ROUNDING),
                None => close(context, column),
            }
        }
    }
    let is_missing = |key: &_| !context.columns.packs.contains_key(key);
    if runs.keys().any(|key| is_done(context, earlier, key.2) && is_missing(key)) {
        let never = context.program.column(0.0, 0.0, false);
        context.program.equal(RuleId::Pinned, vec![(never, 1.0)], 1.0);
    }
}

/// What left each vessel for lines, for guests and for tanks that are only poured from.
fn out_of_vessels(context: &mut Context, earlier: &Earlier) {
    let case = context.case;
    let mut drawn: BTreeMap<(VesselId, PeriodId), (f64, Terms)> = BTreeMap::new();
    let mut filled: BTreeMap<(VesselId, VesselId, PeriodId), (f64, Terms)> = BTreeMap::new();
    let mut poured: BTreeMap<(VesselId, usize), (f64, Terms)> = BTreeMap::new();
    for task in earlier.plan.tasks.iter().filter(|task| is_done(context, earlier, task.slot.0)) {
        match task.work {
            Work::Package { vessel, volume, .. } => {
                drawn.entry((vessel, task.slot.0)).or_default().0 += volume.hectolitres();
            }
            Work::Transfer { from, to, volume, .. } if case.vessel(to).is_serve_only() => {
                filled.entry((from, to, task.slot.0)).or_default().0 += volume.hectolitres();
            }
            _ => {}
        }
    }
    for pour in earlier.plan.pours.iter().filter(|pour| pour.day < earlier.from_day) {
        poured.entry((pour.vessel, pour.day)).or_default().0 += pour.volume.hectolitres();
    }
    let vessel = |group| context.groups.get(group).vessels[0];
    for (&(source, period), &column) in &context.columns.draws {
        if is_done(context, earlier, period) {
            drawn.entry((vessel(source.group()), period)).or_default().1.push((column, 1.0));
        }
    }
    for fill in &context.columns.serve_fills {
        if is_done(context, earlier, fill.period) {
            let key = (vessel(fill.from.group()), vessel(fill.to.group), fill.period);
            filled.entry(key).or_default().1.push((fill.leaves, 1.0));
        }
    }
    for (&(lot, period), &column) in &context.columns.pours {
        if is_done(context, earlier, period) {
            let day = case.calendar.day(Slot(period));
            poured.entry((vessel(lot.group), day)).or_default().1.push((column, 1.0));
        }
    }
    let all = drawn.into_values().chain(filled.into_values()).chain(poured.into_values());
    for (volume, terms) in all {
        keep(context, terms, volume, ROUNDING);
    }
}

/// A sum of columns near a value; without columns it cannot be kept, and the program must know.
fn keep(context: &mut Context, mut terms: Terms, value: f64, within: f64) {
    if terms.is_empty() && value > within {
        terms.push((context.program.column(0.0, 0.0, false), 1.0));
    }
    context.program.row(RuleId::Pinned, (value - within).max(0.0), terms, value + within);
}

/// Overtime and washed kegs.
fn people_and_kegs(context: &mut Context, earlier: &Earlier) {
    for (&(crew, period), &column) in &context.columns.overtime.clone() {
        if is_done(context, earlier, period) {
            let all = earlier.plan.overtime.iter().filter(|one| (one.crew, one.slot.0) == (crew, period));
            let hours: f64 = all.map(|one| one.time.hours()).sum();
            between(context, column, hours, 0.0);
        }
    }
    for (&(pool, period), &column) in &context.columns.washed.clone() {
        if is_done(context, earlier, period) {
            let washed = earlier.plan.tasks.iter().filter(|task| task.slot.0 == period);
            let kegs: i64 = washed
                .filter_map(|task| match task.work {
                    Work::Wash { pool: of, kegs } if of == pool => Some(kegs),
                    _ => None,
                })
                .sum();
            between(context, column, kegs as f64, 0.0);
        }
    }
}

/// Where pitches were taken from, whichever vessel was cropped: 0 bought, 1 and the entry in store, 2 and the day of cropping.
type Taken = (u8, usize);

/// Pitches by strain, source and slot.
fn yeast(context: &mut Context, earlier: &Earlier) {
    let mut pitched: BTreeMap<(YeastId, Taken, PeriodId), (f64, Terms)> = BTreeMap::new();
    let case = context.case;
    for task in earlier.plan.tasks.iter().filter(|task| is_done(context, earlier, task.slot.0)) {
        if let Work::Pitch { yeast, from, pitches, .. } = task.work {
            let source = match from {
                PitchFrom::Bought => (0, 0),
                PitchFrom::Store(position) => (1, position),
                PitchFrom::Crop { day, .. } => (2, day),
            };
            pitched.entry((yeast, source, task.slot.0)).or_default().0 += pitches as f64;
        }
    }
    for (&(yeast, _, source, period), &column) in &context.columns.pitches {
        if is_done(context, earlier, period) {
            let source = match source {
                YeastSource::Bought => (0, 0),
                YeastSource::Store(position) => (1, position),
                YeastSource::Crop(cropped) => (2, case.calendar.day(Slot(cropped))),
            };
            pitched.entry((yeast, source, period)).or_default().1.push((column, 1.0));
        }
    }
    for (pitches, terms) in pitched.into_values() {
        keep(context, terms, pitches, 0.0);
    }
}

/// What was delivered before the day.
fn deliveries(context: &mut Context, earlier: &Earlier) {
    let first = i64::try_from(earlier.from_day).unwrap_or(i64::MAX);
    for (&(order, day), &column) in &context.columns.deliver.clone() {
        if day < first {
            let all = earlier.plan.deliveries.iter().filter(|one| (one.order, one.day) == (order, day));
            let volume: f64 = all.map(|one| one.volume.hectolitres()).sum();
            between(context, column, volume, ROUNDING);
        }
    }
}
