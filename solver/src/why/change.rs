//! With what orders that no plan fills could be filled: the smallest change of each kind, each by itself, each confirmed by a plan.
//!
//! Hours of a crew on a day: the least is the optimum of a program in which its overtime then is paid for and nothing else is. Days, of orders
//! due later or beer in tank ready earlier: one more until there is a plan. Resources: one unit more of each (`model::lever`). That
//! fewer do not do is proven by the same programs. A plan of the changed case must pass the checker and fill the orders, or the change is
//! not named.

use std::cmp::Reverse;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Cost};
use cellarwright_model::ids::{CrewId, OrderId};
use cellarwright_model::lever::{self, Lever, levers, longer, usual_overtime};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{MINUTES_PER_DAY, Minutes, Money};

use super::trial::{Point, Trial, filled, is_plan};
use super::{Member, Part, Step, Steps, Subject, What};
use crate::compile::without::Without;
use crate::decode::decode;
use crate::side_by_side;
use crate::solve::SolveError;

/// Days that orders may be due later, or beer may be ready earlier, at most.
pub const MOST_DAYS: i64 = 7;
/// What a crew may be asked to stay longer at most.
pub const MOST_LONGER: Minutes = Minutes(4 * 60);
/// Minutes that a crew is asked to stay longer than the program says before it is given up: plans are in whole minutes and millilitres.
const ROUNDING: i64 = 2;
/// The least time is found to a tenth of a minute.
const TENTHS: f64 = 600.0;

/// A change of a case.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// The people of a crew stay longer after a shift than they may as it is. Where their overtime of a week has a limit, this is all
    /// their overtime in this slot and does not count for the week.
    Longer {
        /// The crew.
        crew: CrewId,
        /// The slot.
        slot: Slot,
        /// How long.
        time: Minutes,
    },
    /// Orders are due so many days later.
    Later {
        /// The orders.
        orders: Vec<OrderId>,
        /// Days.
        days: i64,
    },
    /// Beer in tank is ready so many days earlier.
    ReadyEarlier {
        /// A position in `Case::in_tank`.
        in_tank: usize,
        /// Days.
        days: i64,
    },
    /// One unit more of a resource.
    More(Lever),
}

/// A change with which the orders can be filled: a plan of the changed case was found, and the checker passes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Enough {
    /// The change.
    pub change: Change,
    /// A minute or a day less is proven not to do. (Less than one unit is nothing, which does not do.)
    pub is_least: bool,
    /// What it costs, as far as that is known.
    pub price: Cost,
}

/// Changes that were tried.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Those with which the orders can be filled: by price, then those without one.
    pub enough: Vec<Enough>,
    /// Those that are proven not to be enough by themselves, with the most of each that was tried.
    pub not_enough: Vec<Change>,
    /// Those that were not settled in time, with the most of each that was to be tried.
    pub open: Vec<Change>,
}

/// A case with a change; none where it makes no sense. Days up to which orders of the planned days are due later are planned in full.
#[must_use]
pub fn with(case: &Case, change: &Change) -> Option<Case> {
    let mut changed = case.clone();
    match change {
        Change::Longer { crew, slot, time } => {
            return longer(case, *crew, *slot, usual_overtime(case, *crew) + *time)
                .map(|(changed, _)| changed);
        }
        Change::Later { orders, days } => {
            let planned = case.calendar.planned_days as i64;
            let is_near = orders.iter().all(|&order| case.order(order).due <= planned);
            for &order in orders {
                changed.orders[order.0].due += days;
            }
            // A coarse period counts its beer from its first day on: an order that moves into one would be filled too soon.
            let due = orders.iter().map(|&order| changed.order(order).due).max()?;
            if is_near && due > planned {
                let more = usize::try_from(due - planned).ok()?;
                changed.calendar.planned_days += more;
                changed.calendar.look_ahead_days = changed.calendar.look_ahead_days.checked_sub(more)?;
            }
        }
        Change::ReadyEarlier { in_tank, days } => changed.in_tank[*in_tank].ready -= days,
        Change::More(lever) => return lever::with(case, &[*lever]),
    }
    Some(changed)
}

impl Change {
    /// What it costs, as far as that is known: of hours the labour and the overtime of all who stay.
    #[must_use]
    pub fn price(&self, case: &Case) -> Cost {
        match self {
            Self::Longer { crew, slot, time } => {
                let overtime = case.crew(*crew).overtime.map_or(Money::ZERO, |limit| limit.cost);
                let an_hour = Money((case.rates.labour + overtime).0 * case.crew_people(*crew, *slot));
                let known = (an_hour > Money::ZERO).then(|| an_hour.for_time(*time));
                Cost { once: known, a_week: None }
            }
            Self::Later { .. } | Self::ReadyEarlier { .. } => Cost::default(),
            Self::More(lever) => lever.price(case),
        }
    }

