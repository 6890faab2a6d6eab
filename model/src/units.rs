//! Whole-number quantities. Factors of other units stand in `measures`.
//!
//! Every quantity is an integer of one small unit, so that the checker is exact.
//! Different quantities are different types: a volume cannot be added to a time.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};

use crate::measures::{BARREL, GALLON, MICRO, PSI};

/// Millilitres in one US beer barrel.
pub const MILLILITRES_PER_US_BARREL: f64 = BARREL.micro as f64 / MICRO as f64;
/// Millilitres in one US gallon.
pub const MILLILITRES_PER_US_GALLON: f64 = GALLON.micro as f64 / MICRO as f64;
/// Pascals in one pound-force per square inch.
pub const PASCALS_PER_PSI: f64 = PSI.micro as f64 / MICRO as f64;
/// Minutes in a day.
pub const MINUTES_PER_DAY: i64 = 24 * 60;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub i64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0);
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
                Self(iter.map(|item| item.0).sum())
            }
        }
    };
}

quantity! {
    /// A volume in whole millilitres.
    Volume
}
quantity! {
    /// A time in whole minutes: clock time or person-time, as the field says.
    Minutes
}
quantity! {
    /// A gauge pressure in whole pascals.
    Pressure
}
quantity! {
    /// An amount of money in whole cents of the brewery's currency.
    Money
}
quantity! {
    /// A share in parts per million: 6 % is 60 000.
    Share
}
quantity! {
    /// An area in whole square centimetres.
    Area
}
quantity! {
    /// A temperature in thousandths of a degree Celsius.
    Temperature
}
quantity! {
    /// A rate in whole millilitres per hour.
    Rate
}
quantity! {
    /// Dissolved carbon dioxide in thousandths of a volume (gas at 0 degC and 1 atm per beer).
    Carbonation
}

quantity! {
    /// Heat in whole kilojoules.
    Heat
}
quantity! {
    /// Extract of wort or beer in thousandths of a degree Plato.
    Gravity
}
quantity! {
    /// By how much something is cooled, in thousandths of a degree Celsius.
    TemperatureDrop
}

impl Share {
    /// Everything: 100 %.
    pub const WHOLE: Self = Self(1_000_000);

    /// This share of a volume, rounded down to the millilitre.
    #[must_use]
    pub fn of(self, volume: Volume) -> Volume {
        Volume(mul_div(volume.0, self.0, Self::WHOLE.0))
    }

    /// A volume less this share of it; the loss is rounded up, so that no beer appears from nothing.
    #[must_use]
    pub fn taken_off(self, volume: Volume) -> Volume {
        (Self::WHOLE - self).of(volume)
    }

    /// This share of an amount of money, rounded down to the cent.
    #[must_use]
    pub fn of_money(self, money: Money) -> Money {
        Money(mul_div(money.0, self.0, Self::WHOLE.0))
    }

    /// This share as a plain number between 0 and 1.
    #[must_use]
    pub fn as_fraction(self) -> f64 {
        self.0 as f64 / Self::WHOLE.0 as f64
    }
}

impl Volume {
    /// Millilitres in a hectolitre.
    pub const HECTOLITRE: Self = Self(100_000);

    /// In hectolitres, for people and for the program.
    #[must_use]
    pub fn hectolitres(self) -> f64 {
        self.0 as f64 / Self::HECTOLITRE.0 as f64
    }
}

impl Minutes {
    /// In hours, for people and for the program.
    #[must_use]
    pub fn hours(self) -> f64 {
        self.0 as f64 / 60.0
    }
}

impl Money {
    /// In whole units of the currency, for people and for the program.
    #[must_use]
    pub fn units(self) -> f64 {
        self.0 as f64 / 100.0
    }

    /// The price of a volume at this price per hectolitre, rounded to the nearest cent.
    #[must_use]
    pub fn for_volume(self, volume: Volume) -> Money {
        Money(rounded_mul_div(self.0, volume.0, Volume::HECTOLITRE.0))
    }

