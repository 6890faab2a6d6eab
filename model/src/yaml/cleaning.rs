//! Reading `cleaning` and `purge` of `cellar.yaml`: what the sets reach, how long clean and dirty may last.

use super::cellar::Cellar;
use super::node::{Node, did_you_mean};
use super::words;
use crate::case::{Job, Purge, Reach};
use crate::finding::Severity;

/// Named sets at most.
pub(crate) const MOST_SETS: usize = 8;

/// Reads `cleaning`; vessels and lines are known already.
pub fn read(node: &Node, cellar: &mut Cellar) -> Option<()> {
    let fields = node.fields()?;
    if let Some(sets) = fields.required("sets") {
        if sets.value.is_sequence() {
            named_sets(&sets, cellar);
        } else {
            cellar.cleaning_sets = sets.whole(1, 50).unwrap_or(1);
        }
    }
    if let Some(time) = fields.optional("stays_clean").and_then(|node| words::time(&node)) {
        cellar.cleaning.stays_clean = time;
    }
    if let Some(node) = fields.optional("clean_within") {
        let days = words::days(&node);
        if days == Some(0) {
            node.error("V305", "at least one working day", None);
        }
        cellar.cleaning.clean_within = days;
    }
    fields.finish();
    Some(())
}

fn named_sets(node: &Node, cellar: &mut Cellar) {
    let items = node.items(false);
    if items.is_empty() || items.len() > MOST_SETS {
        node.error("V304", "1 to 8 named sets", None);
        return;
    }
    let mut vessels = vec![Reach::NONE; cellar.vessels.len()];
    let mut lines = vec![Reach::NONE; cellar.lines.len()];
    for item in items {
        let Some(fields) = item.fields() else { continue };
        let name_node = fields.required("name");
        let name = name_node.as_ref().and_then(Node::name);
        let cleans = fields.optional("cleans");
        fields.finish();
        let Some(name) = name else { continue };
        if let Some(node) = name_node.filter(|_| cellar.cleaning.named.contains(&name)) {
            node.error("V205", "a name that no other cleaning set has", None);
            continue;
        }
        let bit = 1 << cellar.cleaning.named.len();
        cellar.cleaning.named.push(name);
        match cleans {
            None => vessels.iter_mut().chain(&mut lines).for_each(|reach| reach.0 |= bit),
            Some(cleans) => {
                for item in cleans.items(true) {
                    reach_one(&item, cellar, bit, &mut vessels, &mut lines);
                }
            }
        }
    }
    cellar.cleaning_sets = cellar.cleaning.named.len() as i64;
    for (vessel, reach) in cellar.vessels.iter_mut().zip(vessels) {
        vessel.reach = reach;
    }
    for (line, reach) in cellar.lines.iter_mut().zip(lines) {
        line.reach = reach;
    }
    reaches_all(node, cellar);
}

/// Notes that a set reaches the vessel or line of a name.
fn reach_one(node: &Node, cellar: &Cellar, bit: u64, vessels: &mut [Reach], lines: &mut [Reach]) {
    let Some(name) = node.name() else { return };
    let vessel = cellar.vessels.iter().position(|vessel| vessel.name == name);
    let line = cellar.lines.iter().position(|line| line.name == name);
    if let Some(reach) = vessel.and_then(|position| vessels.get_mut(position)) {
        reach.0 |= bit;
    }
    if let Some(reach) = line.and_then(|position| lines.get_mut(position)) {
        reach.0 |= bit;
    }
    if vessel.is_none() && line.is_none() {
        let all = cellar.vessels.iter().map(|vessel| vessel.name.as_str());
        let all = all.chain(cellar.lines.iter().map(|line| line.name.as_str()));
        node.report("V231", Severity::Error, &name, "a vessel or a line", did_you_mean(&name, all));
    }
}

/// Reports what no set reaches.
fn reaches_all(node: &Node, cellar: &Cellar) {
    let vessels = cellar.vessels.iter().map(|vessel| (&vessel.name, vessel.reach, vessel.clean.takes.0));
    let lines = cellar.lines.iter().map(|line| (&line.name, line.reach, line.clean_down.0));
    for (name, reach, takes) in vessels.chain(lines) {
        if reach == Reach::NONE && takes > 0 {
            let hint = "list it under `cleans`, or leave `cleans` out for a set that reaches everything";
            node.report("V561", Severity::Error, name, "cleaned by a set", Some(hint.into()));
        }
    }
}

/// Reads `purge` of a vessel: `{takes: 30 min, crew: {cellar: 15 min}, gas: 2.50}`.
pub fn purge(node: &Node) -> Option<Purge> {
    let fields = node.fields()?;
    let takes = fields.required("takes").and_then(|node| words::time(&node));
    let crew = fields.optional("crew").and_then(|node| words::role_times(&node));
    let gas = fields.optional("gas").and_then(|node| words::money(&node));
    fields.finish();
    let job = Job { takes: takes.unwrap_or_default(), crew: crew.unwrap_or_default() };
    Some(Purge { job, gas: gas.unwrap_or_default() })
}
