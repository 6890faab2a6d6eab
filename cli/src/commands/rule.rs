//! `rule`: what a rule says, why, its numbers in a case, its source.

use super::{complain, finish, read_in};
use crate::args::{PrintedArguments, RuleArguments};
use crate::exit::Exit;
use crate::render::{rule, words};

/// Runs the command.
pub fn run(arguments: &RuleArguments) -> Exit {
    let Some(code) = &arguments.rule else { return finish(Ok(rule::list()), Exit::Good) };
    let Some(found) = rule::by_code(code) else {
        complain(&words::rules::no_rule(code));
        return Exit::BadInput;
    };
    let printed = PrintedArguments { json: false, shown: arguments.shown };
    let case = match &arguments.brewplan {
        None => None,
        Some(brewplan) => match read_in(brewplan, &printed) {
            Ok((case, _)) => Some(case),
            Err(exit) => return exit,
        },
    };
    finish(Ok(rule::text(found, case.as_ref())), Exit::Good)
}
