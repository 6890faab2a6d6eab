//! The volumes of one discrete choice: a linear program with draws, formats, overtime, deliveries and what is left.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Aim, Carbonating};
use cellarwright_model::ids::{BeerId, CrewId, FormatId, LineId, OrderId};
use cellarwright_model::money::ready_value;
use cellarwright_model::units::{Minutes, Volume};

use super::bound::all_missed;
use super::closing::{ROLE_SETS, fixed_line_labour, fixed_line_time, is_over};
use super::facts::Facts;
use super::goods::{Chosen, choices, goods};
use super::simplex::{Linear, Sense};
use super::state::State;

/// What a vessel that is not emptied keeps at least, hL: with less it would be empty, and dirty. So much, too, is drawn at least
/// of each format on a line with changes of format by pair.
const LEAST_LEFT: f64 = 0.01;

/// What the first and the last packaging from a fermenter draw at least, as a share of what was in it.
const LEAST_DRAW: f64 = 0.1;

/// A position of a column in the linear program, by what it means.
#[derive(Clone, Debug, Default)]
pub struct Meaning {
    /// Drawn from a lot into a line in a slot, hL.
    pub draws: BTreeMap<(Slot, LineId, BeerId, usize), usize>,
    /// Filled into a format after the line's loss, hL.
    pub packs: BTreeMap<(Slot, BeerId, FormatId), usize>,
    /// Overtime in hours.
    pub overtime: BTreeMap<(Slot, CrewId), usize>,
    /// Delivered, hL.
    pub deliveries: BTreeMap<(OrderId, i64), usize>,
}

/// The best volumes of a discrete choice.
#[derive(Clone, Debug)]
pub struct Volumes {
    /// The objective, in the unit of `Breakdown::objective`.
    pub objective: f64,
    /// What the values mean.
    pub meaning: Meaning,
    /// The values.
    pub values: Vec<f64>,
}

/// The best volumes for a state at the end of the horizon; `value` is what undrawn beer is worth.
pub fn best_volumes(facts: &Facts, state: &State, value: f64) -> Option<Volumes> {
    let is_orders = facts.case.aim == Aim::Orders;
    let staying: Vec<usize> = (0..state.lots.len())
        .filter(|&lot| state.lots[lot].first.is_some() && state.lots[lot].emptied.is_none())
        .collect();
    let valued: Vec<usize> =
        staying.iter().copied().filter(|&lot| is_orders && !is_over(facts, &state.lots[lot])).collect();
    let mut best: Option<Volumes> = None;
    // The value of what is left is the larger of nothing and a concave function: both are tried for every such lot.
    for chosen in 0_u32..1 << valued.len() {
        let worth: Vec<usize> =
            (0..valued.len()).filter(|index| chosen & (1 << index) != 0).map(|index| valued[index]).collect();
        for whole in choices(facts) {
            let (linear, meaning) = program(facts, state, &worth, &whole);
            if let Some((earned, values)) = linear.solve() {
                let resort = if is_orders { 1.0 } else { 1_000.0 };
                let in_tank = if is_orders { value } else { 0.0 };
                let fixed = state.costs + resort * state.last_resort + fixed_line_labour(facts, state);
                let objective = earned + in_tank - fixed - all_missed(facts);
                if best.as_ref().is_none_or(|best| objective > best.objective) {
                    best = Some(Volumes { objective, meaning, values });
                }
            }
        }
    }
    best
}

fn program(facts: &Facts, state: &State, worth: &[usize], whole: &Chosen) -> (Linear, Meaning) {
    let mut linear = Linear::default();
    let mut meaning = Meaning::default();
    for slot in (0..facts.slots()).map(Slot) {
        runs(facts, state, slot, &mut linear, &mut meaning);
        crews(facts, state, slot, &mut linear, &mut meaning);
    }
    weeks_of_overtime(facts, &mut linear, &meaning);
    lots(facts, state, worth, &mut linear, &meaning);
    if let Some(limit) = facts.case.warm_store {
        warm_store(facts, limit, &mut linear, &meaning);
    }
    match &facts.case.aim {
        Aim::Orders => goods(facts, whole, &mut linear, &mut meaning),
        Aim::Output(mix) => {
            if let Some(mix) = mix {
                shares(facts, mix, &mut linear, &meaning);
            }
        }
    }
    (linear, meaning)
}

/// Hectolitres an hour.
fn pace(facts: &Facts, line: LineId) -> f64 {
    facts.case.line(line).pace().0 as f64 / 100_000.0
}

