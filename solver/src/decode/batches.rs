//! Single batches and lots from counts of alike ones: who begins when, leaves when, goes where.

use std::collections::{BTreeMap, VecDeque};

use cellarwright_model::ids::VesselId;

use super::ways::{Fill, Path, Shares, Ways, leavings, paths, take_one, works};
use super::{Values, yeast};
use crate::compile::columns::{Course, DirectLot, Emptied, Filled, Leaving, Lot, Source, Stage};
use crate::compile::context::{Context, KindId, Origin};
use crate::compile::grid::PeriodId;
use crate::compile::groups::GroupId;
use crate::compile::rules::tank_work::Way;
use crate::compile::rules::{conditioning, direct};

/// One batch in one fermenter or conditioning tank.
#[derive(Clone, Debug)]
pub struct Batch {
    pub kind: KindId,
    pub group: GroupId,
    /// Turns by period; empty for beer in tank on day 0, and for what was moved.
    pub turns: Vec<(PeriodId, i64)>,
    /// Generation of its yeast, where it is known.
    pub generation: Option<i64>,
    /// Period in which its yeast is cropped.
    pub crop: Option<PeriodId>,
    /// Period of the last turn; none for beer in tank on day 0.
    pub filled: Option<PeriodId>,
    /// When it was moved here, and which batch it was: a position in `Cellar::batches`.
    pub moved: Option<(PeriodId, usize)>,
    /// Pieces of tank work done in the planned days, by period.
    pub work: Vec<(usize, PeriodId)>,
    /// The course that its tank work gives it, if it has any.
    pub course: Option<Course>,
    /// How it leaves in the planned days.
    pub leaving: Option<Leaving>,
    /// What becomes of it later, if it does not.
    pub later: Shares<Path>,
    /// Bright tanks that it goes to.
    pub stages: Vec<Stage>,
    /// The blend that it goes into: a position in `Cellar::blends`.
    pub blend: Option<usize>,
    /// Period after which it has left, if it does.
    pub emptied: Option<PeriodId>,
    pub vessel: Option<VesselId>,
}

/// One lot in one bright tank.
#[derive(Clone, Debug)]
pub struct LotRun {
    pub lot: Lot,
    /// How it ends in the planned days.
    pub emptied: Option<Emptied>,
    /// What becomes of it later, if it does not.
    pub later: Shares<Emptied>,
    /// Volume still in it at the end of the planned days, millilitres.
    pub left: i64,
    pub vessel: Option<VesselId>,
}

/// All batches and lots that begin in the planned days or before.
#[derive(Clone, Debug, Default)]
pub struct Cellar {
    pub batches: Vec<Batch>,
    pub lots: Vec<LotRun>,
    /// Lots of two batches each: positions in `lots`, once they are there.
    pub blends: Vec<(Lot, Option<usize>)>,
    /// Ways to leave that no batch of the planned days has taken yet.
    pub ways: Ways,
}

/// Reads batches and lots; vessels are not named yet.
pub fn read(context: &Context, values: Values) -> Cellar {
    let mut batches = begun(context, values);
    yeast::give_crops(context, values, &mut batches);
    let mut ways = leavings(context, values);
    let mut works = works(context, values, &ways);
    give_ways(context, &mut batches, &mut works, &mut ways);
    // What is moved goes on as a batch of its conditioning tank.
    let mut moved = Vec::new();
    for (position, batch) in batches.iter_mut().enumerate() {
        if let Some(Leaving::Moved { at, to }) = batch.leaving
            && let Some(kind) = context.moved_kind(batch.kind, to)
        {
            let work = batch.work.extract_if(.., |&mut (_, period)| period > at).collect();
            moved.push(Batch {
                filled: batch.filled,
                moved: Some((at, position)),
                work,
                course: batch.course.clone(),
                ..blank(kind, to, Vec::new())
            });
        }
    }
    give_ways(context, &mut moved, &mut works, &mut ways);
    batches.extend(moved);
    let mut cellar = Cellar { batches, ways, ..Cellar::default() };
    give_stages(context, values, &mut cellar);
    give_direct_ends(context, values, &mut cellar);
    read_lots(context, values, &mut cellar);
    cellar
}

