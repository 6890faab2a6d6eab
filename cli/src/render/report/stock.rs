//! Packaged stock of each beer over time against its orders, drawn, and the same in numbers.

use maud::{Markup, html};

use super::draw::{Frame, figure, fits, fitting, n, shortened, text};
use super::page::Part;
use super::patterns;
use super::table::{Column, numbers, table, words};
use crate::render::numbers::{UnitSystem, volume, volume_of};
use crate::render::view::{StockDays, StockRow, View};
use crate::render::words::report as own;

/// Width of the formats' names.
const NAMES: f64 = 118.0;
/// Width of all columns together.
const COLUMNS: f64 = 940.0;
/// Width of a column at most.
const WIDEST: f64 = 90.0;
/// Height of the most that is drawn above or below a line.
const TALLEST: f64 = 48.0;
/// Height of the row of days.
const HEAD: f64 = 24.0;
/// Space for words above and below the bars.
const WORDS: f64 = 28.0;
/// Columns that are too narrow for words on each of them have words on every so many.
const NARROW: f64 = 52.0;

/// The part; nothing where nothing is packaged, in stock or ordered.
#[must_use]
pub fn part(view: &View) -> Option<Part> {
    if view.stock.is_empty() {
        return None;
    }
    let beers: Vec<(usize, &str, Vec<&StockRow>)> = view
        .codes
        .iter()
        .enumerate()
        .map(|(place, code)| {
            let rows = view.stock.iter().filter(|row| row.beer == code.beer);
            (place, code.beer.as_str(), rows.collect::<Vec<_>>())
        })
        .filter(|(_, _, rows)| !rows.is_empty())
        .collect();
    let units = view.units.system;
    let body = html! {
        p { (own::about_stock(view.units.volume)) }
        @for (place, beer, rows) in &beers {
            div class="beer" {
                (drawing(*place, beer, rows, units))
                details { summary { "Numbers" } @for row in rows { (numbers_of(row, units)) } }
            }
        }
    };
    Some(Part { id: "stock", heading: own::STOCK, body })
}

/// One strip for each format, all on one scale.
fn drawing(place: usize, beer: &str, rows: &[&StockRow], units: UnitSystem) -> Markup {
    let columns = rows.iter().map(|row| row.days.len()).max().unwrap_or(1).max(1);
    let width = (COLUMNS / columns as f64).min(WIDEST);
    let all = || rows.iter().flat_map(|row| &row.days);
    let most = all().flat_map(|days| [days.left_hl, days.due_hl]).fold(0.0, f64::max);
    let scale = if most > 0.0 { TALLEST / most } else { 0.0 };
    let mut strips: Vec<Markup> = Vec::new();
    let mut y = HEAD;
    for row in rows {
        let above = scale * row.days.iter().map(|days| days.left_hl).fold(0.0, f64::max) + WORDS;
        let below = scale * row.days.iter().map(|days| days.due_hl).fold(0.0, f64::max) + WORDS;
        strips.push(Strip { row, place, units, width, scale, line: y + above }.drawn());
        y += above + below;
    }
    let right = NAMES + width * columns as f64;
    let body = html! {
        @if let Some(first) = rows.first() { (grid(&first.days, width, y)) }
        @for strip in &strips { (strip) }
    };
    let id = format!("stock-{place}");
    let title = own::stock_title(beer);
    let caption = html! { h3 { (beer) } };
    // Words over the last column may go beyond it.
    let width = right + 8.0 + width * (words_on_every(width) - 1) as f64;
    let description = own::STOCK_DESCRIPTION;
    figure(Frame { id: &id, title: &title, caption: &caption, description, width, height: y + 1.0 }, &body)
}

/// On every how many columns words stand.
fn words_on_every(width: f64) -> usize {
    if width < NARROW { (NARROW / width).ceil() as usize } else { 1 }
}

/// Days and periods with their lines.
fn grid(days: &[StockDays], width: f64, bottom: f64) -> Markup {
    let every = words_on_every(width);
    let room = width * every as f64 - 5.0;
    let form = (0..2).find(|&form| days.iter().all(|days| fits(&heading(days, form), room))).unwrap_or(2);
    html! {
        @for (place, days) in days.iter().enumerate() {
            @let x = NAMES + width * place as f64;
            @if days.is_ahead {
                path class="ahead" d={ "M" (n(x)) " " (n(HEAD - 4.0)) "V" (n(bottom)) } {}
            } @else {
                path class="rule" d={ "M" (n(x)) " " (n(HEAD - 4.0)) "V" (n(bottom)) } {}
            }
            @if place % every == 0 { (text(x + 3.0, HEAD - 9.0, "strong", &heading(days, form))) }
        }
    }
}

