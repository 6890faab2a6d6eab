//! Columns of beer on its way to a line: lots in bright tanks, fermenters packaged from, and what is drawn from them.

use cellarwright_model::calendar::{Role, Slot};

use super::{DirectLot, Emptied, Filled, Hold, Lot, Source, serve_only};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::rules::{bright_rest, calendar, direct, line, outage, pinned, serving, stages, wait};

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    add_lots(context);
    add_direct_lots(context);
    for lot in serve_only::add(context) {
        add_lot(context, lot);
    }
}

fn add_lots(context: &mut Context) {
    let mut lots: Vec<Lot> = Vec::new();
    for (position, tank) in context.case.in_tank.iter().enumerate().filter(|(_, tank)| tank.is_bright) {
        let group = context.groups.of(tank.vessel);
        lots.push(Lot {
            beer: tank.beer,
            group,
            volume: tank.filled,
            filled: Filled::Opening(position),
            transfers: 1,
        });
    }
    for movement in &context.columns.movements {
        let beer = context.kind(movement.kind).beer;
        for stage in &movement.stages {
            if let Some(period) = stage.period {
                let filled = Filled::In(period);
                lots.push(Lot { beer, group: stage.group, volume: stage.arrives, filled, transfers: 1 });
            }
        }
    }
    let parts = context.columns.ferments.iter();
    lots.extend(parts.filter_map(|ferment| direct::part_lot(context, ferment.kind, ferment.leaving)));
    lots.extend(context.columns.blends.iter().map(|blend| blend.lot));
    lots.sort_unstable();
    lots.dedup();
    for lot in lots {
        add_lot(context, lot);
    }
}

fn add_lot(context: &mut Context, lot: Lot) {
    let source = Source::Bright(lot);
    let vessel = context.groups.get(lot.group).like.clone();
    let first = match lot.filled {
        Filled::Opening(_) => 0,
        Filled::In(period) => period,
    };
    let fills: Vec<Option<Slot>> = match lot.filled {
        Filled::Opening(_) => vec![None],
        Filled::In(period) => {
            let slots = outage::working_with(context, Role::Cellar, lot.group, period);
            slots.into_iter().map(Some).collect()
        }
    };
    let can_feed = crate::compile::rules::volume::lines_of(context, source) != 0;
    let is_served = serving::tap(context, &lot).is_some();
    let (mut draws, mut pours): (Vec<PeriodId>, Vec<PeriodId>) = (Vec::new(), Vec::new());
    let filled_in = match lot.filled {
        Filled::Opening(_) => None,
        Filled::In(period) => Some(period),
    };
    for period in first..context.grid.len() {
        if !outage::may_stay(context, lot.group, filled_in, Some(period)) {
            continue;
        }
        let packaging = packaging_slots(context, source, period);
        let may_end = packaging.iter().any(|&packaged| {
            fills.iter().any(|&filled| {
                let day = context.case.calendar.day(packaged) as i64;
                let filled_day = filled
                    .map_or(wait::fill_days(context, &lot).0, |slot| context.case.calendar.day(slot) as i64);
                filled.is_none_or(|slot| bright_rest::may_package(context, &lot, &vessel, slot, packaged))
                    && wait::may_empty(context, &lot, filled_day, day)
            })
        });
        let may_draw = may_end && can_feed;
        let may_pour = serving::may_pour(context, &lot, period);
        if may_draw {
            draws.push(period);
        }
        if may_pour {
            pours.push(period);
        }
        let may_fill_others = !serve_only::tanks(context, source, period).is_empty();
        if may_draw || may_pour || may_fill_others {
            add_hold(context, source, Emptied::At(period));
        }
        let mut slots = outage::working_with(context, Role::Cellar, lot.group, period).into_iter();
        let can_dump = slots.any(|slot| pinned::may_dump(context, lot.group, slot));
        if filled_in.is_none() && can_dump {
            add_hold(context, source, Emptied::Dump(period));
        }
    }
    let end_day = context.case.calendar.days() as i64;
    let (_, filled_day) = wait::fill_days(context, &lot);
    let may_stay = outage::may_stay(context, lot.group, filled_in, None);
    if may_stay && (is_served || wait::may_empty(context, &lot, filled_day, end_day)) {
        add_hold(context, source, Emptied::Stays);
        add_left(context, source);
        // How much there is in a tank that is only poured from is not known from its lot.
        if filled_in.is_some() && vessel.is_serve_only() && !context.columns.left.contains_key(&source) {
            let left = context.program.column(0.0, f64::INFINITY, false);
            context.columns.left.insert(source, left);
        }
    }
    for period in draws {
        let draw = context.program.column(0.0, f64::INFINITY, false);
        context.columns.draws.insert((source, period), draw);
    }
    if is_served && matches!(lot.filled, Filled::Opening(_)) {
        let wasted = context.program.column(0.0, f64::INFINITY, false);
        context.columns.wasted.insert(lot, wasted);
    }
    for period in pours {
        let pour = context.program.column(0.0, f64::INFINITY, false);
        context.columns.pours.insert((lot, period), pour);
    }
}

