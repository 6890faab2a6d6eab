//! A calendar for each crew (RFC 5545), and what a newer plan makes of the one before.
//!
//! `entries` are the pieces of work of a crew, `file` is the calendar as a file: read, brought up to date, written. Times are
//! floating: the clock on the brewery's wall, whatever zone a reader is in.

mod entries;
mod file;

#[cfg(test)]
mod tests;

pub use entries::entries;
pub use file::{Crew, Former, read, update};