/// R10, R12: draws of every run add up to its formats and the line's loss.
fn runs(facts: &Facts, state: &State, slot: Slot, linear: &mut Linear, meaning: &mut Meaning) {
    let case = facts.case;
    for (&(line, beer), run) in &state.slots[slot.0].runs {
        let of = case.line(line);
        let labour = case.rates.labour.0 as f64 * of.people as f64 / pace(facts, line);
        let mut balance = Vec::new();
        let mut drawn = Vec::new();
        for &lot in &run.lots {
            let draw = linear.column(-labour);
            meaning.draws.insert((slot, line, beer, lot), draw);
            balance.push((draw, 1.0));
            drawn.push((draw, 1.0));
        }
        for &format in &run.formats {
            let kept = case.format(format).kept();
            let earn = if case.aim == Aim::Orders { 0.0 } else { 1e7 * kept };
            let pack = linear.column(earn);
            meaning.packs.insert((slot, beer, format), pack);
            balance.push((pack, -1.0));
            if !of.format_pairs.is_empty() {
                linear.row(vec![(pack, 1.0)], Sense::Least, LEAST_LEFT);
            }
        }
        linear.row(balance, Sense::Equal, of.loss.hectolitres());
        if of.least_run.0 > 0 {
            drawn.push((linear.column(-case.rates.short_run.0 as f64), 1.0));
            linear.row(drawn, Sense::Least, of.least_run.hectolitres());
        }
    }
}

/// Terms and constant of a line's time in a slot, hours.
fn line_time(
    facts: &Facts,
    state: &State,
    slot: Slot,
    line: LineId,
    meaning: &Meaning,
) -> (Vec<(usize, f64)>, f64) {
    let draws = meaning.draws.iter().filter(|(key, _)| key.0 == slot && key.1 == line);
    let terms = draws.map(|(_, &column)| (column, 1.0 / pace(facts, line))).collect();
    (terms, fixed_line_time(facts, state, slot, line) as f64 / 60.0)
}

/// R09: person-time of every set of roles, heads of every set of lines, overtime.
fn crews(facts: &Facts, state: &State, slot: Slot, linear: &mut Linear, meaning: &mut Meaning) {
    let case = facts.case;
    let work = &state.slots[slot.0];
    if work.runs.is_empty() && work.need.iter().all(|&need| need == 0) {
        return;
    }
    for id in case.crew_ids() {
        let crew = case.crew(id);
        if let Some(limit) = crew.overtime.filter(|_| facts.hours(id, slot) > Minutes::ZERO) {
            let column = linear.column(-(case.crew_people(id, slot) * limit.cost.0) as f64);
            linear.row(vec![(column, 1.0)], Sense::Most, limit.at_most.0 as f64 / 60.0);
            meaning.overtime.insert((slot, id), column);
        }
    }
    let running: Vec<LineId> =
        case.line_ids().filter(|line| work.runs.keys().any(|key| key.0 == *line)).collect();
    for roles in ROLE_SETS {
        let mut need: f64 = roles.iter().map(|&role| work.need[role as usize] as f64 / 60.0).sum();
        let mut terms = Vec::new();
        if roles.contains(&Role::Package) {
            for &line in &running {
                let people = case.line(line).people as f64;
                let (time, fixed) = line_time(facts, state, slot, line, meaning);
                terms.extend(time.into_iter().map(|(column, hours)| (column, hours * people)));
                need += fixed * people;
            }
        }
        let mut there = 0.0;
        for id in case.crew_ids() {
            let crew = case.crew(id);
            if roles.iter().any(|&role| crew.has(role)) {
                there += (case.crew_people(id, slot) * facts.hours(id, slot).0) as f64 / 60.0;
                if let Some(&column) = meaning.overtime.get(&(slot, id)) {
                    terms.push((column, -case.crew_people(id, slot) as f64));
                }
            }
        }
        if !terms.is_empty() {
            linear.row(terms, Sense::Most, there - need);
        }
    }
    heads(facts, state, slot, &running, linear, meaning);
}

fn heads(
    facts: &Facts,
    state: &State,
    slot: Slot,
    running: &[LineId],
    linear: &mut Linear,
    meaning: &Meaning,
) {
    let case = facts.case;
    let packers: Vec<CrewId> = case
        .crew_ids()
        .filter(|&id| case.crew(id).has(Role::Package) && facts.hours(id, slot) > Minutes::ZERO)
        .collect();
    let people: i64 = packers.iter().map(|&id| case.crew_people(id, slot)).sum();
    for chosen in 1_u32..1 << running.len() {
        let set: Vec<LineId> = (0..running.len())
            .filter(|index| chosen & (1 << index) != 0)
            .map(|index| running[index])
            .collect();
        let mut wanted: Vec<i64> = set.iter().map(|&line| case.line(line).people).collect();
        wanted.sort_unstable();
        let (mut together, mut sum) = (0_i64, 0);
        for heads in wanted {
            sum += heads;
            together += i64::from(sum <= people);
        }
        for &id in &packers {
            let mut terms = Vec::new();
            let mut fixed = 0.0;
            for &line in &set {
                let (time, constant) = line_time(facts, state, slot, line, meaning);
                terms.extend(time);
                fixed += constant;
            }
            if let Some(&column) = meaning.overtime.get(&(slot, id)) {
                terms.push((column, -together as f64));
            }
            let hours = facts.hours(id, slot).0 as f64 / 60.0;
            linear.row(terms, Sense::Most, together as f64 * hours - fixed);
        }
    }
}

