//! The best plan of a tiny case by trying everything, written from the readings in DEVELOPERS.md alone.
//!
//! The search goes slot by slot: in each slot it tries every way to package, to do tank work, to transfer, to carbonate, to clean and to
//! brew, in this order, which is also the order of work within a slot. What is discrete is tried out; the volumes of a
//! finished choice (draws, formats, overtime, deliveries) are the optimum of a small linear program, so nothing is
//! on a grid. A choice is given up when even the best price for all its beer cannot beat the best plan so far.
//!
//! Restrictions, the same as the program's: of a batch that leaves on both routes one transfer fills a tank or brings it to its least; a split
//! batch fills its tanks in proportion to what they hold. Besides: no look-ahead, no limit of sales, nothing is dumped (the cases make dumping dearer than keeping).

mod away;
mod blending;
mod bound;
mod closing;
mod facts;
mod filling;
mod full_clean;
mod goods;
mod heat;
mod leaf;
mod moving;
mod packaging;
mod pins;
mod plan;
pub mod simplex;
mod state;
mod tank_work;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::{OrderId, VesselId};
use cellarwright_model::plan::Plan;

use away::keeps_outages;
use bound::bound;
use closing::{close_horizon, close_slot};
use facts::Facts;
use leaf::{Volumes, best_volumes};
use state::State;

/// The optimum found by trying everything.
#[derive(Clone, Debug)]
pub struct Optimum {
    /// The objective in the unit of `Breakdown::objective`, without the rounding of parts.
    pub objective: f64,
    /// A plan that reaches it.
    pub plan: Plan,
    /// Choices whose volumes were optimised.
    pub tried: usize,
    /// States looked at.
    pub states: usize,
}

/// All ways to go on with one vessel in a slot.
type Step = fn(&Facts, &State, Slot, VesselId) -> Vec<State>;

struct Search<'a> {
    facts: Facts<'a>,
    best: Option<(Volumes, State)>,
    tried: usize,
    states: usize,
    limit: usize,
}

/// The best plan of a case; none if the search looks at more than `limit` states or no plan keeps the rules.
#[must_use]
pub fn best_plan(case: &Case, limit: usize) -> Option<Optimum> {
    search(case, limit).0
}

/// The best plan of a case, none if no plan keeps the rules; and whether everything was tried within `limit` states.
#[must_use]
pub fn search(case: &Case, limit: usize) -> (Option<Optimum>, bool) {
    search_filling(case, &[], limit)
}

/// The same among the plans that deliver some orders, due in the horizon, in full on their due days.
#[must_use]
pub fn search_filling(case: &Case, orders: &[OrderId], limit: usize) -> (Option<Optimum>, bool) {
    let mut facts = Facts::new(case);
    facts.filled = orders.to_vec();
    let mut search = Search { facts, best: None, tried: 0, states: 0, limit };
    let opening = State::opening(&search.facts);
    search.go_on(&opening, Slot(0));
    if search.states > limit {
        return (None, false);
    }
    let best = search.best.map(|(volumes, state)| {
        let plan = plan::plan(&search.facts, &state, &volumes);
        Optimum { objective: volumes.objective, plan, tried: search.tried, states: search.states }
    });
    (best, true)
}

impl Search<'_> {
    fn go_on(&mut self, state: &State, slot: Slot) {
        if slot.0 == self.facts.slots() {
            self.finish(state.clone());
            return;
        }
        let mut next: Vec<(f64, State)> = self
            .after_slot(state, slot)
            .into_iter()
            .map(|state| (bound(&self.facts, &state, slot), state))
            .collect();
        next.sort_by(|one, other| other.0.total_cmp(&one.0));
        for (most, state) in next {
            if self.states > self.limit {
                return;
            }
            self.states += 1;
            if self.can_beat(most) {
                self.go_on(&state, Slot(slot.0 + 1));
            }
        }
    }

    /// Whether a bound leaves anything to win: a thousandth of a cent, a millilitre.
    fn can_beat(&self, most: f64) -> bool {
        let step = if self.facts.case.aim == Aim::Orders { 1e-3 } else { 1.0 };
        self.best.as_ref().is_none_or(|(best, _)| most > best.objective + step)
    }

    /// Every state after a slot that keeps the rules.
    fn after_slot(&self, state: &State, slot: Slot) -> Vec<State> {
        let facts = &self.facts;
        let mut states = packaging::packaging(facts, state, slot);
        let once: &[Step] = &[
            tank_work::tank_work,
            moving::transfers,
            moving::carbonating,
            filling::cleaning,
            filling::brewing,
        ];
        // Where vessels are filled by transfers that must be cleaned before, the slot has two rounds.
        let twice: &[Step] = &[
            tank_work::tank_work,
            moving::transfers,
            filling::cleaning,
            moving::late_transfers,
            filling::late_cleaning,
            moving::carbonating,
            filling::brewing,
        ];
        let has_rounds = facts.case.vessel_ids().any(|vessel| facts.may_be_moved_into(vessel));
        for vessel in facts.case.vessel_ids() {
            states = states.iter().flat_map(|state| full_clean::settle(facts, state, slot, vessel)).collect();
        }
        for &step in if has_rounds { twice } else { once } {
            for vessel in facts.case.vessel_ids() {
                states = states.iter().flat_map(|state| step(facts, state, slot, vessel)).collect();
            }
        }
        states.iter_mut().for_each(|state| state.is_late = false);
        states.retain(|state| state.full_cleans.is_settled());
        states.retain(|state| tank_work::is_in_time(facts, state, slot));
        states.retain_mut(|state| keeps_outages(facts, state, slot) && close_slot(facts, state, slot));
        states
    }

    fn finish(&mut self, mut state: State) {
        if !pins::keeps_pins(&self.facts, &state) || !heat::is_taken_out(&self.facts, &state) {
            return;
        }
        let Some(value) = close_horizon(&self.facts, &mut state) else {
            return;
        };
        let last = Slot(self.facts.slots() - 1);
        if !self.can_beat(bound(&self.facts, &state, last) - closing::fixed_line_labour(&self.facts, &state))
        {
            return;
        }
        self.tried += 1;
        if let Some(volumes) = best_volumes(&self.facts, &state, value)
            && self.can_beat(volumes.objective)
        {
            self.best = Some((volumes, state));
        }
    }
}
