//! Reading what is there on day 0: beer in tank, dirty vessels, packaged stock.

use super::beers::unknown;
use super::brewplan::{beer_of, format_of};
use super::node::{Fields, Node};
use super::{tank_work, words, yeast};
use crate::calendar::Calendar;
use crate::case::{Beer, Format, InTank, Stock, Vessel};
use crate::finding::Severity;
use crate::ids::VesselId;

/// What the entries refer to.
pub struct Known<'k> {
    /// Vessels.
    pub vessels: &'k [Vessel],
    /// Beers.
    pub beers: &'k [Beer],
    /// Formats.
    pub formats: &'k [Format],
    /// Days.
    pub calendar: &'k Calendar,
}

/// Looks up a vessel by name.
pub fn vessel_of(node: &Node, vessels: &[Vessel]) -> Option<VesselId> {
    let name = node.name()?;
    let found = vessels.iter().position(|vessel| vessel.name == name);
    if found.is_none() {
        unknown(node, "V201", &name, "vessels", vessels.iter().map(|vessel| vessel.name.as_str()));
    }
    found.map(VesselId)
}

/// Reads beer in tank.
pub fn in_tank(node: &Node, known: &Known) -> (Vec<InTank>, Vec<(VesselId, i64)>) {
    let mut all: Vec<InTank> = Vec::new();
    let mut generations = Vec::new();
    for item in node.items(false) {
        if let Some((tank, generation)) = one(&item, known, &all) {
            generations
                .extend(generation.filter(|_| !tank.is_bright).map(|generation| (tank.vessel, generation)));
            all.push(tank);
        }
    }
    (all, generations)
}

/// Beer in a tank, and the generation of its yeast, if it is known and not cropped.
fn one(item: &Node, known: &Known, all: &[InTank]) -> Option<(InTank, Option<i64>)> {
    let fields = item.fields()?;
    let vessel_node = fields.required("vessel");
    let vessel = vessel_node.as_ref().and_then(|node| vessel_of(node, known.vessels));
    let beer = fields.required("beer").and_then(|node| beer_of(&node, known.beers));
    let filled_node = fields.required("filled");
    let filled = filled_node.as_ref().and_then(words::volume);
    let on_node = fields.required("on");
    let on = on_node.as_ref().and_then(words::date);
    let ready_node = fields.optional("ready");
    let ready = ready_node.as_ref().map(words::date);
    let carbonated = fields.optional("carbonated").map_or(Some(false), |node| node.yes_or_no());
    let day = on.map(|on| known.calendar.day_of(on));
    let done = tank_work::done(&fields, beer.map(|beer| &known.beers[beer.0]), day, known.calendar);
    let generation = yeast::generation(&fields, beer.map(|beer| known.beers[beer.0].yeast.is_some()));
    fields.finish();
    let (vessel, beer, filled, on) = (vessel?, beer?, filled?, known.calendar.day_of(on?));
    let data = &known.vessels[vessel.0];
    if let Some(node) = on_node.filter(|_| on >= 0) {
        node.error("V408", &format!("a day before the plan starts, {}", known.calendar.starts), None);
    }
    if all.iter().any(|tank| tank.vessel == vessel)
        && let Some(node) = vessel_node
    {
        node.error("V503", "one beer in a vessel", None);
        return None;
    }
    if let Some(node) = filled_node.filter(|_| filled > data.holds || filled.0 == 0) {
        node.error(
            "V502",
            &format!(
                "more than nothing, at most what {} holds, {}",
                data.name,
                node.units().size(data.holds)
            ),
            None,
        );
    }
    let is_bright = data.is_bright_only() || (data.uses.bright && carbonated == Some(true));
    let beer_data = &known.beers[beer.0];
    if is_bright && data.uses.bright && !beer_data.bright {
        let found = format!("{} in {}", beer_data.name, data.name);
        item.report("V504", Severity::Error, &found, "a beer whose `routes` has `bright`", None);
    }
    let work_done = if is_bright { Vec::new() } else { done };
    let stay = if is_bright { 0 } else { beer_data.stay_days() + tank_work::late(beer_data, on, &work_done) };
    let ready = match ready {
        Some(date) => known.calendar.day_of(date?),
        None => on + stay,
    };
    if let Some(node) = ready_node.filter(|_| ready < on) {
        node.error("V409", "a day after it was filled", None);
    }
    let tank = InTank {
        vessel,
        beer,
        filled,
        on,
        ready,
        carbonated: is_bright || carbonated?,
        is_bright,
        work_done,
    };
    Some((tank, generation))
}

/// Reads dirty vessels.
pub fn dirty(fields: &Fields, known: &Known, in_tank: &[InTank]) -> Vec<VesselId> {
    let mut all = Vec::new();
    for item in fields.optional("dirty").map(|node| node.items(true)).unwrap_or_default() {
        let Some(vessel) = vessel_of(&item, known.vessels) else { continue };
        if in_tank.iter().any(|tank| tank.vessel == vessel) {
            item.error("V505", "an empty vessel: this one has beer in it", None);
        } else if !all.contains(&vessel) {
            all.push(vessel);
        }
    }
    all
}

/// Reads packaged stock.
pub fn stock(node: &Node, known: &Known) -> Vec<Stock> {
    let mut all = Vec::new();
    for item in node.items(false) {
        let Some(entry) = item.fields() else { continue };
        let beer = entry.required("beer").and_then(|node| beer_of(&node, known.beers));
        let format = entry.required("format").and_then(|node| format_of(&node, known.formats));
        let quantity = entry.required("quantity").and_then(|node| words::volume(&node));
        let packaged_node = entry.optional("packaged_on");
        let packaged_on = packaged_node.as_ref().map(words::date);
        let from = entry.optional("from").and_then(|node| words::date(&node));
        entry.finish();
        let from = from.map_or(0, |date| known.calendar.day_of(date));
        let packaged_on = match packaged_on {
            Some(date) => date.map(|date| known.calendar.day_of(date)),
            None => Some(-1),
        };
        if let Some(node) = packaged_node.as_ref().filter(|_| packaged_on.is_some_and(|day| day >= 0)) {
            node.error("V408", &format!("a day before the plan starts, {}", known.calendar.starts), None);
        }
        if let (Some(beer), Some(format), Some(quantity), Some(packaged_on)) =
            (beer, format, quantity, packaged_on)
        {
            if known.beers[beer.0].contribution(format).is_some() {
                if known.beers[beer.0].fresh.is_some() && packaged_node.is_none() {
                    let allowed = "`packaged_on`; it counts as packaged on the day before the plan starts";
                    let found = known.beers[beer.0].name.clone();
                    item.report("V432", Severity::Caution, &found, allowed, None);
                }
                all.push(Stock { beer, format, quantity, from, packaged_on });
            } else {
                let found = known.formats[format.0].name.clone();
                item.report(
                    "V208",
                    Severity::Error,
                    &found,
                    "a format that the beer's `contribution` lists",
                    None,
                );
            }
        }
    }
    all
}
