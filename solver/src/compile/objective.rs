//! The objective: `model::case::Rates` states the formula; this file gives each column its part of it.
//!
//! Unit of the program: money with `aim: orders`, litres with `aim: output`.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Aim, Mix};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::money;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};

use super::columns::{Emptied, Ferment, Filled, Hold, Leaving, Source, YeastSource};
use super::context::Context;
use super::grid::PeriodId;
use super::program::{ColumnId, Program, Terms, scaled};
use super::rules::{bright_rest, crew, direct, orders, outage, tank_work, volume, wait, yeast};

/// Units of the objective in one unit of the program.
#[must_use]
pub fn scale(aim: &Aim) -> f64 {
    match aim {
        Aim::Orders => 100.0,
        Aim::Output(_) => 100_000.0,
    }
}

/// Units that people are shown (money, hL) in one unit of the program.
#[must_use]
pub fn shown(aim: &Aim) -> f64 {
    match aim {
        Aim::Orders => 1.0,
        Aim::Output(_) => 0.01,
    }
}

/// Gives every column its part of the objective.
pub fn add(context: &mut Context) {
    add_costs(context);
    match &context.case.aim {
        Aim::Orders => {
            deliveries(context);
            values_at_the_end(context);
        }
        Aim::Output(mix) => output(context, mix.as_ref()),
    }
}

/// Gives every column what it costs.
pub fn add_costs(context: &mut Context) {
    running_costs(context);
    last_resorts_and_waiting(context);
    tank_works(context);
    yeast_costs(context);
}

/// What a unit of money counts in the program: with `aim: output` so little that it only decides between plans of the same output.
pub fn money_weight(aim: &Aim) -> f64 {
    match aim {
        Aim::Orders => 1.0,
        Aim::Output(_) => 1e-3,
    }
}

/// A cost in money as the program counts it.
fn cost(context: &mut Context, column: ColumnId, money: f64) {
    context.program.earn(column, -money * money_weight(&context.case.aim));
}

/// A last-resort charge in money as the program counts it.
fn last_resort(context: &mut Context, column: ColumnId, money: f64) {
    let weight = match context.case.aim {
        Aim::Orders => 1.0,
        Aim::Output(_) => 1.0e3 * 1e-3,
    };
    context.program.earn(column, -money * weight);
}

fn running_costs(context: &mut Context) {
    let rates = context.case.rates;
    outage_labour(context);
    for (_, by_role) in crew::demands(context) {
        for (column, hours) in Role::ALL.into_iter().flat_map(|role| by_role[role as usize].clone()) {
            cost(context, column, hours * rates.labour.units());
        }
    }
    for (&(crew, period), &column) in &context.columns.overtime.clone() {
        let price = context.case.crew(crew).overtime.map_or(0.0, |limit| limit.cost.units());
        cost(context, column, crew::most_people(context, crew, period) as f64 * price);
    }
    let cleans = context.columns.clean.values().chain(context.columns.clean_again.values());
    for column in cleans.copied().collect::<Vec<_>>() {
        cost(context, column, rates.clean.units());
    }
    for (&(group, _), &column) in &context.columns.full_cleans.clone() {
        let full = context.case.clean_cost(context.groups.get(group).vessels[0], true);
        cost(context, column, full.units() - rates.clean.units());
    }
    for &column in context.columns.stale.clone().values() {
        cost(context, column, rates.sanitise.units());
    }
    for &column in context.columns.old.clone().values() {
        cost(context, column, rates.dirty.units());
    }
    visits(context);
    for (&material, terms) in &context.columns.bought.clone() {
        let price = context.case.materials[material.0].price_per_1000.units();
        for &(column, thousands) in terms {
            cost(context, column, price * thousands);
        }
    }
    for &column in context.columns.short_runs.clone().values() {
        cost(context, column, rates.short_run.units());
    }
    let hired = context.case.cold_store.as_ref().map_or(Money::ZERO, |store| store.cost);
    for (column, days) in context.columns.store_over.clone() {
        cost(context, column, hired.units() * days as f64);
    }
    for (column, price, times) in context.columns.lacking.clone() {
        cost(context, column, price.units() * times as f64);
    }
    for (&(order, day), &column) in &context.columns.deliver.clone() {
        let order = context.case.order(order);
        let days = (day - order.due) as f64;
        cost(context, column, order.late.map_or(0.0, |late| late.cost.units() * days));
    }
    for hold in context.columns.holds.clone() {
        if let Source::Bright(lot) = hold.source
            && matches!(lot.filled, Filled::In(_))
        {
            let is_cleaned = context.groups.get(lot.group).like.is_bright_only();
            let clean = if is_cleaned { rates.clean } else { Money::ZERO };
            let beer = context.case.beer(lot.beer);
            let rate = if bright_rest::is_carbonated_there(context, &lot) {
                beer.gas(rates.gas)
            } else {
                Money::ZERO
            };
            let gas = rate.for_volume(lot.volume);
            let gas = gas + context.groups.get(lot.group).like.purge.gas;
            cost(context, hold.column, (rates.transfer + clean + gas).units());
        }
    }
    for blend in context.columns.blends.clone() {
        cost(context, blend.column, rates.transfer.units());
    }
    for ferment in context.columns.ferments.clone() {
        if let Leaving::Direct { carbonated: Some(_), .. } = ferment.leaving {
            let beer = context.case.beer(context.kind(ferment.kind).beer);
            if let Some(lot) = ferment.leaving.direct_lot(ferment.kind, ferment.group) {
                let gas = beer.gas(rates.gas).for_volume(direct::volume(context, lot));
                cost(context, ferment.column, gas.units());
            }
        }
        if let Leaving::Moved { to, .. } = ferment.leaving {
            let purge = context.groups.get(to).like.purge.gas;
            cost(context, ferment.column, (rates.transfer + purge).units());
        }
    }
}

