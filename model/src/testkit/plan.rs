//! Plans written by hand, task by task.

use crate::calendar::Slot;
use crate::ids::{BeerId, CrewId, FormatId, LineId, OrderId, VesselId, YeastId};
use crate::plan::{Delivery, Overtime, PitchFrom, Plan, Pour, Task, Work};
use crate::testkit::{B1, CAN, CANS, F1, PALE, hl};
use crate::units::{Minutes, Volume};

/// A plan in the making.
#[derive(Clone, Debug, Default)]
pub struct PlanBuilder {
    plan: Plan,
}

impl PlanBuilder {
    /// Nothing planned yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The plan.
    #[must_use]
    pub fn plan(self) -> Plan {
        self.plan
    }

    /// One turn in F1 on day 0, moved into the bright tank on a day and packaged on the next.
    #[must_use]
    pub fn by_bright_tank(self, moved: usize) -> Self {
        self.brew(0, F1, 1).transfer(moved, F1, B1, hl(1_900)).clean(moved, F1).package(
            moved + 1,
            CANS,
            CAN,
            B1,
            hl(1_881),
        )
    }

    /// Any work.
    #[must_use]
    pub fn work(mut self, slot: usize, work: Work) -> Self {
        self.plan.tasks.push(Task::new(Slot(slot), work));
        self
    }

    /// Turns of the beer.
    #[must_use]
    pub fn brew(self, slot: usize, vessel: VesselId, turns: i64) -> Self {
        self.brew_beer(slot, PALE, vessel, turns)
    }

    /// Turns of any beer.
    #[must_use]
    pub fn brew_beer(self, slot: usize, beer: BeerId, vessel: VesselId, turns: i64) -> Self {
        self.work(slot, Work::Brew { beer, vessel, turns, part: None })
    }

    /// Beer poured in the taproom.
    #[must_use]
    pub fn pour(mut self, day: usize, vessel: VesselId, volume: Volume) -> Self {
        self.plan.pours.push(Pour { day, vessel, volume });
        self
    }

    /// A clean.
    #[must_use]
    pub fn clean(self, slot: usize, vessel: VesselId) -> Self {
        self.work(slot, Work::Clean { vessel, full: false })
    }

    /// A sanitising.
    #[must_use]
    pub fn sanitise(self, slot: usize, vessel: VesselId) -> Self {
        self.work(slot, Work::Sanitise { vessel })
    }

    /// A transfer.
    #[must_use]
    pub fn transfer(self, slot: usize, from: VesselId, to: VesselId, volume: Volume) -> Self {
        self.work(slot, Work::Transfer { from, to, volume, full: false })
    }

    /// Carbonating in a fermenter.
    #[must_use]
    pub fn carbonate(self, slot: usize, vessel: VesselId) -> Self {
        self.work(slot, Work::Carbonate { vessel })
    }

    /// Packaging on a line.
    #[must_use]
    pub fn package(
        self,
        slot: usize,
        line: LineId,
        format: FormatId,
        vessel: VesselId,
        volume: Volume,
    ) -> Self {
        self.work(slot, Work::Package { line, format, vessel, volume })
    }

    /// Pitches of the first strain.
    #[must_use]
    pub fn pitch(self, slot: usize, vessel: VesselId, from: PitchFrom, pitches: i64) -> Self {
        self.work(slot, Work::Pitch { vessel, yeast: YeastId(0), from, pitches })
    }

    /// A crop.
    #[must_use]
    pub fn crop(self, slot: usize, vessel: VesselId) -> Self {
        self.work(slot, Work::Crop { vessel })
    }

    /// A piece of the beer's tank work.
    #[must_use]
    pub fn tank_work(self, slot: usize, vessel: VesselId, work: usize) -> Self {
        self.work(slot, Work::Tank { beer: PALE, work, vessel })
    }

    /// Pouring away.
    #[must_use]
    pub fn dump(self, slot: usize, vessel: VesselId) -> Self {
        self.work(slot, Work::Dump { vessel })
    }

    /// The clock time of the last task: minutes after the start of its shift.
    #[must_use]
    pub fn at(mut self, minutes: i64) -> Self {
        if let Some(task) = self.plan.tasks.last_mut() {
            task.begins = Some(Minutes(minutes));
        }
        self
    }

    /// Overtime.
    #[must_use]
    pub fn overtime(mut self, slot: usize, crew: CrewId, time: Minutes) -> Self {
        self.plan.overtime.push(Overtime { slot: Slot(slot), crew, time });
        self
    }

    /// A delivery on a day.
    #[must_use]
    pub fn deliver(mut self, order: usize, day: i64, volume: Volume) -> Self {
        self.plan.deliveries.push(Delivery { order: OrderId(order), day, volume });
        self
    }
}
