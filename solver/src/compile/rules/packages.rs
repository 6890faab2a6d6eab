//! R25 packages: clean kegs are there when they are filled; cans, labels and the like are there when they are used.
//!
//! Rows:
//! - whole kegs of a beer, format and slot: packaged <= contents x kegs;
//! - for each kind and slot: kegs filled up to it <= clean ones on day 0 + washed up to it - stale before its day; washed up to
//!   it <= dirty ones on day 0 + come back up to its day + stale before it; clock time of washing <= the shift's hours;
//! - at the end of each day: filled and stale up to it >= washed up to the day so long before it that they no longer keep;
//! - kegs come back so long after their filling, or after their delivery: then delivered volume / contents, in fractions;
//! - without a washer, and in the look-ahead, clean and dirty ones count alike;
//! - materials, up to each day (or the last day of a period) that no new order can serve: pieces used <= there without it;
//! - priced ones, up to each other day before a delivery, and up to the last: pieces used <= there + bought; where there is a least order nothing beyond
//!   it without it.

use std::collections::BTreeMap;

use cellarwright_model::ids::{KegPoolId, MaterialId};
use cellarwright_model::rule::RuleId;

use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::{ColumnId, Terms, scaled};

/// Packages filled in each period, by beer and format: of counted kegs in the planned days whole ones.
fn packages(
    context: &Context,
    id: (cellarwright_model::ids::BeerId, cellarwright_model::ids::FormatId, PeriodId),
) -> (ColumnId, f64) {
    if let Some(&kegs) = context.columns.kegs.get(&id) {
        return (kegs, 1.0);
    }
    let format = context.case.format(id.1);
    let kept = format.kept();
    (context.columns.packs[&id], kept / format.package().hectolitres())
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    for (&(beer, format, period), &kegs) in &context.columns.kegs {
        let data = context.case.format(format);
        let pack = context.columns.packs[&(beer, format, period)];
        let kept = data.kept();
        let row = vec![(pack, kept / data.package().hectolitres()), (kegs, -1.0)];
        context.program.at_most(RuleId::Packages, row, 0.0);
    }
    for id in (0..context.case.kegs.len()).map(KegPoolId) {
        pool(context, id);
    }
    washer(context);
    for id in (0..context.case.materials.len()).map(MaterialId) {
        material(context, id);
    }
}

/// Kegs of one kind filled in each period.
fn filled(context: &Context, id: KegPoolId) -> BTreeMap<PeriodId, Terms> {
    let mut filled: BTreeMap<PeriodId, Terms> = BTreeMap::new();
    for &key in context.columns.packs.keys() {
        if context.case.pool_of(key.1) == Some(id) {
            filled.entry(key.2).or_default().push(packages(context, key));
        }
    }
    filled
}

fn pool(context: &mut Context, id: KegPoolId) {
    let case = context.case;
    let pool = &case.kegs[id.0];
    let filled = filled(context, id);
    let has_washer = case.keg_washer.is_some();
    // Kegs that come back by a day after being delivered, or filled in an earlier period.
    let back = |context: &Context, day: i64| -> Terms {
        if let Some(out) = pool.days_out {
            return delivered(context, id, day - out);
        }
        let Some(after) = pool.back_after else { return Vec::new() };
        let early =
            filled.iter().filter(|(period, _)| context.grid.period(**period).first_day + after <= day);
        early.flat_map(|(_, terms)| terms.clone()).collect()
    };
    let returned = |day: i64| -> f64 {
        pool.returns.iter().filter(|(on, _)| *on <= day).map(|&(_, kegs)| kegs as f64).sum()
    };
    let (mut so_far, mut washed) = (Terms::new(), Terms::new());
    for period in 0..context.grid.len() {
        let is_fine = context.grid.is_fine(period);
        let day = context.grid.period(period).last_day;
        washed.extend(context.columns.washed.get(&(id, period)).map(|&column| (column, 1.0)));
        let stale_before = |context: &Context| -> Terms {
            let stale = context.columns.stale_kegs.range((id, i64::MIN)..(id, day));
            stale.map(|(_, &column)| (column, 1.0)).collect()
        };
        if is_fine && has_washer {
            if context.columns.washed.contains_key(&(id, period)) {
                let mut row = washed.clone();
                row.extend(scaled(&back(context, day), -1.0));
                row.extend(scaled(&stale_before(context), -1.0));
                context.program.at_most(RuleId::Packages, row, pool.dirty as f64 + returned(day));
            }
            if let Some(fills) = filled.get(&period) {
                so_far.extend(fills);
                let mut row = so_far.clone();
                row.extend(scaled(&washed, -1.0));
                row.extend(stale_before(context));
                context.program.at_most(RuleId::Packages, row, pool.clean as f64);
            }
            let shifts = case.calendar.shifts.len();
            if (period + 1) % shifts == 0 {
                stale(context, id, &filled, day);
            }
        } else if let Some(fills) = filled.get(&period) {
            so_far.extend(fills);
            let mut row = so_far.clone();
            row.extend(scaled(&back(context, day), -1.0));
            let there = (pool.clean + pool.dirty) as f64 + returned(day);
            context.program.at_most(RuleId::Packages, row, there);
        }
    }
}

