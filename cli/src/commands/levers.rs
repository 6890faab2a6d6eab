//! `levers`: what one unit more of each resource adds.

use cellarwright_model::case::Case;
use cellarwright_solver::Options;
use cellarwright_solver::levers::{Asked, Horizon, LeverError, find};

use super::save::{can_be_written, save};
use super::{finish, keep_up, plan, read_in};
use crate::args::LeversArguments;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::view::LeversView;
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
    let options = arguments.search.options();
    let half = Options { seconds: options.seconds / 2.0, ..options };
    let asked = |horizon| Asked {
        horizon,
        search: if arguments.both { half } else { options },
        pairs_of: arguments.pairs.then_some(arguments.pairs_of),
    };
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), view::objective_unit(&case));
    // What cannot be counted for ever is told before the days are searched.
    let for_ever = match (arguments.both, arguments.weeks) {
        (false, None) => None,
        (_, weeks) => Some(find(&case, &asked(Horizon::Repeating(weeks.unwrap_or(1))), &watch)),
    };
    let planned = match &for_ever {
        Some(Err(_)) => None,
        Some(Ok(_)) if !arguments.both => None,
        _ => Some(find(&case, &asked(Horizon::Planned), &watch)),
    };
    watch.end();
    let view = |found| match found {
        Some(Ok(found)) => Ok(Some(view::of_levers(&case, &found, &findings, stop.is_asked()))),
        Some(Err(error)) => Err(no_answer(&case, &error, arguments.printed.json)),
        None => Ok(None),
    };
    let (for_ever, planned) = (view(for_ever)?, view(planned)?);
    let shown = match (planned, for_ever) {
        (Some(planned), for_ever) => LeversView { for_ever: for_ever.map(Box::new), ..planned },
        (None, Some(for_ever)) => for_ever,
        (None, None) => return Err(Exit::Internal),
    };
    if let Some(file) = &arguments.report.file {
        save(file, report::of_levers(&shown))?;
    }
    let text = if arguments.printed.json { levers::document(&shown) } else { Ok(levers::text(&shown)) };
    Ok(finish(text, Exit::Good))
}

fn no_answer(case: &Case, error: &LeverError, as_json: bool) -> Exit {
    match error {
        LeverError::Plan(error) => plan::no_answer(case, error, as_json),
        LeverError::Cycle(error) => keep_up::no_answer(case, error, as_json),
    }
}
