//! Reading orders, from the brew plan itself or from a CSV file beside it.

use super::brewplan::{beer_of, format_of};
use super::guard;
use super::node::{Fields, MOST_FINDINGS, MOST_ITEMS, Node, did_you_mean, too_many};
use super::quantity;
use super::words;
use crate::calendar::Calendar;
use crate::case::{Beer, Format, Order};
use crate::finding::{Finding, Place, Severity};
use crate::units::Volume;

/// What orders refer to.
pub struct Known<'k> {
    /// Beers.
    pub beers: &'k [Beer],
    /// Formats.
    pub formats: &'k [Format],
    /// Days.
    pub calendar: &'k Calendar,
}

const QUANTITY: &str = "a volume such as `12 hL`, or a number of packages such as `240 packages`";

/// A quantity ordered: a volume, or packages of the format.
fn quantity_of(text: &str, contents: Volume) -> Result<Volume, quantity::QuantityFault> {
    match text.trim().strip_suffix("packages") {
        None => quantity::parse(text),
        Some(count) => quantity::parse_contents(&format!("{} x {} mL", count.trim(), contents.0)),
    }
}

/// Reads orders listed in the brew plan.
pub fn inline(node: &Node, known: &Known) -> Vec<Order> {
    let mut orders: Vec<Order> = Vec::new();
    for (position, item) in node.items(false).into_iter().enumerate() {
        if let Some(order) = one(&item, position, known, &orders) {
            orders.push(order);
        }
    }
    orders
}

fn one(item: &Node, position: usize, known: &Known, orders: &[Order]) -> Option<Order> {
    let fields = item.fields()?;
    let name_node = fields.optional("name");
    let name = name_node.as_ref().map_or(Some(format!("order {}", position + 1)), Node::name);
    let beer = fields.required("beer").and_then(|node| beer_of(&node, known.beers));
    let format = fields.required("format").and_then(|node| format_of(&node, known.formats));
    let contents = format.map_or(Volume(1), |format| known.formats[format.0].contents);
    let quantity = fields
        .required("quantity")
        .and_then(|node| node.quantity(|text| quantity_of(text, contents), QUANTITY));
    let due_node = fields.required("due");
    let due = due_node.as_ref().and_then(words::date);
    let firm = fields.optional("firm").map_or(Some(true), |node| node.yes_or_no());
    fields.finish();
    let name = name?;
    if orders.iter().any(|order| order.name == name) {
        item.report("V205", Severity::Error, &name, "a name that no other order has", None);
        return None;
    }
    let (beer, format, quantity, firm) = (beer?, format?, quantity?, firm?);
    let due = known.calendar.day_of(due?);
    let order = Order { name, beer, format, quantity, due, firm };
    let (code, severity, allowed) = fault(&order, known)?;
    if code.is_empty() {
        return Some(order);
    }
    let node = if code == "V208" { item } else { due_node.as_ref().unwrap_or(item) };
    let found = if code == "V208" { known.formats[order.format.0].name.clone() } else { node.shown() };
    node.report(code, severity, &found, &allowed, None);
    None
}

/// What is wrong with an order; an empty code where nothing is.
fn fault(order: &Order, known: &Known) -> Option<(&'static str, Severity, String)> {
    let days = known.calendar.days() as i64;
    Some(if order.due < 0 {
        ("V406", Severity::Error, format!("not before the plan starts, {}", known.calendar.starts))
    } else if order.due > days {
        ("V407", Severity::Caution, format!("up to {}; the order is left out", known.calendar.date(days)))
    } else if known.beers[order.beer.0].contribution(order.format).is_none() {
        ("V208", Severity::Error, "a format that the beer's `contribution` lists".to_owned())
    } else {
        ("", Severity::Caution, String::new())
    })
}

/// Columns that are looked at at most.
const MOST_COLUMNS: usize = 50;
/// Columns of the file.
const COLUMNS: [&str; 5] = ["beer", "format", "quantity", "due", "firm"];

/// Reads orders from a CSV text with the columns beer, format, quantity, due, firm, and name if there is one.
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
    for name in COLUMNS.into_iter().filter(|&name| name != "firm" && column(name).is_none()) {
        let mut finding = guard::about_file("V109", file, Some(1), name, &format!("the column `{name}`"));
        finding.hint = did_you_mean(name, headers.iter());
        findings.push(finding);
    }
    for header in
        headers.iter().take(MOST_COLUMNS).filter(|header| !COLUMNS.contains(header) && *header != "name")
    {
        let mut finding = guard::about_file("V110", file, Some(1), header, &COLUMNS.join(", "));
        finding.hint = did_you_mean(header, COLUMNS);
        findings.push(finding);
    }
    let places: Option<Vec<usize>> = COLUMNS[..4].iter().map(|name| column(name)).collect();
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
        } else if let Some(order) = row.order(name, &places, column("firm"), known, findings) {
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
        firm: Option<usize>,
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
            let code = match fault {
                quantity::QuantityFault::NotANumber => "V112",
                quantity::QuantityFault::NoUnit => "V301",
                quantity::QuantityFault::UnknownUnit(_) => "V302",
                quantity::QuantityFault::Negative => "V303",
                quantity::QuantityFault::Absurd => "V304",
            };
            findings.push(self.finding(code, places[2], cell(places[2]), QUANTITY.to_owned()));
        }
        let due = cell(places[3]).parse::<jiff::civil::Date>().ok();
        if due.is_none() {
            let allowed = "a date that exists, such as `2026-12-07`".to_owned();
            findings.push(self.finding("V401", places[3], cell(places[3]), allowed));
        }
        let firm = match firm.map(cell).unwrap_or("yes") {
            "yes" | "true" | "firm" | "" => Some(true),
            "no" | "false" => Some(false),
            other => {
                findings.push(self.finding("V112", firm.unwrap_or(0), other, "`yes` or `no`".to_owned()));
                None
            }
        };
        let order = Order {
            name,
            beer: crate::ids::BeerId(beer?),
            format: crate::ids::FormatId(format?),
            quantity: quantity.ok()?,
            due: known.calendar.day_of(due?),
            firm: firm?,
        };
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
}

/// The path of the CSV file that the brew plan names, if it names one.
pub fn csv_path(fields: &Fields) -> Option<String> {
    let node = fields.optional("orders")?;
    node.value.as_str().map(ToOwned::to_owned)
}
