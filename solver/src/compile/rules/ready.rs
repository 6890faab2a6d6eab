//! R04 ready: no beer leaves before its stay is over.
//!
//! Formula: `leaving day >= day of the last turn + stay`; beer in tank has its own ready day, a batch that is known to be late is
//! ready so much later.
//! No rows here: pairs of fill and leaving that come too early have no column; what is ready too late in a half week to be packaged in it is in `early`.

use cellarwright_model::rule::RuleId;

use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::without::Subject;

/// The earliest and the latest day on which a batch filled in a period is ready.
pub fn ready_days(context: &Context, kind: KindId, group: GroupId, filled: Option<PeriodId>) -> (i64, i64) {
    match (context.opening(kind), filled) {
        (Some(in_tank), _) => (in_tank.ready, in_tank.ready),
        (None, Some(period)) => {
            let stay = context.case.beer(context.kind(kind).beer).stay_days();
            let is_fine = context.grid.is_fine(period);
            let period = context.grid.period(period);
            let vessel = context.groups.get(group).vessels[0];
            let late = if is_fine { context.case.fixed.late_by(vessel, period.first_day) } else { 0 };
            (period.first_day + stay + late, period.last_day + stay + late)
        }
        (None, None) => (0, 0),
    }
}

/// Whether the ready day of a batch is in force: that of its beer, or its own where it is in tank on day 0.
pub fn is_kept(context: &Context, kind: KindId) -> bool {
    let subject = match context.kind(kind).origin {
        Origin::New { .. } => Subject::Beer(context.kind(kind).beer),
        Origin::Opening { in_tank } => Subject::InTank(in_tank),
        Origin::Moved { of } => return is_kept(context, of),
    };
    context.keeps_of(RuleId::Ready, subject, 0)
}

/// Whether beer that is ready on `ready` may leave on `day`.
pub fn may_leave(context: &Context, kind: KindId, ready: i64, day: i64) -> bool {
    !is_kept(context, kind) || day >= ready
}

/// Whether beer that is ready on `ready` may be carbonated in its fermenter on `day`.
pub fn may_carbonate(context: &Context, kind: KindId, ready: i64, day: i64) -> bool {
    let early = i64::from(context.case.beer(context.kind(kind).beer).during_chill);
    !is_kept(context, kind) || day >= ready - early
}
