//! Reading what is settled before the plan is made: outages and upkeep; pins are in `pins`.

use super::beers::unknown;
use super::filters;
use super::node::{Fields, Node};
use super::opening::{Known, vessel_of};
use super::pins;
use super::words;
use crate::case::{Away, Cause, Filter, Fixed, InTank, Line, Outage, RoleTimes};
use crate::ids::LineId;

/// What can be away besides vessels.
pub struct Plant<'k> {
    /// Lines.
    pub lines: &'k [Line],
    /// Filters.
    pub filters: &'k [Filter],
    /// Whether kegs have a washer of their own.
    pub has_keg_washer: bool,
}

/// Reads all of it.
pub fn fixed(fields: &Fields, known: &Known, plant: &Plant, in_tank: &[InTank]) -> Fixed {
    let mut outages = Vec::new();
    for (key, cause) in [("outages", Cause::Outage), ("upkeep", Cause::Upkeep)] {
        for item in fields.optional(key).map(|node| node.items(false)).unwrap_or_default() {
            outages.extend(outage(&item, cause, known, plant, in_tank));
        }
    }
    let mut fixed = Fixed { outages, ..Fixed::default() };
    pins::pins(fields, known, plant.lines, &mut fixed);
    fixed
}

/// Looks up a line by name; `code` says that there is none.
pub fn line_of(node: &Node, code: &'static str, lines: &[Line]) -> Option<LineId> {
    let name = node.name()?;
    let found = lines.iter().position(|line| line.name == name);
    if found.is_none() {
        unknown(node, code, &name, "lines", lines.iter().map(|line| line.name.as_str()));
    }
    found.map(LineId)
}

/// First and last day of the keys `from` and `to`; one day where `to` is left out.
pub fn days(fields: &Fields, known: &Known) -> Option<(i64, i64)> {
    let from = fields.required("from").and_then(|node| words::date(&node));
    let to_node = fields.optional("to");
    let to = to_node.as_ref().map_or(Some(from), |node| words::date(node).map(Some));
    let (from, to) = (from?, to??);
    if let Some(node) = to_node.filter(|_| to < from) {
        node.error("V441", &format!("{from} or a later day"), None);
        return None;
    }
    Some((known.calendar.day_of(from), known.calendar.day_of(to)))
}

/// Keys that name what is away.
const THINGS: [&str; 5] = ["vessel", "line", "brewhouse", "filter", "keg_washer"];

/// What the one of these keys names.
fn away(item: &Node, key: &str, node: &Node, known: &Known, plant: &Plant) -> Option<Away> {
    match key {
        "vessel" => Some(Away::Vessel(vessel_of(node, known.vessels)?)),
        "line" => Some(Away::Line(line_of(node, "V206", plant.lines)?)),
        "filter" => Some(Away::Filter(filters::of_name(node, plant.filters)?)),
        "brewhouse" if node.yes_or_no()? => Some(Away::Brewhouse),
        "keg_washer" if node.yes_or_no()? => {
            if !plant.has_keg_washer {
                node.error("V541", "a cellar with a `keg_washer`", None);
                return None;
            }
            Some(Away::KegWasher)
        }
        _ => {
            one_thing(item);
            None
        }
    }
}

/// None of the keys is given, more than one, or one that says no.
fn one_thing(item: &Node) {
    let allowed = "one of `vessel: NAME`, `line: NAME`, `brewhouse: yes`, `filter: NAME`, `keg_washer: yes`";
    item.report("V541", crate::finding::Severity::Error, "what is away", allowed, None);
}

/// Reads an outage, or upkeep.
pub fn outage(item: &Node, cause: Cause, known: &Known, plant: &Plant, in_tank: &[InTank]) -> Option<Outage> {
    let fields = item.fields()?;
    let named: Vec<(&str, Node)> =
        THINGS.iter().filter_map(|&key| Some((key, fields.optional(key)?))).collect();
    let days = days(&fields, known);
    let reason = fields.optional("reason").map_or(Some(String::new()), |node| node.name());
    let crew = fields.optional("crew").map_or(Some(RoleTimes::default()), |node| words::role_times(&node));
    let holds_node = fields.optional("may_hold_beer");
    let holds = holds_node.as_ref().and_then(Node::yes_or_no);
    fields.finish();
    let what = match named.as_slice() {
        [(key, node)] => away(item, key, node, known, plant)?,
        _ => {
            one_thing(item);
            return None;
        }
    };
    if let Some(node) = holds_node.filter(|_| !matches!(what, Away::Vessel(_))) {
        node.error("V541", "only with `vessel`", None);
    }
    let (first_day, last_day) = days?;
    let is_vessel = matches!(what, Away::Vessel(_));
    let must_be_empty = is_vessel && !holds.unwrap_or(cause == Cause::Outage);
    let outage = Outage { what, first_day, last_day, cause, reason: reason?, must_be_empty, crew: crew? };
    let is_full = in_tank.iter().any(|tank| Away::Vessel(tank.vessel) == what);
    if must_be_empty && is_full && outage.covers(0) {
        let found = named.first().map(|(_, node)| node.shown()).unwrap_or_default();
        let allowed =
            "an empty vessel, later days, or `may_hold_beer: yes`: there is beer in it on the first day";
        item.report("V542", crate::finding::Severity::Error, &found, allowed, None);
        return None;
    }
    Some(outage)
}
