//! A layout that is built: without candidates, compiled anew, solved season by season and replayed by the checker.

use std::ops::Range;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;
use cellarwright_model::demand::Demand;
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Money, Volume};

use super::days::{self, After};
use super::program::{demand, plain};
use super::search::{Search, with_way};
use super::{Bought, LayoutError};
use crate::answer::Untold;
use crate::compile::compile_repeating;
use crate::compile::context::Context;
use crate::compile::without::Without;
use crate::highs::{self, HighsError};
use crate::repeating::fold::Folded;
use crate::repeating::unroll::{Unrolled, unroll};
use crate::repeating::{RepeatError, Replayed, replay, work_of};

/// A demand counts as met when no more is lacking in a cycle: rounding of packages to millilitres, run by run.
pub const TOLERANCE: Volume = Volume(1_000);

/// What a season of it is.
#[derive(Clone, Debug, PartialEq)]
pub struct SeasonBuilt {
    /// What it costs to run for a week: people, chemicals, gas, wort, materials.
    pub a_week: Money,
    /// Packaged in a week, by beer and format.
    pub packaged: Vec<(BeerId, FormatId, Volume)>,
    /// Wort brewed in a week.
    pub wort: Volume,
    /// Fills of bright tanks in a cycle.
    pub bright_fills: i64,
    /// Fermenter days after beer is ready.
    pub after: After,
}

/// A layout that is built.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    /// Its seasons, as in the layout.
    pub seasons: Vec<SeasonBuilt>,
    /// What it costs to run for a year.
    pub running: Money,
    /// Fermenter days after beer is ready, of all seasons.
    pub after: After,
    /// Vessels that are bright tanks and nothing else.
    pub bright_tanks: usize,
}

/// The case with what is bought and nothing else.
pub fn case_of(case: &Case, bought: &Bought) -> Case {
    let mut built = case.clone();
    let Some(layout) = built.layout.clone() else { return built };
    for (offer, &count) in layout.vessels.iter().zip(&bought.vessels) {
        let count = usize::try_from(count).unwrap_or(0);
        built.vessels.extend(offer.vessels.iter().take(count).cloned());
    }
    with_way(&layout, &built, &bought.further)
}

/// Builds what is bought for a share of the demand; none if it does not meet that, or not in time.
///
/// # Errors
/// If HiGHS fails, or if the checker finds a breach.
pub fn built(
    search: &Search,
    case: &Case,
    bought: &Bought,
    share: f64,
) -> Result<Option<Built>, LayoutError> {
    let case = plain(&case_of(case, bought));
    let layout = case.layout.as_ref().unwrap_or(search.layout);
    let unrolled = unroll(&case, search.weeks);
    let context = compile_repeating(&unrolled.case, &Without::default());
    let work = work_of(&context, &unrolled)?;
    let mut seasons = Vec::new();
    let (mut running, mut after) = (0.0, After::default());
    for (place, season) in layout.seasons.iter().enumerate() {
        let part = search.within(1.0 / (layout.seasons.len() - place) as f64);
        let cycle = Cycle { search: &part, context: &context, unrolled: &unrolled, work: &work, share };
        let Some(found) = cycle.season(place)? else { return Ok(None) };
        running += found.a_week.0 as f64 * season.weeks as f64;
        after.batches += found.after.batches;
        after.waiting += found.after.waiting;
        after.leaving += found.after.leaving;
        after.turnaround += found.after.turnaround;
        seasons.push(found);
    }
    let bright_tanks = case.vessels.iter().filter(|vessel| vessel.is_bright_only()).count();
    Ok(Some(Built { seasons, running: Money(running.round() as i64), after, bright_tanks }))
}

/// The cycle of a layout that is built.
struct Cycle<'a> {
    search: &'a Search<'a>,
    context: &'a Context<'a>,
    unrolled: &'a Unrolled,
    work: &'a Folded,
    share: f64,
}

