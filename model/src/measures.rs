//! The one table of units: what is read with a unit, and what is shown in one, goes by these factors.

use crate::units::{Heat, Pressure, Temperature, Volume, decimal, rounded_wide};

/// A unit of measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    /// As it is written, in files and on the screen.
    pub name: &'static str,
    /// How many millionths of the small unit (see `units`) one of it is.
    pub micro: i128,
}

/// Millionths of a small unit in one of it.
pub const MICRO: i128 = 1_000_000;

const fn unit(name: &'static str, micro: i128) -> Unit {
    Unit { name, micro }
}

impl Unit {
    /// So many small units in this one, counted in tenths, hundredths and so on (`decimals`), rounded to the nearest, halves up.
    #[must_use]
    pub fn counted(self, small: i64, decimals: u32) -> i64 {
        rounded_wide(i128::from(small) * MICRO * 10_i128.pow(decimals), self.micro)
    }

    /// The same as a number that is shown with so many decimals.
    #[must_use]
    pub fn number(self, small: i64, decimals: u32) -> f64 {
        self.counted(small, decimals) as f64 / 10_f64.powi(decimals.try_into().unwrap_or(0))
    }

    /// A price for so many small units (a hectolitre, say) as the price for one of this unit, in whole cents.
    #[must_use]
    pub fn price(self, cents: i64, small: i64) -> i64 {
        rounded_wide(i128::from(cents) * self.micro, i128::from(small) * MICRO)
    }
}

/// A hectolitre.
pub const HECTOLITRE: Unit = unit("hL", 100_000 * MICRO);
/// A litre.
pub const LITRE: Unit = unit("L", 1_000 * MICRO);
/// A US gallon: 3.785411784 L exactly, 231 cubic inches (NIST Special Publication 811, appendix B.8).
pub const GALLON: Unit = unit("gal", 3_785_411_784);
/// A US beer barrel: 31 US gallons, 117.347765304 L (27 CFR 25.11).
pub const BARREL: Unit = unit("bbl", 31 * GALLON.micro);
/// Volumes; the small unit is a millilitre.
pub const VOLUMES: &[Unit] = &[
    HECTOLITRE,
    LITRE,
    unit("mL", MICRO),
    unit("cL", 10 * MICRO),
    unit("m3", 1_000_000 * MICRO),
    BARREL,
    GALLON,
];

/// Rates; the small unit is a millilitre an hour.
pub const RATES: &[Unit] =
    &[LITRES_AN_HOUR, HECTOLITRES_AN_HOUR, BARRELS_AN_HOUR, unit("gal/h", GALLON.micro)];
/// Litres an hour.
pub const LITRES_AN_HOUR: Unit = unit("L/h", LITRE.micro);
/// Hectolitres an hour.
pub const HECTOLITRES_AN_HOUR: Unit = unit("hL/h", HECTOLITRE.micro);
/// Barrels an hour.
pub const BARRELS_AN_HOUR: Unit = unit("bbl/h", BARREL.micro);

/// A kilopascal.
pub const KILOPASCAL: Unit = unit("kPa", 1_000 * MICRO);
/// A pound-force per square inch: 6894.757293 Pa (NIST Special Publication 811, appendix B.8).
pub const PSI: Unit = unit("psi", 6_894_757_293);
/// Pressures; the small unit is a pascal.
pub const PRESSURES: &[Unit] = &[KILOPASCAL, PSI, unit("bar", 100_000 * MICRO), unit("Pa", MICRO)];

/// A kilowatt-hour.
pub const KILOWATT_HOUR: Unit = unit("kWh", 3_600 * MICRO);
/// What a ton of refrigeration takes in an hour: 12 000 BTU.
pub const TON_HOUR: Unit = unit("ton-h", 12_660_670_231);
/// Heat; the small unit is a kilojoule. The BTU is 1.05505585262 kJ (International Table; NIST Special Publication 811, appendix B.8).
pub const HEATS: &[Unit] =
    &[KILOWATT_HOUR, unit("MJ", 1_000 * MICRO), unit("kJ", MICRO), unit("BTU", 1_055_056), TON_HOUR];

