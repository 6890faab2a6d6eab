//! Rows of packaging: the pieces of a line's shift.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::PinnedWork;
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Minutes, Volume};

use super::Facts;
use super::work::{beer_name, name};
use crate::render::view::WorkRow;

/// One piece of a line's shift: a beer in a format, from one vessel or several.
#[derive(Debug)]
struct Run {
    slot: Slot,
    line: LineId,
    format: FormatId,
    beer: Option<BeerId>,
    from: Vec<VesselId>,
    begins: Option<Minutes>,
    /// When the next piece on the line begins, or the line is cleaned down.
    over: Option<Minutes>,
    drawn: Volume,
    packaged: Volume,
}

/// Every piece of every line's shift, with its slot and clock time.
#[must_use]
pub fn rows(facts: &Facts) -> Vec<(Slot, Option<Minutes>, WorkRow)> {
    let packaged: BTreeMap<usize, Volume> = facts.report.usage.packaged.iter().copied().collect();
    let mut runs: Vec<Run> = Vec::new();
    for (position, task) in facts.plan.tasks.iter().enumerate() {
        let Work::Package { line, format, vessel, volume } = task.work else { continue };
        let beer = facts.held(vessel, task.slot);
        let yields = packaged.get(&position).copied().unwrap_or_default();
        let same = runs.iter_mut().find(|run| {
            run.slot == task.slot && run.line == line && run.format == format && run.beer == beer
        });
        match same {
            Some(run) => {
                if !run.from.contains(&vessel) {
                    run.from.push(vessel);
                }
                run.drawn += volume;
                run.packaged += yields;
            }
            None => {
                let (slot, from) = (task.slot, vec![vessel]);
                let begins = task.begins;
                let (drawn, packaged) = (volume, yields);
                runs.push(Run { slot, line, format, beer, from, begins, over: None, drawn, packaged });
            }
        }
    }
    runs.sort_by_key(|run| (run.slot, run.line));
    set_ends(facts, &mut runs);
    let mut before: Option<(Slot, LineId)> = None;
    let mut rows = Vec::new();
    for run in &runs {
        let is_first = before != Some((run.slot, run.line));
        before = Some((run.slot, run.line));
        rows.push((run.slot, run.begins, run_row(facts, run, is_first)));
    }
    rows
}

/// A piece on a line is over when the next one begins, the last one when the line has been cleaned down.
fn set_ends(facts: &Facts, runs: &mut [Run]) {
    let times = &facts.report.usage.line_times;
    let mut first = None;
    for place in 0..runs.len() {
        let of = |run: &Run| (run.slot, run.line);
        if place == 0 || of(&runs[place - 1]) != of(&runs[place]) {
            first = runs[place].begins;
        }
        let next = runs.get(place + 1).filter(|next| of(next) == of(&runs[place]));
        let (slot, line) = of(&runs[place]);
        let time = times.iter().find(|&&(of_line, of_slot, _)| of_line == line && of_slot == slot);
        runs[place].over = match next {
            Some(next) => next.begins,
            None => first.zip(time).map(|(first, &(_, _, time))| first + time),
        };
    }
}

fn run_row(facts: &Facts, run: &Run, is_first: bool) -> WorkRow {
    let (line, format) = (facts.case.line(run.line), facts.case.format(run.format));
    let times = &facts.report.usage.line_times;
    let time = times.iter().find(|&&(line, slot, _)| line == run.line && slot == run.slot);
    let time = time.map(|&(_, _, time)| time).filter(|_| is_first);
    WorkRow {
        work: "package",
        pinned: is_pinned_run(facts, run),
        beer: beer_name(facts, run.beer),
        from: run.from.iter().map(|&vessel| name(facts, vessel)).collect(),
        line: Some(line.name.clone()),
        format: Some(format.name.clone()),
        volume_hl: Some(run.drawn.hectolitres()),
        yields_hl: Some(run.packaged.hectolitres()),
        packages: (format.contents.0 > 0).then(|| run.packaged.0 / format.contents.0),
        roles: vec![Role::Package],
        lasts: run.begins.zip(run.over).map(|(begins, over)| (over - begins).0.max(0)),
        clock_hours: time.map(Minutes::hours),
        person_hours: time.map(|time| time.hours() * line.people as f64),
        ..WorkRow::default()
    }
}

/// Whether a run is what some pin asks for.
fn is_pinned_run(facts: &Facts, run: &Run) -> bool {
    let calendar = &facts.case.calendar;
    let mut pins = facts.case.fixed.pins.iter().filter(|pin| pin.is_in(calendar, run.slot));
    pins.any(|pin| match pin.work {
        PinnedWork::Package { beer, format, line, from, .. } => {
            run.beer == Some(beer)
                && format.is_none_or(|format| format == run.format)
                && line.is_none_or(|line| line == run.line)
                && from.is_none_or(|from| run.from.contains(&from))
        }
        PinnedWork::Brew { .. }
        | PinnedWork::Transfer { .. }
        | PinnedWork::Tank { .. }
        | PinnedWork::Crop { .. }
        | PinnedWork::Clean { .. }
        | PinnedWork::Dump { .. } => false,
    })
}
