//! Lines: what runs in a slot, in which order, how long it takes and what is lost.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Line};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::units::{Minutes, Money, Volume, mul_div};

use super::Ledger;
use crate::exact::{Fine, bounded};

/// One task of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its position in the plan.
    pub position: usize,
    /// The format.
    pub format: FormatId,
    /// The vessel that it draws from.
    pub vessel: VesselId,
    /// Volume that leaves the vessel.
    pub volume: Volume,
}

/// A beer on a line in a slot, in all its formats.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// The beer.
    pub beer: BeerId,
    /// Its tasks, in order.
    pub pieces: Vec<Piece>,
    /// What leaves vessels.
    pub drawn: Volume,
    /// Drawn and packaged by format.
    pub formats: BTreeMap<FormatId, (Volume, Volume)>,
}

/// A line in a slot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LineSlot {
    /// Beers in the order of the tasks, each as often as it begins anew.
    pub order: Vec<BeerId>,
    /// Its runs, in the order in which each beer first runs.
    pub runs: Vec<Run>,
    /// Line time.
    pub time: Fine,
    /// Cost of its person-time.
    pub labour: Money,
    /// Cost of runs that are too short.
    pub short_runs: Money,
}

impl LineSlot {
    /// Beers and formats in the order of the runs and of their tasks, each as often as it begins anew.
    #[must_use]
    pub fn sequence(&self) -> Vec<(BeerId, FormatId)> {
        let pieces = self.runs.iter().flat_map(|run| run.pieces.iter().map(|piece| (run.beer, piece.format)));
        let mut sequence: Vec<(BeerId, FormatId)> = pieces.collect();
        sequence.dedup();
        sequence
    }

    /// Volume that leaves vessels for it.
    #[must_use]
    pub fn drawn(&self) -> Volume {
        self.runs.iter().map(|run| run.drawn).sum()
    }
}

impl Ledger<'_> {
    pub(super) fn run_piece(&mut self, slot: Slot, line: LineId, beer: BeerId, piece: Piece) {
        let line_slot = self.line_slots.entry((slot, line)).or_default();
        if line_slot.order.last() != Some(&beer) {
            line_slot.order.push(beer);
        }
        let place = line_slot.runs.iter().position(|run| run.beer == beer);
        let place = place.unwrap_or_else(|| {
            let run = Run { beer, pieces: Vec::new(), drawn: Volume::ZERO, formats: BTreeMap::new() };
            line_slot.runs.push(run);
            line_slot.runs.len() - 1
        });
        let run = &mut line_slot.runs[place];
        run.pieces.push(piece);
        run.drawn = bounded(run.drawn + piece.volume);
        let format = run.formats.entry(piece.format).or_default();
        format.0 = bounded(format.0 + piece.volume);
    }

    pub(super) fn finish_lines(&mut self) {
        for (&(_, line), line_slot) in &mut self.line_slots {
            for run in &mut line_slot.runs {
                run.finish(self.case, line);
                let missing = self.case.line(line).least_run - run.drawn;
                line_slot.short_runs += self.case.rates.short_run.for_volume(missing.max(Volume::ZERO));
            }
            line_slot.time = line_time(self.case, line, line_slot);
            let person_time = line_slot.time.times(self.case.line(line).people);
            line_slot.labour = person_time.cost(self.case.rates.labour);
        }
    }
}

impl Run {
    /// Packaged volumes: the line's loss once, in the order of the formats, then each format's share.
    fn finish(&mut self, case: &Case, line: LineId) {
        let mut loss = case.line(line).loss;
        for (&format, (drawn, packaged)) in &mut self.formats {
            let part = loss.min(*drawn);
            loss -= part;
            *packaged = case.format(format).yields(*drawn - part);
        }
    }

    /// Packaged volume of each task, in the order of `pieces`: a format's tasks share its losses by volume.
    #[must_use]
    pub fn packaged_by_piece(&self) -> Vec<(usize, Volume)> {
        let mut so_far: BTreeMap<FormatId, Volume> = BTreeMap::new();
        let mut shares = Vec::new();
        for piece in &self.pieces {
            let (drawn, packaged) = self.formats.get(&piece.format).copied().unwrap_or_default();
            let before = so_far.entry(piece.format).or_default();
            let at = |volume: Volume| mul_div(packaged.0, volume.0, drawn.0.max(1));
            let share = at(*before + piece.volume) - at(*before);
            *before += piece.volume;
            shares.push((piece.position, Volume(share)));
        }
        shares
    }
}

/// All changes of a line with changes of format by pair, in the order of the tasks.
fn format_changes(line: &Line, line_slot: &LineSlot) -> Minutes {
    let sequence = line_slot.sequence();
    let changes = sequence.iter().zip(sequence.iter().skip(1));
    changes.map(|(&before, &next)| line_change(line, before, next)).sum()
}

/// Clock time of the change from a beer in a format to the next, on a line with changes of format by pair.
#[must_use]
pub fn line_change(line: &Line, before: (BeerId, FormatId), next: (BeerId, FormatId)) -> Minutes {
    let by_pair = line.format_pair(before.1, next.1).and_then(|pair| pair.takes);
    if before.0 != next.0 {
        line.change(before.0, next.0).max(by_pair.unwrap_or_default())
    } else if before.1 != next.1 {
        by_pair.unwrap_or(line.change_format)
    } else {
        Minutes::ZERO
    }
}

/// Start-up, running, changes and clean-down.
fn line_time(case: &Case, line: LineId, line_slot: &LineSlot) -> Fine {
    let data = case.line(line);
    let mut changes = Minutes::ZERO;
    for (before, next) in line_slot.runs.iter().zip(line_slot.runs.iter().skip(1)) {
        changes += data.change(before.beer, next.beer);
    }
    if data.format_pairs.is_empty() {
        for run in &line_slot.runs {
            let formats: BTreeSet<FormatId> = run.formats.keys().copied().collect();
            changes += Minutes(data.change_format.0 * (formats.len() as i64 - 1).max(0));
        }
    } else {
        changes = format_changes(data, line_slot);
    }
    let fixed = data.start_up + changes + data.clean_down;
    Fine::from(fixed) + Fine::running(data, line_slot.drawn())
}