    /// The price of a time at this price per hour, rounded to the nearest cent.
    #[must_use]
    pub fn for_time(self, time: Minutes) -> Money {
        Money(rounded_mul_div(self.0, time.0, 60))
    }
}

impl Pressure {
    /// In kilopascals, for people.
    #[must_use]
    pub fn kilopascals(self) -> f64 {
        self.0 as f64 / 1_000.0
    }
}

impl fmt::Display for Volume {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} hL", decimal(self.0, 5))
    }
}

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} min", self.0)
    }
}

impl fmt::Display for Pressure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} kPa", decimal(self.0, 3))
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        write!(f, "{sign}{}.{:02}", self.0.abs() / 100, self.0.abs() % 100)
    }
}

/// `value * numerator / denominator`, rounded down, without overflow in between.
#[must_use]
pub fn mul_div(value: i64, numerator: i64, denominator: i64) -> i64 {
    let wide = i128::from(value) * i128::from(numerator);
    saturate(wide.div_euclid(i128::from(denominator)))
}

/// `value * numerator / denominator`, rounded to the nearest (halves up), without overflow in between.
#[must_use]
pub fn rounded_mul_div(value: i64, numerator: i64, denominator: i64) -> i64 {
    rounded_wide(i128::from(value) * i128::from(numerator), i128::from(denominator))
}

/// `wide / denominator`, rounded to the nearest, halves up.
#[must_use]
pub fn rounded_wide(wide: i128, denominator: i128) -> i64 {
    saturate((2 * wide + denominator).div_euclid(2 * denominator))
}

fn saturate(wide: i128) -> i64 {
    i64::try_from(wide).unwrap_or(if wide < 0 { i64::MIN } else { i64::MAX })
}

/// An integer with so many decimals behind the point, trailing zeros dropped: `decimal(3760000, 5)` is `37.6`.
#[must_use]
pub fn decimal(value: i64, decimals: u32) -> String {
    let scale = 10_i64.pow(decimals);
    let sign = if value < 0 { "-" } else { "" };
    let (whole, rest) = (value.abs() / scale, value.abs() % scale);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let digits = format!("{rest:0width$}", width = decimals as usize);
    format!("{sign}{whole}.{}", digits.trim_end_matches('0'))
}

/// A volume in US barrels to five decimals, rounded to the nearest, as the duty record counts packages (27 CFR 25.156).
#[must_use]
pub fn barrels(volume: Volume) -> String {
    let small = BARREL.counted(volume.0, 5);
    let sign = if small < 0 { "-" } else { "" };
    format!("{sign}{}.{:05}", small.abs() / 100_000, small.abs() % 100_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn losses_compound_and_never_create_beer() {
        // Worked by hand: 0.98 x 0.95 x 0.98 x 0.98; losses of 2, 5, 2 and 2 % leave 0.8941 of the start, not 0.89.
        let start = Volume(100_000_000);
        let left = [20_000, 50_000, 20_000, 20_000]
            .iter()
            .fold(start, |volume, &loss| Share(loss).taken_off(volume));
        assert!((left.0 - 89_412_000).abs() < 10_000, "{left}");
        assert_eq!(Share(60_000).taken_off(Volume(101)), Volume(94));
    }

    #[test]
    fn decimals_drop_trailing_zeros() {
        assert_eq!(decimal(3_760_000, 5), "37.6");
        assert_eq!(decimal(-5, 2), "-0.05");
        assert_eq!(Volume(4_000_000).to_string(), "40 hL");
        assert_eq!(Money(-1234).to_string(), "-12.34");
    }

    #[test]
    fn money_rounds_to_the_nearest_cent() {
        assert_eq!(Money(17_000).for_volume(Volume(150_000)), Money(25_500));
        assert_eq!(Money(3_001).for_time(Minutes(30)), Money(1_501));
    }
}
