//! Pieces of drawings: the frame that says what is drawn, numbers, and words that fit.

use maud::{Markup, html};

/// About the width of a character at a size of 11 px, in px: a little more than most letters of a wide font take.
const LETTER: f64 = 6.6;
/// The same of bold characters.
const BOLD: f64 = 7.5;

/// A coordinate with a tenth of a pixel.
#[must_use]
pub fn n(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// What a drawing is, and how large.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// Its mark in the page, unlike all others.
    pub id: &'a str,
    /// What it shows, read out.
    pub title: &'a str,
    /// What stands above it.
    pub caption: &'a Markup,
    /// What it says to who cannot see it, and where the same stands in words.
    pub description: &'a str,
    /// Width in px.
    pub width: f64,
    /// Height in px.
    pub height: f64,
}

/// A drawing with its title; what is wider than the window is moved within its own frame.
#[must_use]
pub fn figure(frame: Frame, body: &Markup) -> Markup {
    let Frame { id, title, caption, description, width, height } = frame;
    html! {
        figure {
            figcaption { (caption) }
            div class="drawing" role="group" aria-label=(title) tabindex="0" {
                svg role="img" aria-labelledby={ (id) "-title" } aria-describedby={ (id) "-text" } width=(n(width)) height=(n(height))
                    viewBox={ "0 0 " (n(width)) " " (n(height)) } xmlns="http://www.w3.org/2000/svg" {
                    title id={ (id) "-title" } { (title) }
                    desc id={ (id) "-text" } { (description) }
                    (body)
                }
            }
        }
    }
}

/// The first text that fits into a width in bold, if there is one.
#[must_use]
pub fn fitting(texts: Vec<String>, width: f64) -> Option<String> {
    texts.into_iter().find(|text| !text.is_empty() && fits(text, width))
}

/// Whether a text fits into a width in bold.
#[must_use]
pub fn fits(text: &str, width: f64) -> bool {
    text.chars().count() as f64 * BOLD <= width
}

/// A name that fits into a width in bold; the end of a longer one is left out.
#[must_use]
pub fn shortened(name: &str, width: f64) -> String {
    if fits(name, width) {
        return name.to_owned();
    }
    let most = ((width / BOLD).floor() as usize).max(2);
    name.chars().take(most - 1).chain(['\u{2026}']).collect()
}

/// A text in lines that fit into a width; a word that is too long is cut, with an ellipsis.
#[must_use]
pub fn lines(text: &str, width: f64) -> Vec<String> {
    let most = ((width / LETTER).floor() as usize).max(2);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let word: String = if word.chars().count() > most {
            word.chars().take(most - 1).chain(['\u{2026}']).collect()
        } else {
            word.to_owned()
        };
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// A text at a place.
#[must_use]
pub fn text(x: f64, y: f64, class: &str, text: &str) -> Markup {
    html! { text x=(n(x)) y=(n(y)) class=(class) { (text) } }
}
