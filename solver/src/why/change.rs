//! Changes of a case that might let orders be filled: hours, days, and one unit more of a resource.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Cost};
use cellarwright_model::ids::{CrewId, OrderId};
use cellarwright_model::lever::{self, Lever, levers, longer, usual_overtime};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{MINUTES_PER_DAY, Minutes, Money};

use super::{Member, Part, Subject, What};

/// Days that orders may be due later, or beer may be ready earlier, at most.
pub const MOST_DAYS: i64 = 7;
/// What a crew may be asked to stay longer at most.
pub const MOST_LONGER: Minutes = Minutes(4 * 60);

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
    pub fn is_suggested(&self, case: &Case, members: &[Member]) -> bool {
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

/// What may be changed, with the most of it that is tried.
pub fn candidates(case: &Case, asked: &[OrderId]) -> Vec<Change> {
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
