//! From a cell to the text that the brew plan would have.

use jiff::civil::Date;
use serde_yaml::Value;

use super::Holds;
use super::files::Cell;

/// Which sign stands before decimals in numbers that are text; the other one groups thousands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    decimal: char,
    group: char,
}

impl Reading {
    /// `1,200.5`
    pub const POINT: Self = Self { decimal: '.', group: ',' };
    /// `1.200,5`
    pub const COMMA: Self = Self { decimal: ',', group: '.' };
}

/// The value of a cell under a key; none where it is empty.
///
/// What cannot be understood stays as it is, and is found by whoever reads the list.
pub fn value(cell: &Cell, holds: Holds, unit: Option<&str>, reading: Reading) -> Option<Value> {
    let text = cell.text();
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let typed = matches!(cell, Cell::Number(_));
    let plain = || if typed { text.to_owned() } else { ungrouped(text, reading) };
    let with_unit = |unit: &str| {
        let plain = plain();
        if is_number(&plain) { format!("{plain} {unit}") } else { plain }
    };
    Some(match holds {
        Holds::Text => match cell {
            Cell::Flag(flag) => Value::Bool(*flag),
            _ => Value::from(text),
        },
        Holds::Names => {
            let names = text.split(';').map(str::trim).filter(|name| !name.is_empty());
            Value::Sequence(names.map(Value::from).collect())
        }
        Holds::Date => Value::from(date(text).map_or_else(|| text.to_owned(), |date| date.to_string())),
        Holds::Quantity => Value::from(unit.map_or_else(plain, with_unit)),
        Holds::Number => Value::from(plain()),
        Holds::Days => Value::from(with_unit("d")),
        Holds::Share => {
            let plain = plain();
            match plain.parse::<f64>() {
                // A cell shown as 70 % holds 0.7.
                Ok(share) if (0.0..=1.0).contains(&share) => {
                    Value::from(format!("{} %", rounded(share * 100.0)))
                }
                Ok(_) => Value::from(format!("{plain} %")),
                Err(_) => Value::from(plain),
            }
        }
    })
}

fn is_number(text: &str) -> bool {
    !text.is_empty()
        && text.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | '-' | '+'))
}

