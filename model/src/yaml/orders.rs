//! Reading orders that the brew plan lists; those of a CSV file are read in `order_rows`.

use super::brewplan::{beer_of, format_of};
use super::node::{Fields, Node};
use super::quantity;
use super::words;
use crate::calendar::Calendar;
use crate::case::{Beer, Format, Late, Order};
use crate::finding::Severity;
use crate::ids::{BeerId, FormatId};
use crate::schema::Scalar;
use crate::units::{Share, Volume};

/// What orders refer to.
pub struct Known<'k> {
    /// Beers.
    pub beers: &'k [Beer],
    /// Formats.
    pub formats: &'k [Format],
    /// Days.
    pub calendar: &'k Calendar,
}

/// What a quantity ordered must look like.
pub const QUANTITY: &str = Scalar::Ordered.sentence();

/// A quantity ordered: a volume, or packages of the format.
pub fn quantity_of(text: &str, contents: Volume) -> Result<Volume, quantity::QuantityFault> {
    match text.trim().strip_suffix("packages") {
        None => quantity::parse(text),
        Some(count) => quantity::parse_contents(&format!("{} x {} mL", count.trim(), contents.0)),
    }
}

/// Reads orders listed in the brew plan.
pub fn inline(node: &Node, known: &Known) -> Vec<Order> {
    beside(node, known, Vec::new())
}

/// Reads orders that come to others.
pub fn beside(node: &Node, known: &Known, mut orders: Vec<Order>) -> Vec<Order> {
    let before = orders.len();
    for (position, item) in node.items(false).into_iter().enumerate() {
        if let Some(order) = one(&item, before + position, known, &orders) {
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
    let terms = terms(&fields, true);
    fields.finish();
    let name = name?;
    if orders.iter().any(|order| order.name == name) {
        item.report("V205", Severity::Error, &name, "a name that no other order has", None);
        return None;
    }
    let (beer, format, quantity, terms) = (beer?, format?, quantity?, terms?);
    let due = known.calendar.day_of(due?);
    let order = terms.order(name, beer, format, quantity, due);
    let (code, severity, allowed) = fault(&order, known)?;
    if code.is_empty() {
        return Some(order);
    }
    let node = if code == "V208" { item } else { due_node.as_ref().unwrap_or(item) };
    let found = if code == "V208" { known.formats[order.format.0].name.clone() } else { node.shown() };
    node.report(code, severity, &found, &allowed, None);
    None
}

/// What an order allows besides beer, format, quantity and due day.
#[derive(Clone, Copy, Debug)]
pub struct Terms {
    /// Missing it costs a charge.
    pub firm: bool,
    /// How likely it is to come.
    pub likely: Share,
    /// All or nothing.
    pub whole: bool,
    /// It may be late.
    pub late: Option<Late>,
    /// Its own limit of age, days.
    pub fresh: Option<i64>,
}

impl Terms {
    /// An order on these terms.
    pub fn order(self, name: String, beer: BeerId, format: FormatId, quantity: Volume, due: i64) -> Order {
        let Self { firm, likely, whole, late, fresh } = self;
        Order { name, beer, format, quantity, due, firm, likely, whole, late, fresh }
    }
}

/// Reads the terms of an order, or of a weekly rate; `firm` where the file is silent.
pub fn terms(fields: &Fields, firm: bool) -> Option<Terms> {
    let likely_node = fields.optional("likely");
    let likely = likely_node.as_ref().map_or(Some(Share::WHOLE), words::share);
    let firm_node = fields.optional("firm");
    // What may not come is not firm, unless the file says that it is, which is a fault.
    let is_likely = likely_node.is_some() && likely != Some(Share::WHOLE);
    let firm = firm_node.as_ref().map_or(Some(firm && !is_likely), Node::yes_or_no);
    let whole = fields.optional("whole").map_or(Some(false), |node| node.yes_or_no());
    let late = fields.optional("late").map_or(Some(None), |node| late(&node).map(Some));
    let fresh = fields.optional("fresh").map_or(Some(None), |node| words::days(&node).map(Some));
    let terms = Terms { firm: firm?, likely: likely?, whole: whole?, late: late?, fresh: fresh? };
    if let Some(node) = likely_node.filter(|_| terms.firm && is_likely) {
        node.error("V431", LIKELY, None);
        return None;
    }
    Some(terms)
}

/// What is allowed of an order that may not come.
pub const LIKELY: &str = "100 % with `firm: yes`; what may not come is no firm order";

/// `{at_most: 3 d, cost: 5}`
fn late(node: &Node) -> Option<Late> {
    let fields = node.fields()?;
    let at_most = fields.required("at_most").and_then(|node| words::days(&node));
    let cost = fields.required("cost").and_then(|node| words::money(&node));
    fields.finish();
    Some(Late { at_most: at_most?, cost: cost? })
}

/// What is wrong with an order; an empty code where nothing is.
pub fn fault(order: &Order, known: &Known) -> Option<(&'static str, Severity, String)> {
    let days = known.calendar.days() as i64;
    Some(if order.last_day() < 0 {
        let starts = known.calendar.starts;
        (
            "V406",
            Severity::Error,
            format!("not before the plan starts, {starts}, unless it may be `late` until then"),
        )
    } else if order.due > days {
        ("V407", Severity::Caution, format!("up to {}; the order is left out", known.calendar.date(days)))
    } else if known.beers[order.beer.0].contribution(order.format).is_none() {
        ("V208", Severity::Error, "a format that the beer's `contribution` lists".to_owned())
    } else {
        ("", Severity::Caution, String::new())
    })
}

/// The path of the CSV file that the brew plan names, if it names one.
pub fn csv_path(fields: &Fields) -> Option<String> {
    let node = fields.optional("orders")?;
    node.value.as_str()?;
    node.text(&Scalar::Path.allowed())
}
