//! Filling, cleaning and sanitising vessels.

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Job;
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::units::{Minutes, Volume, mul_div};

use super::{Carbonated, Charge, EmptiedBy, Event, FilledBy, Holding, Kind, Ledger, Way, WorkDone};
use crate::exact::bounded;

/// More turns than any brewhouse makes: plans with more are counted as if they had so many.
const MOST_TURNS: i64 = 1_000_000;

impl Ledger<'_> {
    pub(super) fn brew(
        &mut self,
        slot: Slot,
        beer: BeerId,
        vessel: VesselId,
        turns: i64,
        part: Option<Volume>,
    ) {
        let turns = turns.min(MOST_TURNS);
        self.charge_turns(slot, beer, turns);
        let each = part.map_or(self.case.turn_of(beer), bounded);
        let wort = bounded(Volume(mul_div(each.0, turns, 1)));
        let Some(held) = self.current[vessel.0] else {
            self.begin_batch(slot, beer, vessel, (turns, part), wort);
            return;
        };
        let stay = self.case.beer(beer).stay_days();
        let loss = self.case.beer(self.holdings[held].beer).loss_tank;
        if self.takes_more(held, slot, beer) {
            let day = self.day(slot);
            let stay = stay + self.case.fixed.late_by(vessel, day);
            let holding = &mut self.holdings[held];
            holding.turns = (holding.turns + turns).min(MOST_TURNS);
            holding.part_turns.extend(part);
            holding.on = day;
            holding.stay = stay;
            holding.ready = day + stay;
            holding.filled = self.case.fixed.measured(vessel, day).unwrap_or(bounded(holding.filled + wort));
            holding.volume = loss.taken_off(holding.filled);
            holding.left = holding.volume;
            self.note(vessel, slot, Event::Added(held));
        } else {
            // The wort goes on with what is there, so that only the fill itself is found at fault.
            let more = loss.taken_off(wort);
            let holding = &mut self.holdings[held];
            holding.left = bounded(holding.left + more);
            self.note(vessel, slot, Event::FilledOver(FilledBy::Brew, held));
        }
    }

    /// Whether a turn belongs to the batch that a vessel holds.
    fn takes_more(&self, held: usize, slot: Slot, beer: BeerId) -> bool {
        let holding = &self.holdings[held];
        let calendar = &self.case.calendar;
        let soon = holding.from.is_some_and(|first| {
            calendar.start(slot) - calendar.start(first) <= self.case.brewhouse.fill_within
        });
        holding.kind == Kind::Batch
            && !holding.moved
            && holding.beer == beer
            && holding.carbonated == Carbonated::No
            && !holding.has_begun()
            && soon
    }

    fn begin_batch(
        &mut self,
        slot: Slot,
        beer: BeerId,
        vessel: VesselId,
        (turns, part): (i64, Option<Volume>),
        wort: Volume,
    ) {
        let on = self.day(slot);
        let stay = self.case.beer(beer).stay_days() + self.case.fixed.late_by(vessel, on);
        let wort = self.case.fixed.measured(vessel, on).unwrap_or(wort);
        let volume = self.case.beer(beer).loss_tank.taken_off(wort);
        let holding = Holding {
            vessel,
            beer,
            kind: Kind::Batch,
            opening: false,
            moved: false,
            came_from: None,
            from: Some(slot),
            turns,
            part_turns: part.into_iter().collect(),
            parts: Vec::new(),
            on,
            ready: on + stay,
            stay,
            filled: wort,
            volume,
            left: volume,
            carbonated: Carbonated::No,
            moved_carbonated: None,
            direct_loss_taken: false,
            direct_loss: Volume::ZERO,
            generation: None,
            work: WorkDone::default(),
            outs: Vec::new(),
            emptied: None,
        };
        self.begin(holding, slot, FilledBy::Brew);
    }

    fn begin(&mut self, holding: Holding, slot: Slot, by: FilledBy) {
        let vessel = holding.vessel;
        let place = self.holdings.len();
        self.current[vessel.0] = Some(place);
        self.holdings.push(holding);
        self.note(vessel, slot, Event::Filled(by, place));
    }

    /// Whether a transfer belongs to the lot that a vessel holds: the second of a beer that is blended, in the same slot, from
    /// another vessel, into a bright tank.
    pub(super) fn blends(&self, slot: Slot, beer: BeerId, from: VesselId, vessel: VesselId) -> bool {
        let Some(held) = self.current[vessel.0] else { return false };
        let holding = &self.holdings[held];
        self.case.beer(beer).blend
            && self.case.vessel(vessel).is_bright_only()
            && !self.case.vessel(vessel).is_serve_only()
            && holding.kind == Kind::Lot
            && holding.beer == beer
            && holding.from == Some(slot)
            && holding.parts.len() == 1
            && !holding.parts.contains(&from)
            && !holding.has_begun()
    }

    /// Beer arrives in a vessel by a transfer.
    pub(super) fn arrive(
        &mut self,
        slot: Slot,
        beer: BeerId,
        from: VesselId,
        vessel: VesselId,
        arrived: Volume,
    ) {
        if let Some(held) = self.current[vessel.0] {
            let is_blended = self.blends(slot, beer, from, vessel);
            let holding = &mut self.holdings[held];
            holding.left = bounded(holding.left + arrived);
            if is_blended {
                holding.parts.push(from);
                holding.filled = bounded(holding.filled + arrived);
                holding.volume = holding.filled;
            }
            let fault = Event::FilledOver(FilledBy::Transfer, held);
            self.note(vessel, slot, if is_blended { Event::Added(held) } else { fault });
            return;
        }
        let on = self.day(slot);
        let comes_carbonated = self.case.vessel(vessel).is_serve_only();
        let holding = Holding {
            vessel,
            beer,
            kind: Kind::Lot,
            opening: false,
            moved: false,
            came_from: None,
            from: Some(slot),
            turns: 0,
            part_turns: Vec::new(),
            parts: vec![from],
            on,
            ready: on,
            stay: 0,
            filled: arrived,
            volume: arrived,
            left: arrived,
            carbonated: if comes_carbonated { Carbonated::Before } else { Carbonated::In(slot) },
            moved_carbonated: None,
            direct_loss_taken: false,
            direct_loss: Volume::ZERO,
            generation: None,
            work: WorkDone::default(),
            outs: Vec::new(),
            emptied: None,
        };
        self.begin(holding, slot, FilledBy::Transfer);
    }

    /// A batch arrives in a conditioning tank; its days and its ready day go with it.
    pub(super) fn arrive_to_condition(&mut self, slot: Slot, held: usize, to: VesselId, arrived: Volume) {
        if let Some(over) = self.current[to.0] {
            let holding = &mut self.holdings[over];
            holding.left = bounded(holding.left + arrived);
            self.note(to, slot, Event::FilledOver(FilledBy::Transfer, over));
            return;
        }
        let holding = Holding {
            vessel: to,
            moved: true,
            came_from: Some(held),
            work: self.holdings[held].work.taken_along(),
            from: Some(slot),
            filled: arrived,
            volume: arrived,
            left: arrived,
            outs: Vec::new(),
            emptied: None,
            ..self.holdings[held].clone()
        };
        self.begin(holding, slot, FilledBy::Transfer);
    }

    pub(super) fn clean(&mut self, slot: Slot, vessel: VesselId, full: bool) {
        let job = self.cleaned(slot, vessel, full);
        self.charges.push(Charge {
            cleaning: job.takes,
            reach: self.case.vessel(vessel).reach,
            cleaning_cost: self.case.clean_cost(vessel, full),
            ..Charge::of(self.case, slot, job.crew)
        });
        if let Some(held) = self.current[vessel.0] {
            if !self.holdings[held].has_begun() {
                self.note(vessel, slot, Event::CleanedOver(held));
                return;
            }
            let left = self.holdings[held].left;
            self.note(vessel, slot, Event::Vanished(held, left));
            self.mark_empty(held);
        }
        self.note(vessel, slot, Event::Cleaned);
    }

    /// Notes a clean, in full or not; gives its work.
    pub(super) fn cleaned(&mut self, slot: Slot, vessel: VesselId, full: bool) -> Job {
        if full {
            self.full_cleans.insert((slot, vessel));
        }
        self.case.vessel(vessel).cleaning(full)
    }

    /// The clean of a vessel in a slot, as the plan has it: the full or the short one.
    #[must_use]
    pub fn cleaning(&self, slot: Slot, vessel: VesselId) -> Job {
        self.case.vessel(vessel).cleaning(self.full_cleans.contains(&(slot, vessel)))
    }

    pub(super) fn sanitise(&mut self, slot: Slot, vessel: VesselId) {
        let job = self.case.sanitise;
        self.charges.push(Charge {
            cleaning: Minutes::ZERO,
            cleaning_cost: self.case.rates.sanitise,
            ..Charge::of(self.case, slot, job.crew)
        });
        let held = self.current[vessel.0].is_some();
        self.note(vessel, slot, Event::Sanitised(held));
    }

    /// Notes that the last of a holding left with its last way out.
    pub(super) fn mark_empty(&mut self, held: usize) {
        let Some(last) = self.holdings[held].outs.last().copied() else { return };
        let by = match last.way {
            Way::Transfer { .. } | Way::Condition { .. } => EmptiedBy::Transfer,
            Way::Line(_) | Way::Serve { .. } => EmptiedBy::Packaging,
            Way::Pour => EmptiedBy::Pouring,
            Way::Dump => EmptiedBy::Dump,
        };
        let vessel = self.holdings[held].vessel;
        self.holdings[held].emptied = Some(last.slot);
        self.current[vessel.0] = None;
        self.note(vessel, last.slot, Event::Emptied(by, held));
    }
}
