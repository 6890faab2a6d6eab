//! R23 hours of the day: the work of every shift is put in order, with a clock time for each piece.
//!
//! The program counts totals. Here each shift of its plan becomes jobs (`shift`), which a search puts in order (`search`, with
//! `people` for who does what). A shift without an order is forbidden by a cut (`compile/rules/hours.rs`, with
//! `proof` for what is proven) and the program solved again (`rounds`).

mod job;
mod people;
mod proof;
mod rounds;
mod search;
mod shift;
#[cfg(test)]
mod tests;

pub use rounds::{Outcome, solve};

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Vessel};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Plan, Task, Work};
use cellarwright_model::units::Minutes;

use crate::compile::rules::bright_rest;

use search::Order;
use shift::{Busy, Planned, Whole};

/// Orders of a shift's brewing tasks that are tried at most.
const MOST_TURN_ORDERS: usize = 24;

/// A shift for which no order was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trouble {
    pub slot: Slot,
}

/// Gives every task of a plan its beginning, shift by shift, and puts them in the order of time.
/// Where a shift has no order, its tasks keep none.
pub fn put_in_order(case: &Case, plan: &mut Plan) -> Vec<Trouble> {
    let mut troubles = Vec::new();
    let mut begins: Vec<Option<i64>> = vec![None; plan.tasks.len()];
    let mut busy: Vec<Busy> = Vec::new();
    let whole = Whole::new(case, plan);
    let slots: Vec<Slot> = whole.by_slot.keys().copied().collect();
    for (number, &slot) in slots.iter().enumerate() {
        let start = case.calendar.start(slot).0;
        let brews_next = slots[number + 1..].iter().find(|&&later| has_brews(&whole, later));
        let wanted = brews_next.map_or(i64::MAX / 4, |&later| case.calendar.start(later).0 - start);
        match order_of(&whole, slot, &busy, wanted) {
            Some((planned, times)) => {
                for (tasks, begin) in planned.tasks.iter().zip(&times) {
                    for &(position, offset) in tasks {
                        begins[position] = Some(begin + offset);
                    }
                }
                busy.extend(planned.busy(&times, start));
            }
            None => troubles.push(Trouble { slot }),
        }
    }
    for (task, begin) in plan.tasks.iter_mut().zip(begins) {
        task.begins = begin.map(Minutes);
    }
    sort(case, plan);
    troubles
}

fn has_brews(whole: &Whole, slot: Slot) -> bool {
    whole.tasks(slot).iter().any(|&position| matches!(whole.plan.tasks[position].work, Work::Brew { .. }))
}

/// When the last turn of a shift is over.
fn brewing_over(planned: &Planned, times: &[i64]) -> Option<i64> {
    let ends = planned.brews.iter().map(|&job| {
        let holds = planned.shift.jobs[job].holds.iter();
        times[job] + holds.map(|hold| hold.to).max().unwrap_or(0)
    });
    ends.max()
}

/// An order of a slot in which brewing is over by `wanted`, or else as early as can be.
fn order_of(whole: &Whole, slot: Slot, before: &[Busy], wanted: i64) -> Option<(Planned, Vec<i64>)> {
    let mut best: Option<(i64, Planned, Vec<i64>)> = None;
    for turns in turn_orders(whole, slot) {
        let planned = shift::read(whole, slot, &turns, before);
        let Order::Found(times) = search::order(&planned.shift) else { continue };
        let over = brewing_over(&planned, &times).unwrap_or(0);
        let (over, times) = if over > wanted { sooner(&planned, over, times, wanted) } else { (over, times) };
        if best.as_ref().is_none_or(|(before, _, _)| over < *before) {
            best = Some((over, planned, times));
        }
        if over <= wanted {
            break;
        }
    }
    best.map(|(_, planned, times)| (planned, times))
}

/// The earliest end of brewing for which an order is found, down to what is wanted.
fn sooner(planned: &Planned, over: i64, times: Vec<i64>, wanted: i64) -> (i64, Vec<i64>) {
    let Some(&last) = planned.brews.last() else { return (over, times) };
    let takes = planned.shift.jobs[last].holds.iter().map(|hold| hold.to).max().unwrap_or(0);
    let (mut least, mut best) = (wanted, (over, times));
    while least < best.0 {
        let middle = least + (best.0 - least).div_euclid(2);
        let mut tighter = planned.shift.clone();
        tighter.jobs[last].latest = middle - takes;
        match search::order(&tighter) {
            Order::Found(times) => {
                let over = brewing_over(planned, &times).unwrap_or(middle);
                best = (over, times);
            }
            Order::None | Order::Unknown => least = middle + 1,
        }
    }
    best
}

