//! Reading `layout`: what is asked for in a year, and what can be bought to meet it.

use super::brewplan::{beer_of, format_of};
use super::cellar::{self, Cellar};
use super::crews::{crew_of, shift_of};
use super::fixed::line_of;
use super::node::{Fields, Node};
use super::words;
use crate::calendar::Calendar;
use crate::case::{
    Asked, Beer, Change, Crew, Further, Layout, Limits, MOST_WAYS, Offer, Purchase, Season, WEEKS_A_YEAR,
};
use crate::finding::Severity;
use crate::units::{Area, Money, Share};

/// Rates that decide between vessels: none may be this program's own assumption.
const TO_BE_SAID: [&str; 4] = ["labour", "clean", "transfer", "gas"];
/// Vessels of one offer at most.
const MOST_OF_A_KIND: usize = 40;

/// What is known when the layout is read.
pub struct Known<'k, 'a> {
    /// The cellar.
    pub cellar: &'k Cellar<'a>,
    /// The beers.
    pub beers: &'k [Beer],
    /// The crews, with their shifts.
    pub crews: &'k [Crew],
    /// Days and shifts.
    pub calendar: &'k Calendar,
}

/// Reads the layout, where the brew plan has one.
pub fn read(fields: &Fields, known: &Known) -> Option<Layout> {
    let node = fields.optional("layout")?;
    let entry = node.fields()?;
    let wort = entry.required("wort").and_then(|node| words::money(&node));
    let interest = entry.optional("interest").map_or(Some(Share::ZERO), |node| words::share(&node));
    let limits = entry.optional("limits").map_or(Some(Limits::default()), |node| limits(&node));
    let demand = entry.optional("demand");
    let seasons_node = entry.optional("seasons");
    let seasons = match (&demand, &seasons_node) {
        (Some(demand), None) => {
            let all = asked(demand, known);
            vec![Season { name: "the year".to_owned(), weeks: WEEKS_A_YEAR, demand: all }]
        }
        (None, Some(node)) => seasons(node, known),
        (Some(_), Some(_)) | (None, None) => {
            let found = if demand.is_some() { "both" } else { "neither" };
            node.report("V173", Severity::Error, found, "`demand`, or `seasons` in its place", None);
            Vec::new()
        }
    };
    let vessels = entry.optional("vessels").map(|node| offers(&node, known)).unwrap_or_default();
    let further = entry.optional("further").map(|node| further(&node, known)).unwrap_or_default();
    entry.finish();
    let ways = further.iter().fold(1_i64, |ways, one| ways.saturating_mul(one.at_most + 1));
    if ways > MOST_WAYS {
        let allowed = format!("at most {MOST_WAYS} ways to choose people, shifts and lines");
        node.report("V174", Severity::Error, &format!("{ways} ways"), &allowed, None);
    }
    rates_are_said(fields, &node);
    Some(Layout { wort: wort?, interest: interest?, limits: limits?, seasons, vessels, further })
}

/// Rates that weigh one route against the other have to be the brewery's own.
fn rates_are_said(fields: &Fields, layout: &Node) {
    let money = fields.optional("money").and_then(|node| node.fields());
    for key in TO_BE_SAID {
        if money.as_ref().is_none_or(|money| money.optional(key).is_none()) {
            let hint = "it weighs one vessel against another: an assumption must not decide";
            let allowed = format!("`{key}` under `money`");
            layout.report("V175", Severity::Error, key, &allowed, Some(hint.into()));
        }
    }
}

fn limits(node: &Node) -> Option<Limits> {
    let fields = node.fields()?;
    let price = fields.optional("price").map(|node| words::money(&node));
    let floor = fields.optional("floor").map(|node| words::area(&node));
    fields.finish();
    Some(Limits { price: price.flatten(), floor: floor.flatten() })
}

fn seasons(node: &Node, known: &Known) -> Vec<Season> {
    let mut all: Vec<Season> = Vec::new();
    for item in node.items(false) {
        let Some(fields) = item.fields() else { continue };
        let name_node = fields.required("name");
        let name = name_node.as_ref().and_then(Node::name);
        let weeks = fields.required("weeks").and_then(|node| node.whole(1, WEEKS_A_YEAR));
        let demand = fields.required("demand").map(|node| asked(&node, known)).unwrap_or_default();
        fields.finish();
        let (Some(name), Some(weeks)) = (name, weeks) else { continue };
        if let Some(node) = name_node.filter(|_| all.iter().any(|season| season.name == name)) {
            node.error("V205", "a name that no other season has", None);
            continue;
        }
        all.push(Season { name, weeks, demand });
    }
    let weeks: i64 = all.iter().map(|season| season.weeks).sum();
    if weeks > WEEKS_A_YEAR {
        let allowed = format!("seasons of at most {WEEKS_A_YEAR} weeks together");
        node.report("V176", Severity::Error, &format!("{weeks} weeks"), &allowed, None);
    }
    all
}

fn asked(node: &Node, known: &Known) -> Vec<Asked> {
    let mut all: Vec<Asked> = Vec::new();
    for item in node.items(false) {
        let Some(fields) = item.fields() else { continue };
        let beer = fields.required("beer").and_then(|node| beer_of(&node, known.beers));
        let format_node = fields.required("format");
        let format = format_node.as_ref().and_then(|node| format_of(node, &known.cellar.formats));
        let a_week_node = fields.required("a_week");
        let a_week = a_week_node.as_ref().and_then(words::volume);
        let a_week = cellar::positive(&fields, "a_week", a_week);
        fields.finish();
        let (Some(beer), Some(format), Some(node)) = (beer, format, format_node) else { continue };
        if known.beers[beer.0].contribution(format).is_none() {
            node.error("V208", "a format that the beer's `contribution` lists", None);
        } else if all.iter().any(|asked| (asked.beer, asked.format) == (beer, format)) {
            node.error("V177", "each beer and format once in a season", None);
        } else if let Some(a_week) = a_week {
            all.push(Asked { beer, format, a_week });
        }
    }
    if all.is_empty() && node.value.as_sequence().is_some_and(Vec::is_empty) {
        node.report("V305", Severity::Error, "nothing", "something that is asked for", None);
    }
    all
}

