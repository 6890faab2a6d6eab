//! Kegs to be washed.
//!
//! The program may wash more than is filled, and may count a clean keg as dirty before its time to wash it once more; where washing costs
//! nothing it does. In no slot more is washed than it says, and each keg as late as that allows, so that it is still clean.

use std::collections::{BTreeMap, VecDeque};

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::KegPoolId;
use cellarwright_model::plan::{Task, Work};
use cellarwright_model::units::Volume;

use super::Values;
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;

/// Kegs washed, before anything is filled.
pub fn washing(context: &Context, values: Values) -> Vec<Task> {
    let mut tasks = Vec::new();
    if context.case.keg_washer.is_none() {
        return tasks;
    }
    for pool in (0..context.case.kegs.len()).map(KegPoolId) {
        for (period, kegs) in washed(context, values, pool) {
            tasks.push(Task::new(Slot(period), Work::Wash { pool, kegs }));
        }
    }
    tasks
}

/// Kegs of a kind filled in each slot.
fn filled(context: &Context, values: Values, pool: KegPoolId) -> BTreeMap<PeriodId, i64> {
    let mut filled = BTreeMap::new();
    for (&(_, format, period), &pack) in &context.columns.packs {
        if context.grid.is_fine(period) && context.case.pool_of(format) == Some(pool) {
            let format = context.case.format(format);
            let packaged = Volume((values.millilitres(pack) as f64 * format.kept()).round() as i64);
            *filled.entry(period).or_default() += format.packages_begun(packaged);
        }
    }
    filled
}

fn washed(context: &Context, values: Values, id: KegPoolId) -> Vec<(PeriodId, i64)> {
    let pool = &context.case.kegs[id.0];
    let day_of = |period: PeriodId| context.grid.period(period).last_day;
    let mut filled = filled(context, values, id);
    // Those clean on day 0 count as washed on the day before it; they are filled first, as long as they keep.
    let mut clean = pool.clean;
    for (&period, kegs) in &mut filled {
        if pool.keeps.is_none_or(|keeps| day_of(period) < keeps) {
            let taken = clean.min(*kegs);
            clean -= taken;
            *kegs -= taken;
        }
    }
    // From the last slot to the first: kegs still to be washed, with the first day on which that may be; the latest is most urgent.
    let mut wanted: VecDeque<(i64, i64)> = VecDeque::new();
    let mut washed = Vec::new();
    for period in (0..context.grid.fine()).rev() {
        let day = day_of(period);
        if let Some(&kegs) = filled.get(&period) {
            wanted.push_back((pool.keeps.map_or(i64::MIN, |keeps| day - keeps), kegs));
        }
        let Some(&column) = context.columns.washed.get(&(id, period)) else { continue };
        let mut most = values.count(column) as i64;
        let mut kegs = 0;
        while let Some((from, missing)) = wanted.front_mut().filter(|_| most > 0) {
            let taken = if *from <= day { most.min(*missing) } else { 0 };
            most -= taken;
            kegs += taken;
            *missing -= taken;
            if *missing == 0 || *from > day {
                wanted.pop_front();
            }
        }
        if kegs > 0 {
            washed.push((period, kegs));
        }
    }
    washed
}
