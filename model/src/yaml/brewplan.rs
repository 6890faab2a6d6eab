//! Reading `brewplan.yaml`: horizon, aim, calendar, shifts, crews, money.

use std::collections::BTreeSet;

use super::beers;
use super::crews::Crews;
use super::node::{Fields, Node};
use super::words;
use crate::calendar::{Calendar, Shift, Weekdays};
use crate::case::{Aim, Beer, Format, Mix, MixShare, Rates};
use crate::ids::{BeerId, FormatId};
use crate::units::{Minutes, Money, Share};

/// Days that are planned at most, with the look-ahead.
const MOST_DAYS: i64 = 400;

/// Reads calendar and shifts, and gives each crew its shift.
pub fn calendar(fields: &Fields, crews: &mut Crews) -> Option<Calendar> {
    let starts = fields.required("starts").and_then(|node| words::date(&node));
    let plan_node = fields.required("plan_for");
    let plan_for = plan_node.as_ref().and_then(words::days);
    let look_ahead = fields.optional("look_ahead").map_or(Some(0), |node| words::days(&node));
    let mut work = [Weekdays::MONDAY_TO_FRIDAY; 3];
    let mut deliver = None;
    let mut closed = BTreeSet::new();
    if let Some(node) = fields.optional("calendar").and_then(|node| node.fields()) {
        for (role, days) in words::roles().into_iter().zip(&mut work) {
            if let Some(found) = node.optional(role.0).and_then(|node| words::weekdays(&node)) {
                *days = found;
            }
        }
        deliver = node.optional("deliver").and_then(|node| words::weekdays(&node));
        for date in node.optional("closed").map(|node| node.items(true)).unwrap_or_default() {
            let Some(range) = words::dates(&date) else { continue };
            if range.last.duration_since(range.first).as_hours() / 24 > MOST_DAYS {
                date.error("V304", "at most 400 days in a row", None);
                continue;
            }
            closed.extend(range.first.series(jiff::Span::new().days(1)).take_while(|&day| day <= range.last));
        }
        node.finish();
    }
    let shifts = shifts(fields, crews);
    let (plan_for, look_ahead) = (plan_for?, look_ahead?);
    if let Some(node) = plan_node.filter(|_| plan_for < 1 || plan_for + look_ahead > MOST_DAYS) {
        node.error("V304", "at least a day, and at most 400 with the look-ahead", None);
        return None;
    }
    Some(Calendar {
        starts: starts?,
        planned_days: usize::try_from(plan_for).ok()?,
        look_ahead_days: usize::try_from(look_ahead).ok()?,
        shifts,
        work,
        deliver: deliver.unwrap_or(work[2]),
        closed,
    })
}

/// Start of the one shift where the file names none (an assumption).
const DEFAULT_START: Minutes = Minutes(7 * 60);

/// Shifts of a day at most.
pub(crate) const MOST_SHIFTS: usize = 6;

fn shifts(fields: &Fields, crews: &mut Crews) -> Vec<Shift> {
    let mut shifts: Vec<Shift> = Vec::new();
    for node in fields.optional("shifts").map(|node| node.items(false)).unwrap_or_default() {
        let Some(entry) = node.fields() else { continue };
        let name_node = entry.required("name");
        let name = name_node.as_ref().and_then(Node::name);
        let starts = entry.required("starts").and_then(|node| words::time_of_day(&node));
        let hours = entry.required("hours").and_then(|node| words::time(&node));
        entry.finish();
        if let (Some(name), Some(starts), Some(hours)) = (name, starts, hours) {
            let is_taken = shifts.iter().any(|shift| shift.name == name || shift.starts == starts);
            if let Some(node) = name_node.filter(|_| is_taken) {
                node.error("V205", "a name and a start that no other shift has", None);
                continue;
            }
            shifts.push(Shift { name, starts, hours });
        }
    }
    if shifts.len() > MOST_SHIFTS {
        fields.node.error("V304", "at most 6 shifts a day", None);
        shifts.truncate(MOST_SHIFTS);
    }
    shifts.sort_by_key(|shift| shift.starts);
    if shifts.is_empty() {
        shifts.push(Shift { name: "day".into(), starts: DEFAULT_START, hours: crews.longest_hours() });
    }
    crews.give_shifts(&shifts);
    shifts
}

