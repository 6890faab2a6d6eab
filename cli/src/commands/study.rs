//! `study`: layouts under many demands, in work items that any machine can do.

mod prepare;
mod run;
mod sum;

use std::io::Read;
use std::path::Path;

use super::complain;
use crate::args::{StudyArguments, StudyStep};
use crate::exit::Exit;
use crate::render::words;

/// The version that items are made by.
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Runs the command.
pub fn run(arguments: &StudyArguments) -> Exit {
    let ended = match &arguments.step {
        StudyStep::Prepare(prepare) => prepare::run(prepare),
        StudyStep::Run(run) => run::run(run),
        StudyStep::Sum(sum) => sum::run(sum),
    };
    match ended {
        Ok(exit) | Err(exit) => exit,
    }
}

/// All bytes of a file, or of stdin where it is `-`.
fn bytes_of(file: &Path) -> Result<Vec<u8>, Exit> {
    let mut bytes = Vec::new();
    let read = if file == Path::new("-") {
        std::io::stdin().read_to_end(&mut bytes).map(drop)
    } else {
        std::fs::read(file).map(|read| bytes = read)
    };
    read.map(|()| bytes).map_err(|error| {
        complain(&words::unreadable(&file.display().to_string(), &error.to_string()));
        Exit::BadInput
    })
}
