//! What there may be too little of, and a case with plenty of it.

use cellarwright_model::case::Case;
use cellarwright_model::ids::{CrewId, LineId};
use cellarwright_model::units::{Minutes, Rate};

use crate::compile::groups::Groups;

/// More vessels, people or cleaning sets than anything needs.
const PLENTY: i64 = 20;

/// A resource of which there may be too little.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Resource {
    /// Vessels like these, in the order of the file, candidates among them.
    Vessels(Vec<String>),
    /// Turns and hours of the brewhouse.
    Brewhouse,
    /// People of a crew.
    Crew(CrewId),
    /// Hours of a line.
    Line(LineId),
    /// Cleaning sets.
    CleaningSets,
    /// Transfers at the same time.
    Transfers,
    /// What the cooling plant takes.
    Cooling,
    /// The limit of prices.
    Price,
    /// The limit of floor.
    Floor,
}

/// What there may be too little of.
pub fn resources(case: &Case) -> Vec<Resource> {
    let with_offers = case.with_offers();
    let mut all: Vec<Resource> = Groups::new(&with_offers)
        .0
        .iter()
        .map(|group| {
            let names = group.vessels.iter().map(|&vessel| with_offers.vessel(vessel).name.clone());
            Resource::Vessels(names.collect())
        })
        .collect();
    all.push(Resource::Brewhouse);
    all.extend(case.crew_ids().map(Resource::Crew));
    all.extend(case.line_ids().map(Resource::Line));
    if case.cleaning.named.is_empty() {
        all.push(Resource::CleaningSets);
    }
    if case.transfer.at_once.is_some() {
        all.push(Resource::Transfers);
    }
    if case.cooling != Default::default() {
        all.push(Resource::Cooling);
    }
    let limits = case.layout.as_ref().map(|layout| layout.limits).unwrap_or_default();
    all.extend(limits.price.map(|_| Resource::Price));
    all.extend(limits.floor.map(|_| Resource::Floor));
    all
}

/// The case with plenty of a resource.
pub fn with_plenty(mut case: Case, resource: &Resource) -> Case {
    match resource {
        Resource::Vessels(names) => {
            let with_offers = case.with_offers();
            let like = with_offers.vessels.iter().find(|vessel| names.contains(&vessel.name)).cloned();
            for number in 1..=PLENTY {
                case.vessels.extend(like.iter().cloned().map(|mut vessel| {
                    vessel.name = format!("{} +{number}", vessel.name);
                    vessel
                }));
            }
        }
        Resource::Brewhouse => {
            case.brewhouse.turns_per_day = case.brewhouse.turns_per_day.saturating_mul(4);
            case.brewhouse.hours_per_day = Minutes(24 * 60);
            case.brewhouse.liquor = Vec::new();
        }
        Resource::Crew(crew) => {
            let crew = &mut case.crews[crew.0];
            crew.people += PLENTY;
            for shift in &mut crew.further_shifts {
                shift.people += PLENTY;
            }
        }
        Resource::Line(line) => {
            let speed = case.lines[line.0].speed.0;
            case.lines[line.0].speed = Rate(speed.saturating_mul(10));
        }
        Resource::CleaningSets => case.cleaning_sets += PLENTY,
        Resource::Transfers => case.transfer.at_once = None,
        Resource::Cooling => case.cooling = Default::default(),
        Resource::Price => {
            if let Some(layout) = &mut case.layout {
                layout.limits.price = None;
            }
        }
        Resource::Floor => {
            if let Some(layout) = &mut case.layout {
                layout.limits.floor = None;
            }
        }
    }
    case
}
