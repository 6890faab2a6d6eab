//! The repeating week: the output that can be kept up for ever.
//!
//! The same rules with time wrapped around a cycle of one or more weeks: no opening state, no dates; what leaves the last slot of the cycle
//! enters its first. The ordinary compiler writes the case unrolled over so many weeks that the middle is as it is for ever
//! (`unroll`), `fold` makes the cycle of it, and what comes out is unrolled again, decoded and replayed by the ordinary checker.

pub(crate) mod fold;
mod improve;
mod labels;
pub(crate) mod sales;
pub(crate) mod unroll;
mod vessels;

use std::collections::BTreeMap;
use std::ops::Range;
use std::time::Instant;

use cellarwright_checker::Report;
use cellarwright_checker::cycle::{self, Kept};
use cellarwright_model::case::{Case, Comes};
use cellarwright_model::demand::Demand;
use cellarwright_model::ids::LineId;
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Volume;
use cellarwright_model::violation::Violation;

use crate::answer::{NoObserver, Observer, Options, Proof, RuleSize, Size, Status, in_units};
use crate::compile::compile_repeating;
use crate::compile::context::Context;
use crate::compile::objective::{money_weight, scale, shown};
use crate::compile::without::{Part, Without};
use crate::decode::decode;
use crate::highs::{self, HighsError};
use crate::search;
use crate::solve::Scaled;
use fold::Folded;
use improve::Improving;
use unroll::{Unrolled, unroll};

pub use unroll::{left_out, refusals};

/// Weeks of a cycle at most.
pub const MOST_WEEKS: usize = 4;

/// What a repeating week cannot count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// Kegs that go round, or a keg washer.
    Kegs,
    /// A cold store with a limit.
    ColdStore,
    /// Stock that is to be kept.
    LeastStock,
    /// A mobile line that comes on dates, or every so many days that do not go into the cycle.
    MobileLine(LineId),
}

/// What a cycle leaves out because it has no dates and no day 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// Beer in tank on day 0, dirty and clean vessels.
    BeerInTank,
    /// Packaged beer on day 0.
    Stock,
    /// Yeast in store on day 0.
    YeastInStore,
    /// When orders are due.
    DueDates,
    /// Late, whole and fresh deliveries.
    TermsOfDelivery,
    /// Closed dates.
    ClosedDays,
    /// Days off and people absent.
    Absences,
    /// Outages and upkeep.
    Outages,
    /// Pinned work.
    Pins,
    /// Stock, deliveries, packs and least orders of materials.
    MaterialsByDate,
    /// Clock times: hours are counted in totals.
    ClockTimes,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum RepeatError {
    /// The case has what a repeating week cannot count.
    #[error("the brew plan has what a repeating week cannot count")]
    Refused(Vec<Refused>),
    /// A cycle has at least one week and at most `MOST_WEEKS`.
    #[error("a cycle of {0} weeks")]
    Weeks(usize),
    /// HiGHS or the way to it failed.
    #[error(transparent)]
    Highs(#[from] HighsError),
    /// A rule has rows that are not those of a cycle: a fault of this program.
    #[error("the rows of {0:?} cannot be wrapped around a cycle")]
    NotOfACycle(RuleId),
    /// The checker does not pass the plan: a fault of this program.
    #[error("the repeating week breaks {} of its own rules; it is not shown", .0.len())]
    Broken(Vec<Violation>),
    /// The plan is not the same in every repetition: a fault of this program.
    #[error("the repeating week does not repeat; it is not shown")]
    DoesNotRepeat,
}

/// What can be kept up for ever, and how good it is.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptUp {
    /// Weeks of the cycle.
    pub weeks: usize,
    /// How the search ended.
    pub status: Status,
    /// The case that was replayed: without dates, orders and opening state, as many days as the cycle needs to be as it is for ever, and two cycles.
    pub case: Case,
    /// The plan for all these days.
    pub plan: Plan,
    /// The checker's replay of all these days. What it finds before the two cycles is the start of the cellar, and no breach.
    pub report: Report,
    /// Days of `case` that show the cycle: the last ones.
    pub days: Range<usize>,
    /// What one cycle packages and what it is made of, as the checker counts it.
    pub kept: Kept,
    /// What is asked for in a cycle.
    pub demand: Demand,
    /// What of the brew plan it leaves out.
    pub left_out: Vec<LeftOut>,
    /// Objective of one cycle, recomputed by the checker: cents, or hundredths of a millilitre (`Breakdown::objective`).
    pub objective: i64,
    /// Proven bound on the objective of one cycle, in the same unit, rounded up. No cycle of so many weeks is better.
    pub bound: i64,
    /// Proven bound on the objective of a week, in the same unit: no cycle of any length is worth more a week, for taken in fractions the best
    /// week is as good as any mixture of weeks. None where weeks differ (a mobile line), or where there was no time.
    pub for_ever: Option<i64>,
    /// `bound - objective` over the objective's size.
    pub gap: f64,
    /// Seconds from start to end.
    pub seconds: f64,
    /// Size of the program of the cycle.
    pub size: Size,
    /// The same by the rule that wrote the rows.
    pub by_rule: BTreeMap<RuleId, RuleSize>,
}

