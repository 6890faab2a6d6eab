//! Examples of people, lines, packages, orders and the taproom.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{
    Carbonating, Case, Comes, FormatPair, KegPool, KegWasher, Material, NeverAfter, Packaged, Tap, Taproom,
};
use cellarwright_model::ids::{BeerId, CrewId, FormatId, KegPoolId, LineId};
use cellarwright_model::plan::Work;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, F2, PALE, PlanBuilder, hl, hours, in_bright, line, order, stock, tiny,
};
use cellarwright_model::units::{Money, Volume};

use crate::{B2, Example, by_bright_tank, plan, two_brights, two_lots};

/// Two bright tanks that are poured from: B1 is empty, B2 has 3 hL; guests ask for 2 hL a day from Tuesday to Saturday.
fn taproom() -> Case {
    let mut case = two_brights();
    for vessel in &mut case.vessels[2..] {
        vessel.uses.serve = true;
        vessel.rest = hours(12);
    }
    case.in_tank = vec![in_bright(B2, hl(300), 3)];
    let mut a_day = [hl(200); 7];
    (a_day[0], a_day[6]) = (Volume::ZERO, Volume::ZERO);
    let pours = vec![Tap { beer: PALE, a_day, contribution: Money(30_000), pour_within: 7 }];
    case.taproom = Taproom { opens: hours(12), pours, ..Taproom::default() };
    case
}

/// B2 is poured empty by Thursday, while a turn is brewed.
fn poured_by_b2() -> PlanBuilder {
    plan().brew(0, F1, 1).pour(1, B2, hl(200)).pour(3, B2, hl(100))
}

pub fn crew() -> Example {
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(4_000), 1)];
    case.vessels[2].holds = hl(8_000);
    case.in_tank[0].filled = hl(6_000);
    let packers = CrewId(1);
    let pack = || plan().package(0, CANS, CAN, B1, hl(6_000));
    Example {
        case,
        good: pack().overtime(0, packers, hours(1)).plan(),
        bad: vec![
            pack().plan(),
            pack().overtime(0, packers, hours(3)).plan(),
            pack().overtime(0, packers, hours(2)).overtime(0, packers, hours(1)).plan(),
            pack().overtime(0, packers, hours(1)).overtime(1, CrewId(0), hours(1)).plan(),
            pack().overtime(0, packers, hours(1)).overtime(1, packers, hours(-1)).plan(),
            (0..19).fold(plan(), |plan, _| plan.sanitise(0, F1)).brew(0, F2, 2).plan(),
        ],
    }
}

pub fn line_of_beers() -> Example {
    let mut case = two_lots();
    case.lines[0].never_after = vec![NeverAfter { beer: BeerId(1), after: PALE }];
    case.lines.push(line("kegs"));
    case.lines[0].comes = Comes::On([case.calendar.date(0)].into());
    case.lines[0].least_visit = hl(900);
    let keg = FormatId(1);
    case.formats.push(case.formats[0].clone());
    case.formats[1].line = LineId(1);
    let tray = FormatId(2);
    case.formats.push(case.formats[0].clone());
    for beer in &mut case.beers {
        beer.packaged.push(Packaged { format: tray, ..beer.packaged[0] });
    }
    case.lines[0].format_pairs = vec![FormatPair { from: CAN, to: tray, takes: None }];
    let pale = |plan: PlanBuilder| plan.package(0, CANS, CAN, B1, hl(500));
    let dark = |plan: PlanBuilder| plan.package(0, CANS, CAN, B2, hl(500));
    let dark_tray = |plan: PlanBuilder| plan.package(0, CANS, tray, B2, hl(500));
    let pale_tray = |plan: PlanBuilder| plan.package(0, CANS, tray, B1, hl(500));
    Example {
        case,
        good: pale(dark(dark_tray(plan()))).plan(),
        bad: vec![
            dark(pale(plan())).plan(),
            dark(pale(dark(plan()))).plan(),
            plan().package(0, CANS, keg, B1, hl(900)).plan(),
            plan().package(0, LineId(1), keg, B1, hl(500)).plan(),
            plan().package(1, CANS, CAN, B1, hl(1_000)).plan(),
            plan().package(0, CANS, CAN, B1, hl(890)).plan(),
            dark_tray(dark(plan())).plan(),
            pale_tray(dark(plan())).plan(),
            dark_tray(dark(dark_tray(plan()))).plan(),
            dark(dark_tray(dark(plan()))).plan(),
        ],
    }
}

