//! Reading the beers of `brewplan.yaml`.

use super::cellar::Cellar;
use super::filters;
use super::full_clean;
use super::node::{Fields, Node, did_you_mean};
use super::quantity;
use super::words;
use crate::calendar::Role;
use crate::case::{
    Beer, Brewing, Carbonating, Format, Job, Nitrogen, Packaged, RoleTimes, Split, Spund, Stage, Yeast,
};
use crate::finding::Severity;
use crate::ids::FormatId;
use crate::schema::Scalar;
use crate::units::{Carbonation, Money, Share, Temperature, Volume};

/// Contribution per hectolitre where the file is silent (an assumption).
const DEFAULT_CONTRIBUTION: Money = Money(10_000);

/// Reads one beer.
pub fn read(node: &Node, cellar: &Cellar, beers: &[Beer], strains: &[Yeast]) -> Option<Beer> {
    let fields = node.fields()?;
    let formats = &cellar.formats;
    let name_node = fields.required("name")?;
    let name = name_node.name();
    let turns = fields.required("turns").map(|node| turns(&node)).unwrap_or_default();
    let part_turns = fields.optional("part_turns").map(|node| part_turns(&node)).unwrap_or_default();
    let brewing = brewing(&fields);
    let stay = fields.required("stay").map(|node| stay(&node)).unwrap_or_default();
    let stay_days: i64 = stay.iter().map(|stage| stage.days).sum();
    let conditions = fields.optional("condition_from").and_then(|node| conditions(&node, &stay));
    let day_count = |key, default| {
        fields.optional(key).map_or(Some(default), |node: Node| words::days(&node)).unwrap_or(default)
    };
    let may_wait = day_count("may_wait", 5);
    let must_leave = day_count("must_leave", stay_days + may_wait + 14);
    if let Some(node) = fields.optional("must_leave").filter(|_| must_leave < stay_days) {
        node.error("V405", &format!("at least the stay, {stay_days} d"), None);
    }
    let bright_wait = day_count("bright_wait", 3);
    let bright_must_leave = day_count("bright_must_leave", bright_wait + 4);
    let (mut direct, mut bright, mut both) = (false, false, false);
    if let Some(routes) = fields.required("routes") {
        for route in routes.items(true) {
            let found = route.one_of(&[
                ("direct", (true, false, false)),
                ("bright", (false, true, false)),
                ("both", (true, true, true)),
            ]);
            if let Some(found) = found {
                (direct, bright, both) = (direct || found.0, bright || found.1, both || found.2);
            }
        }
        if routes.items(true).is_empty() {
            routes.error("V501", "one or more of `direct`, `bright`, `both`", None);
        }
    }
    let (mut loss_tank, mut loss_direct) = (Share::ZERO, Share::ZERO);
    if let Some(loss) = fields.optional("loss").and_then(|node| node.fields()) {
        loss_tank = loss.optional("tank").and_then(|node| words::share(&node)).unwrap_or_default();
        loss_direct = loss.optional("direct").and_then(|node| words::share(&node)).unwrap_or_default();
        loss.finish();
    }
    let gas = fields.optional("carbonation").map_or(Gas::default(), |node| gas(&node));
    let nitrogen = fields.optional("nitrogen").and_then(|node| nitrogen(&node, gas.carbonating));
    let split = fields.optional("split").and_then(|node| {
        node.one_of(&[("needed", Split::Needed), ("free", Split::Free), ("never", Split::Never)])
    });
    let blend = fields.optional("blend").and_then(|node| node.yes_or_no()).unwrap_or(false);
    let packaged = match fields.optional("contribution") {
        Some(node) => contributions(&node, formats),
        None => all_formats(formats, DEFAULT_CONTRIBUTION),
    };
    let filter_node = fields.optional("filter");
    let filter = filter_node.as_ref().and_then(|node| filters::of_beer(node, &cellar.filters));
    if let Some(node) = filter_node.filter(|_| filter.is_some() && direct) {
        let hint = "straight from its fermenter it would be packaged unfiltered";
        node.error("V597", "a filter for a beer whose `routes` is `bright` alone", Some(hint.into()));
    }
    let release = day_count("release", 0);
    let fresh = fields.optional("fresh").and_then(|node| words::days(&node));
    let ferments = super::tank_work::ferments(&fields, stay_days);
    let tank_work = super::tank_work::read(&fields, stay_days);
    let yeast = super::yeast::of_beer(&fields, strains);
    let marks = full_clean::marks(&fields, &cellar.cleaning);
    let sales = fields.optional("sales").and_then(|node| words::volume(&node));
    fields.finish();
    let name = name?;
    if beers.iter().any(|beer| beer.name == name) {
        name_node.error("V205", "a name that no other beer has", None);
        return None;
    }
    Some(Beer {
        name,
        turns,
        part_turns,
        brewing,
        stay,
        conditions,
        may_wait,
        must_leave,
        bright_wait,
        bright_must_leave,
        direct,
        bright,
        both,
        loss_tank,
        loss_direct,
        carbonating: gas.carbonating,
        carbonation: gas.carbonation,
        carbonated_at: gas.carbonated_at,
        spund: gas.spund,
        nitrogen,
        during_chill: gas.during_chill,
        pump: gas.pump,
        split: split.unwrap_or_default(),
        blend,
        filter,
        packaged,
        release,
        fresh,
        sales,
        ferments,
        tank_work,
        yeast,
        marks,
    })
}

