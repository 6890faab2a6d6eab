//! R18 yeast: every batch is pitched; sources, ages and generations are counted exactly in the planned days.
//!
//! Columns, by strain: pitches of a generation from a source (bought, an entry of the store, crops of a slot) in a slot; batches by
//! slot, pitches each and generation; crops by fill, generation and slot. Only batches that can be cropped in the planned days
//! have their generation by fill. Pitches that are too old, too early or of too high a generation, and crops outside their window, have no column.
//! Rows: batches begun in a slot = batches of all generations; their pitches = pitches from sources; pitches from a source <= what
//! it has; crops of a generation <= batches of it; crops from a slot on <= batches not dry hopped, or leaving, before it.
//! In the look-ahead, by period from its start: pitches <= pitches bought + what crops could have given by then, ages and generations left aside.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{BeerYeast, TankWorkKind, YeastCrop};
use cellarwright_model::ids::YeastId;
use cellarwright_model::rule::RuleId;

use super::{calendar, conditioning, outage, ready, tank_work};
use crate::compile::columns::YeastSource;
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::{ColumnId, Terms, scaled};

/// Batches that can be cropped alike: their kind, group, and period of the last turn (none for beer in tank on day 0).
pub type Fill = (KindId, GroupId, Option<PeriodId>);

/// Whether yeast is planned at all.
fn is_planned(context: &Context) -> bool {
    context.keeps(RuleId::Yeast) && !context.case.yeast.strains.is_empty()
}

/// The yeast of a kind of batch.
fn yeast_of(context: &Context, kind: KindId) -> Option<BeerYeast> {
    context.case.beer(context.kind(kind).beer).yeast
}

/// Pitches that each batch of a kind takes.
pub fn pitches_of(context: &Context, kind: KindId) -> Option<(YeastId, i64)> {
    let beer = yeast_of(context, kind)?;
    match context.kind(kind).origin {
        Origin::New { turns, .. } => Some((beer.yeast, beer.pitches(turns))),
        Origin::Opening { .. } | Origin::Moved { .. } => None,
    }
}

/// How batches of a kind are cropped, if they are.
fn crop_of(context: &Context, kind: KindId) -> Option<YeastCrop> {
    // Yeast is cropped in the fermenter.
    if let Origin::Moved { .. } = context.kind(kind).origin {
        return None;
    }
    let beer = yeast_of(context, kind)?;
    let crop = context.case.yeast.strain(beer.yeast).crop?;
    let is_too_strong =
        crop.not_above.is_some_and(|limit| beer.gravity.is_none_or(|gravity| gravity > limit));
    let is_hopped = context.opening(kind).is_some_and(|tank| {
        let works = &context.case.beer(tank.beer).tank_work;
        works.iter().take(tank.work_done.len()).any(|work| work.kind == TankWorkKind::DryHop)
    });
    let is_late = crop.before_dry_hop && is_hopped;
    (!is_too_strong && !is_late).then_some(crop)
}

/// Day of the last turn of a fill.
fn on(context: &Context, (kind, _, filled): Fill) -> i64 {
    match context.opening(kind) {
        Some(tank) => tank.on,
        None => filled.map_or(0, |period| context.grid.period(period).first_day),
    }
}

/// Whether the beer's dry hop ends the time for cropping.
fn has_hop(context: &Context, kind: KindId, crop: &YeastCrop) -> bool {
    let pieces = tank_work::pieces(context, kind);
    crop.before_dry_hop && pieces.iter().any(|piece| piece.kind == TankWorkKind::DryHop)
}

/// Whether batches of a kind are cropped no later than they are dry hopped.
pub fn ends_with_hop(context: &Context, kind: KindId) -> bool {
    crop_of(context, kind).is_some_and(|crop| has_hop(context, kind, &crop))
}

