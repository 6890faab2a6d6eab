//! Reading a study: demands that are said, demands that are drawn, and the layouts that are tried in each.
//!
//! ```yaml
//! study: Which layout keeps up with a hot summer
//! scenarios:
//!   - {name: as asked}
//!   - {name: a hot summer, factors: [{season: summer, factor: 1.3}, {beer: Plain Ale, format: keg, factor: 0.9}]}
//! draws: {number: 100, seed: 1, factors: [{beer: Plain Ale, least: 0.8, most: 1.3}]}
//! layouts:
//!   - {name: as it is}
//!   - {name: two bright tanks, buys: [B1, B2]}
//! cheapest: yes
//! ```

use std::collections::BTreeMap;
use std::path::Path;

use super::brewplan::{beer_of, format_of};
use super::node::{Fields, Findings, Node, did_you_mean};
use super::{Folder, ReadOutcome, folder_and_name, load, sorted, words};
use crate::case::{Case, Layout};
use crate::finding::{Finding, Severity};
use crate::study::{self, CHEAPEST, Draws, Factor, Listed, MOST_DRAWS, Stated, Study};
use crate::units::Share;

/// The largest seed.
const MOST_SEED: i64 = 1_000_000_000;

/// What came of reading a study.
#[derive(Clone, Debug, Default)]
pub struct StudyOutcome {
    /// The study; none if any finding is an error.
    pub study: Option<Study>,
    /// All findings, by line.
    pub findings: Vec<Finding>,
    /// The text of the file, by the name used in places.
    pub sources: BTreeMap<String, String>,
}

/// Reads a study of a brew plan that has a layout.
#[must_use]
pub fn read_study(case: &Case, layout: &Layout, path: &Path) -> StudyOutcome {
    let (folder, name) = folder_and_name(path);
    let mut outcome = ReadOutcome::default();
    let mut study = None;
    let (file, value) = load(&Folder(folder), &name, &mut outcome);
    if let Some(value) = value {
        let findings = Findings::new(&file);
        findings.show_in(Some(case.show_units));
        if let Some(fields) = Node::root(&value, findings.clone()).fields() {
            study = Reader { case, layout }.study(&fields);
            fields.finish();
        }
        outcome.findings.extend(findings.take());
    }
    sorted(&mut outcome);
    let is_broken = outcome.findings.iter().any(|finding| finding.severity == Severity::Error);
    StudyOutcome { study: study.filter(|_| !is_broken), findings: outcome.findings, sources: outcome.sources }
}

struct Reader<'r> {
    case: &'r Case,
    layout: &'r Layout,
}