/// What stands under `carbonation`.
struct Gas {
    carbonating: Carbonating,
    carbonation: Carbonation,
    carbonated_at: Temperature,
    spund: Option<Spund>,
    during_chill: bool,
    pump: bool,
}

impl Default for Gas {
    fn default() -> Self {
        Self {
            carbonating: Carbonating::Forced,
            carbonation: Carbonation(2_500),
            carbonated_at: Temperature(2_000),
            spund: None,
            during_chill: false,
            pump: true,
        }
    }
}

fn gas(node: &Node) -> Gas {
    let mut gas = Gas::default();
    if !node.value.is_mapping() {
        let words = [("none", Carbonating::No), ("in package", Carbonating::InPackage)];
        gas.carbonating = node.one_of(&words).unwrap_or_default();
        return gas;
    }
    let Some(fields) = node.fields() else { return gas };
    let volumes =
        fields.optional("volumes").and_then(|node| node.quantity(quantity::parse_carbonation, VOLUMES));
    gas.carbonation = volumes.unwrap_or(gas.carbonation);
    gas.carbonated_at =
        fields.optional("at").and_then(|node| words::temperature(&node)).unwrap_or(gas.carbonated_at);
    gas.during_chill = fields.optional("during_chill").and_then(|node| node.yes_or_no()).unwrap_or(false);
    gas.pump = fields.optional("pump").and_then(|node| node.yes_or_no()).unwrap_or(true);
    gas.spund = fields.optional("spund").and_then(|node| spund(&node, gas.carbonation));
    fields.finish();
    gas
}

/// What is particular to a beer in the brewhouse: `turn: 18 hL`, `brew_longer: 90 min` or with its own person-time.
fn brewing(fields: &Fields) -> Brewing {
    let turn_node = fields.optional("turn");
    let turn = turn_node.as_ref().and_then(words::volume);
    if let Some(node) = turn_node.filter(|_| turn == Some(Volume::ZERO)) {
        node.error("V305", "more than nothing", None);
    }
    let longer = match fields.optional("brew_longer") {
        None => Job::default(),
        Some(node) if node.value.is_mapping() => words::job(&node).unwrap_or_default(),
        Some(node) => {
            let takes = words::time(&node).unwrap_or_default();
            Job { takes, crew: RoleTimes::only(Role::Brew, takes) }
        }
    };
    Brewing { turn: turn.filter(|turn| *turn > Volume::ZERO), longer }
}

/// What a number of volumes may be.
const VOLUMES: &str = Scalar::Carbonation.sentence();

/// Fermenting under pressure: `{volumes: 2.5, at: 18 degC}`; the beer's own volumes where it names none.
fn spund(node: &Node, whole: Carbonation) -> Option<Spund> {
    let fields = node.fields()?;
    let volumes = fields.optional("volumes");
    let carbonation = volumes.map_or(Some(whole), |node| node.quantity(quantity::parse_carbonation, VOLUMES));
    let at = fields.required("at").and_then(|node| words::temperature(&node));
    fields.finish();
    Some(Spund { carbonation: carbonation?, at: at? })
}

