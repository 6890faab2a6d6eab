//! The screen and the document of a choice of vessels.

use super::json::pretty_with;
use super::numbers::{grouped, volume};
use super::slack::table_of;
use super::text::{heading, joined, list, wrapped};
use super::view::{FamilyRow, LayoutView, PointRow, Units};
use super::words::{layout as words, listed, report as headings};

/// The screen of `layout`.
#[must_use]
pub fn text(view: &LayoutView) -> String {
    let mut lines = wrapped(&words::title(view), 0);
    for sentence in words::verdict(view) {
        lines.extend(wrapped(&sentence, 0));
    }
    if let Some(row) = view.families.first() {
        if row.status == "not_met" {
            list(&mut lines, words::FORBIDS, &words::forbids(row));
        }
        if !row.purchases.bought.is_empty() {
            heading(&mut lines, words::BOUGHT);
            lines.extend(table_of(
                &words::bought_columns(view.units),
                1,
                bought_cells(view, row).into_iter(),
            ));
        }
        if !row.seasons.is_empty() {
            heading(&mut lines, words::SEASONS);
            lines.extend(table_of(
                &words::season_columns(view.units),
                1,
                season_cells(view, row).into_iter(),
            ));
        }
    }
    heading(&mut lines, words::FAMILIES);
    lines.extend(table_of(&words::family_columns(), 2, view.families.iter().map(family_cells)));
    if !view.frontier.is_empty() {
        heading(&mut lines, words::FRONTIER);
        lines.extend(table_of(
            &words::point_columns(view.units),
            1,
            view.frontier.iter().map(|point| point_cells(view, point)),
        ));
    }
    for sentence in words::frontier(view) {
        lines.extend(wrapped(&sentence, 0));
    }
    if view.families.iter().any(|row| row.after_ready.is_some()) {
        heading(&mut lines, words::DAYS);
        lines.extend(table_of(&words::day_columns(), 1, day_cells(view).into_iter()));
        lines.extend(wrapped(&words::saved(view.saved.as_ref()), 0));
    }
    if let Some(peak) = &view.peak {
        heading(&mut lines, words::PEAK);
        for sentence in words::peak(view, peak) {
            lines.extend(wrapped(&sentence, 0));
        }
    }
    list(&mut lines, words::ASSUMED, &view.assumptions);
    list(&mut lines, headings::CAUTIONS, &listed(&view.cautions));
    joined(&lines)
}

/// The cells of what a family buys.
#[must_use]
pub fn bought_cells(view: &LayoutView, row: &FamilyRow) -> Vec<Vec<String>> {
    let rows = row.purchases.bought.iter().map(|bought| {
        vec![
            bought.name.clone(),
            bought.count.to_string(),
            grouped(bought.price, 0),
            grouped(bought.a_year, 2),
            words::floor(view.units, bought.floor_m2),
        ]
    });
    rows.collect()
}

/// The cells of a family's seasons.
#[must_use]
pub fn season_cells(view: &LayoutView, row: &FamilyRow) -> Vec<Vec<String>> {
    let hl = |value: f64| volume(view.units, value);
    let rows = row.seasons.iter().map(|season| {
        vec![
            season.season.clone(),
            season.weeks.to_string(),
            hl(season.asked_a_week_hl),
            hl(season.packaged_a_week_hl),
            hl(season.wort_a_week_hl),
            grouped(season.running_a_week, 2),
        ]
    });
    rows.collect()
}

/// The cells of a family.
#[must_use]
pub fn family_cells(row: &FamilyRow) -> Vec<String> {
    let is_met = row.status == "met";
    let money = |value: Option<f64>| value.map_or_else(String::new, |value| grouped(value, 2));
    vec![
        row.family.to_owned(),
        words::buys(row),
        money(is_met.then_some(row.purchases.bought_a_year)),
        money(row.running_a_year.filter(|_| is_met)),
        money(row.cost_a_year),
        money(row.bound_a_year),
    ]
}

/// The cells of a point of the frontier.
#[must_use]
pub fn point_cells(view: &LayoutView, point: &PointRow) -> Vec<String> {
    vec![
        words::names(&point.purchases),
        grouped(point.purchases.bought_a_year, 2),
        grouped(point.purchases.price, 0),
        volume(view.units, point.output_a_week_hl),
        words::share(point.share, false),
        words::share(point.share_bound, true),
    ]
}

/// The cells of fermenter days.
#[must_use]
pub fn day_cells(view: &LayoutView) -> Vec<Vec<String>> {
    let rows = view.families.iter().filter_map(|row| {
        let days = row.after_ready?;
        let mut cells = vec![row.family.to_owned()];
        let each = [days.waiting, days.leaving, days.turnaround, days.together];
        cells.extend(each.map(|days| grouped(days, 2)));
        Some(cells)
    });
    rows.collect()
}

/// The document of `layout`.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(view: &LayoutView) -> Result<String, serde_json::Error> {
    pretty_with(Units::of(view.units, "money"), view)
}
