//! R12 and R02 of tanks that are only poured from: what arrives in them, how full they are, and what is poured of it.
//!
//! Rows, for each fill: leaves <= what the source holds x filled; for each lot that fills make: fills = lots by how they end,
//! arrives = (1 - share) x leaves - fixed x filled, least <= arrives <= holds; poured + left = arrives, left only in what
//! stays; by the end of each period: poured so far >= arrives - holds x (filled - emptied so far).

use std::collections::BTreeMap;

use cellarwright_model::rule::RuleId;

use super::volume::{self, LEAST_LEFT};
use crate::compile::columns::{Emptied, Lot, ServeFill, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms, scaled};

/// Writes the rows.
pub fn add(context: &mut Context) {
    let mut lots: BTreeMap<Lot, Vec<ServeFill>> = BTreeMap::new();
    for fill in &context.columns.serve_fills {
        lots.entry(fill.to).or_default().push(*fill);
    }
    for (lot, fills) in lots {
        let arrives = arrivals(context, &lot, &fills);
        let filled: Terms = fills.iter().map(|fill| (fill.filled, 1.0)).collect();
        pouring(context, lot, &filled, &arrives);
    }
}

fn arrivals(context: &mut Context, lot: &Lot, fills: &[ServeFill]) -> Terms {
    let transfer = context.case.transfer;
    let keeps_volume = context.keeps(RuleId::Volume);
    let share = if keeps_volume { 1.0 - transfer.loss_share.0 as f64 / 1e6 } else { 1.0 };
    let fixed = if keeps_volume { transfer.loss_fixed.hectolitres() } else { 0.0 };
    let mut arrives = Terms::new();
    let mut filled = Terms::new();
    for fill in fills {
        let most = volume::volume_of(context, fill.from).hectolitres();
        context.program.at_most(RuleId::Volume, vec![(fill.leaves, 1.0), (fill.filled, -most)], 0.0);
        arrives.extend([(fill.leaves, share), (fill.filled, -fixed)]);
        filled.push((fill.filled, 1.0));
    }
    let mut balance = filled.clone();
    for hold in context.columns.holds.iter().filter(|hold| hold.source == Source::Bright(*lot)) {
        balance.push((hold.column, -1.0));
    }
    context.program.equal(RuleId::Volume, balance, 0.0);
    let tank = &context.groups.get(lot.group).like;
    let keeps_level = context.keeps(RuleId::FillLevel);
    let most = tank.holds.hectolitres();
    let least = if keeps_level { tank.least.hectolitres() } else { 0.0 };
    let least = least.max(LEAST_LEFT);
    let mut row = arrives.clone();
    row.extend(scaled(&filled, -least));
    context.program.at_least(RuleId::FillLevel, row, 0.0);
    let mut row = arrives.clone();
    row.extend(scaled(&filled, -most));
    context.program.at_most(RuleId::FillLevel, row, 0.0);
    arrives
}

fn pouring(context: &mut Context, lot: Lot, filled: &Terms, arrives: &Terms) {
    let holds = lot.volume.hectolitres();
    let source = Source::Bright(lot);
    let pours: Vec<(PeriodId, ColumnId)> = context
        .columns
        .pours
        .range((lot, 0)..=(lot, PeriodId::MAX))
        .map(|(&(_, period), &column)| (period, column))
        .collect();
    let ends: Vec<(Emptied, ColumnId)> = context
        .columns
        .holds
        .iter()
        .filter(|hold| hold.source == source)
        .map(|hold| (hold.emptied, hold.column))
        .collect();
    let mut whole = scaled(arrives, -1.0);
    whole.extend(pours.iter().map(|&(_, column)| (column, 1.0)));
    if let Some(&left) = context.columns.left.get(&source) {
        whole.push((left, 1.0));
        let mut most = vec![(left, 1.0)];
        let mut least = vec![(left, 1.0)];
        for &(_, column) in ends.iter().filter(|(emptied, _)| *emptied == Emptied::Stays) {
            most.push((column, -holds));
            least.push((column, -LEAST_LEFT));
        }
        context.program.at_most(RuleId::Volume, most, 0.0);
        context.program.at_least(RuleId::Volume, least, 0.0);
    }
    context.program.equal(RuleId::Volume, whole, 0.0);
    for &(period, _) in &pours {
        let mut row: Terms = pours.iter().filter(|pour| pour.0 <= period).map(|pour| (pour.1, 1.0)).collect();
        row.extend(scaled(arrives, -1.0));
        row.extend(scaled(filled, holds));
        let gone = ends.iter().filter(|(emptied, _)| matches!(emptied, Emptied::At(at) if *at <= period));
        row.extend(gone.map(|&(_, column)| (column, -holds)));
        context.program.at_least(RuleId::Volume, row, 0.0);
    }
}