impl Cycle<'_> {
    /// Solves a season for the lowest cost, and among its plans for the fewest days in fermenters, and has it replayed; none if it does not meet the
    /// demand, or not in time.
    fn season(&self, season: usize) -> Result<Option<SeasonBuilt>, LayoutError> {
        let Self { search, context, unrolled, work, share } = *self;
        let layout = search.layout;
        let mut folded = work.clone();
        for (terms, wanted) in demand(context, unrolled, layout, season, &mut folded) {
            if terms.is_empty() && share > 0.0 {
                return Ok(None);
            }
            folded.program.at_least(RuleId::Orders, terms, wanted * share);
        }
        let options = search.again(1).within(0.6).left();
        let stop = Untold(search.observer);
        let values = match highs::solve(&folded.program, &options, 100.0, &stop) {
            Ok(solved) => solved.values,
            Err(HighsError::Infeasible) => None,
            Err(error) => return Err(error.into()),
        };
        let Some(values) = values else { return Ok(None) };
        let values = days::fewest(search, context, &folded, values)?;
        self.replayed(season, &folded, &values)
    }

    fn replayed(
        &self,
        season: usize,
        folded: &Folded,
        values: &[f64],
    ) -> Result<Option<SeasonBuilt>, LayoutError> {
        let Self { search, context, unrolled, share, .. } = *self;
        let layout = search.layout;
        let weeks = unrolled.days as i64 / 7;
        let asked = Demand::of(&unrolled.case, weeks);
        let replayed = replay(context, unrolled, &asked, folded, Some(values));
        if !replayed.kept.violations.is_empty() {
            return Err(RepeatError::Broken(replayed.kept.violations).into());
        }
        if !replayed.kept.repeats {
            return Err(RepeatError::DoesNotRepeat.into());
        }
        let packaged = &replayed.kept.packaged;
        let is_met = layout.seasons[season].demand.iter().all(|wanted| {
            let made = packaged.get(&(wanted.beer, wanted.format)).copied().unwrap_or_default();
            (made + TOLERANCE).0 as f64 >= (wanted.a_week.0 * weeks) as f64 * share
        });
        if !is_met {
            return Ok(None);
        }
        let first = Slot(replayed.case.calendar.planned_slots() - 2 * unrolled.cycle_slots());
        let cycle = first..Slot(first.0 + unrolled.cycle_slots());
        let wort = wort(&replayed.case, &replayed.plan, &cycle);
        let parts = replayed.kept.breakdown;
        let cost = parts.running_costs() + parts.last_resort + layout.wort.for_volume(wort);
        Ok(Some(SeasonBuilt {
            a_week: Money(cost.0 / weeks),
            packaged: packaged
                .iter()
                .filter(|(_, volume)| volume.0 > 0)
                .map(|(&(beer, format), volume)| (beer, format, Volume(volume.0 / weeks)))
                .collect(),
            wort: Volume(wort.0 / weeks),
            bright_fills: bright_fills(&replayed, &cycle),
            after: days::after(&replayed.case, &replayed.plan, &replayed.report, &cycle),
        }))
    }
}

fn wort(case: &Case, plan: &Plan, cycle: &Range<Slot>) -> Volume {
    let brewed = plan.tasks.iter().filter(|task| cycle.contains(&task.slot)).map(|task| match task.work {
        Work::Brew { beer, turns, part, .. } => case.wort_of(beer, turns, part),
        _ => Volume::ZERO,
    });
    brewed.sum()
}

fn bright_fills(replayed: &Replayed, cycle: &Range<Slot>) -> i64 {
    let is_fill = |work: &Work| match *work {
        Work::Transfer { to, .. } => replayed.case.vessel(to).is_bright_only(),
        _ => false,
    };
    let tasks = replayed.plan.tasks.iter();
    tasks.filter(|task| cycle.contains(&task.slot) && is_fill(&task.work)).count() as i64
}