/// Nitrogen: `{pressure: 160 kPa, takes: 12 h}`, for beer that is carbonated in a tank.
fn nitrogen(node: &Node, carbonating: Carbonating) -> Option<Nitrogen> {
    let fields = node.fields()?;
    let pressure = fields.required("pressure").and_then(|node| words::pressure(&node));
    let takes = fields.required("takes").and_then(|node| words::time(&node));
    fields.finish();
    if carbonating != Carbonating::Forced {
        let hint = "beer that is racked flat, or conditions in its package, is given no gas in a tank";
        node.report("V563", Severity::Error, "nitrogen", "beer carbonated in a tank", Some(hint.into()));
    }
    Some(Nitrogen { pressure: pressure?, takes: takes? })
}

fn turns(node: &Node) -> Vec<i64> {
    let mut turns: Vec<i64> = node.items(true).iter().filter_map(|item| item.whole(1, 12)).collect();
    turns.sort_unstable();
    turns.dedup();
    if turns.is_empty() && node.items(true).is_empty() {
        node.error("V305", "at least one number of turns", None);
    }
    turns
}

/// Sizes of batches of one smaller turn: `part_turns: [10 hL, 14 hL]`.
fn part_turns(node: &Node) -> Vec<Volume> {
    let mut parts: Vec<Volume> = node.items(true).iter().filter_map(words::volume).collect();
    if parts.contains(&Volume::ZERO) || node.items(true).is_empty() {
        node.error("V305", "at least one volume, each more than nothing", None);
    }
    parts.sort_unstable();
    parts.dedup();
    parts
}

fn stay(node: &Node) -> Vec<Stage> {
    let mut stages = Vec::new();
    for (name, value) in node.entries() {
        if let Some(days) = words::days(&value) {
            stages.push(Stage { name, days });
        }
    }
    if stages.iter().map(|stage| stage.days).sum::<i64>() < 1 {
        node.error("V404", "at least one day", None);
    }
    stages
}

/// Days from the beginning of a named part of the stay to its end.
fn conditions(node: &Node, stay: &[Stage]) -> Option<i64> {
    let name = node.name()?;
    let Some(part) = stay.iter().position(|stage| stage.name == name) else {
        unknown(node, "V291", &name, "parts of the stay", stay.iter().map(|stage| stage.name.as_str()));
        return None;
    };
    let before: i64 = stay[..part].iter().map(|stage| stage.days).sum();
    if before < 1 {
        node.error("V598", "a part that begins a day after the brew day or later", None);
        return None;
    }
    Some(stay[part..].iter().map(|stage| stage.days).sum())
}

fn all_formats(formats: &[Format], contribution: Money) -> Vec<Packaged> {
    (0..formats.len()).map(|format| Packaged { format: FormatId(format), contribution }).collect()
}

fn contributions(node: &Node, formats: &[Format]) -> Vec<Packaged> {
    if !node.value.is_mapping() {
        let money = words::money(node).unwrap_or(DEFAULT_CONTRIBUTION);
        return all_formats(formats, money);
    }
    let mut packaged: Vec<Packaged> = Vec::new();
    for (name, value) in node.entries() {
        let contribution = words::money(&value);
        match formats.iter().position(|format| format.name == name) {
            Some(format) => packaged.push(Packaged {
                format: FormatId(format),
                contribution: contribution.unwrap_or(DEFAULT_CONTRIBUTION),
            }),
            None => {
                unknown(&value, "V203", &name, "formats", formats.iter().map(|format| format.name.as_str()))
            }
        }
    }
    packaged.sort_by_key(|one| one.format);
    packaged
}

/// Reports a name that is not among those of a list.
pub fn unknown<'a>(
    node: &Node,
    code: &'static str,
    name: &str,
    what: &str,
    names: impl Iterator<Item = &'a str> + Clone,
) {
    let all: Vec<&str> = names.clone().collect();
    let hint = did_you_mean(name, names);
    let allowed = format!("one of the {what}: {}", all.join(", "));
    node.report(code, crate::finding::Severity::Error, name, &allowed, hint);
}
