//! The commands.

mod calendar;
pub mod check;
pub mod compare;
pub mod keep_up;
pub mod layout;
pub mod levers;
pub mod new;
pub mod plan;
pub mod pressure;
pub mod rehearse;
pub mod replan;
pub mod rule;
mod save;
pub mod schema;
mod sheets;
pub mod shell;
pub mod study;
mod watch;
pub mod why;

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;

use cellarwright_model::case::Case;
use cellarwright_model::finding::{Finding, Severity};
use cellarwright_model::plan::Plan;
use cellarwright_model::plan_file::read_plan;
use cellarwright_model::yaml::{ReadOutcome, With, read_case_in};

use crate::args::PrintedArguments;
use crate::exit::Exit;
use crate::render::{json, words};
use crate::{diagnostics, render};

/// Says something on stderr, in one line.
pub fn complain(text: &str) {
    // Where even stderr is closed nobody can be told.
    drop(writeln!(std::io::stderr(), "cellarwright: {text}"));
}

/// Says something on stderr that is no complaint.
pub fn say(text: &str) {
    drop(writeln!(std::io::stderr(), "{text}"));
}

/// Reads the brew plan and its cellar, and shows what must be mended: quantities in the units asked for, in the brew plan's
/// own where none are.
///
/// # Errors
/// `Exit::BadInput` where there is something to be mended.
pub fn read_in(brewplan: &Path, printed: &PrintedArguments) -> Result<(Case, Vec<Finding>), Exit> {
    let read = read_with(brewplan, With::Nothing, printed)?;
    Ok((read.case, read.findings))
}

/// The same with another cellar or a change.
///
/// # Errors
/// `Exit::BadInput` where there is something to be mended.
pub fn read_with(brewplan: &Path, with: With, printed: &PrintedArguments) -> Result<Sound, Exit> {
    diagnostics::set_up();
    let units = printed.shown.units.map(|units| units.known());
    sound(read_case_in(brewplan, with, units)).map_err(|outcome| {
        show(&outcome);
        refuse(&outcome.findings, printed.json)
    })
}

/// What was read where nothing must be mended.
pub struct Sound {
    /// The case.
    pub case: Case,
    /// What to heed.
    pub findings: Vec<Finding>,
    /// The title of the change, if there is one.
    pub change: Option<String>,
}

/// What a reader gave, if nothing in it must be mended.
///
/// # Errors
/// The same where something must be mended.
pub fn sound(outcome: ReadOutcome) -> Result<Sound, Box<ReadOutcome>> {
    let has_errors = outcome.findings.iter().any(|finding| finding.severity == Severity::Error);
    match outcome {
        ReadOutcome { case: Some(case), findings, change, .. } if !has_errors => {
            Ok(Sound { case, findings, change })
        }
        outcome => Err(Box::new(outcome)),
    }
}

/// Shows what must be mended in what was read.
pub fn show(outcome: &ReadOutcome) {
    diagnostics::show(&outcome.findings, Severity::Error, &outcome.sources);
}

/// Reads a plan file of a case, and shows what must be mended.
///
/// # Errors
/// `Exit::BadInput` where there is something to be mended.
pub fn read_plan_of(case: &Case, file: &Path, as_json: bool) -> Result<Plan, Exit> {
    let name = file.display().to_string();
    let text = std::fs::read_to_string(file).map_err(|error| {
        complain(&words::unreadable(&name, &error.to_string()));
        Exit::BadInput
    })?;
    read_plan(case, &name, &text).map_err(|wrong| {
        diagnostics::show(&wrong, Severity::Error, &BTreeMap::from([(name, text)]));
        refuse(&wrong, as_json)
    })
}

/// Ends with findings that must be mended first, which have been shown.
pub fn refuse(findings: &[Finding], as_json: bool) -> Exit {
    let errors = findings.iter().filter(|finding| finding.severity == Severity::Error).count();
    complain(&words::nothing_planned(errors));
    if as_json {
        match json::no_plan(findings).map(|text| render::print(&text)) {
            Ok(Ok(())) => {}
            Ok(Err(error)) => return failed(&error),
            Err(error) => return failed(&error),
        }
    }
    Exit::BadInput
}

/// Ends because something inside failed.
pub fn failed(error: &dyn std::error::Error) -> Exit {
    complain(&words::internal(&error.to_string()));
    Exit::Internal
}

/// Prints a text, or a JSON document, and ends with `exit` unless printing fails.
pub fn finish(text: Result<String, serde_json::Error>, exit: Exit) -> Exit {
    match text {
        Ok(text) => match render::print(&text) {
            Ok(()) => exit,
            Err(error) => failed(&error),
        },
        Err(error) => failed(&error),
    }
}
