//! A plan near an earlier one that cannot be carried out as it stands: beers that no breach is about are brewed, moved and run as they were, all else
//! is decided anew; then parts are made better as ever, those of the beers that the breaches are about first.
//!
//! A search of the whole program seldom finds a plan of a large brewery that has few changes: nearly all of its plans have many.

use std::collections::BTreeSet;

use cellarwright_checker::{Report, check};
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::violation::{About, Violation};

use super::beside::MANY_NONZEROS;
use super::part::{self, Part};
use super::{Asked, Climb, no_other_runs};
use crate::answer::{Observer, Options, Progress};
use crate::compile::context::Context;
use crate::compile::earlier::counted_of;

/// Share of the time that it may take, and share of that for the first point: the parts seldom add much to it.
const SHARE: f64 = 0.4;
const FIRST: f64 = 0.9;

/// A plan, and the point of the program that it is.
#[derive(Clone, Debug)]
pub struct Near {
    /// The point.
    pub point: Vec<f64>,
    /// The plan and its replay; it keeps the rules.
    pub plan: (Plan, Report),
}

/// Finds one, where there is an earlier plan that cannot be kept and the program is large; small ones are searched as a whole.
pub fn near(context: &Context, options: &Options, to_units: f64, observer: &dyn Observer) -> Option<Near> {
    let case = context.case;
    let earlier = case.fixed.earlier.as_deref()?;
    if context.program.size().nonzeros < MANY_NONZEROS {
        return None;
    }
    let report = check(case, &earlier.plan);
    if report.violations.is_empty() {
        return None;
    }
    let beers = concerned(case, &earlier.plan, &report.violations);
    let is_over = || observer.stop();
    let tell = |one: &(Plan, Report)| {
        let best = Some(one.1.objective(&case.aim) as f64 / to_units);
        observer.progress(Progress { seconds: 0.0, best, bound: None });
    };
    let options = Options { seconds: options.seconds * SHARE, ..*options };
    let asked = Asked { options, to_units, is_over: &is_over, tell: &tell, elsewhere: None };
    let climb = Climb::new(context, &asked, report.breakdown.earned(&case.aim));
    // Where the tanks of other beers are needed too, only the brews of these are kept.
    let point = [true, false].into_iter().find_map(|with_transfers| {
        let mut program = context.program.clone();
        let is_other = |beer: BeerId| !beers.contains(&beer);
        for (terms, count) in counted_of(context, &earlier.plan, is_other, with_transfers) {
            program.equal(RuleId::Pinned, terms, count as f64);
        }
        if with_transfers {
            no_other_runs(context, &earlier.plan, &mut program, is_other);
        }
        climb.first(&program, FIRST)
    })?;
    climb.up(point, &parts(context, &beers))
}

/// The beers that breaches of a plan are about, as far as they tell.
fn concerned(case: &Case, plan: &Plan, breaches: &[Violation]) -> BTreeSet<BeerId> {
    let of = plan.beers(&case.in_tank);
    let tasks = || plan.tasks.iter().zip(&of).filter_map(|(task, beer)| beer.map(|beer| (task, beer)));
    let mut beers = BTreeSet::new();
    for breach in breaches {
        match breach.about {
            About::Beer(beer) => {
                beers.insert(beer);
            }
            About::Order(order) => {
                beers.insert(case.order(order).beer);
            }
            About::Vessel(vessel) => {
                beers.extend(case.in_tank.iter().filter(|tank| tank.vessel == vessel).map(|tank| tank.beer));
                beers.extend(tasks().filter(|(task, _)| is_at(task.work, vessel)).map(|(_, beer)| beer));
            }
            About::Line(_)
            | About::Crew(_)
            | About::Pin(_)
            | About::Brewhouse
            | About::CoolingPlant
            | About::Filter(_)
            | About::KegWasher
            | About::CleaningSets
            | About::WarmStore
            | About::CleaningSet(_)
            | About::Kegs(_)
            | About::Material(_)
            | About::ColdStore
            | About::Outlook
            | About::EarlierPlan => {
                beers
                    .extend(tasks().filter(|(task, _)| Some(task.slot) == breach.slot).map(|(_, beer)| beer));
            }
        }
    }
    beers
}

/// Whether work is done at a vessel.
fn is_at(work: Work, at: VesselId) -> bool {
    match work {
        Work::Transfer { from, to, .. } => from == at || to == at,
        Work::Brew { vessel, .. }
        | Work::Package { vessel, .. }
        | Work::Carbonate { vessel }
        | Work::Crop { vessel }
        | Work::Dump { vessel }
        | Work::Tank { vessel, .. }
        | Work::Clean { vessel, .. }
        | Work::Sanitise { vessel, .. } => vessel == at,
        Work::Pitch { .. } | Work::Wash { .. } => false,
    }
}

/// These beers, each with another one, and days.
fn parts(context: &Context, beers: &BTreeSet<BeerId>) -> Vec<Part> {
    let few: Vec<BeerId> = beers.iter().copied().collect();
    let others = context.case.beer_ids().filter(|beer| !beers.contains(beer));
    let with_others = others.map(|beer| Part::Beers([few.clone(), vec![beer]].concat()));
    std::iter::once(Part::Beers(few.clone())).chain(with_others).chain(part::of_days(context)).collect()
}
