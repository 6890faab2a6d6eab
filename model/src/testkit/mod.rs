//! A tiny invented brewery for tests: two fermenters, one bright tank, one beer, one line.
//!
//! Days are Monday 7 December 2026 and after, one shift a day, so that slot and day have the same number.

mod plan;

pub use plan::PlanBuilder;

use std::collections::{BTreeMap, BTreeSet};

use crate::calendar::{Calendar, Role, Shift, Weekdays};
use crate::case::{
    Aim, Beer, Brewhouse, Brewing, Carbonating, Case, Cleaning, Comes, Cooling, Crew, Fixed, Format, InTank,
    Job, Line, Marks, Order, OvertimeLimit, Packaged, PressureMargins, Purge, Rates, Reach, RoleTimes, Split,
    Stage, Stock, TankWork, TankWorkKind, Taproom, Transfer, Turnaround, Uses, Vessel, Yeasts,
};
use crate::ids::{BeerId, FormatId, LineId, VesselId};
use crate::measures::UnitSystem;
use crate::units::{
    Carbonation, Minutes, Money, Pressure, Rate, Share, Temperature, TemperatureDrop, Volume,
};

/// The first fermenter.
pub const F1: VesselId = VesselId(0);
/// The second fermenter.
pub const F2: VesselId = VesselId(1);
/// The bright tank.
pub const B1: VesselId = VesselId(2);
/// The beer.
pub const PALE: BeerId = BeerId(0);
/// The line.
pub const CANS: LineId = LineId(0);
/// The format.
pub const CAN: FormatId = FormatId(0);

/// A volume in hundredths of a hectolitre: `hl(1881)` is 18.81 hL.
#[must_use]
pub const fn hl(hundredths: i64) -> Volume {
    Volume(hundredths * 1_000)
}

/// Hours as minutes.
#[must_use]
pub const fn hours(hours: i64) -> Minutes {
    Minutes(hours * 60)
}

/// A piece of work that takes so many minutes of the clock and of one role's people.
#[must_use]
pub fn job(takes: i64, role: Role, person_time: i64) -> Job {
    Job { takes: Minutes(takes), crew: RoleTimes::only(role, Minutes(person_time)) }
}

/// The tiny brewery for so many planned days, without look-ahead, empty and clean on day 0.
#[must_use]
pub fn tiny(planned_days: usize) -> Case {
    Case {
        name: "Tiny week".to_owned(),
        cellar: "Tiny cellar".to_owned(),
        altitude_metres: 0,
        show_units: UnitSystem::Metric,
        clock_times: false,
        calendar: calendar(planned_days),
        aim: Aim::Orders,
        brewhouse: brewhouse(),
        vessels: vec![fermenter("F1"), fermenter("F2"), bright("B1")],
        pressure: PressureMargins { below_relief: Share(100_000), breakout: Pressure::ZERO },
        cleaning_sets: 1,
        cleaning: Cleaning::default(),
        sanitise: job(30, Role::Cellar, 30),
        transfer: Transfer {
            job: job(120, Role::Cellar, 60),
            loss_fixed: Volume::ZERO,
            loss_share: Share(10_000),
            at_once: None,
        },
        filters: Vec::new(),
        carbonate: job(360, Role::Cellar, 30),
        lines: vec![line("cans")],
        formats: vec![Format {
            name: "can".to_owned(),
            line: CANS,
            contents: Volume(10_560),
            pallet: None,
            overfill: Share(0),
            loss: Share(20_000),
        }],
        kegs: Vec::new(),
        keg_washer: None,
        materials: Vec::new(),
        crews: vec![
            crew("cellar", 2, &[Role::Brew, Role::Cellar]),
            Crew {
                overtime: Some(OvertimeLimit { at_most: hours(2), a_week: None, cost: Money(4_000) }),
                ..crew("packers", 2, &[Role::Package])
            },
        ],
        beers: vec![beer("Pale", CAN)],
        orders: Vec::new(),
        warm_store: None,
        cold_store: None,
        keep: Vec::new(),
        stock: Vec::new(),
        in_tank: Vec::new(),
        dirty: Vec::new(),
        since_full: BTreeMap::new(),
        fixed: Fixed::default(),
        taproom: Taproom::default(),
        rates: Rates::default(),
        prices: Vec::new(),
        cooling: Cooling::default(),
        yeast: Yeasts::default(),
        layout: None,
    }
}

fn calendar(planned_days: usize) -> Calendar {
    Calendar {
        starts: jiff::civil::Date::constant(2026, 12, 7),
        planned_days,
        look_ahead_days: 0,
        shifts: vec![Shift { name: "day".to_owned(), starts: hours(6), hours: hours(8) }],
        work: [Weekdays::MONDAY_TO_FRIDAY; 3],
        deliver: Weekdays::MONDAY_TO_FRIDAY,
        closed: BTreeSet::new(),
    }
}

fn brewhouse() -> Brewhouse {
    Brewhouse {
        turn: hl(2_000),
        first_turn: job(240, Role::Brew, 240),
        next_turn: job(180, Role::Brew, 180),
        knock_out: Minutes(60),
        turns_per_day: 2,
        hours_per_day: hours(12),
        least_turn: Volume::ZERO,
        fill_within: hours(24),
        liquor: Vec::new(),
    }
}

