//! The report of a comparison: the answer, the figures, what is proven, what binds, every resource.

use maud::{Markup, html};

use super::page::{Part, page};
use super::table::{Column, long_names, numbers, pairs, table, units, words};
use crate::render::compare::{
    Comparison, ResourceRow, cell_text, difference_cells, figure_text, heading_of, is_told, part_text,
};
use crate::render::words::report::{CAUTIONS, VERDICT};
use crate::render::words::{compare as own, listed};

/// The page.
#[must_use]
pub fn of_comparison(comparison: &Comparison) -> String {
    let title = own::page_title(comparison);
    let parts: Vec<Option<Part>> = vec![
        Some(answer(comparison)),
        Some(figures(comparison)),
        differences(comparison),
        Some(binds(comparison)),
        Some(uses(comparison)),
        Some(parts(comparison)),
        left_out(comparison),
        Some(Part::list("cautions", CAUTIONS, &listed(&comparison.cautions))),
    ];
    let parts: Vec<Part> = parts.into_iter().flatten().collect();
    page(&title, &own::title(comparison), &html! {}, &parts)
}

fn answer(comparison: &Comparison) -> Part {
    let rows: Vec<Vec<String>> = comparison
        .cases
        .iter()
        .map(|case| {
            vec![
                case.letter.clone(),
                case.title.clone(),
                own::what(case.kind, &case.file),
                own::status(case.status).to_owned(),
            ]
        })
        .collect();
    let columns = own::CASE_COLUMNS.map(words);
    let body = html! {
        @if let Some(answer) = own::answer(comparison) { p class="first" { (answer) } }
        @for sentence in own::searched(comparison) { p { (sentence) } }
        (table(own::CASES_CAPTION, &columns, &rows, None))
    };
    Part { id: "answer", heading: VERDICT, body }
}

/// The columns of the cases, after others.
fn columns<'a>(first: &[Column<'a>], headings: &'a [String]) -> Vec<Column<'a>> {
    first.iter().copied().chain(headings.iter().map(|heading| numbers(heading))).collect()
}

fn headings(comparison: &Comparison) -> Vec<String> {
    (0..comparison.cases.len()).map(|place| heading_of(comparison, place)).collect()
}

fn figures(comparison: &Comparison) -> Part {
    let headings = headings(comparison);
    let rows: Vec<Vec<String>> = comparison
        .figures
        .iter()
        .filter(|figure| is_told(figure))
        .map(|figure| {
            let mut cells = vec![figure.figure.clone(), figure.unit.to_owned()];
            cells.extend((0..headings.len()).map(|place| figure_text(figure, place)));
            cells
        })
        .collect();
    let columns = columns(&[long_names(own::FIGURE), units(own::UNIT)], &headings);
    Part { id: "figures", heading: own::FIGURES, body: table(own::FIGURES_CAPTION, &columns, &rows, None) }
}

fn differences(comparison: &Comparison) -> Option<Part> {
    if comparison.differences.is_empty() {
        return None;
    }
    let rows = difference_cells(comparison);
    let [_, plans, low, high, _] = own::DIFFERENCE_COLUMNS;
    let columns = [words(own::FIGURE), numbers(plans), numbers(low), numbers(high), words(own::PROVEN)];
    let body = html! {
        p { (own::ABOUT_DIFFERENCES) }
        (table(own::DIFFERENCES, &columns, &rows, None))
    };
    Some(Part { id: "differences", heading: own::DIFFERENCES, body })
}

fn binds(comparison: &Comparison) -> Part {
    let rows: Vec<&ResourceRow> = comparison.resources.iter().filter(|row| row.differs).collect();
    let body = if rows.is_empty() {
        html! { p { (own::SAME_BINDS) } }
    } else {
        html! {
            p { (own::ABOUT_BINDS) }
            (resources(comparison, own::BINDS, &rows))
        }
    };
    Part { id: "binds", heading: own::BINDS, body }
}

fn uses(comparison: &Comparison) -> Part {
    let rows: Vec<&ResourceRow> = comparison.resources.iter().collect();
    Part { id: "uses", heading: own::USES, body: resources(comparison, own::USES, &rows) }
}

fn resources(comparison: &Comparison, caption: &str, rows: &[&ResourceRow]) -> Markup {
    let headings = headings(comparison);
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let mut cells = vec![row.resource.clone(), row.unit.to_owned(), own::rule(row.rule, row.about)];
            cells.extend(row.cases.iter().map(|cell| in_two_lines(&cell_text(row, cell.as_ref()))));
            cells
        })
        .collect();
    let [rule, resource] = own::RESOURCE_COLUMNS;
    let mut columns = vec![long_names(resource), units(own::UNIT), long_names(rule)];
    columns.extend(headings.iter().map(|heading| pairs(heading)));
    table(caption, &columns, &cells, None)
}

/// Numbers that are broken over two lines where the semicolon stands, if at all.
fn in_two_lines(cell: &str) -> String {
    let parts: Vec<String> = cell.split("; ").map(|part| part.replace(' ', "\u{a0}")).collect();
    parts.join("; ")
}

fn parts(comparison: &Comparison) -> Part {
    let headings = headings(comparison);
    let rows: Vec<Vec<String>> = comparison
        .parts
        .iter()
        .map(|(name, values)| {
            let mut cells = vec![(*name).to_owned()];
            cells.extend(values.iter().map(|&value| part_text(comparison, value)));
            cells
        })
        .collect();
    let columns = columns(&[long_names(comparison.unit)], &headings);
    Part { id: "parts", heading: own::PARTS, body: table(own::PARTS, &columns, &rows, None) }
}

fn left_out(comparison: &Comparison) -> Option<Part> {
    if comparison.left_out.is_empty() {
        return None;
    }
    Some(Part::list("left-out", own::LEFT_OUT, &comparison.left_out))
}
