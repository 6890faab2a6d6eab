//! What changes against an earlier plan costs, and how many changes there may be.
//!
//! Work of one kind is compared as in a transport problem: each piece of the earlier plan is matched with one of the new plan or dropped,
//! each piece of the new plan is matched or new. Rows: of an old piece `sum of its matches + dropped = 1`, of a column of work
//! `sum of its matches + new = its count`. The matches need not be whole: whatever the work, a cheapest matching is.
//! Packaging: of a run of volume `v`, matched with one of volume `p`, `p >= v / 2`; in the same slot `|p - v| <= a twentieth`, or its amount is changed.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{ChangeKind, Earlier, WORK_WEIGHT, least_of_the_same_run, same_amount_within};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::{Kind, Piece, is_done, pieces_of, runs_of};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::objective::scale;
use crate::compile::program::{ColumnId, Terms};
use crate::compile::rules::line;

/// Pieces of the earlier plan of one kind, and those that columns stand for.
type Compared = (Vec<Piece>, Vec<(Piece, Terms)>);

/// Runs of the earlier plan of a beer and format (slot and volume), and those that the program may make.
type ComparedRuns = (Vec<(PeriodId, Volume)>, Vec<MayRun>);

/// What rounding may do to a run, hL.
const ROUNDING: f64 = 0.01;

/// Changes so far, each column as often as it counts.
struct Counted<'e> {
    earlier: &'e Earlier,
    terms: Terms,
}

impl Counted<'_> {
    /// A column counts as a change so often.
    fn add(
        &mut self,
        context: &mut Context,
        (column, times): (ColumnId, f64),
        change: ChangeKind,
        weight: i64,
        slot: PeriodId,
    ) {
        let cost = self.earlier.cost(change, weight, context.case.calendar.day(Slot(slot)));
        context.program.earn(column, -(cost as f64) * times / scale(&context.case.aim));
        self.terms.push((column, times));
    }
}

/// Adds all of it.
pub fn add(context: &mut Context, earlier: &Earlier, columns: &BTreeMap<Piece, Terms>) {
    let mut counted = Counted { earlier, terms: Terms::new() };
    let mut kinds: BTreeMap<Kind, Compared> = BTreeMap::new();
    for piece in pieces_of(context.case, &earlier.plan) {
        if !is_done(context, earlier, piece.slot) {
            kinds.entry(piece.kind).or_default().0.push(piece);
        }
    }
    for (&piece, terms) in columns.iter().filter(|(piece, _)| !is_done(context, earlier, piece.slot)) {
        kinds.entry(piece.kind).or_default().1.push((piece, terms.clone()));
    }
    for (kind, (old, new)) in kinds {
        match_pieces(context, &mut counted, kind, &old, new);
    }
    packaging(context, &mut counted);
    if let Some(most) = earlier.at_most {
        context.program.at_most(RuleId::Pinned, counted.terms, most as f64);
    }
}

fn match_pieces(
    context: &mut Context,
    counted: &mut Counted,
    kind: Kind,
    old: &[Piece],
    new: Vec<(Piece, Terms)>,
) {
    let weight = kind.weight();
    let mut of_old: Vec<Terms> = vec![Terms::new(); old.len()];
    for (piece, mut terms) in new {
        if old.is_empty() {
            for term in terms {
                counted.add(context, term, ChangeKind::New, weight, piece.slot);
            }
            continue;
        }
        terms.iter_mut().for_each(|term| term.1 = -term.1);
        let is_new = context.program.column(0.0, f64::INFINITY, false);
        counted.add(context, (is_new, 1.0), ChangeKind::New, weight, piece.slot);
        terms.push((is_new, 1.0));
        for (place, one) in old.iter().enumerate() {
            let matched = context.program.column(0.0, 1.0, false);
            if let Some(change) = ChangeKind::between(context.case, one.placed(), piece.placed()) {
                counted.add(context, (matched, 1.0), change, weight, one.slot.min(piece.slot));
            }
            of_old[place].push((matched, 1.0));
            terms.push((matched, 1.0));
        }
        context.program.equal(RuleId::Pinned, terms, 0.0);
    }
    for (one, mut terms) in old.iter().zip(of_old) {
        let dropped = context.program.column(0.0, 1.0, false);
        counted.add(context, (dropped, 1.0), ChangeKind::Dropped, weight, one.slot);
        terms.push((dropped, 1.0));
        context.program.equal(RuleId::Pinned, terms, 1.0);
    }
}

