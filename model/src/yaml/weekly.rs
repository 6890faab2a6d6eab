//! Reading weekly rates: what a beer sells in a format each week, written out as orders due on days of the week.

use super::brewplan::{beer_of, format_of};
use super::node::Node;
use super::orders::{Known, QUANTITY, Terms, fault, quantity_of, terms};
use super::words;
use crate::calendar::Weekdays;
use crate::case::Order;
use crate::finding::Severity;
use crate::ids::{BeerId, FormatId};
use crate::units::Volume;

/// A weekly rate as the file states it.
struct Rate {
    name: String,
    beer: BeerId,
    format: FormatId,
    a_week: Volume,
    from: i64,
    to: i64,
    due: Weekdays,
    terms: Terms,
}

/// Adds the orders of all weekly rates to those that are there.
pub fn add(node: &Node, known: &Known, orders: &mut Vec<Order>) {
    for (position, item) in node.items(false).into_iter().enumerate() {
        if let Some(rate) = one(&item, position, known) {
            write_out(&item, &rate, known, orders);
        }
    }
}

fn one(item: &Node, position: usize, known: &Known) -> Option<Rate> {
    let fields = item.fields()?;
    let name = fields.optional("name").map_or(Some(format!("rate {}", position + 1)), |node| node.name());
    let beer = fields.required("beer").and_then(|node| beer_of(&node, known.beers));
    let format = fields.required("format").and_then(|node| format_of(&node, known.formats));
    let contents = format.map_or(Volume(1), |format| known.formats[format.0].contents);
    let a_week = fields
        .required("a_week")
        .and_then(|node| node.quantity(|text| quantity_of(text, contents), QUANTITY));
    let calendar = known.calendar;
    let day = |node: &Node| words::date(node).map(|date| calendar.day_of(date));
    let from = fields.optional("from").map_or(Some(0), |node| day(&node));
    let to_node = fields.optional("to");
    let to = to_node.as_ref().map_or(Some(calendar.days() as i64), day);
    let due_node = fields.optional("due");
    let friday = Weekdays([false, false, false, false, true, false, false]);
    let due = due_node.as_ref().map_or(Some(friday), words::weekdays);
    let terms = terms(&fields, false);
    fields.finish();
    let (from, to, due) = (from?, to?, due?);
    if let Some(node) = to_node.filter(|_| to < from) {
        node.error("V433", "a day on or after `from`, or after the plan starts", None);
    }
    if let Some(node) = due_node.filter(|_| due == Weekdays::default()) {
        node.error("V403", "at least one day of the week, such as `fri`", None);
        return None;
    }
    Some(Rate {
        name: name?,
        beer: beer?,
        format: format?,
        a_week: a_week?,
        from: from.max(0),
        to: to.min(calendar.days() as i64),
        due,
        terms: terms?,
    })
}

/// An order for every due day of the rate; a week's volume is divided equally over its due days, what does not divide goes to
/// the first. Where nothing is delivered on the day, the order is due on the delivery day before it.
fn write_out(item: &Node, rate: &Rate, known: &Known, orders: &mut Vec<Order>) {
    let calendar = known.calendar;
    let parts = rate.due.0.iter().filter(|&&is_due| is_due).count() as i64;
    for day in rate.from..=rate.to {
        let date = calendar.date(day);
        if !rate.due.has(date) {
            continue;
        }
        let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or_default();
        let is_first = !rate.due.0.iter().take(weekday).any(|&is_due| is_due);
        let rest = if is_first { rate.a_week.0 % parts } else { 0 };
        let due = (0..=day).rev().find(|&day| calendar.delivers(day)).unwrap_or(day);
        let name = format!("{}, {date}", rate.name);
        if orders.iter().any(|order| order.name == name) {
            item.report("V205", Severity::Error, &name, "a name that no other order has", None);
            return;
        }
        let quantity = Volume(rate.a_week.0 / parts + rest);
        let order = rate.terms.order(name, rate.beer, rate.format, quantity, due);
        match fault(&order, known) {
            Some(("", ..)) => orders.push(order),
            Some((code, severity, allowed)) => {
                let found = known.formats[order.format.0].name.clone();
                item.report(code, severity, &found, &allowed, None);
                return;
            }
            None => return,
        }
    }
}
