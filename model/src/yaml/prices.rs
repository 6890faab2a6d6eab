//! Reading what one unit more of something costs: `{vessel: F1, price: 24000}` and its like.

use super::brewplan::beer_of;
use super::crews::crew_of;
use super::fixed::line_of;
use super::node::{Fields, Node};
use super::opening::vessel_of;
use super::words;
use crate::case::{Beer, Cost, Crew, Line, Price, Priced, Vessel};
use crate::finding::Severity;

/// Keys of which each price has one.
const THINGS: [&str; 11] = [
    "vessel",
    "first_bright",
    "person",
    "hour",
    "second_shift",
    "turn",
    "cleaning_set",
    "pump",
    "rating",
    "stay",
    "wait",
];

/// What can have a price.
pub struct Known<'k> {
    /// Vessels.
    pub vessels: &'k [Vessel],
    /// Lines.
    pub lines: &'k [Line],
    /// Crews.
    pub crews: &'k [Crew],
    /// Beers.
    pub beers: &'k [Beer],
}

/// Reads all prices.
pub fn prices(fields: &Fields, known: &Known) -> Vec<Price> {
    let mut all: Vec<Price> = Vec::new();
    for item in fields.optional("prices").map(|node| node.items(false)).unwrap_or_default() {
        let Some(price) = price(&item, known) else { continue };
        if all.iter().any(|other| other.of == price.of) {
            item.report("V162", Severity::Error, "a second price", "one price of each thing", None);
            continue;
        }
        all.push(price);
    }
    all
}

fn price(item: &Node, known: &Known) -> Option<Price> {
    let entry = item.fields()?;
    let named: Vec<(&str, Node)> =
        THINGS.iter().filter_map(|&key| Some((key, entry.optional(key)?))).collect();
    let (once, a_week) = (entry.optional("price"), entry.optional("a_week"));
    let has_none = once.is_none() && a_week.is_none();
    let once = once.map(|node| words::money(&node));
    let a_week = a_week.map(|node| words::money(&node));
    entry.finish();
    let of = match named.as_slice() {
        [(key, node)] => priced(item, key, node, known),
        _ => {
            one_thing(item);
            None
        }
    };
    if has_none {
        item.report("V161", Severity::Error, "no price", "`price` (once), `a_week`, or both", None);
        return None;
    }
    let once = once.map_or(Some(None), |once| once.map(Some));
    let a_week = a_week.map_or(Some(None), |a_week| a_week.map(Some));
    Some(Price { of: of?, cost: Cost { once: once?, a_week: a_week? } })
}

/// What the one of the keys names.
fn priced(item: &Node, key: &str, node: &Node, known: &Known) -> Option<Priced> {
    match key {
        "vessel" => vessel_of(node, known.vessels).map(Priced::Vessel),
        "rating" => vessel_of(node, known.vessels).map(Priced::Rating),
        "person" => crew_of(node, known.crews).map(Priced::Person),
        "hour" => crew_of(node, known.crews).map(Priced::Hour),
        "second_shift" => crew_of(node, known.crews).map(Priced::SecondShift),
        "pump" => line_of(node, "V206", known.lines).map(Priced::Pump),
        "stay" => beer_of(node, known.beers).map(Priced::Stay),
        "wait" => beer_of(node, known.beers).map(Priced::Wait),
        "first_bright" if node.yes_or_no()? => Some(Priced::FirstBright),
        "turn" if node.yes_or_no()? => Some(Priced::Turn),
        "cleaning_set" if node.yes_or_no()? => Some(Priced::CleaningSet),
        _ => {
            one_thing(item);
            None
        }
    }
}

/// None of the keys is given, more than one, or one that says no.
fn one_thing(item: &Node) {
    let allowed = "one of `vessel: NAME`, `first_bright: yes`, `person: CREW`, `hour: CREW`, `second_shift: CREW`, `turn: yes`, \
                   `cleaning_set: yes`, `pump: LINE`, `rating: VESSEL`, `stay: BEER`, `wait: BEER`";
    item.report("V160", Severity::Error, "what has the price", allowed, None);
}
