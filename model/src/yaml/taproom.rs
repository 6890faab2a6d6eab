//! Reading the taproom of `brewplan.yaml`: opening times and the beers on tap.

use super::brewplan::beer_of;
use super::node::{Fields, Node};
use super::words;
use crate::calendar::Weekdays;
use crate::case::{Beer, Tap, Taproom};
use crate::units::{Minutes, Money, Volume};

/// When the taproom opens where the file is silent (an assumption).
const DEFAULT_OPENING: Minutes = Minutes(12 * 60);
/// Days after filling in which a tank may be poured where the file is silent (an assumption).
const DEFAULT_WITHIN: i64 = 30;

/// Reads the taproom; without the key nothing is poured.
pub fn read(fields: &Fields, beers: &[Beer]) -> Taproom {
    let Some(entry) = fields.optional("taproom").and_then(|node| node.fields()) else {
        return Taproom::default();
    };
    let opens = entry.optional("opens").and_then(|node| words::time_of_day(&node));
    let days = entry.optional("days").and_then(|node| words::weekdays(&node)).unwrap_or(Weekdays::ALL);
    let mut taproom = Taproom { opens: opens.unwrap_or(DEFAULT_OPENING), ..Taproom::default() };
    for date in entry.optional("closed").map(|node| node.items(true)).unwrap_or_default() {
        taproom.closed.extend(words::date(&date));
    }
    for item in entry.required("pours").map(|node| node.items(false)).unwrap_or_default() {
        if let Some(tap) = tap(&item, days, beers, &taproom) {
            taproom.pours.push(tap);
        }
    }
    entry.finish();
    taproom
}

fn tap(item: &Node, days: Weekdays, beers: &[Beer], taproom: &Taproom) -> Option<Tap> {
    let fields = item.fields()?;
    let beer_node = fields.required("beer");
    let beer = beer_node.as_ref().and_then(|node| beer_of(node, beers));
    let a_day = fields.required("a_day").and_then(|node| a_day(&node, days));
    let contribution = fields.optional("contribution").map(|node| words::money(&node));
    let pour_within = fields.optional("pour_within").map_or(Some(DEFAULT_WITHIN), |node| words::days(&node));
    fields.finish();
    let (beer, a_day, pour_within) = (beer?, a_day?, pour_within?);
    if taproom.tap(beer).is_some()
        && let Some(node) = beer_node
    {
        node.error("V205", "a beer that no other entry pours", None);
        return None;
    }
    let contribution = match contribution {
        Some(found) => found?,
        None => dearest(&beers[beer.0]),
    };
    Some(Tap { beer, a_day, contribution, pour_within })
}

/// What the beer earns in its dearest format: the contribution of a pour where the file is silent (an assumption).
fn dearest(beer: &Beer) -> Money {
    beer.packaged.iter().map(|packaged| packaged.contribution).max().unwrap_or_default()
}

/// One volume for every opening day, or volumes by days of the week.
fn a_day(node: &Node, days: Weekdays) -> Option<[Volume; 7]> {
    let mut asked = [Volume::ZERO; 7];
    if !node.value.is_mapping() {
        let volume = words::volume(node)?;
        for (weekday, is_open) in days.0.into_iter().enumerate() {
            asked[weekday] = if is_open { volume } else { Volume::ZERO };
        }
        return some_volume(node, asked);
    }
    let mut is_given = [false; 7];
    for (key, value) in node.entries() {
        let Some(of_key) = words::day_span(&key) else {
            value.report("V403", crate::finding::Severity::Error, &key, words::SOME_DAYS, None);
            return None;
        };
        let volume = words::volume(&value)?;
        for weekday in (0..7).filter(|&weekday| of_key.0[weekday]) {
            if is_given[weekday] {
                value.report(
                    "V480",
                    crate::finding::Severity::Error,
                    &key,
                    "each day of the week once",
                    None,
                );
                return None;
            }
            is_given[weekday] = true;
            asked[weekday] = if days.0[weekday] { volume } else { Volume::ZERO };
        }
    }
    some_volume(node, asked)
}

fn some_volume(node: &Node, asked: [Volume; 7]) -> Option<[Volume; 7]> {
    if asked.iter().all(|&volume| volume == Volume::ZERO) {
        node.error("V305", "more than nothing on an opening day", None);
        return None;
    }
    Some(asked)
}
