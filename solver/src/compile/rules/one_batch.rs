//! R01 one batch: a vessel holds one batch from fill to empty.
//!
//! Rows: batches begun with a last turn in a period = batches by how they leave; for bright-only tanks, in every slot in which
//! one may be filled, lots in them <= tanks. Fermenters are counted by the flow dirty -> clean -> filled in `clean`.
//! In the look-ahead: lots across the end of a period <= tanks, and the slots that lots block within it add up to no more
//! than the tanks' working slots (two for a lot filled and emptied within, one for a lot that only begins or ends there; a tank that is
//! only poured from may be empty on the day of its fill, and at the end of a day without work).

use std::collections::BTreeMap;

use cellarwright_model::calendar::Role;
use cellarwright_model::rule::RuleId;

use super::{blend, bright_rest, calendar, serving};
use crate::compile::columns::{Emptied, Filled, Source};
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;
use crate::compile::without::Mark;

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    if context.keeps(RuleId::OneBatch) {
        bright_occupancy(context);
        blend::add(context);
    }
}

/// Batches begun = batches by how they leave: the definition of the columns.
pub fn link_brews(context: &mut Context) {
    let mut balance: BTreeMap<(KindId, GroupId, PeriodId), Terms> = BTreeMap::new();
    for brew in &context.columns.brews {
        balance.entry((brew.kind, brew.group, brew.last())).or_default().push((brew.column, 1.0));
    }
    for ferment in &context.columns.ferments {
        let is_moved = matches!(context.kind(ferment.kind).origin, Origin::Moved { .. });
        if let (false, Some(filled)) = (is_moved, ferment.filled) {
            let key = (ferment.kind, ferment.group, filled);
            balance.entry(key).or_default().push((ferment.column, -1.0));
        }
    }
    for terms in balance.into_values() {
        context.program.equal(RuleId::OneBatch, terms, 0.0);
    }
}

/// Says of a row that it is about how many vessels of a group there are, in a period.
pub fn mark(context: &Context, group: GroupId, period: PeriodId) -> Mark {
    Mark { rule: RuleId::OneBatch, of: vec![context.vessels(group)], days: Some(context.days_of(period)) }
}

fn bright_occupancy(context: &mut Context) {
    let mut present: BTreeMap<(GroupId, PeriodId), Terms> = BTreeMap::new();
    let mut blocked: BTreeMap<(GroupId, PeriodId), Terms> = BTreeMap::new();
    for hold in &context.columns.holds {
        let Source::Bright(lot) = hold.source else { continue };
        let vessel = &context.groups.get(lot.group).like;
        if !vessel.is_bright_only() {
            continue;
        }
        let first = match lot.filled {
            Filled::Opening(_) => 0,
            Filled::In(period) => period,
        };
        let (end, refills_at_once) = match hold.emptied {
            Emptied::Stays => (context.grid.len(), false),
            Emptied::Dump(period) => (period, false),
            Emptied::At(period) => {
                let mut slots = context.grid.slots(period);
                let at_once =
                    slots.any(|slot| bright_rest::may_refill_at_once(context, lot.beer, vessel, 1, slot));
                (period, at_once)
            }
        };
        for period in first..context.grid.len().min(end + 1) {
            let key = (lot.group, period);
            if context.grid.is_fine(period) {
                if period < end || !refills_at_once {
                    present.entry(key).or_default().push((hold.column, 1.0));
                }
                continue;
            }
            if period < end {
                present.entry(key).or_default().push((hold.column, 1.0));
            }
            if !refills_at_once {
                let is_filled_here = lot.filled == Filled::In(period);
                let is_emptied_here = period == end;
                let is_one_day = vessel.is_serve_only() && serving::may_pour_at_once(context, &lot);
                let slots = if is_filled_here && is_emptied_here && !is_one_day { 2.0 } else { 1.0 };
                if is_filled_here || (is_emptied_here && !vessel.is_serve_only()) {
                    blocked.entry(key).or_default().push((hold.column, slots));
                }
            }
        }
    }
    for ((group, period), terms) in present {
        let is_needed = !context.grid.is_fine(period) || calendar::any(context, Role::Cellar, period);
        if is_needed {
            let tanks = context.groups.get(group).size() as f64;
            let (rows, mark) = (context.program.rows.len(), mark(context, group, period));
            context.program.at_most_vessels(RuleId::OneBatch, terms, group, tanks);
            context.program.mark(rows, mark);
        }
    }
    for ((group, period), terms) in blocked {
        let slots = context.grid.slots(period).filter(|&slot| {
            calendar::works(context, Role::Cellar, slot) || calendar::works(context, Role::Package, slot)
        });
        let tank_slots = (context.groups.get(group).size() * slots.count()) as f64;
        let mark = mark(context, group, period);
        context.program.at_most_of(mark, RuleId::OneBatch, terms, tank_slots);
    }
}