fn add_direct_lots(context: &mut Context) {
    let mut lots: Vec<DirectLot> = Vec::new();
    for ferment in &context.columns.ferments {
        lots.extend(ferment.leaving.direct_lot(ferment.kind, ferment.group));
    }
    lots.sort_unstable();
    lots.dedup();
    for lot in lots {
        let source = Source::Direct(lot);
        // R22 counts from the transfer, where a part was moved before.
        let starts = match lot.part {
            Some(part) => vec![Slot(part.at)],
            None => drawing_slots(context, source, lot.first),
        };
        let mut reaches_end = true;
        for period in lot.first..context.grid.len() {
            if context.grid.is_fine(lot.first) != context.grid.is_fine(period) {
                reaches_end = false;
                break;
            }
            let ends = calendar::working(context, Role::Package, period);
            let may_stay = outage::may_stay(context, lot.group, Some(lot.first), Some(period));
            reaches_end &= may_stay;
            let is_soon = |&end: &Slot| {
                starts.iter().any(|&start| stages::soon_enough(context, Role::Package, start, end))
            };
            let may_draw = packaging_slots(context, source, period).iter().any(is_soon);
            let may_end = may_draw || drawing_slots(context, source, period).iter().any(is_soon);
            if may_end && may_stay {
                add_hold(context, source, Emptied::At(period));
                if may_draw {
                    let draw = context.program.column(0.0, f64::INFINITY, false);
                    context.columns.draws.insert((source, period), draw);
                }
            } else if !ends.is_empty() && !ends.iter().any(is_soon) {
                reaches_end = false;
                break;
            }
        }
        // With a look-ahead nothing is begun that is not finished: such a batch simply stays.
        if reaches_end && context.case.calendar.look_ahead_days == 0 {
            add_hold(context, source, Emptied::Stays);
            add_left(context, source);
        }
    }
}

/// Slots of a period in which some line that a source can feed may run, and the source's vessel is not away.
pub fn packaging_slots(context: &Context, source: Source, period: PeriodId) -> Vec<Slot> {
    let lines = crate::compile::rules::volume::lines_of(context, source);
    let fed = context.case.line_ids().filter(|line| lines & (1 << line.0) != 0);
    let mut slots: Vec<Slot> = fed.flat_map(|id| line::working(context, id, period)).collect();
    slots.retain(|&slot| outage::is_vessel_there(context, source.group(), slot));
    slots.sort_unstable();
    slots.dedup();
    slots
}

/// The same with slots in which a fermenter can fill a tank that is only poured from.
pub fn drawing_slots(context: &Context, source: Source, period: PeriodId) -> Vec<Slot> {
    let mut slots = packaging_slots(context, source, period);
    slots.extend(serve_only::tanks(context, source, period).into_iter().flat_map(|(_, slots)| slots));
    slots.sort_unstable();
    slots.dedup();
    slots
}

fn add_hold(context: &mut Context, source: Source, emptied: Emptied) {
    let is_integer = match emptied {
        Emptied::At(period) | Emptied::Dump(period) => context.grid.is_fine(period),
        Emptied::Stays => context.grid.fine() == context.grid.len(),
    };
    let column = context.program.column(0.0, f64::INFINITY, is_integer);
    context.columns.holds.push(Hold { source, emptied, column });
}

/// What is left of vessels that were drawn from and are not empty at the end. With a look-ahead there are none: a
/// restriction of its last days.
fn add_left(context: &mut Context, source: Source) {
    if context.case.calendar.look_ahead_days == 0 {
        let left = context.program.column(0.0, f64::INFINITY, false);
        context.columns.left.insert(source, left);
    }
}
