//! R20 calendar: work happens only on its working days and shifts.
//!
//! No rows: other periods have no columns of that work.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use crate::compile::context::Context;
use crate::compile::grid::PeriodId;

/// Whether a kind of work can be done in a slot. Without the rule a crew that is there works on any day.
pub fn works(context: &Context, role: Role, slot: Slot) -> bool {
    let case = context.case;
    if context.keeps(RuleId::Calendar) {
        return case.works(role, slot);
    }
    case.crew_ids().any(|crew| case.crew(crew).has(role) && case.crew_hours(crew, slot) > Minutes::ZERO)
}

/// Slots of a period in which a kind of work can be done.
pub fn working(context: &Context, role: Role, period: PeriodId) -> Vec<Slot> {
    context.grid.slots(period).filter(|&slot| works(context, role, slot)).collect()
}

/// Whether a kind of work can be done in a period.
pub fn any(context: &Context, role: Role, period: PeriodId) -> bool {
    context.grid.slots(period).any(|slot| works(context, role, slot))
}

/// Clock hours of all shifts of a period.
pub fn clock_hours(context: &Context, period: PeriodId) -> f64 {
    context.grid.slots(period).map(|slot| context.case.shift_hours(slot).hours()).sum()
}