/// What stands over a column, the longest form first; a period is named by its first day.
fn heading(days: &StockDays, form: usize) -> String {
    let date = days.label.split_once(' ').map_or(days.label.as_str(), |(_, date)| date);
    match form {
        0 => days.label.clone(),
        1 => date.to_owned(),
        _ => date.split(' ').next().unwrap_or_default().to_owned(),
    }
}

/// A format of a beer.
#[derive(Clone, Copy, Debug)]
struct Strip<'a> {
    row: &'a StockRow,
    place: usize,
    units: UnitSystem,
    width: f64,
    /// Pixels for a hectolitre.
    scale: f64,
    /// Where the line stands.
    line: f64,
}

impl Strip<'_> {
    fn drawn(&self) -> Markup {
        let right = NAMES + self.width * self.row.days.len() as f64;
        let opening = own::at_the_start(self.units, self.row.opening_hl);
        let name = shortened(&self.row.format, NAMES - 8.0);
        html! {
            g {
                (text(2.0, self.line - 8.0, "strong", &name))
                (text(2.0, self.line + 13.0, "soft", &opening))
                @for (place, days) in self.row.days.iter().enumerate() { (self.column(NAMES + self.width * place as f64, days)) }
                path class="axis" d={ "M" (n(NAMES)) " " (n(self.line)) "H" (n(right)) } {}
            }
        }
    }

    fn column(&self, x: f64, days: &StockDays) -> Markup {
        let number = |hl: f64| volume(self.units, hl);
        let (bar_x, bar) = (x + self.width * 0.12, self.width * 0.76);
        let left = (days.left_hl.max(0.0)) * self.scale;
        let met = (days.due_hl - days.missed_hl).max(0.0) * self.scale;
        let missed = days.missed_hl.max(0.0) * self.scale;
        let label = |y: f64, class: &str, texts: Vec<String>| {
            let found = fitting(texts, self.width.max(NARROW * 0.6) - 2.0);
            html! { @if let Some(label) = found { (text(x + self.width / 2.0, y, class, &label)) } }
        };
        html! {
            g {
                title { (self.in_words(days)) }
                rect class="bar" fill=(patterns::fill(self.place)) x=(n(bar_x)) y=(n(self.line - left)) width=(n(bar)) height=(n(left)) {}
                @if met > 0.0 { rect class="met" x=(n(bar_x)) y=(n(self.line)) width=(n(bar)) height=(n(met)) {} }
                @if missed > 0.0 {
                    rect class="bar" fill=(patterns::SHORT) x=(n(bar_x)) y=(n(self.line + met)) width=(n(bar)) height=(n(missed)) {}
                }
                @if days.packaged_hl > 0.0 {
                    (label(self.line - left - 16.0, "middle", vec![format!("+{}", number(days.packaged_hl))]))
                }
                @if days.left_hl > 0.0 { (label(self.line - left - 4.0, "middle strong", vec![number(days.left_hl)])) }
                @if days.due_hl > 0.0 { (label(self.line + met + missed + 11.0, "middle", vec![number(days.due_hl)])) }
                @if days.missed_hl > 0.0 {
                    (label(self.line + met + missed + 23.0, "middle strong", vec![own::short(self.units, days.missed_hl), format!("-{}", number(days.missed_hl))]))
                }
            }
        }
    }

    fn in_words(&self, days: &StockDays) -> String {
        let of = |hl: f64| volume_of(self.units, hl);
        let StockDays { packaged_hl, due_hl, missed_hl, left_hl, .. } = *days;
        format!(
            "{} {}, {}: packaged {}, due {}, short {}, left {}",
            self.row.beer,
            self.row.format,
            period(days),
            of(packaged_hl),
            of(due_hl),
            of(missed_hl),
            of(left_hl)
        )
    }
}

/// A day, or a period from its first day to its last.
fn period(days: &StockDays) -> String {
    match &days.last_label {
        Some(last) => format!("{} to {last}", days.label),
        None => days.label.clone(),
    }
}

fn numbers_of(row: &StockRow, units: UnitSystem) -> Markup {
    let unit = units.volume().name;
    let heads = ["packaged", "due", "short", "delivered", "left"].map(|what| format!("{what} {unit}"));
    let [packaged, due, short, delivered, left] = &heads;
    let columns: [Column; 6] = [
        words("day or period"),
        numbers(packaged),
        numbers(due),
        numbers(short),
        numbers(delivered),
        numbers(left),
    ];
    let values = |days: &StockDays| {
        [days.packaged_hl, days.due_hl, days.missed_hl, days.delivered_hl, days.left_hl]
            .map(|hl| volume(units, hl))
    };
    let rows: Vec<Vec<String>> =
        row.days.iter().map(|days| std::iter::once(period(days)).chain(values(days)).collect()).collect();
    table(
        &own::stock_table(&row.beer, &row.format, &own::at_the_start(units, row.opening_hl)),
        &columns,
        &rows,
        None,
    )
}
