//! `study run`: does work items. What is found depends on nothing but the item, unless its time limit strikes; the result then says so.

use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use cellarwright_model::finding::Severity;
use cellarwright_model::study::{self, Item, Opened, Outcome, Status, Unreadable};
use cellarwright_model::units::Money;
use cellarwright_solver::answer::{Observer, Options, Progress};
use cellarwright_solver::layout::{Bought, LayoutError, Measured, measure};
use cellarwright_solver::side_by_side;

use super::super::save::save;
use super::super::{complain, failed, say};
use super::{VERSION, bytes_of};
use crate::args::RunArguments;
use crate::exit::Exit;
use crate::render::words;
use crate::signal::Stop;
use crate::{diagnostics, render};

/// Runs the step.
pub fn run(arguments: &RunArguments) -> Result<Exit, Exit> {
    diagnostics::set_up();
    let stop = Stop::listen();
    let name = arguments.items.display().to_string();
    if let Some(folder) = &arguments.results {
        std::fs::create_dir_all(folder).map_err(|error| {
            complain(&words::unwritable(&folder.display().to_string(), &error.to_string()));
            Exit::BadInput
        })?;
    }
    let bytes = bytes_of(&arguments.items)?;
    let (chosen, wrong) = choose(arguments, &name, &bytes);
    diagnostics::show_all(&wrong);
    let worker = Worker { arguments, stop: &stop };
    let threads = usize::try_from(arguments.threads).unwrap_or(1);
    let ended = side_by_side::each(&chosen, threads, |_, (line, item)| worker.work(&name, *line, item));
    let worst = [Exit::Internal, Exit::BadInput, Exit::Broken].into_iter().find(|exit| ended.contains(exit));
    let of_lines = if wrong.is_empty() { Exit::Good } else { Exit::BadInput };
    Ok(worst.unwrap_or(of_lines))
}

/// The items that are to be done, with their lines, and what is wrong with those that cannot be.
fn choose(
    arguments: &RunArguments,
    name: &str,
    bytes: &[u8],
) -> (Vec<(usize, Item)>, Vec<cellarwright_model::finding::Finding>) {
    let is_meant = |line: usize| match arguments.part {
        Some(part) => (line - 1) % part.of == part.part - 1,
        None => arguments.chosen.is_empty() || arguments.chosen.contains(&(line as u64)),
    };
    let mut read = study::items(name, bytes, VERSION, &is_meant);
    for &number in &arguments.chosen {
        let line = usize::try_from(number).unwrap_or(usize::MAX);
        let is_told = read.findings.iter().any(|finding| finding.place.line == Some(line));
        if !is_told && !read.sound.contains_key(&line) {
            read.findings.push(study::no_item(name, line));
        }
    }
    (read.sound.into_iter().collect(), read.findings)
}

struct Worker<'w> {
    arguments: &'w RunArguments,
    stop: &'w Stop,
}

/// Ends an item when its time is up, and remembers that.
struct Limit<'w> {
    stop: &'w Stop,
    until: Instant,
    struck: AtomicBool,
    nodes: Option<i32>,
}

impl Observer for Limit<'_> {
    fn progress(&self, _progress: Progress) {}

    fn stop(&self) -> bool {
        if Instant::now() >= self.until {
            self.struck.store(true, Ordering::Relaxed);
        }
        self.stop.is_asked() || self.struck.load(Ordering::Relaxed)
    }

    fn most_nodes(&self) -> Option<i32> {
        self.nodes
    }
}

