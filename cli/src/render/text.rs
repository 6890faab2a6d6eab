//! The screen: sections in their order, no line wider than `WIDTH`.

use super::view::View;
use super::words::report as headings;
use super::{WIDTH, changes, model, orders, slack, taproom, to_order, vessels, volumes, week, words};

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
pub fn heading(lines: &mut Vec<String>, text: &str) {
    lines.push(String::new());
    lines.push(text.to_owned());
    lines.push("-".repeat(text.chars().count()));
}

/// A heading and what is listed below it.
pub fn list(lines: &mut Vec<String>, title: &str, items: &[impl AsRef<str>]) {
    heading(lines, title);
    for item in items {
        lines.extend(wrapped(&format!("- {}", item.as_ref()), 0));
    }
}

/// Lines as one text.
#[must_use]
pub fn joined(lines: &[String]) -> String {
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
        for sentence in words::verdict(view, verdict, Some(verdict.seconds)) {
            lines.extend(wrapped(&sentence, 0));
        }
    }
    lines.extend(wrapped(&words::packaged(view), 0));
    if view.changes.is_some() {
        heading(&mut lines, words::changes::HEADING);
        lines.extend(changes::lines(view));
    }
    heading(&mut lines, headings::WEEK);
    lines.extend(week::lines(view));
    heading(&mut lines, headings::VESSELS);
    lines.extend(vessels::lines(view));
    heading(&mut lines, headings::ORDERS);
    lines.extend(orders::lines(view));
    if view.to_order.is_some() {
        heading(&mut lines, headings::TO_ORDER);
        lines.extend(to_order::lines(view));
    }
    if !view.taps.is_empty() {
        heading(&mut lines, words::taproom::HEADING);
        lines.extend(taproom::lines(view));
    }
    heading(&mut lines, headings::SLACK);
    lines.extend(slack::lines(view));
    heading(&mut lines, headings::PARTS);
    lines.extend(slack::parts(view));
    lines.extend(cautions(view));
    joined(&lines)
}

/// The screen of `check`.
#[must_use]
pub fn check(view: &View) -> String {
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    lines.extend(wrapped(&words::checked(view), 0));
    lines.extend(wrapped(&words::packaged(view), 0));
    lines.extend(breaches(view));
    heading(&mut lines, headings::PARTS);
    lines.extend(slack::parts(view));
    lines.extend(cautions(view));
    joined(&lines)
}

/// Every breach below its rule; those that read alike are counted.
fn breaches(view: &View) -> Vec<String> {
    let mut lines = Vec::new();
    for (rule, sentences) in words::breaches::by_rule(view) {
        lines.push(String::new());
        lines.extend(wrapped(&rule, 0));
        for sentence in sentences {
            lines.extend(wrapped(&sentence, 4));
        }
    }
    lines
}

/// The section of book-keeping, where it is asked for: it is long.
#[must_use]
pub fn volumes_if(is_asked: bool, view: &View) -> String {
    if !is_asked {
        return String::new();
    }
    let mut lines = Vec::new();
    heading(&mut lines, words::volumes::HEADING);
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

/// What to heed; cautions of one kind once.
#[must_use]
pub fn cautions(view: &View) -> Vec<String> {
    let mut lines = Vec::new();
    list(&mut lines, headings::CAUTIONS, &words::listed_cautions(view));
    lines
}
