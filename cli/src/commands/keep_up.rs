//! `keep-up`: the best cycle of weeks that repeats for ever.

use cellarwright_model::case::Case;
use cellarwright_solver::repeating::{RepeatError, keep_up};

use super::{complain, failed, finish, read_in};
use crate::args::KeepUpArguments;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{kept_up, text, view, words};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &KeepUpArguments) -> Exit {
    match answer(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn answer(arguments: &KeepUpArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    let (case, findings) = read_in(&arguments.brewplan, &arguments.printed)?;
    let options = arguments.search.options();
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), view::objective_unit(&case));
    let kept = keep_up(&case, arguments.weeks, &options, &watch);
    watch.end();
    let kept = kept.map_err(|error| no_answer(&case, &error, arguments.printed.json))?;
    let shown = view::of_kept(&kept, &findings, options.gap, stop.is_asked());
    let text = if arguments.printed.json {
        kept_up::document(&shown)
    } else {
        Ok(kept_up::text(&shown) + &text::model_if(arguments.stats, &shown.view))
    };
    Ok(finish(text, Exit::Good))
}

/// Ends without a cycle.
pub fn no_answer(case: &Case, error: &RepeatError, as_json: bool) -> Exit {
    match error {
        RepeatError::Refused(refused) => {
            for one in refused {
                complain(&words::kept_up::refused(case, *one));
            }
            if as_json { finish(kept_up::refusal(case, refused), Exit::BadInput) } else { Exit::BadInput }
        }
        RepeatError::Weeks(_)
        | RepeatError::Highs(_)
        | RepeatError::NotOfACycle(_)
        | RepeatError::Broken(_)
        | RepeatError::DoesNotRepeat => failed(error),
    }
}
