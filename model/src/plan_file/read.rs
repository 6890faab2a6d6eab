//! From text to a plan.

use crate::case::Case;
use crate::finding::{Finding, PathStep};
use crate::plan::{Delivery, Overtime, PitchFrom, Plan, Pour, Task, Work};

use super::fields::{FieldReader, Fields};
use super::outlook::read_outlook;
use super::tree::{Node, parse};
use super::{quantities, words};

/// What a volume must look like.
pub(super) const VOLUME: &str = "a volume such as 37.6 hL (hL, L or mL in whole millilitres; bbl, gal)";
/// What a number of pitches must look like.
const PITCHES: &str = "a whole number of pitches";
/// What a number of turns must look like.
pub(super) const TURNS: &str = "a whole number of turns";

/// Reads a plan that was written for this case, or edited by hand. `file` is the name to be shown in findings.
/// Tasks are put in the order of slots and deliveries in that of orders.
///
/// # Errors
///
/// All findings, with codes `V6xx` and lines, if the text is not a plan for this case. Whether the cellar can
/// carry the plan out is not asked here.
pub fn read_plan(case: &Case, file: &str, text: &str) -> Result<Plan, Vec<Finding>> {
    let root = parse(file, text).map_err(|finding| vec![*finding])?;
    let mut reader = FieldReader { case, file, findings: Vec::new() };
    let plan = read_root(&mut reader, &root);
    if plan.tasks.is_empty() {
        keep_untitled(&mut reader.findings);
    }
    if reader.findings.is_empty() { Ok(plan) } else { Err(reader.findings) }
}

/// Another kind of file has neither title nor tasks: that it is no plan is said once, not key by key.
fn keep_untitled(findings: &mut Vec<Finding>) {
    let Some(position) = findings.iter().position(|finding| finding.code == "V613") else { return };
    let mut untitled = findings.remove(position);
    if untitled.place.path == [PathStep::Key("plan".to_owned())] {
        untitled.hint = Some("a plan file is one that `plan --out` has written".to_owned());
        findings.clear();
    }
    findings.insert(position.min(findings.len()), untitled);
}

fn read_root(reader: &mut FieldReader<'_>, root: &Node) -> Plan {
    const KEYS: [&str; 9] =
        ["plan", "objective", "bound", "status", "tasks", "overtime", "pours", "deliveries", "outlook"];
    let mut plan = Plan::default();
    let Some(fields) = reader.fields(root, &[], &KEYS) else { return plan };
    reader.text(&fields, "plan");
    for key in ["objective", "bound", "status"] {
        if fields.node(key).is_some() {
            reader.text(&fields, key);
        }
    }
    for (node, path) in reader.items(&fields, "tasks") {
        plan.tasks.extend(read_task(reader, node, &path));
    }
    for (node, path) in reader.items(&fields, "overtime") {
        plan.overtime.extend(read_overtime(reader, node, &path));
    }
    for (node, path) in reader.items(&fields, "pours") {
        plan.pours.extend(read_pour(reader, node, &path));
    }
    for (node, path) in reader.items(&fields, "deliveries") {
        let Some(delivery) = read_delivery(reader, node, &path) else { continue };
        plan.deliveries.push(delivery);
    }
    plan.tasks.sort_by_key(|task| task.slot);
    plan.overtime.sort_by_key(|overtime| overtime.slot);
    plan.pours.sort_by_key(|pour| pour.day);
    plan.deliveries.sort_by_key(|delivery| (delivery.order, delivery.day));
    check_deliveries(reader, &fields, &plan);
    if let Some(node) = fields.node("outlook") {
        plan.outlook = read_outlook(reader, node, &fields.path("outlook"));
    }
    plan
}

fn read_task(reader: &mut FieldReader<'_>, node: &Node, path: &[PathStep]) -> Option<Task> {
    let every = [
        "on",
        "shift",
        "do",
        "begins",
        "beer",
        "work",
        "yeast",
        "pitches",
        "source",
        "store",
        "cropped",
        "vessel",
        "turns",
        "part_turn",
        "from",
        "to",
        "volume",
        "full",
        "line",
        "format",
        "pool",
        "kegs",
    ];
    let fields = reader.fields(node, path, &every)?;
    let slot = reader.slot(&fields);
    let begins = reader.begins(&fields, slot);
    let position = reader.choice(&fields, "do", "V640", words::WORK.iter().map(|work| work.0))?;
    let (word, keys) = words::WORK[position];
    only(reader, &fields, &every[4..], keys, word);
    let work = match word {
        "brew" => {
            let (beer, vessel) = (reader.beer(&fields), reader.vessel(&fields, "vessel"));
            let turns = reader.value(&fields, "turns", "V652", TURNS, quantities::turns);
            let part = reader.part_turn(&fields);
            Work::Brew { beer: beer?, vessel: vessel?, turns: turns?, part: part? }
        }
        "transfer" => {
            let (from, to) = (reader.vessel(&fields, "from"), reader.vessel(&fields, "to"));
            let volume = reader.value(&fields, "volume", "V650", VOLUME, quantities::volume);
            let full = reader.yes(&fields, "full");
            Work::Transfer { from: from?, to: to?, volume: volume?, full: full? }
        }
        "package" => {
            let (line, format) = (reader.line(&fields), reader.format(&fields));
            let vessel = reader.vessel(&fields, "vessel");
            let volume = reader.value(&fields, "volume", "V650", VOLUME, quantities::volume);
            Work::Package { line: line?, format: format?, vessel: vessel?, volume: volume? }
        }
        "pitch" => read_pitch(reader, &fields)?,
        "crop" => Work::Crop { vessel: reader.vessel(&fields, "vessel")? },
        "tank work" => {
            let beer = reader.beer(&fields);
            let work = beer.and_then(|beer| reader.tank_work(&fields, beer));
            let vessel = reader.vessel(&fields, "vessel");
            Work::Tank { beer: beer?, work: work?, vessel: vessel? }
        }
        "wash" => {
            let pool = reader.keg_pool(&fields);
            let kegs = reader.value(&fields, "kegs", "V654", "a whole number of kegs", quantities::kegs);
            Work::Wash { pool: pool?, kegs: kegs? }
        }
        "clean" => {
            let (vessel, full) = (reader.vessel(&fields, "vessel"), reader.yes(&fields, "full"));
            Work::Clean { vessel: vessel?, full: full? }
        }
        "sanitise" => Work::Sanitise { vessel: reader.vessel(&fields, "vessel")? },
        "carbonate" => Work::Carbonate { vessel: reader.vessel(&fields, "vessel")? },
        _ => Work::Dump { vessel: reader.vessel(&fields, "vessel")? },
    };
    Some(Task { slot: slot?, work, begins })
}

