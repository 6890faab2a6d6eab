//! R16 pinned: work that is pinned is done as it is pinned; a vessel to be left alone is left alone.
//!
//! Rows, for each pin (n alike count n): columns of work that have all that the pin names >= n. Packaging: packaged volume
//! of the formats, slots and beer named = the volume, or >= a hectolitre; out of a vessel: drawn from it >= a hectolitre.
//! Vessels that a pin names are groups of one (`groups`), and batches moved out of them have movements of their own.
//! No beer is poured away but where a pin says so (no column else), for no pin is to be kept that way.
//! A pin that no column can keep makes the program impossible, which `conflict` explains.
//! A vessel to be left alone is away like in an outage (`outage`), so no column does anything with it.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{LEAST_PACKAGED, PINNED_TOLERANCE, Pin, PinnedWork};
use cellarwright_model::ids::VesselId;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;

use super::volume;
use crate::compile::columns::{Emptied, Leaving, ServeFill};
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::program::Terms;

/// Whether vessels to be left alone are left alone.
pub fn leaves_alone(context: &Context) -> bool {
    context.keeps(RuleId::Pinned)
}

/// Whether what is in a vessel of a group may be poured away in a slot.
pub fn may_dump(context: &Context, group: GroupId, slot: Slot) -> bool {
    let vessel = context.groups.get(group).vessels[0];
    !context.keeps(RuleId::Pinned) || context.case.may_dump(vessel, slot)
}

/// Writes the rows of the rule.
pub fn add(context: &mut Context) {
    let mut pins: BTreeMap<Pin, usize> = BTreeMap::new();
    for &pin in &context.case.fixed.pins {
        *pins.entry(pin).or_default() += 1;
    }
    for (pin, count) in pins {
        let count = count as f64;
        match pin.work {
            PinnedWork::Brew { .. } => ask(context, brews(context, &pin), count),
            PinnedWork::Transfer { .. } => {
                let mut terms = transfers(context, &pin);
                terms.extend(fills_to_serve(context, &pin));
                ask(context, terms, count);
            }
            PinnedWork::Clean { vessel } => ask(context, cleans(context, &pin, vessel), count),
            PinnedWork::Tank { .. } => ask(context, tank_work(context, &pin), count),
            PinnedWork::Crop { vessel } => ask(context, crops(context, &pin, vessel), count),
            PinnedWork::Dump { vessel } => ask(context, dumps(context, &pin, vessel), 1.0),
            PinnedWork::Package { from: Some(from), .. } => {
                let drawn = drawn(context, &pin, from);
                ask(context, drawn, LEAST_PACKAGED.hectolitres());
            }
            PinnedWork::Package { volume, .. } => {
                let packaged = packaged(context, &pin);
                ask(context, packaged.clone(), volume.unwrap_or(LEAST_PACKAGED).hectolitres());
                if let Some(volume) = volume {
                    context.program.at_most(RuleId::Pinned, packaged, volume.hectolitres());
                }
            }
        }
    }
}

/// A row of at least so much; without terms it cannot be kept, and the program must know.
fn ask(context: &mut Context, mut terms: Terms, least: f64) {
    if terms.is_empty() {
        terms.push((context.program.column(0.0, 0.0, false), 1.0));
    }
    context.program.at_least(RuleId::Pinned, terms, least);
}

/// Whether a period is a slot that a pin may mean.
fn is_in(context: &Context, pin: &Pin, period: PeriodId) -> bool {
    context.grid.is_fine(period) && pin.is_in(&context.case.calendar, Slot(period))
}

/// Whether a group is the vessel that is named, if one is.
fn is_of(context: &Context, vessel: Option<VesselId>, group: GroupId) -> bool {
    vessel.is_none_or(|vessel| context.groups.of(vessel) == group)
}

