//! What empties, soils and fills the vessels of a group in each period.

use std::collections::BTreeMap;

use cellarwright_model::units::Minutes;

use super::clean_times::{Fill, emptying_takes};
use super::outage;
use crate::compile::columns::{Emptied, Filled, Leaving, Source};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// Flows by group and period; none where nothing happens.
pub(super) type Flows = BTreeMap<(GroupId, PeriodId), Flow>;

/// What happens in a group in a period.
#[derive(Clone, Debug, Default)]
pub(super) struct Flow {
    pub(super) by_transfer: Terms,
    /// The same by the clock time of the transfer.
    pub(super) emptying: Vec<(ColumnId, f64, Minutes)>,
    pub(super) otherwise: Terms,
    /// By `Fill` in its fixed order.
    pub(super) filled: [Terms; 2],
    /// Clean before upkeep and dirty after it.
    pub(super) soiled: Terms,
}

/// The flows of all groups; forbids clean vessels where upkeep has opened them.
pub(super) fn flows(context: &mut Context) -> Flows {
    let mut flows: Flows = BTreeMap::new();
    for (group, period) in outage::soiled(context) {
        let column = context.program.column(0.0, 1.0, true);
        flows.entry((group, period)).or_default().soiled.push((column, 1.0));
        let clean = context.columns.ready[&(group, period)];
        context.program.columns[clean.0].upper = 0.0;
    }
    for brew in &context.columns.brews {
        flows.entry((brew.group, brew.first())).or_default().filled[Fill::Brew as usize]
            .push((brew.column, 1.0));
    }
    for ferment in &context.columns.ferments {
        let term = (ferment.column, 1.0);
        match ferment.leaving {
            Leaving::Bright { last: Some(last), .. } => {
                let takes = emptying_takes(context, ferment.kind);
                let flow = flows.entry((ferment.group, last)).or_default();
                flow.by_transfer.push(term);
                flow.emptying.push((term.0, term.1, takes));
            }
            Leaving::Moved { at, to } => {
                let flow = flows.entry((ferment.group, at)).or_default();
                flow.by_transfer.push(term);
                flow.emptying.push((term.0, term.1, context.case.transfer.takes()));
                flows.entry((to, at)).or_default().filled[Fill::Transfer as usize].push(term);
            }
            Leaving::Dump(period) => {
                flows.entry((ferment.group, period)).or_default().otherwise.push(term);
            }
            Leaving::Bright { last: None, .. } | Leaving::Direct { .. } | Leaving::Stays => {}
        }
    }
    for hold in &context.columns.holds {
        let (group, filled) = match hold.source {
            Source::Direct(lot) => (lot.group, None),
            Source::Bright(lot) => match lot.filled {
                Filled::Opening(_) => (lot.group, None),
                Filled::In(period) => (lot.group, Some(period)),
            },
        };
        if context.groups.get(group).like.is_bright_only() {
            continue;
        }
        if let Some(period) = filled {
            flows.entry((group, period)).or_default().filled[Fill::Transfer as usize]
                .push((hold.column, 1.0));
        }
        if let Emptied::At(period) | Emptied::Dump(period) = hold.emptied {
            flows.entry((group, period)).or_default().otherwise.push((hold.column, 1.0));
        }
    }
    flows
}
