//! R06 and R08 where the clean of a vessel is the full one: for what there is no time then.
//!
//! What fits with a short clean and not with the full one is forbidden together with it: `full[p] + sum of that <= 1` (of three
//! things in a slot: `<= 2`). A vessel that may be cleaned in full is a group of one.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Vessel;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use super::clean::{self, Fill};
use super::full_clean::Fillings;
use super::{bright_rest, serving};
use crate::compile::columns::{Emptied, Filled, Leaving, Lot, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// Writes the rows for one vessel.
pub(super) fn add(context: &mut Context, group: GroupId, fillings: &Fillings) {
    let fully = context.groups.get(group).like.cleaned(true);
    for period in 0..context.grid.fine() {
        let Some(&full) = context.columns.full_cleans.get(&(group, period)) else { continue };
        let slot = Slot(period);
        if !fully.is_bright_only() {
            if context.keeps(RuleId::Clean) {
                cleaned_apart(context, (group, &fully), (slot, full), fillings);
            }
        } else if context.keeps(RuleId::BrightRest) {
            drawn_too_early(context, &fully, (slot, full), fillings);
            refilled_at_once(context, (group, &fully), (slot, full), fillings);
        }
    }
}

/// Full cleans in the slot of the transfer that empties the vessel, or of its fill, or of both.
fn cleaned_apart(
    context: &mut Context,
    (group, fully): (GroupId, &Vessel),
    (slot, full): (Slot, ColumnId),
    fillings: &Fillings,
) {
    let emptying = emptying(context, group, slot.0);
    let late: Terms = emptying
        .iter()
        .filter(|&&(_, takes)| !clean::may_clean_at_once(context, fully, slot, takes))
        .map(|&(column, _)| (column, 1.0))
        .collect();
    together(context, RuleId::Clean, full, late, 1.0);
    for fill in Fill::ALL {
        let of_slot = fillings.get(&slot.0).into_iter().flatten();
        let filled: Terms =
            of_slot.filter(|filling| filling.by == fill).map(|filling| (filling.column, 1.0)).collect();
        if filled.is_empty() {
            continue;
        }
        if !clean::may_fill_at_once(context, fully, fill, slot) {
            together(context, RuleId::Clean, full, filled, 1.0);
            continue;
        }
        let mut chain: Terms = emptying
            .iter()
            .filter(|&&(_, takes)| !clean::may_turn_around_at_once(context, fully, fill, slot, takes))
            .map(|&(column, _)| (column, 1.0))
            .collect();
        if !chain.is_empty() {
            chain.extend(filled);
            together(context, RuleId::Clean, full, chain, 2.0);
        }
    }
}

/// Batches that leave the vessel of a group by a transfer that empties it in a period, with the transfer's clock time.
fn emptying(context: &Context, group: GroupId, period: PeriodId) -> Vec<(ColumnId, Minutes)> {
    let mut found = Vec::new();
    for ferment in context.columns.ferments.iter().filter(|ferment| ferment.group == group) {
        match ferment.leaving {
            Leaving::Bright { last: Some(last), .. } if last == period => {
                found.push((ferment.column, clean::emptying_takes(context, ferment.kind)));
            }
            Leaving::Moved { at, .. } if at == period => {
                found.push((ferment.column, context.case.transfer.takes()));
            }
            Leaving::Bright { .. }
            | Leaving::Moved { .. }
            | Leaving::Direct { .. }
            | Leaving::Dump(_)
            | Leaving::Stays => {}
        }
    }
    found
}

/// Beer drawn or poured earlier than a tank that was cleaned in full before its fill lets it be, as parts of what is in it.
fn drawn_too_early(
    context: &mut Context,
    fully: &Vessel,
    (slot, full): (Slot, ColumnId),
    fillings: &Fillings,
) {
    let of_slot = fillings.get(&slot.0).into_iter().flatten();
    let mut lots: Vec<Lot> = of_slot.filter_map(|filling| filling.lot).collect();
    lots.sort_unstable();
    lots.dedup();
    let mut early = Terms::new();
    for lot in lots {
        let part = 1.0 / lot.volume.hectolitres();
        let source = Source::Bright(lot);
        let is_fine = |period: &PeriodId| context.grid.is_fine(*period);
        let drawn = context.columns.draws.range((source, 0)..=(source, PeriodId::MAX));
        let drawn = drawn.map(|(&(_, period), &column)| (period, column));
        let moved = context.columns.serve_fills.iter().filter(|fill| fill.from == source);
        let moved = moved.map(|fill| (fill.period, fill.leaves));
        for (period, column) in drawn.chain(moved).filter(|(period, _)| is_fine(period)) {
            if !bright_rest::may_package(context, &lot, fully, slot, Slot(period)) {
                early.push((column, part));
            }
        }
        for (&(_, period), &column) in context.columns.pours.range((lot, 0)..=(lot, PeriodId::MAX)) {
            if is_fine(&period) && !serving::may_pour_from(context, &lot, fully, period) {
                early.push((column, part));
            }
        }
    }
    together(context, RuleId::BrightRest, full, early, 1.0);
}

/// Tanks that are emptied by packaging and filled in one slot.
fn refilled_at_once(
    context: &mut Context,
    (group, fully): (GroupId, &Vessel),
    (slot, full): (Slot, ColumnId),
    fillings: &Fillings,
) {
    for transfers in [1, 2] {
        let mut emptied = Terms::new();
        for hold in context.columns.holds.iter().filter(|hold| hold.emptied == Emptied::At(slot.0)) {
            if let Source::Bright(lot) = hold.source
                && lot.group == group
                && lot.filled != Filled::In(slot.0)
                && !bright_rest::may_refill_at_once(context, lot.beer, fully, transfers, slot)
            {
                emptied.push((hold.column, 1.0));
            }
        }
        if transfers == 1 || emptied.is_empty() {
            together(context, RuleId::BrightRest, full, emptied, 1.0);
            continue;
        }
        // Blends alone take two transfers.
        let of_slot = fillings.get(&slot.0).into_iter().flatten();
        let blends = of_slot.filter(|filling| filling.lot.is_some_and(|lot| lot.transfers > 1));
        let blends: Terms = blends.map(|filling| (filling.column, 1.0)).collect();
        if !blends.is_empty() {
            emptied.extend(blends);
            together(context, RuleId::BrightRest, full, emptied, 2.0);
        }
    }
}

/// A full clean and things of which only so many go together with it, itself included.
fn together(context: &mut Context, rule: RuleId, full: ColumnId, mut others: Terms, most: f64) {
    if !others.is_empty() {
        others.push((full, 1.0));
        context.program.at_most(rule, others, most);
    }
}
