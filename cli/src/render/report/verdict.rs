//! How good the plan is, what it breaks, and what to heed.

use maud::{Markup, html};

use super::page::Part;
use crate::render::numbers::{volume_of, volume_to};
use crate::render::view::View;
use crate::render::words::{self, report as own};

/// The verdict and the figures that a head brewer asks for first.
#[must_use]
pub fn part(view: &View) -> Part {
    let sentences = match &view.verdict {
        Some(verdict) => words::verdict(view, verdict, None),
        None => vec![words::checked(view)],
    };
    let body = html! {
        @for (place, sentence) in sentences.iter().enumerate() {
            @let sentence = own::kept_together(sentence);
            @if place == 0 { p class="first" { (sentence) } } @else { p { (sentence) } }
        }
        (figures(view))
    };
    Part { id: "verdict", heading: own::VERDICT, body }
}

fn figures(view: &View) -> Markup {
    let units = view.units.system;
    let short: Vec<f64> = view.orders.iter().filter(|row| row.short).map(|row| row.missed_hl).collect();
    let late: f64 = view.orders.iter().map(|row| row.late_hl).sum();
    let binding: Vec<&str> =
        view.slack.iter().filter(|row| row.binding).map(|row| row.resource.as_str()).collect();
    let dry: usize = view.taps.iter().map(|tap| tap.dry.len() + tap.short.len()).sum();
    html! {
        dl {
            div { dt { (own::PACKAGED) } dd { (volume_to(units, view.packaged_hl, 1)) " " (view.units.volume) } }
            @for row in view.packaged.iter().filter(|row| row.packaged_hl > 0.0) {
                div { dt { (row.format) } dd { (volume_of(units, row.packaged_hl)) } }
            }
            div {
                dt { (own::ORDERS_SHORT) }
                dd { (own::short_orders(short.len(), view.orders.len(), &volume_of(units, short.iter().sum()))) }
            }
            @if late > 0.0 { div { dt { (own::LATE) } dd { (volume_of(units, late)) } } }
            @if !view.taps.is_empty() { div { dt { (own::DRY_DAYS) } dd { (dry) } } }
            div class="wide" {
                dt { (own::WHAT_BINDS) }
                dd { @if binding.is_empty() { (own::NOTHING) } @else { (binding.join("; ")) } }
            }
        }
    }
}

/// Every rule that the plan breaks, where there is one.
#[must_use]
pub fn breaches(view: &View) -> Option<Part> {
    let rules = words::breaches::by_rule(view);
    if rules.is_empty() {
        return None;
    }
    let body = html! {
        @for (rule, sentences) in &rules {
            h3 { (rule) }
            ul { @for sentence in sentences { li { (sentence) } } }
        }
    };
    Some(Part { id: "breaches", heading: own::BREACHES, body })
}

/// What to heed.
#[must_use]
pub fn cautions(view: &View) -> Part {
    Part::list("cautions", own::CAUTIONS, &words::listed_cautions(view))
}
