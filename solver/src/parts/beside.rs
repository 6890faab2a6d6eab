//! The search and the parts at once: the search has the bound, the parts have the plan.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use cellarwright_checker::Report;
use cellarwright_model::plan::Plan;

use super::elsewhere::Elsewhere;
use super::relax_and_fix::{self, relax_and_fix};
use super::{Asked, Climb, improve};
use crate::answer::{Observer, Options, Progress};
use crate::clock::Outcome;
use crate::compile::context::Context;
use crate::highs::{self, HighsError};
use crate::search::TOO_MANY_NONZEROS;
use crate::solve::search_for;

/// Days planned in full, and nonzeros, from which the search seldom comes to its end. Measured: see DEVELOPERS.md.
const MANY_DAYS: usize = 15;
pub(super) const MANY_NONZEROS: usize = 30_000;
/// Share of the time that the parts have where there is one thread.
const SHARE: f64 = 0.7;

/// How far a plan by hand is made better beside the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Up to the first point, which is there in about a second.
    FirstPoint,
    /// As long as there is time.
    AllParts,
}

/// How far it pays; none where the search is sooner.
pub fn pays(context: &Context) -> Option<Extent> {
    let nonzeros = context.program.size().nonzeros;
    if nonzeros < MANY_NONZEROS {
        return None;
    }
    let many_days = context.case.calendar.planned_days >= MANY_DAYS;
    Some(if many_days || nonzeros >= TOO_MANY_NONZEROS { Extent::AllParts } else { Extent::FirstPoint })
}

/// Solves a program while a plan is made better in parts, until the search is over; with one thread the parts come first and have a share of
/// the time. The plan of the parts counts where the search is not complete.
pub fn beside(
    context: &mut Context,
    first: &(Plan, Report),
    extent: Extent,
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
        let asked = Asked { options: share, to_units, is_over: &is_over, tell: &tell, elsewhere: None };
        let best = improve(&apart, first, extent, &asked);
        let left = options.seconds - started.elapsed().as_secs_f64();
        return (search_for(context, &Options { seconds: left, ..*options }, to_units, observer), best);
    }
    let is_found = AtomicBool::new(false);
    let is_over = || is_found.load(Ordering::Relaxed) || observer.stop();
    let elsewhere = Elsewhere::awaited();
    let is_by_weeks = extent == Extent::AllParts && relax_and_fix::are_weeks(context);
    let given = is_by_weeks.then_some(&elsewhere);
    let asked = Asked { options: *options, to_units, is_over: &is_over, tell: &tell, elsewhere: given };
    std::thread::scope(|scope| {
        let parts = scope.spawn(|| improve(&apart, first, extent, &asked));
        let bound =
            given.map_or(f64::INFINITY, |elsewhere| week_by_week(&apart, first, &asked, elsewhere, observer));
        let left = Options { seconds: options.seconds - started.elapsed().as_secs_f64(), ..*options };
        let outcome = if left.seconds <= 0.0 || observer.stop() {
            Ok(Outcome { best: None, bound, is_complete: false })
        } else {
            let outcome = search_for(context, &left, to_units, observer);
            outcome.map(|outcome| Outcome { bound: outcome.bound.min(bound), ..outcome })
        };
        is_found.store(true, Ordering::Relaxed);
        match parts.join() {
            Ok(best) => (outcome, best),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// Before the search, which takes far longer to move the bound of the relaxation by a little than to come to it: that bound, and points that
/// are decided week by week from there, handed over to the parts.
fn week_by_week(
    context: &Context,
    first: &(Plan, Report),
    asked: &Asked,
    elsewhere: &Elsewhere,
    observer: &dyn Observer,
) -> f64 {
    let climb = Climb::new(context, asked, first.1.breakdown.earned(&context.case.aim));
    // If it fails, so will the search, which says so.
    let relaxation = highs::relax(&context.program, climb.left(), observer).ok().flatten();
    if let Some(relaxation) = &relaxation {
        let bound = Some(relaxation.bound).filter(|bound| bound.is_finite());
        observer.progress(Progress { seconds: climb.started.elapsed().as_secs_f64(), best: None, bound });
        for days in relax_and_fix::DAYS {
            if let Some(point) = relax_and_fix(&climb, relaxation, days, elsewhere.worth()) {
                elsewhere.give(point);
            }
        }
    }
    elsewhere.no_more();
    relaxation.map_or(f64::INFINITY, |relaxation| relaxation.bound)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use cellarwright_model::case::Case;
    use cellarwright_model::yaml::read_case;

    use super::*;
    use crate::compile::compile;
    use crate::construct::{self, construct};

    fn case(name: &str) -> Case {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name);
        read_case(&path).case.unwrap()
    }

    #[test]
    fn a_plan_by_hand_is_made_better_where_the_search_is_long_in_coming_to_one() {
        for (name, extent) in [
            ("fennick-wharf/brewplan.yaml", None),
            ("scale/town-1/next-week.yaml", None),
            ("scale/regional-1/next-week.yaml", Some(Extent::FirstPoint)),
            ("scale/large-1/next-week.yaml", Some(Extent::AllParts)),
            ("scale/town-1/all-weeks.yaml", Some(Extent::AllParts)),
        ] {
            assert_eq!(pays(&compile(&case(name), &Default::default())), extent, "{name}");
        }
    }

    #[test]
    fn the_first_point_is_a_plan_that_keeps_the_rules_and_is_worth_more_than_that_by_hand() {
        let case = case("scale/regional-1/next-week.yaml");
        let context = compile(&case, &Default::default());
        let first = construct(&context, construct::AT_ONCE, &|| false).unwrap();
        let told = std::sync::Mutex::new(0);
        let (is_over, tell) = (|| false, |_: &_| *told.lock().unwrap() += 1);
        let options = Options { seconds: 300.0, threads: 1, ..Options::default() };
        let asked = Asked { options, to_units: 100.0, is_over: &is_over, tell: &tell, elsewhere: None };
        let found = improve(&context, &first, Extent::FirstPoint, &asked).unwrap();
        let worth = |plan: &(Plan, Report)| plan.1.objective(&case.aim);
        assert!(found.1.violations.is_empty());
        assert!(worth(&found) > worth(&first), "{} of {}", worth(&found), worth(&first));
        assert_eq!(told.into_inner().unwrap(), 1);
    }
}
