//! What every column means, told from the slot in which it begins: columns with one label are the same work in other weeks.

use cellarwright_model::units::Volume;

use crate::compile::columns::{
    Columns, Course, DirectLot, Emptied, Filled, Leaving, Lot, Part, Source, Stage, YeastSource,
};
use crate::compile::context::Context;
use crate::compile::grid::PeriodId;
use crate::compile::program::ColumnId;

/// The kind of column, and all that tells it from others of the kind but the slot in which it begins.
pub type Label = (&'static str, Vec<i64>);

/// A column's label and the slot in which what it stands for begins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// What it stands for.
    pub label: Label,
    /// Slot in which it begins.
    pub begins: PeriodId,
}

/// Stands for no time at all: for ever, or never.
const NEVER: i64 = i64::MIN;

/// Builds labels: times are counted from the slot in which a column begins.
struct Labels<'c, 'a> {
    context: &'c Context<'a>,
    found: Vec<Known>,
}

/// A label in the making.
struct Making {
    begins: PeriodId,
    day: i64,
    parts: Vec<i64>,
}

impl Making {
    fn slot(mut self, slot: PeriodId) -> Self {
        self.parts.push(slot as i64 - self.begins as i64);
        self
    }

    fn maybe_slot(self, slot: Option<PeriodId>) -> Self {
        match slot {
            Some(slot) => self.slot(slot),
            None => self.number(NEVER),
        }
    }

    fn day(mut self, day: i64) -> Self {
        self.parts.push(if day == i64::MIN || day == i64::MAX { day } else { day - self.day });
        self
    }

    fn number(mut self, number: i64) -> Self {
        self.parts.push(number);
        self
    }

    fn index(self, index: usize) -> Self {
        self.number(index as i64)
    }

    fn volume(self, volume: Volume) -> Self {
        self.number(volume.0)
    }

    fn lot(self, lot: &Lot, filled: PeriodId) -> Self {
        self.index(lot.beer.0).index(lot.group.0).volume(lot.volume).slot(filled).number(lot.transfers)
    }

    fn part(self, part: Option<Part>) -> Self {
        match part {
            Some(part) => self.slot(part.at).index(part.to.0).volume(part.leaves),
            None => self.number(NEVER),
        }
    }

    fn direct(self, lot: &DirectLot) -> Self {
        self.index(lot.kind.0).index(lot.group.0).part(lot.part).slot(lot.first)
    }

    fn stage(self, stage: &Stage) -> Self {
        self.index(stage.group.0).maybe_slot(stage.period).volume(stage.leaves).volume(stage.arrives)
    }

    fn course(self, course: &Course) -> Self {
        let made = self.day(course.ready.0).day(course.ready.1).day(course.leaves.0).day(course.leaves.1);
        let made = match course.carbonates_from {
            0 => made.number(NEVER),
            slot => made.slot(slot),
        };
        let mut made = made.number(i64::from(course.stays_there));
        for &(slot, group) in course.moves.iter().flatten() {
            made = made.slot(slot).index(group.0);
        }
        made
    }
}

/// What is known of a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Known {
    /// It is a part of a cycle.
    At(Place),
    /// It belongs to day 0, to the end of the horizon, or to what a cycle does not count: nothing of it is in a cycle.
    InNoCycle,
    /// Nobody has said.
    Nothing,
}

impl Known {
    /// The place, if it is a part of a cycle.
    pub fn place(&self) -> Option<&Place> {
        match self {
            Self::At(place) => Some(place),
            Self::InNoCycle | Self::Nothing => None,
        }
    }
}

/// What is known of all columns, by `ColumnId`.
pub fn labels(context: &Context) -> Vec<Known> {
    let mut labels = Labels { context, found: vec![Known::Nothing; context.program.columns.len()] };
    for column in not_of_the_middle(context).into_iter().chain(is_of_no_cycle(&context.columns)) {
        labels.found[column.0] = Known::InNoCycle;
    }
    labels.batches();
    labels.lots();
    labels.packaging();
    labels.resources();
    labels.yeast();
    labels.found
}

