//! Every vessel across the days, drawn: bars of beer, and below them what happens.

use maud::{Markup, html};

use super::draw::{Frame, figure, fitting, lines, n, shortened, text};
use super::page::Part;
use super::{patterns, vessel_table};
use crate::render::view::{StayRow, VesselRow, View};
use crate::render::words::{report as own, signs};

/// The most days side by side.
const MOST_DAYS: usize = 7;
/// Height of a drawing at most (of several vessels), so that it fits on a page of A4 with what stands above it.
const TALLEST: f64 = 510.0;
/// Width of the names.
const NAMES: f64 = 108.0;
/// Width of the last column.
const THEN: f64 = 140.0;
/// Width of all days together.
const DAYS: f64 = 826.0;
/// Width of a day at most.
const WIDEST_DAY: f64 = 180.0;
/// Height of the row of days.
const HEAD: f64 = 24.0;
/// Height of a bar.
const BAR: f64 = 22.0;
/// Height of a line of words.
const LINE: f64 = 13.0;

/// The part: drawings by weeks and vessels, then the same as a table.
#[must_use]
pub fn part(view: &View) -> Part {
    let mut drawings: Vec<Markup> = Vec::new();
    for first_day in (0..view.days.len()).step_by(MOST_DAYS) {
        let days = first_day..(first_day + MOST_DAYS).min(view.days.len());
        let mut left = view.vessels.as_slice();
        while !left.is_empty() {
            let chart = Chart { view, days: days.clone(), vessels: left };
            let (vessels, rest) = left.split_at(chart.that_fit());
            drawings.push(Chart { vessels, ..chart }.drawing(&format!("vessels-{}", drawings.len())));
            left = rest;
        }
    }
    let body = html! {
        p { (own::ABOUT_VESSELS) }
        (legend(view))
        @for drawing in &drawings { (drawing) }
        (vessel_table::table(view))
    };
    Part { id: "vessels", heading: own::VESSELS, body }
}

/// The beers in the vessels with their patterns, letters and names.
fn legend(view: &View) -> Markup {
    let is_held =
        |beer: &str| view.vessels.iter().any(|vessel| vessel.stays.iter().any(|stay| stay.beer == beer));
    html! {
        ul class="legend" {
            @for (place, code) in view.codes.iter().enumerate().filter(|(_, code)| is_held(&code.beer)) {
                li {
                    svg aria-hidden="true" width="44" height="18" viewBox="0 0 44 18" xmlns="http://www.w3.org/2000/svg" {
                        rect class="bar" fill=(patterns::fill(place)) x="1" y="1" width="42" height="16" {}
                    }
                    strong { (code.code) } " " (code.beer)
                }
            }
        }
    }
}

/// Some vessels over some days.
#[derive(Clone, Debug)]
struct Chart<'a> {
    view: &'a View,
    days: std::ops::Range<usize>,
    vessels: &'a [VesselRow],
}

