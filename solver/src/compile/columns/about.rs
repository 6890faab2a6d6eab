//! What the whole numbers of a program are about: which periods, and which beer.

use cellarwright_model::ids::BeerId;

use super::{Emptied, Filled, Leaving, Source, beers};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::ColumnId;

/// What each column is about, by its position.
#[derive(Debug)]
pub struct About {
    /// First and last period; none where that is open.
    periods: Vec<Option<(PeriodId, PeriodId)>>,
    /// The beer; none where it is about none, or about several.
    beers: Vec<Option<BeerId>>,
}

impl About {
    /// Those of a program.
    pub fn new(context: &Context) -> Self {
        let periods = vec![None; context.program.columns.len()];
        let mut all = Self { periods, beers: beers::of_all(context) };
        all.batches(context);
        all.lots(context);
        all.cleans(context);
        all.lines(context);
        all.days(context);
        all
    }

    /// First and last period that a column is about; none where that is open, as for columns that came to the program later.
    pub fn periods(&self, column: usize) -> Option<(PeriodId, PeriodId)> {
        self.periods.get(column).copied().flatten()
    }

    /// Whether a column is about some of these periods, or may be.
    pub fn is_in(&self, column: usize, first: PeriodId, last: PeriodId) -> bool {
        self.periods(column).is_none_or(|(begins, ends)| begins <= last && ends >= first)
    }

    /// Whether a column is about one of these beers, or may be.
    pub fn is_of(&self, column: usize, beers: &[BeerId]) -> bool {
        self.beers[column].is_none_or(|beer| beers.contains(&beer))
    }

    fn note(&mut self, column: ColumnId, first: PeriodId, last: PeriodId) {
        let periods = &mut self.periods[column.0];
        let (begins, ends) = periods.unwrap_or((first, last));
        *periods = Some((begins.min(first), ends.max(last)));
    }

    fn batches(&mut self, context: &Context) {
        let end = context.grid.len() - 1;
        let columns = &context.columns;
        for brew in &columns.brews {
            self.note(brew.column, brew.first(), brew.last());
        }
        for ferment in &columns.ferments {
            let ends = match ferment.leaving {
                Leaving::Bright { last, .. } => last.unwrap_or(end),
                Leaving::Direct { first, .. } | Leaving::Moved { at: first, .. } | Leaving::Dump(first) => {
                    first
                }
                Leaving::Stays => end,
            };
            self.note(ferment.column, ferment.filled.unwrap_or(0), ends);
        }
        for way in &columns.tank_ways {
            for slot in way.way.pieces.iter().map(|&(_, slot)| slot).chain(way.filled) {
                self.note(way.column, slot, slot);
            }
        }
        for (&(_, _, period), &column) in &columns.crops {
            self.note(column, period, period);
        }
        for (&(_, _, _, period), &column) in &columns.pitches {
            self.note(column, period, period);
        }
        for (&(_, period, _, _), &column) in &columns.pitched {
            self.note(column, period, period);
        }
        for (&(brew, _), &column) in &columns.generations {
            self.note(column, columns.brews[brew].first(), columns.brews[brew].last());
        }
    }

    fn lots(&mut self, context: &Context) {
        let end = context.grid.len() - 1;
        let columns = &context.columns;
        for movement in &columns.movements {
            self.note(movement.column, movement.first, movement.last.unwrap_or(end));
        }
        for blend in &columns.blends {
            self.note(blend.column, blend.period, blend.period);
        }
        for fill in &columns.serve_fills {
            self.note(fill.filled, fill.period, fill.period);
        }
        for hold in &columns.holds {
            let first = match hold.source {
                Source::Direct(lot) => lot.first,
                Source::Bright(lot) => match lot.filled {
                    Filled::In(period) => period,
                    Filled::Opening(_) => 0,
                },
            };
            let last = match hold.emptied {
                Emptied::At(period) | Emptied::Dump(period) => period,
                Emptied::Stays => end,
            };
            self.note(hold.column, first, last);
        }
    }

    /// Cleans and fills; what a vessel is in between follows from them and is left open.
    fn cleans(&mut self, context: &Context) {
        let columns = &context.columns;
        let all = [&columns.clean, &columns.clean_opening, &columns.clean_again, &columns.full_cleans];
        for (&(_, period), &column) in all.into_iter().chain([&columns.stale]).flatten() {
            self.note(column, period, period);
        }
        for (&(_, cleaned, filled), &column) in &columns.fresh {
            self.note(column, cleaned.unwrap_or(0), filled);
        }
        for (&(_, cleaned), &column) in &columns.to_stale {
            self.note(column, cleaned.unwrap_or(0), cleaned.unwrap_or(0));
        }
    }

    fn lines(&mut self, context: &Context) {
        let columns = &context.columns;
        for (&(_, _, period), &column) in &columns.runs {
            self.note(column, period, period);
        }
        for (&(_, _, period), &column) in columns.format_runs.iter().chain(&columns.kegs) {
            self.note(column, period, period);
        }
        for (&(_, period), &column) in &columns.filter_runs {
            self.note(column, period, period);
        }
        for (&(_, period), sequences) in &columns.sequences {
            for sequence in sequences {
                self.note(sequence.column, period, period);
            }
        }
        for (&(_, period), &column) in &columns.line_on {
            self.note(column, period, period);
        }
        for (&(_, period), &column) in &columns.filter_on {
            self.note(column, period, period);
        }
        for (&(_, period), &column) in &columns.washed {
            self.note(column, period, period);
        }
        for (&period, &column) in &columns.first_turns {
            self.note(column, period, period);
        }
        for (&(_, period), &column) in &columns.overtime_minutes {
            self.note(column, period, period);
        }
    }

    /// What is about days.
    fn days(&mut self, context: &Context) {
        let columns = &context.columns;
        let whole = columns.whole.iter().map(|(&(_, day), &column)| (day, column));
        let visits = columns.visits.iter().map(|(&(_, day), &column)| (day as i64, column));
        let stale = columns.stale_kegs.iter().map(|(&(_, day), &column)| (day, column));
        for (day, column) in whole.chain(visits).chain(stale) {
            for period in 0..context.grid.len() {
                let (first, last) = context.days_of(period);
                if (first..=last).contains(&day) {
                    self.note(column, period, period);
                }
            }
        }
    }
}
