//! Equilibrium of carbon dioxide in beer, and the atmosphere's pressure at a height.

use crate::units::{Carbonation, PASCALS_PER_PSI, Pressure, Temperature};

/// Atmospheric pressure at a height above sea level, in pascals (international standard atmosphere).
#[must_use]
pub fn atmosphere(altitude_metres: i64) -> f64 {
    101_325.0 * (1.0 - 2.255_77e-5 * altitude_metres as f64).max(0.0).powf(5.255_88)
}

/// Pascals that a metre of water adds at the bottom (common practice; beer is a per cent or so heavier).
const PASCALS_PER_METRE: i64 = 9_790;

/// Pressure that a height of beer adds at the bottom, in pascals, rounded up.
#[must_use]
pub fn hydrostatic(millimetres: i64) -> Pressure {
    Pressure((millimetres * PASCALS_PER_METRE + 999).div_euclid(1_000))
}

/// Volumes of carbon dioxide per psi of absolute pressure at a temperature in degF, of deLange's fit to the
/// ASBC table: A. J. `deLange`, "CO2 Volumes in Beer" (2011); coefficients from memory, checked in the tests against
/// Table I of D. Miller, `BrewingTechniques` 2(1), 1994.
fn volumes_per_psi(fahrenheit: f64) -> f64 {
    0.018_21 + 0.090_115 * (-(fahrenheit - 32.0) / 43.11).exp()
}

/// Constant of the same fit, in volumes.
const FIT_CONSTANT: f64 = -0.003_342;

fn fahrenheit(temperature: Temperature) -> f64 {
    temperature.0 as f64 / 1_000.0 * 1.8 + 32.0
}

/// Volumes of carbon dioxide in equilibrium with a gauge pressure.
#[must_use]
pub fn volumes(gauge: Pressure, temperature: Temperature, altitude_metres: i64) -> f64 {
    let absolute = (gauge.0 as f64 + atmosphere(altitude_metres)) / PASCALS_PER_PSI;
    absolute * volumes_per_psi(fahrenheit(temperature)) + FIT_CONSTANT
}

/// Gauge pressure that keeps a carbonation in equilibrium, rounded up to the pascal; below the atmosphere it is negative.
#[must_use]
pub fn equilibrium(carbonation: Carbonation, temperature: Temperature, altitude_metres: i64) -> Pressure {
    let volumes = carbonation.0 as f64 / 1_000.0;
    let absolute = (volumes - FIT_CONSTANT) / volumes_per_psi(fahrenheit(temperature)) * PASCALS_PER_PSI;
    Pressure((absolute - atmosphere(altitude_metres)).ceil() as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn celsius(fahrenheit: f64) -> Temperature {
        Temperature(((fahrenheit - 32.0) / 1.8 * 1_000.0).round() as i64)
    }

    /// Points of Table I, D. Miller, `BrewingTechniques` vol. 2 no. 1 (1994): degF, psi gauge, volumes.
    const TABLE: [(f64, f64, f64); 16] = [
        (32.0, 5.0, 2.15),
        (32.0, 10.0, 2.70),
        (34.0, 10.0, 2.58),
        (36.0, 8.0, 2.29),
        (36.0, 12.0, 2.67),
        (38.0, 10.0, 2.38),
        (38.0, 12.0, 2.57),
        (38.0, 14.0, 2.75),
        (40.0, 10.0, 2.30),
        (40.0, 12.0, 2.47),
        (42.0, 14.0, 2.56),
        (44.0, 10.0, 2.13),
        (44.0, 16.0, 2.64),
        (45.0, 12.0, 2.26),
        (46.0, 20.0, 2.89),
        (36.0, 10.2, 2.50),
    ];

    #[test]
    fn published_table_within_three_hundredths_of_a_volume() {
        for (degrees, psi, expected) in TABLE {
            let gauge = Pressure((psi * PASCALS_PER_PSI).round() as i64);
            let found = volumes(gauge, celsius(degrees), 0);
            assert!((found - expected).abs() <= 0.03, "{degrees} degF {psi} psi: {found} not {expected}");
        }
    }

    #[test]
    fn pressure_for_two_and_a_half_volumes() {
        // Brewery chart (paperzz.com/doc/6813335): psi gauge for 2.5 volumes at sea level.
        for (degrees, psi) in
            [(32.0, 8.4), (34.0, 9.1), (36.0, 10.2), (38.0, 11.3), (40.0, 12.4), (42.0, 13.3)]
        {
            let found = equilibrium(Carbonation(2_500), celsius(degrees), 0).0 as f64 / PASCALS_PER_PSI;
            assert!((found - psi).abs() <= 0.22, "{degrees} degF: {found} not {psi}");
        }
    }

    #[test]
    fn equilibrium_and_volumes_are_inverse() {
        for altitude in [0, 1_600] {
            let gauge = equilibrium(Carbonation(2_500), Temperature(3_300), altitude);
            assert!((volumes(gauge, Temperature(3_300), altitude) - 2.5).abs() < 1e-4);
        }
    }

    #[test]
    fn thinner_air_asks_for_more_gauge_pressure() {
        // International standard atmosphere at 5280 ft (1609 m): 12.10 psi absolute.
        assert!((atmosphere(1_609) / PASCALS_PER_PSI - 12.10).abs() < 0.02);
        let sea = equilibrium(Carbonation(2_500), Temperature(2_000), 0);
        let high = equilibrium(Carbonation(2_500), Temperature(2_000), 1_609);
        assert!(((high - sea).0 as f64 / PASCALS_PER_PSI - 2.60).abs() < 0.02);
    }
}
