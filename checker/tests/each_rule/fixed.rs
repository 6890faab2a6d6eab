//! Examples of outages, pins, the calendar and the hours of the day.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Away, Cause, Outage, Pin, PinnedWork, RoleTimes};
use cellarwright_model::ids::CrewId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PALE, PlanBuilder, hl, hours, tiny};
use cellarwright_model::units::Volume;

use crate::{Example, by_bright_tank, plan};

pub fn outage() -> Example {
    let away = |what, first_day, last_day, must_be_empty| Outage {
        what,
        first_day,
        last_day,
        cause: if must_be_empty { Cause::Upkeep } else { Cause::Outage },
        reason: "inspection".to_owned(),
        must_be_empty,
        crew: RoleTimes::only(Role::Cellar, hours(2)),
    };
    let mut case = tiny(9);
    case.fixed.outages = vec![
        away(Away::Vessel(F1), 1, 1, false),
        away(Away::Line(CANS), 4, 4, false),
        away(Away::Brewhouse, 2, 2, false),
        away(Away::Vessel(F2), 3, 3, true),
    ];
    Example {
        case,
        good: by_bright_tank().clean(4, F2).brew(4, F2, 1).plan(),
        bad: vec![
            plan().sanitise(1, F1).brew(1, F1, 1).plan(),
            by_bright_tank().clean(4, F2).brew(4, F2, 1).sanitise(3, F2).plan(),
            by_bright_tank().sanitise(2, F2).brew(2, F2, 1).plan(),
            plan().brew(0, F1, 1).transfer(3, F1, B1, hl(1_900)).package(4, CANS, CAN, B1, hl(1_881)).plan(),
            plan().brew(0, F2, 1).transfer(3, F2, B1, hl(1_900)).package(7, CANS, CAN, B1, hl(1_881)).plan(),
        ],
    }
}

pub fn pinned() -> Example {
    let mut case = tiny(7);
    case.fixed.outages = vec![Outage {
        what: Away::Vessel(F2),
        first_day: 0,
        last_day: 2,
        cause: Cause::Left,
        reason: String::new(),
        must_be_empty: false,
        crew: RoleTimes::default(),
    }];
    let brew = PinnedWork::Brew { beer: PALE, vessel: Some(F1), turns: Some(1), part: None };
    let transfer = PinnedWork::Transfer { beer: PALE, from: Some(F1), to: Some(B1), volume: None };
    let package = |volume, from| PinnedWork::Package { beer: PALE, format: None, line: None, from, volume };
    let on = |work, day| Pin { work, day, shift: None };
    // Packaged by hand: (18.81 - 0.5) x 0.98 hL.
    let packaged = Volume(1_794_380);
    case.fixed.pins = vec![
        on(brew, Some(0)),
        on(transfer, Some(2)),
        on(PinnedWork::Clean { vessel: F1 }, None),
        on(package(Some(packaged), None), Some(3)),
        on(package(None, Some(B1)), None),
    ];
    let begun = |day: usize, turns: i64| {
        let sanitised = if day > 0 { plan().sanitise(day, F1) } else { plan() };
        sanitised.brew(day, F1, turns)
    };
    let to_line = |plan: PlanBuilder, day: usize| plan.package(day, CANS, CAN, B1, hl(1_881));
    Example {
        case,
        good: by_bright_tank().clean(3, F2).plan(),
        bad: vec![
            by_bright_tank().sanitise(2, F2).plan(),
            by_bright_tank().clean(3, F2).brew(3, F2, 1).dump(4, F2).plan(),
            begun(0, 2)
                .transfer(2, F1, B1, hl(3_800))
                .clean(2, F1)
                .package(3, CANS, CAN, B1, hl(1_881))
                .plan(),
            to_line(begun(0, 1).transfer(3, F1, B1, hl(1_900)).clean(3, F1), 4).plan(),
            to_line(begun(0, 1).transfer(2, F1, B1, hl(1_900)), 3).plan(),
            to_line(begun(0, 1).transfer(2, F1, B1, hl(1_900)).clean(2, F1), 4).plan(),
            plan()
                .brew(0, F1, 1)
                .transfer(2, F1, B1, hl(1_900))
                .clean(2, F1)
                .package(3, CANS, CAN, B1, hl(1_700))
                .plan(),
        ],
    }
}

pub fn calendar() -> Example {
    let leaves = |day: usize| plan().brew(0, F1, 1).transfer(day, F1, B1, hl(1_900));
    Example {
        case: tiny(9),
        good: leaves(4).package(7, CANS, CAN, B1, hl(1_881)).plan(),
        bad: vec![
            leaves(5).package(7, CANS, CAN, B1, hl(1_881)).plan(),
            leaves(4).package(6, CANS, CAN, B1, hl(1_881)).plan(),
            leaves(4).package(7, CANS, CAN, B1, hl(1_881)).clean(9, F1).plan(),
            leaves(4).brew(usize::MAX, F2, 1).plan(),
            leaves(4).overtime(9, CrewId(1), hours(1)).plan(),
        ],
    }
}

pub fn hours_of_the_day() -> Example {
    // A turn takes 4 h, its last hour is the knock-out; a clean takes 2 h.
    let mut case = tiny(7);
    case.clock_times = true;
    case.dirty = vec![F1];
    Example {
        case,
        good: plan().clean(0, F1).at(0).brew(0, F1, 1).at(0).plan(),
        bad: vec![
            plan().clean(0, F1).at(61).brew(0, F1, 1).at(0).plan(),
            plan().clean(0, F1).at(361).plan(),
            plan().clean(0, F1).at(-1).plan(),
            plan().clean(0, F1).at(0).brew(0, F1, 1).plan(),
        ],
    }
}