/// Reads the aim.
pub fn aim(fields: &Fields, beers: &[Beer], formats: &[Format]) -> Option<Aim> {
    let node = fields.required("aim")?;
    if !node.value.is_mapping() {
        return Some(match node.one_of(&[("orders", false), ("output", true)])? {
            true => Aim::Output(None),
            false => Aim::Orders,
        });
    }
    let entry = node.fields()?;
    let output = entry.required("output").and_then(|node| node.fields());
    entry.finish();
    let output = output?;
    let tolerance = output.optional("tolerance").map_or(Some(Share(50_000)), |node| words::share(&node));
    let mut shares = Vec::new();
    let mix_node = output.required("mix");
    for item in mix_node.as_ref().map(|node| node.items(false)).unwrap_or_default() {
        let Some(part) = item.fields() else { continue };
        let beer = part.required("beer").and_then(|node| beer_of(&node, beers));
        let format_node = part.optional("format");
        let format = format_node.as_ref().map(|node| format_of(node, formats));
        let share = part.required("share").and_then(|node| words::share(&node));
        part.finish();
        if let (Some(beer), Some(share)) = (beer, share) {
            shares.push(MixShare { beer, format: format.flatten(), share });
        }
    }
    output.finish();
    let sum: i64 = shares.iter().map(|part| part.share.0).sum();
    if let Some(node) = mix_node.filter(|_| sum > Share::WHOLE.0) {
        node.error("V308", "shares that add up to at most 100 %", None);
    }
    Some(Aim::Output(Some(Mix { shares, tolerance: tolerance? })))
}

/// Looks up a beer by name.
pub fn beer_of(node: &Node, beers: &[Beer]) -> Option<BeerId> {
    let name = node.name()?;
    let found = beers.iter().position(|beer| beer.name == name);
    if found.is_none() {
        beers::unknown(node, "V202", &name, "beers", beers.iter().map(|beer| beer.name.as_str()));
    }
    found.map(BeerId)
}

/// Looks up a format by name.
pub fn format_of(node: &Node, formats: &[Format]) -> Option<FormatId> {
    let name = node.name()?;
    let found = formats.iter().position(|format| format.name == name);
    if found.is_none() {
        beers::unknown(node, "V203", &name, "formats", formats.iter().map(|format| format.name.as_str()));
    }
    found.map(FormatId)
}

/// Reads unit costs.
pub fn rates(fields: &Fields) -> Rates {
    let mut rates = Rates::default();
    let Some(entry) = fields.optional("money").and_then(|node| node.fields()) else { return rates };
    let amount = |key: &'static str, rate: &mut Money| {
        if let Some(found) = entry.optional(key).and_then(|node| words::money(&node)) {
            *rate = found;
        }
    };
    amount("labour", &mut rates.labour);
    amount("clean", &mut rates.clean);
    amount("sanitise", &mut rates.sanitise);
    amount("transfer", &mut rates.transfer);
    amount("gas", &mut rates.gas);
    amount("waiting", &mut rates.waiting);
    amount("dirty", &mut rates.dirty);
    amount("short_run", &mut rates.short_run);
    amount("dry_tap", &mut rates.dry_tap);
    amount("to_package", &mut rates.to_package);
    amount("over_limit", &mut rates.over_limit);
    amount("dump", &mut rates.dump);
    if let Some(found) = entry.optional("missed_firm").and_then(|node| words::factor(&node)) {
        rates.missed_firm = found;
    }
    if let Some(found) = entry.optional("surplus").and_then(|node| words::share(&node)) {
        rates.surplus = found;
    }
    if let Some(found) = entry.optional("surplus_weeks").and_then(|node| node.whole(0, 52)) {
        rates.surplus_weeks = found;
    }
    entry.finish();
    rates
}
