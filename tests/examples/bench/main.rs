//! Measures in one run: `cargo run --release -p cellarwright-tests --example bench` for the hand-made cases, and
//! `--example bench -- scale [sizes] [--job next-week|all-weeks|carry-on] [--seconds N] [--seeds N] [--logs FOLDER]` for
//! those of `cases/scale`.
//!
//! Times are of this machine and this run; compare columns, not machines.

mod carry_on;
mod child;
mod memory;
mod peer;
mod scale;
mod table;

use std::process::ExitCode;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let outcome =
        match words.as_slice() {
            [] => {
                table::print();
                Ok(())
            }
            ["scale", rest @ ..] => scale::print(rest),
            [child::WORD, rest @ ..] => child::print(rest),
            _ => Err("`scale [sizes] [--job next-week|all-weeks|carry-on] [--seconds N] [--seeds N] [--logs FOLDER]`, or nothing"
                .to_owned()),
        };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}