/// Visits of mobile lines: by the day, in the look-ahead by the shifts of a day.
fn visits(context: &mut Context) {
    let price = |context: &Context, line| context.case.line(line).visit.units();
    for (&(line, _), &column) in &context.columns.visits.clone() {
        let price = price(context, line);
        cost(context, column, price);
    }
    let shifts = context.case.calendar.shifts.len() as f64;
    for (&(line, period), &column) in &context.columns.line_on.clone() {
        if !context.grid.is_fine(period) {
            let price = price(context, line);
            cost(context, column, price / shifts);
        }
    }
}

/// Person-time of outages: paid whatever is planned.
fn outage_labour(context: &mut Context) {
    let weight = money_weight(&context.case.aim);
    let mut hours = 0.0;
    for period in 0..context.grid.fine() {
        for role in Role::ALL {
            hours += outage::person_hours(context, role, period);
        }
    }
    context.program.constant -= hours * context.case.rates.labour.units() * weight;
}

/// Yeast bought, and kept beyond its free days.
fn yeast_costs(context: &mut Context) {
    for (&(yeast, _, source, slot), &column) in &context.columns.pitches.clone() {
        let money = yeast::price(context, yeast, source, slot);
        cost(context, column, money);
    }
    for (&(yeast, period), &column) in &context.columns.bought_ahead.clone() {
        let money = yeast::price(context, yeast, YeastSource::Bought, period);
        cost(context, column, money);
    }
}

/// Tank work that is left to the look-ahead is paid with its batch; what is left out is charged.
fn tank_works(context: &mut Context) {
    let rates = context.case.rates;
    let labour = |context: &Context, kind, from: usize| {
        let pieces = tank_work::pieces(context, kind).get(from..).unwrap_or_default();
        let times = pieces.iter().map(|piece| piece.job.crew.total().hours());
        times.sum::<f64>() * rates.labour.units()
    };
    for way in context.columns.tank_ways.clone() {
        if let (Some(pending), true) = (way.way.pending, context.case.calendar.look_ahead_days > 0) {
            let money = labour(context, way.kind, pending);
            cost(context, way.column, money);
        }
        let charge = Money(rates.dump.0 * way.way.left_out);
        let charge = charge.for_volume(context.kind(way.kind).tank_volume);
        last_resort(context, way.column, charge.units());
    }
    for brew in context.columns.brews.clone() {
        if !context.grid.is_fine(brew.last()) {
            let money = labour(context, brew.kind, 0);
            cost(context, brew.column, money);
        }
    }
}

/// First day of a period.
fn day(context: &Context, period: PeriodId) -> i64 {
    context.grid.period(period).first_day
}