fn brews(context: &Context, pin: &Pin) -> Terms {
    let PinnedWork::Brew { beer, vessel, turns, part } = pin.work else { return Terms::new() };
    let found = context.columns.brews.iter().filter(|brew| {
        let kind = context.kind(brew.kind);
        let has_turns = match kind.origin {
            Origin::New { turns: all, part: of } => {
                turns.is_none_or(|turns| turns == all && of.is_none())
                    && part.is_none_or(|part| Some(part) == of)
            }
            Origin::Opening { .. } | Origin::Moved { .. } => false,
        };
        kind.beer == beer
            && has_turns
            && is_of(context, vessel, brew.group)
            && is_in(context, pin, brew.first())
    });
    found.map(|brew| (brew.column, 1.0)).collect()
}

fn transfers(context: &Context, pin: &Pin) -> Terms {
    let PinnedWork::Transfer { beer, from, to, volume } = pin.work else { return Terms::new() };
    let is_volume =
        |leaves: Volume| volume.is_none_or(|volume| (leaves - volume).0.abs() <= PINNED_TOLERANCE.0);
    let is_from = |kind: KindId, source: Option<GroupId>| {
        let kind = context.kind(kind);
        let is_vessel = from.is_none_or(|vessel| {
            let group = context.groups.of(vessel);
            source == Some(group) && kind.groups.contains(&group)
        });
        kind.beer == beer && is_vessel
    };
    let is_into = |group: GroupId, period: Option<PeriodId>| {
        is_of(context, to, group) && period.is_some_and(|period| is_in(context, pin, period))
    };
    let mut terms = Terms::new();
    for movement in &context.columns.movements {
        let stages = movement
            .stages
            .iter()
            .filter(|stage| is_into(stage.group, stage.period) && is_volume(stage.leaves));
        let count = stages.count();
        if count > 0 && is_from(movement.kind, movement.from) {
            terms.push((movement.column, count as f64));
        }
    }
    for ferment in &context.columns.ferments {
        if let Leaving::Moved { at, to: into } = ferment.leaving
            && context.kind(ferment.kind).beer == beer
            && is_of(context, from, ferment.group)
            && is_into(into, Some(at))
            && is_volume(context.kind(ferment.kind).tank_volume)
        {
            terms.push((ferment.column, 1.0));
        }
    }
    for ferment in &context.columns.ferments {
        if let Leaving::Direct { part: Some(part), .. } = ferment.leaving
            && context.kind(ferment.kind).beer == beer
            && is_of(context, from, ferment.group)
            && is_into(part.to, Some(part.at))
            && is_volume(part.leaves)
        {
            terms.push((ferment.column, 1.0));
        }
    }
    for blend in &context.columns.blends {
        let is_part = |kind, source| is_from(kind, source) && is_volume(context.kind(kind).tank_volume);
        let parts = blend.parts.iter().filter(|&&(kind, source)| is_part(kind, source)).count();
        if parts > 0 && is_into(blend.lot.group, Some(blend.period)) {
            terms.push((blend.column, parts as f64));
        }
    }
    terms
}

/// What decoding may add to a fill or take from it, hL.
const ROUNDING: f64 = 0.002;

/// Fills of tanks that are only poured from. How much leaves is a column, so where a volume is named a binary says whether the fill
/// has it: `kept <= filled`, `volume - a litre <= leaves` and `leaves <= volume + a litre` where it is kept.
fn fills_to_serve(context: &mut Context, pin: &Pin) -> Terms {
    let PinnedWork::Transfer { beer, from, to, volume } = pin.work else { return Terms::new() };
    let found: Vec<ServeFill> = context
        .columns
        .serve_fills
        .iter()
        .filter(|fill| {
            fill.to.beer == beer
                && is_of(context, from, fill.from.group())
                && is_of(context, to, fill.to.group)
                && is_in(context, pin, fill.period)
        })
        .copied()
        .collect();
    let Some(volume) = volume else {
        return found.into_iter().map(|fill| (fill.filled, 1.0)).collect();
    };
    let near = PINNED_TOLERANCE.hectolitres() - ROUNDING;
    let (least, most) = (volume.hectolitres() - near, volume.hectolitres() + near);
    let mut terms = Terms::new();
    for fill in found {
        let holds = volume::volume_of(context, fill.from).hectolitres();
        let kept = context.program.column(0.0, 1.0, true);
        let program = &mut context.program;
        program.at_most(RuleId::Pinned, vec![(kept, 1.0), (fill.filled, -1.0)], 0.0);
        program.at_least(RuleId::Pinned, vec![(fill.leaves, 1.0), (kept, -least)], 0.0);
        let slack = (holds - most).max(0.0);
        program.at_most(RuleId::Pinned, vec![(fill.leaves, 1.0), (kept, slack)], most + slack);
        terms.push((kept, 1.0));
    }
    terms
}