/// Slots of the planned days in which a fill can be cropped.
fn crop_slots(context: &Context, fill: Fill) -> Vec<PeriodId> {
    let (kind, group, filled) = fill;
    let Some(crop) = crop_of(context, kind) else { return Vec::new() };
    let day_of = |slot: Slot| context.case.calendar.day(slot) as i64;
    let on = on(context, fill);
    // Dry hopped after a move: in no later slot than the first in which it may be moved.
    let may_move = has_hop(context, kind, &crop) && !conditioning::tanks(context, kind, group).is_empty();
    let (ready, _) = ready::ready_days(context, kind, group, filled);
    let rest = context.case.beer(context.kind(kind).beer).conditions.unwrap_or_default();
    let first_move = if may_move { ready - rest } else { i64::MAX };
    let slots = filled.map_or(0, |filled| filled + 1)..context.grid.fine();
    let is_good = |&period: &PeriodId| {
        let slot = Slot(period);
        let day = day_of(slot);
        (on + crop.from..=on + crop.to).contains(&day)
            && (day < first_move || day == first_move && context.case.calendar.shift(slot) == 0)
            && calendar::works(context, Role::Cellar, slot)
            && outage::is_vessel_there(context, group, slot)
            && crop.job.takes <= context.case.shift_hours(slot)
    };
    slots.filter(is_good).collect()
}

/// Generation of an opening batch that can be cropped.
fn opening_generation(context: &Context, kind: KindId) -> Option<i64> {
    let tank = context.opening(kind)?;
    context.case.yeast.in_tank.iter().find(|known| known.0 == tank.vessel).map(|known| known.1)
}

/// Adds all columns of the rule.
pub fn add_columns(context: &mut Context) {
    if !is_planned(context) {
        return;
    }
    for yeast in context.case.yeast.ids() {
        add_strain(context, yeast);
        add_ahead(context, yeast);
    }
}

fn add_strain(context: &mut Context, yeast: YeastId) {
    let strain = context.case.yeast.strain(yeast).clone();
    let mut croppable: BTreeMap<PeriodId, Vec<Fill>> = BTreeMap::new();
    let mut generations: BTreeMap<Fill, BTreeSet<i64>> = BTreeMap::new();
    for (kind, group, filled) in fills(context, yeast) {
        for slot in crop_slots(context, (kind, group, filled)) {
            croppable.entry(slot).or_default().push((kind, group, filled));
        }
        if let Some(generation) = opening_generation(context, kind) {
            generations.entry((kind, group, filled)).or_default().insert(generation);
        }
    }
    let can_crop: BTreeSet<Fill> = croppable.values().flatten().copied().collect();
    let mut lots: BTreeSet<(i64, PeriodId)> = BTreeSet::new();
    for slot in 0..context.grid.fine() {
        for &fill in croppable.get(&slot).into_iter().flatten() {
            for &generation in generations.get(&fill).into_iter().flatten() {
                if generation < strain.generations {
                    let column = context.program.column(0.0, f64::INFINITY, true);
                    context.columns.crops.insert((fill, generation, slot), column);
                    lots.insert((generation + 1, slot));
                }
            }
        }
        let brews: Vec<(usize, i64)> = (0..context.columns.brews.len())
            .filter(|&position| context.columns.brews[position].first() == slot)
            .filter_map(|position| {
                let needed = pitches_of(context, context.columns.brews[position].kind)?;
                (needed.0 == yeast).then_some((position, needed.1))
            })
            .collect();
        if brews.is_empty() {
            continue;
        }
        let sources = sources(context, yeast, slot, &lots);
        let here: BTreeSet<i64> = sources.iter().map(|&(generation, _)| generation).collect();
        for (generation, source) in sources {
            let column = context.program.column(0.0, f64::INFINITY, true);
            context.columns.pitches.insert((yeast, generation, source, slot), column);
        }
        let needs: BTreeSet<i64> = brews.iter().map(|&(_, needed)| needed).collect();
        for &generation in &here {
            for &needed in &needs {
                let column = context.program.column(0.0, f64::INFINITY, true);
                context.columns.pitched.insert((yeast, slot, needed, generation), column);
            }
            for &(position, _) in &brews {
                let brew = &context.columns.brews[position];
                let fill = (brew.kind, brew.group, Some(brew.last()));
                if can_crop.contains(&fill) {
                    let column = context.program.column(0.0, f64::INFINITY, true);
                    context.columns.generations.insert((position, generation), column);
                    generations.entry(fill).or_default().insert(generation);
                }
            }
        }
    }
}

/// Opening batches, and batches brewed in the planned days, of a strain.
fn fills(context: &Context, yeast: YeastId) -> Vec<Fill> {
    let mut all: BTreeSet<Fill> = BTreeSet::new();
    for ferment in &context.columns.ferments {
        let is_planned = ferment.filled.is_none_or(|period| context.grid.is_fine(period));
        if is_planned && yeast_of(context, ferment.kind).is_some_and(|beer| beer.yeast == yeast) {
            all.insert((ferment.kind, ferment.group, ferment.filled));
        }
    }
    all.into_iter().collect()
}

