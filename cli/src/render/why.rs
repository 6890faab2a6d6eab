//! The screen and the document of why orders are short or late.

use super::json::pretty_with;
use super::numbers::volume;
use super::slack::table_of;
use super::text::{heading, joined, list, wrapped};
use super::view::{Changed, ChangedOrder, DisplacesRows, ForbiddenRows, MemberRow, Units, WhyView};
use super::words::why::{changes, members as reasons};
use super::words::{self, why as own};

/// The screen.
#[must_use]
pub fn text(view: &WhyView) -> String {
    let mut lines = wrapped(&format!("{}, {}", view.title, view.cellar), 0);
    for row in &view.asked {
        lines.extend(wrapped(&own::asked(row, view.units), 0));
    }
    lines.push(String::new());
    for sentence in own::verdict(view) {
        lines.extend(wrapped(&sentence, 0));
    }
    if let Some(found) = &view.displaces {
        displaces(&mut lines, view, found);
    }
    if let Some(found) = &view.forbidden {
        forbidden(&mut lines, found);
    }
    if !view.cautions.is_empty() {
        list(&mut lines, words::report::CAUTIONS, &words::listed(&view.cautions));
    }
    joined(&lines)
}

fn displaces(lines: &mut Vec<String>, view: &WhyView, found: &DisplacesRows) {
    heading(lines, own::ORDERS);
    let header = order_header();
    lines.extend(table_of(&header, 2, found.orders.iter().map(|row| order_cells(view, row))));
    for (title, rows) in [(own::PARTS, &found.parts), (own::FIGURES, &found.figures)] {
        if !rows.is_empty() {
            heading(lines, title);
            lines.extend(table_of(
                &own::CHANGED_COLUMNS.map(str::to_owned),
                2,
                rows.iter().map(changed_cells),
            ));
        }
    }
    lines.extend(wrapped(own::BY_CHANCE, 0));
    if !found.binds_then.is_empty() {
        list(lines, own::BINDS, &found.binds_then);
    }
}

/// Heads the columns of orders that change.
#[must_use]
pub fn order_header() -> Vec<String> {
    let mut header = own::ORDER_COLUMNS.map(str::to_owned).to_vec();
    header.push(own::SHORT_THEN.to_owned());
    header
}

/// The cells of an order that changes.
#[must_use]
pub fn order_cells(view: &WhyView, row: &ChangedOrder) -> Vec<String> {
    let shown = |hl: f64| volume(view.units, hl);
    vec![
        format!("{}: {}, {}", row.order, row.beer, row.format),
        row.due_label.clone(),
        shown(row.quantity_hl),
        shown(row.in_time_hl),
        shown(row.in_time_then_hl),
        shown(row.late_then_hl),
        shown(row.missed_then_hl),
    ]
}

/// The cells of a number that changes.
#[must_use]
pub fn changed_cells(row: &Changed) -> Vec<String> {
    let change = row.then.unwrap_or(0.0) - row.as_it_is.unwrap_or(0.0);
    vec![
        row.what.clone(),
        row.unit.to_owned(),
        own::number(row.as_it_is, row.decimals),
        own::number(row.then, row.decimals),
        own::signed(change, row.decimals),
    ]
}

fn forbidden(lines: &mut Vec<String>, found: &ForbiddenRows) {
    heading(lines, reasons::MEMBERS);
    lines.extend(wrapped(reasons::about_members(found), 0));
    for item in members(&found.members) {
        lines.extend(wrapped(&format!("- {item}"), 0));
    }
    heading(lines, changes::CHANGES);
    if found.changes.is_empty() {
        lines.extend(wrapped(changes::NO_CHANGE, 0));
    } else {
        lines.extend(table_of(
            &changes::COLUMNS.map(str::to_owned),
            1,
            found.changes.iter().map(changes::cells),
        ));
    }
    for sentence in changes::about(found) {
        lines.extend(wrapped(&sentence, 0));
    }
    if found.there.is_empty() {
        list(lines, reasons::THERE, &[reasons::NOTHING_THERE]);
    } else {
        list(lines, reasons::THERE, &found.there);
    }
}

/// Members that differ by their days alone in one line.
#[must_use]
pub fn members(rows: &[MemberRow]) -> Vec<String> {
    let mut merged: Vec<(&MemberRow, Vec<&str>)> = Vec::new();
    for row in rows {
        let day = row.days_label.as_deref();
        let is_alike = |other: &MemberRow| {
            (other.rule, &other.says, other.needed, other.left_out_alone)
                == (row.rule, &row.says, row.needed, row.left_out_alone)
        };
        match merged.iter_mut().find(|(first, days)| is_alike(first) && !days.is_empty()) {
            Some((_, days)) if day.is_some() => days.extend(day),
            _ => merged.push((row, day.into_iter().collect())),
        }
    }
    let line = |(row, days): (&MemberRow, Vec<&str>)| {
        let rule = row.rule.map_or_else(String::new, |rule| format!("{rule} "));
        let days = if days.is_empty() { String::new() } else { format!(", {}", days.join(", ")) };
        format!("{rule}{}{days}: {}", row.says, reasons::proven(row))
    };
    merged.into_iter().map(line).collect()
}

/// The document.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(view: &WhyView) -> Result<String, serde_json::Error> {
    pretty_with(Units::of(view.units, view.unit), view)
}
