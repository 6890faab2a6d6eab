//! Kinds of single values: what the reader says of them, and the pattern of a text that it takes.

use crate::units::{Area, Gravity, Heat, Minutes, Pressure, Rate, Share, TemperatureDrop, Volume};
use crate::yaml::quantity::{Days, KegPace, Metres, Millimetres, Quantity, Years};

/// A kind of single value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scalar {
    /// A name of 1 to 80 characters.
    Name,
    /// A name; these words have a meaning of their own.
    NameOr(&'static [&'static str]),
    /// One of some words.
    Word(&'static [&'static str]),
    /// `yes` or `no`.
    YesNo,
    /// A whole number from one to another.
    Whole(i64, i64),
    /// The path of a file.
    Path,
    /// A date.
    Date,
    /// A date, or a first and a last one.
    Dates,
    /// A time of day.
    TimeOfDay,
    /// Days of the week.
    Weekdays,
    /// An amount of money.
    Money,
    /// A factor.
    Factor,
    /// Volumes of carbon dioxide.
    Carbonation,
    /// A volume.
    Volume,
    /// A volume, or packages.
    Ordered,
    /// A volume, or pallets.
    Room,
    /// Contents of a package.
    Contents,
    /// A loss: a volume, a share, or both.
    Loss,
    /// A time.
    Time,
    /// A number of days.
    Days,
    /// A gauge pressure.
    Pressure,
    /// A share.
    Share,
    /// A rate.
    Rate,
    /// Kegs an hour.
    KegPace,
    /// A temperature.
    Temperature,
    /// Degrees that something is cooled by.
    Drop,
    /// Heat.
    Heat,
    /// A gravity, below nothing too.
    Gravity,
    /// An original gravity.
    OriginalGravity,
    /// Metres above sea level.
    Altitude,
    /// A height in a vessel.
    Height,
    /// A piece of floor.
    Area,
    /// A number of years.
    Years,
}

/// Spaces that may stand around a value.
const SPACE: &str = "[ \\t]*";
/// A decimal number of at most twelve digits and six decimals.
const NUMBER: &str = "[0-9]{1,12}(?:\\.[0-9]{0,6})?";

impl Scalar {
    /// What the reader says is allowed.
    #[must_use]
    pub fn allowed(self) -> String {
        match self {
            Self::Name | Self::NameOr(_) => "a name",
            Self::Word(words) => {
                return words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
            }
            Self::Whole(least, most) => return format!("a whole number from {least} to {most}"),
            Self::YesNo => "`yes` or `no`",
            Self::Path => "the path of a file",
            _ => self.sentence(),
        }
        .to_owned()
    }

