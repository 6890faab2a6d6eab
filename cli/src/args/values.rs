//! Values of options, from text.

use jiff::civil::Date;

use super::LateChances;
use super::study::Part;

pub fn change_costs(text: &str) -> Result<f64, String> {
    let amount: f64 = text.trim().parse().map_err(|_| "an amount such as 10".to_owned())?;
    if amount.is_finite() && (0.0..=1e6).contains(&amount) {
        Ok(amount)
    } else {
        Err("from 0 to 1000000".to_owned())
    }
}

pub fn date(text: &str) -> Result<Date, String> {
    text.trim().parse().map_err(|_| "a date such as 2027-02-01".to_owned())
}

pub fn seconds(text: &str) -> Result<f64, String> {
    let seconds: f64 = text.trim().parse().map_err(|_| "a number of seconds such as 60".to_owned())?;
    if seconds.is_finite() && seconds > 0.0 && seconds <= 1e6 {
        Ok(seconds)
    } else {
        Err("more than 0 and at most 1000000 seconds".to_owned())
    }
}

pub fn weeks(text: &str) -> Result<usize, String> {
    match text.trim().parse() {
        Ok(weeks @ (1 | 2 | 4)) => Ok(weeks),
        _ => Err("1, 2 or 4 weeks".to_owned()),
    }
}

pub fn pairs_of(text: &str) -> Result<usize, String> {
    match text.trim().parse() {
        Ok(number @ 2..=40) => Ok(number),
        _ => Err("2 to 40 levers".to_owned()),
    }
}

pub fn draws(text: &str) -> Result<usize, String> {
    let number: usize = text.trim().parse().map_err(|_| "a whole number of draws such as 20".to_owned())?;
    if number <= 10_000 { Ok(number) } else { Err("at most 10000 draws".to_owned()) }
}

pub fn chance(text: &str) -> Result<f64, String> {
    if text.trim() == "100%" { Ok(1.0) } else { gap(text) }
}

pub fn late_chances(text: &str) -> Result<LateChances, String> {
    let all = text.split(',').map(chance).collect::<Result<Vec<f64>, _>>()?;
    let chances: [f64; 3] = all.try_into().map_err(|_| "three shares such as 10%,5%,2%".to_owned())?;
    if chances.iter().sum::<f64>() <= 1.0 + 1e-9 {
        Ok(LateChances(chances))
    } else {
        Err("at most 100% together".to_owned())
    }
}

pub fn gap(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let (number, divisor) = text.strip_suffix('%').map_or((text, 1.0), |percent| (percent.trim_end(), 100.0));
    let number: f64 = number.parse().map_err(|_| "a share such as 0.5% or 0.005".to_owned())?;
    let share = number / divisor;
    if share.is_finite() && (0.0..1.0).contains(&share) {
        Ok(share)
    } else {
        Err("at least 0 and less than 100%".to_owned())
    }
}

/// A part of several: `2/8` is the second of eight.
pub fn part(text: &str) -> Result<Part, String> {
    let said = "a part of several such as 2/8".to_owned();
    let (part, of) = text.split_once('/').ok_or_else(|| said.clone())?;
    let (part, of) = (part.trim().parse().ok(), of.trim().parse().ok());
    match (part, of) {
        (Some(part), Some(of)) if (1..=of).contains(&part) => Ok(Part { part, of }),
        _ => Err(said),
    }
}
