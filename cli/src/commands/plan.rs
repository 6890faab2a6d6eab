//! `plan`: the best plan for a brew plan.

use std::io::Write;
use std::path::{Path, PathBuf};

use cellarwright_model::case::Case;
use cellarwright_model::plan_file::{PlanSummary, write_plan};
use cellarwright_solver::answer::{Answer, Options};
use cellarwright_solver::{SolveError, solve, write_model};

use super::{complain, failed, finish, read};
use crate::args::PlanArguments;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{conflict, json, text, view, words};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &PlanArguments) -> Exit {
    match plan(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn plan(arguments: &PlanArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    for file in [&arguments.out, &arguments.write_model].into_iter().flatten() {
        can_be_written(file)?;
    }
    let (case, findings) = read(&arguments.brewplan, arguments.json)?;
    if let Some(file) = &arguments.write_model {
        model(&case, file)?;
    }
    let options = Options {
        seconds: arguments.seconds,
        gap: arguments.gap,
        threads: arguments.threads,
        seed: arguments.seed,
    };
    let watch = Watch::begin(arguments.quiet, stop.clone(), view::objective_unit(&case));
    let answer = solve(&case, &options, &watch);
    watch.end();
    let answer = answer.map_err(|error| no_answer(&case, &error, arguments.json))?;
    if !answer.report.violations.is_empty() {
        complain(&words::broken(answer.report.violations.len()));
        return Err(Exit::Internal);
    }
    if let Some(file) = &arguments.out {
        save(file, &plan_text(&case, &answer, arguments.gap))?;
    }
    let view = view::of_answer(&case, &answer, &findings, arguments.gap, stop.is_asked());
    let text = if arguments.json {
        json::document(&view)
    } else {
        let volumes = text::volumes_if(arguments.volumes, &view);
        Ok(text::plan(&view) + &volumes + &text::model_if(arguments.stats, &view))
    };
    Ok(finish(text, Exit::Good))
}

/// Ends without a plan.
fn no_answer(case: &Case, error: &SolveError, as_json: bool) -> Exit {
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

/// The directory that a file is to be in.
fn directory(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Asked before the search, so that no search is lost.
fn can_be_written(file: &Path) -> Result<(), Exit> {
    let (directory, name) = (directory(file), file.display().to_string());
    if !directory.is_dir() {
        complain(&words::no_directory(&name, &directory.display().to_string()));
        return Err(Exit::BadInput);
    }
    if file.is_dir() {
        complain(&words::unwritable(&name, "it is a directory"));
        return Err(Exit::BadInput);
    }
    Ok(())
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

/// Writes a file whole or not at all: beside it first, then in its place.
fn save(file: &Path, text: &str) -> Result<(), Exit> {
    let written = tempfile::NamedTempFile::new_in(directory(file)).and_then(|mut beside| {
        beside.write_all(text.as_bytes())?;
        beside.as_file().sync_all()?;
        share(beside.as_file())?;
        beside.persist(file).map_err(|error| error.error)?;
        Ok(())
    });
    written.map_err(|error| {
        complain(&words::unwritable(&file.display().to_string(), &error.to_string()));
        Exit::BadInput
    })
}

/// Lets others read the file: a temporary file is made for its owner alone.
#[cfg(unix)]
fn share(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn share(_file: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("plan.yaml");
        save(&file, "first\n").unwrap();
        save(&file, "second\n").unwrap();
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "second\n");
        assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_missing_directory_is_bad_input() {
        let place = tempfile::tempdir().unwrap();
        assert_eq!(can_be_written(&place.path().join("none/plan.yaml")), Err(Exit::BadInput));
        assert_eq!(can_be_written(place.path()), Err(Exit::BadInput));
        assert_eq!(can_be_written(&place.path().join("plan.yaml")), Ok(()));
        assert_eq!(can_be_written(Path::new("plan.yaml")), Ok(()));
    }
}