/// Columns of kinds that cycles have, which themselves belong to day 0 or to the end of the horizon.
fn not_of_the_middle(context: &Context) -> Vec<ColumnId> {
    let columns = &context.columns;
    let mut all: Vec<ColumnId> = Vec::new();
    for ferment in &columns.ferments {
        let ends =
            matches!(ferment.leaving, Leaving::Stays | Leaving::Dump(_) | Leaving::Bright { last: None, .. });
        if ends || ferment.filled.is_none() {
            all.push(ferment.column);
        }
    }
    let ways = columns.tank_ways.iter().filter(|way| way.filled.is_none() || way.way.pending.is_some());
    all.extend(ways.map(|way| way.column));
    let movements = columns.movements.iter().filter(|movement| movement.last.is_none());
    all.extend(movements.map(|movement| movement.column));
    let is_opening = |source: Source| match source {
        Source::Bright(lot) => matches!(lot.filled, Filled::Opening(_)),
        Source::Direct(_) => false,
    };
    let holds = columns.holds.iter();
    let ending = holds.filter(|hold| is_opening(hold.source) || !matches!(hold.emptied, Emptied::At(_)));
    all.extend(ending.map(|hold| hold.column));
    let draws = columns.draws.iter().filter(|((source, _), _)| is_opening(*source));
    all.extend(draws.map(|(_, &column)| column));
    let fresh = columns.fresh.iter().filter(|((_, cleaned, _), _)| cleaned.is_none());
    all.extend(fresh.map(|(_, &column)| column));
    let to_stale = columns.to_stale.iter().filter(|((_, cleaned), _)| cleaned.is_none());
    all.extend(to_stale.map(|(_, &column)| column));
    let stored =
        columns.pitches.iter().filter(|((_, _, source, _), _)| matches!(source, YeastSource::Store(_)));
    all.extend(stored.map(|(_, &column)| column));
    all
}

impl Labels<'_, '_> {
    fn from(&self, begins: PeriodId) -> Making {
        Making { begins, day: self.context.grid.period(begins).first_day, parts: Vec::new() }
    }

    fn give(&mut self, column: ColumnId, kind: &'static str, made: Making) {
        self.found[column.0] = Known::At(Place { label: (kind, made.parts), begins: made.begins });
    }

    fn batches(&mut self) {
        let columns = &self.context.columns;
        for brew in &columns.brews {
            let mut made = self.from(brew.first()).index(brew.kind.0).index(brew.group.0);
            for &(slot, turns) in &brew.turns {
                made = made.slot(slot).number(turns);
            }
            self.give(brew.column, "brew", made);
        }
        for ferment in &columns.ferments {
            let Some(filled) = ferment.filled else { continue };
            let made = self.from(filled).index(ferment.kind.0).index(ferment.group.0);
            let made = match ferment.leaving {
                Leaving::Bright { first, last: Some(last) } => made.number(0).slot(first).slot(last),
                Leaving::Direct { part, carbonated, first } => {
                    made.number(1).part(part).maybe_slot(carbonated).slot(first)
                }
                Leaving::Moved { at, to } => made.number(2).slot(at).index(to.0),
                Leaving::Dump(_) | Leaving::Stays | Leaving::Bright { last: None, .. } => continue,
            };
            self.give(ferment.column, "ferment", made.course(&ferment.course));
        }
        for way in &columns.tank_ways {
            let (Some(filled), None) = (way.filled, way.way.pending) else { continue };
            let mut made = self.from(filled).index(way.kind.0).index(way.group.0).number(way.way.left_out);
            for &(piece, slot) in &way.way.pieces {
                made = made.index(piece).slot(slot);
            }
            self.give(way.column, "tank way", made.course(&way.way.course));
        }
        for movement in columns.movements.iter().filter(|movement| movement.last.is_some()) {
            let from = movement.from.map_or(NEVER, |group| group.0 as i64);
            let mut made = self.from(movement.first).index(movement.kind.0).number(from);
            made = made.maybe_slot(movement.last);
            for stage in &movement.stages {
                made = made.stage(stage);
            }
            self.give(movement.column, "movement", made);
        }
        for blend in &columns.blends {
            let mut made = self.from(blend.period).lot(&blend.lot, blend.period);
            for (kind, from) in blend.parts {
                made = made.index(kind.0).number(from.map_or(NEVER, |group| group.0 as i64));
            }
            self.give(blend.column, "blend", made);
        }
    }

    /// A label that begins with a source; none for what was there on day 0.
    fn source(&self, source: Source) -> Option<Making> {
        match source {
            Source::Bright(lot) => match lot.filled {
                Filled::In(filled) => Some(self.from(filled).number(0).lot(&lot, filled)),
                Filled::Opening(_) => None,
            },
            Source::Direct(lot) => Some(self.from(lot.first).number(1).direct(&lot)),
        }
    }

