//! `rehearse`: what becomes of a plan when batches are late and lines stop.

use std::path::Path;
use std::time::Instant;

use cellarwright_checker::check;
use cellarwright_model::finding::{Finding, Place, Severity};
use cellarwright_model::units::Share;
use cellarwright_solver::rehearsal::{Asked, Chances, rehearse};

use super::save::{can_be_written, save};
use super::{finish, plan, read_in, read_plan_of, refuse, replan};
use crate::args::RehearseArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{rehearsal, report, view, words};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &RehearseArguments) -> Exit {
    match answer(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn answer(arguments: &RehearseArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    if let Some(file) = &arguments.report.file {
        can_be_written(file)?;
    }
    let (case, mut findings) = read_in(&arguments.brewplan, &arguments.printed)?;
    let earlier = read_plan_of(&case, &arguments.from, arguments.printed.json)?;
    let breaches = check(&case, &earlier).violations;
    if !breaches.is_empty() {
        let found = words::rehearsal::breaches(breaches.len());
        let wrong =
            vec![about(&arguments.from, "V195", Severity::Error, found, words::rehearsal::WITHOUT_BREACH)];
        diagnostics::show_all(&wrong);
        return Err(refuse(&wrong, arguments.printed.json));
    }
    let share = |share: f64| Share((share * Share::WHOLE.0 as f64).round() as i64);
    let asked = Asked {
        draws: arguments.draws,
        seed: u64::try_from(arguments.search.seed).unwrap_or_default(),
        chances: Chances { late: arguments.late.0.map(share), stop: share(arguments.stops) },
        per_change: replan::per_change(&case, arguments.change_costs),
        search: arguments.search.options(),
    };
    let started = Instant::now();
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), view::objective_unit(&case));
    let told = |done: usize, of: usize| watch.show(words::rehearsal::progress(done, of));
    let found = rehearse(&case, &earlier, &asked, &watch, &told);
    watch.end();
    let found = found.map_err(|error| plan::no_answer(&case, &error, arguments.printed.json))?;
    if found.batches.is_empty() && found.left_out.is_empty() {
        let allowed = words::rehearsal::READY_IN_TIME;
        findings.push(about(&arguments.from, "V196", Severity::Caution, String::new(), allowed));
    }
    for batch in &found.left_out {
        let name = view::batch_name(&case, batch);
        findings.push(about(&arguments.from, "V197", Severity::Caution, name, words::rehearsal::STAYS));
    }
    let seconds = started.elapsed().as_secs_f64();
    let shown = view::of_rehearsal(&case, &found, &asked, &findings, seconds);
    if let Some(file) = &arguments.report.file {
        save(file, report::of_rehearsal(&shown))?;
    }
    let text = if arguments.printed.json { rehearsal::document(&shown) } else { Ok(rehearsal::text(&shown)) };
    Ok(finish(text, Exit::Good))
}

fn about(file: &Path, code: &'static str, severity: Severity, found: String, allowed: &str) -> Finding {
    let place = Place { file: file.display().to_string(), ..Place::default() };
    Finding { code, severity, place, found, allowed: allowed.to_owned(), hint: None }
}