/// Whether a pin may mean a clean of a vessel in a period, be the vessel dirty or clean.
pub fn asks_to_clean(context: &Context, group: GroupId, period: PeriodId) -> bool {
    let vessels = &context.groups.get(group).vessels;
    let is_meant = |pin: &Pin| match pin.work {
        PinnedWork::Clean { vessel } => vessels[..] == [vessel] && is_in(context, pin, period),
        _ => false,
    };
    context.keeps(RuleId::Pinned) && context.case.fixed.pins.iter().any(is_meant)
}

fn cleans(context: &Context, pin: &Pin, vessel: VesselId) -> Terms {
    let columns = context.columns.clean.iter().chain(&context.columns.clean_again);
    let found = columns
        .filter(|&(&(group, period), _)| is_of(context, Some(vessel), group) && is_in(context, pin, period));
    found.map(|(_, &column)| (column, 1.0)).collect()
}

/// Pieces of tank work; a vessel that is named is the fermenter of the batch.
fn tank_work(context: &Context, pin: &Pin) -> Terms {
    let PinnedWork::Tank { beer, work, vessel } = pin.work else { return Terms::new() };
    let found = context.columns.tank_ways.iter().filter(|tank_way| {
        let is_done = |&(piece, period): &(usize, PeriodId)| piece == work && is_in(context, pin, period);
        context.kind(tank_way.kind).beer == beer
            && is_of(context, vessel, tank_way.group)
            && tank_way.way.pieces.iter().any(is_done)
    });
    found.map(|tank_way| (tank_way.column, 1.0)).collect()
}

fn crops(context: &Context, pin: &Pin, vessel: VesselId) -> Terms {
    let found = context.columns.crops.iter().filter(|&(&((_, group, _), _, period), _)| {
        is_of(context, Some(vessel), group) && is_in(context, pin, period)
    });
    found.map(|(_, &column)| (column, 1.0)).collect()
}

fn dumps(context: &Context, pin: &Pin, vessel: VesselId) -> Terms {
    let is_meant = |group, period| is_of(context, Some(vessel), group) && is_in(context, pin, period);
    let mut terms = Terms::new();
    for ferment in &context.columns.ferments {
        if matches!(ferment.leaving, Leaving::Dump(period) if is_meant(ferment.group, period)) {
            terms.push((ferment.column, 1.0));
        }
    }
    for hold in &context.columns.holds {
        let group = hold.source.group();
        if matches!(hold.emptied, Emptied::Dump(period) if is_meant(group, period)) {
            terms.push((hold.column, 1.0));
        }
    }
    terms
}

/// Drawn from a vessel for lines, hL.
fn drawn(context: &Context, pin: &Pin, from: VesselId) -> Terms {
    let PinnedWork::Package { beer, .. } = pin.work else { return Terms::new() };
    let found = context.columns.draws.iter().filter(|&(&(source, period), _)| {
        let group = source.group();
        volume::beer_of(context, source) == beer
            && is_of(context, Some(from), group)
            && is_in(context, pin, period)
    });
    found.map(|(_, &column)| (column, 1.0)).collect()
}

/// Packaged volume, hL.
fn packaged(context: &Context, pin: &Pin) -> Terms {
    let PinnedWork::Package { beer: wanted, format: in_format, line: on_line, .. } = pin.work else {
        return Terms::new();
    };
    let mut terms = Terms::new();
    for (&(beer, format, period), &column) in &context.columns.packs {
        let data = context.case.format(format);
        let is_meant = beer == wanted
            && in_format.is_none_or(|wanted| wanted == format)
            && on_line.is_none_or(|wanted| wanted == data.line);
        if is_meant && is_in(context, pin, period) {
            terms.push((column, data.kept()));
        }
    }
    terms
}
