//! `study sum`: what the results of a study come to.

use std::path::{Path, PathBuf};

use cellarwright_model::measures::UnitSystem;
use cellarwright_model::study::{self, Lines, Outcome};

use super::super::{complain, finish};
use super::{VERSION, bytes_of};
use crate::args::SumArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::render::{study as screen, view, words};

/// Runs the step.
pub fn run(arguments: &SumArguments) -> Result<Exit, Exit> {
    diagnostics::set_up();
    let name = arguments.items.display().to_string();
    let items = study::items(&name, &bytes_of(&arguments.items)?, VERSION, &|_| true);
    let mut results: Vec<(String, Lines<Outcome>)> = Vec::new();
    for file in files(&arguments.results)? {
        let name = file.display().to_string();
        let lines = study::outcomes(&name, &bytes_of(&file)?);
        results.push((name, lines));
    }
    let (taken, wrong) = study::settle(&items.sound, &results);
    let findings: Vec<_> = items.findings.into_iter().chain(wrong).collect();
    diagnostics::show_all(&findings);
    let units = arguments.printed.shown.units.map_or(UnitSystem::Metric, |units| units.known());
    let shown = view::of_study(&items.sound, &taken, &findings, units);
    let is_whole = findings.is_empty() && shown.missing.is_empty() && shown.stopped.is_empty();
    let text = if arguments.printed.json { screen::document(&shown) } else { Ok(screen::text(&shown)) };
    Ok(finish(text, if is_whole { Exit::Good } else { Exit::Broken }))
}

/// The files that are named, and those of lines in the folders that are, each once and in the order of their names.
fn files(named: &[PathBuf]) -> Result<Vec<PathBuf>, Exit> {
    let mut all = Vec::new();
    for path in named {
        if path.is_dir() {
            let refused = |error: &std::io::Error| {
                complain(&words::unreadable(&path.display().to_string(), &error.to_string()));
                Exit::BadInput
            };
            for entry in std::fs::read_dir(path).map_err(|error| refused(&error))? {
                let file = entry.map_err(|error| refused(&error))?.path();
                if is_of_lines(&file) {
                    all.push(file);
                }
            }
        } else {
            all.push(path.clone());
        }
    }
    all.sort();
    all.dedup();
    Ok(all)
}

fn is_of_lines(file: &Path) -> bool {
    file.extension().is_some_and(|extension| extension == "jsonl") && file.is_file()
}