/// A fermenter of 40 hL that may be packaged from.
#[must_use]
pub fn fermenter(name: &str) -> Vessel {
    Vessel {
        uses: Uses { ferment: true, package: true, bright: false, serve: false, condition: false },
        least: hl(1_800),
        clean_after: Turnaround::SameShift,
        ..bright(name)
    }
}

/// A bright tank of 40 hL.
#[must_use]
pub fn bright(name: &str) -> Vessel {
    Vessel {
        name: name.to_owned(),
        uses: Uses { ferment: false, package: false, bright: true, serve: false, condition: false },
        holds: hl(4_000),
        least: hl(1_000),
        rated: Pressure(300_000),
        relief: Pressure(300_000),
        clean: job(120, Role::Cellar, 60),
        full_clean: None,
        beer_height: 0,
        reach: Reach::ALL,
        purge: Purge::default(),
        clean_after: Turnaround::NextShift,
        refill: Turnaround::NextShift,
        reaches: None,
        rest: Minutes::ZERO,
        price: None,
    }
}

/// A line that runs 8 hL an hour with two people.
#[must_use]
pub fn line(name: &str) -> Line {
    Line {
        name: name.to_owned(),
        speed: Rate(1_000_000),
        efficiency: Share(800_000),
        people: 2,
        start_up: Minutes(60),
        clean_down: Minutes(30),
        reach: Reach::ALL,
        change_beer: Minutes(45),
        change_pairs: Vec::new(),
        change_format: Minutes(15),
        format_pairs: Vec::new(),
        loss: hl(50),
        least_run: hl(500),
        feed: Pressure::ZERO,
        pump: false,
        never_after: Vec::new(),
        comes: Comes::Always,
        visit: Money::ZERO,
        least_visit: Volume::ZERO,
    }
}

/// A crew that comes from Monday to Friday for eight hours.
#[must_use]
pub fn crew(name: &str, people: i64, roles: &[Role]) -> Crew {
    Crew {
        name: name.to_owned(),
        people,
        roles: roles.to_vec(),
        check_only: false,
        hours: hours(8),
        pause: Minutes::ZERO,
        days: Weekdays::MONDAY_TO_FRIDAY,
        shift: 0,
        further_shifts: Vec::new(),
        off: Vec::new(),
        absent: Vec::new(),
        overtime: None,
    }
}

/// A beer that is ready two days after its last turn and goes either way.
#[must_use]
pub fn beer(name: &str, format: FormatId) -> Beer {
    Beer {
        name: name.to_owned(),
        turns: vec![1, 2],
        part_turns: Vec::new(),
        brewing: Brewing::default(),
        stay: vec![Stage { name: "ferment".to_owned(), days: 2 }],
        conditions: None,
        may_wait: 3,
        must_leave: 8,
        bright_wait: 2,
        bright_must_leave: 5,
        direct: true,
        bright: true,
        both: false,
        loss_tank: Share(50_000),
        loss_direct: Share(20_000),
        carbonating: Carbonating::Forced,
        carbonation: Carbonation(2_500),
        carbonated_at: Temperature(2_000),
        spund: None,
        nitrogen: None,
        during_chill: false,
        pump: false,
        split: Split::Needed,
        blend: false,
        filter: None,
        packaged: vec![Packaged { format, contribution: Money(10_000) }],
        release: 0,
        fresh: None,
        sales: None,
        ferments: None,
        tank_work: Vec::new(),
        yeast: None,
        marks: Marks::NONE,
    }
}

/// A dry hop due so many days after the last turn: half an hour of one person, neither early nor late.
#[must_use]
pub fn dry_hop(day: i64) -> TankWork {
    TankWork {
        name: "dry hop".to_owned(),
        kind: TankWorkKind::DryHop,
        day,
        early: 0,
        slip: 0,
        moves: true,
        job: job(30, Role::Cellar, 30),
        alone: false,
        contact: 0,
        cools_by: TemperatureDrop::ZERO,
    }
}

/// Wort of the beer in a fermenter, brewed so many days before day 0, ready on a day.
#[must_use]
pub fn in_tank(vessel: VesselId, filled: Volume, days_ago: i64, ready: i64) -> InTank {
    InTank {
        vessel,
        beer: PALE,
        filled,
        on: -days_ago,
        ready,
        carbonated: false,
        is_bright: false,
        work_done: Vec::new(),
    }
}

/// Beer in a bright tank, transferred so many days before day 0.
#[must_use]
pub fn in_bright(vessel: VesselId, filled: Volume, days_ago: i64) -> InTank {
    InTank { carbonated: true, is_bright: true, ..in_tank(vessel, filled, days_ago, -days_ago) }
}

/// An order of the beer.
#[must_use]
pub fn order(quantity: Volume, due: i64, firm: bool) -> Order {
    Order {
        name: format!("due {due}"),
        beer: PALE,
        format: CAN,
        quantity,
        due,
        firm,
        likely: Share::WHOLE,
        whole: false,
        late: None,
        fresh: None,
    }
}

/// Packaged beer on day 0.
#[must_use]
pub fn stock(quantity: Volume) -> Stock {
    Stock { beer: PALE, format: CAN, quantity, from: 0, packaged_on: -1 }
}