/// R09: overtime of the people of one shift of a crew in a week from Monday to Sunday. (Whole minutes are not asked here.)
fn weeks_of_overtime(facts: &Facts, linear: &mut Linear, meaning: &Meaning) {
    let calendar = &facts.case.calendar;
    let mut weeks: BTreeMap<(CrewId, usize, i64), Vec<(usize, f64)>> = BTreeMap::new();
    for (&(slot, crew), &column) in &meaning.overtime {
        let monday = calendar.monday(facts.day(slot));
        weeks.entry((crew, calendar.shift(slot), monday)).or_default().push((column, 1.0));
    }
    for ((crew, _, _), terms) in weeks {
        if let Some(most) = facts.case.crew(crew).overtime.and_then(|limit| limit.a_week) {
            linear.row(terms, Sense::Most, most.0 as f64 / 60.0);
        }
    }
}

/// R12: what is drawn from a lot is what was in it, or leaves something.
fn lots(facts: &Facts, state: &State, worth: &[usize], linear: &mut Linear, meaning: &Meaning) {
    let case = facts.case;
    for (index, lot) in state.lots.iter().enumerate().filter(|(_, lot)| lot.first.is_some()) {
        let draws = meaning.draws.iter().filter(|(key, _)| key.3 == index);
        let mut terms: Vec<(usize, f64)> = draws.map(|(_, &column)| (column, 1.0)).collect();
        if lot.emptied.is_none() {
            let left = linear.column(0.0);
            terms.push((left, 1.0));
            linear.row(vec![(left, 1.0)], Sense::Least, LEAST_LEFT);
            if worth.contains(&index) {
                let beer = case.beer(lot.beer);
                let value = linear.column(1.0);
                let price = ready_value(case, beer).0 as f64;
                for packaged in &beer.packaged {
                    let format = case.format(packaged.format);
                    let kept = format.kept();
                    let loss = case.line(format.line).loss.hectolitres();
                    let terms = vec![(value, 1.0), (left, -price * kept)];
                    linear.row(terms, Sense::Most, -price * kept * loss);
                }
            }
        }
        linear.row(terms, Sense::Equal, lot.volume.hectolitres());
        if lot.is_direct {
            for slot in [lot.first, lot.emptied].into_iter().flatten() {
                let draws = meaning.draws.iter().filter(|(key, _)| key.0 == slot && key.3 == index);
                let least = LEAST_DRAW * lot.volume.hectolitres();
                linear.row(draws.map(|(_, &column)| (column, 1.0)).collect(), Sense::Least, least);
            }
        }
    }
}

/// R26: what is packaged by a day and there after it stands warm, beside what does since before day 0.
fn warm_store(facts: &Facts, limit: Volume, linear: &mut Linear, meaning: &Meaning) {
    let case = facts.case;
    let warm = |beer: BeerId| case.beer(beer).carbonating == Carbonating::InPackage;
    for day in 0..facts.days() {
        let mut terms = Vec::new();
        for (&(slot, beer, format), &column) in &meaning.packs {
            let packaged = facts.day(slot);
            if warm(beer) && packaged <= day && facts.there_from(beer, packaged) > day {
                terms.push((column, case.format(format).kept()));
            }
        }
        let before = case.stock.iter().filter(|stock| warm(stock.beer) && stock.from > day);
        let before: f64 = before.map(|stock| stock.quantity.hectolitres()).sum();
        linear.row(terms, Sense::Most, (limit.hectolitres() - before).max(0.0));
    }
}

/// The mix of an output plan.
fn shares(facts: &Facts, mix: &cellarwright_model::case::Mix, linear: &mut Linear, meaning: &Meaning) {
    for share in &mix.shares {
        for (sign, limit) in [(1.0, mix.tolerance.as_fraction()), (-1.0, mix.tolerance.as_fraction())] {
            let terms = meaning.packs.iter().map(|(&(_, beer, format), &column)| {
                let kept = facts.case.format(format).kept();
                let is_meant = beer == share.beer && share.format.is_none_or(|meant| meant == format);
                let own = if is_meant { 1.0 } else { 0.0 };
                (column, kept * (sign * (own - share.share.as_fraction()) - limit))
            });
            linear.row(terms.collect(), Sense::Most, 0.0);
        }
    }
}
