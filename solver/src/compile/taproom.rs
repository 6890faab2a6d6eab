//! The taproom's part of the objective: what it pours, and what guests ask for and do not get.

use cellarwright_model::case::Aim;

use super::context::Context;
use super::objective::money_weight;
use super::rules::serving;

/// Gives every pour its contribution and the charge that it saves; all that is asked for stands in the constant.
pub fn value(context: &mut Context) {
    let case = context.case;
    let dry = case.rates.dry_tap.units();
    let charge_weight = money_weight(&case.aim);
    for tap in &case.taproom.pours {
        for period in 0..context.grid.len() {
            let asked = serving::asked(context, tap.beer, period).hectolitres();
            context.program.constant -= asked * dry * charge_weight;
        }
    }
    for (&(lot, period), &column) in &context.columns.pours.clone() {
        let contribution = case.taproom.tap(lot.beer).map_or(0.0, |tap| tap.contribution.units());
        let worth = match case.aim {
            Aim::Orders => contribution,
            Aim::Output(_) if context.grid.is_fine(period) => 100.0,
            Aim::Output(_) => 1.0,
        };
        context.program.earn(column, worth + dry * charge_weight);
    }
}
