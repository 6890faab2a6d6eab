//! Orders that a person names: by name, or by beer, format and due day.

use crate::case::{Aim, Case};
use crate::finding::{Finding, Place, Severity};
use crate::ids::OrderId;
use crate::yaml::did_you_mean;

/// Codes of what is wrong with orders that are named.
pub const CODES: [&str; 4] = ["V190", "V191", "V192", "V193"];

/// As many orders as are listed where one is to be chosen.
const MOST_LISTED: usize = 12;

/// Orders that texts name, each once, in the order of the file. A text is the name of an order, or some of its name, beer, format and due
/// day with commas between them; it must fit one order alone.
///
/// # Errors
/// What is wrong with each text, with what is allowed. `place` is what the texts were given for, such as an option.
pub fn orders(case: &Case, texts: &[String], place: &str) -> Result<Vec<OrderId>, Vec<Finding>> {
    let finding = |code, found: &str, allowed: String, hint| Finding {
        code,
        severity: Severity::Error,
        place: Place { file: place.to_owned(), ..Place::default() },
        found: found.to_owned(),
        allowed,
        hint,
    };
    if matches!(case.aim, Aim::Output(_)) {
        let allowed = "a brew plan with `aim: orders`".to_owned();
        return Err(vec![finding("V192", "", allowed, None)]);
    }
    let mut chosen = Vec::new();
    let mut wrong = Vec::new();
    for text in texts {
        let found = fitting(case, text);
        match found.as_slice() {
            [one] if case.order(*one).due < 0 => {
                let allowed = "an order that is due on the first day or later".to_owned();
                wrong.push(finding("V193", text, allowed, None));
            }
            [one] => chosen.push(*one),
            [] => {
                let all: Vec<OrderId> = case.order_ids().collect();
                let parts: Vec<String> = all.iter().flat_map(|&id| words(case, id)).collect();
                // Of several words the first that nothing has.
                let known = |word: &&str| !parts.iter().any(|part| is_same(part, word));
                let odd = text.split(',').map(str::trim).find(known).unwrap_or(text);
                let hint = did_you_mean(odd, parts.iter().map(String::as_str));
                wrong.push(finding("V190", text, list(case, &all), hint));
            }
            several => {
                let hint = Some("add the format or the due day, with commas between them".to_owned());
                wrong.push(finding("V191", text, list(case, several), hint));
            }
        }
    }
    chosen.sort_unstable();
    chosen.dedup();
    if wrong.is_empty() { Ok(chosen) } else { Err(wrong) }
}

/// Name, beer, format and due day.
fn words(case: &Case, id: OrderId) -> [String; 4] {
    let order = case.order(id);
    let beer = case.beer(order.beer).name.clone();
    let format = case.format(order.format).name.clone();
    [order.name.clone(), beer, format, case.calendar.date(order.due).to_string()]
}

fn is_same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

fn fitting(case: &Case, text: &str) -> Vec<OrderId> {
    let text = text.trim();
    let named: Vec<OrderId> = case.order_ids().filter(|&id| is_same(&case.order(id).name, text)).collect();
    if !named.is_empty() {
        return named;
    }
    let fits = |id: &OrderId| {
        let own = words(case, *id);
        text.split(',').map(str::trim).all(|word| own.iter().any(|part| is_same(part, word)))
    };
    case.order_ids().filter(fits).collect()
}

/// Orders by name, with what else they can be told by.
fn list(case: &Case, ids: &[OrderId]) -> String {
    let shown = ids.iter().take(MOST_LISTED).map(|&id| {
        let [name, beer, format, due] = words(case, id);
        format!("`{name}` ({beer}, {format}, {due})")
    });
    let mut text: Vec<String> = shown.collect();
    if ids.len() > MOST_LISTED {
        text.push(format!("or one of {} more", ids.len() - MOST_LISTED));
    }
    if text.is_empty() { "the brew plan has no orders".to_owned() } else { text.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testkit;
    use crate::units::Volume;

    fn named() -> Case {
        let mut case = testkit::tiny(7);
        let first = testkit::order(Volume::HECTOLITRE, 3, true);
        case.orders = vec![crate::case::Order { name: "Harbour, first".into(), ..first.clone() }];
        for (name, due) in [("inn", first.due), ("fair", first.due + 1)] {
            case.orders.push(crate::case::Order { name: name.into(), due, ..first.clone() });
        }
        case
    }

    fn choose(case: &Case, texts: &[&str]) -> Result<Vec<usize>, Vec<Finding>> {
        let texts: Vec<String> = texts.iter().map(|&text| text.to_owned()).collect();
        orders(case, &texts, "--order").map(|ids| ids.into_iter().map(|id| id.0).collect())
    }

    #[test]
    fn an_order_is_named_by_name_or_by_what_it_alone_has() {
        let case = named();
        let beer = case.beers[case.orders[0].beer.0].name.to_uppercase();
        let later = case.calendar.date(case.orders[2].due).to_string();
        assert_eq!(choose(&case, &["FAIR", "harbour, first", "fair"]), Ok(vec![0, 2]));
        assert_eq!(choose(&case, &[&format!("{beer}, {later}")]), Ok(vec![2]));
    }

    #[test]
    fn what_fits_none_or_several_is_told_with_what_there_is() {
        let case = named();
        let beer = case.beers[case.orders[0].beer.0].name.clone();
        let wrong = choose(&case, &["fare", &beer]).unwrap_err();
        assert_eq!(wrong.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V190", "V191"]);
        assert_eq!(wrong[0].hint.as_deref(), Some("did you mean `fair`?"));
        assert!(wrong.iter().all(|finding| finding.allowed.contains("`inn`")), "{wrong:?}");
    }

    #[test]
    fn orders_that_cannot_be_asked_about_are_refused() {
        let mut case = named();
        case.orders[1].due = -1;
        assert_eq!(choose(&case, &["inn"]).unwrap_err()[0].code, "V193");
        case.aim = Aim::Output(None);
        assert_eq!(choose(&case, &["inn"]).unwrap_err()[0].code, "V192");
    }

    #[test]
    fn long_lists_are_cut() {
        let mut case = named();
        let one = case.orders[2].clone();
        for number in 0..20 {
            case.orders.push(crate::case::Order { name: format!("n{number}"), ..one.clone() });
        }
        let wrong = choose(&case, &["nobody"]).unwrap_err();
        assert!(wrong[0].allowed.ends_with("or one of 11 more"), "{}", wrong[0].allowed);
    }
}
