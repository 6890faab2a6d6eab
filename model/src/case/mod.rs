//! A case: one brew plan with its cellar, validated and resolved, ready to be planned.
//!
//! A `Case` holds no text to be parsed and no name to be looked up: everything refers by index.
//! It is made by `crate::yaml::read_case`, or directly by tests.

mod beer;
mod brewhouse;
mod cleaning;
mod crew;
mod earlier;
mod filter;
mod fixed;
mod layout;
mod line;
mod opening;
mod orders;
mod packages;
mod pin;
mod prices;
mod rates;
mod store;
mod tank_work;
mod taproom;
mod vessel;
mod yeast;

pub use beer::{Beer, Carbonating, Nitrogen, Packaged, Split, Spund, Stage};
pub use brewhouse::{Brewhouse, Brewing, Job, Liquor, RoleTimes};
pub use cleaning::{Cleaning, FullClean, Marks, Reach, SinceFull};
pub use crew::{Absence, Crew, FurtherShift, OvertimeLimit};
pub use earlier::{
    BREW_WEIGHT, ChangeKind, Earlier, LateBatch, MeasuredBatch, Placed, WORK_WEIGHT, change_weight,
    least_of_the_same_run, same_amount_within,
};
pub use filter::{Connected, Filter};
pub use fixed::{Away, Cause, Fixed, Outage};
pub use layout::{Asked, Change, Further, Layout, Limits, MOST_WAYS, Offer, Purchase, Season, WEEKS_A_YEAR};
pub use line::{ChangePair, Comes, Format, FormatPair, Line, NeverAfter};
pub use opening::{InTank, Stock};
pub use orders::{Aim, Late, Mix, MixShare, Order};
pub use packages::{KegPool, KegWasher, Material};
pub use pin::{LEAST_PACKAGED, PINNED_TOLERANCE, Pin, PinnedWork};
pub use prices::{Cost, Price, Priced};
pub use rates::Rates;
pub use store::{ColdStore, Each, Keep, StoreUnit};
pub use tank_work::{Cooling, TankWork, TankWorkKind};
pub use taproom::{Tap, Taproom};
pub use vessel::{PressureMargins, Purge, Transfer, Turnaround, Uses, Vessel};
pub use yeast::{BeerYeast, BoughtYeast, Gravity, Yeast, YeastCrop, YeastInStore, Yeasts};

use std::collections::BTreeMap;

use crate::calendar::{Calendar, Role, Slot};
use crate::ids::{BeerId, CrewId, FormatId, LineId, OrderId, VesselId};
use crate::measures::UnitSystem;
use crate::units::{Minutes, Money, Volume};

