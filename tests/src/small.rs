//! Parts of small cases, all invented: round numbers, generous limits. Tests change what they are about.

use std::collections::BTreeMap;

use cellarwright_model::calendar::{Calendar, Role, Shift, Weekdays};
use cellarwright_model::case::{
    Aim, Beer, BoughtYeast, Brewhouse, Brewing, Carbonating, Case, Cleaning, Comes, Cooling, Crew, Fixed,
    Format, InTank, Job, Line, Marks, Order, Packaged, PressureMargins, Purge, Rates, Reach, RoleTimes,
    Split, Stage, TankWork, TankWorkKind, Taproom, Transfer, Turnaround, Uses, Vessel, Yeast, YeastCrop,
    Yeasts,
};
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::measures::UnitSystem;
use cellarwright_model::units::{
    Carbonation, Minutes, Money, Pressure, Rate, Share, Temperature, TemperatureDrop, Volume,
};

/// Whole hectolitres.
#[must_use]
pub fn hl(hectolitres: i64) -> Volume {
    Volume(hectolitres * Volume::HECTOLITRE.0)
}

/// Whole hours.
#[must_use]
pub fn hours(hours: i64) -> Minutes {
    Minutes(hours * 60)
}

/// Whole units of money.
#[must_use]
pub fn money(units: i64) -> Money {
    Money(units * 100)
}

/// Whole per cent.
#[must_use]
pub fn percent(percent: i64) -> Share {
    Share(percent * 10_000)
}

/// A job of one role with as much person-time as clock time.
#[must_use]
pub fn job(role: Role, takes: Minutes) -> Job {
    Job { takes, crew: RoleTimes::only(role, takes) }
}

/// A calendar of days that all have one shift of 8 h and are worked, from a Monday.
#[must_use]
pub fn calendar(days: usize) -> Calendar {
    Calendar {
        starts: jiff::civil::date(2026, 12, 7),
        planned_days: days,
        look_ahead_days: 0,
        shifts: vec![Shift { name: "day".into(), starts: hours(6), hours: hours(8) }],
        work: [Weekdays::ALL; 3],
        deliver: Weekdays::ALL,
        closed: std::collections::BTreeSet::new(),
    }
}

/// A case without vessels, beers, lines and orders: turns of 20 hL, two a day, a crew of ten for everything.
#[must_use]
pub fn case(days: usize) -> Case {
    Case {
        name: "small".into(),
        cellar: "invented".into(),
        altitude_metres: 0,
        show_units: UnitSystem::Metric,
        clock_times: false,
        calendar: calendar(days),
        aim: Aim::Orders,
        brewhouse: Brewhouse {
            turn: hl(20),
            first_turn: job(Role::Brew, hours(5)),
            next_turn: job(Role::Brew, hours(3)),
            knock_out: Minutes(60),
            turns_per_day: 2,
            hours_per_day: hours(12),
            least_turn: Volume::ZERO,
            fill_within: hours(24),
            liquor: Vec::new(),
        },
        vessels: Vec::new(),
        pressure: PressureMargins { below_relief: percent(10), breakout: Pressure(0) },
        cleaning_sets: 2,
        cleaning: Cleaning::default(),
        sanitise: job(Role::Cellar, Minutes(15)),
        transfer: Transfer {
            job: job(Role::Cellar, hours(2)),
            loss_fixed: Volume(20_000),
            loss_share: percent(1),
            at_once: None,
        },
        filters: Vec::new(),
        carbonate: Job { takes: hours(6), crew: RoleTimes::only(Role::Cellar, Minutes(30)) },
        lines: Vec::new(),
        formats: Vec::new(),
        kegs: Vec::new(),
        keg_washer: None,
        materials: Vec::new(),
        crews: vec![crew("everybody", 10, &Role::ALL)],
        beers: Vec::new(),
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
        rates: Rates { dump: money(100_000), ..Rates::default() },
        prices: Vec::new(),
        cooling: Cooling::default(),
        yeast: Yeasts::default(),
        layout: None,
    }
}

/// Prices of a cellar in which nothing costs, but what is never meant to be done.
#[must_use]
pub fn free_rates() -> Rates {
    Rates::default().without_work()
}

/// A crew of the first shift, 8 h every day, no overtime.
#[must_use]
pub fn crew(name: &str, people: i64, roles: &[Role]) -> Crew {
    Crew {
        name: name.into(),
        people,
        roles: roles.to_vec(),
        check_only: false,
        hours: hours(8),
        pause: Minutes::ZERO,
        days: Weekdays::ALL,
        shift: 0,
        further_shifts: Vec::new(),
        off: Vec::new(),
        absent: Vec::new(),
        overtime: None,
    }
}

fn vessel(name: &str, holds: Volume, uses: Uses) -> Vessel {
    Vessel {
        name: name.into(),
        uses,
        holds,
        least: Volume(holds.0 / 4),
        rated: Pressure(200_000),
        relief: Pressure(200_000),
        clean: job(Role::Cellar, hours(2)),
        beer_height: 0,
        reach: Reach::ALL,
        purge: Purge::default(),
        clean_after: Turnaround::NextShift,
        refill: Turnaround::NextShift,
        full_clean: None,
        reaches: None,
        rest: Minutes::ZERO,
        price: None,
    }
}

/// A fermenter that may be packaged from.
#[must_use]
pub fn unitank(name: &str, holds: Volume) -> Vessel {
    vessel(name, holds, Uses { ferment: true, package: true, bright: false, serve: false, condition: false })
}

