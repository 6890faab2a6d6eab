//! Numbers as people read them.

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
}