/// Everything that the plan depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The brew plan's title.
    pub name: String,
    /// The cellar's name.
    pub cellar: String,
    /// Height above sea level in metres.
    pub altitude_metres: i64,
    /// The units in which quantities are shown.
    pub show_units: UnitSystem,
    /// Every piece of work gets a clock time, in an order that people and vessels can keep.
    pub clock_times: bool,
    /// Days, shifts, working days.
    pub calendar: Calendar,
    /// What is aimed at.
    pub aim: Aim,
    /// The brewhouse.
    pub brewhouse: Brewhouse,
    /// Every vessel by itself, in the order of the file.
    pub vessels: Vec<Vessel>,
    /// Margins for planned pressures.
    pub pressure: PressureMargins,
    /// Cleaning sets: vessels and lines that can be cleaned at the same time.
    pub cleaning_sets: i64,
    /// What the sets reach, how long a vessel stays clean and may stay dirty.
    pub cleaning: Cleaning,
    /// Sanitising a clean vessel that has stood for longer than it stays clean.
    pub sanitise: Job,
    /// Moving beer from a fermenter to a bright tank, for each bright tank filled.
    pub transfer: Transfer,
    /// Filters and centrifuges.
    pub filters: Vec<Filter>,
    /// Carbonating one vessel.
    pub carbonate: Job,
    /// Packaging lines.
    pub lines: Vec<Line>,
    /// Package formats.
    pub formats: Vec<Format>,
    /// Kegs that go round, by kind.
    pub kegs: Vec<KegPool>,
    /// What washes them.
    pub keg_washer: Option<KegWasher>,
    /// Cans, labels and the like.
    pub materials: Vec<Material>,
    /// Crews.
    pub crews: Vec<Crew>,
    /// Beers.
    pub beers: Vec<Beer>,
    /// Orders, in the order of the file.
    pub orders: Vec<Order>,
    /// Packaged volume that the warm store holds, for beer that conditions in its package; unlimited where the file is silent.
    pub warm_store: Option<Volume>,
    /// The cold store, if it has a limit.
    pub cold_store: Option<ColdStore>,
    /// Packaged stock that is to be kept.
    pub keep: Vec<Keep>,
    /// Packaged beer on day 0.
    pub stock: Vec<Stock>,
    /// Beer in tank on day 0, at most one entry a vessel.
    pub in_tank: Vec<InTank>,
    /// Vessels that are empty and dirty on day 0.
    pub dirty: Vec<VesselId>,
    /// What has been in vessels since their last full clean, for each that is due for one from time to time.
    pub since_full: BTreeMap<VesselId, SinceFull>,
    /// Outages and upkeep.
    pub fixed: Fixed,
    /// Beers poured behind the bar.
    pub taproom: Taproom,
    /// What things cost and earn.
    pub rates: Rates,
    /// What one unit more of things costs.
    pub prices: Vec<Price>,
    /// Limits of the cooling plant.
    pub cooling: Cooling,
    /// Yeast: strains, in store, in tank.
    pub yeast: Yeasts,
    /// What a choice of vessels is to be made from, if one is.
    pub layout: Option<Layout>,
}

impl Case {
    /// The vessel with this index.
    #[must_use]
    pub fn vessel(&self, id: VesselId) -> &Vessel {
        &self.vessels[id.0]
    }

    /// What cleaning a vessel costs besides people, in full or not.
    #[must_use]
    pub fn clean_cost(&self, id: VesselId, full: bool) -> Money {
        let full = self.vessel(id).full_clean.filter(|_| full);
        full.and_then(|full| full.cost).unwrap_or(self.rates.clean)
    }

    /// What has been in a vessel since its last full clean, on day 0.
    #[must_use]
    pub fn since_full(&self, id: VesselId) -> SinceFull {
        self.since_full.get(&id).copied().unwrap_or_default()
    }

    /// Whether beer in tank on day 0 was moved into its vessel for the rest of its stay: it conditions there and did not ferment there.
    #[must_use]
    pub fn was_moved(&self, in_tank: &InTank) -> bool {
        let uses = self.vessel(in_tank.vessel).uses;
        uses.condition && !uses.ferment && !in_tank.is_bright
    }

    /// The beer with this index.
    #[must_use]
    pub fn beer(&self, id: BeerId) -> &Beer {
        &self.beers[id.0]
    }

    /// The line with this index.
    #[must_use]
    pub fn line(&self, id: LineId) -> &Line {
        &self.lines[id.0]
    }

    /// The format with this index.
    #[must_use]
    pub fn format(&self, id: FormatId) -> &Format {
        &self.formats[id.0]
    }

    /// The crew with this index.
    #[must_use]
    pub fn crew(&self, id: CrewId) -> &Crew {
        &self.crews[id.0]
    }

    /// The order with this index.
    #[must_use]
    pub fn order(&self, id: OrderId) -> &Order {
        &self.orders[id.0]
    }

    /// Days from packaging to delivery that an order accepts at most: its own limit, or that of its beer.
    #[must_use]
    pub fn fresh(&self, id: OrderId) -> Option<i64> {
        let order = self.order(id);
        order.fresh.or(self.beer(order.beer).fresh)
    }

    /// All beers by index.
    pub fn beer_ids(&self) -> impl Iterator<Item = BeerId> + use<> {
        (0..self.beers.len()).map(BeerId)
    }