impl Reader<'_> {
    fn study(&self, fields: &Fields) -> Option<Study> {
        let name = fields.required("study").and_then(|node| node.name());
        let stated = fields.required("scenarios").map(|node| self.stated(&node)).unwrap_or_default();
        let draws = fields.optional("draws").map_or(Some(Draws::default()), |node| self.draws(&node));
        let layouts = fields.required("layouts").map(|node| self.layouts(&node)).unwrap_or_default();
        let cheapest = fields.optional("cheapest").map_or(Some(false), |node| node.yes_or_no());
        Some(Study { name: name?, stated, draws: draws?, layouts, cheapest: cheapest? })
    }

    fn stated(&self, node: &Node) -> Vec<Stated> {
        let mut all: Vec<Stated> = Vec::new();
        for item in node.items(false) {
            let Some(entry) = item.fields() else { continue };
            let is_taken = |name: &str| {
                // Draws have names of their own.
                name.starts_with("draw ") || all.iter().any(|other| other.name == name)
            };
            let name =
                new_name(&entry, is_taken, "a name that no other scenario has, and no draw (`draw 1`)");
            let factors = entry.optional("factors").map(|node| self.factors(&node, false));
            entry.finish();
            let Some(name) = name else { continue };
            all.push(Stated { name, factors: factors.unwrap_or_default() });
        }
        all
    }

    fn draws(&self, node: &Node) -> Option<Draws> {
        let entry = node.fields()?;
        let number = entry.required("number").and_then(|node| node.whole(1, MOST_DRAWS));
        let seed = entry.optional("seed").map_or(Some(0), |node| node.whole(0, MOST_SEED));
        let factors = entry.required("factors").map(|node| self.factors(&node, true));
        entry.finish();
        Some(Draws { number: number?, seed: seed?, factors: factors? })
    }

    /// Factors with one value, or with the range that they are drawn from.
    fn factors(&self, node: &Node, drawn: bool) -> Vec<Factor> {
        let mut all = Vec::new();
        for item in node.items(false) {
            let Some(entry) = item.fields() else { continue };
            let season = entry.optional("season").map(|node| self.season(&node));
            let beer = entry.optional("beer").map(|node| beer_of(&node, &self.case.beers));
            let format = entry.optional("format").map(|node| format_of(&node, &self.case.formats));
            let value = |key: &'static str| entry.required(key).and_then(|node| words::factor(&node));
            let range = if drawn {
                value("least").zip(value("most"))
            } else {
                value("factor").map(|factor| (factor, factor))
            };
            entry.finish();
            // None in one of these: it names something, but nothing that is there.
            let named = match (season, beer, format) {
                (Some(None), _, _) | (_, Some(None), _) | (_, _, Some(None)) => None,
                (season, beer, format) => Some((season.flatten(), beer.flatten(), format.flatten())),
            };
            let (Some((season, beer, format)), Some((least, most))) = (named, range) else { continue };
            if most < least {
                let allowed = "`most` that is no less than `least`";
                item.report("V304", Severity::Error, &shown(most), allowed, None);
                continue;
            }
            all.push(Factor { season, beer, format, least, most });
        }
        all
    }

    fn season(&self, node: &Node) -> Option<usize> {
        let name = node.name()?;
        let seasons = &self.layout.seasons;
        let found = seasons.iter().position(|season| season.name == name);
        if found.is_none() {
            let names = seasons.iter().map(|season| season.name.as_str());
            let hint = did_you_mean(&name, names.clone());
            let allowed = names.map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
            node.error("V189", &allowed, hint);
        }
        found
    }

    fn layouts(&self, node: &Node) -> Vec<Listed> {
        let mut all: Vec<Listed> = Vec::new();
        for item in node.items(false) {
            let Some(entry) = item.fields() else { continue };
            let is_taken = |name: &str| name == CHEAPEST || all.iter().any(|other| other.name == name);
            let name = new_name(&entry, is_taken, "a name that no other layout has");
            let buys = entry.optional("buys").map(|node| self.buys(&node));
            entry.finish();
            let Some(name) = name else { continue };
            let mut listed = Listed::nothing(name, self.layout);
            if let Some((vessels, further)) = buys.flatten() {
                (listed.vessels, listed.further) = (vessels, further);
            }
            all.push(listed);
        }
        all
    }

    fn buys(&self, node: &Node) -> Option<(Vec<i64>, Vec<i64>)> {
        let items = node.items(true);
        let names: Vec<String> = items.iter().filter_map(Node::name).collect();
        let bought = study::bought(self.layout, names.iter().map(String::as_str));
        let name = match bought {
            Ok(bought) => return Some(bought),
            Err(name) => name,
        };
        let all = self.layout.vessels.iter().flat_map(|offer| &offer.vessels).map(|vessel| &vessel.name);
        let all = all.chain(self.layout.further.iter().map(|one| &one.name)).map(String::as_str);
        let node = items.iter().rev().find(|item| item.name().as_ref() == Some(&name)).unwrap_or(node);
        if all.clone().any(|known| known == name) {
            node.error("V304", "each vessel once, and the rest no more often than it can be had", None);
        } else {
            let hint = did_you_mean(&name, all.clone());
            let allowed: Vec<String> = all.map(|name| format!("`{name}`")).collect();
            node.error("V194", &allowed.join(", "), hint);
        }
        None
    }
}

/// The name of an entry that nothing else has.
fn new_name(entry: &Fields, is_taken: impl Fn(&str) -> bool, allowed: &str) -> Option<String> {
    let node = entry.required("name")?;
    let name = node.name()?;
    if is_taken(&name) {
        node.error("V205", allowed, None);
        return None;
    }
    Some(name)
}

fn shown(factor: Share) -> String {
    format!("{}", factor.as_fraction())
}
