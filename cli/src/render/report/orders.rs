//! Orders with what is short and why, materials to order, taps.

use maud::{Markup, html};

use super::page::Part;
use super::table::{dates, names, numbers, table, words};
use crate::render::numbers::{grouped, volume};
use crate::render::view::{DryDay, OrderRow, Reason, View};
use crate::render::words::{orders as order_words, reasons, report as own, taproom as tap_words};

/// Orders.
#[must_use]
pub fn part(view: &View) -> Part {
    let body = if view.orders.is_empty() {
        html! { p { (order_words::NONE_DUE) } }
    } else if view.orders.iter().any(|row| row.reason == Some(Reason::NotAimed)) {
        html! { p { (order_words::not_aimed_at(view.orders.len())) } }
    } else {
        tables(view)
    };
    Part { id: "orders", heading: own::ORDERS, body }
}

fn tables(view: &View) -> Markup {
    let (short, full): (Vec<&OrderRow>, Vec<&OrderRow>) =
        view.orders.iter().partition(|row| row.short || row.late_hl > 0.0);
    let (now, later): (Vec<&OrderRow>, Vec<&OrderRow>) =
        full.iter().partition(|row| row.hangs_on_planned_days);
    let (units, unit) = (view.units.system, view.units.volume);
    let [short_in, late_in] = ["short", "late"].map(|what| format!("{what} {unit}"));
    let columns = [names("order"), names("beer"), names("format"), dates("due"), numbers(unit)];
    let mut of_short = columns.to_vec();
    of_short.extend([numbers(&short_in), numbers(&late_in), words("kind"), names("why")]);
    let mut of_full = columns.to_vec();
    of_full.push(words("kind"));
    let cells = |row: &OrderRow| {
        vec![
            row.order.clone(),
            row.beer.clone(),
            row.format.clone(),
            row.due_label.clone(),
            volume(units, row.quantity_hl),
        ]
    };
    let with_reason = |row: &&OrderRow| {
        let mut cells = cells(row);
        let some = |value: f64| if value > 0.0 { volume(units, value) } else { String::new() };
        let missed = if row.short { some(row.missed_hl) } else { String::new() };
        cells.extend([missed, some(row.late_hl), kind(row)]);
        cells
            .push(row.reason.as_ref().map_or_else(String::new, |reason| reasons::reason(row, reason, units)));
        cells
    };
    let list = |rows: &[&OrderRow]| -> Vec<Vec<String>> {
        let of_row = |row: &&OrderRow| cells(row).into_iter().chain([kind(row)]).collect();
        rows.iter().map(of_row).collect()
    };
    html! {
        @if short.is_empty() { p { (order_words::NONE_SHORT_OR_LATE) } } @else {
            (table(order_words::SHORT_OR_LATE, &of_short, &short.iter().map(with_reason).collect::<Vec<_>>(), None))
        }
        @if !now.is_empty() {
            (table(order_words::FULL_NOW, &of_full, &list(&now), None))
        }
        @if !later.is_empty() {
            (table(order_words::FULL_LATER, &of_full, &list(&later), None))
        }
    }
}

/// Firm, likely, whole.
fn kind(row: &OrderRow) -> String {
    let marks = order_words::marks(row);
    match (row.whole, marks.is_empty()) {
        (true, true) => order_words::WHOLE.to_owned(),
        (true, false) => format!("{marks}, {}", order_words::WHOLE),
        (false, _) => marks,
    }
}

/// Materials to be ordered, where the case has any.
#[must_use]
pub fn to_order(view: &View) -> Option<Part> {
    let rows = view.to_order.as_ref()?;
    let columns = [
        words("material"),
        numbers("pieces"),
        numbers("packs"),
        numbers("money"),
        dates("order by"),
        dates("needed on"),
    ];
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            vec![
                row.material.clone(),
                grouped(row.pieces as f64, 0),
                row.packs.map_or_else(String::new, |packs| grouped(packs as f64, 0)),
                grouped(row.cost, 2),
                row.by_label.clone().unwrap_or_else(|| order_words::TOO_LATE.to_owned()),
                row.needed_label.clone(),
            ]
        })
        .collect();
    let body = html! {
        @if rows.is_empty() { p { (order_words::LASTS) } } @else {
            (table(own::TO_ORDER, &columns, &rows, None))
        }
    };
    Some(Part { id: "to-order", heading: own::TO_ORDER, body })
}

/// Beers on tap, where there are any.
#[must_use]
pub fn taproom(view: &View) -> Option<Part> {
    if view.taps.is_empty() {
        return None;
    }
    let units = view.units.system;
    let heads = ["asked", "poured", "short"].map(|what| format!("{what} {}", view.units.volume));
    let [asked, poured, short] = &heads;
    let columns = [words("on tap"), numbers(asked), numbers(poured), numbers(short), words("dry days")];
    let labels = |days: &[DryDay]| days.iter().map(|day| day.label.clone()).collect::<Vec<String>>();
    let rows: Vec<Vec<String>> = view
        .taps
        .iter()
        .map(|row| {
            vec![
                row.beer.clone(),
                volume(units, row.asked_hl),
                volume(units, row.poured_hl),
                volume(units, row.asked_hl - row.poured_hl),
                tap_words::dry(&labels(&row.dry), &labels(&row.short)),
            ]
        })
        .collect();
    let body = table(tap_words::HEADING, &columns, &rows, None);
    Some(Part { id: "taproom", heading: tap_words::HEADING, body })
}
