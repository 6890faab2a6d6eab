//! Reading full cleans: `full` of a vessel's `clean`, marks of beers, `since_full` of the brew plan.

use std::collections::BTreeMap;

use super::brewplan::beer_of;
use super::node::{Fields, Node};
use super::opening::{Known, vessel_of};
use super::{beers, words};
use crate::case::{Cleaning, FullClean, InTank, Job, Marks, SinceFull};
use crate::finding::Severity;
use crate::ids::VesselId;

/// Marks at most.
const MOST_MARKS: usize = 16;

/// Reads `{every: 4, after: [dark], takes: 5 h, crew: {cellar: 2 h}, cost: 60}` of a vessel with a short clean.
pub fn full(node: &Node, short: Job, cleaning: &mut Cleaning) -> Option<FullClean> {
    let fields = node.fields()?;
    let every = fields.optional("every").map(|node| node.whole(1, 1_000));
    let after = fields.optional("after");
    let takes_node = fields.required("takes");
    let takes = takes_node.as_ref().and_then(words::time);
    let crew = fields.required("crew").and_then(|node| words::role_times(&node));
    let cost = fields.optional("cost").and_then(|node| words::money(&node));
    fields.finish();
    if every.is_none() && after.is_none() {
        let allowed = "`every`, a number of fills, or `after`, marks of beers, or both";
        node.report("V565", Severity::Error, "full", allowed, None);
    }
    let mut marks = Marks::NONE;
    for item in after.map(|node| node.items(true)).unwrap_or_default() {
        marks.0 |= minded(&item, cleaning)?.0;
    }
    let takes = takes?;
    if let Some(node) = takes_node.filter(|_| takes < short.takes) {
        node.error(
            "V566",
            &format!("at least as long as the short clean, {}", super::sense::hours(short.takes)),
            None,
        );
    }
    let every = every.map_or(Some(None), |every| every.map(Some))?;
    Some(FullClean { job: Job { takes, crew: crew? }, cost, every, after: marks })
}

/// A mark that a vessel or a line minds: known by its name from here on.
pub fn minded(node: &Node, cleaning: &mut Cleaning) -> Option<Marks> {
    let name = node.name()?;
    let known = cleaning.marks.iter().position(|mark| *mark == name);
    if known.is_none() && cleaning.marks.len() >= MOST_MARKS {
        node.error("V304", "at most 16 marks", None);
        return None;
    }
    let position = known.unwrap_or(cleaning.marks.len());
    if known.is_none() {
        cleaning.marks.push(name);
    }
    Some(Marks(1 << position))
}

/// Reads `marks` of a beer; they are named where they matter, in the cellar.
pub fn marks(fields: &Fields, cleaning: &Cleaning) -> Marks {
    let mut marks = Marks::NONE;
    for item in fields.optional("marks").map(|node| node.items(true)).unwrap_or_default() {
        let Some(name) = item.name() else { continue };
        match cleaning.marks.iter().position(|mark| *mark == name) {
            Some(position) => marks.0 |= 1 << position,
            None => {
                let names = cleaning.marks.iter().map(String::as_str);
                beers::unknown(&item, "V232", &name, "marks of the cellar", names);
            }
        }
    }
    marks
}

/// Reads `since_full`: what has been in vessels since their last full clean. A vessel that is not listed counts as cleaned in
/// full before what is, or was last, in it.
pub fn since_full(
    fields: &Fields,
    known: &Known,
    in_tank: &[InTank],
    dirty: &[VesselId],
) -> BTreeMap<VesselId, SinceFull> {
    let mut all = BTreeMap::new();
    let mut is_whole = true;
    let list = fields.optional("since_full");
    for item in list.as_ref().map(|node| node.items(false)).unwrap_or_default() {
        match one(&item, known, in_tank, dirty, &all) {
            Some((vessel, since)) => {
                all.insert(vessel, since);
            }
            None => is_whole = false,
        }
    }
    let mut unlisted = Vec::new();
    for (position, vessel) in known.vessels.iter().enumerate().filter(|(_, one)| one.full_clean.is_some()) {
        let id = VesselId(position);
        all.entry(id).or_insert_with(|| {
            let tank = in_tank.iter().find(|tank| tank.vessel == id);
            if tank.is_some() || dirty.contains(&id) {
                unlisted.push(vessel.name.as_str());
            }
            let marks = tank.map_or(Marks::NONE, |tank| known.beers[tank.beer.0].marks);
            SinceFull { fills: i64::from(tank.is_some() || dirty.contains(&id)), marks }
        });
    }
    if !unlisted.is_empty() && is_whole {
        let allowed = "an entry for each: they count as cleaned in full before their last fill";
        let node = list.unwrap_or_else(|| fields.node.clone());
        node.report("V568", Severity::Caution, &unlisted.join(", "), allowed, None);
    }
    all
}

/// One entry: `{vessel: F1, fills: 3, last: Night Tide}`.
fn one(
    item: &Node,
    known: &Known,
    in_tank: &[InTank],
    dirty: &[VesselId],
    before: &BTreeMap<VesselId, SinceFull>,
) -> Option<(VesselId, SinceFull)> {
    let fields = item.fields()?;
    let vessel_node = fields.required("vessel");
    let vessel = vessel_node.as_ref().and_then(|node| vessel_of(node, known.vessels));
    let fills_node = fields.required("fills");
    let fills = fills_node.as_ref().and_then(|node| node.whole(0, 1_000));
    let last_node = fields.optional("last");
    let last = last_node.as_ref().map(|node| beer_of(node, known.beers));
    fields.finish();
    let (vessel, fills) = (vessel?, fills?);
    let data = &known.vessels[vessel.0];
    let Some(full) = data.full_clean.filter(|_| !before.contains_key(&vessel)) else {
        vessel_node?.error("V567", "a vessel whose `clean` has `full`, each once", None);
        return None;
    };
    let tank = in_tank.iter().find(|tank| tank.vessel == vessel);
    let least = i64::from(tank.is_some());
    let is_clean = tank.is_none() && !dirty.contains(&vessel);
    let most = full.every.map_or(1_000, |every| every - i64::from(is_clean));
    if fills < least || fills > most {
        let hint = if is_clean {
            "a vessel that is to be cleaned in full first is `dirty`"
        } else {
            "`fills` counts what is in it too"
        };
        fills_node?.error("V569", &format!("{least} to {most}"), Some(hint.into()));
        return None;
    }
    let last = match (tank, last) {
        (Some(tank), Some(_)) => {
            let beer = &known.beers[tank.beer.0].name;
            last_node?.error("V570", &format!("no such key: {beer} is in it"), None);
            return None;
        }
        (Some(tank), None) => Some(tank.beer),
        (None, Some(last)) => Some(last?),
        (None, None) => {
            if full.after != Marks::NONE && fills > 0 {
                let allowed = "`last`, the beer that was in it: it counts as one without marks";
                item.report("V571", Severity::Caution, &data.name, allowed, None);
            }
            None
        }
    };
    let marks = last.filter(|_| fills > 0).map_or(Marks::NONE, |beer| known.beers[beer.0].marks);
    Some((vessel, SinceFull { fills, marks }))
}
