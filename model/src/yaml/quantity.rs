//! Quantities with their units in the value: `20 hL`, `17 bbl`, `29 psi`, `2.5 h`.
//!
//! Decimal arithmetic in integers: a number is kept as millionths until it meets its unit.

use crate::measures::{self, MICRO, Unit};
use crate::units::{
    Area, Carbonation, Gravity, Heat, Minutes, Money, Pressure, Rate, Share, Temperature, TemperatureDrop,
    Volume,
};

/// Why a text is no quantity of the kind asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum QuantityFault {
    /// It is not a number with a unit.
    NotANumber,
    /// The number has no unit.
    NoUnit,
    /// The unit is not one of this kind.
    UnknownUnit(String),
    /// It is below nothing.
    Negative,
    /// It is larger than anything in a brewery.
    Absurd,
}

/// A kind of quantity that can be read from a text.
pub trait Quantity: Sized {
    /// Units that are accepted.
    const UNITS: &'static [Unit];
    /// Largest sensible value in the small unit.
    const MOST: i64;
    /// Whether it may be negative.
    const MAY_BE_NEGATIVE: bool = false;
    /// Makes it from whole small units.
    fn from_small(small: i64) -> Self;
}

impl Quantity for Volume {
    const UNITS: &'static [Unit] = measures::VOLUMES;
    const MOST: i64 = 2_000_000_000; // 20 000 hL
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Minutes {
    const UNITS: &'static [Unit] = &[
        Unit { name: "h", micro: 60 * MICRO },
        Unit { name: "min", micro: MICRO },
        Unit { name: "d", micro: 1440 * MICRO },
    ];
    const MOST: i64 = 60 * 24 * 60;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

/// Whole days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Days(pub i64);

impl Quantity for Days {
    const UNITS: &'static [Unit] = &[
        Unit { name: "d", micro: MICRO },
        Unit { name: "day", micro: MICRO },
        Unit { name: "days", micro: MICRO },
        Unit { name: "week", micro: 7 * MICRO },
        Unit { name: "weeks", micro: 7 * MICRO },
    ];
    const MOST: i64 = 400;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Pressure {
    const UNITS: &'static [Unit] = measures::PRESSURES;
    const MOST: i64 = 2_000_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Share {
    const UNITS: &'static [Unit] = &[Unit { name: "%", micro: 10_000 * MICRO }];
    const MOST: i64 = 1_000_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Rate {
    const UNITS: &'static [Unit] = measures::RATES;
    const MOST: i64 = 200_000_000; // 2 000 hL/h
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Heat {
    const UNITS: &'static [Unit] = measures::HEATS;
    const MOST: i64 = 1_000_000_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Gravity {
    const UNITS: &'static [Unit] = &[Unit { name: "degP", micro: 1_000 * MICRO }];
    const MOST: i64 = 40_000;
    const MAY_BE_NEGATIVE: bool = true;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for TemperatureDrop {
    const UNITS: &'static [Unit] = measures::COOLINGS;
    const MOST: i64 = 60_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

impl Quantity for Area {
    const UNITS: &'static [Unit] = measures::AREAS;
    const MOST: i64 = 1_000_000_000; // 100 000 m2
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

/// Whole years.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Years(pub i64);

impl Quantity for Years {
    const UNITS: &'static [Unit] =
        &[Unit { name: "years", micro: MICRO }, Unit { name: "year", micro: MICRO }];
    const MOST: i64 = 100;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

/// Whole kegs an hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KegPace(pub i64);

impl Quantity for KegPace {
    const UNITS: &'static [Unit] = &[Unit { name: "kegs/h", micro: MICRO }];
    const MOST: i64 = 10_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

/// Height above sea level in whole metres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Metres(pub i64);

impl Quantity for Metres {
    const UNITS: &'static [Unit] = measures::ALTITUDES;
    const MOST: i64 = 6_000;
    const MAY_BE_NEGATIVE: bool = true;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

/// Height of beer in a vessel in whole millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Millimetres(pub i64);

impl Quantity for Millimetres {
    const UNITS: &'static [Unit] = measures::HEIGHTS;
    const MOST: i64 = 50_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

/// A decimal number in millionths and the text behind it.
fn number_and_unit(text: &str) -> Option<(i128, &str)> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|&(position, character)| {
            !(character.is_ascii_digit()
                || character == '.'
                || (position == 0 && matches!(character, '-' | '+')))
        })
        .map_or(text.len(), |(position, _)| position);
    Some((decimal(&text[..end])?, text[end..].trim()))
}

/// A decimal number with at most six decimals, in millionths.
pub fn decimal(text: &str) -> Option<i128> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let is_plain = |part: &str| part.chars().all(|character| character.is_ascii_digit());
    if whole.is_empty() || whole.len() > 12 || fraction.len() > 6 || !is_plain(whole) || !is_plain(fraction) {
        return None;
    }
    let padded = format!("{fraction:0<6}");
    let whole: i128 = whole.parse().ok()?;
    let fraction: i128 = padded.parse().ok()?;
    Some(sign * (whole * MICRO + fraction))
}

fn rounded(value: i128, divisor: i128) -> i128 {
    (2 * value + divisor).div_euclid(2 * divisor)
}

/// Reads a quantity; it is rounded to the small unit.
///
/// # Errors
/// What is wrong with the text.
pub fn parse<Q: Quantity>(text: &str) -> Result<Q, QuantityFault> {
    let (number, unit) = number_and_unit(text).ok_or(QuantityFault::NotANumber)?;
    if unit.is_empty() {
        return Err(QuantityFault::NoUnit);
    }
    let one = Q::UNITS.iter().find(|known| known.name == unit).map(|known| known.micro);
    let one = one.ok_or_else(|| QuantityFault::UnknownUnit(unit.to_owned()))?;
    let small = rounded(number * one, MICRO * MICRO);
    in_range::<Q>(small)
}

fn in_range<Q: Quantity>(small: i128) -> Result<Q, QuantityFault> {
    if small < 0 && !Q::MAY_BE_NEGATIVE {
        return Err(QuantityFault::Negative);
    }
    if small.abs() > i128::from(Q::MOST) {
        return Err(QuantityFault::Absurd);
    }
    i64::try_from(small).map(Q::from_small).map_err(|_| QuantityFault::Absurd)
}

/// Reads a temperature in `degC` or `degF`.
///
/// # Errors
/// What is wrong with the text.
pub fn parse_temperature(text: &str) -> Result<Temperature, QuantityFault> {
    let (number, unit) = number_and_unit(text).ok_or(QuantityFault::NotANumber)?;
    let small = match unit {
        "" => return Err(QuantityFault::NoUnit),
        "degC" | "C" => rounded(number, 1_000),
        "degF" | "F" => rounded((number - 32 * MICRO) * 5, 9 * 1_000),
        other => return Err(QuantityFault::UnknownUnit(other.to_owned())),
    };
    match i64::try_from(small) {
        Ok(small) if (-10_000..=60_000).contains(&small) => Ok(Temperature(small)),
        _ => Err(QuantityFault::Absurd),
    }
}

/// Reads a loss: `40 L`, `0.5 %`, or both joined by `+`.
///
/// # Errors
/// What is wrong with the text.
pub fn parse_loss(text: &str) -> Result<(Volume, Share), QuantityFault> {
    let mut fixed = Volume::ZERO;
    let mut share = Share::ZERO;
    for part in text.split('+') {
        match parse::<Share>(part) {
            Ok(found) => share += found,
            Err(QuantityFault::UnknownUnit(_)) => fixed += parse::<Volume>(part)?,
            Err(fault) => return Err(fault),
        }
    }
    Ok((fixed, share))
}

/// Reads the contents of a package: `50 L` or `24 x 440 mL`.
///
/// # Errors
/// What is wrong with the text.
pub fn parse_contents(text: &str) -> Result<Volume, QuantityFault> {
    match text.split_once('x') {
        None => parse(text),
        Some((count, each)) => {
            let count: i64 = count.trim().parse().map_err(|_| QuantityFault::NotANumber)?;
            let each: Volume = parse(each)?;
            in_range(i128::from(count) * i128::from(each.0))
        }
    }
}

/// Reads an amount of money: a plain number.
///
/// # Errors
/// What is wrong with the text.
pub fn parse_money(text: &str) -> Result<Money, QuantityFault> {
    let cents = rounded(decimal(text.trim()).ok_or(QuantityFault::NotANumber)?, 10_000);
    match i64::try_from(cents) {
        Ok(cents) if cents < 0 => Err(QuantityFault::Negative),
        Ok(cents) if cents <= 10_000_000_000 => Ok(Money(cents)),
        _ => Err(QuantityFault::Absurd),
    }
}

/// Reads volumes of carbon dioxide: a plain number.
///
/// # Errors
/// What is wrong with the text.
pub fn parse_carbonation(text: &str) -> Result<Carbonation, QuantityFault> {
    let thousandths = rounded(decimal(text.trim()).ok_or(QuantityFault::NotANumber)?, 1_000);
    match i64::try_from(thousandths) {
        Ok(found) if found < 0 => Err(QuantityFault::Negative),
        Ok(found) if found <= 6_000 => Ok(Carbonation(found)),
        _ => Err(QuantityFault::Absurd),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_in_every_unit() {
        assert_eq!(parse("20 hL"), Ok(Volume(2_000_000)));
        assert_eq!(parse("440mL"), Ok(Volume(440)));
        assert_eq!(parse("37.6 hL"), Ok(Volume(3_760_000)));
        // 27 CFR 25.11 and 25.156: one US barrel is 31 gallons, 117.347765304 L; kegs of 1/2 and 1/6 barrel.
        assert_eq!(parse("1 bbl"), Ok(Volume(117_348)));
        assert_eq!(parse("31 gal"), Ok(Volume(117_348)));
        assert_eq!(parse("0.5 bbl"), Ok(Volume(58_674)));
        assert_eq!(parse("17 bbl"), Ok(Volume(1_994_912)));
        assert_eq!(parse_contents("24 x 440 mL"), Ok(Volume(10_560)));
    }

    #[test]
    fn faults_are_told_apart() {
        assert_eq!(parse::<Volume>("20"), Err(QuantityFault::NoUnit));
        assert_eq!(parse::<Volume>("20 kPa"), Err(QuantityFault::UnknownUnit("kPa".into())));
        assert_eq!(parse::<Volume>("-1 L"), Err(QuantityFault::Negative));
        assert_eq!(parse::<Volume>("999999999999 hL"), Err(QuantityFault::Absurd));
        assert_eq!(parse::<Volume>("much"), Err(QuantityFault::NotANumber));
        assert_eq!(parse::<Volume>("1.2.3 L"), Err(QuantityFault::NotANumber));
    }

    #[test]
    fn other_kinds() {
        assert_eq!(parse("29 psi"), Ok(Pressure(199_948)));
        assert_eq!(parse("2.5 h"), Ok(Minutes(150)));
        assert_eq!(parse("1 week").map(|days: Days| days.0), Ok(7));
        assert_eq!(parse("6 %"), Ok(Share(60_000)));
        assert_eq!(parse("1500 L/h"), Ok(Rate(1_500_000)));
        assert_eq!(parse_temperature("36 degF"), Ok(Temperature(2_222)));
        assert_eq!(parse_temperature("2 degC"), Ok(Temperature(2_000)));
        assert_eq!(parse_loss("40 L + 0.5 %"), Ok((Volume(40_000), Share(5_000))));
        assert_eq!(parse_money("12.5"), Ok(Money(1_250)));
        assert_eq!(parse_carbonation("2.5"), Ok(Carbonation(2_500)));
        assert_eq!(parse::<Metres>("1000 ft").map(|height| height.0), Ok(305));
    }
}
