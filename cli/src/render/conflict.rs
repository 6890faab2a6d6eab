//! A conflict of pins, outages and rules, on the screen and as JSON.

use cellarwright_model::case::Case;
use cellarwright_solver::{Conflict, Settled};
use serde::Serialize;

use super::text::wrapped;
use super::words::pins as words;

#[derive(Debug, Serialize)]
struct Document {
    status: &'static str,
    conflict: Rows,
}

#[derive(Debug, Serialize)]
struct Rows {
    /// Every member was shown to be needed.
    smallest: bool,
    settled: Vec<Row>,
    rules: Vec<RuleRow>,
    facts: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Row {
    /// The list of the brew plan: `pinned`, or `outages` (`upkeep` and `leave` included).
    kind: &'static str,
    text: String,
}

#[derive(Debug, Serialize)]
struct RuleRow {
    rule: &'static str,
    sentence: &'static str,
}

/// The screen.
#[must_use]
pub fn text(case: &Case, conflict: &Conflict) -> String {
    let mut lines = wrapped(words::NO_PLAN, 0);
    let (settled, because) = words::headings(conflict);
    lines.extend(wrapped(&settled, 0));
    for &one in &conflict.settled {
        lines.extend(wrapped(&format!("- {}", words::settled(case, one)), 2));
    }
    if !conflict.rules.is_empty() {
        lines.push(because.to_owned());
        for rule in &conflict.rules {
            lines.extend(wrapped(&format!("- {} {}", rule.code(), rule.sentence()), 2));
        }
    }
    for fact in words::facts(case, conflict) {
        lines.extend(wrapped(&fact, 0));
    }
    lines.extend(wrapped(words::advice(conflict), 0));
    let mut text = lines.join("\n");
    text.push('\n');
    text
}

/// The document.
///
/// # Errors
/// None in practice: it is text and plain words.
pub fn document(case: &Case, conflict: &Conflict) -> Result<String, serde_json::Error> {
    let settled = conflict.settled.iter().map(|&one| Row {
        kind: match one {
            Settled::Pin(_) => "pinned",
            Settled::Outage(_) => "outages",
            Settled::Done => "done",
            Settled::Changes => "changes",
        },
        text: words::settled(case, one),
    });
    let rules = conflict.rules.iter().map(|rule| RuleRow { rule: rule.code(), sentence: rule.sentence() });
    let conflict = Rows {
        smallest: conflict.is_smallest,
        settled: settled.collect(),
        rules: rules.collect(),
        facts: words::facts(case, conflict),
    };
    let mut text = serde_json::to_string_pretty(&Document { status: "no_plan", conflict })?;
    text.push('\n');
    Ok(text)
}
