//! What one unit more of each resource adds, with bars for the ranges.

use maud::{Markup, html};

use super::draw::n;
use super::page::{Part, page};
use super::table::{framed, head, names, numbers, table, words};
use crate::render::levers::{cells, header, pair_cells, pair_header};
use crate::render::view::{LeverRow, LeversView};
use crate::render::words::{self as all_words, levers as own, report as report_words};

/// Width of a bar.
const WIDTH: f64 = 180.0;
/// Height of a bar.
const HEIGHT: f64 = 12.0;
/// Room for the mark at both ends of a bar.
const MARGIN: f64 = 3.0;

/// The report of `levers`.
#[must_use]
pub fn of_levers(view: &LeversView) -> String {
    let mut parts = Vec::new();
    horizon(&mut parts, view, [("verdict", own::AS_IT_IS), ("levers", own::HEADING), ("pairs", own::PAIRS)]);
    if let Some(for_ever) = &view.for_ever {
        let headings = [
            ("verdict-for-ever", own::AS_IT_IS_FOR_EVER),
            ("levers-for-ever", own::HEADING_FOR_EVER),
            ("pairs-for-ever", own::PAIRS_FOR_EVER),
        ];
        horizon(&mut parts, for_ever, headings);
    }
    let left_out = &view.for_ever.as_deref().unwrap_or(view).left_out;
    if !left_out.is_empty() {
        parts.push(Part::list("left-out", own::LEFT_OUT, left_out));
    }
    if !view.cautions.is_empty() {
        parts.push(Part::list("cautions", report_words::CAUTIONS, &all_words::listed(&view.cautions)));
    }
    page(&format!("{}, {}", view.title, view.cellar), own::CAPTION, &html! {}, &parts)
}

/// The parts of one horizon: as it is, levers, pairs; each with its mark and heading.
fn horizon(parts: &mut Vec<Part>, view: &LeversView, of: [(&'static str, &'static str); 3]) {
    let sentences = own::verdict(view, None);
    let (first, rest) = sentences.split_first().map_or(("", [].as_slice()), |(first, rest)| (first, rest));
    let verdict = html! {
        p class="first" { (report_words::kept_together(first)) }
        @for sentence in rest { p { (report_words::kept_together(sentence)) } }
    };
    let [(as_it_is, its_heading), (all, all_heading), (two, two_heading)] = of;
    parts.push(Part { id: as_it_is, heading: its_heading, body: verdict });
    parts.push(Part { id: all, heading: all_heading, body: levers(view) });
    if view.has_pairs {
        parts.push(Part { id: two, heading: two_heading, body: pairs(view) });
    }
}

fn levers(view: &LeversView) -> Markup {
    if view.rows.is_empty() {
        return html! { p { (own::NO_LEVERS) } };
    }
    let header = header(view);
    let mut columns = vec![names(&header[0]), words(own::RANGE)];
    columns.extend(header[1..].iter().map(|heading| numbers(heading)));
    let scale = Scale::of(view);
    let rows = html! {
        (head(&columns))
        tbody {
            @for row in &view.rows {
                tr {
                    @for (place, cell) in cells(view, row).iter().enumerate() {
                        @if place == 0 {
                            th scope="row" class="resource" { (cell) }
                            td { (scale.bar(row)) }
                        } @else {
                            td class="number" { (cell) }
                        }
                    }
                }
            }
        }
    };
    html! {
        p { (own::ABOUT_BARS) }
        (framed(own::CAPTION, &rows))
    }
}

fn pairs(view: &LeversView) -> Markup {
    let header = pair_header(view);
    let mut columns: Vec<_> = header.iter().map(|heading| numbers(heading)).collect();
    columns[0] = names(&header[0]);
    let rows: Vec<Vec<String>> = view.pairs.iter().map(|pair| pair_cells(view, pair)).collect();
    table(own::PAIR_CAPTION, &columns, &rows, None)
}

/// One scale for all bars.
struct Scale {
    least: f64,
    most: f64,
}

impl Scale {
    fn of(view: &LeversView) -> Self {
        let ends = view.rows.iter().flat_map(|row| [row.at_least_a_week, row.at_most_a_week]);
        let (mut least, mut most) = (0.0_f64, 0.0_f64);
        for end in ends.flatten() {
            (least, most) = (least.min(end), most.max(end));
        }
        Self { least, most }
    }

    fn place(&self, value: f64) -> f64 {
        let width = self.most - self.least;
        let share = if width > 0.0 { (value - self.least) / width } else { 0.0 };
        MARGIN + (WIDTH - 2.0 * MARGIN) * share.clamp(0.0, 1.0)
    }

    /// The numbers stand beside it, so it says nothing by itself.
    fn bar(&self, row: &LeverRow) -> Markup {
        let (Some(low), Some(high)) = (row.at_least_a_week, row.at_most_a_week) else { return html! {} };
        let (from, to, zero) = (self.place(low), self.place(high), self.place(0.0));
        let middle = HEIGHT / 2.0;
        html! {
            svg class="level" aria-hidden="true" width=(n(WIDTH)) height=(n(HEIGHT)) viewBox={ "0 0 " (n(WIDTH)) " " (n(HEIGHT)) }
                xmlns="http://www.w3.org/2000/svg" {
                rect class="used" x=(n(zero - 0.5)) y="0" width="1" height=(n(HEIGHT)) {}
                rect class="whole" x=(n(from)) y="2.5" width=(n((to - from).max(1.0))) height=(n(HEIGHT - 5.0)) {}
                @if let Some(found) = row.found_a_week {
                    rect class="used" x=(n(self.place(found) - 1.5)) y=(n(middle - 3.0)) width="3" height="6" {}
                }
            }
        }
    }
}
