//! Reading the cold store of the cellar, and the stocks that the brew plan keeps; whether they make sense.

use super::brewplan::{beer_of, format_of};
use super::node::{Fields, Node};
use super::orders::{QUANTITY, quantity_of};
use super::quantity::{self, QuantityFault};
use super::sense::{Files, finding, place};
use super::words;
use crate::case::{Beer, Case, ColdStore, Each, Format, Keep, StoreUnit};
use crate::finding::{Finding, Severity};
use crate::ids::FormatId;
use crate::schema::Scalar;
use crate::units::{Money, Volume};

const ROOM: &str = Scalar::Room.sentence();
/// More pallets than any store holds.
const MOST_PALLETS: i128 = 1_000_000;

/// A volume in millilitres, or pallets in millionths.
pub(crate) fn room_of(text: &str) -> Result<(StoreUnit, i64), QuantityFault> {
    let text = text.trim();
    let Some(number) = text.strip_suffix("pallets").or(text.strip_suffix("pallet")) else {
        return quantity::parse::<Volume>(text).map(|volume| (StoreUnit::Volume, volume.0));
    };
    let pallets = quantity::decimal(number.trim()).ok_or(QuantityFault::NotANumber)?;
    if pallets < 0 {
        return Err(QuantityFault::Negative);
    }
    let small = i64::try_from(pallets).ok().filter(|_| pallets <= MOST_PALLETS * 1_000_000);
    small.map(|small| (StoreUnit::Pallets, small)).ok_or(QuantityFault::Absurd)
}

fn room(node: &Node) -> Option<(StoreUnit, i64)> {
    node.quantity(room_of, ROOM)
}

/// Reads the cold store, once the formats are known.
pub fn cold_store(node: &Node, formats: &[Format]) -> Option<ColdStore> {
    let fields = node.fields()?;
    let holds_node = fields.required("holds");
    let holds = holds_node.as_ref().and_then(room);
    let mut named: Vec<FormatId> = Vec::new();
    let formats_node = fields.optional("formats");
    for item in formats_node.as_ref().map(|node| node.items(true)).unwrap_or_default() {
        named.extend(format_of(&item, formats));
    }
    if formats_node.is_none() {
        named.extend((0..formats.len()).map(FormatId));
    }
    named.sort_unstable();
    named.dedup();
    let (mut overflow, mut cost) = (Some(None), Some(Money::ZERO));
    if let Some(node) = fields.optional("overflow") {
        let entry = node.fields();
        let at_most_node = entry.as_ref().and_then(|entry| entry.required("at_most"));
        let at_most = at_most_node.as_ref().and_then(room);
        cost = entry.as_ref().and_then(|entry| entry.required("cost")).and_then(|node| words::money(&node));
        if let Some(entry) = &entry {
            entry.finish();
        }
        let is_like = at_most.zip(holds).is_none_or(|(at_most, holds)| at_most.0 == holds.0);
        if let Some(node) = at_most_node.filter(|_| !is_like) {
            node.error("V535", "the same unit as `holds`: volumes or pallets", None);
        }
        overflow = at_most.map(|(_, small)| Some(small));
    }
    fields.finish();
    let (unit, holds) = holds?;
    if unit == StoreUnit::Pallets {
        for format in named.iter().map(|id| &formats[id.0]).filter(|format| format.pallet.is_none()) {
            let allowed = "formats that say how many packages are on a `pallet`, or a volume";
            node.report("V536", Severity::Error, &format.name, allowed, None);
        }
    }
    Some(ColdStore { unit, holds, overflow: overflow?.unwrap_or(0), cost: cost?, formats: named })
}

/// Reads the stocks that are to be kept.
pub fn keep(fields: &Fields, beers: &[Beer], formats: &[Format]) -> Vec<Keep> {
    let mut all: Vec<Keep> = Vec::new();
    for item in fields.optional("keep").map(|node| node.items(false)).unwrap_or_default() {
        let Some(entry) = item.fields() else { continue };
        let beer = entry.required("beer").and_then(|node| beer_of(&node, beers));
        let format = entry.required("format").and_then(|node| format_of(&node, formats));
        let contents = format.map_or(Volume(1), |format| formats[format.0].contents);
        let at_least = entry
            .required("at_least")
            .and_then(|node| node.quantity(|text| quantity_of(text, contents), QUANTITY));
        let cost = entry.required("cost").and_then(|node| words::money(&node));
        let each = entry
            .optional("each")
            .map_or(Some(Each::Day), |node| node.one_of(&[("day", Each::Day), ("week", Each::Week)]));
        entry.finish();
        let (Some(beer), Some(format)) = (beer, format) else { continue };
        if beers[beer.0].contribution(format).is_none() {
            let found = formats[format.0].name.clone();
            let allowed = "a format that the beer's `contribution` lists";
            item.report("V208", Severity::Error, &found, allowed, None);
        } else if let (Some(at_least), Some(cost), Some(each)) = (at_least, cost, each) {
            all.push(Keep { beer, format, at_least, cost, each });
        }
    }
    all
}

/// Stock that is more than the store holds, and limits of age that nothing can keep.
pub fn check(case: &Case, files: &Files) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(store) = &case.cold_store {
        let before = case.stored_before(store);
        let most = store.holds.saturating_add(store.overflow);
        if before > most {
            let shown = |room: i64| match store.unit {
                StoreUnit::Volume => case.show_units.size(Volume(room)),
                StoreUnit::Pallets => format!("{} pallets", crate::units::decimal(room, 6)),
            };
            let place = place(files.brewplan, &[("stock", None)]);
            let allowed = format!("at most {}, with what can be hired; nothing is added to it", shown(most));
            let found = format!("{} in stock", shown(before));
            findings.push(finding("V533", Severity::Caution, place, &found, allowed, None));
        }
    }
    for (position, beer) in case.beers.iter().enumerate() {
        if let Some(limit) = beer.fresh.filter(|&limit| limit <= beer.release) {
            let place = place(files.brewplan, &[("beers", Some(position)), ("fresh", None)]);
            let allowed =
                format!("more than `release`, {} d; nothing that is packaged can be delivered", beer.release);
            findings.push(finding("V534", Severity::Caution, place, &format!("{limit} d"), allowed, None));
        }
    }
    findings
}