impl Chart<'_> {
    fn day_width(&self) -> f64 {
        (DAYS / self.days.len().max(1) as f64).min(WIDEST_DAY)
    }

    /// Where a time stands, in days from the first planned one; times out of the drawing stand at its edges.
    fn x(&self, days: f64) -> f64 {
        NAMES + (days - self.days.start as f64).clamp(0.0, self.days.len() as f64) * self.day_width()
    }

    fn right(&self) -> f64 {
        self.x(self.days.end as f64)
    }

    /// How many of the vessels fit below one another, one at least.
    fn that_fit(&self) -> usize {
        let mut height = HEAD;
        let fits = self.vessels.iter().take_while(|vessel| {
            height += self.row(vessel, height).1;
            height <= TALLEST
        });
        fits.count().max(1)
    }

    fn drawing(&self, id: &str) -> Markup {
        let day = |number: usize| self.view.days.get(number).map_or("", |day| day.label.as_str());
        let vessel = |row: Option<&VesselRow>| row.map_or("", |row| row.vessel.as_str()).to_owned();
        let title = own::vessels_title(
            day(self.days.start),
            day(self.days.end - 1),
            &vessel(self.vessels.first()),
            &vessel(self.vessels.last()),
        );
        let mut rows: Vec<Markup> = Vec::new();
        let mut y = HEAD;
        for vessel in self.vessels {
            let (row, height) = self.row(vessel, y);
            rows.push(row);
            y += height;
        }
        let body = html! {
            (self.grid(y))
            @for row in &rows { (row) }
        };
        let (width, height) = (self.right() + THEN, y + 1.0);
        figure(
            Frame {
                id,
                title: &title,
                caption: &html! { (title) },
                description: own::VESSELS_DESCRIPTION,
                width,
                height,
            },
            &body,
        )
    }

    /// Days with their lines; those on which nobody works are shaded.
    fn grid(&self, bottom: f64) -> Markup {
        let width = self.day_width();
        html! {
            @for number in self.days.clone() {
                @if let Some(day) = self.view.days.get(number) {
                    @let x = self.x(number as f64);
                    @if !day.worked {
                        rect class="closed" x=(n(x)) y="0" width=(n(width)) height=(n(bottom)) {}
                    }
                    path class="rule" d={ "M" (n(x)) " 0V" (n(bottom)) } {}
                    (text(x + 5.0, HEAD - 8.0, "strong", &day.label))
                }
            }
            path class="rule" d={ "M" (n(self.right())) " 0V" (n(bottom)) } {}
            (text(self.right() + 9.0, HEAD - 8.0, "soft", own::THEN))
        }
    }

    /// What happens to a vessel on a day, in lines.
    fn words(&self, vessel: &VesselRow, day: usize) -> Vec<String> {
        let width = self.day_width() - 9.0;
        vessel_table::events(self.view, vessel, day).iter().flat_map(|event| lines(event, width)).collect()
    }

    fn row(&self, vessel: &VesselRow, top: f64) -> (Markup, f64) {
        let words: Vec<Vec<String>> = self.days.clone().map(|day| self.words(vessel, day)).collect();
        let then = self.then(vessel);
        let most = words.iter().map(Vec::len).max().unwrap_or(0).max(then.len().saturating_sub(1)).max(1);
        let height = 6.0 + BAR + 3.0 + LINE * most as f64 + 5.0;
        let bar = top + 6.0;
        let first_line = bar + BAR + 3.0 + LINE - 3.0;
        let name = shortened(&vessel.vessel, NAMES - 6.0);
        let drawn = html! {
            g {
                path class="rule" d={ "M0 " (n(top)) "H" (n(self.right() + THEN)) } {}
                (text(2.0, bar + 15.0, "strong", &name))
                (self.states(vessel, bar))
                @for stay in &vessel.stays { (self.bar(vessel, stay, bar)) }
                @for (day, words) in self.days.clone().zip(&words) {
                    @for (place, line) in words.iter().enumerate() {
                        (text(self.x(day as f64) + 5.0, first_line + LINE * place as f64, "", line))
                    }
                }
                @for (place, line) in then.iter().enumerate() {
                    (text(self.right() + 9.0, bar + 15.0 + LINE * place as f64, "", line))
                }
            }
        };
        (drawn, height)
    }

    /// Days on which the vessel is empty and dirty, or away.
    fn states(&self, vessel: &VesselRow, bar: f64) -> Markup {
        let width = self.day_width();
        let marked = |day: &usize, sign: char| {
            let cell = vessel.cells.get(*day).map_or("", String::as_str);
            if sign == signs::AWAY {
                vessel_table::is_away(self.view, vessel, *day)
            } else {
                cell.starts_with(sign)
            }
        };
        html! {
            @for day in self.days.clone().filter(|day| marked(day, signs::DIRTY)) {
                @let x = self.x(day as f64);
                path class="dirty" d={ "M" (n(x)) " " (n(bar + BAR / 2.0)) "H" (n(x + width)) } {}
                (text(x + 5.0, bar + 15.0, "label", own::DIRTY))
            }
            @for day in self.days.clone().filter(|day| marked(day, signs::AWAY)) {
                rect class="away" x=(n(self.x(day as f64))) y=(n(bar + 1.0)) width=(n(width)) height=(n(BAR - 2.0)) {}
            }
        }
    }

    fn bar(&self, vessel: &VesselRow, stay: &StayRow, top: f64) -> Markup {
        let (first, last) = (self.days.start as f64, self.days.end as f64);
        let (begins, ends) = (stay.begins.unwrap_or(f64::MIN), stay.ends.unwrap_or(f64::MAX));
        if ends <= first || begins >= last {
            return html! {};
        }
        let (left, right) = (self.x(begins), self.x(ends));
        let (bottom, middle) = (top + BAR, top + BAR / 2.0);
        let until = stay.ends.map(|ends| self.label_of(ends));
        let place = self.view.codes.iter().position(|code| code.beer == stay.beer).unwrap_or(0);
        let code = self.view.codes.get(place).map_or("?", |code| code.code.as_str());
        // A bar that goes on beyond an edge has a notch there, or a point.
        let from = if begins < first { format!("L{} {}", n(left + 6.0), n(middle)) } else { String::new() };
        let to = if ends > last { format!("L{} {}", n(right + 5.0), n(middle)) } else { String::new() };
        let outline = format!(
            "M{l} {t}H{r}{to}L{r} {b}H{l}{from}Z",
            l = n(left),
            r = n(right),
            t = n(top),
            b = n(bottom)
        );
        let texts = own::stay(self.view.units.system, stay, code, begins < first, until.as_deref());
        let label = fitting(texts, right - left - 16.0);
        html! {
            g {
                title { (own::stay_in_full(self.view.units.system, stay, &vessel.vessel, until.as_deref())) }
                path class="bar" fill=(patterns::fill(place)) d=(outline) {}
                @if let Some(label) = &label { (text(left + 10.0, top + 15.0, "label", label)) }
            }
        }
    }

    /// The day on which a time lies, in words.
    fn label_of(&self, days: f64) -> String {
        let day = days.floor().max(0.0) as usize;
        self.view.days.get(day).map_or_else(String::new, |day| day.label.clone())
    }

    /// What is next once the drawn days are over.
    fn then(&self, vessel: &VesselRow) -> Vec<String> {
        let last = self.days.end as f64;
        let stay = vessel.stays.iter().find(|stay| {
            stay.begins.is_none_or(|begins| begins < last) && stay.ends.is_none_or(|ends| ends >= last)
        });
        let later = (self.days.end..self.view.days.len())
            .find_map(|day| Some((day, vessel_table::events(self.view, vessel, day).into_iter().next()?)));
        let words = match (later, stay) {
            (Some((day, event)), _) => {
                let label = self.view.days.get(day).map_or("", |day| day.label.as_str());
                format!("{label}: {event}")
            }
            (None, Some(stay)) => own::stays(self.view.units.system, stay, self.is_ready(stay)),
            (None, None) => String::new(),
        };
        lines(&words, THEN - 14.0)
    }

    /// Whether a beer is ready by the last drawn day; dates in their written form stand in order.
    fn is_ready(&self, stay: &StayRow) -> bool {
        let last = self.view.days.get(self.days.end - 1).map(|day| &day.date);
        stay.ready.as_ref().zip(last).is_none_or(|(ready, last)| ready <= last)
    }
}
