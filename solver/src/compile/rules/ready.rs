//! R04 ready: no beer leaves before its stay is over.
//!
//! Formula: `leaving day >= day of the last turn + stay`; beer in tank has its own ready day, a batch that is known to be late is
//! ready so much later.
//! No rows: pairs of fill and leaving that come too early have no column.

use cellarwright_model::rule::RuleId;

use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;

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

/// Whether beer that is ready on `ready` may leave on `day`.
pub fn may_leave(context: &Context, ready: i64, day: i64) -> bool {
    !context.keeps(RuleId::Ready) || day >= ready
}

/// Whether beer that is ready on `ready` may be carbonated in its fermenter on `day`.
pub fn may_carbonate(context: &Context, kind: KindId, ready: i64, day: i64) -> bool {
    let early = i64::from(context.case.beer(context.kind(kind).beer).during_chill);
    !context.keeps(RuleId::Ready) || day >= ready - early
}
