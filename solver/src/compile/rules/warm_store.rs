//! R26 warm store: beer that conditions in its package stands warm from its packaging until it can be delivered.
//!
//! Rows, for each planned day `d` where the cellar has a limit: packaged on days `e <= d` with first delivery day `> d`, plus
//! what stands there on day 0 and is delivered after `d` <= limit. The look-ahead has none: a relaxation.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Carbonating;
use cellarwright_model::rule::RuleId;

use super::orders;
use crate::compile::context::Context;
use crate::compile::program::Terms;

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let Some(limit) = context.case.warm_store else { return };
    let case = context.case;
    for day in 0..case.calendar.planned_days as i64 {
        let mut standing: Terms = Vec::new();
        for (&(beer, format, period), &column) in &context.columns.packs {
            if !context.grid.is_fine(period) || case.beer(beer).carbonating != Carbonating::InPackage {
                continue;
            }
            let packaged = case.calendar.day(Slot(period)) as i64;
            if packaged <= day && day < orders::there_from(context, beer, packaged) {
                standing.push((column, case.format(format).kept()));
            }
        }
        let before = case
            .stock
            .iter()
            .filter(|stock| case.beer(stock.beer).carbonating == Carbonating::InPackage && stock.from > day);
        let before: f64 = before.map(|stock| stock.quantity.hectolitres()).sum();
        // What stands there on day 0 already may be more than the limit: nothing is added then.
        context.program.at_most(RuleId::WarmStore, standing, (limit.hectolitres() - before).max(0.0));
    }
}