/// Gives batches how they leave, as far as that is decided, and what becomes of them later.
fn give_ways(
    context: &Context,
    batches: &mut [Batch],
    works: &mut BTreeMap<Fill, VecDeque<Way>>,
    ways: &mut Ways,
) {
    // Batches that are cropped late get the ways and leavings that are late: see `rules::yeast`.
    let mut order: Vec<usize> = (0..batches.len()).collect();
    order.sort_by_key(|&position| batches[position].crop);
    for position in order {
        let batch = &mut batches[position];
        if let Some(done) =
            works.get_mut(&(batch.kind, batch.group, batch.filled)).and_then(VecDeque::pop_front)
        {
            batch.course = Some(done.course);
            batch.work = done.pieces;
        }
        let segment = batch.moved.map_or(0, |(at, _)| conditioning::segment(context, batch.group, Some(at)));
        let key = (batch.kind, batch.group, batch.filled, batch.course.clone(), segment);
        let Some(way) = ways.get_mut(&key) else { continue };
        if let Some(leaving) = way.decided.pop_front() {
            batch.leaving = Some(leaving);
            continue;
        }
        for (leaving, share) in take_one(&mut way.later) {
            let key = (batch.kind, batch.filled, batch.course.clone());
            batch.later.extend(paths(context, ways, key, leaving, share));
        }
    }
}

fn blank(kind: KindId, group: GroupId, turns: Vec<(PeriodId, i64)>) -> Batch {
    Batch {
        kind,
        group,
        filled: turns.last().map(|&(period, _)| period),
        turns,
        generation: None,
        crop: None,
        moved: None,
        work: Vec::new(),
        course: None,
        leaving: None,
        later: Vec::new(),
        stages: Vec::new(),
        blend: None,
        emptied: None,
        vessel: None,
    }
}

fn begun(context: &Context, values: Values) -> Vec<Batch> {
    let mut batches = Vec::new();
    for id in (0..context.kinds.len()).map(KindId) {
        if let (Origin::Opening { .. }, Some(tank)) = (context.kind(id).origin, context.opening(id)) {
            let mut batch = blank(id, context.kind(id).groups[0], Vec::new());
            batch.vessel = Some(tank.vessel);
            batches.push(batch);
        }
    }
    for (position, brew) in context.columns.brews.iter().enumerate() {
        let before = batches.len();
        if context.grid.is_fine(brew.first()) {
            for _ in 0..values.count(brew.column) {
                batches.push(blank(brew.kind, brew.group, brew.turns.clone()));
            }
        }
        yeast::give_generations(context, values, position, &mut batches[before..]);
    }
    batches
}

/// Batches that are moved alike: kind, fermenter where it is told from others, first and last stage.
type Moving = (KindId, Option<GroupId>, PeriodId, Option<PeriodId>);

fn give_stages(context: &Context, values: Values, cellar: &mut Cellar) {
    let mut movements: BTreeMap<Moving, VecDeque<Vec<Stage>>> = BTreeMap::new();
    for movement in context.columns.movements.iter().filter(|movement| context.grid.is_fine(movement.first)) {
        let key = (movement.kind, movement.from, movement.first, movement.last);
        for _ in 0..values.count(movement.column) {
            movements.entry(key).or_default().push_back(movement.stages.clone());
        }
    }
    let mut halves: BTreeMap<Moving, VecDeque<usize>> = BTreeMap::new();
    for blend in context.columns.blends.iter().filter(|blend| context.grid.is_fine(blend.period)) {
        for _ in 0..values.count(blend.column) {
            for (kind, from) in blend.parts {
                let key = (kind, from, blend.period, Some(blend.period));
                halves.entry(key).or_default().push_back(cellar.blends.len());
            }
            cellar.blends.push((blend.lot, None));
        }
    }
    for batch in &mut cellar.batches {
        match batch.leaving {
            Some(Leaving::Bright { first, last }) => {
                let key = (batch.kind, context.named(batch.group), first, last);
                batch.blend = halves.get_mut(&key).and_then(VecDeque::pop_front);
                batch.emptied = last;
                if batch.blend.is_some() {
                    continue;
                }
                let stages = movements.get_mut(&key).and_then(VecDeque::pop_front);
                batch.stages = stages.unwrap_or_default();
            }
            Some(Leaving::Dump(period) | Leaving::Moved { at: period, .. }) => batch.emptied = Some(period),
            Some(leaving @ Leaving::Direct { part: Some(part), .. }) => {
                if let Some(lot) = direct::part_lot(context, batch.kind, leaving) {
                    let (group, period) = (part.to, Some(part.at));
                    batch.stages = vec![Stage { group, period, leaves: part.leaves, arrives: lot.volume }];
                }
            }
            Some(Leaving::Direct { .. } | Leaving::Stays) | None => {}
        }
    }
}

