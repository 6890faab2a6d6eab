//! The screen: sections in their order, no line wider than `WIDTH`.

use super::numbers::{grouped, hl};
use super::view::View;
use super::{WIDTH, model, orders, slack, taproom, to_order, vessels, volumes, week, words};

/// Text in lines of at most `WIDTH` characters, after an indent; later lines hang by two more.
#[must_use]
pub fn wrapped(text: &str, indent: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = " ".repeat(indent);
    let mut is_fresh = true;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let length = line.chars().count() + word.chars().count() + usize::from(!is_fresh);
        if length > WIDTH && !is_fresh {
            lines.push(std::mem::replace(&mut line, " ".repeat(indent + 2)));
            is_fresh = true;
        }
        if !is_fresh {
            line.push(' ');
        }
        line.push_str(word);
        is_fresh = false;
    }
    lines.push(line);
    lines
}

/// Items one after another, none broken over two lines.
#[must_use]
pub fn items(items: &[String]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for item in items {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 3 + item.chars().count() <= WIDTH => {
                line.push_str(" | ");
                line.push_str(item);
            }
            _ => lines.push(item.clone()),
        }
    }
    lines
}

/// A heading with a line below it.
fn heading(lines: &mut Vec<String>, text: &str) {
    lines.push(String::new());
    lines.push(text.to_owned());
    lines.push("-".repeat(text.chars().count()));
}

fn joined(lines: &[String]) -> String {
    let mut text = String::new();
    for line in lines {
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// The screen of `plan`.
#[must_use]
pub fn plan(view: &View) -> String {
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    if let Some(verdict) = &view.verdict {
        for sentence in words::verdict(view, verdict) {
            lines.extend(wrapped(&sentence, 0));
        }
    }
    lines.extend(wrapped(&packaged(view), 0));
    heading(&mut lines, "Work by day");
    lines.extend(week::lines(view));
    heading(&mut lines, "Vessels by day");
    lines.extend(vessels::lines(view));
    heading(&mut lines, "Orders");
    lines.extend(orders::lines(view));
    if view.to_order.is_some() {
        heading(&mut lines, "Materials to order");
        lines.extend(to_order::lines(view));
    }
    if !view.taps.is_empty() {
        heading(&mut lines, words::taproom::HEADING);
        lines.extend(taproom::lines(view));
    }
    heading(&mut lines, "Slack, tightest first");
    lines.extend(slack::lines(view));
    heading(&mut lines, "What the objective is made of");
    lines.extend(slack::parts(view));
    lines.extend(cautions(view));
    joined(&lines)
}

/// The screen of `check`.
#[must_use]
pub fn check(view: &View) -> String {
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    lines.extend(wrapped(&words::checked(view), 0));
    lines.extend(wrapped(&packaged(view), 0));
    lines.extend(breaches(view));
    heading(&mut lines, "What the objective is made of");
    lines.extend(slack::parts(view));
    lines.extend(cautions(view));
    joined(&lines)
}

/// Every breach below its rule; those that read alike are counted.
fn breaches(view: &View) -> Vec<String> {
    let mut lines = Vec::new();
    let mut rule = "";
    let mut alike: Option<(String, usize)> = None;
    let flush = |alike: &mut Option<(String, usize)>, lines: &mut Vec<String>| {
        if let Some((text, times)) = alike.take() {
            let times = if times > 1 { format!(" ({times} times)") } else { String::new() };
            lines.extend(wrapped(&format!("{text}{times}"), 4));
        }
    };
    for breach in &view.violations {
        let text = words::breaches::sentence(breach);
        match &mut alike {
            Some((before, times)) if *before == text && breach.rule == rule => *times += 1,
            _ => {
                flush(&mut alike, &mut lines);
                if breach.rule != rule {
                    lines.push(String::new());
                    lines.extend(wrapped(&format!("{} {}", breach.rule, breach.sentence), 0));
                    rule = breach.rule;
                }
                alike = Some((text, 1));
            }
        }
    }
    flush(&mut alike, &mut lines);
    lines
}

/// The section of book-keeping, where it is asked for: it is long.
#[must_use]
pub fn volumes_if(is_asked: bool, view: &View) -> String {
    if !is_asked {
        return String::new();
    }
    let mut lines = Vec::new();
    heading(&mut lines, "Volumes by batch");
    lines.extend(volumes::lines(view));
    joined(&lines)
}

/// The section of the program's size, where it is asked for and there is a program.
#[must_use]
pub fn model_if(is_asked: bool, view: &View) -> String {
    let Some(size) = view.model.as_ref().filter(|_| is_asked) else {
        return String::new();
    };
    let mut lines = Vec::new();
    heading(&mut lines, words::model::HEADING);
    lines.extend(model::lines(size));
    joined(&lines)
}

fn packaged(view: &View) -> String {
    let (first, last) = match (view.days.first(), view.days.last()) {
        (Some(first), Some(last)) => (first.label.as_str(), last.label.as_str()),
        _ => ("", ""),
    };
    let filled = view.packaged.iter().filter(|row| row.packaged_hl > 0.0);
    let formats: Vec<String> = filled.map(|row| format!("{} {}", row.format, hl(row.packaged_hl))).collect();
    let by_format = if formats.is_empty() { String::new() } else { format!(" ({})", formats.join(", ")) };
    format!("Packaged {first} to {last}: {} hL{by_format}.", grouped(view.packaged_hl, 1))
}

fn cautions(view: &View) -> Vec<String> {
    let mut lines = Vec::new();
    heading(&mut lines, "Cautions");
    let mut shown: Vec<&str> = Vec::new();
    for caution in &view.cautions {
        let Some(code) = caution.code else {
            lines.extend(wrapped(&format!("- {}", caution.text), 0));
            continue;
        };
        if shown.contains(&code) {
            continue;
        }
        shown.push(code);
        let more = view.cautions.iter().filter(|other| other.code == caution.code).count() - 1;
        let more = if more > 0 { format!("; and {more} more of this kind") } else { String::new() };
        lines.extend(wrapped(&format!("- {code}: {}{more}", caution.text), 0));
    }
    lines
}
