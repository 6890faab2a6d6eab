//! R01 one batch, its exception: two whole batches of a beer with `blend` fill one bright tank in one slot.
//!
//! Each pair of kinds that fills a tank between `least` and `holds` is a mixture; a column of it counts for one batch of each
//! kind moved (two of the same kind where they are alike) and for one lot. Rows: in a slot in which a tank emptied in it takes
//! one transfer more but not two, lots before it and blends filled in it <= tanks. A batch is blended whole, a restriction of
//! the program.

use std::collections::BTreeMap;

use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::{bright_rest, fill_level, filter, one_batch, pressure, uses};
use crate::compile::columns::{Emptied, Filled, Source};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

/// Two kinds of batches that fill one bright tank together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mixture {
    /// The kinds, in order; twice the same for two batches that are alike.
    pub kinds: [KindId; 2],
    /// The tank.
    pub group: GroupId,
    /// What arrives of both.
    pub arrives: Volume,
}

/// All mixtures that beers, levels and pressures allow.
pub fn mixtures(context: &Context) -> Vec<Mixture> {
    let mut all = Vec::new();
    for first in 0..context.kinds.len() {
        for second in first..context.kinds.len() {
            let (one, other) = (&context.kinds[first], &context.kinds[second]);
            let beer = context.case.beer(one.beer);
            let is_one_batch = first == second && context.opening(KindId(first)).is_some();
            if !beer.blend || one.beer != other.beer || is_one_batch {
                continue;
            }
            let case = context.case;
            let arrives = case.arrives(beer, one.tank_volume) + case.arrives(beer, other.tank_volume);
            for group in context.groups.ids() {
                let vessel = &context.groups.get(group).like;
                let may = vessel.is_bright_only()
                    && uses::may_be_bright(beer, vessel)
                    && pressure::may_carbonate(context, beer, vessel)
                    && [one, other].into_iter().all(|kind| filter::reaches(context, kind, group))
                    && fill_level::fits(context, vessel, arrives);
                if may {
                    all.push(Mixture { kinds: [KindId(first), KindId(second)], group, arrives });
                }
            }
        }
    }
    all
}

/// Writes the rows of tanks that are emptied and filled by two transfers in one slot.
pub fn add(context: &mut Context) {
    let mut filled: BTreeMap<(GroupId, PeriodId), Terms> = BTreeMap::new();
    for blend in context.columns.blends.iter().filter(|blend| context.grid.is_fine(blend.period)) {
        filled.entry((blend.lot.group, blend.period)).or_default().push((blend.column, 1.0));
    }
    for ((group, period), mut terms) in filled {
        let vessel = &context.groups.get(group).like;
        let slot = cellarwright_model::calendar::Slot(period);
        let mut is_needed = false;
        for hold in &context.columns.holds {
            let Source::Bright(lot) = hold.source else { continue };
            let is_before = match lot.filled {
                Filled::Opening(_) => true,
                Filled::In(filled) => filled < period,
            };
            let end = match hold.emptied {
                Emptied::At(end) | Emptied::Dump(end) => end,
                Emptied::Stays => PeriodId::MAX,
            };
            if lot.group != group || !is_before || end < period {
                continue;
            }
            let by = |transfers| {
                hold.emptied == Emptied::At(period)
                    && bright_rest::may_refill_at_once(context, lot.beer, vessel, transfers, slot)
            };
            is_needed |= by(1) && !by(2);
            if !by(2) {
                terms.push((hold.column, 1.0));
            }
        }
        if is_needed {
            let tanks = context.groups.get(group).size() as f64;
            let (rows, mark) = (context.program.rows.len(), one_batch::mark(context, group, period));
            context.program.at_most_vessels(RuleId::OneBatch, terms, group, tanks);
            context.program.mark(rows, mark);
        }
    }
}
