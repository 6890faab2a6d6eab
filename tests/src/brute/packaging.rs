//! Which vessel feeds which line and format in a slot, and which vessels are empty after it. Volumes come at the end.

use std::collections::BTreeSet;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::units::Minutes;

use super::facts::Facts;
use super::full_clean;
use super::moving::{is_forced, may_begin_to_leave, wait};
use super::state::{Content, Emptied, Empty, Gas, Leaving, Lot, State, per_hectolitre};

/// Working days within which a fermenter is packaged empty after the first packaging (R22).
const PACKAGING_DAYS: i64 = 3;

/// All ways to package in a slot, doing nothing included.
pub fn packaging(facts: &Facts, state: &State, slot: Slot) -> Vec<State> {
    if !facts.works(Role::Package, slot) {
        return vec![state.clone()];
    }
    let mut states = vec![state.clone()];
    for vessel in facts.case.vessel_ids() {
        let mut more = Vec::new();
        for state in &states {
            draw_from(facts, state, slot, vessel, &mut more);
        }
        states = more;
    }
    let mut found = Vec::new();
    for state in states {
        choose_formats(facts, state, slot, &mut found);
    }
    found.retain(|state| beers_can_follow(facts, state, slot));
    found
}

/// Adds the states in which a vessel feeds no line, or some lines, and is empty afterwards or not.
fn draw_from(facts: &Facts, state: &State, slot: Slot, vessel: VesselId, found: &mut Vec<State>) {
    found.push(state.clone());
    let mut begun = state.clone();
    let Some(lot) = lot_of(facts, &mut begun, slot, vessel) else {
        return;
    };
    let state = begun;
    let beer = state.lots[lot].beer;
    let lines: Vec<LineId> = lines_of(facts, beer)
        .into_iter()
        .filter(|&line| {
            facts.may_feed(beer, vessel, line) && people_there(facts, slot) >= facts.case.line(line).people
        })
        .collect();
    for chosen in 1_u32..1 << lines.len() {
        for is_last in [false, true] {
            let mut next = state.clone();
            for (index, &line) in lines.iter().enumerate() {
                if chosen & (1 << index) != 0 {
                    next.slots[slot.0].runs.entry((line, beer)).or_default().lots.insert(lot);
                }
            }
            next.lots[lot].first.get_or_insert(slot);
            if is_last && !close(facts, &mut next, slot, lot) {
                continue;
            }
            found.push(next);
        }
    }
}

/// The lot in a vessel if it can be packaged from in a slot; begins the direct route where that is due.
fn lot_of(facts: &Facts, state: &mut State, slot: Slot, vessel: VesselId) -> Option<usize> {
    let case = facts.case;
    match state.vessels[vessel.0].clone() {
        Content::Empty(_) => None,
        Content::Lot(index) => {
            let lot = state.lots[index];
            let rested = lot.filled_in.is_none_or(|filled| {
                let gas =
                    if is_forced(facts, lot.beer) { facts.carbonating(lot.beer) } else { Minutes::ZERO };
                let tank = case.vessel(vessel);
                let clean = full_clean::job(facts, state, filled, vessel).takes;
                let clean = if facts.is_apart(vessel) { Minutes::ZERO } else { clean };
                let before = clean + tank.purge.job.takes;
                let filling = Minutes(case.transfer.takes().0 * lot.transfers);
                let work = before + filling + gas;
                filled < slot && facts.start(slot) >= facts.start(filled) + work
            });
            let end = lot.filled + case.beer(lot.beer).bright_must_leave;
            (rested && (lot.is_opening || facts.day(slot) <= end)).then_some(index)
        }
        Content::Batch(batch) => match batch.leaving {
            Leaving::Stages { .. } => None,
            Leaving::Direct(index) => {
                let first = batch.parted.or(state.lots[index].first)?;
                let days = facts.working_days(Role::Package, facts.day(first), facts.day(slot));
                (days <= PACKAGING_DAYS).then_some(index)
            }
            Leaving::NotYet | Leaving::Parted => {
                let beer = case.beer(batch.beer);
                let gassed = match batch.gas {
                    Gas::None => !is_forced(facts, batch.beer),
                    Gas::Opening => true,
                    Gas::In(carbonated) => facts.carbonated_in_time(batch.beer, carbonated, slot),
                };
                let may = beer.direct
                    && case.vessel(vessel).uses.package
                    && gassed
                    && match batch.parted {
                        Some(parted) => packaging_in_time(facts, parted, facts.day(slot)),
                        None => may_begin_to_leave(facts, &batch, slot),
                    };
                if !may {
                    return None;
                }
                if batch.parted.is_none() {
                    wait(facts, state, &batch, facts.day(slot));
                }
                let index = state.lots.len();
                state.lots.push(Lot {
                    vessel,
                    beer: batch.beer,
                    volume: beer.loss_direct.taken_off(batch.volume),
                    transfers: 0,
                    is_open: false,
                    is_direct: true,
                    is_opening: batch.is_opening(),
                    filled: batch.on,
                    filled_in: None,
                    first: None,
                    emptied: None,
                });
                let mut batch = batch;
                batch.leaving = Leaving::Direct(index);
                state.vessels[vessel.0] = Content::Batch(batch);
                Some(index)
            }
        },
    }
}

