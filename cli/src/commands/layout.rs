//! `layout`: what to buy so that a demand is met at the lowest yearly cost.

use cellarwright_model::case::Case;
use cellarwright_model::units::Money;
use cellarwright_model::yaml::With;
use cellarwright_solver::Options;
use cellarwright_solver::layout::{LayoutError, Outcome, lay_out, peak};

use super::save::{can_be_written, save};
use super::{Sound, complain, failed, finish, read_with};
use crate::args::LayoutArguments;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{kept_up, layout, report, view, words};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &LayoutArguments) -> Exit {
    match answer(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn answer(arguments: &LayoutArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    if let Some(file) = &arguments.report.file {
        can_be_written(file)?;
    }
    let Sound { case, findings, change } = read(arguments)?;
    let watch = Watch::begin(arguments.search.quiet, stop, "money");
    let options = arguments.search.options();
    // Where the busiest weeks are planned too, a third of the time is theirs.
    let for_peak = if arguments.peak.is_some() { options.seconds / 3.0 } else { 0.0 };
    let for_layout = Options { seconds: options.seconds - for_peak, ..options };
    let laid = lay_out(&case, arguments.weeks, &for_layout, &watch);
    let met = laid.as_ref().ok().and_then(|laid| match laid.families.first() {
        Some((_, Outcome::Met(cheapest))) => Some(cheapest),
        _ => None,
    });
    let is_met = met.is_some();
    let planned = match met.zip(arguments.peak) {
        Some((cheapest, weeks)) => {
            let options = Options { seconds: for_peak, ..options };
            peak(&case, &cheapest.bought, weeks, &options, &watch).map(Some)
        }
        None => Ok(None),
    };
    watch.end();
    let laid = laid.map_err(|error| no_answer(&case, &error, arguments.printed.json))?;
    let planned = planned.map_err(|error| no_answer(&case, &error, arguments.printed.json))?;
    let shown = view::of_laid(&case, change, &laid, &findings);
    let shown = view::with_peak(shown, &case, planned.as_ref().map(Option::as_ref));
    if let Some(file) = &arguments.report.file {
        save(file, report::of_layout(&shown))?;
    }
    let text = if arguments.printed.json { layout::document(&shown) } else { Ok(layout::text(&shown)) };
    Ok(finish(text, if is_met { Exit::Good } else { Exit::Broken }))
}

/// Reads the brew plan with what is asked on the command line.
fn read(arguments: &LayoutArguments) -> Result<Sound, Exit> {
    let change = arguments.change.as_ref().map(|file| file.display().to_string());
    let with = change.as_deref().map_or(With::Nothing, With::Change);
    let mut read = read_with(&arguments.brewplan, with, &arguments.printed)?;
    if let (Some(layout), Some(budget)) = (&mut read.case.layout, arguments.budget) {
        layout.limits.price = Some(Money(budget * 100));
    }
    Ok(read)
}

/// Ends without an answer.
pub fn no_answer(case: &Case, error: &LayoutError, as_json: bool) -> Exit {
    match error {
        LayoutError::NotAsked => {
            complain(words::layout::NOT_ASKED);
            Exit::BadInput
        }
        LayoutError::Taproom => {
            complain(words::layout::TAPROOM);
            Exit::BadInput
        }
        LayoutError::Refused(refused) => {
            for one in refused {
                complain(&words::kept_up::refused(case, *one));
            }
            if as_json { finish(kept_up::refusal(case, refused), Exit::BadInput) } else { Exit::BadInput }
        }
        LayoutError::Repeat(_) | LayoutError::Highs(_) | LayoutError::BrokenPeak(_) => failed(error),
    }
}
