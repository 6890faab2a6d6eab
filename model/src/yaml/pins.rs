//! Reading pinned work: `{brew: Pale, on: 2026-12-08, vessel: F3, turns: 2}` and its like.

use super::brewplan::{beer_of, format_of};
use super::crews::shift_of;
use super::fixed::{days, line_of};
use super::node::{Fields, Node};
use super::opening::{Known, vessel_of};
use super::{tank_work, words};
use crate::case::{Away, Cause, Fixed, Line, Outage, Pin, PinnedWork, RoleTimes, Uses, Vessel};
use crate::finding::Severity;
use crate::ids::{BeerId, VesselId};

/// The words of which each pin has one.
const WORDS: &str = "one of `brew: BEER`, `transfer: BEER`, `clean: VESSEL`, `package: BEER`, `dump: VESSEL`, \
    `crop: VESSEL`, `tank_work: PIECE`, `leave: VESSEL`";

/// Reads all pins.
pub fn pins(fields: &Fields, known: &Known, lines: &[Line], fixed: &mut Fixed) {
    for item in fields.optional("pinned").map(|node| node.items(false)).unwrap_or_default() {
        let Some(entry) = item.fields() else { continue };
        let words = ["brew", "transfer", "clean", "package", "dump", "crop", "tank_work", "leave"];
        let named: Vec<&str> = words.into_iter().filter(|word| entry.optional(word).is_some()).collect();
        let [word] = named[..] else {
            item.report("V543", Severity::Error, "pinned", WORDS, None);
            continue;
        };
        if word == "leave" {
            fixed.outages.extend(left_alone(&entry, known));
        } else {
            fixed.pins.extend(pin(&item, &entry, word, known, lines));
        }
    }
}

/// A vessel to be left alone: `{leave: F3, from: .., to: ..}`.
fn left_alone(fields: &Fields, known: &Known) -> Option<Outage> {
    let vessel = fields.required("leave").and_then(|node| vessel_of(&node, known.vessels));
    let days = days(fields, known);
    fields.finish();
    let (what, (first_day, last_day)) = (Away::Vessel(vessel?), days?);
    let (cause, reason) = (Cause::Left, String::new());
    Some(Outage {
        what,
        first_day,
        last_day,
        cause,
        reason,
        must_be_empty: false,
        crew: RoleTimes::default(),
    })
}

/// A key that may be left out: none if it is, and nothing at all if it cannot be read.
fn free<'a, T>(
    fields: &Fields<'a>,
    key: &'static str,
    read: impl Fn(&Node<'a>) -> Option<T>,
) -> Option<Option<T>> {
    match fields.optional(key) {
        Some(node) => read(&node).map(Some),
        None => Some(None),
    }
}

fn pin(item: &Node, fields: &Fields, word: &str, known: &Known, lines: &[Line]) -> Option<Pin> {
    let day = free(fields, "on", |node| planned_day(node, known));
    let shift = free(fields, "shift", |node| shift_of(node, &known.calendar.shifts));
    let vessel = |key| free(fields, key, |node| vessel_of(node, known.vessels));
    let beer = |key| fields.required(key).and_then(|node| beer_of(&node, known.beers));
    let work = match word {
        "brew" => {
            let (beer, vessel) = (beer("brew"), vessel("vessel"));
            let turns = free(fields, "turns", |node| node.whole(1, 12));
            let part = free(fields, "part_turn", words::volume);
            fields.finish();
            PinnedWork::Brew { beer: beer?, vessel: vessel?, turns: turns?, part: part? }
        }
        "transfer" => {
            let (beer, from, to) = (beer("transfer"), vessel("from"), vessel("to"));
            let volume = free(fields, "volume", words::volume);
            fields.finish();
            PinnedWork::Transfer { beer: beer?, from: from?, to: to?, volume: volume? }
        }
        "clean" => {
            let vessel = fields.required("clean").and_then(|node| vessel_of(&node, known.vessels));
            fields.finish();
            PinnedWork::Clean { vessel: vessel? }
        }
        "crop" => {
            let vessel = fields.required("crop").and_then(|node| vessel_of(&node, known.vessels));
            fields.finish();
            PinnedWork::Crop { vessel: vessel? }
        }
        "tank_work" => {
            let (beer, vessel) = (beer("beer"), vessel("vessel"));
            let piece = beer.zip(fields.required("tank_work"));
            let work = piece.and_then(|(beer, node)| tank_work::position(&node, &known.beers[beer.0]));
            fields.finish();
            PinnedWork::Tank { beer: beer?, work: work?, vessel: vessel? }
        }
        "dump" => {
            let vessel = fields.required("dump").and_then(|node| vessel_of(&node, known.vessels));
            fields.finish();
            PinnedWork::Dump { vessel: vessel? }
        }
        _ => {
            let (beer, from) = (beer("package"), vessel("from"));
            let format = free(fields, "format", |node| format_of(node, known.formats));
            let line = free(fields, "line", |node| line_of(node, "V206", lines));
            let volume = free(fields, "volume", words::volume);
            fields.finish();
            PinnedWork::Package { beer: beer?, format: format?, line: line?, from: from?, volume: volume? }
        }
    };
    let pin = Pin { work, day: day?, shift: shift? };
    if let Some((found, allowed)) = senseless(&work, known) {
        item.report("V544", Severity::Error, &found, allowed, None);
        return None;
    }
    Some(pin)
}

