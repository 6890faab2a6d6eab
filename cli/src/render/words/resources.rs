//! Names and units of resources.

use crate::render::numbers::UnitSystem;
use cellarwright_checker::usage::Resource;
use cellarwright_model::case::{Case, StoreUnit, Vessel};

/// Said of a resource that is equally tight on all days.
pub const EVERY_DAY: &str = "every day";

/// The unit of kegs, casks and materials.
pub const PIECES: &str = "pieces";
/// The unit of kegs and casks that are owned.
pub const PIECE_DAYS: &str = "piece-days";
/// The unit of fills before a full clean.
pub const FILLS: &str = "fills";
/// The unit of yeast.
pub const PITCHES: &str = "pitches";

/// The name of a resource.
#[must_use]
pub fn resource(case: &Case, resource: Resource) -> String {
    match resource {
        Resource::Turns => "turns of the brewhouse".to_owned(),
        Resource::BrewhouseTime => "hours of the brewhouse".to_owned(),
        Resource::RoleTime(role) => format!("people for {} work", role.word()),
        Resource::CrewTime(crew) => format!("{} (nobody else can)", case.crew(crew).name),
        Resource::WeekOvertime(crew) => format!("overtime of {} in the week", case.crew(crew).name),
        Resource::Chills => "chills of the cooling plant".to_owned(),
        Resource::CoolingHeat => "heat to the cooling plant".to_owned(),
        Resource::CleaningTime(reach) => match case.cleaning.names(reach).as_slice() {
            [one] if case.cleaning.named.len() > 1 => format!("{one} (what only it cleans)"),
            _ => "cleaning sets".to_owned(),
        },
        Resource::LineTime(line) => format!("line {}", case.line(line).name),
        Resource::WarmStore => "warm store".to_owned(),
        Resource::FilterTime(place) => {
            case.filters.get(place).map_or_else(String::new, |filter| filter.name.clone())
        }
        Resource::TransferTime => "transfers at once".to_owned(),
        Resource::Kegs(pool) => format!("clean {}", case.kegs[pool.0].name),
        Resource::OwnedKegs(pool) => format!("{}, full or out", case.kegs[pool.0].name),
        Resource::KegWasher => "keg washer".to_owned(),
        Resource::Material(material) => case.materials[material.0].name.clone(),
        Resource::Yeast(yeast) => format!("pitches of {}", case.yeast.strain(yeast).name),
        Resource::FillsLeft(vessel) => {
            format!("fills of {} before a full clean", case.vessel(vessel).name)
        }
        Resource::ColdStore => "cold store".to_owned(),
        Resource::HiredStore => "cold store, hired".to_owned(),
        Resource::Vessel(vessel) => case.vessel(vessel).name.clone(),
    }
}

/// The unit of volumes that stand for days.
#[must_use]
pub fn volume_days(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Metric => "hL-days",
        UnitSystem::Us => "bbl-days",
    }
}

/// The unit of a resource.
#[must_use]
pub fn unit(case: &Case, resource: Resource) -> &'static str {
    match resource {
        Resource::Turns => "turns",
        Resource::RoleTime(_) | Resource::CrewTime(_) => "person-h",
        Resource::WeekOvertime(_)
        | Resource::BrewhouseTime
        | Resource::CleaningTime(_)
        | Resource::LineTime(_)
        | Resource::FilterTime(_)
        | Resource::TransferTime
        | Resource::KegWasher => "clock h",
        Resource::WarmStore => volume_days(case.show_units),
        Resource::Chills => "chills",
        Resource::CoolingHeat => case.show_units.heat().name,
        Resource::OwnedKegs(_) => PIECE_DAYS,
        Resource::Kegs(_) | Resource::Material(_) => PIECES,
        Resource::Yeast(_) => PITCHES,
        Resource::FillsLeft(_) => FILLS,
        Resource::ColdStore | Resource::HiredStore => {
            match case.cold_store.as_ref().map(|store| store.unit) {
                Some(StoreUnit::Pallets) => "pallet-days",
                Some(StoreUnit::Volume) | None => volume_days(case.show_units),
            }
        }
        Resource::Vessel(_) => "vessel-days",
    }
}

/// The kind of a vessel, as many are called.
fn kind(vessel: &Vessel) -> &'static str {
    match (vessel.uses.ferment || vessel.uses.condition, vessel.uses.serve) {
        (true, _) if vessel.uses.ferment => "fermenters",
        (true, _) => "conditioning tanks",
        (false, true) => "serving tanks",
        (false, false) => "bright tanks",
    }
}

/// The kind and size of a vessel with what else it is used for: the same for all vessels that are added up.
#[must_use]
pub fn kind_in_full(case: &Case, vessel: &Vessel) -> String {
    let uses = vessel.uses;
    let mut text = format!("{} of {}", kind(vessel), case.show_units.size(vessel.holds));
    for (holds, words) in [
        (uses.ferment && uses.condition, ", also for conditioning"),
        ((uses.ferment || uses.condition) && uses.bright, ", also bright tanks"),
        (uses.serve && uses.bright, ", carbonating"),
        (uses.package, ", packaged from"),
    ] {
        if holds {
            text.push_str(words);
        }
    }
    text
}

/// Vessels of one kind and size.
#[must_use]
pub fn vessels(case: &Case, vessels: &[&Vessel]) -> String {
    let Some(first) = vessels.first() else { return String::new() };
    let holds = case.show_units.size(first.holds);
    if vessels.len() == 1 {
        return format!("{} ({holds})", first.name);
    }
    let kind = kind(first);
    let names: Vec<&str> = vessels.iter().map(|vessel| vessel.name.as_str()).collect();
    let shown = match names.as_slice() {
        [first, .., last] if names.len() > 5 => format!("{first} .. {last}"),
        few => few.join(", "),
    };
    format!("{} {kind} of {holds} ({shown})", vessels.len())
}
