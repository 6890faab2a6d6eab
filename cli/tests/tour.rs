//! The tour of `cases/README.md`: every command is run, and prints what stands there.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::collections::VecDeque;
use std::path::Path;

use common::{cases, cellarwright, text};

/// A command of the tour with the lines below it.
struct Shown {
    command: String,
    lines: Vec<String>,
}

/// The blocks of a page, each a run of commands in one folder.
fn blocks(page: &str) -> Vec<Vec<Shown>> {
    let mut blocks: Vec<Vec<Shown>> = Vec::new();
    let mut is_inside = false;
    for line in page.lines() {
        match (line, is_inside) {
            ("```console", false) => {
                is_inside = true;
                blocks.push(Vec::new());
            }
            ("```", true) => is_inside = false,
            (_, false) => {}
            (line, true) => {
                let block = blocks.last_mut().unwrap();
                match line.strip_prefix("$ cellarwright ") {
                    Some(command) => block.push(Shown { command: command.to_owned(), lines: Vec::new() }),
                    None => block.last_mut().unwrap().lines.push(line.to_owned()),
                }
            }
        }
    }
    blocks
}

/// A line in which the seconds of a search, which differ from run to run, are a mark.
fn masked(line: &str) -> String {
    let mut words: Vec<&str> = line.split(' ').collect();
    for place in 1..words.len() {
        let is_seconds =
            words[place].trim_end_matches(['.', ';']) == "s" && words[place - 1].parse::<f64>().is_ok();
        if is_seconds {
            words[place - 1] = "?";
        }
    }
    words.join(" ").trim_end().to_owned()
}

/// Whether lines stand in a screen in their order, without a gap but where `...` is.
fn find(shown: &[String], screen: &str) -> Result<(), String> {
    let mut rest: VecDeque<String> = screen.lines().map(masked).collect();
    let mut may_skip = false;
    for line in shown {
        if line == "..." {
            may_skip = true;
            continue;
        }
        let line = masked(line);
        while may_skip && rest.front().is_some_and(|front| *front != line) {
            rest.pop_front();
        }
        match rest.pop_front() {
            Some(front) if front == line => may_skip = false,
            front => return Err(format!("`{line}` is not there: {front:?}")),
        }
    }
    if may_skip || rest.is_empty() { Ok(()) } else { Err(format!("and then: {rest:?}")) }
}

#[test]
fn every_command_of_the_tour_prints_what_the_page_shows() {
    let page = std::fs::read_to_string(cases().join("README.md")).unwrap();
    let blocks = blocks(&page);
    assert!(blocks.len() >= 8, "{}", blocks.len());
    for block in blocks {
        let place = tempfile::tempdir().unwrap();
        copied(&cases(), &place.path().join("cases"));
        for Shown { command, lines } in block {
            let arguments: Vec<&str> = command.split(' ').collect();
            let output = cellarwright(&arguments).current_dir(place.path()).output().unwrap();
            let screen = text(&output.stdout);
            if let Err(error) = find(&lines, &screen) {
                panic!("{command}: {error}\n{screen}{}", text(&output.stderr));
            }
        }
    }
}

/// Copies what the tour needs: the small cases.
fn copied(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let to = to.join(path.file_name().unwrap());
        if path.is_dir() && !path.ends_with("scale") {
            copied(&path, &to);
        } else if path.is_file() {
            std::fs::copy(&path, &to).unwrap();
        }
    }
}

#[test]
fn a_line_that_is_not_printed_is_found_out() {
    let lines = |text: &str| text.lines().map(str::to_owned).collect::<Vec<String>>();
    assert!(find(&lines("a\n...\nc in 0.1 s."), "a\nb\nc in 7.3 s.\n").is_ok());
    for wrong in ["a\nc in 0.1 s.\n...", "a\n...\nc in 0.1 h.", "b\n...", "a", "a\n...\nb"] {
        assert!(find(&lines(wrong), "a\nb\nc in 7.3 s.\n").is_err(), "{wrong}");
    }
}
