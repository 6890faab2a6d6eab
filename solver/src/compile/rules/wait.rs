//! R05 wait: ready beer waits free up to `may_wait`, then at a cost, never past its hard end.
//!
//! No rows: pairs past the hard end have no column, the cost of waiting is a cost of the column.
//! Beer in tank on day 0 may stay beyond its hard end at the last resort's charge.
//! In the look-ahead a wait counts from the last possible ready day to the first day of leaving.

use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Money;

use super::serving;
use crate::compile::columns::{Filled, Lot};
use crate::compile::context::{Context, KindId};
use crate::compile::grid::PeriodId;
use crate::compile::without::Subject;

/// The last day on which a batch may begin to leave its fermenter.
pub fn hard_end(context: &Context, kind: KindId, filled: Option<PeriodId>) -> i64 {
    let must_leave = context.case.beer(context.kind(kind).beer).must_leave;
    match (context.opening(kind), filled) {
        (Some(in_tank), _) => in_tank.on + must_leave,
        (None, Some(period)) => context.grid.period(period).last_day + must_leave,
        (None, None) => 0,
    }
}

/// Whether a batch may begin to leave on `day`.
pub fn may_leave(context: &Context, kind: KindId, filled: Option<PeriodId>, day: i64) -> bool {
    let subject = Subject::Beer(context.kind(kind).beer);
    !context.keeps_of(RuleId::Wait, subject, 0)
        || context.opening(kind).is_some()
        || day <= hard_end(context, kind, filled)
}

/// Cost of waiting and last-resort charge, in cents, of a batch with a (last) ready day that begins to leave on `day`.
pub fn cost(
    context: &Context,
    kind: KindId,
    filled: Option<PeriodId>,
    ready: i64,
    day: i64,
) -> (Money, Money) {
    let beer = context.case.beer(context.kind(kind).beer);
    let volume = context.kind(kind).tank_volume;
    let waits = (day - ready - beer.may_wait).max(0);
    let over = (day - hard_end(context, kind, filled)).max(0);
    let rates = &context.case.rates;
    let over = if context.opening(kind).is_some() { over } else { 0 };
    (Money(rates.waiting.0 * waits).for_volume(volume), Money(rates.over_limit.0 * over).for_volume(volume))
}

/// The days on which a lot may have been filled: first and last.
pub fn fill_days(context: &Context, lot: &Lot) -> (i64, i64) {
    match lot.filled {
        Filled::Opening(in_tank) => (context.case.in_tank[in_tank].on, context.case.in_tank[in_tank].on),
        Filled::In(period) => {
            let period = context.grid.period(period);
            (period.first_day, period.last_day)
        }
    }
}

/// Whether a lot may be packaged for the last time on `day` (filled on `filled`).
pub fn may_empty(context: &Context, lot: &Lot, filled: i64, day: i64) -> bool {
    if let Some(tap) = serving::tap(context, lot) {
        return !context.keeps(RuleId::Serving) || day <= filled + tap.pour_within;
    }
    !context.keeps_of(RuleId::Wait, Subject::Beer(lot.beer), 0)
        || matches!(lot.filled, Filled::Opening(_))
        || day <= filled + context.case.beer(lot.beer).bright_must_leave
}

/// The last day on which a lot is worth anything in its tank.
pub fn lot_end(context: &Context, lot: &Lot) -> i64 {
    let beer = context.case.beer(lot.beer);
    let within = serving::tap(context, lot).map_or(beer.bright_must_leave, |tap| tap.pour_within);
    fill_days(context, lot).1 + within
}

/// Cost of waiting and last-resort charge, in cents, of a lot packaged for the last time on `day`; in a serving tank
/// there is none.
pub fn lot_cost(context: &Context, lot: &Lot, day: i64) -> (Money, Money) {
    if serving::tap(context, lot).is_some() {
        return (Money::ZERO, Money::ZERO);
    }
    let beer = context.case.beer(lot.beer);
    let (_, filled) = fill_days(context, lot);
    let waits = (day - filled - beer.bright_wait).max(0);
    let over = match lot.filled {
        Filled::Opening(_) => (day - filled - beer.bright_must_leave).max(0),
        Filled::In(_) => 0,
    };
    let rates = &context.case.rates;
    (
        Money(rates.waiting.0 * waits).for_volume(lot.volume),
        Money(rates.over_limit.0 * over).for_volume(lot.volume),
    )
}