fn planned_day(node: &Node, known: &Known) -> Option<usize> {
    let day = known.calendar.day_of(words::date(node)?);
    let planned = usize::try_from(day).ok().filter(|&day| day < known.calendar.planned_days);
    if planned.is_none() {
        let last = known.calendar.date(known.calendar.planned_days as i64 - 1);
        node.error("V442", &format!("a planned day, {} to {last}", known.calendar.starts), None);
    }
    planned
}

/// What no plan could ever do, whatever the week: the name found, and what is allowed.
fn senseless(work: &PinnedWork, known: &Known) -> Option<(String, &'static str)> {
    let vessel = |id: VesselId| &known.vessels[id.0];
    let beer = |id: BeerId| &known.beers[id.0];
    match *work {
        PinnedWork::Brew { beer: of, vessel: into, turns, part } => {
            if let Some(into) = into.filter(|&into| !vessel(into).uses.ferment) {
                return Some((vessel(into).name.clone(), "a vessel with `ferment`"));
            }
            if let (Some(_), Some(part)) = (turns, part) {
                return Some((part.to_string(), "`turns` or `part_turn`, not both"));
            }
            if let Some(part) = part.filter(|part| !beer(of).part_turns.contains(part)) {
                return Some((part.to_string(), "a part turn that the beer lists in `part_turns`"));
            }
            let unlisted = turns.filter(|turns| !beer(of).turns.contains(turns));
            unlisted.map(|turns| (format!("{turns} turns"), "turns that the beer lists"))
        }
        PinnedWork::Transfer { beer: of, from, to, .. } => {
            // Tanks that are only poured from are filled with beer of either route, out of bright tanks too.
            let is_to_serve = match to {
                Some(to) => vessel(to).is_serve_only(),
                None => known.vessels.iter().any(Vessel::is_serve_only),
            };
            if !beer(of).bright && !is_to_serve {
                return Some((beer(of).name.clone(), "a beer whose `routes` has `bright`"));
            }
            let may_give = |uses: Uses| uses.ferment || (is_to_serve && (uses.bright || uses.condition));
            if let Some(from) = from.filter(|&from| !may_give(vessel(from).uses)) {
                let allowed =
                    "from a vessel with `ferment`; into one with `serve` alone, from one with `bright` too";
                return Some((vessel(from).name.clone(), allowed));
            }
            let dull = to.filter(|&to| !vessel(to).uses.bright && !vessel(to).uses.serve);
            dull.map(|to| (vessel(to).name.clone(), "to a vessel with `bright` or `serve`"))
        }
        PinnedWork::Clean { vessel: of } => vessel(of).is_bright_only().then(|| {
            let allowed =
                "a vessel with `ferment`: a bright tank is cleaned when it is filled, pin its transfer";
            (vessel(of).name.clone(), allowed)
        }),
        PinnedWork::Crop { vessel: of } => {
            let can_be = vessel(of).uses.ferment && known.beers.iter().any(|beer| beer.yeast.is_some());
            let allowed = "a vessel with `ferment`, where some beer names its `yeast`";
            (!can_be).then(|| (vessel(of).name.clone(), allowed))
        }
        PinnedWork::Tank { beer: of, vessel: named, .. } => {
            let named = named.filter(|&named| beer(of).conditions.is_some() || !vessel(named).uses.ferment);
            let allowed = "a vessel with `ferment`, and none for a beer with `condition_from`";
            named.map(|named| (vessel(named).name.clone(), allowed))
        }
        PinnedWork::Dump { .. } => None,
        PinnedWork::Package { beer: of, format, line, from, volume } => {
            if let (Some(from), true) = (from, format.is_some() || line.is_some() || volume.is_some()) {
                return Some((vessel(from).name.clone(), "`from` without `format`, `line` and `volume`"));
            }
            let other = format.filter(|&format| beer(of).contribution(format).is_none());
            other.map(|format| {
                (known.formats[format.0].name.clone(), "a format that the beer's `contribution` lists")
            })
        }
    }
}
