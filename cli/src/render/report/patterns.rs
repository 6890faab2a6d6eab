//! Patterns that tell beers apart without colour; colour only helps.

use maud::{Markup, html};

/// Kinds of strokes.
const KINDS: usize = 9;
/// Tints in the style sheet.
const TINTS: usize = 6;

/// How a shape is filled with the pattern of the beer at a place.
#[must_use]
pub fn fill(place: usize) -> String {
    format!("url(#beer-{place})")
}

/// How what is missing is filled.
pub const SHORT: &str = "url(#short)";

/// All patterns, one for each beer, in a drawing of no size at the top of the page.
#[must_use]
pub fn definitions(beers: &[&str]) -> Markup {
    html! {
        svg class="patterns" aria-hidden="true" width="0" height="0" xmlns="http://www.w3.org/2000/svg" {
            defs {
                @for place in 0..beers.len() { (pattern(place)) }
                pattern id="short" class="missing" width="6" height="6" patternUnits="userSpaceOnUse" {
                    rect class="ground" width="6" height="6" {}
                    path class="strokes" d="M0 0L6 6M6 0L0 6" {}
                }
            }
        }
    }
}

/// Strokes of a kind in a square of 8 by 8; further rounds through the kinds have wider squares.
fn pattern(place: usize) -> Markup {
    let strokes = match place % KINDS {
        0 => "M-2 2L2 -2M0 8L8 0M6 10L10 6",
        1 => "M0 2H8M0 6H8",
        2 => "M2 2h1v1h-1zM6 6h1v1h-1z",
        3 => "M-2 6L2 10M0 0L8 8M6 -2L10 2",
        4 => "M2 0V8M6 0V8",
        5 => "M0 4H8M4 0V8",
        6 => "M0 6L4 2L8 6",
        7 => "M4 2a2 2 0 1 0 .1 0z",
        _ => "M1 4H4M5 8V5M5 3V0",
    };
    let scale = 1.0 + 0.75 * (place / KINDS) as f64;
    html! {
        pattern id={ "beer-" (place) } class={ "tint-" (place % TINTS) } width="8" height="8" patternUnits="userSpaceOnUse"
            patternTransform={ "scale(" (format!("{scale:.2}")) ")" } {
            rect class="ground" width="8" height="8" {}
            path class="strokes" d=(strokes) {}
        }
    }
}
