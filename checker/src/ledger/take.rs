//! Taking beer out of vessels: transfers, carbonating for the direct route, packaging, pouring away.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::RoleTimes;
use cellarwright_model::ids::{LineId, VesselId};
use cellarwright_model::tolerance;
use cellarwright_model::units::Volume;

use super::{Carbonated, Charge, Event, Kind, Ledger, Misfit, Out, Piece, Way};
use crate::exact::bounded;

impl Ledger<'_> {
    pub(super) fn transfer(&mut self, slot: Slot, from: VesselId, to: VesselId, volume: Volume, full: bool) {
        if let Some(held) = self.current[from.0].filter(|&held| self.conditions(slot, held, to)) {
            let arrived = self.case.transfer.arrives(volume);
            self.charge_move(slot, to);
            self.take(held, Out { slot, way: Way::Condition { to, arrived }, volume });
            self.arrive_to_condition(slot, held, to, arrived);
            return;
        }
        if self.case.vessel(to).is_serve_only() {
            self.fill_to_serve(slot, from, to, volume, full);
            return;
        }
        let arrived = match self.current[from.0] {
            Some(held) => self.case.arrives(self.case.beer(self.holdings[held].beer), volume),
            None => self.case.transfer.arrives(volume),
        };
        let moved = self.current[from.0].map(|held| self.holdings[held].beer);
        let is_second = moved.is_some_and(|beer| self.blends(slot, beer, from, to));
        self.charge_transfer(slot, (to, full), arrived, moved, is_second);
        let Some(held) = self.held(slot, from, volume) else { return };
        let beer = self.holdings[held].beer;
        if matches!(self.holdings[held].carbonated, Carbonated::In(_)) {
            self.holdings[held].moved_carbonated.get_or_insert(slot);
        }
        self.take(held, Out { slot, way: Way::Transfer { to, arrived }, volume });
        self.arrive(slot, beer, from, to, arrived);
    }

    /// Carbonated beer is moved into a tank that is only poured from: as packaging takes it out, no filter on the way.
    fn fill_to_serve(&mut self, slot: Slot, from: VesselId, to: VesselId, volume: Volume, full: bool) {
        let arrived = self.case.transfer.arrives(volume);
        self.charge_fill_to_serve(slot, to, full);
        let Some(held) = self.held(slot, from, volume) else { return };
        let holding = &self.holdings[held];
        let beer = holding.beer;
        if holding.kind == Kind::Batch && !holding.direct_loss_taken {
            self.take_direct_loss(held);
        }
        self.take(held, Out { slot, way: Way::Serve { to, arrived }, volume });
        self.arrive(slot, beer, from, to, arrived);
    }

    /// Whether a transfer moves a batch into a conditioning tank: one that is no bright tank too, or before the batch could be
    /// carbonated.
    fn conditions(&self, slot: Slot, held: usize, to: VesselId) -> bool {
        let holding = &self.holdings[held];
        let uses = self.case.vessel(to).uses;
        let early = i64::from(self.case.beer(holding.beer).during_chill);
        let is_early = self.day(slot) < holding.ready + self.late_so_far(holding) - early;
        uses.condition && holding.kind == Kind::Batch && !holding.moved && (!uses.bright || is_early)
    }

    pub(super) fn package(&mut self, slot: Slot, line: LineId, piece: Piece) {
        let Some(held) = self.held(slot, piece.vessel, piece.volume) else { return };
        let holding = &self.holdings[held];
        let beer = holding.beer;
        if holding.kind == Kind::Batch && !holding.direct_loss_taken {
            self.take_direct_loss(held);
        }
        self.run_piece(slot, line, beer, piece);
        self.take(held, Out { slot, way: Way::Line(line), volume: piece.volume });
    }

    pub(super) fn carbonate(&mut self, position: usize, slot: Slot, vessel: VesselId) {
        let charge = Charge::of(self.case, slot, self.case.carbonate.crew);
        let Some(held) = self.held(slot, vessel, Volume::ZERO) else {
            self.charges.push(charge);
            return;
        };
        if self.holdings[held].kind == Kind::Lot {
            self.charges.push(charge);
            self.misfit(position, Misfit::CarbonatesLot);
            return;
        }
        if !self.holdings[held].direct_loss_taken {
            self.take_direct_loss(held);
        }
        let rate = self.case.beer(self.holdings[held].beer).gas(self.case.rates.gas);
        let gas = rate.for_volume(self.holdings[held].left);
        self.charges.push(Charge { gas, ..charge });
        if self.holdings[held].carbonated == Carbonated::No {
            self.holdings[held].carbonated = Carbonated::In(slot);
        }
        self.note(vessel, slot, Event::Carbonated(held));
    }

    pub(super) fn dump(&mut self, slot: Slot, vessel: VesselId) {
        let Some(held) = self.held(slot, vessel, Volume::ZERO) else { return };
        let volume = self.holdings[held].left.max(Volume::ZERO);
        let dump = self.case.rates.dump.for_volume(volume);
        self.charges.push(Charge { dump, ..Charge::of(self.case, slot, RoleTimes::default()) });
        self.take(held, Out { slot, way: Way::Dump, volume });
    }

    /// Pours in the taproom, after all work of the day.
    pub(super) fn pour(&mut self, position: usize) {
        let pour = self.plan.pours[position];
        if pour.volume.0 <= 0 || pour.day >= self.case.calendar.planned_days {
            self.bad_pours.push(position);
            return;
        }
        let slot = self.case.calendar.slot(pour.day, self.case.calendar.shifts.len() - 1);
        let volume = bounded(pour.volume);
        let Some(held) = self.held(slot, pour.vessel, volume) else { return };
        self.take(held, Out { slot, way: Way::Pour, volume });
    }

    /// What a vessel holds; notes it where there is nothing to be taken.
    pub(super) fn held(&mut self, slot: Slot, vessel: VesselId, wanted: Volume) -> Option<usize> {
        let held = self.current[vessel.0];
        if held.is_none() {
            let had = self.holdings.iter().any(|holding| holding.vessel == vessel);
            if !had || wanted == Volume::ZERO || wanted > tolerance::VOLUME {
                self.note(vessel, slot, Event::Nothing { had, wanted });
            }
        }
        held
    }

    fn take_direct_loss(&mut self, held: usize) {
        let loss = self.case.beer(self.holdings[held].beer).loss_direct;
        let holding = &mut self.holdings[held];
        let before = holding.left;
        holding.left = loss.taken_off(before);
        holding.direct_loss = before - holding.left;
        holding.direct_loss_taken = true;
    }

    fn take(&mut self, held: usize, out: Out) {
        let there = self.holdings[held].left;
        let vessel = self.holdings[held].vessel;
        if out.volume > there + tolerance::VOLUME {
            self.note(vessel, out.slot, Event::TakenTooMuch(held, there));
        }
        let holding = &mut self.holdings[held];
        holding.left = bounded(there - out.volume).max(Volume::ZERO);
        holding.outs.push(out);
        if holding.left <= tolerance::VOLUME {
            holding.left = Volume::ZERO;
            self.mark_empty(held);
        }
    }
}