/// A fermenter that may not be packaged from.
#[must_use]
pub fn fermenter(name: &str, holds: Volume) -> Vessel {
    vessel(name, holds, Uses { ferment: true, package: false, bright: false, serve: false, condition: false })
}

/// A bright tank.
#[must_use]
pub fn bright(name: &str, holds: Volume) -> Vessel {
    vessel(name, holds, Uses { ferment: false, package: false, bright: true, serve: false, condition: false })
}

/// A beer by both routes, ready after four days, in one turn, at 2.5 volumes and 2 degC.
#[must_use]
pub fn beer(name: &str, formats: &[usize]) -> Beer {
    Beer {
        name: name.into(),
        turns: vec![1],
        part_turns: Vec::new(),
        brewing: Brewing::default(),
        stay: vec![Stage { name: "ferment".into(), days: 3 }, Stage { name: "chill".into(), days: 1 }],
        conditions: None,
        may_wait: 3,
        must_leave: 30,
        bright_wait: 3,
        bright_must_leave: 20,
        direct: true,
        bright: true,
        both: false,
        loss_tank: percent(6),
        loss_direct: percent(2),
        carbonating: Carbonating::Forced,
        carbonation: Carbonation(2_500),
        carbonated_at: Temperature(2_000),
        spund: None,
        nitrogen: None,
        during_chill: false,
        pump: true,
        split: Split::Needed,
        blend: false,
        filter: None,
        packaged: formats
            .iter()
            .map(|&format| Packaged { format: FormatId(format), contribution: money(100) })
            .collect(),
        release: 0,
        fresh: None,
        sales: None,
        ferments: None,
        tank_work: Vec::new(),
        yeast: None,
        marks: Marks::NONE,
    }
}

/// A strain that is bought at 100 a pitch, so many days ahead, and cropped from the third to the fifth day: two pitches that keep
/// for two days, and for two more at 10 a day, up to the third generation.
#[must_use]
pub fn yeast(lead: i64) -> Yeast {
    Yeast {
        name: "ale yeast".into(),
        bought: Some(BoughtYeast { price: money(100), lead }),
        crop: Some(YeastCrop {
            from: 3,
            to: 5,
            pitches: 2,
            not_above: None,
            before_dry_hop: true,
            job: job(Role::Cellar, Minutes(30)),
        }),
        keeps: 2,
        keeps_at_most: 4,
        late_cost: money(10),
        generations: 3,
    }
}

/// A dry hop due so many days after the last turn: half an hour of one person, neither early nor late.
#[must_use]
pub fn dry_hop(day: i64) -> TankWork {
    TankWork {
        name: "dry hop".into(),
        kind: TankWorkKind::DryHop,
        day,
        early: 0,
        slip: 0,
        moves: true,
        job: job(Role::Cellar, Minutes(30)),
        alone: false,
        contact: 0,
        cools_by: TemperatureDrop::ZERO,
    }
}

/// A line of 20 hL/h at 100 %, two people, half an hour of start-up and of clean-down.
#[must_use]
pub fn line(name: &str) -> Line {
    Line {
        name: name.into(),
        speed: Rate(2_000_000),
        efficiency: Share::WHOLE,
        people: 2,
        start_up: Minutes(30),
        clean_down: Minutes(30),
        reach: Reach::ALL,
        change_beer: Minutes(45),
        change_pairs: Vec::new(),
        change_format: Minutes(30),
        format_pairs: Vec::new(),
        loss: Volume(30_000),
        least_run: Volume::ZERO,
        feed: Pressure(0),
        pump: true,
        never_after: Vec::new(),
        comes: Comes::Always,
        visit: Money::ZERO,
        least_visit: Volume::ZERO,
    }
}

/// A line so fast that its running time does not matter, without loss.
#[must_use]
pub fn fast_line(name: &str) -> Line {
    Line { speed: Rate(100_000_000), loss: Volume::ZERO, ..line(name) }
}

/// A format of kegs without loss.
#[must_use]
pub fn kegs(line: usize) -> Format {
    Format {
        name: "keg".into(),
        line: LineId(line),
        contents: Volume(50_000),
        pallet: None,
        overfill: Share(0),
        loss: Share(0),
    }
}

/// An order, firm.
#[must_use]
pub fn order(beer: usize, format: usize, quantity: Volume, due: i64) -> Order {
    Order {
        name: format!("order due on day {due}"),
        beer: BeerId(beer),
        format: FormatId(format),
        quantity,
        due,
        firm: true,
        likely: Share::WHOLE,
        whole: false,
        late: None,
        fresh: None,
    }
}

/// Carbonated beer in a bright tank on day 0, filled on a day.
#[must_use]
pub fn in_bright(vessel: usize, beer: usize, filled: Volume, on: i64) -> InTank {
    InTank { carbonated: true, is_bright: true, ..in_fermenter(vessel, beer, filled, on, on) }
}

/// A batch in a fermenter on day 0: day of its last turn, ready day.
#[must_use]
pub fn in_fermenter(vessel: usize, beer: usize, filled: Volume, on: i64, ready: i64) -> InTank {
    InTank {
        vessel: VesselId(vessel),
        beer: BeerId(beer),
        filled,
        on,
        ready,
        carbonated: false,
        is_bright: false,
        work_done: Vec::new(),
    }
}

/// Beer in plenty in one bright tank, kegs of 10 hL.
#[must_use]
pub fn plenty(days: usize) -> Case {
    let mut made = case(days);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.formats[0].contents = hl(10);
    made.beers.push(beer("beer", &[0]));
    made.vessels.push(bright("B", hl(400)));
    made.in_tank.push(in_bright(0, 0, hl(400), -1));
    made
}
