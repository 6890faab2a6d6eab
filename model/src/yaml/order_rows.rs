//! Reading the CSV file of orders: one row an order.

use super::guard;
use super::node::{MOST_FINDINGS, MOST_ITEMS, did_you_mean, too_many};
use super::orders::{Known, LIKELY, QUANTITY, Terms, fault, quantity_of};
use super::quantity::{self, Days, QuantityFault};
use super::words::either_order;
use crate::case::{Late, Order};
use crate::finding::{Finding, Place, Severity};
use crate::ids::{BeerId, FormatId};
use crate::units::{Share, Volume};

/// Columns that are looked at at most.
const MOST_COLUMNS: usize = 50;
/// Columns that must be there.
const COLUMNS: [&str; 4] = ["beer", "format", "quantity", "due"];
/// Columns that may be there.
const MORE_COLUMNS: [&str; 7] = ["name", "firm", "likely", "whole", "late", "late_cost", "fresh"];

/// Reads orders from a CSV text with the columns beer, format, quantity and due, and any of the others.
pub fn from_csv(file: &str, text: &str, known: &Known, findings: &mut Vec<Finding>) -> Vec<Order> {
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(text.as_bytes());
    let headers = match reader.headers() {
        Ok(headers) => headers.clone(),
        Err(error) => {
            findings.push(guard::about_file("V108", file, Some(1), &error.to_string(), "rows of values"));
            return Vec::new();
        }
    };
    let column = |name: &str| headers.iter().position(|header| header.eq_ignore_ascii_case(name));
    for name in COLUMNS.into_iter().filter(|&name| column(name).is_none()) {
        let mut finding = guard::about_file("V109", file, Some(1), name, &format!("the column `{name}`"));
        finding.hint = did_you_mean(name, headers.iter());
        findings.push(finding);
    }
    let all: Vec<&str> = COLUMNS.into_iter().chain(MORE_COLUMNS).collect();
    let is_known = |header: &str| all.iter().any(|name| header.eq_ignore_ascii_case(name));
    for header in headers.iter().take(MOST_COLUMNS).filter(|header| !is_known(header)) {
        let mut finding = guard::about_file("V110", file, Some(1), header, &all.join(", "));
        finding.hint = did_you_mean(header, all.iter().copied());
        findings.push(finding);
    }
    let more = MORE_COLUMNS.map(column);
    let places: Option<Vec<usize>> = COLUMNS.iter().map(|name| column(name)).collect();
    let Some(places) = places else { return Vec::new() };
    let mut orders: Vec<Order> = Vec::new();
    let before = findings.len();
    for (position, record) in reader.records().enumerate() {
        if findings.len() - before >= MOST_FINDINGS {
            findings.push(too_many(file));
            break;
        }
        if position == MOST_ITEMS {
            let found = format!("more than {MOST_ITEMS} rows");
            let allowed = format!("at most {MOST_ITEMS} rows");
            findings.push(guard::about_file("V304", file, Some(position + 2), &found, &allowed));
            break;
        }
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().and_then(|place| usize::try_from(place.line()).ok());
                let allowed = format!("{} cells in every row, as in the first", headers.len());
                let found = match error.kind() {
                    csv::ErrorKind::UnequalLengths { len, .. } => format!("{len} cells"),
                    _ => error.to_string(),
                };
                findings.push(guard::about_file("V108", file, line, &found, &allowed));
                continue;
            }
        };
        let line = record.position().map_or(position + 2, |place| usize::try_from(place.line()).unwrap_or(0));
        let row = Row { file, line, record: &record };
        let name = column("name").and_then(|place| record.get(place)).filter(|name| !name.is_empty());
        let name = name.map_or(format!("order {}", position + 1), ToOwned::to_owned);
        if orders.iter().any(|order| order.name == name) {
            findings.push(row.finding("V205", 0, &name, "a name that no other order has".into()));
        } else if let Some(order) = row.order(name, &places, &more, known, findings) {
            orders.push(order);
        }
    }
    orders
}

struct Row<'r> {
    file: &'r str,
    line: usize,
    record: &'r csv::StringRecord,
}

