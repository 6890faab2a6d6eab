//! Numbers as people read them, and the one place where a quantity is shown in the units asked for.
//!
//! Views hold hectolitres; factors come from the table in the model, and are used on whole millilitres and pascals.

pub use cellarwright_model::measures::UnitSystem;
use cellarwright_model::measures::{self, Unit, VOLUMES};
use cellarwright_model::units::{Area, Heat, Money, Pressure, Rate, Temperature, Volume, decimal};

/// Groups of three digits, a thin gap between them, with so many decimals: `18 250.75`.
#[must_use]
pub fn grouped(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    let (whole, rest) = text.split_once('.').unwrap_or((&text, ""));
    let mut grouped = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place).is_multiple_of(3) && whole.len() > 4 {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    if !rest.is_empty() {
        grouped.push('.');
        grouped.push_str(rest);
    }
    let is_nothing = text.chars().all(|digit| digit == '0' || digit == '.');
    if value < 0.0 && !is_nothing { format!("-{grouped}") } else { grouped }
}

/// Hectolitres with one decimal; a little that would read as nothing is `< 0.1`.
#[must_use]
pub fn hl(value: f64) -> String {
    if value > 0.0 && value < 0.05 { "< 0.1".to_owned() } else { grouped(value, 1) }
}

/// Whole millilitres of a view's hectolitres.
#[must_use]
pub fn millilitres(hl: f64) -> i64 {
    (hl * Volume::HECTOLITRE.0 as f64).round() as i64
}

/// A number with one decimal; a little that would read as nothing is `< 0.1`.
fn tenths(unit: Unit, small: i64) -> String {
    match unit.counted(small, 1) {
        0 if small > 0 => "< 0.1".to_owned(),
        count => grouped(count as f64 / 10.0, 1),
    }
}

/// A view's hectolitres in the units asked for, with one decimal and without the unit, as columns have it.
#[must_use]
pub fn volume(units: UnitSystem, hl: f64) -> String {
    match units {
        UnitSystem::Metric => self::hl(hl),
        UnitSystem::Us => tenths(units.volume(), millilitres(hl)),
    }
}

/// The same with so many decimals.
#[must_use]
pub fn volume_to(units: UnitSystem, hl: f64, decimals: u32) -> String {
    grouped(shown_volume(units, hl, decimals), decimals as usize)
}

/// The same as a number: as it is in hectolitres, otherwise rounded to so many decimals.
#[must_use]
pub fn shown_volume(units: UnitSystem, hl: f64, decimals: u32) -> f64 {
    match units {
        UnitSystem::Metric => hl,
        UnitSystem::Us => units.volume().number(millilitres(hl), decimals),
    }
}

/// The same with its unit, as sentences have it; less than a US barrel is told in gallons.
#[must_use]
pub fn volume_of(units: UnitSystem, hl: f64) -> String {
    let small = millilitres(hl);
    let unit = if units == UnitSystem::Us && small > 0 && units.volume().counted(small, 1) < 10 {
        units.small_volume()
    } else {
        units.volume()
    };
    let number = if unit == units.volume() { volume(units, hl) } else { tenths(unit, small) };
    format!("{number} {}", unit.name)
}

/// A gauge pressure with its unit.
#[must_use]
pub fn pressure(units: UnitSystem, pressure: Pressure) -> String {
    let unit = units.pressure();
    format!("{} {}", grouped(unit.number(pressure.0, 1), 1), unit.name)
}

/// The same, with the other system's behind it: gauges have one or the other.
#[must_use]
pub fn pressure_in_both(units: UnitSystem, shown: Pressure) -> String {
    let other = match units {
        UnitSystem::Metric => UnitSystem::Us,
        UnitSystem::Us => UnitSystem::Metric,
    };
    format!("{} ({})", pressure(units, shown), pressure(other, shown))
}

/// A temperature, with the other system's behind it.
#[must_use]
pub fn temperature_in_both(units: UnitSystem, temperature: Temperature) -> String {
    let celsius = |decimals| format!("{} degC", grouped(temperature.0 as f64 / 1_000.0, decimals));
    let fahrenheit =
        |decimals| format!("{} degF", grouped(measures::fahrenheit(temperature) as f64 / 1_000.0, decimals));
    match units {
        UnitSystem::Metric => format!("{} ({})", celsius(1), fahrenheit(0)),
        UnitSystem::Us => format!("{} ({})", fahrenheit(1), celsius(1)),
    }
}

/// Heat with its unit.
#[must_use]
pub fn heat(units: UnitSystem, heat: Heat) -> String {
    let unit = units.heat();
    format!("{} {}", grouped(unit.number(heat.0, 1), 1), unit.name)
}

/// A rate with its unit, zeros behind the point left out.
#[must_use]
pub fn rate(units: UnitSystem, rate: Rate) -> String {
    let unit = units.rate();
    let decimals = if units == UnitSystem::Metric { 5 } else { 2 };
    format!("{} {}", decimal(unit.counted(rate.0, decimals), decimals), unit.name)
}

