//! The `cellarwright` command.

mod args;
mod commands;
mod diagnostics;
mod exit;
mod progress;
mod render;
mod signal;

use std::process::ExitCode;

use clap::Parser;

use args::{Arguments, Command};

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let ended = match &arguments.command {
        Command::Plan(plan) => commands::plan::run(plan),
        Command::Check(check) => commands::check::run(check),
        Command::Pressure(pressure) => commands::pressure::run(pressure),
        Command::New(new) => commands::new::run(new),
        Command::Schema(schema) => commands::schema::run(schema),
    };
    ended.code()
}
