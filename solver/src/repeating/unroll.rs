//! A case without its dates, over so many days that in the middle of them a cycle is as it is for ever.
//!
//! What comes before the cycle that is looked at is long enough for everything that reaches into it, what comes after it for
//! everything that reaches out of it. So the ordinary compiler writes the cycle with all that is wrapped around it, and `fold` makes one of
//! what is the same in every repetition.

use std::collections::BTreeSet;

use cellarwright_model::case::{Case, Comes, Fixed};

use super::{LeftOut, Refused};

/// Days in a week.
const WEEK: i64 = 7;
/// Days by which stages, packaging over a weekend and turns that are spread reach beyond a stay.
const MARGIN: i64 = 12;

/// A case that repeats.
#[derive(Clone, Debug)]
pub struct Unrolled {
    /// Without dates, orders and opening state; its planned days are all that is compiled.
    pub case: Case,
    /// First day of the cycle that is looked at.
    pub first_day: usize,
    /// Days of a cycle.
    pub days: usize,
    /// Days that anything reaches at most, from its beginning to its end.
    pub reach: usize,
}

impl Unrolled {
    /// Slots of a cycle.
    #[must_use]
    pub fn cycle_slots(&self) -> usize {
        self.days * self.case.calendar.shifts.len()
    }

    /// First slot of the cycle that is looked at.
    #[must_use]
    pub fn first_slot(&self) -> usize {
        self.first_day * self.case.calendar.shifts.len()
    }

    /// The same case, planned for two cycles from the first day on: what is replayed.
    #[must_use]
    pub fn replayed(&self) -> Case {
        let mut case = self.case.clone();
        case.calendar.planned_days = self.first_day + 2 * self.days;
        case
    }
}

/// What a repeating week cannot count, each once.
#[must_use]
pub fn refusals(case: &Case, weeks: usize) -> Vec<Refused> {
    let mut found = Vec::new();
    let mut add = |is_there: bool, refused| {
        if is_there {
            found.push(refused);
        }
    };
    add(!case.kegs.is_empty() || case.keg_washer.is_some(), Refused::Kegs);
    add(case.cold_store.is_some(), Refused::ColdStore);
    add(!case.keep.is_empty(), Refused::LeastStock);
    for (place, line) in case.lines.iter().enumerate() {
        let fits = match line.comes {
            Comes::Always => true,
            Comes::On(_) => false,
            Comes::Every { days, .. } => (weeks as i64 * WEEK) % days.max(1) == 0,
        };
        add(!fits, Refused::MobileLine(cellarwright_model::ids::LineId(place)));
    }
    found
}

/// What a cycle leaves out because it has no dates and no day 0, each once.
#[must_use]
pub fn left_out(case: &Case) -> Vec<LeftOut> {
    let has_dates = !case.calendar.closed.is_empty() || !case.taproom.closed.is_empty();
    let is_absent = case.crews.iter().any(|crew| !crew.off.is_empty() || !crew.absent.is_empty());
    let is_timed = case.beers.iter().any(|beer| beer.fresh.is_some())
        || case.orders.iter().any(|order| order.whole || order.fresh.is_some() || order.late.is_some());
    let has_limits = case.materials.iter().any(|material| {
        material.in_stock > 0
            || material.least_order > 0
            || material.pack.is_some()
            || !material.deliveries.is_empty()
    });
    let all = [
        (!case.in_tank.is_empty() || !case.dirty.is_empty(), LeftOut::BeerInTank),
        (!case.stock.is_empty(), LeftOut::Stock),
        (!case.yeast.in_store.is_empty(), LeftOut::YeastInStore),
        (!case.orders.is_empty(), LeftOut::DueDates),
        (is_timed, LeftOut::TermsOfDelivery),
        (has_dates, LeftOut::ClosedDays),
        (is_absent, LeftOut::Absences),
        (!case.fixed.outages.is_empty(), LeftOut::Outages),
        (!case.fixed.pins.is_empty(), LeftOut::Pins),
        (has_limits, LeftOut::MaterialsByDate),
        (case.clock_times, LeftOut::ClockTimes),
    ];
    all.into_iter().filter(|(is_there, _)| *is_there).map(|(_, left_out)| left_out).collect()
}

/// Takes dates, orders and opening state out of a case and repeats its weeks; `weeks` is 1 or more.
#[must_use]
pub fn unroll(case: &Case, weeks: usize) -> Unrolled {
    let mut case = case.clone();
    let days = weeks as i64 * WEEK;
    case.calendar.starts = case.calendar.date(case.calendar.monday(0));
    case.calendar.look_ahead_days = 0;
    case.calendar.closed = BTreeSet::new();
    case.clock_times = false;
    case.orders = Vec::new();
    case.stock = Vec::new();
    case.in_tank = Vec::new();
    case.dirty = Vec::new();
    case.since_full.clear();
    case.fixed = Fixed::default();
    case.taproom.closed = BTreeSet::new();
    case.materials = Vec::new();
    case.yeast.in_store = Vec::new();
    case.yeast.in_tank = Vec::new();
    for strain in &mut case.yeast.strains {
        if let Some(bought) = &mut strain.bought {
            bought.lead = 0;
        }
    }
    for crew in &mut case.crews {
        crew.off = Vec::new();
        crew.absent = Vec::new();
    }
    let reach = limit_stays(&mut case, days);
    let first_day = (reach + WEEK - 1) / WEEK * WEEK + 2 * WEEK;
    for line in &mut case.lines {
        if let Comes::Every { from, days } = &mut line.comes {
            // As if it had always come.
            let first = case.calendar.day_of(*from);
            *from = case.calendar.date(first - (first.max(0) / *days + 1) * *days);
        }
    }
    case.calendar.planned_days = (first_day + (2 * days).max(days + reach) + reach) as usize;
    Unrolled { case, first_day: first_day as usize, days: days as usize, reach: reach as usize }
}

/// Limits stays to those that can be worth anything, and says how many days the longest of them takes: beer that waits for a whole
/// cycle might have been brewed a cycle later, with the same work on the same days of the cycle and a vessel free for longer.
fn limit_stays(case: &mut Case, cycle: i64) -> i64 {
    let crops = case.yeast.strains.iter().filter_map(|strain| strain.crop).map(|crop| crop.to);
    let last_crop = crops.max().unwrap_or(0);
    let mut longest = case.yeast.strains.iter().map(|strain| strain.keeps_at_most).max().unwrap_or(0);
    for beer in &mut case.beers {
        let slips: i64 = beer.tank_work.iter().map(|piece| piece.slip).sum();
        beer.must_leave = beer.must_leave.min((beer.stay_days() + slips).max(last_crop) + cycle);
        longest = longest.max(beer.must_leave).max(beer.bright_must_leave);
    }
    longest.max(case.taproom.pours.iter().map(|tap| tap.pour_within).max().unwrap_or(0)) + MARGIN
}
