//! Small values that several keys share: days of the week, dates, times of day, person-times.

use jiff::civil::Date;

use super::node::{Fields, Node, did_you_mean};
use super::quantity::{self, Days, KegPace, QuantityFault, Years};
use crate::calendar::{DateRange, Role, Weekdays};
use crate::case::{Job, RoleTimes};
use crate::finding::Severity;
use crate::schema::Scalar;
use crate::units::{
    Area, Gravity, Heat, Minutes, Money, Pressure, Rate, Share, Temperature, TemperatureDrop, Volume,
};

/// Days of the week as the files name them.
const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// A volume.
pub fn volume(node: &Node) -> Option<Volume> {
    node.quantity(quantity::parse, Scalar::Volume.sentence())
}

/// A clock or person-time.
pub fn time(node: &Node) -> Option<Minutes> {
    node.quantity(quantity::parse, Scalar::Time.sentence())
}

/// A number of days.
pub fn days(node: &Node) -> Option<i64> {
    node.quantity(quantity::parse::<Days>, Scalar::Days.sentence()).map(|days| days.0)
}

/// A gauge pressure.
pub fn pressure(node: &Node) -> Option<Pressure> {
    node.quantity(quantity::parse, Scalar::Pressure.sentence())
}

/// A share.
pub fn share(node: &Node) -> Option<Share> {
    node.quantity(quantity::parse, Scalar::Share.sentence())
}

/// A rate.
pub fn rate(node: &Node) -> Option<Rate> {
    node.quantity(quantity::parse, Scalar::Rate.sentence())
}

/// Kegs an hour.
pub fn keg_pace(node: &Node) -> Option<i64> {
    node.quantity(quantity::parse::<KegPace>, Scalar::KegPace.sentence()).map(|pace| pace.0)
}

/// A temperature.
pub fn temperature(node: &Node) -> Option<Temperature> {
    node.quantity(quantity::parse_temperature, Scalar::Temperature.sentence())
}

/// An amount of heat.
pub fn heat(node: &Node) -> Option<Heat> {
    node.quantity(quantity::parse, Scalar::Heat.sentence())
}

/// A gravity.
pub fn gravity(node: &Node) -> Option<Gravity> {
    node.quantity(quantity::parse, Scalar::Gravity.sentence())
}

/// Degrees that something is cooled by.
pub fn drop(node: &Node) -> Option<TemperatureDrop> {
    node.quantity(quantity::parse, Scalar::Drop.sentence())
}

/// An amount of money.
pub fn money(node: &Node) -> Option<Money> {
    node.quantity(quantity::parse_money, Scalar::Money.sentence())
}

/// A piece of floor.
pub fn area(node: &Node) -> Option<Area> {
    node.quantity(quantity::parse, Scalar::Area.sentence())
}

/// A number of years, at least one.
pub fn years(node: &Node) -> Option<i64> {
    let years = node.quantity(quantity::parse::<Years>, Scalar::Years.sentence())?.0;
    if years < 1 {
        node.error("V305", "at least a year", None);
        return None;
    }
    Some(years)
}

/// A date.
pub fn date(node: &Node) -> Option<Date> {
    let text = node.text(Scalar::Date.sentence())?;
    let found = text.trim().parse::<Date>().ok().filter(|_| text.trim().len() == 10);
    if found.is_none() {
        node.error("V401", "a date that exists, such as `2026-12-07`", either_order(&text));
    }
    found
}

/// What to do about a date with strokes: day and month may stand in either order, so it is not guessed.
pub fn either_order(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.trim().split('/').collect();
    let is_date = parts.len() == 3 && parts.iter().all(|part| part.parse::<u16>().is_ok());
    is_date.then(|| {
        "with strokes it is not said which is the day and which the month: year-month-day says it".to_owned()
    })
}

/// A date, or dates from one to another: `2026-12-24 to 2026-12-27`.
pub fn dates(node: &Node) -> Option<DateRange> {
    const ALLOWED: &str = Scalar::Dates.sentence();
    let text = node.text(ALLOWED)?;
    let (first, last) = text.split_once(" to ").unwrap_or((&text, &text));
    let parse = |text: &str| text.trim().parse::<Date>().ok().filter(|_| text.trim().len() == 10);
    let (Some(first), Some(last)) = (parse(first), parse(last)) else {
        node.error("V401", ALLOWED, None);
        return None;
    };
    if last < first {
        node.error("V421", "a last date that is not before the first", None);
        return None;
    }
    Some(DateRange { first, last })
}

