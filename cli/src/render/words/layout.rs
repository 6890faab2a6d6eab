//! Words about a choice of vessels.

use cellarwright_model::case::{Case, Layout};
use cellarwright_model::units::Area;
use cellarwright_solver::layout::Family;

use super::{count, per_cent};
use crate::render::numbers::{self, UnitSystem, grouped, price_of_volume, volume_of};
use crate::render::view::{FamilyRow, LayoutView, PeakRow, Purchases, SavedRow};

/// A brew plan without a layout.
pub const NOT_ASKED: &str =
    "the brew plan has no `layout`: say in it what is asked for, what can be bought and what that costs";
/// A taproom in it.
pub const TAPROOM: &str =
    "a layout does not count what a taproom pours: take `taproom` out of the brew plan, or count it as kegs";
/// Heading of the families.
pub const FAMILIES: &str = "Ways of the beer side by side, money a year";
/// Heading of what is bought.
pub const BOUGHT: &str = "What is bought";
/// Heading of the seasons.
pub const SEASONS: &str = "What a week of each season makes and costs";
/// Heading of the frontier.
pub const FRONTIER: &str = "What more money meets";
/// Heading of fermenter days.
pub const DAYS: &str = "Fermenter days after a batch is ready, as found in the plans";
/// Heading of what forbids more.
pub const FORBIDS: &str = "What forbids more";
/// Heading of the busiest weeks.
pub const PEAK: &str = "The busiest weeks, planned day by day";
/// Heading of the assumptions.
pub const ASSUMED: &str = "What is assumed";
/// The brewhouse as a resource.
pub const BREWHOUSE: &str = "turns and hours of the brewhouse";
/// Cleaning sets as a resource.
pub const CLEANING_SETS: &str = "cleaning sets";
/// Transfers as a resource.
pub const TRANSFERS: &str = "transfers at the same time";
/// The cooling plant as a resource.
pub const COOLING: &str = "the cooling plant";
/// The limit of prices as a resource.
pub const PRICE_LIMIT: &str = "the limit of prices";
/// The limit of floor as a resource.
pub const FLOOR_LIMIT: &str = "the limit of floor";

/// What the report is about.
pub const CAPTION: &str = "What to buy so that a demand is met at the lowest yearly cost";
/// The plot of a report.
pub const PLOT: &str = "Output against what purchases cost a year";
/// What the plot says to who cannot see it.
pub const ABOUT_PLOT: &str = "Each mark is a layout that no other beats in money and output; the steps between are proven, and the table below has the same numbers.";
/// Below the plot.
pub const MONEY_AXIS: &str = "bought, money a year";

/// Above the plot.
#[must_use]
pub fn output_axis(unit: &str) -> String {
    format!("{unit} a week")
}

/// The line of what is asked for.
#[must_use]
pub fn asked(view: &LayoutView) -> String {
    format!("asked for: {}", volume_of(view.units, view.asked_a_week_hl))
}

/// A mark of the plot.
#[must_use]
pub fn point(view: &LayoutView, a_year: f64, output_hl: f64) -> String {
    format!("{} a week for {} money a year", volume_of(view.units, output_hl), money(a_year))
}

/// Columns of the families.
#[must_use]
pub fn family_columns() -> Vec<String> {
    ["", "buys", "bought", "running", "together", "no less than"].map(str::to_owned).to_vec()
}

/// Columns of what is bought.
#[must_use]
pub fn bought_columns(units: UnitSystem) -> Vec<String> {
    let floor = format!("floor {}", units.area().name);
    ["", "number", "price", "a year", &floor].map(str::to_owned).to_vec()
}

/// Columns of the seasons.
#[must_use]
pub fn season_columns(units: UnitSystem) -> Vec<String> {
    let unit = units.volume().name;
    let [asked, packaged, wort] = ["asked", "packaged", "wort"].map(|what| format!("{what} {unit}"));
    ["", "weeks", &asked, &packaged, &wort, "money a week"].map(str::to_owned).to_vec()
}