/// Sources that can be pitched in a slot, with their generation.
fn sources(
    context: &Context,
    yeast: YeastId,
    slot: PeriodId,
    lots: &BTreeSet<(i64, PeriodId)>,
) -> Vec<(i64, YeastSource)> {
    let strain = context.case.yeast.strain(yeast);
    let day_of = |slot: PeriodId| context.case.calendar.day(Slot(slot)) as i64;
    let day = day_of(slot);
    let mut all = Vec::new();
    if strain.bought.is_some_and(|bought| bought.lead <= day) {
        all.push((1, YeastSource::Bought));
    }
    for (position, entry) in context.case.yeast.in_store.iter().enumerate() {
        if entry.yeast == yeast && day - entry.cropped <= strain.keeps_at_most {
            all.push((entry.generation, YeastSource::Store(position)));
        }
    }
    for &(generation, cropped) in lots {
        if day - day_of(cropped) <= strain.keeps_at_most {
            all.push((generation, YeastSource::Crop(cropped)));
        }
    }
    all.retain(|&(generation, _)| generation <= strain.generations);
    all
}

/// Cost of a pitch from a source in a slot, in money.
pub fn price(context: &Context, yeast: YeastId, source: YeastSource, slot: PeriodId) -> f64 {
    let strain = context.case.yeast.strain(yeast);
    let day_of = |slot: PeriodId| context.case.calendar.day(Slot(slot)) as i64;
    let late =
        |cropped: i64| (day_of(slot) - cropped - strain.keeps).max(0) as f64 * strain.late_cost.units();
    match source {
        YeastSource::Bought => strain.bought.map_or(0.0, |bought| bought.price.units()),
        YeastSource::Store(position) => late(context.case.yeast.in_store[position].cropped),
        YeastSource::Crop(cropped) => late(day_of(cropped)),
    }
}

/// Pitches bought in the look-ahead.
fn add_ahead(context: &mut Context, yeast: YeastId) {
    let Some(bought) = context.case.yeast.strain(yeast).bought else { return };
    for period in context.grid.fine()..context.grid.len() {
        if context.grid.period(period).last_day >= bought.lead {
            let column = context.program.column(0.0, f64::INFINITY, false);
            context.columns.bought_ahead.insert((yeast, period), column);
        }
    }
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    if !is_planned(context) {
        return;
    }
    pitched(context);
    supplies(context);
    crops(context);
    for yeast in context.case.yeast.ids() {
        ahead(context, yeast);
    }
}

/// Batches begun = batches of all generations; their pitches come from sources of the same generation.
fn pitched(context: &mut Context) {
    let mut begun: BTreeMap<(YeastId, PeriodId, i64), Terms> = BTreeMap::new();
    let mut of_brew: BTreeMap<usize, Terms> = BTreeMap::new();
    let mut known: BTreeMap<(YeastId, PeriodId, i64, i64), Terms> = BTreeMap::new();
    for (&(position, generation), &column) in &context.columns.generations {
        of_brew.entry(position).or_default().push((column, -1.0));
        let brew = &context.columns.brews[position];
        if let Some((yeast, needed)) = pitches_of(context, brew.kind) {
            let key = (yeast, brew.first(), needed, generation);
            known.entry(key).or_default().push((column, 1.0));
        }
    }
    for (position, brew) in context.columns.brews.iter().enumerate() {
        let Some((yeast, needed)) = pitches_of(context, brew.kind) else { continue };
        if context.grid.is_fine(brew.first()) {
            begun.entry((yeast, brew.first(), needed)).or_default().push((brew.column, 1.0));
            if let Some(terms) = of_brew.get_mut(&position) {
                terms.push((brew.column, 1.0));
            }
        }
    }
    let mut pitches: BTreeMap<(YeastId, PeriodId, i64), Terms> = BTreeMap::new();
    for (&(yeast, slot, needed, generation), &column) in &context.columns.pitched {
        begun.entry((yeast, slot, needed)).or_default().push((column, -1.0));
        pitches.entry((yeast, slot, generation)).or_default().push((column, needed as f64));
        if let Some(terms) = known.get_mut(&(yeast, slot, needed, generation)) {
            terms.push((column, -1.0));
        }
    }
    for (&(yeast, generation, _, slot), &column) in &context.columns.pitches {
        pitches.entry((yeast, slot, generation)).or_default().push((column, -1.0));
    }
    for terms in begun.into_values().chain(of_brew.into_values()).chain(pitches.into_values()) {
        context.program.equal(RuleId::Yeast, terms, 0.0);
    }
    for terms in known.into_values() {
        context.program.at_most(RuleId::Yeast, terms, 0.0);
    }
}

