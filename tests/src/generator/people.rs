//! In some cases fewer people come, or a crew works both shifts; drawn apart, so that the other themes stay as they are.

use cellarwright_model::calendar::DateRange;
use cellarwright_model::case::{Absence, Case, FurtherShift};
use cellarwright_model::units::Minutes;

use crate::random::Random;

/// In every fifth case: a further shift, days off, absent people, breaks.
pub fn change(made: &mut Case, seed: u64) {
    if seed % 5 != 2 {
        return;
    }
    let mut random = Random::new(seed.wrapping_add(1_000_000_007));
    let days = made.calendar.planned_days as i64;
    let shifts = made.calendar.shifts.len();
    for position in 0..made.crews.len() {
        let date = made.calendar.date(random.between(0, days - 1));
        let on = DateRange { first: date, last: date };
        let crew = &mut made.crews[position];
        if shifts > 1 && random.percent(50) {
            let shift = 1 - crew.shift;
            crew.further_shifts.push(FurtherShift { shift, people: random.between(1, 3) });
        }
        if random.percent(30) {
            crew.off.push(on);
        }
        if random.percent(60) {
            crew.absent.push(Absence { on, shift: crew.shift, people: random.between(1, 2) });
        }
        if random.percent(40) {
            crew.pause = Minutes(random.between(1, 4) * 15);
        }
    }
}
