//! Which batch is cropped when, and where the yeast of each batch comes from.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{VesselId, YeastId};
use cellarwright_model::plan::{PitchFrom, Task, Work};

use super::Values;
use super::batches::{Batch, Cellar};
use crate::compile::columns::YeastSource;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::rules::yeast::pitches_of;

/// Gives the batches of one column of brews their generations, as far as they matter for cropping.
pub fn give_generations(context: &Context, values: Values, brew: usize, batches: &mut [Batch]) {
    let mut batches = batches.iter_mut();
    for (&(_, generation), &column) in context.columns.generations.range((brew, i64::MIN)..=(brew, i64::MAX))
    {
        for batch in batches.by_ref().take(values.count(column)) {
            batch.generation = Some(generation);
        }
    }
}

/// Gives each crop to a batch of its fill and generation.
pub fn give_crops(context: &Context, values: Values, batches: &mut [Batch]) {
    for (&(fill, generation, slot), &column) in &context.columns.crops {
        for _ in 0..values.count(column) {
            let found = batches.iter_mut().find(|batch| {
                let filled = batch.turns.last().map(|&(period, _)| period);
                (batch.kind, batch.group, filled) == fill
                    && batch.crop.is_none()
                    && batch.generation.is_none_or(|known| known == generation)
            });
            if let Some(batch) = found {
                batch.crop = Some(slot);
                batch.generation = Some(generation);
            }
        }
    }
}

/// Tasks of cropping and pitching.
pub fn tasks(context: &Context, values: Values, cellar: &Cellar) -> Vec<Task> {
    let mut tasks = Vec::new();
    let mut crops = Crops::new();
    for batch in &cellar.batches {
        let (Some(slot), Some(generation), Some(vessel)) = (batch.crop, batch.generation, batch.vessel)
        else {
            continue;
        };
        tasks.push(Task::new(Slot(slot), Work::Crop { vessel }));
        let beer = context.case.beer(context.kind(batch.kind).beer).yeast;
        if let Some(beer) = beer
            && let Some(crop) = context.case.yeast.strain(beer.yeast).crop
        {
            let lots = crops.entry((beer.yeast, generation + 1, slot)).or_default();
            lots.push((vessel, crop.pitches));
        }
    }
    let mut sources = pools(context, values);
    let mut counts: BTreeMap<(YeastId, PeriodId, i64), BTreeMap<i64, usize>> = BTreeMap::new();
    for (&(yeast, slot, needed, generation), &column) in &context.columns.pitched {
        counts.entry((yeast, slot, needed)).or_default().insert(generation, values.count(column));
    }
    let needed_of = |batch: &Batch| {
        let &(slot, _) = batch.turns.first()?;
        let (yeast, needed) = pitches_of(context, batch.kind)?;
        Some((yeast, slot, needed))
    };
    // Batches of a known generation first, so that the others take what is left.
    let mut order: Vec<&Batch> = cellar.batches.iter().collect();
    order.sort_by_key(|batch| batch.generation.is_none());
    for batch in order {
        let (Some(key), Some(vessel)) = (needed_of(batch), batch.vessel) else { continue };
        let Some(left) = counts.get_mut(&key) else { continue };
        let generation = batch
            .generation
            .or_else(|| left.iter().find(|&(_, &count)| count > 0).map(|(&generation, _)| generation));
        let Some(generation) = generation else { continue };
        if let Some(count) = left.get_mut(&generation) {
            *count = count.saturating_sub(1);
        }
        let (yeast, slot, needed) = key;
        let pool = sources.entry((yeast, slot, generation)).or_default();
        for (from, pitches) in take(context, yeast, generation, needed, pool, &mut crops) {
            tasks.push(Task::new(Slot(slot), Work::Pitch { vessel, yeast, from, pitches }));
        }
    }
    tasks
}

/// Vessels cropped and what is left of their pitches, by strain, generation of the pitches and period.
type Crops = BTreeMap<(YeastId, i64, PeriodId), Vec<(VesselId, i64)>>;

/// What the program takes from each source, by strain, period and generation.
type Pools = BTreeMap<(YeastId, PeriodId, i64), Vec<(YeastSource, i64)>>;

fn pools(context: &Context, values: Values) -> Pools {
    let mut pools = Pools::new();
    for (&(yeast, generation, source, slot), &column) in &context.columns.pitches {
        let count = values.count(column) as i64;
        if count > 0 {
            pools.entry((yeast, slot, generation)).or_default().push((source, count));
        }
    }
    pools
}

/// Takes so many pitches of a generation from its sources.
fn take(
    context: &Context,
    yeast: YeastId,
    generation: i64,
    needed: i64,
    pool: &mut [(YeastSource, i64)],
    crops: &mut Crops,
) -> Vec<(PitchFrom, i64)> {
    let mut needed = needed;
    let mut taken = Vec::new();
    for (source, left) in pool.iter_mut() {
        let mut here = needed.min(*left);
        *left -= here;
        needed -= here;
        match *source {
            YeastSource::Bought if here > 0 => taken.push((PitchFrom::Bought, here)),
            YeastSource::Store(position) if here > 0 => taken.push((PitchFrom::Store(position), here)),
            YeastSource::Crop(slot) => {
                let day = context.case.calendar.day(Slot(slot));
                for (vessel, there) in crops.entry((yeast, generation, slot)).or_default() {
                    let from_it = here.min(*there);
                    *there -= from_it;
                    here -= from_it;
                    if from_it > 0 {
                        taken.push((PitchFrom::Crop { vessel: *vessel, day }, from_it));
                    }
                }
            }
            YeastSource::Bought | YeastSource::Store(_) => {}
        }
    }
    taken
}
