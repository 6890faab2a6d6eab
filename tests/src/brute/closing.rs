//! The end of a slot, of a day and of the horizon: hours, cleaning sets, dirty vessels, what is left.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::Reach;
use cellarwright_model::money::in_tank_value;
use cellarwright_model::units::{Minutes, Volume};

use super::facts::Facts;
use super::filling::sizes_are_good;
use super::moving::{stages_in_time, wait};
use super::packaging::{bright_wait, order_of_line, packaging_in_time};
use super::state::{Batch, Content, Leaving, State, per_hour};
use super::tank_work;

/// The sets of roles that are tested (R09): every one that is not empty.
pub const ROLE_SETS: [&[Role]; 7] = [
    &[Role::Brew],
    &[Role::Cellar],
    &[Role::Package],
    &[Role::Brew, Role::Cellar],
    &[Role::Brew, Role::Package],
    &[Role::Cellar, Role::Package],
    &[Role::Brew, Role::Cellar, Role::Package],
];

/// Ends a slot: counts brewing, tests what can be tested without volumes. False if the slot breaks a rule.
pub fn close_slot(facts: &Facts, state: &mut State, slot: Slot) -> bool {
    let case = facts.case;
    brewing_crew(facts, state, slot);
    let work = &state.slots[slot.0];
    let mut cleaning = work.cleaning.clone();
    for line in case.line_ids() {
        if work.runs.keys().any(|key| key.0 == line) {
            *cleaning.entry(case.line(line).reach).or_default() += case.line(line).clean_down;
        }
    }
    if !sets_suffice(facts, slot, &cleaning) || !crews_suffice(facts, state, slot) {
        return false;
    }
    if state.lots.iter().any(|lot| lot.is_open) || !sizes_are_good(facts, state, slot) {
        return false;
    }
    let is_last_shift = case.calendar.shift(slot) + 1 == case.calendar.shifts.len();
    if is_last_shift {
        let day = facts.day(slot);
        return dirty(facts, state, day) && leaving_in_time(facts, state, day);
    }
    true
}

/// R08: whether the cleans of a slot can be shared out among the sets that can do them: for every choice of named sets, what
/// only they can do fits in their hours.
fn sets_suffice(facts: &Facts, slot: Slot, cleaning: &BTreeMap<Reach, Minutes>) -> bool {
    let clock = facts.clock(slot).0;
    let whole: i64 = cleaning.values().map(|time| time.0).sum();
    let named = facts.case.cleaning.named.len();
    whole <= facts.case.cleaning_sets * clock
        && (1..1_u64 << named).all(|chosen| {
            let only = cleaning.iter().filter(|(reach, _)| reach.0 & !chosen == 0);
            only.map(|(_, time)| time.0).sum::<i64>() <= i64::from(chosen.count_ones()) * clock
        })
}

fn brewing_crew(facts: &Facts, state: &mut State, slot: Slot) {
    let shifts = facts.case.calendar.shifts.len();
    let turns = state.slots[slot.0].turns;
    if turns == 0 {
        return;
    }
    let first_of_day = slot.0 - slot.0 % shifts;
    let is_first = state.slots[first_of_day..slot.0].iter().all(|work| work.turns == 0);
    let brewhouse = &facts.case.brewhouse;
    for turn in 0..turns {
        let job = if is_first && turn == 0 { &brewhouse.first_turn } else { &brewhouse.next_turn };
        state.job(facts, slot, job);
    }
}

/// Person-minutes of the crews that have one of the roles in a slot, overtime included.
fn capacity(facts: &Facts, slot: Slot, roles: &[Role]) -> i64 {
    let case = facts.case;
    let mut sum = 0;
    for id in case.crew_ids() {
        let crew = case.crew(id);
        let hours = facts.hours(id, slot);
        if hours > Minutes::ZERO && roles.iter().any(|&role| crew.has(role)) {
            sum += case.crew_people(id, slot)
                * (hours + crew.overtime.map_or(Minutes::ZERO, |limit| limit.at_most)).0;
        }
    }
    sum
}

/// Clock minutes of a line in a slot whatever the volumes.
pub fn fixed_line_time(
    facts: &Facts,
    state: &State,
    slot: Slot,
    line: cellarwright_model::ids::LineId,
) -> i64 {
    let line_of = facts.case.line(line);
    if !state.slots[slot.0].runs.keys().any(|key| key.0 == line) {
        return 0;
    }
    let changes = order_of_line(facts, state, slot, line).map_or(0, |(minutes, _)| minutes);
    line_of.start_up.0 + line_of.clean_down.0 + changes
}

fn crews_suffice(facts: &Facts, state: &State, slot: Slot) -> bool {
    let case = facts.case;
    let mut need = state.slots[slot.0].need;
    for line in case.line_ids() {
        need[Role::Package as usize] += case.line(line).people * fixed_line_time(facts, state, slot, line);
    }
    ROLE_SETS.iter().all(|roles| {
        let wanted: i64 = roles.iter().map(|&role| need[role as usize]).sum();
        wanted == 0 || wanted <= capacity(facts, slot, roles)
    })
}

