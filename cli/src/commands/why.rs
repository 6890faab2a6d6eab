//! `why`: why orders are short or late.

use cellarwright_model::choice;
use cellarwright_solver::why::{Asked, why};

use super::save::{can_be_written, save};
use super::{finish, plan, read_in, refuse};
use crate::args::WhyArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{report, view, why as screen};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &WhyArguments) -> Exit {
    match answer(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn answer(arguments: &WhyArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    if let Some(file) = &arguments.report.file {
        can_be_written(file)?;
    }
    let (case, findings) = read_in(&arguments.brewplan, &arguments.printed)?;
    let orders = choice::orders(&case, &arguments.orders, "--order").map_err(|wrong| {
        diagnostics::show_all(&wrong);
        refuse(&wrong, arguments.printed.json)
    })?;
    let asked = Asked { orders, search: arguments.search.options() };
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), view::objective_unit(&case));
    let found = why(&case, &asked, &watch);
    watch.end();
    let found = found.map_err(|error| plan::no_answer(&case, &error, arguments.printed.json))?;
    let shown = view::of_why(&case, &found, &findings, asked.search.gap, stop.is_asked());
    if let Some(file) = &arguments.report.file {
        save(file, report::of_why(&shown))?;
    }
    let text = if arguments.printed.json { screen::document(&shown) } else { Ok(screen::text(&shown)) };
    let exit = if shown.verdict == "not_in_time" { Exit::Broken } else { Exit::Good };
    Ok(finish(text, exit))
}
