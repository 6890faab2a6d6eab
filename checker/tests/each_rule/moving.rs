//! Examples of carbonating, moving, cleaning, pressure and volume.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Connected, Filter, FullClean, Marks, SinceFull, Turnaround};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, hl, in_bright, in_tank, job, tiny};
use cellarwright_model::units::{Minutes, Pressure, Rate, Share, Volume};

use crate::{B2, Example, by_bright_tank, direct, plan, two_brights};

pub fn bright_rest() -> Example {
    let mut case = tiny(7);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0), in_bright(B1, hl(2_000), 1)];
    let fill = |day: usize| {
        plan().package(0, CANS, CAN, B1, hl(2_000)).transfer(day, F1, B1, hl(1_900)).clean(day, F1)
    };
    Example {
        case,
        good: fill(1).package(2, CANS, CAN, B1, hl(1_881)).plan(),
        bad: vec![
            fill(0).package(2, CANS, CAN, B1, hl(1_881)).plan(),
            fill(1).package(1, CANS, CAN, B1, hl(1_881)).plan(),
            fill(1).package(2, CANS, CAN, B1, hl(1_881)).clean(3, B1).plan(),
        ],
    }
}

pub fn direct_route() -> Example {
    Example {
        case: tiny(8),
        good: direct(F1).plan(),
        bad: vec![
            plan().brew(0, F1, 1).package(3, CANS, CAN, F1, hl(1_862)).plan(),
            plan().brew(0, F1, 1).carbonate(3, F1).package(3, CANS, CAN, F1, hl(1_862)).plan(),
            plan().brew(0, F1, 1).carbonate(2, F1).package(7, CANS, CAN, F1, hl(1_862)).plan(),
            plan().brew(0, F1, 1).carbonate(2, F1).carbonate(3, F1).plan(),
        ],
    }
}

pub fn clean() -> Example {
    let mut case = tiny(5);
    case.dirty = vec![F1];
    case.in_tank = vec![in_tank(F2, hl(2_000), 3, 0)];
    case.vessels[1].clean_after = Turnaround::NextShift;
    let out = || plan().transfer(0, F2, B1, hl(1_900));
    Example {
        case,
        good: plan().clean(0, F1).brew(0, F1, 1).plan(),
        bad: vec![
            plan().brew(0, F1, 1).plan(),
            out().clean(0, F2).plan(),
            plan().clean(0, F1).brew(2, F1, 1).plan(),
            out().clean(1, F2).clean(1, F1).clean(1, F1).clean(1, F1).clean(1, F1).plan(),
            plan().clean(0, F2).plan(),
        ],
    }
}

/// F1 has had two fills of two; B1 held a beer that leaves a mark behind.
pub fn full_clean() -> Example {
    let mut case = tiny(7);
    let job = job(180, Role::Cellar, 120);
    let full = FullClean { job, cost: None, every: Some(2), after: Marks::NONE };
    case.vessels[0].full_clean = Some(full);
    case.vessels[2].full_clean = Some(FullClean { every: None, after: Marks(1), ..full });
    case.dirty = vec![F1];
    case.since_full.insert(F1, SinceFull { fills: 2, marks: Marks::NONE });
    case.since_full.insert(B1, SinceFull { fills: 3, marks: Marks(1) });
    let week = |clean, fill| {
        let cleaned = plan().work(0, Work::Clean { vessel: F1, full: clean }).brew(0, F1, 1);
        let fill = Work::Transfer { from: F1, to: B1, volume: hl(1_900), full: fill };
        cleaned.work(2, fill).package(3, CANS, CAN, B1, hl(1_881)).plan()
    };
    Example { case, good: week(true, true), bad: vec![week(false, true), week(true, false)] }
}

pub fn pressure() -> Example {
    let mut case = tiny(7);
    case.vessels[0].rated = Pressure(60_000);
    case.vessels[0].relief = Pressure(150_000);
    Example { case, good: by_bright_tank().plan(), bad: vec![direct(F1).plan()] }
}

pub fn volume() -> Example {
    Example {
        case: tiny(7),
        good: by_bright_tank().plan(),
        bad: vec![
            plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_950)).package(3, CANS, CAN, B1, hl(1_881)).plan(),
            plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_700)).clean(3, F1).plan(),
            by_bright_tank().package(4, CANS, CAN, B1, hl(500)).plan(),
            by_bright_tank().package(4, CANS, CAN, B1, hl(-500)).plan(),
            direct(F1).package(4, CANS, CAN, F1, Volume(0)).plan(),
            plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_900)).package(3, CANS, CAN, B1, hl(10)).plan(),
        ],
    }
}

pub fn start() -> Example {
    Example {
        case: tiny(7),
        good: by_bright_tank().plan(),
        bad: vec![
            plan().package(0, CANS, CAN, B1, hl(1_000)).plan(),
            plan().carbonate(0, F1).plan(),
            plan().dump(0, F2).plan(),
        ],
    }
}

pub fn filter() -> Example {
    let mut case = two_brights();
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0), in_tank(F2, hl(2_000), 3, 0)];
    // 18.81 hL of each come out at 5 hL an hour: 3.8 h; with the start-up two do not fit into 8 h.
    case.filters = vec![Filter {
        name: "filter".to_owned(),
        rate: Rate(500_000),
        start_up: Minutes(60),
        change: Minutes(0),
        loss_fixed: Volume(0),
        loss_share: Share(0),
        people: 0,
    }];
    case.beers[0].filter = Some(0);
    case.beers[0].bright_must_leave = 20;
    case.beers[0].direct = false;
    case.transfer.at_once = Some(2);
    case.vessels[0].reaches = Some(Connected { vessels: [B1].into(), lines: [].into() });
    case.vessels[2].reaches = Some(Connected { vessels: [].into(), lines: [CANS].into() });
    case.vessels[3].reaches = Some(Connected { vessels: [].into(), lines: [].into() });
    let one = |to: VesselId| plan().transfer(0, F1, to, hl(1_900));
    Example {
        case,
        good: one(B1).transfer(1, F2, B2, hl(1_900)).package(1, CANS, CAN, B1, hl(1_881)).plan(),
        bad: vec![
            one(B2).plan(),
            one(B1).transfer(0, F2, B2, hl(1_900)).plan(),
            plan().transfer(0, F2, B2, hl(1_900)).package(1, CANS, CAN, B2, hl(1_881)).plan(),
        ],
    }
}

pub fn stages() -> Example {
    Example {
        case: two_brights(),
        good: plan()
            .brew(0, F1, 2)
            .transfer(2, F1, B1, hl(3_800))
            .package(3, CANS, CAN, B1, hl(3_762))
            .plan(),
        bad: vec![
            plan()
                .brew(0, F1, 2)
                .transfer(2, F1, B1, hl(1_900))
                .transfer(2, F1, B2, hl(1_900))
                .package(3, CANS, CAN, B1, hl(1_881))
                .package(3, CANS, CAN, B2, hl(1_881))
                .plan(),
        ],
    }
}

pub fn use_of_vessels() -> Example {
    let mut case = tiny(7);
    case.vessels[1].uses.package = false;
    Example { case, good: direct(F1).plan(), bad: vec![direct(F2).plan(), plan().brew(0, B1, 1).plan()] }
}
// Filled on Wednesday at 06:00: 2 h of cleaning, 2 h of transfer, 6 h of carbonating, 12 h of rest: over on Thursday at
// 04:00. Guests ask for 2 hL a day from Tuesday to Saturday; B2 has 3 hL since Friday.
