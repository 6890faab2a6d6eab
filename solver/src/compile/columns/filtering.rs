//! Columns of filters that start up or change between beers: whether one runs in a slot, and for which beers.

use std::collections::BTreeSet;

use cellarwright_model::ids::BeerId;
use cellarwright_model::units::Minutes;

use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::rules::filter;

/// Adds all columns of this file.
pub fn add(context: &mut Context) {
    for place in 0..context.case.filters.len() {
        let data = context.case.filters[place].clone();
        let lots = filter::lots(context);
        let keys = lots.keys().filter(|(beer, period)| {
            context.grid.is_fine(*period) && context.case.beer(*beer).filter == Some(place)
        });
        let used: BTreeSet<(PeriodId, BeerId)> = keys.map(|&(beer, period)| (period, beer)).collect();
        let periods: BTreeSet<PeriodId> = used.iter().map(|&(period, _)| period).collect();
        for period in periods {
            let beers: Vec<BeerId> =
                used.iter().filter(|(at, _)| *at == period).map(|&(_, beer)| beer).collect();
            let has_changes = data.change > Minutes::ZERO && beers.len() > 1;
            if data.start_up > Minutes::ZERO || has_changes {
                let on = context.program.column(0.0, 1.0, true);
                context.columns.filter_on.insert((place, period), on);
            }
            for beer in beers.into_iter().filter(|_| has_changes) {
                let run = context.program.column(0.0, 1.0, true);
                context.columns.filter_runs.insert((beer, period), run);
            }
        }
    }
}
