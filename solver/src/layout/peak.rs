//! The busiest season through a full plan: by the dates of the brew plan and from its tanks, with closed days, absences, outages and pins.
//!
//! A repeating week has no dates. Here the layout that is built is planned day by day: first as many weeks as beer takes to come to the line, then weeks of the season,
//! each with its demand due on its last day of deliveries, packaged in the week before (so nothing is made ahead while nothing is asked for). Nothing costs money in
//! it, and what is delivered counts by the hectolitre: the bound is the most that any plan of these days delivers.

use std::collections::BTreeMap;

use cellarwright_model::case::{Aim, Case, Layout, Order, Rates, Season};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::units::{Money, Share, Volume};

use super::built::case_of;
use super::{Bought, LayoutError};
use crate::answer::{Observer, Options};
use crate::solve::{SolveError, solve};

/// What a hectolitre that is delivered counts.
const A_HECTOLITRE: Money = Money(100_000);
/// Days from packaging to delivery at most.
const FRESH: i64 = 7;
/// Days of a week.
const WEEK: i64 = 7;
/// Days that packaging takes, over a weekend.
const TO_PACKAGE: i64 = 7;

/// The busiest weeks, planned day by day.
#[derive(Clone, Debug, PartialEq)]
pub struct Peak {
    /// The season, by position in `Layout::seasons`.
    pub season: usize,
    /// Weeks of it that are planned.
    pub weeks: i64,
    /// Weeks before them, in which nothing is asked for.
    pub before: i64,
    /// First day of its first week, counted from day 0.
    pub first_day: i64,
    /// Asked for in all its weeks.
    pub asked: Volume,
    /// Delivered by the plan.
    pub delivered: Volume,
    /// No plan of these days delivers more.
    pub most: Volume,
    /// What the plan is short of, by beer and format.
    pub short: BTreeMap<(BeerId, FormatId), Volume>,
    /// Seconds of the search.
    pub seconds: f64,
}

/// Plans so many weeks of the busiest season with what is bought; none if what is pinned or settled cannot be kept, or not in time.
///
/// # Errors
/// If the case has no layout, if HiGHS fails, or if the checker finds a breach.
pub fn peak(
    case: &Case,
    bought: &Bought,
    weeks: i64,
    options: &Options,
    observer: &dyn Observer,
) -> Result<Option<Peak>, LayoutError> {
    let layout = case.layout.as_ref().ok_or(LayoutError::NotAsked)?;
    let Some(season) = busiest(layout) else { return Ok(None) };
    let made = Days::of(&case_of(case, bought), &layout.seasons[season], weeks);
    let answer = match solve(&made.case, options, observer) {
        Ok(answer) => answer,
        Err(SolveError::Conflict(_) | SolveError::NotInTime) => return Ok(None),
        Err(SolveError::Highs(error)) => return Err(error.into()),
        Err(SolveError::BrokenPlan(violations)) => return Err(LayoutError::BrokenPeak(violations)),
    };
    let (mut delivered, mut short) = (Volume::ZERO, BTreeMap::new());
    for result in &answer.report.usage.orders {
        delivered += result.delivered;
        let order = &made.case.orders[result.order.0];
        if result.missed > Volume::ZERO {
            *short.entry((order.beer, order.format)).or_insert(Volume::ZERO) += result.missed;
        }
    }
    let asked: Volume = made.case.orders.iter().map(|order| order.quantity).sum();
    let hectolitres = answer.bound as f64 / A_HECTOLITRE.0 as f64;
    let most = Volume((hectolitres * Volume::HECTOLITRE.0 as f64).ceil() as i64).max(delivered).min(asked);
    Ok(Some(Peak {
        season,
        weeks,
        before: made.before,
        first_day: made.first_day,
        asked,
        delivered,
        most,
        short,
        seconds: answer.seconds,
    }))
}

/// The season in which most is asked for; the first of several.
fn busiest(layout: &Layout) -> Option<usize> {
    let asked = |season: &Season| -> Volume { season.demand.iter().map(|asked| asked.a_week).sum() };
    let most = layout.seasons.iter().map(asked).max()?;
    layout.seasons.iter().position(|season| asked(season) == most)
}

/// The case of the days that are planned.
struct Days {
    case: Case,
    before: i64,
    first_day: i64,
}

impl Days {
    fn of(case: &Case, season: &Season, weeks: i64) -> Self {
        let mut case = case.clone();
        let stays = season.demand.iter().map(|asked| case.beer(asked.beer).stay_days());
        let before = (stays.max().unwrap_or(0) + TO_PACKAGE + WEEK - 1) / WEEK;
        // Whole weeks from Monday to Sunday.
        let first_day = case.calendar.monday(0) + WEEK * (before + 1);
        case.calendar.planned_days = usize::try_from(first_day + weeks * WEEK).unwrap_or(0);
        case.calendar.look_ahead_days = 0;
        without_costs(&mut case);
        case.orders = Vec::new();
        for week in 0..weeks {
            let monday = first_day + week * WEEK;
            let delivers = (monday..monday + WEEK).rev().find(|&day| case.calendar.delivers(day));
            // A week without deliveries asks for nothing that could be met.
            let due = delivers.unwrap_or(monday + WEEK - 1);
            for asked in &season.demand {
                case.orders.push(Order {
                    name: format!("week {}, {}", week + 1, case.beer(asked.beer).name),
                    beer: asked.beer,
                    format: asked.format,
                    quantity: asked.a_week,
                    due,
                    firm: true,
                    likely: Share::WHOLE,
                    whole: false,
                    late: None,
                    fresh: Some(FRESH),
                });
            }
        }
        Self { case, before, first_day }
    }
}

/// What is delivered counts by the hectolitre, and nothing else costs or earns anything but what is the last resort.
fn without_costs(case: &mut Case) {
    let nothing = Money::ZERO;
    case.aim = Aim::Orders;
    case.layout = None;
    case.rates = Rates {
        missed_firm: Share::ZERO,
        surplus: Share::ZERO,
        to_package: nothing,
        ..case.rates.without_work()
    };
    for packaged in case.beers.iter_mut().flat_map(|beer| &mut beer.packaged) {
        packaged.contribution = A_HECTOLITRE;
    }
    for crew in &mut case.crews {
        if let Some(overtime) = &mut crew.overtime {
            overtime.cost = nothing;
        }
    }
    for line in &mut case.lines {
        line.visit = nothing;
    }
    for vessel in &mut case.vessels {
        vessel.purge.gas = nothing;
    }
    for material in &mut case.materials {
        material.price_per_1000 = nothing;
    }
}
