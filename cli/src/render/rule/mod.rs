//! A rule, explained: what it says, why, its numbers in a case, its source.

mod beer;
pub mod numbers;
mod vessels;

use cellarwright_model::case::Case;
use cellarwright_model::rule::RuleId;

use super::text::wrapped;
use super::words::rules as words;

/// All rules, one sentence each.
#[must_use]
pub fn list() -> String {
    let mut lines = wrapped(words::ALL, 0);
    for rule in RuleId::ALL {
        lines.push(String::new());
        lines.extend(wrapped(&format!("{}  {}", rule.code(), rule.sentence()), 0));
    }
    lines.join("\n") + "\n"
}

/// One rule; with its numbers if there is a case.
#[must_use]
pub fn text(rule: RuleId, case: Option<&Case>) -> String {
    let told = words::told(rule);
    let mut lines = wrapped(&format!("{}  {}", rule.code(), rule.sentence()), 0);
    lines.push(String::new());
    lines.extend(wrapped(&format!("Why: {}", told.why), 0));
    lines.push(String::new());
    match case {
        None => lines.extend(wrapped(words::NO_CASE, 0)),
        Some(case) => {
            lines.extend(wrapped(&format!("In {}, {}:", case.name, case.cellar), 0));
            let numbers = numbers::lines(rule, case);
            if numbers.is_empty() {
                lines.extend(wrapped(&format!("- {}", words::NOTHING_HERE), 0));
            }
            for line in numbers {
                lines.extend(wrapped(&format!("- {line}"), 0));
            }
        }
    }
    lines.push(String::new());
    lines.extend(wrapped(&format!("Source: {}.", told.source), 0));
    lines.join("\n") + "\n"
}

/// The rule of a number such as `R06`, in any case.
#[must_use]
pub fn by_code(code: &str) -> Option<RuleId> {
    let code = code.trim().to_uppercase();
    RuleId::ALL.into_iter().find(|rule| rule.code() == code)
}

/// Lines of names and what holds for them, names of the same together.
fn together(all: impl Iterator<Item = (String, String)>) -> Vec<String> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for (name, text) in all {
        match groups.iter_mut().find(|(known, _)| *known == text) {
            Some((_, names)) => names.push(name),
            None => groups.push((text, vec![name])),
        }
    }
    groups.into_iter().map(|(text, names)| format!("{}: {text}", names.join(", "))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use cellarwright_model::yaml::read_case;

    #[test]
    fn every_rule_is_explained_within_the_screen() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../cases/fennick-wharf-in-full/brewplan.yaml");
        let case = read_case(&path).case.unwrap();
        for rule in RuleId::ALL {
            let told = words::told(rule);
            assert!(told.why.ends_with('.') && !told.source.is_empty(), "{rule:?}");
            let shown = text(rule, Some(&case));
            assert!(!shown.contains(words::NOTHING_HERE), "the full case has numbers for {rule:?}:\n{shown}");
            for line in shown.lines().chain(list().lines()) {
                assert!(line.chars().count() <= 100, "{line}");
            }
            assert_eq!(by_code(rule.code()), Some(rule));
            assert!(list().contains(rule.code()));
        }
        assert_eq!(by_code("r06"), Some(RuleId::BrightRest));
        assert_eq!(by_code("R28"), None);
    }

    #[test]
    fn the_numbers_are_those_of_the_case() {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/fennick-wharf/brewplan.yaml");
        let case = read_case(&path).case.unwrap();
        let shown = text(RuleId::BrightRest, Some(&case));
        for words in ["B1, B2", "clean 2 h", "transfer 3 h", "carbonating 6 h", "filled again in the next"] {
            assert!(shown.contains(words), "{words} in\n{shown}");
        }
        assert!(text(RuleId::WarmStore, Some(&case)).contains(words::NOTHING_HERE));
        assert!(text(RuleId::Turns, None).contains(words::NO_CASE));
    }
}
