//! Heat that the cooling plant takes out of fermenting and cooling beer.
//!
//! Fermenting brings 280 BTU per pound of extract, 651 kJ/kg (ASHRAE, as quoted on byo.com). The mass of the wort is that of its
//! volume at the gravity at which it begins: relative density `1 + P / (258.6 - 227.1 P / 258.2)` for `P` degP (common
//! practice), water at 0.9982 kg/L. Cooling counts beer as water, 4.19 kJ per kg and degree (from memory).

use crate::units::{Gravity, Heat, TemperatureDrop, Volume};

/// Kilojoules per kilogram of extract that ferments.
const PER_KILOGRAM: i128 = 651;

/// What a beer ferments, and how fast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ferments {
    /// Gravity of the wort.
    pub from: Gravity,
    /// Gravity when it has fermented, lower.
    pub to: Gravity,
    /// Days over which its extract goes evenly, from the day of the last turn on; at least one.
    pub over: i64,
}

impl Ferments {
    /// Heat of so much wort on each of the days, rounded up to the kilojoule.
    #[must_use]
    pub fn heat_a_day(&self, wort: Volume) -> Heat {
        let gravity = i128::from(self.from.0);
        // Relative density in millionths.
        let density = 1_000_000 + gravity * 1_000_000_000 / (258_600_000 - gravity * 879_551 / 1_000).max(1);
        let gone = i128::from((self.from - self.to).0);
        let kilojoules = i128::from(wort.0) * 9_982 * density * gone * PER_KILOGRAM;
        up(kilojoules, 1_000_000_000_000_000_000 * i128::from(self.over.max(1)))
    }

    /// Whether it ferments on a day, its last turn being on `on`.
    #[must_use]
    pub fn is_on(&self, on: i64, day: i64) -> bool {
        (on..on + self.over).contains(&day)
    }
}

/// Heat of cooling so much beer by so many degrees, rounded up to the kilojoule.
#[must_use]
pub fn of_cooling(beer: Volume, by: TemperatureDrop) -> Heat {
    up(i128::from(beer.0) * 419 * i128::from(by.0), 100_000_000)
}

fn up(numerator: i128, denominator: i128) -> Heat {
    Heat(i64::try_from((numerator + denominator - 1) / denominator).unwrap_or(i64::MAX / 4))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_barrels_at_four_degrees_a_day() {
        // Three US barrels that ferment by 4 degP a day bring 8 812 BTU a day (ASHRAE, as quoted on byo.com).
        let ferments = Ferments { from: Gravity(4_000), to: Gravity(0), over: 1 };
        let british = ferments.heat_a_day(Volume(352_043)).0 as f64 / 1.055_056;
        assert!((british - 8_812.0).abs() < 10.0, "{british} BTU");
    }

    #[test]
    fn a_tank_of_water_cooled_by_ten_degrees() {
        // 1 000 kg x 4.19 kJ/(kg K) x 10 K.
        assert_eq!(of_cooling(Volume(1_000_000), TemperatureDrop(10_000)), Heat(41_900));
    }
}