/// A time of day such as `06:30`.
pub fn time_of_day(node: &Node) -> Option<Minutes> {
    let text = node.text(Scalar::TimeOfDay.sentence())?;
    let parts = text
        .trim()
        .split_once(':')
        .and_then(|(hours, minutes)| Some((hours.parse::<i64>().ok()?, minutes.parse::<i64>().ok()?)));
    match parts {
        Some((hours, minutes)) if (0..24).contains(&hours) && (0..60).contains(&minutes) => {
            Some(Minutes(hours * 60 + minutes))
        }
        _ => {
            node.error("V402", "a time of day such as `\"06:30\"`", Some("put it in quotes".into()));
            None
        }
    }
}

/// What days of the week look like.
pub const SOME_DAYS: &str = Scalar::Weekdays.sentence();

/// Days of the week: `mon-fri`, `[mon, wed]`, `every day`, `none`.
pub fn weekdays(node: &Node) -> Option<Weekdays> {
    let mut found = Weekdays::default();
    for item in node.items(true) {
        let text = item.text(SOME_DAYS)?;
        match text.trim() {
            "none" => {}
            other => match day_span(other) {
                Some(days) => {
                    for (day, is_meant) in found.0.iter_mut().zip(days.0) {
                        *day |= is_meant;
                    }
                }
                None => {
                    let first = other.split('-').next().unwrap_or(other);
                    item.error("V403", SOME_DAYS, did_you_mean(first.trim(), DAYS));
                    return None;
                }
            },
        }
    }
    Some(found)
}

/// Days in a row, such as `mon-fri`, a single day, or `every day`.
pub fn day_span(text: &str) -> Option<Weekdays> {
    if text.trim() == "every day" {
        return Some(Weekdays::ALL);
    }
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let position = |day: &str| DAYS.iter().position(|name| *name == day.trim());
    let (first, last) = (position(first)?, position(last)?);
    let mut days = Weekdays::default();
    days.0.get_mut(first..=last)?.fill(true);
    Some(days)
}

/// The words of the roles.
pub fn roles() -> [(&'static str, Role); 3] {
    Role::ALL.map(|role| (role.word(), role))
}

/// Person-time by role: `{cellar: 1.5 h}`.
pub fn role_times(node: &Node) -> Option<RoleTimes> {
    let fields = node.fields()?;
    let mut times = RoleTimes::default();
    for role in Role::ALL {
        if let Some(entry) = fields.optional(role.word()) {
            times.0[role as usize] = time(&entry).unwrap_or_default();
        }
    }
    fields.finish();
    Some(times)
}

/// A piece of work: `{takes: 3 h, crew: {cellar: 1.5 h}}`.
pub fn job(node: &Node) -> Option<Job> {
    let fields = node.fields()?;
    let takes = fields.required("takes").and_then(|node| time(&node));
    let crew = fields.required("crew").and_then(|node| role_times(&node));
    fields.finish();
    Some(Job { takes: takes.unwrap_or_default(), crew: crew.unwrap_or_default() })
}

/// A factor such as `5`: a share without the per cent.
pub fn factor(node: &Node) -> Option<Share> {
    let parse = |text: &str| {
        let found = quantity::decimal(text.trim()).ok_or(QuantityFault::NotANumber)?;
        match i64::try_from(found) {
            Ok(found) if found < 0 => Err(QuantityFault::Negative),
            Ok(found) if found <= 1_000_000_000 => Ok(Share(found)),
            _ => Err(QuantityFault::Absurd),
        }
    };
    node.quantity(parse, Scalar::Factor.sentence())
}

/// Reads a time `takes`, or `never: yes` in its place, which is none; nothing at all where it is neither or both.
pub fn takes_or_never(fields: &Fields, code: &'static str, entry: &str) -> Option<Option<Minutes>> {
    let takes = fields.optional("takes").map(|node| time(&node));
    let never = fields.optional("never").map(|node| node.yes_or_no());
    match (takes, never) {
        (Some(takes), None) => takes.map(Some),
        (None, Some(Some(true))) => Some(None),
        (None, Some(None)) => None,
        (Some(_), Some(_)) | (None, None | Some(Some(false))) => {
            fields.node.report(code, Severity::Error, entry, "`takes`, or `never: yes`", None);
            None
        }
    }
}