/// Finds the best cycle of so many weeks within the time and gap asked for.
///
/// # Errors
/// If the case has what a repeating week cannot count (`refusals`), if the weeks are none or too many, if HiGHS fails, or if the checker
/// finds that the plan breaks a rule or does not repeat.
pub fn keep_up(
    case: &Case,
    weeks: usize,
    options: &Options,
    observer: &dyn Observer,
) -> Result<KeptUp, RepeatError> {
    let started = Instant::now();
    if weeks == 0 || weeks > MOST_WEEKS {
        return Err(RepeatError::Weeks(weeks));
    }
    let refused = refusals(case, weeks);
    if !refused.is_empty() {
        return Err(RepeatError::Refused(refused));
    }
    let unrolled = unroll(case, weeks);
    let demand = Demand::of(case, weeks as i64);
    let context = compile_repeating(&unrolled.case, &Without::default());
    let folded = folded_of(&context, &unrolled, &demand)?;
    let to_units = scale(&case.aim);
    let scaled = Scaled { inner: observer, factor: shown(&case.aim), held: std::sync::Mutex::default() };
    let left =
        |started: Instant| Options { seconds: options.seconds - started.elapsed().as_secs_f64(), ..*options };
    let a_week = (weeks > 1).then(|| (unroll(case, 1), Demand::of(case, 1)));
    let week = match &a_week {
        Some((unrolled, demand)) if comes_every_week(case) => {
            let context = compile_repeating(&unrolled.case, &Without::default());
            Some(folded_of(&context, unrolled, demand)?)
        }
        _ => None,
    };
    let for_ever = match &week {
        Some(week) => search::relaxed(&week.program, &left(started), to_units)?,
        None if weeks == 1 && comes_every_week(case) => {
            search::relaxed(&folded.program, &left(started), to_units)?
        }
        None => None,
    };
    let mut first = left(started);
    first.seconds *= SHARE_OF_WHOLE;
    let mut solved = highs::solve(&folded.program, &first, to_units, &scaled)?;
    if !solved.is_complete && !observer.stop() {
        let beers = improve::beers(&context, &folded);
        let improving = Improving {
            program: &folded.program,
            beers: &beers,
            options: *options,
            started,
            to_units,
            observer: &scaled,
        };
        solved.values = better(&improving, &folded, week.as_ref(), solved.values)?;
    }
    let Replayed { case: replayed, plan, report, kept } =
        replay(&context, &unrolled, &demand, &folded, solved.values.as_deref());
    if !kept.violations.is_empty() {
        return Err(RepeatError::Broken(kept.violations));
    }
    if !kept.repeats {
        return Err(RepeatError::DoesNotRepeat);
    }
    let days = unrolled.first_day + unrolled.days..unrolled.first_day + 2 * unrolled.days;
    let objective = kept.breakdown.objective(&case.aim);
    let bound = in_units(solved.bound, to_units);
    let bound = for_ever.map_or(bound, |a_week| bound.min(a_week.saturating_mul(weeks as i64)));
    let Proof { bound, gap, status } = Proof::new(objective, bound, to_units, solved.is_complete);
    let seconds = started.elapsed().as_secs_f64();
    let (size, by_rule) = (folded.program.size(), folded.program.size_by_rule());
    Ok(KeptUp {
        weeks,
        status,
        case: replayed,
        plan,
        report,
        days,
        kept,
        demand,
        left_out: left_out(case),
        objective,
        bound,
        for_ever,
        gap,
        seconds,
        size,
        by_rule,
    })
}

/// Share of the time for the search as a whole; the rest goes to a better cycle, a few beers at a time.
const SHARE_OF_WHOLE: f64 = 0.5;

/// A better point than the one found, if there was one: from it, or from the best week done over and over.
fn better(
    improving: &Improving,
    folded: &Folded,
    week: Option<&Folded>,
    found: Option<Vec<f64>>,
) -> Result<Option<Vec<f64>>, RepeatError> {
    let mut starts: Vec<Vec<f64>> = found.into_iter().collect();
    if let Some(week) = week {
        let left = improving.options.seconds - improving.started.elapsed().as_secs_f64();
        let options = Options { seconds: left / 3.0, ..improving.options };
        let solved = highs::solve(&week.program, &options, improving.to_units, &NoObserver)?;
        let again = solved.values.map(|values| folded.again(week, &values));
        if let Some(values) = again {
            starts.extend(improving.finished(&values)?);
        }
    }
    let worth = |values: &Vec<f64>| improving.program.objective(values);
    match starts.into_iter().max_by(|one, other| worth(one).total_cmp(&worth(other))) {
        Some(start) => Ok(Some(improving.improved(start)?)),
        None => Ok(None),
    }
}

/// A cycle played again and again, from an empty cellar on.
pub(crate) struct Replayed {
    pub case: Case,
    pub plan: Plan,
    pub report: Report,
    pub kept: Kept,
}

