//! The rows of every sheet, from the view that the screen is made of.

use std::collections::BTreeSet;

use super::super::numbers::{is_volume, shown_volume};
use super::super::view::{View, WorkRow};
use super::super::words::sheets::{Head, Holds};
use super::super::words::{self, reasons, sheets as own, work};
use super::{Cell, Column, Sheet, free_name};

/// All sheets of a plan, in the order in which they are read.
#[must_use]
pub fn sheets(view: &View) -> Vec<Sheet> {
    // `History` is a name that one program keeps for itself.
    let mut taken = BTreeSet::from(["history".to_owned()]);
    let mut all = vec![
        (own::PLAN, summary(view)),
        (own::WORK, work_of(view, true, |_| true)),
        (own::VESSELS, vessels(view)),
        (own::DAYS, vessel_days(view)),
        (own::ORDERS, orders(view)),
        (own::SLACK, slack(view)),
        (own::PARTS, parts(view)),
    ];
    if view.to_order.is_some() {
        all.push((own::TO_ORDER, to_order(view)));
    }
    let mut sheets: Vec<Sheet> = Vec::new();
    for (name, (columns, rows)) in all {
        sheets.push(Sheet { name: free_name(name, &mut taken), columns, rows });
    }
    // Right after all work: a sheet for each crew.
    for (place, crew) in (2..).zip(&view.crews) {
        let is_theirs =
            |row: &WorkRow| row.crews.contains(&crew.crew) || row.crew.as_ref() == Some(&crew.crew);
        let (columns, rows) = work_of(view, false, is_theirs);
        let name = free_name(&crew.crew, &mut taken);
        sheets.insert(place, Sheet { name, columns, rows });
    }
    sheets
}

type Table = (Vec<Column>, Vec<Vec<Cell>>);

fn columns(view: &View, all: &[Head]) -> Vec<Column> {
    let of = |&(header, width, holds): &Head| Column {
        header: match holds {
            Holds::Plain => header.to_owned(),
            Holds::Volume => format!("{header}, {}", view.units.volume),
        },
        width,
    };
    all.iter().map(of).collect()
}

/// A cell of a volume, in the unit of its column.
fn volume(view: &View, hl: Option<f64>, decimals: u8) -> Cell {
    let shown = |hl: f64| shown_volume(view.units.system, hl, 5);
    Cell::number(hl.map(shown), decimals)
}

/// What the plan is worth and how sure that is.
fn summary(view: &View) -> Table {
    let unit = view.units.objective;
    let decimals = if is_volume(unit) { 5 } else { 2 };
    let mut rows = vec![
        vec![Cell::text(own::TITLE), Cell::text(&view.title)],
        vec![Cell::text(own::CELLAR), Cell::text(&view.cellar)],
        vec![Cell::text(own::FIRST_DAY), Cell::date(view.days.first().map(|day| &day.date))],
        vec![Cell::text(own::LAST_DAY), Cell::date(view.days.last().map(|day| &day.date))],
        vec![Cell::text(own::worth(unit)), Cell::Number(view.objective, decimals)],
    ];
    if let Some(verdict) = &view.verdict {
        rows.push(vec![Cell::text(own::bound(unit)), Cell::number(verdict.bound, decimals)]);
        rows.push(vec![Cell::text(own::GAP), Cell::number(verdict.gap.map(|gap| gap * 100.0), 2)]);
        for sentence in words::verdict(view, verdict, None) {
            rows.push(vec![Cell::Empty, Cell::text(sentence)]);
        }
    }
    rows.push(vec![
        Cell::text(own::all_packaged(view.units.volume)),
        volume(view, Some(view.packaged_hl), 1),
    ]);
    for row in &view.packaged {
        let of_it = own::packaged(&row.format, view.units.volume);
        rows.push(vec![Cell::text(of_it), volume(view, Some(row.packaged_hl), 1)]);
    }
    for caution in &view.cautions {
        rows.push(vec![Cell::text(own::CAUTION), Cell::text(&caution.text)]);
    }
    (columns(view, &[("", 28, Holds::Plain), (own::VALUE, 90, Holds::Plain)]), rows)
}

/// Pieces of work, those of one crew or all of them.
fn work_of(view: &View, is_for_all: bool, wanted: impl Fn(&WorkRow) -> bool) -> Table {
    let (who, done) = if is_for_all { (own::WHO, &[][..]) } else { (&[][..], own::DONE) };
    let heads: Vec<Head> = [own::WHEN, who, own::WHAT, done].concat();
    let mut rows = Vec::new();
    for row in view.work.iter().filter(|row| wanted(row)) {
        let day = view.days.get(row.day).map(|day| day.label.as_str()).unwrap_or_default();
        let mut cells = vec![
            Cell::Date(row.date.clone()),
            Cell::text(day.split(' ').next().unwrap_or_default()),
            Cell::text(&row.shift),
            Cell::text(row.begins.as_deref().unwrap_or_default()),
        ];
        if is_for_all {
            cells.push(Cell::text(row.role));
            let crews: Vec<&str> = row.crew.iter().chain(&row.crews).map(String::as_str).collect();
            cells.push(Cell::text(crews.join(", ")));
        }
        cells.extend([
            Cell::text(work::untimed(row)),
            Cell::text(work::place(row)),
            volume(view, row.volume_hl, 2),
            volume(view, row.yields_hl, 2),
            Cell::count(row.packages),
            Cell::text(row.format.as_deref().unwrap_or_default()),
            Cell::number(row.clock_hours, 2),
            Cell::number(row.person_hours, 2),
        ]);
        if !is_for_all {
            cells.push(Cell::Empty);
        }
        rows.push(cells);
    }
    (columns(view, &heads), rows)
}

