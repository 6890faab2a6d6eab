//! An earlier plan that is being carried out: what of it is done stays (`done`), and each change of the rest costs (`changes`).
//!
//! Both compare pieces of work: those of the plan with those that columns stand for. Every vessel is a group of one then (`Case::is_named`).

mod changes;
mod done;

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{BREW_WEIGHT, Case, Earlier, PINNED_TOLERANCE, Placed, WORK_WEIGHT};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::units::Volume;

use super::columns::{Emptied, Leaving};
use super::context::{Context, KindId, Origin};
use super::grid::PeriodId;
use super::groups::GroupId;
use super::program::Terms;

/// Work that may stand for other work of its kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Brew(BeerId),
    Transfer(BeerId),
    Clean(VesselId),
    Carbonate(VesselId),
    Tank(BeerId, usize),
    Crop(VesselId),
    Dump(VesselId),
}

impl Kind {
    /// What a change of it weighs.
    fn weight(self) -> i64 {
        match self {
            Self::Brew(_) => BREW_WEIGHT,
            Self::Transfer(_)
            | Self::Clean(_)
            | Self::Carbonate(_)
            | Self::Tank(..)
            | Self::Crop(_)
            | Self::Dump(_) => WORK_WEIGHT,
        }
    }
}

/// A piece of work in a slot of the planned days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Piece {
    kind: Kind,
    slot: PeriodId,
    from: Option<VesselId>,
    vessel: Option<VesselId>,
    /// Nothing where volumes are not compared.
    volume: Volume,
}

impl Piece {
    /// Whether it is the same work, but for what rounding may do to its volume.
    fn is_meant_by(&self, other: &Self) -> bool {
        (self.kind, self.slot, self.from, self.vessel) == (other.kind, other.slot, other.from, other.vessel)
            && (self.volume - other.volume).0.abs() <= PINNED_TOLERANCE.0
    }

    fn placed(&self) -> Placed {
        Placed { slot: Slot(self.slot), from: self.from, vessel: self.vessel, volume: self.volume }
    }
}

/// Adds rows and costs where there is an earlier plan.
pub fn add(context: &mut Context) {
    let case = context.case;
    let Some(earlier) = &case.fixed.earlier else { return };
    let columns = pieces(context);
    if earlier.is_done_kept {
        done::add(context, earlier, &columns);
    }
    changes::add(context, earlier, &columns);
}

/// Brews, transfers, carbonating and what is poured away, each as the sum of columns that counts it and how often a plan does it. Where a beer
/// comes from when it is moved is left open, and so is which of the vessels that are alike it is. A kind of work of which the plan does something
/// that no column stands for is left out.
pub fn counted(context: &Context, plan: &Plan) -> Vec<(Terms, usize)> {
    counted_if(context, plan, |kind| match kind {
        Kind::Brew(_) | Kind::Transfer(_) | Kind::Carbonate(_) | Kind::Dump(_) => true,
        Kind::Clean(_) | Kind::Tank(..) | Kind::Crop(_) => false,
    })
}

/// Of some beers the brews, and the transfers too if they are asked for, as `counted` has them.
pub fn counted_of(
    context: &Context,
    plan: &Plan,
    is_meant: impl Fn(BeerId) -> bool,
    with_transfers: bool,
) -> Vec<(Terms, usize)> {
    counted_if(context, plan, |kind| match kind {
        Kind::Brew(beer) => is_meant(beer),
        Kind::Transfer(beer) => with_transfers && is_meant(beer),
        Kind::Carbonate(_) | Kind::Dump(_) | Kind::Clean(_) | Kind::Tank(..) | Kind::Crop(_) => false,
    })
}

