//! YAML text as a tree of nodes with their places. Nothing is followed, expanded or guessed:
//! anchors, aliases and tags are refused, the depth is limited, and every scalar stays text.

use saphyr_parser::{Event, Parser, Span};

use crate::finding::{Finding, PathStep, Place, Severity};

use super::LARGEST_FILE;

/// Lists and mappings inside one another, at most.
const DEEPEST: usize = 16;

/// Where a node begins: line and column from 1.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct At {
    pub line: usize,
    pub column: usize,
}

/// One node.
#[derive(Debug)]
pub(super) struct Node {
    pub at: At,
    pub kind: Kind,
}

/// What a node is.
#[derive(Debug)]
pub(super) enum Kind {
    Text(String),
    List(Vec<Node>),
    /// Keys in the order of the file, each with its own place; a key may be there twice.
    Mapping(Vec<(String, At, Node)>),
}

/// A collection that is still being read.
enum Open {
    List(At, Vec<Node>),
    Mapping(At, Vec<(String, At, Node)>, Option<(String, At)>),
}

/// A finding about a place in the plan file.
pub(super) fn finding(
    file: &str,
    code: &'static str,
    at: Option<At>,
    path: &[PathStep],
    found: &str,
    allowed: &str,
) -> Box<Finding> {
    let place = Place {
        file: file.to_owned(),
        path: path.to_vec(),
        line: at.map(|at| at.line),
        column: at.map(|at| at.column),
    };
    let found = found.chars().take(80).collect();
    let allowed = allowed.to_owned();
    Box::new(Finding { code, severity: Severity::Error, place, found, allowed, hint: None })
}

/// The tree of a text, or the one finding that keeps it from being read.
pub(super) fn parse(file: &str, text: &str) -> Result<Node, Box<Finding>> {
    if text.len() > LARGEST_FILE {
        let found = format!("{} bytes", text.len());
        return Err(finding(file, "V601", None, &[], &found, "a file of at most 16 MB"));
    }
    if let Some((number, _)) = text.lines().enumerate().find(|(_, line)| line.chars().any(is_binary)) {
        let at = At { line: number + 1, column: 1 };
        return Err(finding(file, "V602", Some(at), &[], "a control character", "plain text"));
    }
    let mut parser = Parser::new_from_str(text);
    let mut open: Vec<Open> = Vec::new();
    let mut root = None;
    let mut documents = 0;
    while let Some(event) = parser.next_event() {
        let (event, span) = event.map_err(|error| {
            let at = At { line: error.marker().line(), column: error.marker().col() + 1 };
            finding(file, "V603", Some(at), &[], error.info(), "YAML text")
        })?;
        let at = place(span);
        let refused = |found: &str, allowed: &str| Err(finding(file, "V604", Some(at), &[], found, allowed));
        let node = match event {
            Event::Alias(_) => return refused("an alias", "values written out, no anchors or aliases"),
            Event::Scalar(_, _, anchor, _)
            | Event::SequenceStart(anchor, _)
            | Event::MappingStart(anchor, _)
                if anchor != 0 =>
            {
                return refused("an anchor", "values written out, no anchors or aliases");
            }
            Event::Scalar(_, _, _, Some(_))
            | Event::SequenceStart(_, Some(_))
            | Event::MappingStart(_, Some(_)) => {
                return refused("a tag", "values without tags");
            }
            Event::DocumentStart(_) => {
                documents += 1;
                if documents > 1 {
                    return refused("a second document", "one document in the file");
                }
                continue;
            }
            Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => continue,
            Event::SequenceStart(..) => {
                open.push(Open::List(at, Vec::new()));
                None
            }
            Event::MappingStart(..) => {
                open.push(Open::Mapping(at, Vec::new(), None));
                None
            }
            Event::Scalar(text, ..) => Some(Node { at, kind: Kind::Text(text.into_owned()) }),
            Event::SequenceEnd | Event::MappingEnd => match open.pop() {
                Some(Open::List(at, items)) => Some(Node { at, kind: Kind::List(items) }),
                Some(Open::Mapping(at, entries, _)) => Some(Node { at, kind: Kind::Mapping(entries) }),
                None => None,
            },
        };
        if open.len() > DEEPEST {
            return refused("lists inside lists", "the shape of a plan");
        }
        let Some(node) = node else { continue };
        match open.last_mut() {
            None => root = Some(node),
            Some(Open::List(_, items)) => items.push(node),
            Some(Open::Mapping(_, entries, key)) => match (key.take(), node.kind) {
                (Some((key, key_at)), kind) => entries.push((key, key_at, Node { at: node.at, kind })),
                (None, Kind::Text(text)) => *key = Some((text, node.at)),
                (None, _) => return refused("a list or mapping as a key", "a word as a key"),
            },
        }
    }
    root.ok_or_else(|| finding(file, "V605", None, &[], "an empty file", "a plan"))
}

fn place(span: Span) -> At {
    At { line: span.start.line().max(1), column: span.start.col() + 1 }
}

fn is_binary(character: char) -> bool {
    (character.is_control() && !matches!(character, '\t' | '\r' | '\u{85}')) || character == '\u{fffd}'
}