/// Pitches that a crop of a strain gives.
fn gives(context: &Context, yeast: YeastId) -> f64 {
    context.case.yeast.strain(yeast).crop.map_or(0.0, |crop| crop.pitches as f64)
}

/// A store entry gives its pitches, crops of a slot and generation give theirs.
fn supplies(context: &mut Context) {
    let mut store: BTreeMap<usize, Terms> = BTreeMap::new();
    let mut lots: BTreeMap<(YeastId, i64, PeriodId), Terms> = BTreeMap::new();
    for (&(yeast, generation, source, _), &column) in &context.columns.pitches {
        match source {
            YeastSource::Bought => {}
            YeastSource::Store(position) => store.entry(position).or_default().push((column, 1.0)),
            YeastSource::Crop(slot) => {
                lots.entry((yeast, generation, slot)).or_default().push((column, 1.0));
            }
        }
    }
    for (&((kind, _, _), generation, slot), &column) in &context.columns.crops {
        let Some(beer) = yeast_of(context, kind) else { continue };
        if let Some(terms) = lots.get_mut(&(beer.yeast, generation + 1, slot)) {
            terms.push((column, -gives(context, beer.yeast)));
        }
    }
    for (position, terms) in store {
        let there = context.case.yeast.in_store[position].pitches as f64;
        context.program.at_most(RuleId::Yeast, terms, there);
    }
    for terms in lots.into_values() {
        context.program.at_most(RuleId::Yeast, terms, 0.0);
    }
}

/// Crops of a generation <= batches of it; crops from a slot on <= batches that are neither dry hopped nor leave before it.
fn crops(context: &mut Context) {
    let mut by_generation: BTreeMap<(Fill, i64), Terms> = BTreeMap::new();
    let mut by_fill: BTreeMap<Fill, Vec<(PeriodId, ColumnId)>> = BTreeMap::new();
    for (&(fill, generation, slot), &column) in &context.columns.crops {
        by_generation.entry((fill, generation)).or_default().push((column, 1.0));
        by_fill.entry(fill).or_default().push((slot, column));
    }
    for (&(position, generation), &column) in &context.columns.generations {
        let brew = &context.columns.brews[position];
        let fill = (brew.kind, brew.group, Some(brew.last()));
        if let Some(terms) = by_generation.get_mut(&(fill, generation)) {
            terms.push((column, -1.0));
        }
    }
    for ((fill, _), terms) in by_generation {
        let most = if fill.2.is_none() { 1.0 } else { 0.0 };
        context.program.at_most(RuleId::Yeast, terms, most);
    }
    for (fill, crops) in by_fill {
        let slots: BTreeSet<PeriodId> = crops.iter().map(|&(slot, _)| slot).collect();
        for slot in slots {
            let later: Terms =
                crops.iter().filter(|crop| crop.0 >= slot).map(|&(_, column)| (column, 1.0)).collect();
            before_leaving(context, fill, slot, later.clone());
            before_hops(context, fill, slot, later);
        }
    }
}

fn before_leaving(context: &mut Context, fill: Fill, slot: PeriodId, mut terms: Terms) {
    let mut leaves_before = false;
    for ferment in &context.columns.ferments {
        if (ferment.kind, ferment.group, ferment.filled) != fill {
            continue;
        }
        let is_before = ferment.leaving.begins().is_some_and(|first| first < slot);
        if is_before {
            leaves_before = true;
        } else {
            terms.push((ferment.column, -1.0));
        }
    }
    if leaves_before {
        context.program.at_most(RuleId::Yeast, terms, 0.0);
    }
}

