//! `plan`: the best plan for a brew plan.

use std::path::Path;
use std::sync::Arc;

use cellarwright_model::case::Case;
use cellarwright_model::finding::Finding;
use cellarwright_model::plan_file::{PlanSummary, write_plan};
use cellarwright_solver::Answer;
use cellarwright_solver::{SolveError, solve, write_model};

use super::save::{can_be_written, save};
use super::{calendar, complain, failed, finish, read_in, say, sheets, watch};
use crate::args::PlanArguments;
use crate::changes::Files;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{conflict, json, report, text, view, words};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &PlanArguments) -> Exit {
    let stop = Stop::listen();
    if arguments.watch {
        return watch::run(arguments, &stop);
    }
    match plan(arguments, &stop, None) {
        Ok(exit) | Err(exit) => exit,
    }
}

/// Plans once; the search ends early where one of the files changes.
///
/// # Errors
/// How it ends where there is no plan.
pub fn plan(arguments: &PlanArguments, stop: &Stop, files: Option<&Arc<Files>>) -> Result<Exit, Exit> {
    can_write(arguments)?;
    let (case, findings) = read_in(&arguments.brewplan, &arguments.printed)?;
    of_case(&case, &findings, arguments, stop, files)
}

/// Asked before the search, so that no search is lost.
///
/// # Errors
/// Where a file or folder that is asked for cannot be written.
pub fn can_write(arguments: &PlanArguments) -> Result<(), Exit> {
    let files_out = [&arguments.out, &arguments.write_model, &arguments.report.file, &arguments.workbook];
    for file in files_out.into_iter().flatten() {
        can_be_written(file)?;
    }
    if let Some(folder) = &arguments.csv {
        sheets::can_be_folder(folder)?;
    }
    Ok(())
}

/// Plans a case that has been read, and shows and writes all that is asked for.
///
/// # Errors
/// How it ends where there is no plan.
pub fn of_case(
    case: &Case,
    findings: &[Finding],
    arguments: &PlanArguments,
    stop: &Stop,
    files: Option<&Arc<Files>>,
) -> Result<Exit, Exit> {
    if let Some(directory) = &arguments.calendar {
        calendar::can_be_written(directory, case)?;
    }
    if let Some(file) = &arguments.write_model {
        model(case, file)?;
    }
    let options = arguments.search.options();
    if arguments.verbose {
        say(&words::watch::was_read(case));
    }
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), view::objective_unit(case));
    let watch = watch.telling(arguments.verbose).until_changed(files);
    let answer = solve(case, &options, &watch);
    watch.end();
    if files.is_some_and(|files| files.changed().is_some()) && !stop.is_asked() {
        return Ok(Exit::Good);
    }
    let answer = answer.map_err(|error| no_answer(case, &error, arguments.printed.json))?;
    if !answer.report.violations.is_empty() {
        complain(&words::broken(answer.report.violations.len()));
        return Err(Exit::Internal);
    }
    if let Some(file) = &arguments.out {
        save(file, plan_text(case, &answer, options.gap))?;
    }
    let view = view::of_answer(case, &answer, findings, options.gap, stop.is_asked());
    if let Some(file) = &arguments.report.file {
        save(file, report::of_plan(&view))?;
    }
    if let Some(directory) = &arguments.calendar {
        calendar::write(directory, &view)?;
    }
    if let Some(file) = &arguments.workbook {
        sheets::write_workbook(file, &view)?;
    }
    if let Some(folder) = &arguments.csv {
        sheets::write_csv(folder, &view)?;
    }
    let text = if arguments.printed.json {
        json::document(&view)
    } else {
        let volumes = text::volumes_if(arguments.volumes, &view);
        Ok(text::plan(&view) + &volumes + &text::model_if(arguments.stats, &view))
    };
    Ok(finish(text, Exit::Good))
}

/// Ends without a plan.
pub fn no_answer(case: &Case, error: &SolveError, as_json: bool) -> Exit {
    match error {
        SolveError::Conflict(found) => {
            let text = match as_json {
                true => conflict::document(case, found),
                false => Ok(conflict::text(case, found)),
            };
            finish(text, Exit::Broken)
        }
        SolveError::NotInTime => {
            complain(words::pins::NOT_IN_TIME);
            let text = json::nothing_in_time();
            if as_json { finish(text, Exit::Broken) } else { Exit::Broken }
        }
        SolveError::Highs(_) | SolveError::BrokenPlan(_) => failed(error),
    }
}

fn plan_text(case: &Case, answer: &Answer, asked: f64) -> String {
    let status = view::status_word(answer, asked).replace('_', " ");
    write_plan(case, &answer.plan, &PlanSummary { objective: answer.objective, bound: answer.bound, status })
}

fn model(case: &Case, file: &Path) -> Result<(), Exit> {
    if file.extension().is_none_or(|extension| extension != "mps") {
        complain(&words::not_mps(&file.display().to_string()));
        return Err(Exit::BadInput);
    }
    write_model(case, file).map_err(|error| {
        complain(&error.to_string());
        Exit::BadInput
    })
}
