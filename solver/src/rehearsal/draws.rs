//! A draw: day by day, batches turn out to be late and lines stop.

use std::collections::BTreeSet;

use cellarwright_checker::batches::Batch;
use cellarwright_model::ids::{LineId, VesselId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::random::millionths;

use super::stage::{Stage, be_late, stop};
use super::{Draw, in_these_days, known};
use crate::solve::SolveError;

/// What is drawn for, so that draws for different things do not hang together.
const LATE: u64 = 1;
const STOP: u64 = 2;

impl Stage<'_> {
    /// The draw with a number. A batch is known by its fermenter and the day of its last turn, a line by its day.
    pub(super) fn draw(&self, number: usize) -> Result<Draw, SolveError> {
        let mut run = self.begin();
        let (mut late, mut stops) = (0, 0);
        let mut ended = None;
        let mut settled: BTreeSet<(VesselId, i64)> = BTreeSet::new();
        for day in 0..self.case.calendar.planned_days as i64 {
            let mut has_happened = false;
            for batch in in_these_days(&run.case, &run.plan) {
                let is_rehearsed = batch.opening || self.case.beer(batch.beer).conditions.is_none();
                if known(&run.case, &batch) != day
                    || !is_rehearsed
                    || !settled.insert((batch.vessel, batch.on))
                {
                    continue;
                }
                let days = self.days_late(number, &batch);
                if days > 0 {
                    be_late(&mut run.case, &batch, days);
                    (late, has_happened) = (late + 1, true);
                }
            }
            for line in running(&run.plan, self.case, day) {
                let drawn = millionths(self.asked.seed, [number as u64, STOP, line.0 as u64, day as u64]);
                if drawn < self.asked.chances.stop.0 {
                    stop(&mut run.case, line, day);
                    (stops, has_happened) = (stops + 1, true);
                }
            }
            if has_happened {
                ended = self.carry_on(&mut run, day)?;
                if ended.is_some() {
                    break;
                }
            }
        }
        Ok(Draw { late, stops, outcome: self.outcome(&run, ended) })
    }

    /// Days by which a batch is late in a draw.
    fn days_late(&self, number: usize, batch: &Batch) -> i64 {
        // Days before day 0 count too.
        let on = (batch.on + 1_000_000) as u64;
        let mut drawn = millionths(self.asked.seed, [number as u64, LATE, batch.vessel.0 as u64, on]);
        for (days, chance) in (1..).zip(self.asked.chances.late) {
            if drawn < chance.0 {
                return days;
            }
            drawn -= chance.0;
        }
        0
    }
}

/// Lines that run on a day of a plan.
fn running(plan: &Plan, case: &cellarwright_model::case::Case, day: i64) -> BTreeSet<LineId> {
    let of_task = |task: &cellarwright_model::plan::Task| match task.work {
        Work::Package { line, .. } if case.calendar.day(task.slot) as i64 == day => Some(line),
        _ => None,
    };
    plan.tasks.iter().filter_map(of_task).collect()
}
