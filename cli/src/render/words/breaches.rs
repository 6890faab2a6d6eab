//! Breaches of rules.

use cellarwright_model::case::Case;
use cellarwright_model::violation::{About, Amount};

use crate::render::gather::{day_label, slot_label};
use crate::render::numbers::{grouped, heat, pressure};
use crate::render::view::{BreachRow, View};
use crate::render::words::pins;

/// What a breach is about.
#[must_use]
pub fn about(case: &Case, about: About) -> String {
    match about {
        About::Vessel(vessel) => format!("vessel {}", case.vessel(vessel).name),
        About::Line(line) => format!("line {}", case.line(line).name),
        About::Crew(crew) => format!("crew {}", case.crew(crew).name),
        About::Beer(beer) => format!("beer {}", case.beer(beer).name),
        About::Order(order) => format!("order {}", case.order(order).name),
        About::Kegs(pool) => format!("kegs {}", case.kegs[pool.0].name),
        About::Material(material) => format!("material {}", case.materials[material.0].name),
        About::Pin(position) => {
            case.fixed.pins.get(position).map_or_else(String::new, |pin| pins::pin(case, pin))
        }
        About::Brewhouse => "the brewhouse".to_owned(),
        About::Filter(place) => format!("filter {}", case.filters[place].name),
        About::KegWasher => "the keg washer".to_owned(),
        About::CleaningSets => "the cleaning sets".to_owned(),
        About::CoolingPlant => "the cooling plant".to_owned(),
        About::WarmStore => "the warm store".to_owned(),
        About::CleaningSet(reach) => {
            format!("cleaning set {}", case.cleaning.names(reach).join(" and "))
        }
        About::ColdStore => "the cold store".to_owned(),
        About::Outlook => "the look-ahead".to_owned(),
        About::EarlierPlan => "the earlier plan".to_owned(),
    }
}

/// What the checker counts of the look-ahead in fractions begins so.
const MILLIONTHS: &str = "millionths of ";

/// What is measured.
#[must_use]
pub fn what(what: &'static str) -> &'static str {
    what.strip_prefix(MILLIONTHS).unwrap_or(what)
}

/// A breach in one sentence; its rule stands above it.
#[must_use]
pub fn sentence(breach: &BreachRow) -> String {
    let when = breach.when.as_ref().map_or_else(String::new, |when| format!(", {when}"));
    let BreachRow { about, what, found, allowed, .. } = breach;
    format!("{about}{when}: {what}: {found} in the plan, allowed: {allowed}")
}

/// Every rule that is broken, with a sentence for each breach; those that follow one another and read alike are counted.
#[must_use]
pub fn by_rule(view: &View) -> Vec<(String, Vec<String>)> {
    let mut alike: Vec<(&BreachRow, String, usize)> = Vec::new();
    for breach in &view.violations {
        let text = sentence(breach);
        match alike.last_mut() {
            Some((last, before, times)) if *before == text && last.rule == breach.rule => *times += 1,
            _ => alike.push((breach, text, 1)),
        }
    }
    let mut rules: Vec<(String, Vec<String>)> = Vec::new();
    for (breach, text, times) in alike {
        let rule = format!("{} {}", breach.rule, breach.sentence);
        let text = if times > 1 { format!("{text} ({times} times)") } else { text };
        match rules.last_mut() {
            Some((last, sentences)) if *last == rule => sentences.push(text),
            _ => rules.push((rule, vec![text])),
        }
    }
    rules
}

/// A value with its unit, of what is measured.
#[must_use]
pub fn amount(case: &Case, what: &str, amount: &Amount) -> String {
    match amount {
        Amount::Number(number) if what.starts_with(MILLIONTHS) => grouped(*number as f64 / 1e6, 3),
        Amount::Volume(volume) => case.show_units.exact_volume(*volume),
        Amount::Time(time) => format!("{} h", grouped(time.hours(), 2)),
        Amount::Pressure(of_beer) => pressure(case.show_units, *of_beer),
        Amount::Heat(of_day) => heat(case.show_units, *of_day),
        Amount::Pallets(millionths) => format!("{} pallets", grouped(*millionths as f64 / 1e6, 2)),
        Amount::Number(number) => number.to_string(),
        Amount::Day(day) => day_label(case, *day),
        Amount::Clock(slot, after) => case.calendar.time_of_day(*slot, *after),
        Amount::Slot(slot) => slot_label(case, *slot),
        Amount::Words(words) => (*words).to_owned(),
    }
}
