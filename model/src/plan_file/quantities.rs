//! Numbers with units, read exactly.

use crate::plan::Count;
use crate::units::{MILLILITRES_PER_US_BARREL, MILLILITRES_PER_US_GALLON, Minutes, Volume};

/// More than any cellar holds, in millilitres (a million hectolitres).
const LARGEST_VOLUME: i64 = 100_000_000_000;
/// More than any time in a plan, in minutes (a year).
const LONGEST_TIME: i64 = 366 * 24 * 60;
/// More than any count in a plan, in millionths.
const LARGEST_COUNT: i64 = 1_000_000_000_000;

/// A volume with its unit: `37.6 hL`, `1500 L`, `20 mL`, `17 bbl`, `10 gal`. Metric ones must be whole millilitres.
pub(super) fn volume(text: &str) -> Option<Volume> {
    let (number, unit) = split(text);
    let millilitres = match unit.to_lowercase().as_str() {
        "hl" => exact(number, 5)?,
        "l" => exact(number, 3)?,
        "ml" => exact(number, 0)?,
        "bbl" => rounded(number, MILLILITRES_PER_US_BARREL)?,
        "gal" => rounded(number, MILLILITRES_PER_US_GALLON)?,
        _ => return None,
    };
    (millilitres <= LARGEST_VOLUME).then_some(Volume(millilitres))
}

/// A time with its unit, in whole minutes: `60 min`, `1.5 h`.
pub(super) fn time(text: &str) -> Option<Minutes> {
    let (number, unit) = split(text);
    let minutes = match unit.to_lowercase().as_str() {
        "min" => exact(number, 0)?,
        "h" => {
            let scaled = exact(number, 4)?.checked_mul(60)?;
            if scaled % 10_000 != 0 {
                return None;
            }
            scaled / 10_000
        }
        _ => return None,
    };
    (minutes <= LONGEST_TIME).then_some(Minutes(minutes))
}

/// A time of day such as `06:30`, in minutes after midnight.
pub(super) fn time_of_day(text: &str) -> Option<Minutes> {
    let (hours, minutes) = text.trim().split_once(':')?;
    let two_digits = |text: &str| text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit());
    if !two_digits(hours) || !two_digits(minutes) {
        return None;
    }
    let (hours, minutes) = (hours.parse::<i64>().ok()?, minutes.parse::<i64>().ok()?);
    (hours < 24 && minutes < 60).then_some(Minutes(hours * 60 + minutes))
}

/// A count with at most six decimals.
pub(super) fn count(text: &str) -> Option<Count> {
    let millionths = exact(text.trim(), 6)?;
    (millionths <= LARGEST_COUNT).then_some(Count(millionths))
}

/// A whole number of turns.
pub(super) fn turns(text: &str) -> Option<i64> {
    let turns = exact(text.trim(), 0)?;
    (turns <= 1_000).then_some(turns)
}

/// A whole number of kegs.
pub(super) fn kegs(text: &str) -> Option<i64> {
    let kegs = exact(text.trim(), 0)?;
    (kegs <= 1_000_000).then_some(kegs)
}

fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text.find(|character: char| !(character.is_ascii_digit() || character == '.'));
    let (number, unit) = text.split_at(end.unwrap_or(text.len()));
    (number, unit.trim())
}

/// A decimal number, nought or more, times ten to the power of `decimals`; nothing if that is not whole or too large.
fn exact(number: &str, decimals: usize) -> Option<i64> {
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || !digits(whole) || !digits(part) || (number.contains('.') && part.is_empty()) {
        return None;
    }
    let part = part.trim_end_matches('0');
    if part.len() > decimals {
        return None;
    }
    format!("{whole}{part}{}", "0".repeat(decimals - part.len())).parse().ok()
}

fn rounded(number: &str, factor: f64) -> Option<i64> {
    exact(number, 9)?;
    let value: f64 = number.parse().ok()?;
    let millilitres = (value * factor).round();
    (0.0..=LARGEST_VOLUME as f64).contains(&millilitres).then_some(millilitres as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_are_exact_millilitres() {
        assert_eq!(volume("37.6 hL"), Some(Volume(3_760_000)));
        assert_eq!(volume("0.00001 hL"), Some(Volume(1)));
        assert_eq!(volume("1500L"), Some(Volume(1_500_000)));
        // One US beer barrel is 31 US gallons (27 CFR 25.11), 117.347765 L.
        assert_eq!(volume("1 bbl"), Some(Volume(117_348)));
        for wrong in [
            "37.6",
            "hL",
            "-1 hL",
            "1e3 hL",
            "0.000001 hL",
            "1. hL",
            ".5 hL",
            "1.2.3 hL",
            "9999999999999999999 hL",
        ] {
            assert_eq!(volume(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn times_are_whole_minutes() {
        assert_eq!(time("60 min"), Some(Minutes(60)));
        assert_eq!(time("1.5 h"), Some(Minutes(90)));
        assert_eq!(time("0.001 h"), None);
        assert_eq!(time("99999999999999 h"), None);
    }

    #[test]
    fn counts_have_six_decimals() {
        assert_eq!(count("1.000000"), Some(Count::ONE));
        assert_eq!(count("0.333333"), Some(Count(333_333)));
        assert_eq!(count("0.3333333"), None);
        assert_eq!(turns("2.0"), Some(2));
        assert_eq!(turns("2.5"), None);
    }
}
