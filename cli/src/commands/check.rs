//! `check`: which rules a plan file breaks.

use std::collections::BTreeMap;

use cellarwright_checker::check;
use cellarwright_model::finding::{Finding, Severity};
use cellarwright_model::plan_file::read_plan;

use super::save::{can_be_written, save};
use super::{calendar, complain, finish, read_in, refuse};
use crate::args::CheckArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::render::{json, report, text, view, words};

/// Runs the command.
pub fn run(arguments: &CheckArguments) -> Exit {
    match checked(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn checked(arguments: &CheckArguments) -> Result<Exit, Exit> {
    if let Some(file) = &arguments.report {
        can_be_written(file)?;
    }
    let (case, findings) = read_in(&arguments.brewplan, arguments.json, &arguments.shown)?;
    let name = arguments.plan.display().to_string();
    let text = std::fs::read_to_string(&arguments.plan).map_err(|error| {
        complain(&words::unreadable(&name, &error.to_string()));
        Exit::BadInput
    })?;
    let plan = read_plan(&case, &name, &text).map_err(|wrong| not_a_plan(&wrong, name, text, arguments))?;
    let found = check(&case, &plan);
    let view = view::of_report(&case, &plan, &found, &findings);
    if let Some(file) = &arguments.report {
        save(file, report::of_plan(&view))?;
    }
    match &arguments.calendar {
        Some(directory) if found.violations.is_empty() => calendar::write(directory, &view)?,
        Some(_) => complain(words::calendar::BROKEN),
        None => {}
    }
    let exit = if found.violations.is_empty() { Exit::Good } else { Exit::Broken };
    let text = if arguments.json {
        json::document(&view)
    } else {
        Ok(text::check(&view) + &text::volumes_if(arguments.volumes, &view))
    };
    Ok(finish(text, exit))
}

fn not_a_plan(wrong: &[Finding], name: String, text: String, arguments: &CheckArguments) -> Exit {
    diagnostics::show(wrong, Severity::Error, &BTreeMap::from([(name, text)]));
    refuse(wrong, arguments.json)
}