fn last_resorts_and_waiting(context: &mut Context) {
    let end = context.case.calendar.days() as i64;
    for ferment in context.columns.ferments.clone() {
        // It waits in its conditioning tank.
        if let Leaving::Moved { .. } = ferment.leaving {
            continue;
        }
        let leaves = ferment.leaving.begins().map_or(end, |first| day(context, first));
        let (waiting, over) =
            wait::cost(context, ferment.kind, ferment.filled, ferment.course.ready.1, leaves);
        cost(context, ferment.column, waiting.units());
        let mut charge = over;
        if let Leaving::Dump(_) = ferment.leaving {
            charge += context.case.rates.dump.for_volume(context.kind(ferment.kind).tank_volume);
        }
        last_resort(context, ferment.column, charge.units());
    }
    for hold in context.columns.holds.clone() {
        let Source::Bright(lot) = hold.source else { continue };
        let leaves = match hold.emptied {
            Emptied::At(period) | Emptied::Dump(period) => day(context, period),
            Emptied::Stays => end,
        };
        let (waiting, over) = wait::lot_cost(context, &lot, leaves);
        cost(context, hold.column, waiting.units());
        let mut charge = over;
        match (hold.emptied, context.columns.wasted.get(&lot)) {
            (Emptied::Dump(_), None) => charge += context.case.rates.dump.for_volume(lot.volume),
            // What is poured away of a serving tank is counted by volume.
            (Emptied::Dump(_), Some(_)) | (Emptied::At(_) | Emptied::Stays, _) => {}
        }
        last_resort(context, hold.column, charge.units());
    }
    for column in context.columns.wasted.clone().into_values() {
        last_resort(context, column, context.case.rates.dump.units());
    }
}

fn deliveries(context: &mut Context) {
    let rates = context.case.rates;
    for id in context.case.order_ids() {
        let order = context.case.order(id);
        let contribution = context.case.beer(order.beer).contribution(order.format).unwrap_or_default();
        let charge = if order.firm { rates.missed_firm.of_money(contribution) } else { Money::ZERO };
        context.program.constant -= charge.units() * order.quantity.hectolitres();
        let worth = money::order_worth(context.case, order);
        for (_, column) in orders::deliveries(context, id) {
            context.program.earn(column, (worth + charge).units());
        }
    }
}

/// Grade of beer whose stay is over.
const READY: (i64, i64) = (1, 1);

/// Beer still in a vessel at the end: (elapsed days, days of the stay), column, value in money for each.
fn in_tank(context: &mut Context, beer: BeerId) -> Vec<((i64, i64), (ColumnId, f64))> {
    let end = context.case.calendar.days() as i64;
    let mut values = Vec::new();
    for ferment in context.columns.ferments.iter().filter(|ferment| context.kind(ferment.kind).beer == beer) {
        let tank = context.kind(ferment.kind).tank_volume;
        match ferment.leaving {
            Leaving::Stays => {
                let (filled, ready) = stay_of(context, ferment);
                if end > wait::hard_end(context, ferment.kind, ferment.filled) {
                    continue;
                }
                let value =
                    money::in_tank_value(context.case, beer, tank, false, end - filled, ready - filled);
                let grade = ((end - filled).clamp(0, ready - filled), ready - filled);
                values.push((grade, (ferment.column, value.units())));
            }
            Leaving::Bright { .. } | Leaving::Direct { .. } | Leaving::Moved { .. } | Leaving::Dump(_) => {}
        }
    }
    for movement in &context.columns.movements {
        if context.kind(movement.kind).beer != beer || movement.last.is_some() {
            continue;
        }
        let left: Volume =
            movement.stages.iter().filter(|stage| stage.period.is_none()).map(|stage| stage.leaves).sum();
        let value = money::in_tank_value(context.case, beer, left, false, 1, 1);
        values.push((READY, (movement.column, value.units())));
    }
    for hold in context.columns.holds.clone() {
        if volume::beer_of(context, hold.source) != beer || hold.emptied != Emptied::Stays {
            continue;
        }
        let whole = volume::volume_of(context, hold.source);
        if let Source::Bright(lot) = hold.source
            && end > wait::lot_end(context, &lot)
        {
            continue;
        }
        // Beer being packaged from a fermenter is carbonated: it counts as in a bright tank.
        let case = context.case;
        let value = |volume| money::in_tank_value(case, beer, volume, true, 1, 1).units();
        match context.columns.left.get(&hold.source) {
            Some(&left) => values.push((READY, (value_of_rest(context, beer, &hold, left, whole), 1.0))),
            None => values.push((READY, (hold.column, value(whole)))),
        }
    }
    values
}

/// A column with the value of what is left in vessels that were packaged from: by the worst of the formats, and never
/// less than nothing (vessels with next to nothing left are not valued).
fn value_of_rest(
    context: &mut Context,
    beer: BeerId,
    hold: &Hold,
    left: ColumnId,
    whole: Volume,
) -> ColumnId {
    let data = context.case.beer(beer);
    let is_integer = context.program.columns[hold.column.0].is_integer;
    let program = &mut context.program;
    let valued = program.column(0.0, f64::INFINITY, is_integer);
    let left_valued = program.column(0.0, f64::INFINITY, false);
    let value = program.column(0.0, f64::INFINITY, false);
    program.at_most(RuleId::Volume, vec![(valued, 1.0), (hold.column, -1.0)], 0.0);
    program.at_most(RuleId::Volume, vec![(left_valued, 1.0), (left, -1.0)], 0.0);
    program.at_most(RuleId::Volume, vec![(left_valued, 1.0), (valued, -whole.hectolitres())], 0.0);
    let price = money::ready_value(context.case, data).units();
    for packaged in &data.packaged {
        let format = context.case.format(packaged.format);
        let worth = price * format.kept();
        let lost = context.case.line(format.line).loss.hectolitres();
        let row = vec![(value, 1.0), (left_valued, -worth), (valued, worth * lost)];
        program.at_most(RuleId::Volume, row, 0.0);
    }
    value
}