/// Columns of the frontier.
#[must_use]
pub fn point_columns(units: UnitSystem) -> Vec<String> {
    let output = format!("{} a week", units.volume().name);
    ["", "bought a year", "to pay", &output, "of the demand", "no more than"].map(str::to_owned).to_vec()
}

/// Columns of fermenter days.
#[must_use]
pub fn day_columns() -> Vec<String> {
    ["", "until it leaves", "leaving", "until it is cleaned", "together"].map(str::to_owned).to_vec()
}

/// Floor, without its unit.
#[must_use]
pub fn floor(units: UnitSystem, m2: f64) -> String {
    numbers::floor(units, Area((m2 * 1e4).round() as i64))
}

/// A family: the way that beer takes from its fermenter to the line.
#[must_use]
pub fn family(family: Family) -> &'static str {
    match family {
        Family::Any => "any mixture",
        Family::Direct => "direct only",
        Family::Bright => "bright tanks",
        Family::Doubling => "fermenters doing both",
    }
}

/// A crew as a resource.
#[must_use]
pub fn crew(name: &str) -> String {
    format!("people of the crew {name}")
}

/// A line as a resource.
#[must_use]
pub fn line(name: &str) -> String {
    format!("hours of the line {name}")
}

/// Vessels as a resource.
#[must_use]
pub fn vessels(names: &[String]) -> String {
    match names {
        [first, .., last] => format!("vessels like {first} .. {last}"),
        [only] => format!("vessels like {only}"),
        [] => String::new(),
    }
}

fn money(value: f64) -> String {
    grouped(value, 2)
}

/// A share of the demand: the found one rounded down, a bound rounded up, so that neither says too much.
#[must_use]
pub fn share(value: f64, up: bool) -> String {
    let tenths = value * 1_000.0;
    // What is found by a search in fractions may be a millionth off.
    let rounded = if up { (tenths - 1e-3).ceil() } else { (tenths + 1e-3).floor() };
    format!("{} %", grouped(rounded / 10.0, 1))
}

/// Names of what is bought.
#[must_use]
pub fn names(purchases: &Purchases) -> String {
    let name = |bought: &crate::render::view::BoughtRow| match bought.count {
        // Vessels have a name each; of people the same may be had several times.
        count if count > 1 && !bought.name.contains(", ") => format!("{count} x {}", bought.name),
        _ => bought.name.clone(),
    };
    let names: Vec<String> = purchases.bought.iter().map(name).collect();
    if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
}

/// What a family buys, in a few words.
#[must_use]
pub fn buys(row: &FamilyRow) -> String {
    match row.status {
        "met" => names(&row.purchases),
        "not_met" => match row.share {
            Some(found) => format!("meets no more than {}", share(row.share_bound.unwrap_or(found), true)),
            None => "does not meet it".to_owned(),
        },
        "excluded" if row.excluded.is_empty() => "there is no vessel for it".to_owned(),
        "excluded" => format!("not a way for {}", row.excluded.join(", ")),
        _ => "not found in time".to_owned(),
    }
}

/// What is looked at.
#[must_use]
pub fn title(view: &LayoutView) -> String {
    let change =
        view.change.as_ref().map_or_else(String::new, |change| format!(", with the change {change}"));
    format!("{}, {}{change}", view.title, view.cellar)
}

/// The answer and how sure it is; one sentence each.
#[must_use]
pub fn verdict(view: &LayoutView) -> Vec<String> {
    let Some(row) = view.families.first() else { return Vec::new() };
    let mut sentences = match row.status {
        "met" => met(view, row),
        "not_met" => not_met(view, row),
        _ => {
            let mut sentences =
                vec!["Time was up before a layout that meets the demand was found.".to_owned()];
            if let Some(bound) = row.bound_a_year {
                sentences.push(format!("Whatever meets it costs at least {} a year.", money(bound)));
            }
            sentences
        }
    };
    if let Some(bound) = view.bound_of_any_cycle.filter(|_| row.status == "met") {
        sentences.push(format!(
            "In cycles of any length no layout that meets it costs less than {} a year.",
            money(bound)
        ));
    }
    sentences
}

