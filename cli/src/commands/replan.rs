//! `replan`: the rest of the days planned again while a plan is being carried out.

use cellarwright_model::case::{Aim, Case, Earlier};
use cellarwright_model::finding::{Finding, Severity};
use cellarwright_model::yaml::read_happened;

use super::{complain, plan, read_in, read_plan_of, refuse};
use crate::args::ReplanArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::render::words;
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &ReplanArguments) -> Exit {
    let stop = Stop::listen();
    match replan(arguments, &stop) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn replan(arguments: &ReplanArguments, stop: &Stop) -> Result<Exit, Exit> {
    plan::can_write(&arguments.plan)?;
    let (mut case, mut findings) = read_in(&arguments.plan.brewplan, &arguments.plan.printed)?;
    carry_on(&mut case, &mut findings, arguments)?;
    plan::of_case(&case, &findings, &arguments.plan, stop, None)
}

/// Puts the plan that is being carried out, and what has happened, into the case.
fn carry_on(case: &mut Case, findings: &mut Vec<Finding>, arguments: &ReplanArguments) -> Result<(), Exit> {
    let planned = case.calendar.planned_days;
    let day = usize::try_from(case.calendar.day_of(arguments.on)).ok().filter(|&day| day < planned);
    let Some(from_day) = day else {
        let last = case.calendar.date(planned as i64 - 1);
        complain(&words::changes::not_a_planned_day(arguments.on, case.calendar.starts, last));
        return Err(Exit::BadInput);
    };
    let mut earlier = read_plan_of(case, &arguments.from, arguments.plan.printed.json)?;
    if let Some(file) = &arguments.happened {
        let outcome = read_happened(case, &mut earlier, from_day, file);
        if outcome.findings.iter().any(|finding| finding.severity == Severity::Error) {
            diagnostics::show(&outcome.findings, Severity::Error, &outcome.sources);
            return Err(refuse(&outcome.findings, arguments.plan.printed.json));
        }
        findings.extend(outcome.findings);
    }
    let per_change = per_change(case, arguments.change_costs);
    case.fixed.earlier = Some(Box::new(Earlier {
        plan: earlier,
        from_day,
        per_change,
        at_most: arguments.changes,
        is_done_kept: true,
    }));
    Ok(())
}

/// What the smallest change costs, in the unit of the objective.
pub fn per_change(case: &Case, asked: Option<f64>) -> i64 {
    let per_change = match (&case.aim, asked) {
        (Aim::Orders, costs) => costs.unwrap_or(10.0) * 100.0,
        (Aim::Output(_), costs) => costs.unwrap_or(0.1) * 1e7,
    };
    per_change.round() as i64
}