/// Beer in vessels, from when to when.
fn vessels(view: &View) -> Table {
    let mut rows = Vec::new();
    for vessel in &view.vessels {
        for stay in &vessel.stays {
            rows.push(vec![
                Cell::text(&vessel.vessel),
                Cell::text(&stay.beer),
                Cell::date(stay.from.as_ref()),
                Cell::date(stay.ready.as_ref()),
                Cell::date(stay.until.as_ref()),
                volume(view, Some(stay.volume_hl), 2),
                volume(view, Some(stay.left_hl), 2),
            ]);
        }
    }
    (columns(view, own::STAYS), rows)
}

/// Vessels across the days, in the signs of the screen.
fn vessel_days(view: &View) -> Table {
    let mut columns = columns(view, &[(own::VESSEL, 10, Holds::Plain)]);
    columns.extend(view.days.iter().map(|day| Column { header: day.date.clone(), width: 11 }));
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for vessel in &view.vessels {
        let mut cells = vec![Cell::text(&vessel.vessel)];
        cells.extend(
            (0..view.days.len()).map(|day| Cell::text(vessel.cells.get(day).cloned().unwrap_or_default())),
        );
        rows.push(cells);
    }
    let blank = |first: String, second: String| {
        let mut cells = vec![Cell::text(first), Cell::Line(second)];
        cells.resize(view.days.len() + 1, Cell::Empty);
        cells.truncate(view.days.len() + 1);
        cells
    };
    for code in &view.codes {
        rows.push(blank(code.code.clone(), code.beer.clone()));
    }
    for (sign, meaning) in words::signs::LEGEND {
        rows.push(blank(sign.to_string(), meaning.to_owned()));
    }
    (columns, rows)
}

fn orders(view: &View) -> Table {
    let mut rows = Vec::new();
    for order in &view.orders {
        let delivered: Vec<String> = order
            .deliveries
            .iter()
            .map(|delivery| own::delivery(view.units.system, &delivery.on, delivery.volume_hl))
            .collect();
        let reason = order
            .reason
            .as_ref()
            .map_or_else(String::new, |reason| reasons::reason(order, reason, view.units.system));
        rows.push(vec![
            Cell::text(&order.order),
            Cell::text(&order.beer),
            Cell::text(&order.format),
            Cell::Date(order.due.clone()),
            Cell::text(if order.firm { "yes" } else { "no" }),
            Cell::Number(order.likely_percent, 0),
            volume(view, Some(order.quantity_hl), 2),
            volume(view, Some(order.delivered_hl), 2),
            volume(view, Some(order.missed_hl), 2),
            volume(view, Some(order.late_hl), 2),
            Cell::text(delivered.join("; ")),
            Cell::text(reason),
        ]);
    }
    (columns(view, own::ORDER_COLUMNS), rows)
}

fn slack(view: &View) -> Table {
    let mut rows = Vec::new();
    for row in &view.slack {
        // What is tightest on every day has no date.
        let is_one_day = view.days.iter().any(|day| day.label == row.tightest_label);
        let day = if is_one_day { Cell::Date(row.tightest.clone()) } else { Cell::text(&row.tightest_label) };
        rows.push(vec![
            Cell::text(&row.resource),
            Cell::text(row.unit),
            day,
            Cell::Number(row.left_then, 2),
            Cell::Number(row.used, 2),
            Cell::Number(row.available, 2),
            Cell::Number(row.left, 2),
            Cell::text(if row.binding { "binds" } else { "" }),
        ]);
    }
    (columns(view, own::SLACK_COLUMNS), rows)
}

fn parts(view: &View) -> Table {
    let decimals = if is_volume(view.units.objective) { 7 } else { 2 };
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for row in &view.breakdown {
        rows.push(vec![
            Cell::text(row.part),
            Cell::number(row.planned, decimals),
            Cell::number(row.look_ahead, decimals),
            Cell::Number(row.amount, decimals),
        ]);
    }
    rows.push(vec![
        Cell::text("objective"),
        Cell::Empty,
        Cell::Empty,
        Cell::Number(view.objective, decimals),
    ]);
    let unit = view.units.objective;
    let heads = [(unit, 40), ("planned days", 16), ("look-ahead", 16), ("together", 16)];
    let mut columns = columns(view, &heads.map(|(header, width)| (header, width, Holds::Plain)));
    for column in columns.iter_mut().skip(1) {
        column.header = format!("{}, {unit}", column.header);
    }
    (columns, rows)
}

fn to_order(view: &View) -> Table {
    let mut rows = Vec::new();
    for row in view.to_order.iter().flatten() {
        rows.push(vec![
            Cell::text(&row.material),
            Cell::count(Some(row.pieces)),
            Cell::count(row.packs),
            Cell::Number(row.cost, 2),
            Cell::date(row.by.as_ref()),
            Cell::Date(row.needed.clone()),
        ]);
    }
    (columns(view, own::TO_ORDER_COLUMNS), rows)
}
