//! The search and the parts at once: the search has the bound, the parts have the plan.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use cellarwright_checker::Report;
use cellarwright_model::plan::Plan;

use super::{Asked, improve};
use crate::answer::{Observer, Options, Progress};
use crate::clock::Outcome;
use crate::compile::context::Context;
use crate::highs::HighsError;
use crate::solve::search_for;

/// Days planned in full, and nonzeros, from which the search seldom comes to its end; and nonzeros from which it seldom does however few days
/// are planned in full. Measured: see DEVELOPERS.md.
const MANY_DAYS: usize = 15;
pub(super) const MANY_NONZEROS: usize = 30_000;
const TOO_MANY_NONZEROS: usize = 60_000;
/// Share of the time that the parts have where there is one thread.
const SHARE: f64 = 0.7;

/// Whether a program is one that the search seldom comes to the end of.
pub fn pays(context: &Context) -> bool {
    let nonzeros = context.program.size().nonzeros;
    let many_days = context.case.calendar.planned_days >= MANY_DAYS;
    nonzeros >= if many_days { MANY_NONZEROS } else { TOO_MANY_NONZEROS }
}

/// Solves a program while a plan is made better in parts, until the search is over; with one thread the parts come first and have a share of
/// the time. The plan of the parts counts where the search is not complete.
pub fn beside(
    context: &mut Context,
    first: &(Plan, Report),
    options: &Options,
    to_units: f64,
    observer: &dyn Observer,
) -> (Result<Outcome, HighsError>, Option<(Plan, Report)>) {
    let started = Instant::now();
    let apart = context.clone();
    let tell = |one: &(Plan, Report)| {
        let best = Some(one.1.objective(&apart.case.aim) as f64 / to_units);
        observer.progress(Progress { seconds: started.elapsed().as_secs_f64(), best, bound: None });
    };
    if options.threads == 1 {
        let is_over = || observer.stop();
        let share = Options { seconds: options.seconds * SHARE, ..*options };
        let asked = Asked { options: share, to_units, is_over: &is_over, tell: &tell };
        let best = improve(&apart, first, &asked);
        let left = options.seconds - started.elapsed().as_secs_f64();
        return (search_for(context, &Options { seconds: left, ..*options }, to_units, observer), best);
    }
    let is_found = AtomicBool::new(false);
    let is_over = || is_found.load(Ordering::Relaxed) || observer.stop();
    let asked = Asked { options: *options, to_units, is_over: &is_over, tell: &tell };
    std::thread::scope(|scope| {
        let parts = scope.spawn(|| improve(&apart, first, &asked));
        let outcome = search_for(context, options, to_units, observer);
        is_found.store(true, Ordering::Relaxed);
        match parts.join() {
            Ok(best) => (outcome, best),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}