/// Floor with one decimal, without its unit, as columns have it.
#[must_use]
pub fn floor(units: UnitSystem, floor: Area) -> String {
    grouped(units.area().number(floor.0, 1), 1)
}

/// A height above the sea with its unit.
#[must_use]
pub fn altitude(units: UnitSystem, metres: i64) -> String {
    let unit = units.altitude();
    format!("{} {}", unit.counted(metres, 0), unit.name)
}

/// A price for a hectolitre as a price for the unit of volumes: `12.00 per hL`.
#[must_use]
pub fn price_of_volume(units: UnitSystem, price: Money) -> String {
    let unit = units.volume();
    format!("{} per {}", Money(unit.price(price.0, Volume::HECTOLITRE.0)), unit.name)
}

/// Whether a unit is one of volumes: objectives are money or volume.
#[must_use]
pub fn is_volume(unit: &str) -> bool {
    VOLUMES.iter().any(|known| known.name == unit)
}

/// An objective as the search counts it (hectolitres, or money) in the unit in which it is shown.
#[must_use]
pub fn objective(value: f64, unit: &str) -> f64 {
    match VOLUMES.iter().find(|known| known.name == unit) {
        Some(unit) if *unit != measures::HECTOLITRE => {
            value * measures::HECTOLITRE.micro as f64 / unit.micro as f64
        }
        _ => value,
    }
}

/// Hours with one decimal.
#[must_use]
pub fn hours(value: f64) -> String {
    grouped(value, 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_stand_apart_and_nothing_has_no_sign() {
        assert_eq!(grouped(18_250.754, 2), "18 250.75");
        assert_eq!(grouped(-1_234_567.0, 0), "-1 234 567");
        assert_eq!(grouped(4_321.0, 1), "4321.0");
        assert_eq!(grouped(-0.001, 2), "0.00");
        assert_eq!(hl(0.01), "< 0.1");
        assert_eq!(hl(0.0), "0.0");
    }

    #[test]
    fn us_units_are_worked_out_by_hand() {
        use UnitSystem::{Metric, Us};
        // 20 hL are 2000 L / 117.347765304 = 17.0434 bbl; 40 L are 10.5669 gal; 200 kPa are 29.0075 psi.
        assert_eq!((volume(Us, 20.0), volume(Metric, 20.0)), ("17.0".to_owned(), "20.0".to_owned()));
        assert_eq!(
            (volume_of(Us, 20.0), volume_of(Metric, 20.0)),
            ("17.0 bbl".to_owned(), "20.0 hL".to_owned())
        );
        assert_eq!(
            (volume_of(Us, 0.4), volume_of(Metric, 0.4)),
            ("10.6 gal".to_owned(), "0.4 hL".to_owned())
        );
        assert_eq!((volume(Us, 0.01), volume_of(Us, 0.001)), ("< 0.1".to_owned(), "< 0.1 gal".to_owned()));
        assert_eq!(volume(Us, 0.0), "0.0");
        assert_eq!(Us.exact_volume(Volume(1_994_912)), "17 bbl", "read as 17 bbl");
        assert_eq!(Us.exact_volume(Volume(58_674)), "15.5 gal", "half a barrel");
        assert_eq!(
            (Us.exact_volume(Volume(400_000)), Us.size(Volume(400_000))),
            ("3.40867 bbl".into(), "3.41 bbl".into())
        );
        assert_eq!(Us.exact_volume(Volume(-100_000)), "-26.417 gal");
        assert_eq!(Metric.exact_volume(Volume(1_994_912)), "19.94912 hL");
        assert_eq!(pressure_in_both(Us, Pressure(200_000)), "29.0 psi (200.0 kPa)");
        assert_eq!(pressure_in_both(Metric, Pressure(200_000)), "200.0 kPa (29.0 psi)");
        assert_eq!(temperature_in_both(Us, Temperature(2_000)), "35.6 degF (2.0 degC)");
        assert_eq!(temperature_in_both(Metric, Temperature(2_000)), "2.0 degC (36 degF)");
        assert_eq!(heat(Us, Heat(900_000)), "71.1 ton-h", "250 kWh");
        assert_eq!(
            (rate(Us, Rate(3_000_000)), rate(Metric, Rate(3_000_000))),
            ("25.57 bbl/h".into(), "30 hL/h".into())
        );
        assert_eq!(altitude(Us, 1_609), "5279 ft");
        assert_eq!((floor(Us, Area(100_000)), floor(Metric, Area(100_000))), ("107.6".into(), "10.0".into()));
        assert_eq!(price_of_volume(Us, Money(10_000)), "117.35 per bbl");
        assert_eq!(objective(10.0, "money"), 10.0);
        assert!((objective(117.347_765_304, "bbl") - 100.0).abs() < 1e-9);
    }
}