    /// All vessels by index.
    pub fn vessel_ids(&self) -> impl Iterator<Item = VesselId> + use<> {
        (0..self.vessels.len()).map(VesselId)
    }

    /// All lines by index.
    pub fn line_ids(&self) -> impl Iterator<Item = LineId> + use<> {
        (0..self.lines.len()).map(LineId)
    }

    /// All crews by index.
    pub fn crew_ids(&self) -> impl Iterator<Item = CrewId> + use<> {
        (0..self.crews.len()).map(CrewId)
    }

    /// All orders by index.
    pub fn order_ids(&self) -> impl Iterator<Item = OrderId> + use<> {
        (0..self.orders.len()).map(OrderId)
    }

    /// Heads of a crew that are there in a slot: none on a day off, a closed day or in another shift.
    #[must_use]
    pub fn crew_people(&self, crew: CrewId, slot: Slot) -> i64 {
        let date = self.calendar.date(self.calendar.day(slot) as i64);
        if self.calendar.closed.contains(&date) {
            return 0;
        }
        self.crew(crew).people_on(date, self.calendar.shift(slot))
    }

    /// Hours that each person of a crew works in a slot, without the break: none where nobody of the crew is there.
    #[must_use]
    pub fn crew_hours(&self, crew: CrewId, slot: Slot) -> Minutes {
        if self.crew_people(crew, slot) > 0 { self.crew(crew).working_hours() } else { Minutes::ZERO }
    }

    /// Whether work of this kind can be done in a slot: the calendar allows it and a crew of that role is there.
    #[must_use]
    pub fn works(&self, role: Role, slot: Slot) -> bool {
        self.calendar.allows(role, self.calendar.day(slot))
            && self
                .crew_ids()
                .any(|crew| self.crew(crew).has(role) && self.crew_hours(crew, slot) > Minutes::ZERO)
    }

    /// Whether a line is in the house in a slot.
    #[must_use]
    pub fn line_is_there(&self, line: LineId, slot: Slot) -> bool {
        let day = i64::try_from(self.calendar.day(slot)).unwrap_or(i64::MAX);
        self.line(line).comes.is_there(self.calendar.date(day))
    }

    /// Person-time in a slot of the crews that only check.
    #[must_use]
    pub fn check_time(&self, slot: Slot) -> Minutes {
        let checkers = self.crew_ids().filter(|&crew| self.crew(crew).check_only);
        checkers.map(|crew| Minutes(self.crew_hours(crew, slot).0 * self.crew_people(crew, slot))).sum()
    }

    /// Whether a piece of tank work can be done in a slot: the cellar works, or somebody checks and it may be done alone;
    /// it has to fit into the shift too, which is not asked here.
    #[must_use]
    pub fn works_in_tank(&self, piece: &TankWork, slot: Slot) -> bool {
        self.works(Role::Cellar, slot) || piece.alone && self.check_time(slot) > Minutes::ZERO
    }

    /// Clock time of carbonating a beer, or of giving it nitrogen.
    #[must_use]
    pub fn carbonating_takes(&self, beer: &Beer) -> Minutes {
        beer.nitrogen.map_or(self.carbonate.takes, |nitrogen| nitrogen.takes)
    }

    /// What guests of the taproom ask of a beer on a day.
    #[must_use]
    pub fn asked(&self, beer: BeerId, day: i64) -> Volume {
        self.taproom.asked(beer, self.calendar.date(day))
    }

    /// The tap that a beer in a vessel is poured from: the vessel lists `serve` and the taproom pours the beer.
    #[must_use]
    pub fn tap(&self, vessel: &Vessel, beer: BeerId) -> Option<&Tap> {
        self.taproom.tap(beer).filter(|_| vessel.uses.serve)
    }

    /// Clock time of a slot's shift.
    #[must_use]
    pub fn shift_hours(&self, slot: Slot) -> Minutes {
        self.calendar.shifts[self.calendar.shift(slot)].hours
    }
}
