//! The view of what one unit more of each resource adds.

use std::cmp::Ordering;

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::finding::Finding;
use cellarwright_model::lever::Lever;
use cellarwright_solver::levers::{Gain, Horizon, Levers, Pair, State};
use cellarwright_solver::repeating::left_out;

use super::{cautions_of_input, objective_unit, objective_units};
use crate::render::view::{Caution, LeverRow, LeversView, PairRow};
use crate::render::words::{cautions, kept_up, levers as words};

/// The view of all levers of a case.
#[must_use]
pub fn of_levers(case: &Case, levers: &Levers, findings: &[Finding], interrupted: bool) -> LeversView {
    let week = Week { case, weeks: levers.weeks, nothing: levers.nothing };
    let mut rows: Vec<LeverRow> = levers.gains.iter().map(|gain| week.row(gain)).collect();
    rows.sort_by(|one, other| rank(case, one, other));
    let mut pairs: Vec<PairRow> = levers.pairs.iter().map(|pair| week.pair(pair)).collect();
    pairs.sort_by(|one, other| {
        descending(one.beyond_at_least_a_week, other.beyond_at_least_a_week)
            .then_with(|| rank(case, &one.both, &other.both))
    });
    let cycle = match levers.horizon {
        Horizon::Planned => None,
        Horizon::Repeating(weeks) => Some(weeks),
    };
    LeversView {
        title: case.name.clone(),
        cellar: case.cellar.clone(),
        unit: objective_unit(case),
        units: case.show_units,
        weeks: levers.weeks,
        cycle,
        looks_ahead: cycle.is_none() && case.calendar.look_ahead_days > 0,
        objective: objective_units(case, levers.base.objective),
        bound: levers.base.bound.map(|bound| objective_units(case, bound)),
        volume_a_week_hl: levers.base.volume.hectolitres() / levers.weeks,
        nothing_a_week: week.of(levers.nothing),
        cautions: heed(&rows, findings),
        rows,
        has_pairs: levers.all_pairs > 0,
        pairs,
        all_pairs: levers.all_pairs,
        seconds: levers.seconds,
        interrupted,
        for_ever: None,
        left_out: match cycle {
            Some(_) => left_out(case).into_iter().map(kept_up::left_out).collect(),
            None => Vec::new(),
        },
    }
}

/// What is said a week.
struct Week<'a> {
    case: &'a Case,
    weeks: f64,
    nothing: i64,
}

impl Week<'_> {
    fn of(&self, objective: i64) -> f64 {
        objective_units(self.case, objective) / self.weeks
    }

    fn row(&self, gain: &Gain) -> LeverRow {
        let [found, low, high] =
            [gain.found, gain.low, gain.high].map(|value| value.map(|value| self.of(value)));
        let contribution = gain.contribution.map(|money| money.0 as f64 / 100.0 / self.weeks);
        let price = gain.price.map(|price| price.0 as f64 / 100.0);
        // With `aim: output` only what the plans found earn is known, and nothing of it is proven.
        let (earns, least, most) = match self.case.aim {
            Aim::Orders => (found, low, high),
            Aim::Output(_) => (contribution, None, None),
        };
        let is_something = gain.state != State::Nothing;
        let costs_a_week = gain.costs_a_week.map(|money| money.0 as f64 / 100.0);
        let pays_its_week = costs_a_week.map(|costs| match (least, most) {
            (Some(least), _) if least >= costs => "yes",
            (_, Some(most)) if most < costs => "no",
            _ if !is_something && costs > 0.0 => "no",
            _ => "open",
        });
        let pays = |a_week: Option<f64>| {
            let left = a_week.map(|a_week| a_week - costs_a_week.unwrap_or(0.0));
            let a_week = left.filter(|&left| is_something && left > 0.0);
            price.zip(a_week).map(|(price, a_week)| price / a_week)
        };
        LeverRow {
            lever: words::levers(self.case, &gain.levers),
            kinds: gain.levers.iter().map(|&lever| kind(lever)).collect(),
            state: state(gain.state),
            failure: gain.failure.clone(),
            found_a_week: found,
            at_least_a_week: low,
            at_most_a_week: high,
            volume_a_week_hl: gain.volume.map(|volume| volume.hectolitres() / self.weeks),
            contribution_a_week: contribution,
            never_hurts: gain.never_hurts,
            price,
            costs_a_week,
            pays_its_week,
            payback_weeks: pays(earns),
            payback_at_least_weeks: pays(most),
            payback_at_most_weeks: pays(least),
        }
    }

    fn pair(&self, pair: &Pair) -> PairRow {
        PairRow {
            both: self.row(&pair.gain),
            beyond_at_least_a_week: pair.beyond_low.map(|low| self.of(low)),
            beyond_at_most_a_week: pair.beyond_high.map(|high| self.of(high)),
            is_more_than_sum: pair.beyond_low.is_some_and(|low| low > self.nothing),
        }
    }
}

/// The best first: by contribution, then by volume, then by what may be; what adds nothing comes last.
fn rank(case: &Case, one: &LeverRow, other: &LeverRow) -> Ordering {
    let place = |row: &LeverRow| match row.state {
        "solved" | "cut" => 0,
        "not_tried" => 1,
        "failed" => 2,
        _ => 3,
    };
    let earns = |row: &LeverRow| match case.aim {
        Aim::Orders => row.found_a_week,
        Aim::Output(_) => row.contribution_a_week,
    };
    let volume = |row: &LeverRow| match case.aim {
        Aim::Orders => row.volume_a_week_hl,
        Aim::Output(_) => row.found_a_week,
    };
    place(one)
        .cmp(&place(other))
        .then_with(|| descending(earns(one), earns(other)))
        .then_with(|| descending(volume(one), volume(other)))
        .then_with(|| descending(one.at_most_a_week, other.at_most_a_week))
}

fn descending(one: Option<f64>, other: Option<f64>) -> Ordering {
    other.unwrap_or(f64::NEG_INFINITY).total_cmp(&one.unwrap_or(f64::NEG_INFINITY))
}

fn state(state: State) -> &'static str {
    match state {
        State::Nothing => "nothing",
        State::Solved => "solved",
        State::Cut => "cut",
        State::NotTried => "not_tried",
        State::Failed => "failed",
    }
}

/// What there is one unit more of, as a word of JSON.
#[must_use]
pub fn kind(lever: Lever) -> &'static str {
    match lever {
        Lever::Vessel { .. } => "vessel",
        Lever::FirstBright { .. } => "first_bright",
        Lever::Person { .. } => "person",
        Lever::Hour { .. } => "hour",
        Lever::Turn => "turn",
        Lever::CleaningSet => "cleaning_set",
        Lever::SecondShift { .. } => "second_shift",
        Lever::Stay { .. } => "stay",
        Lever::Wait { .. } => "wait",
        Lever::Rating { .. } => "rating",
        Lever::Pump { .. } => "pump",
    }
}

fn heed(rows: &[LeverRow], findings: &[Finding]) -> Vec<Caution> {
    let mut all = cautions_of_input(findings);
    let has = |kind: &str| rows.iter().any(|row| row.kinds.contains(&kind));
    for (holds, text) in [
        (has("rating"), words::RATING),
        (has("stay") || has("wait"), words::BREWER),
        (has("vessel") || has("rating") || has("pump"), cautions::PRESSURE),
    ] {
        if holds {
            all.push(Caution { code: None, text: text.to_owned() });
        }
    }
    all
}
