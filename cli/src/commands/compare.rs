//! `compare`: cellars, brew plans and changes side by side.

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use cellarwright_model::case::Case;
use cellarwright_model::finding::Finding;
use cellarwright_model::yaml::{FileKind, ReadOutcome, With, kind_of_file, read_case_in};
use cellarwright_solver::answer::{Observer, Options, Progress};
use cellarwright_solver::{Answer, KeptUp, RepeatError, SolveError, keep_up, side_by_side, solve};

use super::save::{can_be_written, save};
use super::{Sound, complain, finish, keep_up as kept_up, plan, refuse, show, sound};
use crate::args::CompareArguments;
use crate::diagnostics;
use crate::exit::Exit;
use crate::progress::Watch;
use crate::render::{compare, numbers, report, view, words};
use crate::signal::Stop;

/// Runs the command.
pub fn run(arguments: &CompareArguments) -> Exit {
    match compared(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn compared(arguments: &CompareArguments) -> Result<Exit, Exit> {
    let stop = Stop::listen();
    if let Some(file) = &arguments.report.file {
        can_be_written(file)?;
    }
    let inputs = read_all(arguments)?;
    let unit = inputs.first().map_or("", |input| view::objective_unit(&input.case));
    let watch = Watch::begin(arguments.search.quiet, stop.clone(), unit);
    let found = solve_all(&inputs, arguments, &watch);
    watch.end();
    let mut cases = Vec::new();
    for (input, found) in inputs.into_iter().zip(found) {
        cases.push(shown(input, found, arguments, stop.is_asked())?);
    }
    let comparison = compare::of_cases(&cases);
    if let Some(file) = &arguments.report.file {
        save(file, report::of_comparison(&comparison))?;
    }
    let text =
        if arguments.printed.json { compare::document(&comparison) } else { Ok(compare::text(&comparison)) };
    Ok(finish(text, Exit::Good))
}

/// A case as it was read.
struct Input {
    title: String,
    kind: &'static str,
    file: String,
    case: Case,
    findings: Vec<Finding>,
}

/// Reads all of them, and shows what must be mended in any: what is wrong with the base is not shown again for each change to it.
fn read_all(arguments: &CompareArguments) -> Result<Vec<Input>, Exit> {
    diagnostics::set_up();
    let asked = arguments.printed.shown.units.map(|units| units.known());
    let base = read_case_in(&arguments.base, With::Nothing, asked);
    let base = input(&arguments.base, FileKind::BrewPlan, base).map_err(|outcome| {
        show(&outcome);
        refuse(&outcome.findings, arguments.printed.json)
    })?;
    // All are shown in the same units: those asked for, or those of the base.
    let units = Some(base.case.show_units);
    let mut inputs = vec![base];
    let mut wrong = Vec::new();
    for path in &arguments.cases {
        let name = path.display().to_string();
        let outcome = match kind_of_file(path) {
            Ok(FileKind::BrewPlan) => (FileKind::BrewPlan, read_case_in(path, With::Nothing, units)),
            Ok(FileKind::Cellar) => {
                (FileKind::Cellar, read_case_in(&arguments.base, With::Cellar(&name), units))
            }
            Ok(FileKind::Change) => {
                (FileKind::Change, read_case_in(&arguments.base, With::Change(&name), units))
            }
            Err(outcome) => (FileKind::Change, *outcome),
        };
        match input(path, outcome.0, outcome.1) {
            Ok(input) => inputs.push(input),
            Err(outcome) => {
                show(&outcome);
                wrong.extend(outcome.findings);
            }
        }
    }
    if !wrong.is_empty() {
        return Err(refuse(&wrong, arguments.printed.json));
    }
    Ok(inputs)
}

fn input(path: &Path, kind: FileKind, outcome: ReadOutcome) -> Result<Input, Box<ReadOutcome>> {
    let Sound { case, findings, change } = sound(outcome)?;
    let (title, kind) = match kind {
        FileKind::BrewPlan => (case.name.clone(), words::compare::BREW_PLAN),
        FileKind::Cellar => (case.cellar.clone(), words::compare::CELLAR),
        FileKind::Change => (change.unwrap_or_default(), words::compare::CHANGE),
    };
    Ok(Input { title, kind, file: path.display().to_string(), case, findings })
}

/// What a case came to.
enum Found {
    Plan(Box<Result<Answer, SolveError>>),
    Cycle(Box<Result<KeptUp, RepeatError>>),
}

/// Tells of one of several searches.
struct OneOf<'w> {
    watch: &'w Watch,
    letter: String,
    done: &'w AtomicUsize,
    of: usize,
    unit: &'static str,
}

impl Observer for OneOf<'_> {
    fn progress(&self, progress: Progress) {
        let shown = |value: f64| numbers::objective(value, self.unit);
        let message = words::progress(progress.best.map(shown), progress.bound.map(shown), self.unit);
        let done = self.done.load(Ordering::Relaxed);
        self.watch.show(words::compare::progress(done, self.of, &self.letter, &message));
    }

    fn stop(&self) -> bool {
        self.watch.stop()
    }
}