fn give_direct_ends(context: &Context, values: Values, cellar: &mut Cellar) {
    let mut ends: BTreeMap<DirectLot, VecDeque<Emptied>> = BTreeMap::new();
    for hold in &context.columns.holds {
        if let Source::Direct(lot) = hold.source
            && context.grid.is_fine(lot.first)
        {
            for _ in 0..values.count(hold.column) {
                ends.entry(lot).or_default().push_back(hold.emptied);
            }
        }
    }
    for batch in &mut cellar.batches {
        let lot = batch.leaving.and_then(|leaving| leaving.direct_lot(batch.kind, batch.group));
        let end = lot.and_then(|lot| ends.get_mut(&lot)).and_then(VecDeque::pop_front);
        if let Some(Emptied::At(period)) = end {
            batch.emptied = Some(period);
        }
    }
}

fn read_lots(context: &Context, values: Values, cellar: &mut Cellar) {
    let mut decided: BTreeMap<Lot, VecDeque<Emptied>> = BTreeMap::new();
    let mut later: BTreeMap<Lot, VecDeque<(Emptied, f64)>> = BTreeMap::new();
    for hold in &context.columns.holds {
        let Source::Bright(lot) = hold.source else { continue };
        let is_decided = match hold.emptied {
            Emptied::At(period) | Emptied::Dump(period) => context.grid.is_fine(period),
            Emptied::Stays => false,
        };
        if is_decided {
            for _ in 0..values.count(hold.column) {
                decided.entry(lot).or_default().push_back(hold.emptied);
            }
        } else if values.of(hold.column) > 1e-7 {
            later.entry(lot).or_default().push_back((hold.emptied, values.of(hold.column)));
        }
    }
    let mut begun: Vec<(Lot, Option<VesselId>)> = Vec::new();
    for (position, tank) in context.case.in_tank.iter().enumerate().filter(|(_, tank)| tank.is_bright) {
        let group = context.groups.of(tank.vessel);
        let filled = Filled::Opening(position);
        begun.push((
            Lot { beer: tank.beer, group, volume: tank.filled, filled, transfers: 1 },
            Some(tank.vessel),
        ));
    }
    for batch in &cellar.batches {
        let beer = context.kind(batch.kind).beer;
        for stage in &batch.stages {
            if let Some(period) = stage.period {
                let filled = Filled::In(period);
                begun.push((
                    Lot { beer, group: stage.group, volume: stage.arrives, filled, transfers: 1 },
                    None,
                ));
            }
        }
    }
    for blend in &mut cellar.blends {
        blend.1 = Some(begun.len());
        begun.push((blend.0, None));
    }
    let planned = context.columns.serve_fills.iter().filter(|fill| context.grid.is_fine(fill.period));
    for fill in planned.filter(|fill| values.count(fill.filled) > 0) {
        begun.push((fill.to, None));
    }
    for (lot, vessel) in begun {
        let emptied = decided.get_mut(&lot).and_then(VecDeque::pop_front);
        let shares = match emptied {
            Some(_) => Vec::new(),
            None => later.get_mut(&lot).map(take_one).unwrap_or_default(),
        };
        cellar.lots.push(LotRun { lot, emptied, later: shares, left: lot.volume.0, vessel });
    }
}