/// A metre of height above the sea.
pub const METRE: Unit = unit("m", MICRO);
/// A foot: 0.3048 m exactly (NIST Special Publication 811, appendix B.8).
pub const FOOT: Unit = unit("ft", 304_800);
/// Heights above the sea; the small unit is a metre.
pub const ALTITUDES: &[Unit] = &[METRE, FOOT];
/// Heights of beer in a vessel; the small unit is a millimetre.
pub const HEIGHTS: &[Unit] =
    &[unit("m", 1_000 * MICRO), unit("cm", 10 * MICRO), unit("mm", MICRO), unit("ft", 1_000 * FOOT.micro)];

/// A square metre of floor.
pub const SQUARE_METRE: Unit = unit("m2", 10_000 * MICRO);
/// A square foot: 0.3048 m squared (NIST Special Publication 811, appendix B.8).
pub const SQUARE_FOOT: Unit = unit("sqft", 929_030_400);
/// Areas of floor; the small unit is a square centimetre.
pub const AREAS: &[Unit] = &[SQUARE_METRE, SQUARE_FOOT];

/// By how much something is cooled; the small unit is a thousandth of a degree Celsius.
pub const COOLINGS: &[Unit] = &[unit("degC", 1_000 * MICRO), unit("degF", 555_555_556)];

/// The units in which quantities are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// hL, L, kPa, degC, m, kWh.
    #[default]
    Metric,
    /// US ones: bbl, gal, psi, degF, ft, ton-h.
    Us,
}

impl UnitSystem {
    /// Of volumes.
    #[must_use]
    pub const fn volume(self) -> Unit {
        match self {
            Self::Metric => HECTOLITRE,
            Self::Us => BARREL,
        }
    }

    /// Of volumes of a few kegs and less.
    #[must_use]
    pub const fn small_volume(self) -> Unit {
        match self {
            Self::Metric => LITRE,
            Self::Us => GALLON,
        }
    }

    /// Of rates.
    #[must_use]
    pub const fn rate(self) -> Unit {
        match self {
            Self::Metric => HECTOLITRES_AN_HOUR,
            Self::Us => BARRELS_AN_HOUR,
        }
    }

    /// Of gauge pressures.
    #[must_use]
    pub const fn pressure(self) -> Unit {
        match self {
            Self::Metric => KILOPASCAL,
            Self::Us => PSI,
        }
    }

    /// Of heat.
    #[must_use]
    pub const fn heat(self) -> Unit {
        match self {
            Self::Metric => KILOWATT_HOUR,
            Self::Us => TON_HOUR,
        }
    }

    /// Of floor.
    #[must_use]
    pub const fn area(self) -> Unit {
        match self {
            Self::Metric => SQUARE_METRE,
            Self::Us => SQUARE_FOOT,
        }
    }

    /// Of heights above the sea.
    #[must_use]
    pub const fn altitude(self) -> Unit {
        match self {
            Self::Metric => METRE,
            Self::Us => FOOT,
        }
    }

    /// A volume to the millilitre, zeros behind the point left out, with its unit; less than a US barrel in gallons.
    #[must_use]
    pub fn exact_volume(self, volume: Volume) -> String {
        self.volume_with(volume, [5, 3])
    }

    /// The size of a vessel or a batch: to the millilitre in hectolitres, otherwise with two decimals, zeros behind the point left out.
    #[must_use]
    pub fn size(self, volume: Volume) -> String {
        self.volume_with(volume, [2, 2])
    }

    /// With so many decimals of barrels, and of gallons.
    fn volume_with(self, volume: Volume, decimals: [u32; 2]) -> String {
        let unit = match self {
            Self::Metric => return volume.to_string(),
            Self::Us if volume != Volume::ZERO && BARREL.counted(volume.0.abs(), 5) < 100_000 => {
                self.small_volume()
            }
            Self::Us => self.volume(),
        };
        let decimals = if unit == self.volume() { decimals[0] } else { decimals[1] };
        format!("{} {}", decimal(unit.counted(volume.0, decimals), decimals), unit.name)
    }

