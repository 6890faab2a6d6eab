//! Reading yeast: strains, what is in store on day 0, the yeast of a beer, the generation of a batch in tank.

use super::beers::unknown;
use super::node::{Fields, Node};
use super::quantity::{self, Quantity};
use super::words;
use crate::calendar::Calendar;
use crate::case::{BeerYeast, BoughtYeast, Gravity, Job, Yeast, YeastCrop, YeastInStore};
use crate::ids::YeastId;
use crate::measures::{MICRO, Unit};
use crate::schema::Scalar;

impl Quantity for Gravity {
    const UNITS: &'static [Unit] = &[Unit { name: "degP", micro: 100 * MICRO }];
    const MOST: i64 = 4_000;
    fn from_small(small: i64) -> Self {
        Self(small)
    }
}

fn gravity(node: &Node) -> Option<Gravity> {
    node.quantity(quantity::parse, Scalar::OriginalGravity.sentence())
}

/// Reads the strains.
pub fn strains(fields: &Fields) -> Vec<Yeast> {
    let mut all: Vec<Yeast> = Vec::new();
    for item in fields.optional("yeasts").map(|node| node.items(false)).unwrap_or_default() {
        all.extend(strain(&item, &all));
    }
    all
}

fn strain(node: &Node, all: &[Yeast]) -> Option<Yeast> {
    let fields = node.fields()?;
    let name_node = fields.required("name");
    let name = name_node.as_ref().and_then(Node::name);
    let bought = fields.optional("bought").and_then(|node| bought(&node));
    let crop = fields.optional("crop").and_then(|node| crop(&node));
    let days = |key| fields.optional(key).and_then(|node| words::days(&node));
    let (keeps, at_most_node) = (days("keeps"), fields.optional("keeps_at_most"));
    let at_most = at_most_node.as_ref().and_then(words::days);
    let keeps_at_most = at_most.or(keeps).unwrap_or(0);
    let keeps = keeps.unwrap_or(keeps_at_most);
    let late_cost = fields.optional("late_cost").and_then(|node| words::money(&node)).unwrap_or_default();
    let generations = fields.optional("generations").map_or(Some(50), |node| node.whole(1, 50));
    fields.finish();
    if let Some(node) = at_most_node.filter(|_| keeps > keeps_at_most) {
        node.error("V482", &format!("at least `keeps`, {keeps} d"), None);
    }
    let (name, generations) = (name?, generations?);
    if let Some(node) = name_node.filter(|_| all.iter().any(|yeast| yeast.name == name)) {
        node.error("V205", "a name that no other yeast has", None);
        return None;
    }
    Some(Yeast { name, bought, crop, keeps, keeps_at_most, late_cost, generations })
}

fn bought(node: &Node) -> Option<BoughtYeast> {
    let fields = node.fields()?;
    let price = fields.required("price").and_then(|node| words::money(&node));
    let lead = fields.optional("lead").map_or(Some(0), |node| words::days(&node));
    fields.finish();
    Some(BoughtYeast { price: price?, lead: lead? })
}

fn crop(node: &Node) -> Option<YeastCrop> {
    let fields = node.fields()?;
    let from = fields.required("from").and_then(|node| words::days(&node));
    let to_node = fields.required("to");
    let to = to_node.as_ref().and_then(words::days);
    let pitches = fields.required("pitches").and_then(|node| node.whole(1, 100));
    let not_above = fields.optional("not_above").and_then(|node| gravity(&node));
    let before = fields
        .optional("before")
        .map_or(Some(true), |node| node.one_of(&[("dry hop", true), ("leaving", false)]));
    let takes = fields.optional("takes").and_then(|node| words::time(&node)).unwrap_or_default();
    let crew = fields.optional("crew").and_then(|node| words::role_times(&node)).unwrap_or_default();
    fields.finish();
    let (from, to) = (from?, to?);
    if let Some(node) = to_node.filter(|_| from < 1 || to < from) {
        node.error("V481", "`from` after the day of the last turn, 1 d or later, and `to` no earlier", None);
    }
    let job = Job { takes, crew };
    Some(YeastCrop { from, to, pitches: pitches?, not_above, before_dry_hop: before?, job })
}

fn yeast_of(node: &Node, strains: &[Yeast]) -> Option<YeastId> {
    let name = node.name()?;
    let found = strains.iter().position(|yeast| yeast.name == name);
    if found.is_none() {
        unknown(node, "V209", &name, "yeasts", strains.iter().map(|yeast| yeast.name.as_str()));
    }
    found.map(YeastId)
}

/// Reads the yeast of a beer.
pub fn of_beer(fields: &Fields, strains: &[Yeast]) -> Option<BeerYeast> {
    let node = fields.optional("yeast");
    let per_turn = fields
        .optional("pitch")
        .and_then(|node| node.one_of(&[("per batch", false), ("per turn", true)]))
        .unwrap_or(false);
    let gravity = fields.optional("gravity").and_then(|node| gravity(&node));
    let node = node?;
    let yeast = yeast_of(&node, strains)?;
    let has_limit = strains[yeast.0].crop.is_some_and(|crop| crop.not_above.is_some());
    if has_limit && gravity.is_none() {
        node.error("V483", "the beer's `gravity`, because the yeast is not cropped above some gravity", None);
    }
    Some(BeerYeast { yeast, per_turn, gravity })
}

/// Reads what is in store on day 0.
pub fn in_store(fields: &Fields, strains: &[Yeast], calendar: &Calendar) -> Vec<YeastInStore> {
    let mut all = Vec::new();
    for item in fields.optional("yeast_in_store").map(|node| node.items(false)).unwrap_or_default() {
        let Some(entry) = item.fields() else { continue };
        let yeast = entry.required("yeast").and_then(|node| yeast_of(&node, strains));
        let generation = entry.required("generation").and_then(|node| node.whole(1, 50));
        let date_node = entry.required("cropped");
        let cropped = date_node.as_ref().and_then(words::date).map(|date| calendar.day_of(date));
        let pitches = entry.optional("pitches").map_or(Some(1), |node| node.whole(1, 100));
        entry.finish();
        if let Some(node) = date_node.filter(|_| cropped.is_some_and(|day| day >= 0)) {
            node.error("V485", &format!("a day before the plan starts, {}", calendar.starts), None);
            continue;
        }
        if let (Some(yeast), Some(generation), Some(cropped), Some(pitches)) =
            (yeast, generation, cropped, pitches)
        {
            all.push(YeastInStore { yeast, generation, cropped, pitches });
        }
    }
    all
}

/// Reads `generation` and `cropped` of a batch in tank: its generation, unless it was cropped.
pub fn generation(fields: &Fields, has_yeast: Option<bool>) -> Option<i64> {
    let node = fields.optional("generation");
    let cropped = fields.optional("cropped").and_then(|node| node.yes_or_no()).unwrap_or(false);
    let node = node?;
    if has_yeast == Some(false) {
        node.error("V484", "the generation of a beer that names its `yeast`", None);
    }
    node.whole(1, 50).filter(|_| !cropped)
}
