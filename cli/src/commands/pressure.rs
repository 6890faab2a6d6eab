//! `pressure`: what every beer needs of every vessel, and what plate and relief leave.

use cellarwright_checker::pressure_table;

use super::{finish, read_in};
use crate::args::PressureArguments;
use crate::exit::Exit;
use crate::render::pressure;

/// Runs the command.
pub fn run(arguments: &PressureArguments) -> Exit {
    let case = match read_in(&arguments.brewplan, &arguments.printed) {
        Ok((case, _)) => case,
        Err(exit) => return exit,
    };
    let beers = pressure::gather(&case, &pressure_table::rows(&case));
    let text = if arguments.printed.json {
        pressure::document(&case, &beers)
    } else {
        Ok(pressure::text(&case, &beers))
    };
    finish(text, Exit::Good)
}