    fn lots(&mut self) {
        let columns = &self.context.columns;
        for hold in &columns.holds {
            if let (Some(made), Emptied::At(end)) = (self.source(hold.source), hold.emptied) {
                self.give(hold.column, "hold", made.slot(end));
            }
        }
        for (&(source, slot), &column) in &columns.draws {
            if let Some(made) = self.source(source) {
                self.give(column, "draw", made.slot(slot));
            }
        }
        for (&(lot, slot), &column) in &columns.pours {
            if let Some(made) = self.source(Source::Bright(lot)) {
                self.give(column, "pour", made.slot(slot));
            }
        }
        for (&(lot, day), &column) in &columns.on_tap {
            if let Some(made) = self.source(Source::Bright(lot)) {
                self.give(column, "on tap", made.day(day));
            }
        }
        for fill in &columns.serve_fills {
            if let Some(made) = self.source(fill.from) {
                let filled = self.source(Source::Bright(fill.to)).map_or(Vec::new(), |made| made.parts);
                let mut made = made.slot(fill.period);
                made.parts.extend(filled);
                let parts = made.parts.clone();
                let again = Making { begins: made.begins, day: made.day, parts };
                self.give(fill.filled, "serve fill", made);
                self.give(fill.leaves, "serve leaves", again);
            }
        }
    }

    fn packaging(&mut self) {
        let columns = &self.context.columns;
        for (&(beer, lines, line, slot), &column) in &columns.feeds {
            let made = self.from(slot).index(beer.0).number(lines as i64).index(line.0);
            self.give(column, "feed", made);
        }
        for (&(beer, format, slot), &column) in &columns.packs {
            self.give(column, "pack", self.from(slot).index(beer.0).index(format.0));
        }
        for (&(beer, line, slot), &column) in &columns.runs {
            self.give(column, "run", self.from(slot).index(beer.0).index(line.0));
        }
        for (&(beer, format, slot), &column) in &columns.format_runs {
            self.give(column, "format run", self.from(slot).index(beer.0).index(format.0));
        }
        for (&(line, slot), &column) in &columns.line_on {
            self.give(column, "line on", self.from(slot).index(line.0));
        }
        for (&(line, slot), sequences) in &columns.sequences {
            for (place, sequence) in sequences.iter().enumerate() {
                self.give(sequence.column, "sequence", self.from(slot).index(line.0).index(place));
            }
        }
        for (&(line, slot), order) in &columns.format_orders {
            let of_courses = order.courses.iter().map(|course| course.column);
            let of_steps = order.steps.iter().flat_map(|step| [step.column, step.onward]);
            let of_begins = order.begins.values().flat_map(|&(begins, onward)| [begins, onward]);
            let others = order.ends.values().chain(order.through.values()).copied();
            let all = of_courses.chain(of_steps).chain(of_begins).chain(others);
            // A beer of one format has its run as its course: that has a label already.
            for (place, column) in all.enumerate().collect::<Vec<_>>() {
                if self.found[column.0].place().is_none() {
                    self.give(column, "format order", self.from(slot).index(line.0).index(place));
                }
            }
        }
        for (&(line, day), &column) in &columns.visits {
            // The visit of a line with one shift a day is the line's run.
            if self.found[column.0].place().is_none() {
                let slot = self.context.case.calendar.slot(day, 0).0;
                self.give(column, "visit", self.from(slot).index(line.0));
            }
        }
        for (&(beer, line, slot), &column) in &columns.short_runs {
            self.give(column, "short run", self.from(slot).index(beer.0).index(line.0));
        }
        for (&(place, slot), &column) in &columns.filter_on {
            self.give(column, "filter on", self.from(slot).index(place));
        }
        for (&(beer, slot), &column) in &columns.filter_runs {
            self.give(column, "filter run", self.from(slot).index(beer.0));
        }
    }

