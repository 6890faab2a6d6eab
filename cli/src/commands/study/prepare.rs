//! `study prepare`: the work items of a study.

use cellarwright_model::finding::Severity;
use cellarwright_model::study::{Common, Item, Scenario, scenarios};
use cellarwright_model::yaml::{read_case_kept, read_study};
use cellarwright_solver::layout::can_be_asked;

use super::super::layout::no_answer;
use super::super::save::{can_be_written, save};
use super::super::{refuse, say, show, sound};
use super::VERSION;
use crate::args::PrepareArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::render::words;

/// Runs the step.
pub fn run(arguments: &PrepareArguments) -> Result<Exit, Exit> {
    can_be_written(&arguments.items)?;
    diagnostics::set_up();
    let change = arguments.change.as_ref().map(|file| file.display().to_string());
    let (outcome, files) = read_case_kept(&arguments.brewplan, change.as_deref(), None);
    let case = sound(outcome)
        .map_err(|outcome| {
            show(&outcome);
            refuse(&outcome.findings, false)
        })?
        .case;
    let layout = can_be_asked(&case, arguments.weeks).map_err(|error| no_answer(&case, &error, false))?;
    let outcome = read_study(&case, layout, &arguments.study);
    let Some(study) = outcome.study else {
        diagnostics::show(&outcome.findings, Severity::Error, &outcome.sources);
        return Err(refuse(&outcome.findings, false));
    };
    let common = Common {
        made_by: VERSION,
        case: &case,
        layout,
        files: &files,
        weeks: arguments.weeks,
        gap_millionths: (arguments.gap * 1e6).round() as i64,
        seed: arguments.seed,
        nodes: arguments.nodes,
    };
    let of_scenario = |scenario: &Scenario| -> Vec<Item> {
        let listed = study.layouts.iter().map(|listed| common.item(scenario, Some(listed)));
        let cheapest = study.cheapest.then(|| common.item(scenario, None));
        listed.chain(cheapest).collect()
    };
    let scenarios = scenarios(layout, &study);
    let items: Vec<Item> = scenarios.iter().flat_map(of_scenario).collect();
    let mut text = String::new();
    for item in &items {
        text.push_str(&item.line());
    }
    save(&arguments.items, text)?;
    say(&words::study::prepared(items.len(), scenarios.len(), &arguments.items.display().to_string()));
    Ok(Exit::Good)
}
