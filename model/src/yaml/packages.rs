//! Reading kegs and materials of `brewplan.yaml`, and the keg washer of `cellar.yaml`.

use super::brewplan::{beer_of, format_of};
use super::node::{Fields, Node};
use super::words;
use crate::calendar::{Calendar, Role};
use crate::case::{Beer, Format, KegPool, KegWasher, Material, Stock};
use crate::ids::{BeerId, FormatId};
use crate::units::Money;

/// Most kegs or pieces of a material.
const MOST: i64 = 1_000_000_000;

/// What the entries refer to.
pub struct Known<'k> {
    /// Beers.
    pub beers: &'k [Beer],
    /// Formats.
    pub formats: &'k [Format],
    /// Days.
    pub calendar: &'k Calendar,
    /// Packaged beer there on day 0.
    pub stock: &'k [Stock],
}

/// Reads the keg washer.
pub fn washer(node: &Node) -> Option<KegWasher> {
    let fields = node.fields()?;
    let pace_node = fields.required("pace");
    let pace = pace_node.as_ref().and_then(words::keg_pace);
    let people = fields.required("people").and_then(|node| node.whole(0, 100));
    let roles = [("cellar", Role::Cellar), ("package", Role::Package)];
    let role = fields.optional("role").map_or(Some(Role::Cellar), |node| node.one_of(&roles));
    fields.finish();
    let pace = pace?;
    if let Some(node) = pace_node.filter(|_| pace == 0) {
        node.error("V305", "more than nothing", None);
        return None;
    }
    Some(KegWasher { pace, people: people?, role: role? })
}

/// Dated numbers: `[{on: 2026-12-09, kegs: 80}]`, on day 0 or later.
fn dated(fields: &Fields, list: &'static str, key: &'static str, calendar: &Calendar) -> Vec<(i64, i64)> {
    let mut all = Vec::new();
    for item in fields.optional(list).map(|node| node.items(false)).unwrap_or_default() {
        let Some(entry) = item.fields() else { continue };
        let on_node = entry.required("on");
        let on = on_node.as_ref().and_then(words::date).map(|date| calendar.day_of(date));
        let number = entry.required(key).and_then(|node| node.whole(0, MOST));
        entry.finish();
        let (Some(on), Some(number)) = (on, number) else { continue };
        if let Some(node) = on_node.filter(|_| on < 0) {
            node.error("V593", &format!("a day from {} on", calendar.starts), None);
            continue;
        }
        all.push((on, number));
    }
    all.sort_unstable();
    all
}

fn whole(fields: &Fields, key: &'static str) -> i64 {
    fields.optional(key).and_then(|node| node.whole(0, MOST)).unwrap_or_default()
}

fn days(fields: &Fields, key: &'static str) -> Option<i64> {
    fields.optional(key).and_then(|node| words::days(&node))
}

/// Reads the kinds of kegs.
pub fn kegs(fields: &Fields, known: &Known) -> Vec<KegPool> {
    let mut all: Vec<KegPool> = Vec::new();
    for item in fields.optional("kegs").map(|node| node.items(false)).unwrap_or_default() {
        if let Some(pool) = pool(&item, known, &all) {
            all.push(pool);
        }
    }
    all
}

fn pool(item: &Node, known: &Known, before: &[KegPool]) -> Option<KegPool> {
    let fields = item.fields()?;
    let name_node = fields.required("name");
    let name = name_node.as_ref().and_then(Node::name);
    let mut formats: Vec<FormatId> = Vec::new();
    for node in fields.required("formats").map(|node| node.items(true)).unwrap_or_default() {
        let Some(format) = format_of(&node, known.formats) else { continue };
        if formats.contains(&format) || before.iter().any(|pool| pool.formats.contains(&format)) {
            node.error("V591", "each format in one kind of kegs", None);
        } else {
            formats.push(format);
        }
    }
    let (clean, dirty) = (whole(&fields, "clean"), whole(&fields, "dirty"));
    let (keeps, back_node) = (days(&fields, "keeps"), fields.optional("back_after"));
    let back_after = back_node.as_ref().and_then(words::days);
    if let Some(node) = back_node.as_ref().filter(|_| back_after == Some(0)) {
        node.error("V305", "at least a day", None);
    }
    let out_node = fields.optional("days_out");
    let days_out = out_node.as_ref().and_then(words::days);
    if let Some(node) = out_node.as_ref().filter(|_| days_out == Some(0)) {
        node.error("V305", "at least a day", None);
    }
    if let Some(node) = out_node.filter(|_| back_node.is_some()) {
        let hint = "`days_out` counts from the delivery, `back_after` from the filling";
        node.error("V586", "`days_out` or `back_after`, not both", Some(hint.into()));
    }
    let owned_node = fields.optional("owned");
    let owned = owned_node.as_ref().and_then(|node| node.whole(0, MOST));
    let full = full(&formats, known);
    let out = owned.map(|owned| owned.saturating_sub(clean + dirty).saturating_sub(full).max(0));
    let weekly = fields.optional("returns").filter(|node| node.value.is_mapping());
    let returns = match weekly {
        Some(node) => returns_a_week(&node, known.calendar, out),
        None => dated(&fields, "returns", "kegs", known.calendar),
    };
    fields.finish();
    let counted = returns.iter().fold(clean + dirty, |sum, &(_, kegs)| sum + kegs).saturating_add(full);
    if let Some(node) = owned_node.filter(|_| owned.is_some_and(|owned| owned < counted)) {
        let allowed = format!(
            "at least the {counted} kegs that are clean ({clean}), dirty ({dirty}), full in stock ({full}) or come back"
        );
        let hint = "what comes back is of the kegs that are out on the first day";
        node.error("V592", &allowed, Some(hint.into()));
    }
    let name = unique(name_node.as_ref()?, name?, before.iter().map(|pool| pool.name.as_str()))?;
    Some(KegPool { name, formats, clean, dirty, keeps, back_after, days_out, owned, returns })
}

