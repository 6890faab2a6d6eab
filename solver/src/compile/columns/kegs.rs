//! Columns of kegs: whole kegs filled, kegs washed, kegs that were clean for too long; materials that
//! are priced. Only for kinds of kegs that the case has.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Away;
use cellarwright_model::ids::{KegPoolId, MaterialId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Money;

use crate::compile::context::Context;
use crate::compile::rules::{calendar, outage, packages};

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    for (place, material) in context.case.materials.iter().enumerate() {
        if material.price_per_1000 > Money::ZERO && material.lead.is_some() {
            bought(context, MaterialId(place));
        }
    }
    if context.case.kegs.is_empty() {
        return;
    }
    let fine = context.grid.fine();
    let packs: Vec<_> = context.columns.packs.keys().copied().collect();
    for (beer, format, period) in packs {
        if period < fine && context.case.pool_of(format).is_some() {
            let kegs = context.program.column(0.0, f64::INFINITY, true);
            context.columns.kegs.insert((beer, format, period), kegs);
        }
    }
    let Some(washer) = context.case.keg_washer else { return };
    for id in (0..context.case.kegs.len()).map(KegPoolId) {
        for period in 0..fine {
            let slot = Slot(period);
            if calendar::works(context, washer.role, slot) && outage::is_there(context, Away::KegWasher, slot)
            {
                let most = context.case.shift_hours(slot).hours() * washer.pace as f64;
                let washed = context.program.column(0.0, most.floor(), true);
                context.columns.washed.insert((id, period), washed);
            }
        }
        let is_delivered = context.case.kegs[id.0].days_out.is_some();
        if let Some(keeps) = context.case.kegs[id.0].keeps {
            // Kegs clean since before day 0 count as washed on the day before it.
            for day in (keeps - 1).max(0)..context.case.calendar.planned_days as i64 {
                // Kegs that come back from deliveries are counted in fractions: only whole ones are washed again.
                let stale = context.program.column(0.0, f64::INFINITY, is_delivered);
                context.columns.stale_kegs.insert((id, day), stale);
            }
        }
    }
}

/// What can be bought of a material: thousands of pieces, or whole packs; of one with a least order first that, then more.
fn bought(context: &mut Context, id: MaterialId) {
    let material = &context.case.materials[id.0];
    let size = material.pack.unwrap_or(1).max(1);
    let least = (material.least_order.max(0) + size - 1).div_euclid(size).saturating_mul(size);
    let more = context.program.column(0.0, f64::INFINITY, material.pack.is_some());
    let unit = material.pack.map_or(1.0, |_| size as f64 / packages::THOUSAND);
    let mut terms = vec![(more, unit)];
    if least > size || (material.pack.is_none() && least > 0) {
        let is_ordered = context.program.column(0.0, 1.0, true);
        terms.push((is_ordered, least as f64 / packages::THOUSAND));
        let most = (packages::most_used(context, id) / unit).ceil();
        context.program.at_most(RuleId::Packages, vec![(more, 1.0), (is_ordered, -most)], 0.0);
    }
    context.columns.bought.insert(id, terms);
}