/// What a thing costs; people and shifts have neither price nor life.
fn purchase(fields: &Fields, is_built: bool) -> Option<Purchase> {
    let yearly_node = if is_built { fields.optional("yearly") } else { fields.required("yearly") };
    let yearly = match yearly_node {
        Some(node) => words::money(&node),
        None => is_built.then_some(Money::ZERO),
    };
    if !is_built {
        return Some(Purchase { price: Money::ZERO, life: 1, yearly: yearly?, floor: Area::ZERO });
    }
    let price = fields.required("price").and_then(|node| words::money(&node));
    let life = fields.required("life").and_then(|node| words::years(&node));
    let floor = fields.optional("floor").map_or(Some(Area::ZERO), |node| words::area(&node));
    Some(Purchase { price: price?, life: life?, yearly: yearly?, floor: floor? })
}

fn offers(node: &Node, known: &Known) -> Vec<Offer> {
    let mut all = Vec::new();
    let mut with_others = Cellar { vessels: known.cellar.vessels.clone(), ..Cellar::default() };
    for item in node.items(false) {
        let Some(fields) = item.fields() else { continue };
        let first = with_others.vessels.len();
        let found = cellar::vessels(&fields, &mut with_others, false);
        let purchase = purchase(&fields, true);
        fields.finish();
        let vessels = with_others.vessels[first..].to_vec();
        if vessels.iter().any(|vessel| vessel.uses.serve)
            && let Some(uses) = fields.optional("uses")
        {
            uses.error("V178", "`ferment`, `package`, `bright`, `condition`: a taproom is not counted", None);
            continue;
        }
        if let Some(names) = fields.optional("names").filter(|_| vessels.len() > MOST_OF_A_KIND) {
            names.error("V304", &format!("at most {MOST_OF_A_KIND} of one kind"), None);
            continue;
        }
        if let (Some(()), Some(purchase), false) = (found, purchase, vessels.is_empty()) {
            all.push(Offer { vessels, purchase });
        }
    }
    all
}

fn further(node: &Node, known: &Known) -> Vec<Further> {
    let mut all: Vec<Further> = Vec::new();
    for item in node.items(false) {
        let Some(fields) = item.fields() else { continue };
        let name_node = fields.required("name");
        let name = name_node.as_ref().and_then(Node::name);
        let crew = fields.optional("crew").map(|node| crew_of(&node, known.crews));
        let line = fields.optional("line").map(|node| line_of(&node, "V231", &known.cellar.lines));
        let (change, is_built, at_most) = match (crew, line) {
            (Some(crew), None) => {
                let people = fields.required("people").and_then(|node| node.whole(1, 100));
                match fields.optional("shift").map(|node| shift_of(&node, &known.calendar.shifts)) {
                    None => {
                        let at_most = fields.optional("at_most");
                        let at_most = at_most.map_or(Some(1), |node| node.whole(1, 20));
                        (
                            crew.zip(people).map(|(crew, people)| Change::People { crew, people }),
                            false,
                            at_most,
                        )
                    }
                    Some(shift) => {
                        let named = crew.zip(shift).zip(people);
                        let change =
                            named.map(|((crew, shift), people)| Change::Shift { crew, shift, people });
                        (change.filter(|change| is_new(change, &item, known)), false, Some(1))
                    }
                }
            }
            (None, Some(line)) => {
                let speed = fields.required("speed").and_then(|node| words::rate(&node));
                let people = fields.required("people").and_then(|node| node.whole(0, 100));
                let named = line.zip(speed).zip(people);
                let change = named.map(|((line, speed), people)| Change::Line { line, speed, people });
                (change, true, Some(1))
            }
            (Some(_), Some(_)) | (None, None) => {
                item.report("V179", Severity::Error, "this", "either a `crew` or a `line`", None);
                continue;
            }
        };
        let purchase = purchase(&fields, is_built);
        fields.finish();
        let (Some(name), Some(change)) = (name, change) else { continue };
        let is_line = |other: &Further| match (other.change, change) {
            (Change::Line { line, .. }, Change::Line { line: same, .. }) => line == same,
            _ => false,
        };
        if let Some(node) = name_node.filter(|_| all.iter().any(|other| other.name == name)) {
            node.error("V205", "a name that nothing else of the list has", None);
        } else if all.iter().any(is_line) {
            item.report("V180", Severity::Error, &name, "one line in place of each that is there", None);
        } else if let (Some(at_most), Some(purchase)) = (at_most, purchase) {
            all.push(Further { name, change, at_most, purchase });
        }
    }
    all
}

/// Whether a shift is not worked by the crew already.
fn is_new(change: &Change, item: &Node, known: &Known) -> bool {
    let Change::Shift { crew, shift, .. } = *change else { return true };
    let is_new = known.crews[crew.0].shifts().all(|worked| worked != shift);
    if !is_new {
        let found = known.calendar.shifts[shift].name.clone();
        item.report("V181", Severity::Error, &found, "a shift that the crew does not work yet", None);
    }
    is_new
}
