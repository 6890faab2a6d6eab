//! Where an earlier plan is being carried out: what is done already is done again word for word, then the walk goes on by itself.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Case;
use cellarwright_model::ids::{BeerId, LineId, VesselId};
use cellarwright_model::plan::{Overtime, PitchFrom, Plan, Task, Work};

use super::vessel::Held;
use super::walk::Walk;

/// Overtime of what is done already.
pub fn overtime(case: &Case) -> Vec<Overtime> {
    let Some(earlier) = case.fixed.earlier.as_deref() else { return Vec::new() };
    earlier.plan.overtime.iter().filter(|one| earlier.is_kept(case, one.slot)).copied().collect()
}

impl Walk<'_, '_> {
    /// Does what an earlier plan did in a slot, in its order. Hours are not counted: a day is done as a whole.
    pub(super) fn do_again(&mut self, slot: Slot, earlier: &Plan) {
        let case = self.case;
        self.open_for_upkeep(slot);
        // What is still to be lost of the run of a beer on a line.
        let mut losses: BTreeMap<(LineId, BeerId), i64> = BTreeMap::new();
        for task in earlier.tasks.iter().filter(|task| task.slot == slot) {
            match task.work {
                Work::Brew { vessel, .. } => {
                    // All turns of a batch are noted with the first.
                    if self.tanks[vessel.0].held().is_none() {
                        self.brew_again(slot, vessel, earlier);
                    }
                    continue;
                }
                Work::Clean { vessel, full } => self.cleaned(vessel, slot, full),
                Work::Transfer { from, to, volume, full } => {
                    if let Some(held) = self.tanks[from.0].held().cloned() {
                        self.demand.in_vessels(held.beer, -self.expected(held.beer, volume, false));
                        let arrives = case.arrives(case.beer(held.beer), volume);
                        self.move_part(slot, from, &held, (to, volume, arrives), full);
                    }
                }
                Work::Carbonate { vessel } => self.carbonated(vessel, slot),
                Work::Package { line, format, vessel, volume } => {
                    if let Some(beer) = self.tanks[vessel.0].held().map(|held| held.beer) {
                        self.draw_for_line(slot, vessel, volume);
                        let loss = losses.entry((line, beer)).or_insert(case.line(line).loss.0);
                        self.packaged(slot, beer, format, volume, loss);
                    }
                }
                Work::Pitch { from, pitches, .. } => {
                    if let PitchFrom::Store(entry) = from {
                        self.pitches[entry] -= pitches;
                    }
                }
                Work::Tank { work, vessel, .. } => self.worked(vessel, slot, work),
                Work::Wash { pool, kegs } => self.kegs[pool.0] += kegs,
                Work::Dump { vessel } => {
                    if let Some(held) = self.tanks[vessel.0].held().cloned() {
                        let lost = self.expected(held.beer, held.left, held.is_lot);
                        self.demand.in_vessels(held.beer, -lost);
                        self.draw(slot, vessel, held.left, None);
                    }
                }
                Work::Sanitise { .. } | Work::Crop { .. } => {}
            }
            self.tasks.push(*task);
        }
    }

    /// Begins a batch with all its turns, those too that are still to be made.
    fn brew_again(&mut self, slot: Slot, into: VesselId, earlier: &Plan) {
        let case = self.case;
        let is_turn = |task: &&Task| {
            matches!(task.work, Work::Brew { vessel, .. } if vessel == into)
                && task.slot >= slot
                && case.calendar.start(task.slot) - case.calendar.start(slot) <= case.brewhouse.fill_within
        };
        let (mut all, mut batch, mut last) = (0, None, slot);
        for task in earlier.tasks.iter().filter(is_turn) {
            let Work::Brew { beer, turns, part, .. } = task.work else { continue };
            (all, batch, last) = (all + turns, Some((beer, part)), task.slot);
            self.hours.take_turns(task.slot, beer, turns);
            self.tasks.push(*task);
        }
        let Some((beer, part)) = batch else { return };
        let measured = case.fixed.measured(into, self.day(last));
        let wort = measured.unwrap_or(case.wort_of(beer, all, part));
        let held = Held { from: Some(slot), ..self.new_batch(beer, wort, last) };
        self.begin(into, held);
    }

    /// Pours what an earlier plan poured on the day of a slot.
    pub(super) fn pour_again(&mut self, slot: Slot, earlier: &Plan) {
        let day = self.case.calendar.day(slot);
        for &pour in earlier.pours.iter().filter(|pour| pour.day == day) {
            self.pours.push(pour);
            self.draw(slot, pour.vessel, pour.volume, None);
        }
    }
}