/// Orders of a slot's brewing tasks: all of them, as long as they are few.
fn turn_orders(whole: &Whole, slot: Slot) -> Vec<Vec<usize>> {
    let is_brew = |position: &&usize| matches!(whole.plan.tasks[**position].work, Work::Brew { .. });
    let brews: Vec<usize> = whole.tasks(slot).iter().filter(is_brew).copied().collect();
    let mut orders: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..brews.len() {
        let mut longer = Vec::new();
        for order in &orders {
            for brew in brews.iter().filter(|brew| !order.contains(brew)) {
                let mut order = order.clone();
                order.push(*brew);
                longer.push(order);
            }
        }
        if longer.len() > MOST_TURN_ORDERS {
            return vec![brews];
        }
        orders = longer;
    }
    orders
}

/// Tasks in the order of time; brewing by when its first wort runs into the vessel, after what makes the vessel ready, and a
/// transfer by when its beer runs.
fn sort(case: &Case, plan: &mut Plan) {
    let mut first_of_day = std::collections::BTreeMap::new();
    for task in &plan.tasks {
        if let (Work::Brew { .. }, Some(begins)) = (task.work, task.begins) {
            let time = case.calendar.start(task.slot) + begins;
            let first = first_of_day.entry(case.calendar.day(task.slot)).or_insert(time);
            *first = time.min(*first);
        }
    }
    let transfers: Vec<Task> =
        plan.tasks.iter().filter(|task| matches!(task.work, Work::Transfer { .. })).copied().collect();
    let touches = |task: &Task| {
        let begins = task.begins.unwrap_or_default();
        if let Work::Transfer { to, full, .. } = task.work {
            return begins + made_fit_first(task, (to, &case.vessel(to).cleaned(full)), &transfers);
        }
        let Work::Brew { beer, .. } = task.work else { return begins };
        let is_first = first_of_day.get(&case.calendar.day(task.slot)).copied()
            == Some(case.calendar.start(task.slot) + begins);
        let brewhouse = &case.brewhouse;
        let turn = if is_first { brewhouse.first_turn.takes } else { brewhouse.next_turn.takes };
        begins + case.beer(beer).brewing.longer.takes + turn - brewhouse.knock_out.min(turn)
    };
    // Pitching has no time: it comes last, after the brew of its batch and the crop that it is from.
    let is_pitch = |task: &Task| matches!(task.work, Work::Pitch { .. });
    plan.tasks.sort_by_key(|task| (task.slot, is_pitch(task), touches(task)));
}

/// Clock time of what a transfer begins with: cleaning and purging the vessel that it is the first to fill in its shift.
fn made_fit_first(task: &Task, (to, vessel): (VesselId, &Vessel), transfers: &[Task]) -> Minutes {
    let is_before = |other: &Task| {
        let fills_it = matches!(other.work, Work::Transfer { to: vessel, .. } if vessel == to);
        fills_it && other.slot == task.slot && other.begins < task.begins
    };
    if transfers.iter().any(is_before) {
        return Minutes::ZERO;
    }
    bright_rest::before_fill(vessel)
}

/// Beginnings that heed neither people nor machines, for tests of the checker.
pub fn put_carelessly(case: &Case, plan: &mut Plan) {
    let mut begins: Vec<Option<i64>> = vec![None; plan.tasks.len()];
    let whole = Whole::new(case, plan);
    for &slot in whole.by_slot.keys() {
        let Some(turns) = turn_orders(&whole, slot).into_iter().next() else { continue };
        let mut planned = shift::read(&whole, slot, &turns, &[]);
        for job in &mut planned.shift.jobs {
            job.holds.clear();
            job.hands.clear();
            job.latest = i64::MAX / 4;
        }
        if let Order::Found(times) = search::order(&planned.shift) {
            for (tasks, begin) in planned.tasks.iter().zip(&times) {
                for &(position, offset) in tasks {
                    begins[position] = Some(begin + offset);
                }
            }
        }
    }
    for (task, begin) in plan.tasks.iter_mut().zip(begins) {
        task.begins = begin.map(Minutes);
    }
    sort(case, plan);
}
