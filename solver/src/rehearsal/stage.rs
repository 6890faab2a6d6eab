//! One rehearsal: what happens is put into the case, and the plan is carried on from the day on which it is known.

use cellarwright_checker::batches::Batch;
use cellarwright_checker::check;
use cellarwright_model::case::{Away, Case, Cause, Earlier, LateBatch, Outage, RoleTimes};
use cellarwright_model::ids::{LineId, OrderId};
use cellarwright_model::plan::Plan;
use cellarwright_model::units::Volume;

use super::{Asked, Course, Fall, Outcome, known, output};
use crate::answer::{Observer, Options, Untold};
use crate::solve::{SolveError, solve};

/// Less than this is not short, for deliveries are rounded: 20 mL.
const NOTHING: Volume = Volume(20);

/// What all rehearsals have in common.
pub(super) struct Stage<'s> {
    pub case: &'s Case,
    pub plan: &'s Plan,
    pub asked: &'s Asked,
    pub observer: &'s dyn Observer,
}

/// How far a rehearsal has come: what has happened stands in the case.
pub(super) struct Run {
    pub case: Case,
    pub plan: Plan,
    times: usize,
    changes: usize,
    is_cut: bool,
}

impl Stage<'_> {
    pub fn begin(&self) -> Run {
        Run { case: self.case.clone(), plan: self.plan.clone(), times: 0, changes: 0, is_cut: false }
    }

    pub fn late(&self, batch: &Batch, days: i64) -> Result<Outcome, SolveError> {
        let mut run = self.begin();
        be_late(&mut run.case, batch, days);
        let ended = self.carry_on(&mut run, known(self.case, batch))?;
        Ok(self.outcome(&run, ended))
    }

    /// Plans again from a day on, if the plan cannot be carried out as things are; says how it ended where there is no plan.
    pub fn carry_on(&self, run: &mut Run, day: i64) -> Result<Option<Course>, SolveError> {
        run.case.fixed.earlier = Some(Box::new(Earlier {
            plan: run.plan.clone(),
            from_day: usize::try_from(day).unwrap_or_default(),
            per_change: self.asked.per_change,
            at_most: None,
            is_done_kept: true,
        }));
        if check(&run.case, &run.plan).violations.is_empty() {
            return Ok(None);
        }
        let options = Options { threads: 1, ..self.asked.search };
        match solve(&run.case, &options, &Untold(self.observer)) {
            Ok(answer) => {
                run.times += 1;
                run.changes += answer.report.changes.as_ref().map_or(0, |changes| changes.all.len());
                run.is_cut |= answer.gap > options.gap;
                run.plan = answer.plan;
                Ok(None)
            }
            Err(SolveError::Conflict(_)) => Ok(Some(Course::NoPlan)),
            Err(SolveError::NotInTime) => Ok(Some(Course::NotInTime)),
            Err(error) => Err(error),
        }
    }

    pub fn outcome(&self, run: &Run, ended: Option<Course>) -> Outcome {
        let course = ended.unwrap_or(match run.times {
            0 => Course::Stands,
            times => Course::PlannedAgain { times, changes: run.changes },
        });
        let report = check(&run.case, &run.plan);
        Outcome { course, falls: self.falls(&run.plan), output: output(&report), is_cut: run.is_cut }
    }

    /// Orders due up to the day after the planned days of which less comes than by the plan, or later.
    fn falls(&self, plan: &Plan) -> Vec<Fall> {
        let of = |plan: &Plan, order: OrderId, from: i64| -> Volume {
            let all = plan.deliveries.iter().filter(|one| one.order == order && one.day >= from);
            all.map(|one| one.volume).fold(Volume::ZERO, |sum, volume| sum + volume)
        };
        let last = self.case.calendar.planned_days as i64;
        let orders = self.case.order_ids().filter(|&order| self.case.order(order).due <= last);
        let falls = orders.map(|order| {
            let due = self.case.order(order).due;
            let less = |from: i64| of(self.plan, order, from) - of(plan, order, from);
            Fall { order, short: less(i64::MIN).max(Volume::ZERO), late: (-less(due + 1)).max(Volume::ZERO) }
        });
        falls.filter(|fall| fall.short > NOTHING || fall.late > NOTHING).collect()
    }
}

/// A batch is ready so many days later.
pub(super) fn be_late(case: &mut Case, batch: &Batch, days: i64) {
    if batch.opening {
        for tank in case.in_tank.iter_mut().filter(|tank| tank.vessel == batch.vessel) {
            tank.ready += days;
        }
    } else {
        case.fixed.late.push(LateBatch { vessel: batch.vessel, on: batch.on, days });
    }
}

/// A line does not run on a day.
pub(super) fn stop(case: &mut Case, line: LineId, day: i64) {
    case.fixed.outages.push(Outage {
        what: Away::Line(line),
        first_day: day,
        last_day: day,
        cause: Cause::Outage,
        reason: String::new(),
        must_be_empty: false,
        crew: RoleTimes::default(),
    });
}
