//! One solve in a process of its own, so that its peak of memory is its own. Prints one line of numbers for `scale`.

use std::path::Path;
use std::process::Command;
use std::sync::Mutex;
use std::time::Instant;

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Observer, Options, Progress, Size, solve, solve_as_it_comes};

use crate::memory::peak_megabytes;

/// First argument of a child.
pub const WORD: &str = "one-solve";

/// Gap at which a search ends.
pub const GAP: f64 = 0.005;

/// Who searches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// This workspace's solver.
    Own,
    /// HiGHS with the whole program and its own settings.
    AsItComes,
}

impl Way {
    fn word(self) -> &'static str {
        match self {
            Self::Own => "own",
            Self::AsItComes => "as-it-comes",
        }
    }
}

/// What a child measured.
#[derive(Clone, Copy, Debug, Default)]
pub struct Measured {
    /// Size of the program.
    pub size: Size,
    /// Seconds from the start of compiling to the end.
    pub seconds: f64,
    /// Seconds to compile the program, known of HiGHS as it comes; 0 otherwise.
    pub compile: f64,
    /// Seconds until the first bound, infinite if there is none: compiling, presolving and the first relaxation.
    pub to_bound: f64,
    /// Seconds until the first plan, infinite if there is none before the end.
    pub to_plan: f64,
    /// Proven gap; infinite without a plan.
    pub gap: f64,
    /// Objective, money or hL; minus infinity without a plan.
    pub objective: f64,
    /// Proven bound, in the same unit.
    pub bound: f64,
    /// Peak memory, MB; 0 where the system does not tell.
    pub peak: f64,
}

/// Starts a child and waits for its numbers. HiGHS as it comes writes its log to a file if there is a path.
pub fn start(path: &Path, way: Way, seconds: f64, log: Option<&Path>) -> Result<Measured, String> {
    let program = std::env::current_exe().map_err(|error| error.to_string())?;
    let output = Command::new(program)
        .args([WORD, way.word(), &seconds.to_string()])
        .arg(path)
        .args(log)
        .output()
        .map_err(|error| error.to_string())?;
    let text = String::from_utf8_lossy(&output.stdout);
    let numbers: Vec<f64> = text.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    let [rows, columns, integers, nonzeros, seconds, compile, to_bound, to_plan, gap, objective, bound, peak] =
        numbers[..]
    else {
        return Err(format!("{}: {}", path.display(), String::from_utf8_lossy(&output.stderr).trim()));
    };
    let [rows, columns, integers, nonzeros] =
        [rows, columns, integers, nonzeros].map(|number| number as usize);
    let size = Size { rows, columns, integers, nonzeros };
    Ok(Measured { size, seconds, compile, to_bound, to_plan, gap, objective, bound, peak })
}

/// The child: solves and prints.
pub fn print(words: &[&str]) -> Result<(), String> {
    let [way, seconds, path, log @ ..] = words else {
        return Err("a way, seconds, a brew plan and perhaps a log".to_owned());
    };
    let log = log.first().map(Path::new);
    let seconds: f64 = seconds.parse().map_err(|_| format!("{seconds} is no number"))?;
    let case = read_case(Path::new(path)).case.ok_or_else(|| format!("{path} cannot be read"))?;
    let measured =
        if *way == Way::Own.word() { own(&case, seconds)? } else { as_it_comes(&case, seconds, log)? };
    let Size { rows, columns, integers, nonzeros } = measured.size;
    let Measured { seconds, compile, to_bound, to_plan, gap, objective, bound, .. } = measured;
    let peak = peak_megabytes().unwrap_or(0);
    println!(
        "{rows} {columns} {integers} {nonzeros} {seconds} {compile} {to_bound} {to_plan} {gap} {objective} {bound} {peak}"
    );
    Ok(())
}

/// Notes when the first bound and the first plan came, and stops at the gap.
struct Watch {
    started: Instant,
    seen: Mutex<Seen>,
}

#[derive(Clone, Copy)]
struct Seen {
    to_bound: f64,
    to_plan: f64,
    is_good: bool,
}

impl Watch {
    fn new() -> Self {
        let seen = Seen { to_bound: f64::INFINITY, to_plan: f64::INFINITY, is_good: false };
        Self { started: Instant::now(), seen: Mutex::new(seen) }
    }

    fn seen(&self) -> Seen {
        *self.seen.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

impl Observer for Watch {
    fn progress(&self, progress: Progress) {
        let seconds = self.started.elapsed().as_secs_f64();
        let mut seen = self.seen.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if progress.bound.is_some() {
            seen.to_bound = seen.to_bound.min(seconds);
        }
        if progress.best.is_some() {
            seen.to_plan = seen.to_plan.min(seconds);
        }
        if let (Some(best), Some(bound)) = (progress.best, progress.bound) {
            seen.is_good |= gap_of(best, bound) <= GAP;
        }
    }

    fn stop(&self) -> bool {
        self.seen().is_good
    }
}

fn gap_of(objective: f64, bound: f64) -> f64 {
    (bound - objective) / objective.abs().max(1e-9)
}

fn own(case: &Case, seconds: f64) -> Result<Measured, String> {
    let watch = Watch::new();
    // The search stops by itself at the gap: the plan's own gap is the one that counts.
    let observer = Unstopped(&watch);
    let options = Options { seconds, gap: GAP, ..Options::default() };
    let answer = solve(case, &options, &observer).map_err(|error| error.to_string())?;
    let seen = watch.seen();
    let unit = match case.aim {
        Aim::Orders => 100.0,
        Aim::Output(_) => 1e7,
    };
    Ok(Measured {
        size: answer.size,
        seconds: answer.seconds,
        compile: 0.0,
        to_bound: seen.to_bound,
        to_plan: seen.to_plan,
        gap: answer.gap,
        objective: answer.objective as f64 / unit,
        bound: answer.bound as f64 / unit,
        peak: 0.0,
    })
}

/// Watches without stopping.
struct Unstopped<'a>(&'a Watch);

impl Observer for Unstopped<'_> {
    fn progress(&self, progress: Progress) {
        self.0.progress(progress);
    }

    fn stop(&self) -> bool {
        false
    }
}

fn as_it_comes(case: &Case, seconds: f64, log: Option<&Path>) -> Result<Measured, String> {
    // HiGHS would append to a log that is there.
    if let Some(log) = log.filter(|log| log.exists()) {
        std::fs::remove_file(log).map_err(|error| format!("{}: {error}", log.display()))?;
    }
    let watch = Watch::new();
    let found = solve_as_it_comes(case, seconds, log, &watch).map_err(|error| error.to_string())?;
    let seen = watch.seen();
    Ok(Measured {
        size: found.size,
        seconds: found.seconds,
        compile: found.compile_seconds,
        to_bound: seen.to_bound,
        to_plan: seen.to_plan,
        gap: found.objective.map_or(f64::INFINITY, |objective| gap_of(objective, found.bound)),
        objective: found.objective.unwrap_or(f64::NEG_INFINITY),
        bound: found.bound,
        peak: 0.0,
    })
}