/// Kegs that come back by the week, the same number on every delivery day, until all that are out are back.
fn returns_a_week(node: &Node, calendar: &Calendar, out: Option<i64>) -> Vec<(i64, i64)> {
    let Some(entry) = node.fields() else { return Vec::new() };
    let kegs = entry.required("a_week").and_then(|node| node.whole(0, MOST));
    entry.finish();
    let a_week = calendar.deliver.0.iter().filter(|&&delivers| delivers).count() as i64;
    let (Some(kegs), true) = (kegs, a_week > 0) else { return Vec::new() };
    let days = (0..calendar.days() as i64).filter(|&day| calendar.delivers(day));
    let mut all = Vec::new();
    let mut before = 0;
    for (day, number) in days.zip(1_i64..) {
        let by_then = (kegs * number).div_euclid(a_week).min(out.unwrap_or(i64::MAX));
        if by_then > before {
            all.push((day, by_then - before));
        }
        before = by_then;
    }
    all
}

/// Kegs that are full on day 0, by the stock in their formats.
fn full(formats: &[FormatId], known: &Known) -> i64 {
    let stock = known.stock.iter().filter(|stock| formats.contains(&stock.format));
    let kegs = stock.map(|stock| known.formats[stock.format.0].packages_begun(stock.quantity));
    kegs.fold(0, i64::saturating_add)
}

fn unique<'a>(node: &Node, name: String, mut others: impl Iterator<Item = &'a str>) -> Option<String> {
    if others.any(|other| other == name) {
        node.error("V205", "a name that no other has", None);
        return None;
    }
    Some(name)
}

/// Reads cans, labels and the like.
pub fn materials(fields: &Fields, known: &Known) -> Vec<Material> {
    let mut all: Vec<Material> = Vec::new();
    for item in fields.optional("materials").map(|node| node.items(false)).unwrap_or_default() {
        if let Some(material) = material(&item, known, &all) {
            all.push(material);
        }
    }
    all
}

fn material(item: &Node, known: &Known, before: &[Material]) -> Option<Material> {
    let fields = item.fields()?;
    let name_node = fields.required("name");
    let name = name_node.as_ref().and_then(Node::name);
    let uses_node = fields.required("uses");
    let uses = uses_node.as_ref().map(|node| uses(node, known)).unwrap_or_default();
    let beers = fields.optional("beers").map(|node| {
        node.items(true).iter().filter_map(|item| beer_of(item, known.beers)).collect::<Vec<BeerId>>()
    });
    let in_stock = whole(&fields, "in_stock");
    let lead = days(&fields, "lead");
    let least_order = whole(&fields, "least_order");
    let pack = fields.optional("pack").and_then(|node| node.whole(1, MOST));
    let price: Option<Money> = fields.optional("price_per_1000").and_then(|node| words::money(&node));
    let deliveries = dated(&fields, "deliveries", "quantity", known.calendar);
    fields.finish();
    if let Some(node) =
        uses_node.filter(|node| node.value.as_mapping().is_some_and(serde_yaml::Mapping::is_empty))
    {
        node.error("V594", "at least one format with its pieces, such as `{can case: 24}`", None);
    }
    let name = unique(name_node.as_ref()?, name?, before.iter().map(|material| material.name.as_str()))?;
    let price_per_1000 = price.unwrap_or_default();
    Some(Material { name, uses, beers, in_stock, lead, least_order, pack, price_per_1000, deliveries })
}

/// Pieces in each package: `{can case: 24}`.
fn uses(node: &Node, known: &Known) -> Vec<(FormatId, i64)> {
    let mut uses = Vec::new();
    for (name, value) in node.entries() {
        let pieces = value.whole(1, 10_000);
        match known.formats.iter().position(|format| format.name == name) {
            Some(format) => uses.extend(pieces.map(|pieces| (FormatId(format), pieces))),
            None => {
                let names = known.formats.iter().map(|format| format.name.as_str());
                super::beers::unknown(&value, "V203", &name, "formats", names);
            }
        }
    }
    uses
}