impl Worker<'_> {
    /// Does an item, unless it is done.
    fn work(&self, name: &str, line: usize, item: &Item) -> Exit {
        if self.stop.is_asked() {
            return Exit::Broken;
        }
        let file = self.arguments.results.as_ref().map(|folder| folder.join(format!("{}.jsonl", item.id)));
        if file.as_deref().is_some_and(|file| self.is_done(file, item)) {
            self.tell(&words::study::done_before(line, item));
            return Exit::Good;
        }
        let opened = match item.open() {
            Ok(opened) => opened,
            Err(Unreadable::Name(found)) => {
                diagnostics::show_all(&[study::wrong_item(name, line, &found)]);
                return Exit::BadInput;
            }
            Err(Unreadable::Files(outcome)) => {
                complain(&words::study::of_item(name, line));
                diagnostics::show(&outcome.findings, Severity::Error, &outcome.sources);
                return Exit::BadInput;
            }
        };
        let until = Instant::now() + Duration::from_secs_f64(self.arguments.seconds);
        let limit = Limit { stop: self.stop, until, struck: AtomicBool::new(false), nodes: item.nodes };
        let measured = match measured(item, &opened, &limit) {
            Ok(measured) => measured,
            Err(error) => {
                complain(&words::study::of_item(name, line));
                return failed(&error);
            }
        };
        if self.stop.is_asked() {
            // What was found by then is no result: the item is done anew the next time.
            return Exit::Broken;
        }
        let struck = limit.struck.load(Ordering::Relaxed).then_some(self.seconds());
        let outcome = outcome(item, &opened, &measured, struck);
        if let Err(exit) = put(file.as_deref(), &outcome) {
            return exit;
        }
        self.tell(&words::study::done(line, &outcome));
        Exit::Good
    }

    /// The limit in whole seconds, as a result says it.
    fn seconds(&self) -> i64 {
        self.arguments.seconds.floor() as i64
    }

    /// Whether an item has its result; what stands in its place otherwise is told.
    fn is_done(&self, file: &Path, item: &Item) -> bool {
        let Ok(bytes) = std::fs::read(file) else { return false };
        let read = study::outcomes(&file.display().to_string(), &bytes);
        diagnostics::show_all(&read.findings);
        let counts = |outcome: &Outcome| {
            outcome.id == item.id
                && outcome.stopped_after_seconds.is_none_or(|seconds| seconds >= self.seconds())
        };
        read.sound.values().any(counts)
    }

    fn tell(&self, text: &str) {
        if !self.arguments.quiet {
            say(text);
        }
    }
}

/// Writes a result: whole into its file, or as a line.
fn put(file: Option<&Path>, outcome: &Outcome) -> Result<(), Exit> {
    match file {
        Some(file) => save(file, outcome.line()),
        None => render::print(&outcome.line()).map_err(|error| failed(&error)),
    }
}

fn measured(item: &Item, opened: &Opened, limit: &Limit) -> Result<Measured, LayoutError> {
    // The clock is asked by `limit` alone, so that nothing depends on how the time would be shared.
    let gap = item.gap_millionths as f64 / 1e6;
    let options = Options { seconds: f64::MAX, gap, threads: 1, seed: item.seed };
    let bought = opened.bought.clone().map(|(vessels, further)| Bought { vessels, further });
    measure(&opened.case, bought.as_ref(), item.weeks, &options, limit)
}

/// The line of what was measured.
fn outcome(item: &Item, opened: &Opened, measured: &Measured, struck: Option<i64>) -> Outcome {
    let mut outcome = Outcome {
        id: item.id.clone(),
        scenario: item.scenario.clone(),
        layout: item.layout.clone(),
        status: Status::Unknown,
        buys: item.buys.clone().unwrap_or_default(),
        bought_cents: None,
        running_cents: None,
        cost_cents: None,
        bound_cents: None,
        share_millionths: None,
        share_bound_millionths: None,
        proven: false,
        confirmed: false,
        stopped_after_seconds: struck,
    };
    let layout = opened.case.layout.as_ref();
    let names = |bought: &Bought| {
        layout.map(|layout| study::names(layout, &bought.vessels, &bought.further)).unwrap_or_default()
    };
    let a_year = |bought: &Bought| layout.map_or(Money::ZERO, |layout| bought.a_year(layout));
    match measured {
        Measured::Met(cheapest) => {
            outcome.status = Status::Met;
            outcome.buys = names(&cheapest.bought);
            outcome.bought_cents = Some(a_year(&cheapest.bought).0);
            outcome.running_cents = Some(cheapest.built.running.0);
            outcome.cost_cents = Some(cheapest.cost.0);
            outcome.bound_cents = Some(cheapest.bound.0);
            (outcome.proven, outcome.confirmed) = (cheapest.is_complete, cheapest.confirmed);
        }
        Measured::NotMet(largest) => {
            (outcome.status, outcome.proven) = (Status::NotMet, true);
            if let Some(largest) = largest {
                outcome.buys = names(&largest.bought);
                outcome.bought_cents = Some(a_year(&largest.bought).0);
                // Neither says too much: the found share is rounded down, the bound up.
                outcome.share_millionths = Some((largest.share * 1e6).floor() as i64);
                outcome.share_bound_millionths = Some((largest.bound * 1e6).ceil() as i64);
                outcome.confirmed = largest.confirmed;
            }
        }
        Measured::Unknown(bound) => outcome.bound_cents = bound.map(|bound| bound.0),
    }
    outcome
}