fn counted_if(context: &Context, plan: &Plan, is_asked_for: impl Fn(Kind) -> bool) -> Vec<(Terms, usize)> {
    let like = |vessel: VesselId| context.groups.get(context.groups.of(vessel)).vessels[0];
    let is_counted = |piece: &Piece| is_asked_for(piece.kind);
    let opened = |piece: Piece| {
        let kind = match piece.kind {
            Kind::Carbonate(vessel) => Kind::Carbonate(like(vessel)),
            Kind::Dump(vessel) => Kind::Dump(like(vessel)),
            other => other,
        };
        Piece { kind, from: None, vessel: piece.vessel.map(like), ..piece }
    };
    let mut all: BTreeMap<Piece, (Terms, usize)> = BTreeMap::new();
    for (piece, terms) in pieces(context).into_iter().filter(|(piece, _)| is_counted(piece)) {
        all.entry(opened(piece)).or_default().0.extend(terms);
    }
    let mut unknown = BTreeSet::new();
    for piece in pieces_of(context.case, plan).into_iter().filter(is_counted).map(opened) {
        match all.iter_mut().find(|(one, _)| one.is_meant_by(&piece)) {
            Some((_, (_, count))) => *count += 1,
            None => {
                unknown.insert(piece.kind);
            }
        }
    }
    all.retain(|piece, _| !unknown.contains(&piece.kind));
    all.into_values().collect()
}

/// Pieces of work by what columns count them.
fn pieces(context: &Context) -> BTreeMap<Piece, Terms> {
    let mut all: BTreeMap<Piece, Terms> = BTreeMap::new();
    let vessel = |group: GroupId| Some(context.groups.get(group).vessels[0]);
    let beer = |kind: KindId| context.kind(kind).beer;
    let mut note = |kind, slot: PeriodId, from, vessel, volume, column| {
        if context.grid.is_fine(slot) {
            let piece = Piece { kind, slot, from, vessel, volume };
            all.entry(piece).or_default().push((column, 1.0));
        }
    };
    for brew in &context.columns.brews {
        let of = beer(brew.kind);
        let part = match context.kind(brew.kind).origin {
            Origin::New { part, .. } => part,
            Origin::Opening { .. } | Origin::Moved { .. } => None,
        };
        for &(slot, here) in &brew.turns {
            let wort = context.case.wort_of(of, here, part);
            note(Kind::Brew(of), slot, None, vessel(brew.group), wort, brew.column);
        }
    }
    for movement in &context.columns.movements {
        let from = movement.from.and_then(vessel);
        for stage in &movement.stages {
            let Some(slot) = stage.period else { continue };
            let kind = Kind::Transfer(beer(movement.kind));
            note(kind, slot, from, vessel(stage.group), stage.leaves, movement.column);
        }
    }
    for ferment in &context.columns.ferments {
        let (of, from) = (beer(ferment.kind), vessel(ferment.group));
        let here = context.groups.get(ferment.group).vessels[0];
        match ferment.leaving {
            Leaving::Moved { at, to } => {
                let volume = context.kind(ferment.kind).tank_volume;
                note(Kind::Transfer(of), at, from, vessel(to), volume, ferment.column);
            }
            Leaving::Direct { part, carbonated, .. } => {
                if let Some(part) = part {
                    note(Kind::Transfer(of), part.at, from, vessel(part.to), part.leaves, ferment.column);
                }
                if let Some(slot) = carbonated {
                    note(Kind::Carbonate(here), slot, None, from, Volume::ZERO, ferment.column);
                }
            }
            Leaving::Dump(slot) => note(Kind::Dump(here), slot, None, from, Volume::ZERO, ferment.column),
            Leaving::Bright { .. } | Leaving::Stays => {}
        }
    }
    for blend in &context.columns.blends {
        for &(kind, from) in &blend.parts {
            let volume = context.kind(kind).tank_volume;
            let (from, to) = (from.and_then(vessel), vessel(blend.lot.group));
            note(Kind::Transfer(beer(kind)), blend.period, from, to, volume, blend.column);
        }
    }
    for fill in &context.columns.serve_fills {
        let (from, to) = (vessel(fill.from.group()), vessel(fill.to.group));
        note(Kind::Transfer(fill.to.beer), fill.period, from, to, Volume::ZERO, fill.filled);
    }
    for hold in &context.columns.holds {
        if let Emptied::Dump(slot) = hold.emptied {
            let here = context.groups.get(hold.source.group()).vessels[0];
            note(Kind::Dump(here), slot, None, Some(here), Volume::ZERO, hold.column);
        }
    }
    for (&(group, slot), &column) in context.columns.clean.iter().chain(&context.columns.clean_again) {
        let here = context.groups.get(group).vessels[0];
        note(Kind::Clean(here), slot, None, Some(here), Volume::ZERO, column);
    }
    for way in &context.columns.tank_ways {
        let of = beer(way.kind);
        for &(piece, slot) in &way.way.pieces {
            let at = vessel(way.group).filter(|_| context.case.beer(of).conditions.is_none());
            note(Kind::Tank(of, piece), slot, None, at, Volume::ZERO, way.column);
        }
    }
    for (&((_, group, _), _, slot), &column) in &context.columns.crops {
        let here = context.groups.get(group).vessels[0];
        note(Kind::Crop(here), slot, None, Some(here), Volume::ZERO, column);
    }
    all
}