/// First possible fill day and ready day of a batch, for what it is worth at the end.
fn stay_of(context: &Context, ferment: &Ferment) -> (i64, i64) {
    let day = match context.opening(ferment.kind) {
        Some(tank) => tank.on,
        None => ferment.filled.map_or(0, |period| context.grid.period(period).first_day),
    };
    (day, ferment.course.ready.0)
}

fn values_at_the_end(context: &mut Context) {
    let case = context.case;
    for beer in case.beer_ids() {
        let data = case.beer(beer);
        let in_tank = in_tank(context, beer);
        let mut values: Terms = Vec::new();
        for packaged in &data.packaged {
            let worth = case.rates.surplus.of_money(packaged.contribution).units();
            values.push((context.columns.surplus[&(beer, packaged.format)], worth));
        }
        let Some(sales) = data.sales else {
            for (column, value) in values.into_iter().chain(in_tank.into_iter().map(|(_, term)| term)) {
                context.program.earn(column, value);
            }
            continue;
        };
        // Within expected sales: each format up to its surplus, beer in tank by its expected volume.
        let most = sales.hectolitres() * case.rates.surplus_weeks as f64;
        let mut valued: Terms = Vec::new();
        for (surplus, worth) in values {
            let counted = context.program.column(0.0, most, false);
            context.program.earn(counted, worth);
            context.program.at_most(RuleId::Orders, vec![(counted, 1.0), (surplus, -1.0)], 0.0);
            valued.push((counted, 1.0));
        }
        let mut grades: BTreeMap<(i64, i64), Terms> = BTreeMap::new();
        for ((elapsed, stay), term) in in_tank {
            let grade = if elapsed >= stay { READY } else { (elapsed, stay) };
            grades.entry(grade).or_default().push(term);
        }
        for ((elapsed, stay), terms) in grades {
            let per_hectolitre = money::ready_value(case, data).units() * elapsed as f64 / stay as f64;
            if per_hectolitre > 0.0 {
                let counted = context.program.column(0.0, most, false);
                context.program.earn(counted, per_hectolitre);
                let mut row: Terms = scaled(&terms, -1.0);
                row.push((counted, per_hectolitre));
                context.program.at_most(RuleId::Orders, row, 0.0);
                valued.push((counted, 1.0));
            }
        }
        context.program.at_most(RuleId::Orders, valued, most);
    }
}

fn output(context: &mut Context, mix: Option<&Mix>) {
    let mut planned: BTreeMap<(BeerId, FormatId), Terms> = BTreeMap::new();
    for (&(beer, format, period), &column) in &context.columns.packs {
        let litres = 100.0 * context.case.format(format).kept();
        let weight = if context.grid.is_fine(period) { 1.0 } else { 0.01 };
        context.program.earn(column, litres * weight);
        if context.grid.is_fine(period) {
            planned.entry((beer, format)).or_default().push((column, litres));
        }
    }
    if let Some(mix) = mix {
        keep_mix(&mut context.program, mix, &planned);
    }
}

/// Packaged litres by beer and format keep a mix.
pub fn keep_mix(program: &mut Program, mix: &Mix, litres: &BTreeMap<(BeerId, FormatId), Terms>) {
    let all: Terms = litres.values().flatten().copied().collect();
    for share in &mix.shares {
        let fraction = share.share.as_fraction();
        let tolerance = mix.tolerance.as_fraction();
        let mut off: Terms = Vec::new();
        for (&(beer, format), terms) in litres {
            if beer == share.beer && share.format.is_none_or(|wanted| wanted == format) {
                off.extend(terms);
            }
        }
        let mut above = off.clone();
        above.extend(all.iter().map(|&(column, litres)| (column, -litres * (fraction + tolerance))));
        program.at_most(RuleId::Orders, above, 0.0);
        off.extend(all.iter().map(|&(column, litres)| (column, -litres * (fraction - tolerance))));
        program.at_least(RuleId::Orders, off, 0.0);
    }
}