    fn resources(&mut self) {
        let columns = &self.context.columns;
        for (&slot, &column) in &columns.first_turns {
            self.give(column, "first turn", self.from(slot));
        }
        for (&(crew, slot), &column) in &columns.overtime {
            self.give(column, "overtime", self.from(slot).index(crew.0));
        }
        for (&(crew, slot), &column) in &columns.overtime_minutes {
            self.give(column, "overtime minutes", self.from(slot).index(crew.0));
        }
        let by_group_and_slot = [
            ("clean", &columns.clean),
            ("full clean", &columns.full_cleans),
            ("since full", &columns.since_full),
            ("stale", &columns.stale),
            ("dirty", &columns.dirty),
            ("ready", &columns.ready),
        ];
        for (kind, columns) in by_group_and_slot {
            for (&(group, slot), &column) in columns {
                self.give(column, kind, self.from(slot).index(group.0));
            }
        }
        for (&(group, mark, slot), &column) in &columns.marked {
            self.give(column, "marked", self.from(slot).index(group.0).number(mark.0 as i64));
        }
        for (&(group, cleaned, filled), &column) in &columns.fresh {
            if let Some(cleaned) = cleaned {
                self.give(column, "fresh", self.from(cleaned).index(group.0).slot(filled));
            }
        }
        for (&(group, cleaned), &column) in &columns.to_stale {
            if let Some(cleaned) = cleaned {
                self.give(column, "to stale", self.from(cleaned).index(group.0));
            }
        }
        for (&(group, day), &column) in &columns.old {
            if let Ok(day) = usize::try_from(day) {
                let slot = self.context.case.calendar.slot(day, 0).0;
                self.give(column, "old", self.from(slot).index(group.0));
            }
        }
    }

    fn yeast(&mut self) {
        let columns = &self.context.columns;
        for (&((kind, group, filled), generation, slot), &column) in &columns.crops {
            if let Some(filled) = filled {
                let made = self.from(filled).index(kind.0).index(group.0).number(generation).slot(slot);
                self.give(column, "crop", made);
            }
        }
        for (&(yeast, generation, source, slot), &column) in &columns.pitches {
            let made = self.from(slot).index(yeast.0).number(generation);
            let made = match source {
                YeastSource::Bought => made.number(NEVER),
                YeastSource::Crop(cropped) => made.slot(cropped),
                YeastSource::Store(_) => continue,
            };
            self.give(column, "pitch", made);
        }
        for (&(yeast, slot, pitches, generation), &column) in &columns.pitched {
            let made = self.from(slot).index(yeast.0).number(pitches).number(generation);
            self.give(column, "pitched", made);
        }
        for (&(brew, generation), &column) in &columns.generations {
            let brew = &columns.brews[brew];
            let mut made = self.from(brew.first()).index(brew.kind.0).index(brew.group.0).number(generation);
            for &(slot, turns) in &brew.turns {
                made = made.slot(slot).number(turns);
            }
            self.give(column, "generation", made);
        }
    }
}

/// Columns that no cycle has: what stands for day 0, for the end of the horizon, for the look-ahead, or for what a repeating week
/// refuses. Naming them all here makes the compiler of Rust ask about every new kind of column.
pub fn is_of_no_cycle(columns: &Columns) -> Vec<ColumnId> {
    let Columns {
        brews: _,
        ferments: _,
        tank_ways: _,
        crops: _,
        pitches: _,
        pitched: _,
        generations: _,
        bought_ahead,
        movements: _,
        blends: _,
        serve_fills: _,
        holds: _,
        draws: _,
        pours: _,
        wasted,
        on_tap: _,
        left,
        feeds: _,
        packs: _,
        early,
        runs: _,
        format_runs: _,
        line_on: _,
        sequences: _,
        format_orders: _,
        visits: _,
        filter_on: _,
        filter_runs: _,
        kegs,
        washed,
        stale_kegs,
        bought: _,
        short_runs: _,
        first_turns: _,
        overtime: _,
        overtime_minutes: _,
        clean: _,
        clean_opening,
        clean_again,
        full_cleans: _,
        since_full: _,
        marked: _,
        fresh: _,
        stale: _,
        to_stale: _,
        dirty: _,
        ready: _,
        old: _,
        deliver,
        store_over,
        lacking,
        whole,
        surplus,
    } = columns;
    let mut all: Vec<ColumnId> = Vec::new();
    all.extend(bought_ahead.values());
    all.extend(wasted.values());
    all.extend(left.values());
    all.extend(kegs.values());
    all.extend(washed.values());
    all.extend(stale_kegs.values());
    all.extend(clean_opening.values());
    all.extend(clean_again.values());
    all.extend(deliver.values());
    all.extend(store_over.iter().map(|&(column, _)| column));
    all.extend(lacking.iter().map(|&(column, ..)| column));
    all.extend(whole.values());
    all.extend(surplus.values());
    all.extend(early.values());
    all
}
