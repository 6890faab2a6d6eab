//! The tour of `cases/README.md` and the screens of `README.md`: every command is run, and prints what stands there.

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

/// Commands that search: on a machine that does other work they may need longer than by themselves.
const SEARCHES: [&str; 8] = ["plan", "replan", "rehearse", "keep-up", "levers", "why", "compare", "layout"];

/// Words of a command, with quotation marks as in a shell.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (place, part) in command.split('"').enumerate() {
        if place % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn every_command_of_the_tour_prints_what_the_page_shows() {
    prints_what_it_shows(&cases().join("README.md"), 8);
}

#[test]
fn every_command_of_the_first_page_prints_what_the_page_shows() {
    let page = cases().join("../README.md");
    prints_what_it_shows(&page, 12);
    let page = std::fs::read_to_string(page).unwrap();
    for command in ["plan", "replan", "rehearse", "keep-up", "levers", "why", "compare", "layout", "pressure"]
    {
        assert!(page.contains(&format!("\n$ cellarwright {command} ")), "{command} is not shown");
    }
}

/// Runs the commands of a page that has so many blocks of them at least.
fn prints_what_it_shows(page: &Path, at_least: usize) {
    let blocks = blocks(&std::fs::read_to_string(page).unwrap());
    assert!(blocks.len() >= at_least, "{}", blocks.len());
    for block in blocks {
        let place = tempfile::tempdir().unwrap();
        copied(&cases(), &place.path().join("cases"));
        for Shown { command, lines } in block {
            let mut arguments = words(&command);
            if SEARCHES.contains(&arguments[0].as_str()) {
                arguments.extend(["--seconds", "600"].map(str::to_owned));
            }
            let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
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
