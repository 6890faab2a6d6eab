//! `check`: which rules a plan file breaks.

use cellarwright_checker::check;

use super::save::{can_be_written, save};
use super::{calendar, complain, finish, read_in, read_plan_of};
use crate::args::CheckArguments;
use crate::exit::Exit;
use crate::render::{json, report, text, view, words};

/// Runs the command.
pub fn run(arguments: &CheckArguments) -> Exit {
    match checked(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn checked(arguments: &CheckArguments) -> Result<Exit, Exit> {
    if let Some(file) = &arguments.report.file {
        can_be_written(file)?;
    }
    let (case, findings) = read_in(&arguments.brewplan, &arguments.printed)?;
    let plan = read_plan_of(&case, &arguments.plan, arguments.printed.json)?;
    let found = check(&case, &plan);
    let view = view::of_report(&case, &plan, &found, &findings);
    if let Some(file) = &arguments.report.file {
        save(file, report::of_plan(&view))?;
    }
    match &arguments.calendar {
        Some(directory) if found.violations.is_empty() => calendar::write(directory, &view)?,
        Some(_) => complain(words::calendar::BROKEN),
        None => {}
    }
    let exit = if found.violations.is_empty() { Exit::Good } else { Exit::Broken };
    let text = if arguments.printed.json {
        json::document(&view)
    } else {
        Ok(text::check(&view) + &text::volumes_if(arguments.volumes, &view))
    };
    Ok(finish(text, exit))
}