/// Pieces of work of a plan, each as often as it is done; packaging apart (`runs_of`). Turns of a slot into a vessel are one piece.
fn pieces_of(case: &Case, plan: &Plan) -> Vec<Piece> {
    let mut brews: BTreeMap<(PeriodId, BeerId, VesselId), Volume> = BTreeMap::new();
    let mut all = Vec::new();
    for (task, of) in plan.tasks.iter().zip(plan.beers(&case.in_tank)) {
        let slot = task.slot.0;
        let at = |kind, vessel| Piece { kind, slot, from: None, vessel: Some(vessel), volume: Volume::ZERO };
        match (task.work, of) {
            (Work::Brew { beer, vessel, turns, part }, _) => {
                *brews.entry((slot, beer, vessel)).or_default() += case.wort_of(beer, turns, part);
            }
            (Work::Transfer { from, to, volume, .. }, Some(of)) => {
                let volume = if case.vessel(to).is_serve_only() { Volume::ZERO } else { volume };
                all.push(Piece { from: Some(from), volume, ..at(Kind::Transfer(of), to) });
            }
            (Work::Clean { vessel, .. }, _) => all.push(at(Kind::Clean(vessel), vessel)),
            (Work::Carbonate { vessel }, _) => all.push(at(Kind::Carbonate(vessel), vessel)),
            (Work::Tank { beer, work, vessel }, _) => {
                let piece = at(Kind::Tank(beer, work), vessel);
                let vessel = piece.vessel.filter(|_| case.beer(beer).conditions.is_none());
                all.push(Piece { vessel, ..piece });
            }
            (Work::Crop { vessel }, _) => all.push(at(Kind::Crop(vessel), vessel)),
            (Work::Dump { vessel }, _) => all.push(at(Kind::Dump(vessel), vessel)),
            (Work::Transfer { .. }, None)
            | (Work::Package { .. } | Work::Sanitise { .. } | Work::Pitch { .. } | Work::Wash { .. }, _) => {}
        }
    }
    for ((slot, beer, vessel), volume) in brews {
        all.push(Piece { kind: Kind::Brew(beer), slot, from: None, vessel: Some(vessel), volume });
    }
    all.sort_unstable();
    all
}

/// What a beer draws in a format in a slot without its part of the line's loss, as the columns `packs` count it.
fn runs_of(case: &Case, plan: &Plan) -> BTreeMap<(BeerId, FormatId, PeriodId), Volume> {
    let mut drawn: BTreeMap<(PeriodId, usize, BeerId), BTreeMap<FormatId, Volume>> = BTreeMap::new();
    for (task, of) in plan.tasks.iter().zip(plan.beers(&case.in_tank)) {
        if let (Work::Package { line, format, volume, .. }, Some(beer)) = (task.work, of) {
            let run = drawn.entry((task.slot.0, line.0, beer)).or_default();
            *run.entry(format).or_default() += volume;
        }
    }
    let mut runs = BTreeMap::new();
    for ((slot, line, beer), formats) in drawn {
        let mut loss = case.lines[line].loss;
        for (format, volume) in formats {
            let part = loss.min(volume);
            loss -= part;
            runs.insert((beer, format, slot), volume - part);
        }
    }
    runs
}

/// Whether a period of the program is a slot that is done.
fn is_done(context: &Context, earlier: &Earlier, period: PeriodId) -> bool {
    context.grid.is_fine(period) && earlier.is_done(context.case, Slot(period))
}
