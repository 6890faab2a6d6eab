//! The frame of a report: head, style, contents, parts.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::render::words::report as words;

/// A part of a report.
#[derive(Debug)]
pub struct Part {
    /// Its mark in the page, unlike all others.
    pub id: &'static str,
    /// Its heading.
    pub heading: &'static str,
    /// What stands below the heading.
    pub body: Markup,
}

impl Part {
    /// A part that lists sentences.
    #[must_use]
    pub fn list(id: &'static str, heading: &'static str, items: &[impl AsRef<str>]) -> Self {
        Self { id, heading, body: html! { ul { @for item in items { li { (with_code(item.as_ref())) } } } } }
    }
}

/// A sentence in which keys and commands, between grave accents, are set as such.
fn with_code(sentence: &str) -> Markup {
    html! {
        @for (place, part) in sentence.split('`').enumerate() {
            @if place % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

/// Nothing is fetched and nothing runs, whatever a name in the input looks like.
const POLICY: &str =
    "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// A whole page.
#[must_use]
pub fn page(title: &str, below_title: &str, patterns: &Markup, parts: &[Part]) -> String {
    let style = PreEscaped(include_str!("style.css"));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                link rel="icon" href="data:,";
                title { (title) }
                style { (style) }
            }
            body {
                (patterns)
                header {
                    h1 { (title) }
                    p { (below_title) }
                }
                nav aria-label=(words::CONTENTS) {
                    ul { @for part in parts { li { a href={ "#" (part.id) } { (part.heading) } } } }
                }
                main {
                    @for part in parts {
                        section id=(part.id) aria-labelledby={ (part.id) "-heading" } {
                            h2 id={ (part.id) "-heading" } { (part.heading) }
                            (part.body)
                        }
                    }
                }
                footer { p { (words::made_with(env!("CARGO_PKG_VERSION"))) } }
            }
        }
    };
    let mut text = page.into_string();
    text.push('\n');
    text
}