    /// Rules that it may help against, and what they are then about; none where that is all the same.
    fn helps(&self) -> (&'static [RuleId], Option<Subject>) {
        match *self {
            Self::Longer { crew, .. }
            | Self::More(Lever::Person { crew, .. } | Lever::Hour { crew } | Lever::SecondShift { crew }) => {
                (&[RuleId::Crew], Some(Subject::Crew(crew)))
            }
            Self::Later { .. } => (&[RuleId::Orders], None),
            Self::ReadyEarlier { in_tank, .. } => (&[RuleId::Ready], Some(Subject::InTank(in_tank))),
            Self::More(Lever::Stay { beer }) => (&[RuleId::Ready], Some(Subject::Beer(beer))),
            Self::More(Lever::Wait { beer }) => (&[RuleId::Wait], Some(Subject::Beer(beer))),
            Self::More(Lever::Vessel { like } | Lever::FirstBright { like }) => {
                (&[RuleId::OneBatch], Some(Subject::Vessels(like)))
            }
            Self::More(Lever::Turn) => (&[RuleId::Turns], None),
            Self::More(Lever::CleaningSet) => (&[RuleId::Clean], None),
            Self::More(Lever::Rating { .. } | Lever::Pump { .. }) => (&[RuleId::Pressure], None),
        }
    }

    /// Whether something that forbids the orders suggests it.
    fn is_suggested(&self, case: &Case, members: &[Member]) -> bool {
        let (rules, subject) = self.helps();
        let is_meant = |part: Part| {
            let is_about = subject.is_none() || part.of.is_none() || part.of == subject;
            let is_then = match *self {
                Self::Longer { slot, .. } => part
                    .days
                    .is_none_or(|(first, last)| (first..=last).contains(&(case.calendar.day(slot) as i64))),
                Self::Later { .. } | Self::ReadyEarlier { .. } | Self::More(_) => true,
            };
            rules.contains(&part.rule) && is_about && is_then
        };
        members.iter().any(|member| matches!(member.what, What::Rule(part) if is_meant(part)))
    }
}

/// Tries every kind of change: what the things that forbid it suggest first.
///
/// # Errors
/// If HiGHS fails.
pub fn find(
    trial: &Trial,
    asked: &[OrderId],
    members: &[Member],
    steps: &dyn Steps,
) -> Result<Changes, SolveError> {
    let case = trial.case;
    let mut all = candidates(case, asked);
    all.sort_by_key(|change| Reverse(change.is_suggested(case, members)));
    let done = AtomicUsize::new(0);
    steps.at(Step::Changes { done: 0, of: all.len() });
    let stop = || steps.stop();
    let tried =
        side_by_side::each_in_time(&all, trial.options.workers(), trial.until, &stop, |change, seconds| {
            let trial = Trial { until: Instant::now() + Duration::from_secs_f64(seconds), ..*trial };
            let tried = Attempt { trial: &trial, asked }.settle(change);
            steps.at(Step::Changes { done: done.fetch_add(1, Ordering::Relaxed) + 1, of: all.len() });
            tried
        });
    let mut changes = Changes::default();
    for (change, tried) in all.into_iter().zip(tried) {
        match tried.unwrap_or(Ok(Tried::Open))? {
            Tried::Enough(change, is_least) => {
                let price = change.price(case);
                changes.enough.push(Enough { change, is_least, price });
            }
            Tried::NotEnough => changes.not_enough.push(change),
            Tried::Open => changes.open.push(change),
        }
    }
    changes.enough.sort_by_key(|enough| rank(case, enough));
    Ok(changes)
}

/// By what is paid in the planned days, then what has no price: days, the fewest first, then units of resources.
fn rank(case: &Case, enough: &Enough) -> (bool, i64) {
    let weeks = case.calendar.planned_days.div_ceil(7) as i64;
    if enough.price != Cost::default() {
        let once = enough.price.once.unwrap_or_default();
        return (false, once.0 + enough.price.a_week.unwrap_or_default().0 * weeks);
    }
    let days = match enough.change {
        Change::Longer { .. } => 0,
        Change::Later { days, .. } | Change::ReadyEarlier { days, .. } => days,
        Change::More(Lever::Stay { .. } | Lever::Wait { .. }) => MOST_DAYS + 1,
        Change::More(_) => MOST_DAYS + 2,
    };
    (true, days)
}

