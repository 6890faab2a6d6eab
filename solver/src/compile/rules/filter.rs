//! R24 filter and hoses: beer goes only where something reaches; a filter takes one beer after another at its rate; only so many
//! transfers run at once.
//!
//! What is not reached has no column: kinds of batches are apart by what their fermenters reach (`columns::fermenting::kinds`).
//! Rows, in a slot (in a period of the look-ahead without start-up and changes): start-up x on, volume out of the filter / rate
//! and change x (beers - 1) add up to at most the hours; lots of a beer <= vessels x its run, run <= on; clock time of transfers,
//! moves into conditioning tanks among them, <= `at_once` x hours.
//! The filter's time for a transfer is in `transfer_takes`, its loss in `arrives`, its people are in `crew`.

use std::collections::BTreeMap;

use cellarwright_model::case::{Away, Vessel};
use cellarwright_model::ids::{BeerId, LineId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Minutes;

use super::{bright_rest, calendar, outage};
use crate::compile::columns::{Filled, Leaving, Lot, Source};
use crate::compile::context::{Context, Kind};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms};

/// Whether beer can be transferred from vessels of a group into those of another.
pub fn may_transfer(context: &Context, from: GroupId, to: GroupId) -> bool {
    let (from, to) = (context.groups.get(from).vessels[0], context.groups.get(to).vessels[0]);
    !context.keeps(RuleId::Filter) || context.case.reaches_vessel(from, to)
}

/// Whether vessels of a group can feed a line.
pub fn may_feed(context: &Context, from: GroupId, line: LineId) -> bool {
    let from = context.groups.get(from).vessels[0];
    !context.keeps(RuleId::Filter) || context.case.reaches_line(from, line)
}

/// Groups that can be reached from a group, as a key: groups with the same key reach the same.
pub fn reached(context: &Context, from: GroupId) -> Vec<GroupId> {
    context.groups.ids().filter(|&to| may_transfer(context, from, to)).collect()
}

/// Whether beer of a kind reaches tanks of a group: all fermenters of a kind reach the same.
pub fn reaches(context: &Context, kind: &Kind, tank: GroupId) -> bool {
    kind.groups.first().is_none_or(|&from| may_transfer(context, from, tank))
}

/// Clock time of the longest filling of a vessel by so many transfers, of any beer.
pub fn longest_filling(context: &Context, vessel: &Vessel, transfers: i64) -> Minutes {
    let case = context.case;
    let beers = case.beers.iter().filter(|beer| beer.bright);
    let times = beers.map(|beer| case.filling_takes(beer, transfers, vessel.holds));
    times.fold(Minutes(case.transfer.takes().0 * transfers), Minutes::max)
}

/// Lots filled by beer and period.
pub fn lots(context: &Context) -> BTreeMap<(BeerId, PeriodId), Vec<(ColumnId, Lot)>> {
    let mut lots: BTreeMap<(BeerId, PeriodId), Vec<(ColumnId, Lot)>> = BTreeMap::new();
    for hold in &context.columns.holds {
        if let Source::Bright(lot) = hold.source
            && let Filled::In(period) = lot.filled
        {
            lots.entry((lot.beer, period)).or_default().push((hold.column, lot));
        }
    }
    lots
}

/// Clock time of each filter in hours, by period.
pub fn times(context: &Context) -> BTreeMap<(usize, PeriodId), Terms> {
    let mut times: BTreeMap<(usize, PeriodId), Terms> = BTreeMap::new();
    if context.case.filters.is_empty() {
        return times;
    }
    for ((beer, period), lots) in lots(context) {
        let Some(place) = context.case.beer(beer).filter else { continue };
        let rate = context.case.filters[place].rate.0 as f64;
        let through = lots.into_iter().filter(|(_, lot)| !context.groups.get(lot.group).like.is_serve_only());
        let running = through.map(|(column, lot)| (column, lot.volume.0 as f64 / rate));
        times.entry((place, period)).or_default().extend(running);
    }
    for (&(place, period), &on) in &context.columns.filter_on {
        let filter = &context.case.filters[place];
        let has_runs = context
            .columns
            .filter_runs
            .keys()
            .any(|&(beer, at)| at == period && context.case.beer(beer).filter == Some(place));
        let change = if has_runs { filter.change } else { Minutes::ZERO };
        times.entry((place, period)).or_default().push((on, (filter.start_up - change).hours()));
    }
    for (&(beer, period), &run) in &context.columns.filter_runs {
        if let Some(place) = context.case.beer(beer).filter {
            let change = context.case.filters[place].change.hours();
            times.entry((place, period)).or_default().push((run, change));
        }
    }
    times
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let vessels = context.case.vessels.len() as f64;
    for ((beer, period), lots) in lots(context) {
        let Some(place) = context.case.beer(beer).filter else { continue };
        let on = context.columns.filter_on.get(&(place, period)).copied();
        let run = context.columns.filter_runs.get(&(beer, period)).copied();
        if let Some(runs) = run.or(on) {
            let through = lots.iter().filter(|(_, lot)| !context.groups.get(lot.group).like.is_serve_only());
            let mut row: Terms = through.map(|&(column, _)| (column, 1.0)).collect();
            row.push((runs, -vessels));
            context.program.at_most(RuleId::Filter, row, 0.0);
        }
        if let (Some(run), Some(on)) = (run, on) {
            context.program.at_most(RuleId::Filter, vec![(run, 1.0), (on, -1.0)], 0.0);
        }
    }
    if !context.keeps(RuleId::Filter) {
        return;
    }
    for ((place, period), terms) in times(context) {
        let hours = hours_there(context, Away::Filter(place), period);
        context.program.at_most(RuleId::Filter, terms, hours);
    }
    if let Some(at_once) = context.case.transfer.at_once {
        let mut by_period: BTreeMap<PeriodId, Terms> = BTreeMap::new();
        for ((_, period), lots) in lots(context) {
            let takes = |lot: Lot| bright_rest::filling_takes(context, &lot).hours();
            let terms = lots.into_iter().map(|(column, lot)| (column, takes(lot)));
            by_period.entry(period).or_default().extend(terms);
        }
        let takes = context.case.transfer.takes().hours();
        for ferment in &context.columns.ferments {
            if let Leaving::Moved { at, .. } = ferment.leaving {
                by_period.entry(at).or_default().push((ferment.column, takes));
            }
        }
        for (period, terms) in by_period {
            let hours = calendar::clock_hours(context, period);
            context.program.at_most(RuleId::Filter, terms, at_once as f64 * hours);
        }
    }
}

/// Clock hours of the shifts of a period in which something is not away.
fn hours_there(context: &Context, what: Away, period: PeriodId) -> f64 {
    let slots = context.grid.slots(period).filter(|&slot| outage::is_there(context, what, slot));
    slots.map(|slot| context.case.shift_hours(slot).hours()).sum()
}
