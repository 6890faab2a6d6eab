//! Columns of packaging and of packaged beer.

use std::collections::BTreeSet;

use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::units::Minutes;

use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::rules::{crew, line, orders, volume};

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    let mut wanted: BTreeSet<(BeerId, u64, PeriodId)> = BTreeSet::new();
    for &(source, period) in context.columns.draws.keys() {
        wanted.insert((volume::beer_of(context, source), volume::lines_of(context, source), period));
    }
    for (beer, lines, period) in wanted {
        for id in context.case.line_ids().filter(|line| lines & (1 << line.0) != 0) {
            let most = line::most_in_a_shift(context, id, period);
            let is_manned = context.grid.slots(period).any(|slot| {
                crew::heads_there(context, slot) >= context.case.line(id).people
                    || crew::packers(context).any(|packers| !crew::counts(context, packers, slot))
            });
            if most > 0.0 && is_manned {
                let feed = context.program.column(0.0, f64::INFINITY, false);
                context.columns.feeds.insert((beer, lines, id, period), feed);
                add_run(context, beer, id, period);
            }
        }
    }
    add_packaged(context);
}

fn add_run(context: &mut Context, beer: BeerId, id: LineId, period: PeriodId) {
    if context.columns.runs.contains_key(&(beer, id, period)) {
        return;
    }
    let is_fine = context.grid.is_fine(period);
    // A beer runs once in a shift at most, whatever it would lose by running more often.
    let shifts = line::working(context, id, period).len();
    let most = if is_fine { 1.0 } else { shifts as f64 };
    let run = context.program.column(0.0, most, is_fine);
    context.columns.runs.insert((beer, id, period), run);
    if !context.columns.line_on.contains_key(&(id, period)) {
        let on = context.program.column(0.0, most, is_fine);
        context.columns.line_on.insert((id, period), on);
    }
    if context.case.line(id).least_run.0 > 0 && is_fine {
        let short = context.program.column(0.0, f64::INFINITY, false);
        context.columns.short_runs.insert((beer, id, period), short);
    }
    let formats: Vec<_> = context
        .case
        .beer(beer)
        .packaged
        .iter()
        .map(|packaged| packaged.format)
        .filter(|&format| context.case.format(format).line == id)
        .collect();
    let data = context.case.line(id);
    let takes_time = data.change_format > Minutes::ZERO || !data.format_pairs.is_empty();
    let changes = formats.len() > 1 && is_fine && takes_time;
    for format in formats {
        let pack = context.program.column(0.0, f64::INFINITY, false);
        context.columns.packs.insert((beer, format, period), pack);
        if changes {
            let format_run = context.program.column(0.0, 1.0, true);
            context.columns.format_runs.insert((beer, format, period), format_run);
        }
    }
}

fn add_packaged(context: &mut Context) {
    let case = context.case;
    for beer in case.beer_ids() {
        for packaged in &case.beer(beer).packaged {
            let surplus = context.program.column(0.0, f64::INFINITY, false);
            context.columns.surplus.insert((beer, packaged.format), surplus);
        }
    }
    for id in case.order_ids() {
        let order = case.order(id);
        if !context.columns.surplus.contains_key(&(order.beer, order.format)) {
            continue;
        }
        for day in orders::days(context, id) {
            let deliver = context.program.column(0.0, order.quantity.hectolitres(), false);
            context.columns.deliver.insert((id, day), deliver);
            if orders::is_whole(context, id) {
                let whole = context.program.column(0.0, 1.0, true);
                context.columns.whole.insert((id, day), whole);
            }
        }
    }
}