    /// What the reader says is allowed, of the kinds for which that is one sentence.
    #[must_use]
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::Name | Self::NameOr(_) | Self::Word(_) | Self::YesNo | Self::Whole(..) | Self::Path => "",
            Self::Date => "a date such as `2026-12-07`",
            Self::Dates => "a date that exists, or two with `to` between them: `2026-12-24 to 2026-12-27`",
            Self::TimeOfDay => "a time of day such as `\"06:30\"`",
            Self::Weekdays => "days such as `mon-fri`, `[mon, wed]`, `every day` or `none`",
            Self::Money => "an amount of money, a plain number such as `12.50`",
            Self::Factor => "a factor, a plain number such as `5`",
            Self::Carbonation => "volumes of carbon dioxide, a plain number such as `2.5`",
            Self::Volume => "a volume in hL, L, mL, cL, m3, bbl or gal, such as `20 hL`",
            Self::Ordered => "a volume such as `12 hL`, or a number of packages such as `240 packages`",
            Self::Room => "a volume such as `120 hL`, or a number of pallets such as `30 pallets`",
            Self::Contents => "a volume, such as `50 L` or `24 x 440 mL`",
            Self::Loss => "a volume, a share in %, or both, such as `40 L + 0.5 %`",
            Self::Time => "a time in h, min or d, such as `2.5 h`",
            Self::Days => "a number of days or weeks, such as `12 d`",
            Self::Pressure => "a pressure in kPa, bar or psi, such as `200 kPa`",
            Self::Share => "a share in %, such as `6 %`",
            Self::Rate => "a rate in L/h, hL/h, bbl/h or gal/h, such as `1500 L/h`",
            Self::KegPace => "a pace in kegs/h, such as `40 kegs/h`",
            Self::Temperature => "a temperature in degC or degF, such as `2 degC`",
            Self::Drop => "degrees in degC or degF, such as `18 degC`",
            Self::Heat => "heat in kWh, MJ, kJ, BTU or ton-h, such as `250 kWh`",
            Self::Gravity => "a gravity in degP, such as `12 degP`",
            Self::OriginalGravity => "an original gravity in degP, such as `12 degP`",
            Self::Altitude => "a height in m or ft, such as `20 m`",
            Self::Height => "a height in m or ft, such as `3 m`",
            Self::Area => "an area in m2 or sqft, such as `6 m2`",
            Self::Years => "a number of years, such as `20 years`",
        }
    }

    /// The pattern of its text, from end to end; none where any text will do, or only some words.
    #[must_use]
    pub fn pattern(self) -> Option<String> {
        let volume = quantity::<Volume>();
        let share = quantity::<Share>();
        let date = "[0-9]{4}-[0-9]{2}-[0-9]{2}";
        let inner = match self {
            Self::Name | Self::NameOr(_) => return Some("\\S".to_owned()),
            Self::Word(_) | Self::YesNo | Self::Path => return None,
            Self::Whole(1.., _) => "\\+?0*[1-9][0-9]*".to_owned(),
            Self::Whole(..) => "\\+?[0-9]+".to_owned(),
            Self::Date => date.to_owned(),
            Self::Dates => format!("{date}(?: to {SPACE}{date})?"),
            Self::TimeOfDay => "(?:[01]?[0-9]|2[0-3]):[0-5]?[0-9]".to_owned(),
            Self::Weekdays => {
                let day = "(?:mon|tue|wed|thu|fri|sat|sun)";
                format!("(?:none|every day|{day}(?:{SPACE}-{SPACE}{day})?)")
            }
            Self::Money | Self::Factor | Self::Carbonation => format!("\\+?{NUMBER}"),
            Self::Volume => volume,
            Self::Ordered => format!("(?:{volume}|[0-9]+{SPACE}packages)"),
            Self::Room => format!("(?:{volume}|\\+?{NUMBER}{SPACE}pallets?)"),
            Self::Contents => format!("(?:[0-9]+{SPACE}x{SPACE})?{volume}"),
            Self::Loss => {
                // A plus sign joins the parts, so that no number has one of its own.
                let one = format!("(?:{volume}|{share})").replace("\\+?[0-9]", "[0-9]");
                format!("{one}(?:{SPACE}\\+{SPACE}{one})*")
            }
            Self::Time => quantity::<Minutes>(),
            Self::Days => quantity::<Days>(),
            Self::Pressure => quantity::<Pressure>(),
            Self::Share => share,
            Self::Rate => quantity::<Rate>(),
            Self::KegPace => quantity::<KegPace>(),
            Self::Temperature => format!("[+-]?{NUMBER}{SPACE}(?:degC|degF|C|F)"),
            Self::Drop => quantity::<TemperatureDrop>(),
            Self::Heat => quantity::<Heat>(),
            Self::Gravity => quantity::<Gravity>(),
            Self::OriginalGravity => format!("\\+?{NUMBER}{SPACE}(?:degP)"),
            Self::Altitude => quantity::<Metres>(),
            Self::Height => quantity::<Millimetres>(),
            Self::Area => quantity::<Area>(),
            Self::Years => quantity::<Years>(),
        };
        Some(format!("^{SPACE}{inner}{SPACE}$"))
    }

    /// Whether a plain number may stand for its text.
    #[must_use]
    pub fn may_be_number(self) -> bool {
        matches!(
            self,
            Self::Name
                | Self::NameOr(_)
                | Self::Path
                | Self::Whole(..)
                | Self::Money
                | Self::Factor
                | Self::Carbonation
        )
    }
}

/// The pattern of a number with one of the units of a quantity.
fn quantity<Q: Quantity>() -> String {
    let units: Vec<String> = Q::UNITS.iter().map(|unit| unit.name.to_owned()).collect();
    let sign = if Q::MAY_BE_NEGATIVE { "[+-]?" } else { "\\+?" };
    format!("{sign}{NUMBER}{SPACE}(?:{})", units.join("|"))
}
