//! `plan --watch`: plans again whenever a file changes.

use std::sync::Arc;

use super::plan::plan;
use super::say;
use crate::args::PlanArguments;
use crate::changes::Files;
use crate::exit::Exit;
use crate::render::words;
use crate::signal::Stop;

/// Plans until Ctrl-C. A file that cannot be read just now is told of, and looked at again when it changes.
pub fn run(arguments: &PlanArguments, stop: &Stop) -> Exit {
    loop {
        let files = Arc::new(Files::of(&arguments.brewplan));
        // Whatever comes of it has been told; there is a next time.
        let (Ok(_) | Err(_)) = plan(arguments, stop, Some(&files));
        if stop.is_asked() {
            return Exit::Good;
        }
        if files.changed().is_none() {
            say(words::watch::WAITING);
        }
        match files.wait(stop) {
            Some(path) => say(&words::watch::changed(&path.display().to_string())),
            None => return Exit::Good,
        }
    }
}
