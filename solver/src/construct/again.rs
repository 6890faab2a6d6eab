//! The best plan by hand made again and again with something done otherwise: what it missed has its turn sooner, a beer goes before others or
//! after them, or the style is another. What is better is kept.
//!
//! Making a plan anew by what the last one missed is known as squeaky wheel optimisation (Joslin and Clements 1999, doi 10.1613/jair.561; from
//! memory).

use cellarwright_checker::Report;
use cellarwright_model::case::Case;
use cellarwright_model::ids::BeerId;
use cellarwright_model::plan::Plan;
use cellarwright_model::random::millionths;
use cellarwright_model::tolerance::VOLUME;

use super::{Manner, Style};

/// Seed of what is done otherwise.
const SEED: u64 = 1;
/// Share of what was missed that has its turn sooner, in millionths: one of these.
const SOONER: [i64; 3] = [100_000, 300_000, 600_000];
/// Share of what was not missed that has another turn, in millionths: one of these.
const OTHER: [i64; 3] = [0, 0, 30_000];
/// Days at most by which what was missed has its turn sooner, what was not has it sooner or later, and a beer goes before others or after them.
const DAYS: i64 = 6;
const DAYS_OF_OTHERS: i64 = 4;
const DAYS_OF_A_BEER: i64 = 7;
/// Days ahead of what is short that are brewed for, from the fewest to the most.
const AHEAD: std::ops::Range<i64> = 3..29;
/// What would be left in a tank and is packaged with the rest, if it is less than this.
const RESTS: [i64; 5] = [0, 300_000, 1_000_000, 3_000_000, 10_000_000];

/// Numbers that look random, the same for the same step.
struct Draws {
    step: u64,
    drawn: u64,
}

impl Draws {
    /// A number from 0 to less than `most`.
    fn below(&mut self, most: i64) -> i64 {
        self.drawn += 1;
        millionths(SEED, [self.step, self.drawn, 0, 0]) * most / 1_000_000
    }

    /// A number from `-most` to `most`.
    fn around(&mut self, most: i64) -> i64 {
        self.below(2 * most + 1) - most
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> Option<T> {
        all.get(self.below(all.len() as i64) as usize).copied()
    }

    fn is_drawn(&mut self, millionths: Option<i64>) -> bool {
        self.below(1_000_000) < millionths.unwrap_or(0)
    }
}

/// How the best plan so far was made, but for something.
pub fn otherwise(case: &Case, manner: &Manner, (_, report): &(Plan, Report), step: u64) -> Manner {
    let mut draws = Draws { step, drawn: 0 };
    let mut other = manner.clone();
    match draws.below(10) {
        0..6 => missed_sooner(case, report, &mut other.after_due, &mut draws),
        6..8 => a_beer(case, &mut other.after_due, &mut draws),
        8 => {
            a_beer(case, &mut other.after_due, &mut draws);
            a_style(&mut other.style, &mut draws);
        }
        _ => a_style(&mut other.style, &mut draws),
    }
    other
}

/// Some of what was missed has its turn sooner, some of the rest has another one.
fn missed_sooner(case: &Case, report: &Report, after_due: &mut [i64], draws: &mut Draws) {
    let (sooner, other) = (draws.one_of(&SOONER), draws.one_of(&OTHER));
    for result in &report.usage.orders {
        let turn = &mut after_due[result.order.0];
        if result.missed_in_time(case) > VOLUME {
            if draws.is_drawn(sooner) {
                *turn -= 1 + draws.below(DAYS);
            }
        } else if draws.is_drawn(other) {
            *turn += draws.around(DAYS_OF_OTHERS);
        }
    }
}

/// A beer goes before others, or after them.
fn a_beer(case: &Case, after_due: &mut [i64], draws: &mut Draws) {
    let beer = BeerId(draws.below(case.beers.len() as i64) as usize);
    let days = draws.around(DAYS_OF_A_BEER);
    for id in case.order_ids().filter(|&id| case.order(id).beer == beer) {
        after_due[id.0] += days;
    }
}

/// The style is another in one point.
fn a_style(style: &mut Style, draws: &mut Draws) {
    match draws.below(5) {
        0 => style.ahead = AHEAD.start + draws.below(AHEAD.end - AHEAD.start),
        1 => style.surplus = !style.surplus,
        2 => style.spare = !style.spare,
        3 => style.direct = !style.direct,
        _ => style.rest = draws.one_of(&RESTS).unwrap_or(style.rest),
    }
}