fn cycle(view: &LayoutView) -> String {
    count(view.weeks, "week", "weeks")
}

fn met(view: &LayoutView, row: &FamilyRow) -> Vec<String> {
    let bound = money(row.bound_a_year.unwrap_or(0.0));
    let gap = per_cent(row.gap.unwrap_or(0.0));
    let proof = match (row.complete, row.confirmed) {
        (_, Some(true)) => "A second search with another seed found nothing below that either.",
        (Some(true), _) => {
            "A second search did not come to its end in time: the bound is that of one search."
        }
        _ => "Time was up before the search came to its end: a cheaper layout may be there.",
    };
    vec![
        format!(
            "Buy {}: that meets the demand for {} money a year, {} for what is bought ({} to pay) and {} to run it.",
            names(&row.purchases),
            money(row.cost_a_year.unwrap_or(0.0)),
            money(row.purchases.bought_a_year),
            money(row.purchases.price),
            money(row.running_a_year.unwrap_or(0.0)),
        ),
        format!(
            "No layout of these candidates that meets it in a cycle of {} costs less than {bound} a year (gap {gap}).",
            cycle(view)
        ),
        proof.to_owned(),
        "The layout was built anew without candidates, solved for each season and replayed by the checker."
            .to_owned(),
    ]
}

fn not_met(view: &LayoutView, row: &FamilyRow) -> Vec<String> {
    let found = row.share.unwrap_or(0.0);
    let again = match row.confirmed {
        Some(true) => "a second search with another seed found nothing above that either",
        _ => "a second search did not come to its end in time",
    };
    let replayed = match row.share_replayed {
        Some(true) => "was built anew and replayed by the checker",
        _ => "was found by the search; time was up before it was replayed",
    };
    vec![
        format!(
            "No layout of these candidates meets the demand: at most {} of it in a cycle of {}, proven; {again}.",
            share(row.share_bound.unwrap_or(found), true),
            cycle(view)
        ),
        format!(
            "A plan for {} of it, {} of {} a week, with {} bought, {replayed}.",
            share(found, false),
            volume_of(view.units, found * view.asked_a_week_hl),
            volume_of(view.units, view.asked_a_week_hl),
            names(&row.purchases)
        ),
    ]
}

/// What the frontier says.
#[must_use]
pub fn frontier(view: &LayoutView) -> Vec<String> {
    let mut sentences = Vec::new();
    if !view.frontier.is_empty() {
        sentences.push(
            "Whoever spends less a year on purchases than the next line meets no more of the demand, all of it in proportion, than the line before; proven."
                .to_owned(),
        );
    }
    match &view.most {
        Some(most) => sentences.push(format!(
            "The most within the limits: {} of the demand, {} a week, with {} bought; no more than {}, proven.",
            share(most.share, false),
            volume_of(view.units, most.output_a_week_hl),
            names(&most.purchases),
            share(most.share_bound, true)
        )),
        None => sentences.push("Time was up before the most within the limits was found.".to_owned()),
    }
    if !view.frontier_complete {
        sentences
            .push("Time was up before all of these lines were found; those above are proven.".to_owned());
    }
    sentences
}

