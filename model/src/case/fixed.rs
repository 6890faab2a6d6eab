//! What is settled before the plan is made: outages, upkeep, vessels to be left alone.

use super::{Case, Earlier, LateBatch, MeasuredBatch, Pin, PinnedWork, RoleTimes};
use crate::calendar::{Role, Slot};
use crate::ids::{LineId, VesselId};
use crate::rule::RuleId;

/// What can be away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Away {
    /// A vessel: nothing is filled into it, taken from it or done to it.
    Vessel(VesselId),
    /// A line: it does not run.
    Line(LineId),
    /// The brewhouse: no turn is made.
    Brewhouse,
    /// A filter, as a position in `Case::filters`: nothing goes through it.
    Filter(usize),
    /// The keg washer: no keg is washed.
    KegWasher,
}

/// Why something is away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// It cannot be used.
    Outage,
    /// It is worked on.
    Upkeep,
    /// The brewer wants it left alone.
    Left,
}

/// Something away on some days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outage {
    /// What.
    pub what: Away,
    /// First day, counted from day 0; may be negative.
    pub first_day: i64,
    /// Last day, included.
    pub last_day: i64,
    /// Why.
    pub cause: Cause,
    /// The brewer's words for it; may be empty.
    pub reason: String,
    /// A vessel that must hold no beer on these days.
    pub must_be_empty: bool,
    /// Person-time of the brewery's own people, once.
    pub crew: RoleTimes,
}

impl Outage {
    /// Whether a day is one of its days.
    #[must_use]
    pub fn covers(&self, day: i64) -> bool {
        (self.first_day..=self.last_day).contains(&day)
    }

    /// The rule that it belongs to.
    #[must_use]
    pub fn rule(&self) -> RuleId {
        match self.cause {
            Cause::Outage | Cause::Upkeep => RuleId::Outage,
            Cause::Left => RuleId::Pinned,
        }
    }

    /// Whether a vessel that was clean before is dirty after it: upkeep opens the vessel.
    #[must_use]
    pub fn soils(&self) -> bool {
        self.cause == Cause::Upkeep && self.must_be_empty
    }
}

/// What is settled before the plan is made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fixed {
    /// What is away, and when.
    pub outages: Vec<Outage>,
    /// Work that is pinned.
    pub pins: Vec<Pin>,
    /// A plan that is being carried out, where the rest of it is planned again.
    pub earlier: Option<Box<Earlier>>,
    /// Batches of it that are late.
    pub late: Vec<LateBatch>,
    /// Batches of it that were measured.
    pub measured: Vec<MeasuredBatch>,
}

impl Case {
    /// Whether something is away in a slot.
    #[must_use]
    pub fn is_away(&self, what: Away, slot: Slot) -> bool {
        let day = self.calendar.day(slot) as i64;
        self.fixed.outages.iter().any(|outage| outage.what == what && outage.covers(day))
    }

    /// Whether beer may be poured away in a slot: as the last resort anywhere, but where something is pinned or a vessel must
    /// be empty only where a pin says so, for no pin is to be kept by pouring beer away.
    #[must_use]
    pub fn may_dump(&self, vessel: VesselId, slot: Slot) -> bool {
        let pins = &self.fixed.pins;
        if pins.is_empty() && !self.fixed.outages.iter().any(|outage| outage.must_be_empty) {
            return true;
        }
        pins.iter().any(|pin| pin.work == PinnedWork::Dump { vessel } && pin.is_in(&self.calendar, slot))
    }

    /// The slot in which the person-time of an outage is needed: the first of its days that the role works, if it begins
    /// within the planned days.
    #[must_use]
    pub fn outage_slot(&self, outage: &Outage, role: Role) -> Option<Slot> {
        let first = usize::try_from(outage.first_day).ok()?;
        let end = usize::try_from(outage.last_day + 1).ok()?.min(self.calendar.planned_days);
        let slots = self.calendar.slot(first, 0).0..self.calendar.slot(end, 0).0;
        slots.map(Slot).find(|&slot| self.works(role, slot))
    }

    /// Whether a vessel must be told from all others because its name stands in an outage, a pin or an earlier plan.
    #[must_use]
    pub fn is_named(&self, vessel: VesselId) -> bool {
        self.fixed.earlier.is_some()
            || self.fixed.late.iter().any(|late| late.vessel == vessel)
            || self.fixed.measured.iter().any(|one| one.vessel == vessel)
            || self.fixed.outages.iter().any(|outage| outage.what == Away::Vessel(vessel))
            || self.fixed.pins.iter().any(|pin| pin.vessels().contains(&vessel))
    }
}