impl Row<'_> {
    fn finding(&self, code: &'static str, column: usize, found: &str, allowed: String) -> Finding {
        Finding {
            code,
            severity: Severity::Error,
            place: Place {
                file: self.file.to_owned(),
                path: Vec::new(),
                line: Some(self.line),
                column: Some(column + 1),
            },
            found: found.to_owned(),
            allowed,
            hint: None,
        }
    }

    fn order(
        &self,
        name: String,
        places: &[usize],
        more: &[Option<usize>; 7],
        known: &Known,
        findings: &mut Vec<Finding>,
    ) -> Option<Order> {
        let cell = |place: usize| self.record.get(place).unwrap_or_default();
        let mut look_up = |place: usize, code, what: &str, names: Vec<&str>| {
            let found = names.iter().position(|name| *name == cell(place));
            if found.is_none() {
                let allowed = format!("one of the {what}: {}", names.join(", "));
                let mut finding = self.finding(code, place, cell(place), allowed);
                finding.hint = did_you_mean(cell(place), names);
                findings.push(finding);
            }
            found
        };
        let beers = known.beers.iter().map(|beer| beer.name.as_str()).collect();
        let beer = look_up(places[0], "V202", "beers", beers);
        let formats = known.formats.iter().map(|format| format.name.as_str()).collect();
        let format = look_up(places[1], "V203", "formats", formats);
        let contents = format.map_or(Volume(1), |format| known.formats[format].contents);
        let quantity = quantity_of(cell(places[2]), contents);
        if let Err(fault) = &quantity {
            findings.push(self.finding(code_of(fault), places[2], cell(places[2]), QUANTITY.to_owned()));
        }
        let due = cell(places[3]).parse::<jiff::civil::Date>().ok();
        if due.is_none() {
            let allowed = "a date that exists, such as `2026-12-07`".to_owned();
            let mut finding = self.finding("V401", places[3], cell(places[3]), allowed);
            finding.hint = either_order(cell(places[3]));
            findings.push(finding);
        }
        let terms = self.terms(more, findings);
        let (beer, format) = (BeerId(beer?), FormatId(format?));
        let order = terms?.order(name, beer, format, quantity.ok()?, known.calendar.day_of(due?));
        let (code, severity, allowed) = fault(&order, known)?;
        if code.is_empty() {
            return Some(order);
        }
        let place = if code == "V208" { places[1] } else { places[3] };
        let mut finding = self.finding(code, place, cell(place), allowed);
        finding.severity = severity;
        findings.push(finding);
        None
    }

    /// The columns that may be left out; an empty cell counts as left out.
    fn terms(&self, more: &[Option<usize>; 7], findings: &mut Vec<Finding>) -> Option<Terms> {
        let [_, firm, likely, whole, late, late_cost, fresh] = *more;
        let before = findings.len();
        let share = |text: &str| quantity::parse::<Share>(text);
        let likely = self.optional(likely, share, "a share in %, such as `70 %`", findings);
        let firm_word = self.yes_or_no(firm, findings);
        let whole = self.yes_or_no(whole, findings).unwrap_or(false);
        let days = |text: &str| quantity::parse::<Days>(text).map(|days| days.0);
        let at_most = self.optional(late, days, DAYS, findings);
        let cost =
            self.optional(late_cost, quantity::parse_money, "a plain number such as `12.50`", findings);
        let fresh = self.optional(fresh, days, DAYS, findings);
        let likely = likely.unwrap_or(Share::WHOLE);
        let firm = firm_word.unwrap_or(likely == Share::WHOLE);
        let cell = |place: Option<usize>| place.and_then(|place| self.record.get(place)).unwrap_or_default();
        if firm && likely != Share::WHOLE {
            findings.push(self.finding("V431", more[2].unwrap_or(0), cell(more[2]), LIKELY.to_owned()));
        }
        if at_most.is_some() != cost.is_some() && findings.len() == before {
            let allowed = "`late` and `late_cost` together".to_owned();
            findings.push(self.finding("V111", late.or(late_cost).unwrap_or(0), cell(late), allowed));
        }
        let late = at_most.zip(cost).map(|(at_most, cost)| Late { at_most, cost });
        (findings.len() == before).then_some(Terms { firm, likely, whole, late, fresh })
    }

    /// A cell read by a parser, if there is anything in it.
    fn optional<T>(
        &self,
        place: Option<usize>,
        parse: impl Fn(&str) -> Result<T, QuantityFault>,
        allowed: &str,
        findings: &mut Vec<Finding>,
    ) -> Option<T> {
        let place = place?;
        let cell = self.record.get(place).filter(|cell| !cell.is_empty())?;
        match parse(cell) {
            Ok(found) => Some(found),
            Err(fault) => {
                findings.push(self.finding(code_of(&fault), place, cell, allowed.to_owned()));
                None
            }
        }
    }

    fn yes_or_no(&self, place: Option<usize>, findings: &mut Vec<Finding>) -> Option<bool> {
        let place = place?;
        match self.record.get(place).unwrap_or_default() {
            "yes" | "true" | "firm" | "whole" => Some(true),
            "no" | "false" => Some(false),
            "" => None,
            other => {
                findings.push(self.finding("V112", place, other, "`yes` or `no`".to_owned()));
                None
            }
        }
    }
}

/// What a number of days must look like.
const DAYS: &str = "a number of days or weeks, such as `3 d`";

fn code_of(fault: &QuantityFault) -> &'static str {
    match fault {
        QuantityFault::NotANumber => "V112",
        QuantityFault::NoUnit => "V301",
        QuantityFault::UnknownUnit(_) => "V302",
        QuantityFault::Negative => "V303",
        QuantityFault::Absurd => "V304",
    }
}
