//! Options as they are typed.

use super::*;
use clap::CommandFactory;

fn plan(extra: &[&str]) -> Result<PlanArguments, clap::Error> {
    let words = ["cellarwright", "plan", "brewplan.yaml"].iter().chain(extra);
    match Arguments::try_parse_from(words)?.command {
        Command::Plan(plan) => Ok(plan),
        _ => Err(clap::Error::new(clap::error::ErrorKind::InvalidSubcommand)),
    }
}

#[test]
fn the_definition_is_sound() {
    Arguments::command().debug_assert();
}

#[test]
fn defaults_are_those_of_the_help() {
    let plan = plan(&[]).unwrap();
    assert_eq!(
        (plan.search.seconds, plan.search.gap, plan.search.threads, plan.search.seed),
        (60.0, 0.005, 2, 0)
    );
    assert!(!plan.printed.json && !plan.search.quiet && plan.out.is_none() && plan.write_model.is_none());
}

#[test]
fn a_gap_is_a_share_or_per_cent() {
    assert_eq!(plan(&["--gap", "0.5%"]).unwrap().search.gap, 0.005);
    assert_eq!(plan(&["--gap", "2 %"]).unwrap().search.gap, 0.02);
    assert_eq!(plan(&["--gap", "0.01"]).unwrap().search.gap, 0.01);
    assert_eq!(plan(&["--gap", "0"]).unwrap().search.gap, 0.0);
    for wrong in ["1", "100%", "nan", "half", "", "%", "inf"] {
        assert!(plan(&["--gap", wrong]).is_err(), "{wrong}");
    }
    assert!(plan(&["--gap=-1"]).is_err());
}

#[test]
fn seconds_threads_and_seeds_have_limits() {
    assert_eq!(plan(&["--seconds", "0.5"]).unwrap().search.seconds, 0.5);
    for wrong in ["--seconds=0", "--seconds=-1", "--seconds=inf", "--threads=0", "--seed=-1"] {
        assert!(plan(&[wrong]).is_err(), "{wrong}");
    }
}

#[test]
fn a_cycle_has_one_two_or_four_weeks() {
    let weeks = |text: &str| {
        let words = ["cellarwright", "keep-up", "brewplan.yaml", "--weeks", text];
        Arguments::try_parse_from(words).ok().map(|arguments| match arguments.command {
            Command::KeepUp(keep_up) => keep_up.weeks,
            _ => 0,
        })
    };
    assert_eq!(["1", "2", "4"].map(weeks), [Some(1), Some(2), Some(4)]);
    assert_eq!(["0", "3", "5", "two", ""].map(weeks), [None; 5]);
}

#[test]
fn levers_search_longer_and_closer_than_a_plan() {
    let levers = |extra: &[&str]| {
        let words = ["cellarwright", "levers", "brewplan.yaml"].iter().chain(extra);
        Arguments::try_parse_from(words).ok().and_then(|arguments| match arguments.command {
            Command::Levers(levers) => Some(levers),
            _ => None,
        })
    };
    let plain = levers(&[]).unwrap();
    assert_eq!((plain.search.seconds, plain.search.gap, plain.weeks), (300.0, 0.001, None));
    assert!(!plain.pairs && plain.pairs_of == 4);
    let pairs = levers(&["--weeks", "2", "--pairs", "--pairs-of", "6", "--gap", "0"]).unwrap();
    assert_eq!((pairs.weeks, pairs.pairs_of, pairs.search.gap), (Some(2), 6, 0.0));
    assert!(levers(&["--pairs-of", "1"]).is_none() && levers(&["--weeks", "3"]).is_none());
}

#[test]
fn check_needs_both_files() {
    assert!(Arguments::try_parse_from(["cellarwright", "check", "brewplan.yaml"]).is_err());
    assert!(Arguments::try_parse_from(["cellarwright", "check", "brewplan.yaml", "plan.yaml"]).is_ok());
}