/// Kegs of one kind delivered up to a day, in fractions.
fn delivered(context: &Context, id: KegPoolId, day: i64) -> Terms {
    let mut kegs = Terms::new();
    for (&(order, on), &column) in &context.columns.deliver {
        let format = context.case.order(order).format;
        if on <= day && context.case.pool_of(format) == Some(id) {
            kegs.push((column, 1.0 / context.case.format(format).package().hectolitres()));
        }
    }
    kegs
}

/// What was washed so long ago that it no longer keeps is filled or stale by the end of a day.
fn stale(context: &mut Context, id: KegPoolId, filled: &BTreeMap<PeriodId, Terms>, day: i64) {
    let pool = &context.case.kegs[id.0];
    let Some(keeps) = pool.keeps.filter(|_| context.columns.stale_kegs.contains_key(&(id, day))) else {
        return;
    };
    let mut row: Terms = Vec::new();
    for (&period, terms) in filled {
        if context.grid.is_fine(period) && context.grid.period(period).last_day <= day {
            row.extend(terms);
        }
    }
    let stale = context.columns.stale_kegs.range((id, i64::MIN)..=(id, day));
    row.extend(stale.map(|(_, &column)| (column, 1.0)));
    for (&(of, period), &column) in &context.columns.washed {
        if of == id && context.grid.period(period).last_day + keeps <= day {
            row.push((column, -1.0));
        }
    }
    let opening = if keeps <= day + 1 { pool.clean as f64 } else { 0.0 };
    context.program.at_least(RuleId::Packages, row, opening);
}

fn washer(context: &mut Context) {
    let Some(washer) = context.case.keg_washer else { return };
    let mut time: BTreeMap<PeriodId, Terms> = BTreeMap::new();
    for (&(_, period), &column) in &context.columns.washed {
        time.entry(period).or_default().push((column, 1.0 / washer.pace as f64));
    }
    for (period, terms) in time {
        if terms.len() > 1 {
            let hours = super::calendar::clock_hours(context, period);
            context.program.at_most(RuleId::Packages, terms, hours);
        }
    }
}

/// Pieces of a material used in each period.
fn used(context: &Context, id: MaterialId) -> BTreeMap<PeriodId, Terms> {
    let material = &context.case.materials[id.0];
    let mut used: BTreeMap<PeriodId, Terms> = BTreeMap::new();
    for &key in context.columns.packs.keys() {
        let pieces = material.pieces(key.0, key.1);
        if pieces > 0 {
            let (column, count) = packages(context, key);
            used.entry(key.2).or_default().push((column, count * pieces as f64 / THOUSAND));
        }
    }
    used
}

/// Pieces are counted by the thousand, so that numbers stay of one size.
pub const THOUSAND: f64 = 1_000.0;

/// Thousands of pieces of a material that no plan goes beyond: all beer in tank, and all that can be brewed in all days, in the packages
/// that take most of it, and a package for each keg that is begun.
pub fn most_used(context: &Context, id: MaterialId) -> f64 {
    let case = context.case;
    let turn = case.beer_ids().map(|beer| case.turn_of(beer)).max().unwrap_or_default();
    let turns = case.brewhouse.turns_per_day as f64 * case.calendar.days() as f64;
    let in_tank: f64 = case.in_tank.iter().map(|tank| tank.filled.hectolitres()).sum();
    let beer = in_tank + turns * turn.hectolitres();
    let (mut a_hectolitre, mut begun) = (0.0_f64, 0.0);
    for &(beer, format, period) in context.columns.packs.keys() {
        let format_data = case.format(format);
        let pieces = case.materials[id.0].pieces(beer, format) as f64;
        a_hectolitre = a_hectolitre.max(pieces * format_data.kept() / format_data.package().hectolitres());
        if context.grid.is_fine(period) && case.pool_of(format).is_some() {
            begun += pieces;
        }
    }
    (beer * a_hectolitre + begun) / THOUSAND
}

fn material(context: &mut Context, id: MaterialId) {
    let case = context.case;
    let material = &case.materials[id.0];
    let mut so_far: Terms = Vec::new();
    let used = used(context, id);
    for (&period, terms) in &used {
        so_far.extend(terms);
        let day = context.grid.period(period).last_day;
        let next = used.range(period + 1..).next().map(|(&next, _)| context.grid.period(next).last_day);
        let there = material.there_by(day);
        if material.lead.is_none_or(|lead| day < lead) {
            if !context.grid.is_fine(period) || next != Some(day) {
                context.program.at_most(RuleId::Packages, so_far.clone(), there as f64 / THOUSAND);
            }
        } else if let Some(bought) = context.columns.bought.get(&id)
            && next.is_none_or(|next| material.there_by(next) > there)
        {
            // Up to a day before a delivery, and at the end: between deliveries the shortage only grows.
            let mut row = so_far.clone();
            row.extend(scaled(bought, -1.0));
            context.program.at_most(RuleId::Packages, row, there as f64 / THOUSAND);
        }
    }
}