/// Slot of the first dry hop of a way of tank work, if it is in the planned days.
pub fn hop_slot(context: &Context, kind: KindId, way: &tank_work::Way) -> Option<PeriodId> {
    let pieces = tank_work::pieces(context, kind);
    let hop = way.pieces.iter().find(|&&(position, _)| pieces[position].kind == TankWorkKind::DryHop);
    hop.map(|&(_, slot)| slot)
}

fn before_hops(context: &mut Context, fill: Fill, slot: PeriodId, mut terms: Terms) {
    let (kind, group, filled) = fill;
    if !ends_with_hop(context, kind) {
        return;
    }
    // An opening batch that is poured away in the planned days has no way of tank work.
    let mut is_needed = false;
    for way in &context.columns.tank_ways {
        if (way.kind, way.group, way.filled) != (kind, group, filled) {
            continue;
        }
        if hop_slot(context, kind, &way.way).is_some_and(|hop| hop < slot) {
            is_needed = true;
        } else {
            terms.push((way.column, -1.0));
        }
    }
    if is_needed {
        for ferment in &context.columns.ferments {
            let is_alike = (ferment.kind, ferment.group, ferment.filled) == fill;
            if is_alike && !tank_work::is_tied(context, ferment.leaving) {
                terms.push((ferment.column, -1.0));
            }
        }
        context.program.at_most(RuleId::Yeast, terms, 0.0);
    }
}

/// In the look-ahead: pitches up to a period <= bought + left from the planned days + what could be cropped by then.
fn ahead(context: &mut Context, yeast: YeastId) {
    let end = context.case.calendar.planned_days as i64;
    let strain = context.case.yeast.strain(yeast).clone();
    let day_of = |slot: PeriodId| context.case.calendar.day(Slot(slot)) as i64;
    let gives = gives(context, yeast);
    let mut left: Terms = Vec::new();
    let mut there = 0.0;
    for entry in context.case.yeast.in_store.iter().filter(|entry| entry.yeast == yeast) {
        if entry.cropped + strain.keeps_at_most >= end {
            there += entry.pitches as f64;
        }
    }
    for (&((kind, _, _), _, slot), &column) in &context.columns.crops {
        let is_this = yeast_of(context, kind).is_some_and(|beer| beer.yeast == yeast);
        if is_this && day_of(slot) + strain.keeps_at_most >= end {
            left.push((column, gives));
        }
    }
    for (&(other, _, source, _), &column) in &context.columns.pitches {
        let cropped = match source {
            YeastSource::Bought => continue,
            YeastSource::Store(position) => context.case.yeast.in_store[position].cropped,
            YeastSource::Crop(slot) => day_of(slot),
        };
        if other == yeast && cropped + strain.keeps_at_most >= end {
            left.push((column, -1.0));
        }
    }
    let fills = fills(context, yeast);
    for period in context.grid.fine()..context.grid.len() {
        let last_day = context.grid.period(period).last_day;
        let mut row = scaled(&left, -1.0);
        let mut limit = there;
        for brew in &context.columns.brews {
            let Some((_, needed)) = pitches_of(context, brew.kind).filter(|needed| needed.0 == yeast) else {
                continue;
            };
            let crop = crop_of(context, brew.kind);
            let first_day = context.grid.period(brew.last()).first_day;
            let is_in_time = crop.is_some_and(|crop| first_day + crop.from <= last_day);
            if !context.grid.is_fine(brew.first()) {
                if brew.first() <= period {
                    row.push((brew.column, needed as f64));
                }
                if is_in_time {
                    row.push((brew.column, -gives));
                }
            } else if is_in_time && crop.is_some_and(|crop| first_day + crop.to >= end) {
                row.push((brew.column, -gives));
            }
        }
        for &fill in &fills {
            let Some(crop) = crop_of(context, fill.0) else { continue };
            let on = on(context, fill);
            if on + crop.to < end || on + crop.from > last_day {
                continue;
            }
            if fill.2.is_none() && opening_generation(context, fill.0).is_some() {
                limit += gives;
            }
            let cropped = context.columns.crops.iter().filter(|(key, _)| key.0 == fill);
            row.extend(cropped.map(|(_, &column)| (column, gives)));
        }
        for bought in context.grid.fine()..=period {
            if let Some(&column) = context.columns.bought_ahead.get(&(yeast, bought)) {
                row.push((column, -1.0));
            }
        }
        context.program.at_most(RuleId::Yeast, row, limit);
    }
}
