//! Reading filters, hoses and what reaches what, of `cellar.yaml`.

use std::collections::BTreeSet;

use super::beers::unknown;
use super::cellar::Cellar;
use super::node::{Fields, Node, did_you_mean};
use super::quantity;
use super::words;
use crate::case::{Connected, Filter};
use crate::ids::{LineId, VesselId};
use crate::schema::Scalar;
use crate::units::{Minutes, Rate, Share, Volume};

/// Reads the filters.
pub fn read(fields: &Fields) -> Vec<Filter> {
    let mut all: Vec<Filter> = Vec::new();
    for item in fields.optional("filters").map(|node| node.items(false)).unwrap_or_default() {
        if let Some(filter) = one(&item, &all) {
            all.push(filter);
        }
    }
    all
}

fn one(item: &Node, before: &[Filter]) -> Option<Filter> {
    let fields = item.fields()?;
    let name_node = fields.required("name");
    let name = name_node.as_ref().and_then(Node::name);
    let rate_node = fields.required("rate");
    let rate = rate_node.as_ref().and_then(words::rate);
    let time =
        |key: &'static str| fields.optional(key).and_then(|node| words::time(&node)).unwrap_or(Minutes::ZERO);
    let (start_up, change) = (time("start_up"), time("change"));
    let loss = fields.optional("loss").map_or(Some((Volume::ZERO, Share::ZERO)), |node| {
        node.quantity(quantity::parse_loss, Scalar::Loss.sentence())
    });
    let people = fields.optional("people").map_or(Some(0), |node| node.whole(0, 100));
    fields.finish();
    if let Some(node) = rate_node.filter(|_| rate == Some(Rate(0))) {
        node.error("V305", "more than nothing", None);
        return None;
    }
    let (name, rate, (loss_fixed, loss_share), people) = (name?, rate?, loss?, people?);
    if let Some(node) = name_node.filter(|_| before.iter().any(|filter| filter.name == name)) {
        node.error("V205", "a name that no other filter has", None);
        return None;
    }
    Some(Filter { name, rate, start_up, change, loss_fixed, loss_share, people })
}

/// The filter of a beer: its name, or `yes` where there is one only.
pub fn of_beer(node: &Node, filters: &[Filter]) -> Option<usize> {
    let names: Vec<&str> = filters.iter().map(|filter| filter.name.as_str()).collect();
    let text = match node.value {
        serde_yaml::Value::Bool(_) if node.yes_or_no()? => "yes".to_owned(),
        serde_yaml::Value::Bool(_) => return None,
        _ => node.name()?,
    };
    let found = match (text.as_str(), filters.len()) {
        ("no", _) => return None,
        ("yes", 1) => Some(0),
        (name, _) => names.iter().position(|known| *known == name),
    };
    if found.is_none() {
        let allowed = format!(
            "`no`, `yes` where the cellar has one filter, or one of the filters: {}",
            names.join(", ")
        );
        node.error("V595", &allowed, did_you_mean(&text, names.iter().copied()));
    }
    found
}

/// Looks up a filter by name.
pub fn of_name(node: &Node, filters: &[Filter]) -> Option<usize> {
    let name = node.name()?;
    let found = filters.iter().position(|filter| filter.name == name);
    if found.is_none() {
        unknown(node, "V595", &name, "filters", filters.iter().map(|filter| filter.name.as_str()));
    }
    found
}

/// Gives vessels what they reach, now that all vessels and lines are known.
pub fn resolve(cellar: &mut Cellar) {
    for (ids, node) in std::mem::take(&mut cellar.reaches) {
        let mut connected = Connected { vessels: BTreeSet::new(), lines: BTreeSet::new() };
        for item in node.items(true) {
            let Some(name) = item.name() else { continue };
            let vessel = cellar.vessels.iter().position(|vessel| vessel.name == name);
            let line = cellar.lines.iter().position(|line| line.name == name);
            connected.vessels.extend(vessel.map(VesselId));
            connected.lines.extend(line.map(LineId));
            if vessel.is_none() && line.is_none() {
                let names = cellar.vessels.iter().map(|vessel| vessel.name.as_str());
                let names: Vec<&str> =
                    names.chain(cellar.lines.iter().map(|line| line.name.as_str())).collect();
                let hint = did_you_mean(&name, names.iter().copied());
                item.error("V596", "a vessel or a line of the cellar", hint);
            }
        }
        for id in ids {
            cellar.vessels[id].reaches = Some(connected.clone());
        }
    }
}