/// Unrolls a point of the program of a cycle and has it replayed; nothing is done where there is no point.
pub(crate) fn replay(
    context: &Context,
    unrolled: &Unrolled,
    demand: &Demand,
    folded: &Folded,
    values: Option<&[f64]>,
) -> Replayed {
    let case = unrolled.replayed();
    let plan = values
        .map_or_else(Plan::default, |values| cycle::until(&decode(context, &folded.unfolded(values)), &case));
    let (report, kept) = cycle::check(&case, &plan, demand, unrolled.days);
    Replayed { case, plan, report, kept }
}

/// A cycle with one rule left out of the program, as the checker sees it, for tests of the checker.
///
/// # Errors
/// If HiGHS fails.
#[doc(hidden)]
pub fn keep_up_without(
    case: &Case,
    weeks: usize,
    rule: RuleId,
    options: &Options,
) -> Result<Kept, RepeatError> {
    let unrolled = unroll(case, weeks);
    let demand = Demand::of(case, weeks as i64);
    let context = compile_repeating(&unrolled.case, &[Part::whole(rule)].into_iter().collect());
    let folded = folded_of(&context, &unrolled, &demand)?;
    let solved = highs::solve(&folded.program, options, scale(&case.aim), &NoObserver)?;
    Ok(replay(&context, &unrolled, &demand, &folded, solved.values.as_deref()).kept)
}

/// Whether the cycle is the same whichever repetition it is folded from, as it has to be: for tests of the compiler.
///
/// # Errors
/// If a rule has rows that are not those of a cycle.
#[doc(hidden)]
pub fn is_same_in_every_repetition(case: &Case, weeks: usize) -> Result<bool, RepeatError> {
    let unrolled = unroll(case, weeks);
    let context = compile_repeating(&unrolled.case, &Without::default());
    let known = labels::labels(&context);
    let from = unrolled.first_slot();
    let folded = fold::fold(&context, &unrolled, &known, from)?;
    let later = fold::fold(&context, &unrolled, &known, from + unrolled.cycle_slots())?;
    Ok(fold::is_alike(&known, &folded, &later))
}

/// The rows and costs of a cycle, without what it sells.
pub(crate) fn work_of(context: &Context, unrolled: &Unrolled) -> Result<Folded, RepeatError> {
    let known = labels::labels(context);
    let from = unrolled.first_slot();
    let mut folded = fold::fold(context, unrolled, &known, from)?;
    if context.keeps(RuleId::Start) {
        vessels::add(context, unrolled, &mut folded);
    }
    Ok(folded)
}

/// The program of a cycle.
fn folded_of(context: &Context, unrolled: &Unrolled, demand: &Demand) -> Result<Folded, RepeatError> {
    let mut folded = work_of(context, unrolled)?;
    let from = unrolled.first_slot();
    sales::add(context, &mut folded, demand, from, from + unrolled.cycle_slots());
    folded.program.constant = dry_taps(unrolled);
    Ok(folded)
}

/// A bound on the objective of a cycle of so many weeks for which nothing need be whole: of a week, done over and over, where weeks are alike. None if
/// there was no time for it.
///
/// # Errors
/// As `keep_up`.
pub(crate) fn bound_in_fractions(
    case: &Case,
    weeks: usize,
    options: &Options,
) -> Result<Option<i64>, RepeatError> {
    let folds = if comes_every_week(case) { 1 } else { weeks };
    let (unrolled, demand) = (unroll(case, folds), Demand::of(case, folds as i64));
    let context = compile_repeating(&unrolled.case, &Without::default());
    let folded = folded_of(&context, &unrolled, &demand)?;
    let bound = search::relaxed(&folded.program, options, scale(&case.aim))?;
    Ok(bound.map(|bound| bound.saturating_mul((weeks / folds) as i64)))
}

/// The cycle of one case, judged in another: its days and its worth there, if it keeps every rule and repeats.
pub(crate) fn again(case: &Case, kept: &KeptUp) -> Option<(Case, Kept)> {
    let unrolled = unroll(case, kept.weeks);
    let judged = unrolled.replayed();
    if judged.calendar.planned_days != kept.case.calendar.planned_days {
        return None;
    }
    let (_, found) = cycle::check(&judged, &kept.plan, &Demand::of(case, kept.weeks as i64), unrolled.days);
    (found.violations.is_empty() && found.repeats).then_some((judged, found))
}

/// Whether every week has the same calendar.
pub(crate) fn comes_every_week(case: &Case) -> bool {
    let every_week = |comes: &Comes| matches!(comes, Comes::Always | Comes::Every { days: 7 | 1, .. });
    case.lines.iter().all(|line| every_week(&line.comes))
}

/// What guests ask for in a cycle, as far as a dry tap costs: the pours have it back.
fn dry_taps(unrolled: &Unrolled) -> f64 {
    let case = &unrolled.case;
    let days = unrolled.first_day..unrolled.first_day + unrolled.days;
    let asked = |day: usize| -> Volume {
        case.taproom.pours.iter().map(|tap| case.asked(tap.beer, day as i64)).sum()
    };
    let asked: f64 = days.map(|day| asked(day).hectolitres()).sum();
    -asked * case.rates.dry_tap.units() * money_weight(&case.aim)
}
