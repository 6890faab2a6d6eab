//! `levers`: what one unit more of each resource adds.

use cellarwright_solver::levers::{Asked, Horizon, LeverError, find};

use super::save::{can_be_written, save};
use super::{finish, keep_up, plan, read_in};
use crate::args::LeversArguments;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{levers, report, view};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &LeversArguments) -> Exit {
    match answer(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn answer(arguments: &LeversArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    if let Some(file) = &arguments.report.file {
        can_be_written(file)?;
    }
    let (case, findings) = read_in(&arguments.brewplan, &arguments.printed)?;
    let asked = Asked {
        horizon: arguments.weeks.map_or(Horizon::Planned, Horizon::Repeating),
        search: arguments.search.options(),
        pairs_of: arguments.pairs.then_some(arguments.pairs_of),
    };
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), view::objective_unit(&case));
    let found = find(&case, &asked, &watch);
    watch.end();
    let found = found.map_err(|error| match error {
        LeverError::Plan(error) => plan::no_answer(&case, &error, arguments.printed.json),
        LeverError::Cycle(error) => keep_up::no_answer(&case, &error, arguments.printed.json),
    })?;
    let shown = view::of_levers(&case, &found, &findings, stop.is_asked());
    if let Some(file) = &arguments.report.file {
        save(file, report::of_levers(&shown))?;
    }
    let text = if arguments.printed.json { levers::document(&shown) } else { Ok(levers::text(&shown)) };
    Ok(finish(text, Exit::Good))
}