/// Solves all of them, as many at a time as there are threads; each has the same share of the threads, so the order does not matter.
fn solve_all(inputs: &[Input], arguments: &CompareArguments, watch: &Watch) -> Vec<Found> {
    let asked = arguments.search.options();
    let threads = asked.workers();
    let workers = threads.min(inputs.len());
    let each = i32::try_from(threads / workers.max(1)).unwrap_or(1).max(1);
    let options = Options { threads: each, ..asked };
    let done = AtomicUsize::new(0);
    side_by_side::each(inputs, workers, |place, input| {
        let observer = OneOf {
            watch,
            letter: compare::letter(place),
            done: &done,
            of: inputs.len(),
            unit: view::objective_unit(&input.case),
        };
        let found = if arguments.for_ever {
            Found::Cycle(Box::new(keep_up(&input.case, arguments.weeks, &options, &observer)))
        } else {
            Found::Plan(Box::new(solve(&input.case, &options, &observer)))
        };
        done.fetch_add(1, Ordering::Relaxed);
        found
    })
}

/// A case with its view; ends where it has no plan.
fn shown(
    input: Input,
    found: Found,
    arguments: &CompareArguments,
    interrupted: bool,
) -> Result<compare::Case, Exit> {
    let gap = arguments.search.gap;
    let Input { title, kind, file, case, findings } = input;
    let name = words::compare::no_plan(&title, &file);
    match found {
        Found::Plan(answer) => {
            let answer = (*answer).map_err(|error| {
                complain(&name);
                plan::no_answer(&case, &error, arguments.printed.json)
            })?;
            if !answer.report.violations.is_empty() {
                complain(&words::broken(answer.report.violations.len()));
                return Err(Exit::Internal);
            }
            let view = view::of_answer(&case, &answer, &findings, gap, interrupted);
            let (measures, poured) = (answer.report.measures, answer.report.breakdown.poured_planned);
            Ok(compare::Case { title, kind, file, case, view, kept: None, measures, poured })
        }
        Found::Cycle(kept) => {
            let kept = (*kept).map_err(|error| {
                complain(&name);
                kept_up::no_answer(&case, &error, arguments.printed.json)
            })?;
            let shown = view::of_kept(&kept, &findings, gap, interrupted);
            let of_cycle = compare::OfCycle {
                weeks: shown.weeks,
                a_week_hl: shown.a_week_hl,
                goods: shown.goods,
                left_out: shown.left_out,
            };
            let (measures, poured) = (kept.kept.measures, kept.kept.breakdown.poured_planned);
            let view = shown.view;
            Ok(compare::Case { title, kind, file, case, view, kept: Some(of_cycle), measures, poured })
        }
    }
}