/// A number as text: six decimals at most, as many as it needs.
pub fn rounded(number: f64) -> String {
    let text = format!("{number:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A text whose leading number has no signs between its thousands and a point before its decimals; the text itself where it
/// does not begin with such a number.
fn ungrouped(text: &str, reading: Reading) -> String {
    let is_space = |letter: char| matches!(letter, '\u{a0}' | '\u{202f}' | '\u{2009}' | '\'' | '’');
    let mut end = 0;
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    for (place, &(at, letter)) in letters.iter().enumerate() {
        // A blank belongs to the number if three digits follow.
        let three = letters.get(place + 1..place + 4);
        let three = three.is_some_and(|three| three.iter().all(|(_, letter)| letter.is_ascii_digit()));
        let belongs = letter.is_ascii_digit()
            || letter == reading.decimal
            || (at == 0 && matches!(letter, '-' | '+'))
            || (place > 0 && three && (letter == reading.group || letter == ' ' || is_space(letter)));
        if !belongs {
            break;
        }
        end = at + letter.len_utf8();
    }
    let (number, rest) = text.split_at(end);
    let (whole, decimals) = match number.split_once(reading.decimal) {
        Some((whole, decimals)) => (whole, Some(decimals)),
        None => (number, None),
    };
    let is_group = |letter: char| letter == reading.group || letter == ' ' || is_space(letter);
    let groups: Vec<&str> = whole.trim_start_matches(['-', '+']).split(is_group).collect();
    let first_fits = groups.len() == 1 || groups.first().is_some_and(|first| (1..=3).contains(&first.len()));
    let fits = first_fits && groups.iter().skip(1).all(|group| group.len() == 3);
    let has_groups_behind = decimals.is_some_and(|decimals| decimals.contains(is_group));
    if number.is_empty() || !fits || has_groups_behind || rest.starts_with([reading.group, reading.decimal]) {
        return text.to_owned();
    }
    let plain: String = whole.chars().filter(|&letter| !is_group(letter)).collect();
    let decimals = decimals.map_or_else(String::new, |decimals| format!(".{decimals}"));
    format!("{plain}{decimals}{rest}")
}

/// A date as `2026-12-07`, `2026-12-07 00:00:00`, `7.12.2026` or `7 Dec 2026`. With strokes day and month could be either way
/// round: such a text is none.
fn date(text: &str) -> Option<Date> {
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let day = text.split(['T', ' ']).next().unwrap_or(text);
    if let Some(found) = day.parse::<Date>().ok().filter(|_| day.len() == 10) {
        return Some(found);
    }
    let parts: Vec<&str> = text.split(['.', ' ', '-']).filter(|part| !part.is_empty()).collect();
    let [day, month, year] = parts[..] else { return None };
    let month = match month.parse::<i8>() {
        Ok(month) => month,
        Err(_) => {
            let lower = month.to_lowercase();
            let place = MONTHS.iter().position(|name| lower.starts_with(name))?;
            i8::try_from(place + 1).ok()?
        }
    };
    let year = year.parse::<i16>().ok().filter(|year| (1000..=9999).contains(year))?;
    Date::new(year, month, day.parse().ok()?).ok()
}

/// The letters of a column, counted from 0: `A`, `Z`, `AA`.
pub fn letters(column: usize) -> String {
    let mut letters = String::new();
    let mut left = column + 1;
    while left > 0 {
        let digit = u8::try_from((left - 1) % 26).unwrap_or(0);
        letters.insert(0, char::from(b'A' + digit));
        left = (left - 1) / 26;
    }
    letters
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(cell: &str, holds: Holds, unit: Option<&str>, reading: Reading) -> String {
        let value = value(&Cell::Text(cell.to_owned()), holds, unit, reading).unwrap();
        value.as_str().unwrap().to_owned()
    }

    #[test]
    fn thousands_and_decimals() {
        let point = |cell| text(cell, Holds::Quantity, Some("L"), Reading::POINT);
        for cell in ["1,200.5", "1 200.5", "1\u{a0}200.5", "1'200.5", "1200.5", " 1200.5 "] {
            assert_eq!(point(cell), "1200.5 L", "{cell}");
        }
        assert_eq!(point("1,200 hL"), "1200 hL");
        assert_eq!(point("1,200,300"), "1200300 L");
        assert_eq!(point("240 packages"), "240 packages");
        assert_eq!(text("1.200,5", Holds::Quantity, Some("L"), Reading::COMMA), "1200.5 L");
        assert_eq!(text("12,5 hL", Holds::Quantity, None, Reading::COMMA), "12.5 hL");
        // What is no such number is left for the reader to refuse.
        for cell in ["12,5", "1,20,300", "1.200,5", "1,2000", "a lot", "1.5.2", "1 20"] {
            assert!(
                crate::yaml::quantity::parse::<crate::units::Volume>(&point(cell)).is_err(),
                "{cell}: {}",
                point(cell)
            );
        }
    }

    #[test]
    fn dates_shares_and_days() {
        let date = |cell| text(cell, Holds::Date, None, Reading::POINT);
        for cell in
            ["2026-12-07", "2026-12-07 00:00:00", "7.12.2026", "7 Dec 2026", "07 December 2026", "7-Dec-2026"]
        {
            assert_eq!(date(cell), "2026-12-07", "{cell}");
        }
        for cell in ["7/12/2026", "12/7/2026", "31.02.2026", "7.12.26", "soon"] {
            assert_eq!(date(cell), cell);
        }
        let share = |cell| text(cell, Holds::Share, None, Reading::POINT);
        assert_eq!(
            (share("0.7"), share("70"), share("70 %"), share("1")),
            ("70 %".into(), "70 %".into(), "70 %".into(), "100 %".into())
        );
        assert_eq!(text("3", Holds::Days, None, Reading::POINT), "3 d");
        assert_eq!(text("2 weeks", Holds::Days, None, Reading::POINT), "2 weeks");
        assert_eq!(
            (letters(0), letters(25), letters(26), letters(701)),
            ("A".into(), "Z".into(), "AA".into(), "ZZ".into())
        );
        assert_eq!(rounded(12.0), "12");
        assert_eq!(rounded(0.1 + 0.2), "0.3");
    }
}