fn read_pitch(reader: &mut FieldReader<'_>, fields: &Fields<'_>) -> Option<Work> {
    let (vessel, yeast) = (reader.vessel(fields, "vessel"), reader.yeast(fields));
    let pitches = reader.value(fields, "pitches", "V652", PITCHES, quantities::turns);
    let source = reader.choice(fields, "source", "V640", words::SOURCES.into_iter())?;
    let keys: &[&str] = match words::SOURCES[source] {
        "bought" => &[],
        "store" => &["store"],
        _ => &["from", "cropped"],
    };
    only(reader, fields, &["store", "from", "cropped"], keys, words::SOURCES[source]);
    let from = match words::SOURCES[source] {
        "bought" => PitchFrom::Bought,
        "store" => {
            let there = reader.case.yeast.in_store.len();
            let (text, at) = reader.text(fields, "store")?;
            let found = text.parse::<usize>().ok().filter(|&number| number >= 1 && number <= there);
            if found.is_none() {
                let allowed = format!("the number of an entry of `yeast_in_store`, 1 to {there}");
                reader.note("V634", at, &fields.path("store"), text, &allowed);
            }
            PitchFrom::Store(found? - 1)
        }
        _ => {
            let (cropped, day) = (reader.vessel(fields, "from"), reader.day(fields, "cropped"));
            PitchFrom::Crop { vessel: cropped?, day: day? }
        }
    };
    Some(Work::Pitch { vessel: vessel?, yeast: yeast?, from, pitches: pitches? })
}

/// Notes keys that are good elsewhere and mean nothing here.
pub(super) fn only(
    reader: &mut FieldReader<'_>,
    fields: &Fields<'_>,
    every: &[&str],
    keys: &[&str],
    word: &str,
) {
    for key in every.iter().filter(|key| !keys.contains(key)) {
        if let Some(node) = fields.node(key) {
            let allowed = match keys {
                [] => format!("no such key with {word}"),
                _ => format!("with {word}: {}", keys.join(", ")),
            };
            reader.note("V614", node.at, &fields.path(key), key, &allowed);
        }
    }
}

fn read_overtime(reader: &mut FieldReader<'_>, node: &Node, path: &[PathStep]) -> Option<Overtime> {
    let fields = reader.fields(node, path, &["on", "shift", "crew", "time"])?;
    let (slot, crew) = (reader.slot(&fields), reader.crew(&fields));
    let time =
        reader.value(&fields, "time", "V651", "whole minutes, such as 60 min or 1.5 h", quantities::time);
    Some(Overtime { slot: slot?, crew: crew?, time: time? })
}

fn read_pour(reader: &mut FieldReader<'_>, node: &Node, path: &[PathStep]) -> Option<Pour> {
    let fields = reader.fields(node, path, &["on", "vessel", "volume"])?;
    let (day, vessel) = (reader.day(&fields, "on"), reader.vessel(&fields, "vessel"));
    let volume = reader.value(&fields, "volume", "V650", VOLUME, quantities::volume);
    Some(Pour { day: day?, vessel: vessel?, volume: volume? })
}

fn read_delivery(reader: &mut FieldReader<'_>, node: &Node, path: &[PathStep]) -> Option<Delivery> {
    let fields = reader.fields(node, path, &["order", "on", "volume"])?;
    let order = reader.order(&fields);
    let due = order.map(|order| reader.case.order(order).due);
    let day = if fields.node("on").is_some() { reader.delivery_day(&fields) } else { due };
    let volume = reader.value(&fields, "volume", "V650", VOLUME, quantities::volume);
    Some(Delivery { order: order?, day: day?, volume: volume? })
}

fn check_deliveries(reader: &mut FieldReader<'_>, fields: &Fields<'_>, plan: &Plan) {
    let Some(node) = fields.node("deliveries") else { return };
    for pair in plan.deliveries.windows(2) {
        if let [first, second] = pair
            && (first.order, first.day) == (second.order, second.day)
        {
            let name = reader.case.order(first.order).name.clone();
            reader.note("V641", node.at, &fields.path("deliveries"), &name, "each order once a day");
        }
    }
}