/// What may be changed, with the most of it that is tried.
fn candidates(case: &Case, asked: &[OrderId]) -> Vec<Change> {
    let calendar = &case.calendar;
    let last_due = asked.iter().map(|&order| case.order(order).due).max().unwrap_or(0);
    let mut all = Vec::new();
    let workers = case.crew_ids().filter(|&crew| !case.crew(crew).check_only);
    for crew in workers {
        let room = Minutes(MINUTES_PER_DAY) - case.crew(crew).hours - usual_overtime(case, crew);
        let time = MOST_LONGER.min(room);
        let slots = (0..calendar.planned_slots()).map(Slot);
        let slots = slots.filter(|&slot| {
            (calendar.day(slot) as i64) < last_due.max(1) && case.crew_people(crew, slot) > 0
        });
        all.extend(slots.filter(|_| time > Minutes::ZERO).map(|slot| Change::Longer { crew, slot, time }));
    }
    let days_of = |orders: &[OrderId]| {
        let left = orders.iter().map(|&order| calendar.days() as i64 - case.order(order).due);
        left.min().unwrap_or(0).min(MOST_DAYS)
    };
    let mut later: Vec<Vec<OrderId>> = asked.iter().map(|&order| vec![order]).collect();
    if asked.len() > 1 {
        later.push(asked.to_vec());
    }
    let later = later.into_iter().map(|orders| Change::Later { days: days_of(&orders), orders });
    all.extend(later.filter(|change| !matches!(change, Change::Later { days: ..1, .. })));
    let ripens = |&position: &usize| {
        let tank = &case.in_tank[position];
        let is_asked = asked.iter().any(|&order| case.order(order).beer == tank.beer);
        is_asked && !tank.is_bright && tank.ready > 0
    };
    let ripening = (0..case.in_tank.len()).filter(ripens);
    all.extend(
        ripening.map(|in_tank| Change::ReadyEarlier {
            in_tank,
            days: MOST_DAYS.min(case.in_tank[in_tank].ready),
        }),
    );
    all.extend(levers(case).into_iter().map(Change::More));
    all
}

/// What came of a change.
enum Tried {
    /// So much does, and whether it is the least.
    Enough(Change, bool),
    NotEnough,
    Open,
}

/// One change that is tried.
struct Attempt<'a> {
    trial: &'a Trial<'a>,
    asked: &'a [OrderId],
}

impl Attempt<'_> {
    /// The least of a change that does, where the most does.
    fn settle(&self, most: &Change) -> Result<Tried, SolveError> {
        match most {
            Change::Longer { crew, slot, time } => self.least_time(*crew, *slot, *time),
            Change::Later { orders, days } => {
                self.fewest_days(*days, |days| Change::Later { orders: orders.clone(), days })
            }
            Change::ReadyEarlier { in_tank, days } => {
                self.fewest_days(*days, |days| Change::ReadyEarlier { in_tank: *in_tank, days })
            }
            Change::More(_) => Ok(match self.does(most)? {
                Some(true) => Tried::Enough(most.clone(), true),
                Some(false) => Tried::NotEnough,
                None => Tried::Open,
            }),
        }
    }

    /// Whether there is a plan with a change; none if that is not known in time.
    fn does(&self, change: &Change) -> Result<Option<bool>, SolveError> {
        match with(self.trial.case, change) {
            Some(case) => self.trial.has_plan(&case, self.asked),
            None => Ok(Some(false)),
        }
    }

    fn fewest_days(&self, most: i64, change: impl Fn(i64) -> Change) -> Result<Tried, SolveError> {
        let mut is_proven = true;
        for days in 1..=most {
            match self.does(&change(days))? {
                Some(true) => return Ok(Tried::Enough(change(days), is_proven)),
                Some(false) => {}
                None => is_proven = false,
            }
        }
        Ok(if is_proven { Tried::NotEnough } else { Tried::Open })
    }

    fn least_time(&self, crew: CrewId, slot: Slot, most: Minutes) -> Result<Tried, SolveError> {
        let usual = usual_overtime(self.trial.case, crew);
        let Some((case, apart)) = longer(self.trial.case, crew, slot, usual + most) else {
            return Ok(Tried::NotEnough);
        };
        let Some(mut context) = filled(&case, &Without::default(), self.asked) else {
            return Ok(Tried::NotEnough);
        };
        let Some(&overtime) = context.columns.overtime.get(&(apart, slot.0)) else {
            return Ok(Tried::NotEnough);
        };
        let beyond = context.program.column(0.0, f64::INFINITY, false);
        context.program.earn(beyond, -1.0);
        context.program.at_most(RuleId::Crew, vec![(overtime, 1.0), (beyond, -1.0)], usual.hours());
        let found = match self.trial.point(&context.program, 0.0, TENTHS)? {
            Point::None => return Ok(Tried::NotEnough),
            Point::Unknown => return Ok(Tried::Open),
            Point::At(found) => found,
        };
        let minutes = |hours: f64| (hours * 60.0 - 1e-3).ceil() as i64;
        let needed = minutes(found.values[beyond.0]).max(1);
        let mut is_least = found.bound.is_finite() && minutes(-found.bound) >= needed;
        let plan = decode(&context, &found.values);
        for time in needed..=(needed + ROUNDING).min(most.0) {
            let change = Change::Longer { crew, slot, time: Minutes(time) };
            let Some(case) = with(self.trial.case, &change) else { break };
            if is_plan(&case, &plan, self.asked) {
                return Ok(Tried::Enough(change, is_least));
            }
            match self.trial.has_plan(&case, self.asked)? {
                Some(true) => return Ok(Tried::Enough(change, is_least)),
                Some(false) => {}
                None => is_least = false,
            }
        }
        Ok(Tried::Open)
    }
}