/// What the busiest weeks say.
#[must_use]
pub fn peak(view: &LayoutView, peak: &PeakRow) -> Vec<String> {
    let hl = |value: f64| volume_of(view.units, value);
    let weeks = count(usize::try_from(peak.weeks).unwrap_or(0), "week", "weeks");
    let which = format!("{weeks} of {} from {} on", peak.season, peak.from_label);
    let short: Vec<String> =
        peak.short.iter().map(|row| format!("{} in {} {}", row.beer, row.format, hl(row.short_hl))).collect();
    let is_short = format!(
        "In {which} the plan found delivers {} of {}; short are: {}.",
        hl(peak.delivered_hl),
        hl(peak.asked_hl),
        short.join(", ")
    );
    let mut sentences = match peak.status {
        "filled" => {
            vec![format!("A full plan delivers all that is asked for in {which}: {}.", hl(peak.asked_hl))]
        }
        "short" => vec![
            "The week that repeats meets the demand, but these days do not let it: proven.".to_owned(),
            is_short,
            format!("No plan of these days delivers more than {}.", hl(peak.most_hl)),
        ],
        "unproven" => {
            vec![is_short, "Whether another plan delivers all of it was not shown in time.".to_owned()]
        }
        _ => {
            return vec![
                "No plan of them was found in time, or what is pinned forbids every one.".to_owned(),
            ];
        }
    };
    sentences.push(
        "They are planned from the tanks, dates, closed days, absences and outages of the brew plan; nothing is asked for before, and what is delivered is packaged at most a week before."
            .to_owned(),
    );
    sentences
}

/// What a bright tank saves.
#[must_use]
pub fn saved(saved: Option<&SavedRow>) -> String {
    match saved {
        Some(saved) => format!(
            "A bright tank saves {} fermenter days a batch; with {} fills a week each of them frees {} x {} / 7 = {} fermenters, on average.",
            grouped(saved.days_a_batch, 2),
            grouped(saved.fills_a_week, 2),
            grouped(saved.fills_a_week, 2),
            grouped(saved.days_a_batch, 2),
            grouped(saved.fermenters_freed, 2),
        ),
        None => "What a bright tank saves is not known: that takes a plan of direct routes alone and one of bright tanks alone that meet the demand."
            .to_owned(),
    }
}

/// What would let more be met.
#[must_use]
pub fn forbids(row: &FamilyRow) -> Vec<String> {
    let mut lines: Vec<String> = row
        .forbids
        .iter()
        .map(|forbids| {
            let what = forbids.resources.join(" and ");
            format!("{what}: with plenty {} are met (solved again, replayed)", share(forbids.share, false))
        })
        .collect();
    match (lines.is_empty(), row.tried_all) {
        (true, Some(true)) => {
            lines.push("no resource by itself and no two of them: plenty of each was tried".to_owned());
        }
        (_, Some(false)) => lines.push("time was up before all resources were tried".to_owned()),
        _ => {}
    }
    lines
}

/// What the answer rests on.
#[must_use]
pub fn assumptions(case: &Case, layout: &Layout) -> Vec<String> {
    let rates = &case.rates;
    let amount = |money: cellarwright_model::units::Money| grouped(money.units(), 2);
    let a_year = if layout.interest.0 > 0 {
        format!(
            "what is bought is paid off over its life in equal yearly payments at {} interest, and costs its `yearly` besides",
            per_cent(layout.interest.as_fraction())
        )
    } else {
        "what is bought costs its price over its life, in equal parts and without interest, and its `yearly` besides".to_owned()
    };
    vec![
        a_year,
        format!(
            "running money is that of the brew plan: labour {} an hour that is worked, {} a clean, {} a bright tank filled, gas {}, wort {} (so every loss \
             costs), and its other rates",
            amount(rates.labour),
            amount(rates.clean),
            amount(rates.transfer),
            price_of_volume(case.show_units, rates.gas),
            price_of_volume(case.show_units, layout.wort)
        ),
        "each season is a week that repeats, with no stock carried from one to the next; what is packaged beyond the demand is worth nothing".to_owned(),
        "vessels that can be bought reach, and are reached by, all others that the cellar does not limit, and every cleaning set cleans them".to_owned(),
        "people are paid by the hour that they work; what more people or a further shift cost besides is their `yearly`".to_owned(),
        "holidays, outages and people away are not in a repeating week: plan the busiest weeks with `plan` before anything is bought".to_owned(),
    ]
}