/// The last packaging from a lot; false past its hard end.
fn close(facts: &Facts, state: &mut State, slot: Slot, lot: usize) -> bool {
    let day = facts.day(slot);
    state.lots[lot].emptied = Some(slot);
    let lot = state.lots[lot];
    if !lot.is_direct && !bright_wait(facts, state, &lot, day) {
        return false;
    }
    let emptied = Emptied { slot: Some(slot), day, by_transfer: false, is_late: false, beer: Some(lot.beer) };
    state.vessels[lot.vessel.0] = Content::Empty(Empty { cleaned: None, again: None, emptied });
    true
}

/// R05 for bright tanks: costs of waiting until a day; false past the hard end.
pub fn bright_wait(facts: &Facts, state: &mut State, lot: &Lot, until: i64) -> bool {
    let beer = facts.case.beer(lot.beer);
    let rates = &facts.case.rates;
    let waited = until - lot.filled;
    state.costs += per_hectolitre((waited - beer.bright_wait).max(0) * rates.waiting.0, lot.volume);
    let over = (waited - beer.bright_must_leave).max(0);
    state.last_resort += per_hectolitre(over * rates.over_limit.0, lot.volume);
    lot.is_opening || over == 0
}

/// Whether a fermenter that is packaged from may still hold beer after a day (R22).
pub fn packaging_in_time(facts: &Facts, first: Slot, day: i64) -> bool {
    facts.working_days(Role::Package, facts.day(first), day) <= PACKAGING_DAYS
}

fn lines_of(facts: &Facts, beer: BeerId) -> BTreeSet<LineId> {
    let packaged = &facts.case.beer(beer).packaged;
    packaged.iter().map(|packaged| facts.case.format(packaged.format).line).collect()
}

/// Heads of all crews with the packaging role in a slot.
pub fn people_there(facts: &Facts, slot: Slot) -> i64 {
    let case = facts.case;
    case.crew_ids()
        .filter(|&crew| case.crew(crew).has(Role::Package) && facts.hours(crew, slot).0 > 0)
        .map(|crew| case.crew_people(crew, slot))
        .sum()
}