    /// A gauge pressure that is a limit: to the pascal, in psi with two decimals, zeros behind the point left out.
    #[must_use]
    pub fn rating(self, pressure: Pressure) -> String {
        match self {
            Self::Metric => pressure.to_string(),
            Self::Us => format!("{} {}", decimal(PSI.counted(pressure.0, 2), 2), PSI.name),
        }
    }

    /// Heat with one decimal.
    #[must_use]
    pub fn heat_text(self, heat: Heat) -> String {
        let unit = self.heat();
        format!("{} {}", decimal(unit.counted(heat.0, 1), 1), unit.name)
    }
}

/// A temperature in thousandths of a degree Fahrenheit, rounded to the nearest.
#[must_use]
pub fn fahrenheit(temperature: Temperature) -> i64 {
    rounded_wide(i128::from(temperature.0) * 9, 5) + 32_000
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Pressure, Volume, barrels};
    use crate::yaml::quantity::{parse, parse_temperature};

    #[test]
    fn factors_are_the_published_ones() {
        // 27 CFR 25.11 and 25.156: a barrel of 31 gallons, kegs of 1/2 and 1/6 barrel.
        assert_eq!(BARREL.micro, 117_347_765_304);
        assert_eq!(GALLON.counted(11_734_777, 2), 310_000);
        assert_eq!(BARREL.number(58_674, 5), 0.5);
        // NIST Special Publication 811, appendix B.8: 1 psi is 6.894757 kPa; 1 ft is 0.3048 m.
        assert_eq!(PSI.number(100_000, 4), 14.5038);
        assert_eq!(FOOT.counted(1_609, 0), 5_279);
        assert_eq!(TON_HOUR.number(3_600_000, 3), 284.345);
        // The same appendix: 1 ft2 is 0.09290304 m2, so 10 m2 are 107.639 ft2.
        assert_eq!(SQUARE_FOOT.number(100_000, 3), 107.639);
        assert_eq!(fahrenheit(Temperature(2_000)), 35_600);
        assert_eq!(fahrenheit(Temperature(-40_000)), -40_000);
    }

    #[test]
    fn what_is_shown_in_a_unit_reads_back_within_half_of_its_last_digit() {
        for small in (0..2_000_000_000).step_by(7_654_321) {
            for unit in VOLUMES {
                let text = format!("{:.5} {}", unit.number(small, 5), unit.name);
                let Volume(back) = parse(&text).unwrap();
                let half = i64::try_from(unit.micro / MICRO / 200_000).unwrap() + 1;
                assert!((back - small).abs() <= half, "{small} {text} {back}");
            }
        }
        for small in (0..2_000_000).step_by(12_345) {
            for unit in PRESSURES {
                let Pressure(back) = parse(&format!("{:.3} {}", unit.number(small, 3), unit.name)).unwrap();
                assert!((back - small).abs() <= i64::try_from(unit.micro / MICRO / 2_000).unwrap() + 1);
            }
        }
        for small in (-10_000..60_000).step_by(77) {
            let text = format!("{:.3} degF", fahrenheit(Temperature(small)) as f64 / 1_000.0);
            assert_eq!(parse_temperature(&text), Ok(Temperature(small)));
        }
    }

    #[test]
    fn barrels_of_the_duty_record_are_those_of_the_table() {
        for small in [0, 1, 58_674, 117_348, 3_760_000, -117_348] {
            assert_eq!(barrels(Volume(small)), format!("{:.5}", BARREL.number(small, 5)));
        }
    }

    #[test]
    fn a_price_for_a_hectolitre_is_a_price_for_a_barrel() {
        assert_eq!(BARREL.price(10_000, 100_000), 11_735);
        assert_eq!(HECTOLITRE.price(10_000, 100_000), 10_000);
    }
}
