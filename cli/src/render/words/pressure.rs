//! Words of the table of pressures.

use cellarwright_model::carbonation::{atmosphere, equilibrium};
use cellarwright_model::case::{Beer, Case};
use cellarwright_model::units::{Carbonation, Pressure, Temperature};

use crate::render::numbers::{
    UnitSystem, altitude, grouped, pressure, pressure_in_both, temperature_in_both,
};

/// Heads of the columns; gauge pressures.
#[must_use]
pub fn header(units: UnitSystem) -> [&'static str; 9] {
    let first = match units {
        UnitSystem::Metric => "kPa, gauge",
        UnitSystem::Us => "psi, gauge",
    };
    [first, "plate", "relief", "plan at most", "to ferment", "to package", "left", "", "lines"]
}

/// Cautions below the table. Figures of exposure with their sources: 29 CFR 1910.1000 Table Z-1 (from memory), ACGIH's limits as
/// the 1989 preamble of OSHA's rule prints them, EH40/2005 of the United Kingdom.
pub const CAUTIONS: [&str; 7] = [
    "These are planning figures. They say where numbers conflict, not that a vessel is fit for a pressure: the data plate, the \
     relief device and its certificate, local codes and licensed practice decide.",
    "The equilibrium is a fit to a published table, good to some 0.05 volumes; how long a beer takes to get there it does not say.",
    "A relief device may lift below its setting: spring-loaded ones are commonly run about a tenth below. Never plan on it, \
     block it or isolate it. A vacuum relief matters as much.",
    "Carbon dioxide in cellars: in the United States the limit over 8 h is 5000 ppm (29 CFR 1910.1000, Table Z-1); ACGIH names 30000 ppm \
     for 15 minutes; in the United Kingdom 5000 ppm over 8 h and 15000 ppm for 15 minutes (EH40/2005). Other places have their own. \
     Measure the gas itself: at 5000 ppm an oxygen meter still shows about 20.8 %.",
    "A vessel that people can enter is a confined space (in the United States 29 CFR 1910.146): nobody enters but under the \
     procedure and permit for it.",
    "Vent the carbon dioxide before caustic goes in: caustic takes it up, and a cold rinse after a hot clean pulls a vacuum; either \
     can pull a vessel in. The vessel maker's instructions come first.",
    "A pump pushes no less than pressure does: what the line, its hoses and its filler bear is a question of its own.",
];

/// Title with what holds for all beers.
#[must_use]
pub fn title(case: &Case) -> String {
    let margin = grouped(case.pressure.below_relief.as_fraction() * 100.0, 1);
    let air = pressure(case.show_units, Pressure(atmosphere(case.altitude_metres).round() as i64));
    let height = altitude(case.show_units, case.altitude_metres);
    format!(
        "{}, {}: pressures at {height} above the sea (air pressure there {air}). Planning stays {margin} % below plate \
         and relief; of a full vessel's plate the weight of its beer is taken off where `beer_height` is given.",
        case.name, case.cellar
    )
}

fn holds(case: &Case, carbonation: Carbonation, at: Temperature) -> String {
    let gauge = equilibrium(carbonation, at, case.altitude_metres).max(Pressure::ZERO);
    let volumes = grouped(carbonation.0 as f64 / 1_000.0, 2);
    let (at, need) = (temperature_in_both(case.show_units, at), pressure_in_both(case.show_units, gauge));
    format!("{volumes} volumes at {at} need {need}")
}

/// What a beer needs, stage by stage.
#[must_use]
pub fn needs(case: &Case, beer: &Beer) -> Vec<String> {
    if !beer.holds_gas() {
        return vec!["Not carbonated in a tank: no pressure is needed but what a line wants.".to_owned()];
    }
    let mut needs = Vec::new();
    if let Some(spund) = beer.spund {
        needs.push(format!("Fermenting under pressure: {}.", holds(case, spund.carbonation, spund.at)));
    }
    let mut cold = format!("Carbonated and packaged: {}", holds(case, beer.carbonation, beer.carbonated_at));
    if case.pressure.breakout > Pressure::ZERO {
        cold.push_str(&format!(
            ", and {} against breakout",
            pressure_in_both(case.show_units, case.pressure.breakout)
        ));
    }
    needs.push(cold + ".");
    if let Some(nitrogen) = beer.nitrogen {
        let hours = grouped(nitrogen.takes.hours(), 1);
        needs.push(format!(
            "With nitrogen: {} for {hours} h.",
            pressure_in_both(case.show_units, nitrogen.pressure)
        ));
    }
    needs
}

/// What the numbers say of a vessel.
#[must_use]
pub fn verdict(within: bool) -> &'static str {
    if within { "within" } else { "TOO HIGH" }
}

/// Lines that are fed, and how.
#[must_use]
pub fn feeds(by_pressure: &[String], by_pump: &[String], not: &[String]) -> String {
    let mut parts = Vec::new();
    for (names, how) in [(by_pressure, ""), (by_pump, " by pump only"), (not, " not fed")] {
        if !names.is_empty() {
            parts.push(format!("{}{how}", names.join(", ")));
        }
    }
    parts.join("; ")
}