/// A run that the program may make: its slot, its volume in hL, whether it runs.
struct MayRun {
    slot: PeriodId,
    volume: ColumnId,
    runs: ColumnId,
    most: f64,
}

fn packaging(context: &mut Context, counted: &mut Counted) {
    let earlier = counted.earlier;
    let mut kinds: BTreeMap<(BeerId, FormatId), ComparedRuns> = BTreeMap::new();
    for ((beer, format, slot), volume) in runs_of(context.case, &earlier.plan) {
        if !is_done(context, earlier, slot) {
            kinds.entry((beer, format)).or_default().0.push((slot, volume));
        }
    }
    for (&(beer, format, slot), &volume) in &context.columns.packs.clone() {
        if !context.grid.is_fine(slot) || is_done(context, earlier, slot) {
            continue;
        }
        let most = line::most_in_a_shift(context, context.case.format(format).line, slot);
        let runs = match context.columns.format_runs.get(&(beer, format, slot)) {
            Some(&runs) => runs,
            None => {
                let runs = context.program.column(0.0, 1.0, true);
                context.program.at_most(RuleId::Pinned, vec![(volume, 1.0), (runs, -most)], 0.0);
                runs
            }
        };
        kinds.entry((beer, format)).or_default().1.push(MayRun { slot, volume, runs, most });
    }
    for (old, new) in kinds.into_values() {
        match_runs(context, counted, &old, &new);
    }
}

fn match_runs(context: &mut Context, counted: &mut Counted, old: &[(PeriodId, Volume)], new: &[MayRun]) {
    let calendar = &context.case.calendar;
    let day = |slot: PeriodId| calendar.day(Slot(slot));
    let mut of_old: Vec<Terms> = vec![Terms::new(); old.len()];
    for run in new {
        let is_new = context.program.column(0.0, 1.0, false);
        counted.add(context, (is_new, 1.0), ChangeKind::New, WORK_WEIGHT, run.slot);
        let mut terms = vec![(run.runs, -1.0), (is_new, 1.0)];
        let mut enough = vec![(run.volume, 1.0)];
        for (place, &(slot, volume)) in old.iter().enumerate() {
            let matched = context.program.column(0.0, 1.0, true);
            if slot == run.slot {
                same_slot(context, counted, run, matched, volume);
            } else {
                let is_same_day = day(slot) == day(run.slot);
                let change = if is_same_day { ChangeKind::Shift } else { ChangeKind::Day };
                counted.add(context, (matched, 1.0), change, WORK_WEIGHT, slot.min(run.slot));
            }
            of_old[place].push((matched, 1.0));
            terms.push((matched, 1.0));
            enough.push((matched, -least_of_the_same_run(volume).hectolitres()));
        }
        context.program.equal(RuleId::Pinned, terms, 0.0);
        context.program.at_least(RuleId::Pinned, enough, 0.0);
    }
    for (&(slot, _), mut terms) in old.iter().zip(of_old) {
        let dropped = context.program.column(0.0, 1.0, false);
        counted.add(context, (dropped, 1.0), ChangeKind::Dropped, WORK_WEIGHT, slot);
        terms.push((dropped, 1.0));
        context.program.equal(RuleId::Pinned, terms, 1.0);
    }
}

/// A run in its old slot: the amount is the same, or that is a change.
fn same_slot(context: &mut Context, counted: &mut Counted, run: &MayRun, matched: ColumnId, volume: Volume) {
    let other = context.program.column(0.0, 1.0, true);
    counted.add(context, (other, 1.0), ChangeKind::Amount, WORK_WEIGHT, run.slot);
    let within = (same_amount_within(volume).hectolitres() - ROUNDING).max(0.0);
    let volume = volume.hectolitres();
    let slack = run.most.max(volume);
    // run - volume <= within + slack (1 - matched + other), and the other way round.
    let more = vec![(run.volume, 1.0), (matched, slack), (other, -slack)];
    context.program.at_most(RuleId::Pinned, more, volume + within + slack);
    let less = vec![(run.volume, -1.0), (matched, volume), (other, -volume)];
    context.program.at_most(RuleId::Pinned, less, within);
}
