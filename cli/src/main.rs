//! The `cellarwright` command.

mod args;
mod changes;
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
        Command::Replan(replan) => commands::replan::run(replan),
        Command::Rehearse(rehearse) => commands::rehearse::run(rehearse),
        Command::Check(check) => commands::check::run(check),
        Command::KeepUp(keep_up) => commands::keep_up::run(keep_up),
        Command::Levers(levers) => commands::levers::run(levers),
        Command::Why(why) => commands::why::run(why),
        Command::Compare(compare) => commands::compare::run(compare),
        Command::Layout(layout) => commands::layout::run(layout),
        Command::Study(study) => commands::study::run(study),
        Command::Pressure(pressure) => commands::pressure::run(pressure),
        Command::Rule(rule) => commands::rule::run(rule),
        Command::New(new) => commands::new::run(new),
        Command::Schema(schema) => commands::schema::run(schema),
        Command::Completions(completions) => commands::shell::completions(completions),
        Command::Man(man) => commands::shell::man(man),
    };
    ended.leave()
}
