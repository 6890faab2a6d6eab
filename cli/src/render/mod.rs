//! From a plan and its report to text, JSON, a page to print and calendars.
//!
//! `View` holds the rows ready to be shown, made once by `gather`; every output reads it and nothing else.
//! Sentences come from `words`.

pub mod calendar;
mod changes;
pub mod compare;
pub mod conflict;
mod gather;
pub mod json;
mod json_units;
pub mod kept_up;
pub mod layout;
pub mod levers;
mod model;
pub mod numbers;
mod orders;
pub mod pressure;
pub mod rehearsal;
pub mod report;
pub mod rule;
pub mod sheets;
mod slack;
pub mod study;
mod taproom;
pub mod text;
mod to_order;
mod vessels;
pub mod view;
mod volumes;
mod week;
pub mod why;
pub mod words;

#[cfg(test)]
mod testcase;
#[cfg(test)]
mod tests;

use std::io::{ErrorKind, Write};

/// Widest line of the screen, in characters.
pub const WIDTH: usize = 100;

/// Prints to stdout: the only place that does.
///
/// # Errors
/// If stdout cannot be written; a reader that has gone away (a closed pipe) is none.
pub fn print(text: &str) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        ended => ended,
    }
}
