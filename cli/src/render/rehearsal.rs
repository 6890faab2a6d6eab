//! The screen and the document of a rehearsal.

use super::json::pretty_in;
use super::numbers::volume;
use super::slack::table_of;
use super::text::{heading, joined, list, wrapped};
use super::view::{BatchRow, DrawnOrder, RehearsalView};
use super::words::{self, rehearsal as own};

/// The screen of `rehearse`.
#[must_use]
pub fn text(view: &RehearsalView) -> String {
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    lines.extend(wrapped(&own::verdict(view), 0));
    for sentence in own::kept_up(view) {
        lines.extend(wrapped(&sentence, 0));
    }
    lines.extend(wrapped(&own::about(view), 0));
    if !view.batches.is_empty() {
        heading(&mut lines, own::BATCHES);
        lines.extend(table_of(&batch_header(), 3, view.batches.iter().map(|row| batch_cells(view, row))));
        if is_cut(view) {
            lines.push(own::cut().to_owned());
        }
        heading(&mut lines, own::FAILS);
        for sentence in falls(view) {
            lines.extend(wrapped(&sentence, 0));
        }
    }
    if !view.draws.is_empty() {
        heading(&mut lines, own::DRAWS);
        lines.extend(wrapped(&own::drawn(view), 0));
        if !view.orders.is_empty() {
            lines.push(String::new());
            lines.extend(table_of(
                &order_header(view),
                1,
                view.orders.iter().map(|row| order_cells(view, row)),
            ));
        }
    }
    if !view.cautions.is_empty() {
        list(&mut lines, words::report::CAUTIONS, &words::listed(&view.cautions));
    }
    joined(&lines)
}

/// Whether a search was cut by time.
#[must_use]
pub fn is_cut(view: &RehearsalView) -> bool {
    view.batches.iter().flat_map(|row| &row.late).any(|late| late.is_cut)
}

/// Heads the columns of batches.
#[must_use]
pub fn batch_header() -> Vec<String> {
    let mut header = [own::BATCH, own::READY, own::USED, own::SPARE].map(str::to_owned).to_vec();
    header.extend((1..=3).map(own::days_late));
    header.push(own::MUST.to_owned());
    header
}

/// The cells of a batch.
#[must_use]
pub fn batch_cells(view: &RehearsalView, row: &BatchRow) -> Vec<String> {
    let mut cells = vec![
        row.batch.clone(),
        row.ready_label.clone(),
        row.used_label.clone(),
        if row.spare_days >= 3 { own::AT_LEAST_THREE.to_owned() } else { row.spare_days.to_string() },
    ];
    cells.extend(row.late.iter().map(|late| own::cell(view, late)));
    cells.push(row.must_label.clone());
    cells
}

/// What fails, batch by batch, in sentences.
#[must_use]
pub fn falls(view: &RehearsalView) -> Vec<String> {
    let mut all = Vec::new();
    for batch in &view.batches {
        let with_falls = batch.late.iter().filter(|late| !late.orders.is_empty());
        all.extend(with_falls.map(|late| own::falls(view, batch, late)));
    }
    if all.is_empty() { vec![own::NOTHING_FAILS.to_owned()] } else { all }
}

/// Heads the columns of orders.
#[must_use]
pub fn order_header(view: &RehearsalView) -> Vec<String> {
    let unit = view.units.volume().name;
    vec![
        own::ORDER.to_owned(),
        own::FAILS_IN.to_owned(),
        format!("short on average {unit}"),
        format!("at most {unit}"),
    ]
}

/// The cells of an order.
#[must_use]
pub fn order_cells(view: &RehearsalView, row: &DrawnOrder) -> Vec<String> {
    vec![
        row.order.clone(),
        row.fails.to_string(),
        volume(view.units, row.short_on_average_hl),
        volume(view.units, row.short_at_most_hl),
    ]
}

/// The document of `rehearse`.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(view: &RehearsalView) -> Result<String, serde_json::Error> {
    pretty_in(view.units, view)
}
