//! Columns of serving tanks on tap, in the planned days: which lots have begun to pour and are not empty when a day ends.

use std::collections::BTreeMap;

use cellarwright_model::ids::BeerId;
use cellarwright_model::rule::RuleId;

use super::Lot;
use crate::compile::context::Context;
use crate::compile::rules::{serving, wait};

/// Adds all columns of this file. A beer that only one lot is poured of needs none.
pub fn add(context: &mut Context) {
    if !context.keeps(RuleId::Serving) {
        return;
    }
    let mut first_days: BTreeMap<BeerId, BTreeMap<Lot, i64>> = BTreeMap::new();
    for &(lot, period) in context.columns.pours.keys().filter(|(_, period)| context.grid.is_fine(*period)) {
        let day = context.grid.period(period).first_day;
        first_days.entry(lot.beer).or_default().entry(lot).or_insert(day);
    }
    for lots in first_days.into_values().filter(|lots| lots.len() > 1) {
        for (lot, first) in lots {
            let Some(tap) = serving::tap(context, &lot) else { continue };
            let too_old = wait::fill_days(context, &lot).1 + tap.pour_within;
            for day in first..too_old.min(context.case.calendar.planned_days as i64) {
                let on = context.program.column(0.0, 1.0, true);
                context.columns.on_tap.insert((lot, day), on);
            }
        }
    }
}