pub fn orders() -> Example {
    let mut case = tiny(7);
    case.stock = vec![stock(hl(100))];
    case.orders = vec![order(hl(1_000), 3, true), order(hl(1_000), 4, false), order(hl(100), 8, false)];
    Example {
        case,
        good: by_bright_tank().deliver(0, 3, hl(100)).deliver(1, 4, hl(1_000)).plan(),
        bad: vec![
            by_bright_tank().deliver(0, 3, hl(101)).plan(),
            by_bright_tank().deliver(0, 3, hl(90)).deliver(0, 3, hl(90)).plan(),
            by_bright_tank().deliver(1, 4, hl(1_001)).plan(),
            by_bright_tank().deliver(1, 4, hl(-1)).plan(),
            by_bright_tank().deliver(2, 8, hl(100)).plan(),
        ],
    }
}

pub fn packages() -> Example {
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    case.keg_washer = Some(KegWasher { pace: 10, people: 1, role: Role::Cellar });
    case.kegs = vec![KegPool {
        name: "kegs".to_owned(),
        formats: vec![CAN],
        clean: 100,
        dirty: 60,
        keeps: Some(3),
        returns: vec![(3, 100)],
        ..KegPool::default()
    }];
    case.materials = vec![Material {
        name: "cans".to_owned(),
        uses: vec![(CAN, 24)],
        in_stock: 3_000,
        lead: Some(2),
        price_per_1000: Money(12_000),
        ..Material::default()
    }];
    let wash = |kegs: i64| plan().work(0, Work::Wash { pool: KegPoolId(0), kegs });
    let pack =
        |plan: PlanBuilder, day: usize, volume: i64| plan.package(day, CANS, CAN, B1, hl(volume)).plan();
    Example {
        case,
        // 15 hL less losses are 14.21 hL, 135 kegs of 10.56 L, 3240 cans.
        good: pack(wash(50), 2, 1_500),
        bad: vec![
            pack(plan(), 2, 1_500),
            pack(wash(0), 0, 1_000),
            pack(wash(61), 0, 1_000),
            pack(wash(50), 0, 1_500),
            // The hundred clean ones are no longer clean on Thursday, those that come back are dirty.
            pack(plan(), 3, 1_000),
            // More than ten an hour in a shift of eight.
            wash(60).work(3, Work::Wash { pool: KegPoolId(0), kegs: 90 }).plan(),
        ],
    }
}

pub fn warm_store() -> Example {
    // 10 hL less 50 L and 2 % are 9.31 hL, 20 hL are 19.11 hL; they can be delivered from Wednesday on.
    let mut case = tiny(4);
    case.beers[0].carbonating = Carbonating::InPackage;
    case.beers[0].release = 1;
    case.warm_store = Some(hl(950));
    case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
    let pack =
        |day: usize| plan().package(0, CANS, CAN, B1, hl(1_000)).package(day, CANS, CAN, B1, hl(1_000));
    Example { case, good: pack(2).plan(), bad: vec![pack(0).plan(), pack(1).plan()] }
}

pub fn serving() -> Example {
    Example {
        case: taproom(),
        good: poured_by_b2().transfer(2, F1, B1, hl(1_900)).pour(3, B1, hl(100)).pour(4, B1, hl(200)).plan(),
        bad: vec![
            plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_900)).pour(2, B1, hl(200)).plan(),
            plan().pour(0, B2, hl(200)).plan(),
            plan().pour(1, B2, hl(201)).plan(),
            plan().pour(1, B2, hl(200)).pour(7, B2, hl(100)).plan(),
            plan().pour(1, B2, hl(0)).plan(),
            plan().pour(5, B2, hl(100)).plan(),
            plan()
                .brew(0, F1, 1)
                .pour(1, B2, hl(200))
                .transfer(2, F1, B1, hl(1_900))
                .pour(3, B1, hl(100))
                .plan(),
        ],
    }
}