/// R08: fermenters that stay dirty longer than the first working day. False if one does so beyond the hard end.
fn dirty(facts: &Facts, state: &mut State, day: i64) -> bool {
    let (mut count, mut in_time) = (0, true);
    for vessel in facts.case.vessel_ids() {
        if let Content::Empty(empty) = &state.vessels[vessel.0] {
            let is_dirty = facts.is_apart(vessel) && empty.cleaned.is_none();
            if is_dirty && facts.working_days(Role::Cellar, empty.emptied.day, day) >= 2 {
                count += 1;
            }
            let days = facts.working_days(Role::Cellar, empty.emptied.day, day);
            let is_late = facts.case.cleaning.clean_within.is_some_and(|within| days >= within);
            in_time &= !(is_dirty && is_late && empty.emptied.day >= 0);
        }
    }
    state.costs += f64::from(count) * facts.case.rates.dirty.0 as f64;
    in_time
}

/// R22: whether what has begun to leave may still be there after a day.
fn leaving_in_time(facts: &Facts, state: &State, day: i64) -> bool {
    state.vessels.iter().all(|content| match content {
        Content::Batch(batch) => match &batch.leaving {
            Leaving::NotYet => true,
            Leaving::Stages { first, .. } => stages_in_time(facts, *first, day),
            Leaving::Parted => batch.parted.is_none_or(|first| packaging_in_time(facts, first, day)),
            Leaving::Direct(lot) => batch
                .parted
                .or(state.lots[*lot].first)
                .is_none_or(|first| packaging_in_time(facts, first, day)),
        },
        Content::Empty(_) | Content::Lot(_) => true,
    })
}

/// Value in cents of beer in fermenters at the end, those packaged from excepted.
pub fn value_of_batch(facts: &Facts, batch: &Batch) -> f64 {
    let case = facts.case;
    let volume = match &batch.leaving {
        Leaving::NotYet => batch.volume,
        Leaving::Stages { pending, .. } => pending.iter().map(|&(_, leaves)| leaves).sum::<Volume>(),
        Leaving::Direct(_) | Leaving::Parted => return 0.0,
    };
    let begun = matches!(batch.leaving, Leaving::Stages { .. });
    let over = !begun && facts.days() > batch.on + case.beer(batch.beer).must_leave;
    if over {
        return 0.0;
    }
    let elapsed = facts.days().min(batch.ready) - batch.on;
    in_tank_value(case, batch.beer, volume, false, elapsed, batch.ready - batch.on).0 as f64
}

/// Ends the horizon: waiting of what is left. Returns the value of what is left but for lots drawn from; none if a rule is broken.
pub fn close_horizon(facts: &Facts, state: &mut State) -> Option<f64> {
    let mut value = 0.0;
    for vessel in facts.case.vessel_ids() {
        match state.vessels[vessel.0].clone() {
            Content::Empty(_) => {}
            Content::Batch(mut batch) => {
                // What was begun so is packaged from within the horizon: a restriction of the program.
                if matches!(batch.leaving, Leaving::Parted) {
                    return None;
                }
                if matches!(batch.leaving, Leaving::NotYet) {
                    batch.ready += tank_work::late_at_best(facts, &batch)?;
                    if !batch.is_opening() && facts.days() > batch.on + facts.case.beer(batch.beer).must_leave
                    {
                        return None;
                    }
                    wait(facts, state, &batch, facts.days());
                }
                value += value_of_batch(facts, &batch);
            }
            Content::Lot(index) => {
                let lot = state.lots[index];
                if !bright_wait(facts, state, &lot, facts.days()) {
                    return None;
                }
                if lot.first.is_none() && !is_over(facts, &lot) {
                    value += in_tank_value(facts.case, lot.beer, lot.volume, true, 1, 1).0 as f64;
                }
            }
        }
    }
    Some(value)
}

/// Whether a bright lot is over its hard end when the horizon ends: then it is worth nothing.
pub fn is_over(facts: &Facts, lot: &super::state::Lot) -> bool {
    !lot.is_direct && facts.days() > lot.filled + facts.case.beer(lot.beer).bright_must_leave
}

/// Labour in cents of the lines' fixed times in all slots.
pub fn fixed_line_labour(facts: &Facts, state: &State) -> f64 {
    let mut cents = 0.0;
    for slot in (0..facts.slots()).map(Slot) {
        if state.slots[slot.0].runs.is_empty() {
            continue;
        }
        for line in facts.case.line_ids() {
            let minutes = facts.case.line(line).people * fixed_line_time(facts, state, slot, line);
            cents += per_hour(facts.case.rates.labour.0, minutes);
        }
    }
    cents
}
