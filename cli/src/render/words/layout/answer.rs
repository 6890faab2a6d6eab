//! What to buy and how sure that is, what more money meets, the busiest weeks, what forbids more.

use cellarwright_solver::repeating::MOST_WEEKS;

use super::{NO_SHARE, money, names, share};
use crate::render::numbers::{grouped, volume_of};
use crate::render::view::{FamilyRow, LayoutView, PeakRow, SavedRow};
use crate::render::words::{count, per_cent};

/// The answer and how sure it is; one sentence each.
#[must_use]
pub fn verdict(view: &LayoutView) -> Vec<String> {
    let Some(row) = view.families.first() else { return Vec::new() };
    let mut sentences = match row.status {
        "met" => met(view, row),
        "not_met" => not_met(view, row),
        _ => {
            let mut sentences = vec![
                "Time was up before a layout that meets the demand was found; more --seconds may find one."
                    .to_owned(),
            ];
            if let Some(bound) = row.bound_a_year {
                sentences.push(format!("Whatever meets it costs at least {} a year.", money(bound)));
            }
            sentences.extend(share_of_any_cycle(view));
            sentences
        }
    };
    if let Some(bound) = view.bound_of_any_cycle.filter(|_| row.status != "not_met") {
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

/// No more is met in cycles of any length.
fn share_of_any_cycle(view: &LayoutView) -> Option<String> {
    let most = view.share_bound_of_any_cycle?;
    let longer = if most >= 1.0 && view.weeks < MOST_WEEKS {
        "; a longer cycle (--weeks) may meet more than this one"
    } else {
        ""
    };
    Some(format!(
        "In cycles of any length no more than {} of the demand is met: proven, even with fractions of batches{longer}.",
        share(most, true)
    ))
}

/// A demand that is not met, where no plan for a part of it was found.
fn short(view: &LayoutView, row: &FamilyRow) -> Vec<String> {
    let most = row.share_bound.filter(|&most| most < 1.0);
    let of_it = most.map_or_else(String::new, |most| format!(": at most {} of it", share(most, true)));
    let mut sentences = vec![
        format!(
            "No layout of these candidates meets the demand{of_it} in a cycle of {}, proven.",
            cycle(view)
        ),
        "Time was up before a plan for a part of it was found; more --seconds may find one.".to_owned(),
    ];
    sentences.extend(share_of_any_cycle(view));
    sentences
}

fn not_met(view: &LayoutView, row: &FamilyRow) -> Vec<String> {
    let Some(found) = row.share else { return short(view, row) };
    let again = match row.confirmed {
        Some(true) => "a second search with another seed found nothing above that either",
        _ => "a second search did not come to its end in time",
    };
    let replayed = match row.share_replayed {
        Some(true) => "was built anew and replayed by the checker",
        _ => "was found by the search; time was up before it was replayed",
    };
    let mut sentences = vec![
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
    ];
    sentences.extend(share_of_any_cycle(view));
    sentences
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
        // A plan for nothing is none.
        Some(most) if most.share < NO_SHARE => sentences.push(format!(
            "No more than {} of the demand is met within the limits, proven; time was up before a plan for a part of it was found.",
            share(most.share_bound, true)
        )),
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
