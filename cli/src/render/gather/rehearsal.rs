//! The view of a rehearsal.

use std::collections::BTreeMap;

use cellarwright_checker::batches::Batch;
use cellarwright_model::case::Case;
use cellarwright_model::finding::Finding;
use cellarwright_model::ids::OrderId;
use cellarwright_model::units::{Share, Volume};
use cellarwright_solver::rehearsal::{Asked, Course, Draw, Fall, LateBatches, Outcome, Rehearsal};

use super::{cautions_of_input, date, day_label};
use crate::render::view::{BatchRow, DrawRow, DrawnOrder, FallRow, LateRow, RehearsalView};
use crate::render::words::rehearsal as words;

/// The view of a rehearsal.
#[must_use]
pub fn of_rehearsal(
    case: &Case,
    found: &Rehearsal,
    asked: &Asked,
    findings: &[Finding],
    seconds: f64,
) -> RehearsalView {
    let mut batches: Vec<&LateBatches> = found.batches.iter().collect();
    batches.sort_by_key(|late| (late.batch.ready, late.batch.vessel));
    let share = |share: Share| share.0 as f64 / Share::WHOLE.0 as f64;
    let promised = found.promised.hectolitres();
    let mut kept: Vec<f64> =
        found.draws.iter().map(|draw| draw.outcome.output.hectolitres() / promised.max(1e-9)).collect();
    kept.sort_by(f64::total_cmp);
    let count = kept.len();
    RehearsalView {
        title: case.name.clone(),
        cellar: case.cellar.clone(),
        units: case.show_units,
        promised_hl: promised,
        batches: batches.into_iter().map(|late| batch(case, late)).collect(),
        draws_asked: asked.draws,
        seed: asked.seed,
        chance_late: asked.chances.late.map(share),
        chance_stop: share(asked.chances.stop),
        gap: asked.search.gap,
        draws_without_fall: found.draws.iter().filter(|draw| is_kept(&draw.outcome)).count(),
        kept_up: (count > 0).then(|| kept.iter().sum::<f64>() / count as f64),
        kept_up_at_worst: kept.first().copied(),
        kept_up_in_nine_of_ten: kept.get(count / 10).copied(),
        orders: orders(case, &found.draws),
        draws: found.draws.iter().map(|draw| drawn(case, draw)).collect(),
        seconds,
        cautions: cautions_of_input(findings),
    }
}

/// A batch in a few words.
#[must_use]
pub fn batch_name(case: &Case, batch: &Batch) -> String {
    words::batch(&case.beer(batch.beer).name, &case.vessel(batch.vessel).name)
}

fn is_kept(outcome: &Outcome) -> bool {
    outcome.falls.is_empty() && matches!(outcome.course, Course::Stands | Course::PlannedAgain { .. })
}

fn batch(case: &Case, late: &LateBatches) -> BatchRow {
    let batch = &late.batch;
    let bearable = late.bearable();
    let next = usize::try_from(bearable).ok().and_then(|bearable| late.outcomes.get(bearable));
    let is_known = |outcome: &Option<Outcome>| {
        outcome.as_ref().is_some_and(|outcome| outcome.course != Course::NotInTime)
    };
    let is_cut = next.is_some_and(|next| next.as_ref().is_some_and(|outcome| outcome.is_cut));
    let must = next.filter(|outcome| is_known(outcome)).map(|_| batch.ready + bearable);
    let without = if next.is_none() { words::LATER } else { words::NOT_KNOWN };
    let used = batch.leaves.map(|slot| case.calendar.day(slot) as i64);
    let label = |day: Option<i64>| day.map_or_else(String::new, |day| day_label(case, day));
    BatchRow {
        batch: batch_name(case, batch),
        beer: case.beer(batch.beer).name.clone(),
        vessel: case.vessel(batch.vessel).name.clone(),
        ready: date(case, batch.ready),
        ready_label: day_label(case, batch.ready),
        used: used.map(|day| date(case, day)),
        used_label: label(used),
        known: date(case, late.known),
        known_label: day_label(case, late.known),
        spare_days: late.spare(),
        bearable_days: bearable,
        must_be_ready: must.map(|day| date(case, day)),
        must_may_be_later: must.is_some() && is_cut,
        must_label: must.map_or_else(
            || without.to_owned(),
            |day| day_label(case, day) + if is_cut { words::CUT } else { "" },
        ),
        late: (1..).zip(&late.outcomes).map(|(days, outcome)| row(case, days, outcome.as_ref())).collect(),
    }
}

fn row(case: &Case, days: i64, outcome: Option<&Outcome>) -> LateRow {
    let Some(outcome) = outcome else {
        return LateRow { days, course: "not_done", changes: 0, is_cut: false, orders: Vec::new() };
    };
    let (course, changes) = match outcome.course {
        Course::Stands => ("stands", 0),
        Course::PlannedAgain { changes, .. } => ("planned_again", changes),
        Course::NoPlan => ("no_plan", 0),
        Course::NotInTime => ("not_in_time", 0),
    };
    let orders = outcome.falls.iter().map(|one| fall(case, one)).collect();
    LateRow { days, course, changes, is_cut: outcome.is_cut, orders }
}

fn fall(case: &Case, fall: &Fall) -> FallRow {
    FallRow {
        order: case.order(fall.order).name.clone(),
        short_hl: fall.short.hectolitres(),
        late_hl: fall.late.hectolitres(),
    }
}

fn drawn(case: &Case, draw: &Draw) -> DrawRow {
    let times = match draw.outcome.course {
        Course::PlannedAgain { times, .. } => times,
        Course::Stands | Course::NoPlan | Course::NotInTime => 0,
    };
    DrawRow {
        late_batches: draw.late,
        line_stops: draw.stops,
        outcome: row(case, 0, Some(&draw.outcome)),
        times,
        output_hl: draw.outcome.output.hectolitres(),
    }
}

/// Orders that fail in a draw, most often first.
fn orders(case: &Case, draws: &[Draw]) -> Vec<DrawnOrder> {
    let mut all: BTreeMap<OrderId, (usize, Volume, Volume)> = BTreeMap::new();
    for fall in draws.iter().flat_map(|draw| &draw.outcome.falls) {
        let (fails, sum, most) = all.entry(fall.order).or_default();
        *fails += 1;
        *sum += fall.short;
        *most = fall.short.max(*most);
    }
    let mut rows: Vec<DrawnOrder> = all
        .into_iter()
        .map(|(order, (fails, sum, most))| DrawnOrder {
            order: case.order(order).name.clone(),
            fails,
            short_on_average_hl: sum.hectolitres() / draws.len() as f64,
            short_at_most_hl: most.hectolitres(),
        })
        .collect();
    rows.sort_by_key(|row| std::cmp::Reverse(row.fails));
    rows
}
