//! R20 calendar: work happens only on its working days and shifts.
//!
//! No rows: other periods have no columns of that work.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::rule::RuleId;

use super::crew;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::without::Subject;

/// Whether a kind of work can be done in a slot. Without the rule a crew that is there works on any day.
pub fn works(context: &Context, role: Role, slot: Slot) -> bool {
    let case = context.case;
    let day = case.calendar.day(slot);
    let is_kept = context.keeps_of(RuleId::Calendar, Subject::Role(role), day as i64);
    let may_work = |crew| case.crew_hours(crew, slot).0 > 0 || !crew::counts(context, crew, slot);
    (!is_kept || case.calendar.allows(role, day))
        && case.crew_ids().any(|crew| case.crew(crew).has(role) && may_work(crew))
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
