//! The time grid of the program: slots while the plan is made in full, half weeks in the look-ahead.
//!
//! A period is a run of slots. In the planned days each period is one slot, so the program is exact there.
//! In the first two weeks of the look-ahead a period reaches from Monday to Wednesday or from Thursday to Sunday, later from
//! Monday to Sunday: something may happen in a pair of periods if it may happen in one pair of their slots, and resources
//! are added up over the period.

use std::ops::Range;

use cellarwright_model::calendar::{Calendar, Slot};

/// Days of the look-ahead that are divided into half weeks; whole weeks follow. Measured on the main case: half weeks all
/// through take some three times as long for a bound that is 2 % lower.
const DAYS_IN_HALF_WEEKS: usize = 14;

/// Position of a period in the grid.
pub type PeriodId = usize;

/// A run of slots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Period {
    slots: Range<usize>,
    /// First day.
    pub first_day: i64,
    /// Last day, included.
    pub last_day: i64,
    /// One slot of the planned days.
    pub is_fine: bool,
}

/// All periods of the horizon in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grid {
    periods: Vec<Period>,
    half_weeks: Range<PeriodId>,
}

impl Grid {
    /// The grid of a calendar.
    pub fn new(calendar: &Calendar) -> Self {
        let mut periods = Vec::new();
        for slot in 0..calendar.planned_slots() {
            let day = calendar.day(Slot(slot)) as i64;
            periods.push(Period { slots: slot..slot + 1, first_day: day, last_day: day, is_fine: true });
        }
        let mut first = calendar.planned_days;
        for day in calendar.planned_days..calendar.days() {
            let next = day + 1;
            let weekday = calendar.date(next as i64).weekday().to_monday_zero_offset();
            let is_half = weekday == 3 && next < calendar.planned_days + DAYS_IN_HALF_WEEKS;
            if next == calendar.days() || weekday == 0 || is_half {
                let slots = calendar.slot(first, 0).0..calendar.slot(next, 0).0;
                periods.push(Period { slots, first_day: first as i64, last_day: day as i64, is_fine: false });
                first = next;
            }
        }
        let end = (calendar.planned_days + DAYS_IN_HALF_WEEKS) as i64;
        let begun_by = periods.iter().filter(|period| period.first_day < end).count();
        Self { periods, half_weeks: calendar.planned_slots()..begun_by }
    }

    /// Number of periods.
    pub fn len(&self) -> usize {
        self.periods.len()
    }

    /// The period at a position.
    pub fn period(&self, id: PeriodId) -> &Period {
        &self.periods[id]
    }

    /// Whether a period is one slot of the planned days.
    pub fn is_fine(&self, id: PeriodId) -> bool {
        self.periods[id].is_fine
    }

    /// The half weeks of the look-ahead.
    pub fn half_weeks(&self) -> Range<PeriodId> {
        self.half_weeks.clone()
    }

    /// Slots of a period.
    pub fn slots(&self, id: PeriodId) -> impl Iterator<Item = Slot> + use<> {
        self.periods[id].slots.clone().map(Slot)
    }

    /// Number of fine periods, which come first and are numbered like their slots.
    pub fn fine(&self) -> usize {
        self.periods.iter().filter(|period| period.is_fine).count()
    }
}