/// Adds a state for every choice of formats of the runs of a slot.
fn choose_formats(facts: &Facts, state: State, slot: Slot, found: &mut Vec<State>) {
    let runs: Vec<(LineId, BeerId)> = state.slots[slot.0].runs.keys().copied().collect();
    let mut states = vec![state];
    for (line, beer) in runs {
        let formats: Vec<FormatId> = facts
            .case
            .beer(beer)
            .packaged
            .iter()
            .map(|packaged| packaged.format)
            .filter(|&format| facts.case.format(format).line == line)
            .collect();
        let mut more = Vec::new();
        for state in &states {
            for chosen in 1_u32..1 << formats.len() {
                let mut next = state.clone();
                let some = formats.iter().enumerate().filter(|(index, _)| chosen & (1 << index) != 0);
                if let Some(run) = next.slots[slot.0].runs.get_mut(&(line, beer)) {
                    run.formats = some.map(|(_, &format)| format).collect();
                }
                more.push(next);
            }
        }
        states = more;
    }
    found.append(&mut states);
}

/// R10: whether the beers and formats of every line have an order in which none follows one that it may not follow.
fn beers_can_follow(facts: &Facts, state: &State, slot: Slot) -> bool {
    facts.case.line_ids().all(|line| order_of_line(facts, state, slot, line).is_some())
}

/// The beers of a line in a slot, each with its formats, in the order of least changes, and the minutes of these.
pub type LineOrder = (i64, Vec<(BeerId, Vec<FormatId>)>);

/// The order of least changes that keeps to `never_after` and to the pairs of formats; none if there is no order.
pub fn order_of_line(facts: &Facts, state: &State, slot: Slot, line: LineId) -> Option<LineOrder> {
    let runs = &state.slots[slot.0].runs;
    let beers: Vec<BeerId> = runs.keys().filter(|key| key.0 == line).map(|key| key.1).collect();
    let never = &facts.case.line(line).never_after;
    let mut best: Option<LineOrder> = None;
    for order in orders(&beers) {
        let is_wrong = order
            .windows(2)
            .any(|pair| never.iter().any(|never| never.after == pair[0] && never.beer == pair[1]));
        if is_wrong {
            continue;
        }
        let mut ways: Vec<Vec<(BeerId, Vec<FormatId>)>> = vec![Vec::new()];
        for beer in order {
            let formats: Vec<FormatId> = runs[&(line, beer)].formats.iter().copied().collect();
            // Without pairs of formats their order means nothing.
            let by_pair = !facts.case.line(line).format_pairs.is_empty();
            let inner = if by_pair { orders(&formats) } else { vec![formats] };
            let longer = |way: &Vec<_>| {
                let way = way.clone();
                inner.iter().map(move |formats| [way.clone(), vec![(beer, formats.clone())]].concat())
            };
            ways = ways.iter().flat_map(longer).collect();
        }
        for way in ways {
            let Some(minutes) = changes(facts, line, &way) else { continue };
            if best.as_ref().is_none_or(|known| minutes < known.0) {
                best = Some((minutes, way));
            }
        }
    }
    best
}

/// Minutes of all changes of a line that runs in an order; none if one of them is never made.
fn changes(facts: &Facts, line: LineId, way: &[(BeerId, Vec<FormatId>)]) -> Option<i64> {
    let of = facts.case.line(line);
    let fillings: Vec<(BeerId, FormatId)> =
        way.iter().flat_map(|(beer, formats)| formats.iter().map(|&format| (*beer, format))).collect();
    let mut minutes = 0;
    for pair in fillings.windows(2) {
        let ((beer, format), (next, into)) = (pair[0], pair[1]);
        let said = of.format_pairs.iter().find(|pair| (pair.from, pair.to) == (format, into));
        minutes += match said {
            Some(pair) if beer == next => pair.takes?.0,
            Some(pair) => pair.takes?.0.max(of.change_beer.0),
            None if beer == next => of.change_format.0,
            None => of.change_beer.0,
        };
    }
    Some(minutes)
}

fn orders<T: Copy>(beers: &[T]) -> Vec<Vec<T>> {
    if beers.is_empty() {
        return vec![Vec::new()];
    }
    let mut found = Vec::new();
    for (index, &first) in beers.iter().enumerate() {
        let mut rest = beers.to_vec();
        rest.remove(index);
        for mut order in orders(&rest) {
            order.insert(0, first);
            found.push(order);
        }
    }
    found
}
