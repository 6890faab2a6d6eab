//! The report of a choice of vessels: the answer and its proof, what is bought, the ways side by side, money against output as a plot.

use maud::{Markup, html};

use super::draw::{Frame, figure, n, text};
use super::page::{Part, page};
use super::table::{names, numbers, table};
use crate::render::layout::{bought_cells, day_cells, family_cells, point_cells, season_cells};
use crate::render::numbers::{grouped, volume};
use crate::render::view::LayoutView;
use crate::render::words::layout as own;
use crate::render::words::{self, report as report_words};

/// Room for the numbers beside the plot.
const LEFT: f64 = 64.0;
/// Width of the plot.
const WIDTH: f64 = 560.0;
/// Height of the plot.
const HEIGHT: f64 = 240.0;
/// Room above, for the number of the highest point.
const TOP: f64 = 28.0;
/// Room for the numbers and words below the plot.
const BELOW: f64 = 44.0;
/// Room at the right, for the number of the last point.
const RIGHT: f64 = 60.0;

/// Width of an amount below the plot.
const AMOUNT: f64 = 56.0;

/// The report of `layout`.
#[must_use]
pub fn of_layout(view: &LayoutView) -> String {
    let mut parts = vec![Part { id: "verdict", heading: report_words::VERDICT, body: verdict(view) }];
    if let Some(row) = view.families.first() {
        if row.status == "not_met" {
            parts.push(Part::list("forbids", own::FORBIDS, &own::forbids(row)));
        }
        if !row.purchases.bought.is_empty() {
            let body = rows(own::BOUGHT, &own::bought_columns(view.units), 1, &bought_cells(view, row));
            parts.push(Part { id: "bought", heading: own::BOUGHT, body });
        }
        if !row.seasons.is_empty() {
            let body = rows(own::SEASONS, &own::season_columns(view.units), 1, &season_cells(view, row));
            parts.push(Part { id: "seasons", heading: own::SEASONS, body });
        }
    }
    let families: Vec<Vec<String>> = view.families.iter().map(family_cells).collect();
    parts.push(Part {
        id: "families",
        heading: own::FAMILIES,
        body: rows(own::FAMILIES, &own::family_columns(), 2, &families),
    });
    parts.push(Part { id: "frontier", heading: own::FRONTIER, body: frontier(view) });
    if view.families.iter().any(|row| row.after_ready.is_some()) {
        let body = html! {
            (rows(own::DAYS, &own::day_columns(), 1, &day_cells(view)))
            p { (report_words::kept_together(&own::saved(view.saved.as_ref()))) }
        };
        parts.push(Part { id: "days", heading: own::DAYS, body });
    }
    if let Some(peak) = &view.peak {
        let body = html! {
            @for sentence in own::peak(view, peak) { p { (report_words::kept_together(&sentence)) } }
        };
        parts.push(Part { id: "peak", heading: own::PEAK, body });
    }
    parts.push(Part::list("assumed", own::ASSUMED, &view.assumptions));
    parts.push(Part::list("cautions", report_words::CAUTIONS, &words::listed(&view.cautions)));
    page(&own::title(view), own::CAPTION, &html! {}, &parts)
}

fn verdict(view: &LayoutView) -> Markup {
    let sentences = own::verdict(view);
    html! {
        @for (place, sentence) in sentences.iter().enumerate() {
            p class=[(place == 0).then_some("first")] { (report_words::kept_together(sentence)) }
        }
    }
}

/// A table of which the first columns are words.
fn rows(caption: &str, header: &[String], words: usize, rows: &[Vec<String>]) -> Markup {
    let columns: Vec<_> = header
        .iter()
        .enumerate()
        .map(|(place, heading)| if place < words { names(heading) } else { numbers(heading) })
        .collect();
    table(caption, &columns, rows, None)
}

fn frontier(view: &LayoutView) -> Markup {
    let cells: Vec<Vec<String>> = view.frontier.iter().map(|point| point_cells(view, point)).collect();
    html! {
        @if !cells.is_empty() {
            (plot(view))
            (rows(own::FRONTIER, &own::point_columns(view.units), 1, &cells))
        }
        @for sentence in own::frontier(view) { p { (report_words::kept_together(&sentence)) } }
    }
}

/// Output against what purchases cost a year: steps, as nothing between two points meets more than the lower. What is asked for is a line across.
fn plot(view: &LayoutView) -> Markup {
    let points: Vec<(f64, f64)> =
        view.frontier.iter().map(|point| (point.purchases.bought_a_year, point.output_a_week_hl)).collect();
    let asked = view.asked_a_week_hl;
    let most_money = points.iter().map(|point| point.0).fold(1.0, f64::max);
    let most_output = points.iter().map(|point| point.1).fold(asked.max(0.1), f64::max);
    let (right, bottom) = (LEFT + WIDTH, TOP + HEIGHT);
    let x = |money: f64| LEFT + WIDTH * money / most_money;
    let y = |output: f64| bottom - HEIGHT * output / most_output;
    let mut steps = format!("M{} {}", n(LEFT), n(bottom));
    for &(money, output) in &points {
        steps.push_str(&format!("H{}V{}", n(x(money)), n(y(output))));
    }
    steps.push_str(&format!("H{}", n(right + 12.0)));
    // Amounts that would stand in each other's way are in the table.
    let mut told: Vec<f64> = Vec::new();
    for &(money, _) in &points {
        if told.last().is_none_or(|&last| x(money) - x(last) >= AMOUNT) {
            told.push(money);
        }
    }
    let unit = view.units.volume().name;
    let body = html! {
        path class="axis" d={ "M" (n(LEFT)) " " (n(TOP)) "V" (n(bottom)) "H" (n(right + 12.0)) } {}
        path class="ahead" d={ "M" (n(LEFT)) " " (n(y(asked))) "H" (n(right + 12.0)) } {}
        (text(LEFT + 4.0, y(asked) - 4.0, "soft", &own::asked(view)))
        path class="steps" d=(steps) {}
        @for &(money, output) in &points {
            g {
                title { (own::point(view, money, output)) }
                rect class="bar" fill="currentColor" x=(n(x(money) - 3.0)) y=(n(y(output) - 3.0)) width="6" height="6" {}
                (text(x(money) + 6.0, y(output) + 14.0, "strong", &volume(view.units, output)))
            }
        }
        @for money in told { (text(x(money), bottom + 16.0, "middle", &grouped(money, 0))) }
        (text(4.0, TOP - 12.0, "soft", &own::output_axis(unit)))
        (text(LEFT + WIDTH / 2.0, bottom + 36.0, "middle soft", own::MONEY_AXIS))
    };
    let frame = Frame {
        id: "frontier-plot",
        title: own::PLOT,
        caption: &html! { (own::PLOT) },
        description: own::ABOUT_PLOT,
        width: right + RIGHT,
        height: bottom + BELOW,
    };
    figure(frame, &body)
}
