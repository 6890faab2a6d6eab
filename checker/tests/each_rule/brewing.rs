//! Examples of brewing, the stay in the fermenter, yeast and tank work.

use cellarwright_checker::check;
use cellarwright_model::case::{
    BeerYeast, BoughtYeast, Gravity, TankWork, TankWorkKind, Yeast, YeastCrop, YeastInStore,
};
use cellarwright_model::heat::Ferments;
use cellarwright_model::ids::YeastId;
use cellarwright_model::plan::{PitchFrom, Plan};
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PlanBuilder, dry_hop, hl, in_tank, tiny};
use cellarwright_model::units::{self, Heat, Money, TemperatureDrop};

use crate::{Example, by_bright_tank, plan};

/// F1 is pitched with bought yeast on day 2, cropped on day 4 before its dry hop, and F2 is pitched from the crop.
pub fn yeast() -> Example {
    let mut case = tiny(12);
    case.beers[0].stay[0].days = 6;
    case.beers[0].must_leave = 12;
    case.beers[0].tank_work = vec![TankWork { slip: 1, ..dry_hop(2) }];
    case.beers[0].yeast =
        Some(BeerYeast { yeast: YeastId(0), per_turn: true, gravity: Some(Gravity(1_200)) });
    case.yeast.strains.push(Yeast {
        name: "ale yeast".to_owned(),
        bought: Some(BoughtYeast { price: Money(9_000), lead: 1 }),
        crop: Some(YeastCrop {
            from: 2,
            to: 3,
            pitches: 2,
            not_above: Some(Gravity(1_600)),
            before_dry_hop: true,
            job: dry_hop(1).job,
        }),
        keeps: 1,
        keeps_at_most: 5,
        late_cost: Money(500),
        generations: 2,
    });
    case.yeast.in_store.push(YeastInStore { yeast: YeastId(0), generation: 2, cropped: -4, pitches: 1 });
    case.in_tank.push(in_tank(F2, hl(2_000), 3, 3));
    case.in_tank[0].work_done = vec![-1];
    // F2 holds a batch that was hopped, so that it cannot be cropped, and is emptied on day 3.
    let first = |day, from| {
        plan()
            .sanitise(day, F1)
            .brew(day, F1, 1)
            .pitch(day, F1, from, 1)
            .transfer(3, F2, B1, hl(1_900))
            .clean(3, F2)
            .package(4, CANS, CAN, B1, hl(1_881))
    };
    let bought = || first(1, PitchFrom::Bought);
    let of_f1 = |day| PitchFrom::Crop { vessel: F1, day };
    // Hopped two days later, or on the Monday after.
    let second = |plan: PlanBuilder, day: usize, turns| {
        plan.sanitise(day, F2).brew(day, F2, turns).tank_work((day + 2).max(7), F2, 0)
    };
    Example {
        good: second(bought().crop(3, F1).tank_work(3, F1, 0), 4, 2).pitch(4, F2, of_f1(3), 2).plan(),
        bad: vec![
            // Not pitched; pitched with yeast that is not there yet; too old; twice as much as the batch takes.
            plan().brew(0, F1, 1).tank_work(2, F1, 0).plan(),
            plan().brew(0, F1, 1).pitch(0, F1, PitchFrom::Bought, 1).tank_work(2, F1, 0).plan(),
            second(bought(), 7, 1).tank_work(3, F1, 0).pitch(7, F2, PitchFrom::Store(0), 1).plan(),
            bought().pitch(1, F1, PitchFrom::Bought, 1).tank_work(3, F1, 0).plan(),
            // Cropped too early, after the dry hop, twice, of beer that has no generation.
            bought().crop(2, F1).tank_work(3, F1, 0).plan(),
            bought().tank_work(3, F1, 0).crop(4, F1).plan(),
            bought().crop(3, F1).crop(4, F1).tank_work(4, F1, 0).plan(),
            bought().crop(1, F2).tank_work(3, F1, 0).plan(),
            // More than the crop gave; two generations in one batch; a generation too many; a crop of nowhere.
            second(bought().crop(3, F1).tank_work(3, F1, 0), 4, 1).pitch(4, F2, of_f1(3), 3).plan(),
            second(bought().crop(3, F1).tank_work(3, F1, 0), 4, 2)
                .pitch(4, F2, of_f1(3), 1)
                .pitch(4, F2, PitchFrom::Bought, 1)
                .plan(),
            second(first(1, PitchFrom::Store(0)).crop(3, F1).tank_work(3, F1, 0), 4, 1)
                .pitch(4, F2, of_f1(3), 1)
                .plan(),
            second(bought().tank_work(3, F1, 0), 4, 1).pitch(4, F2, of_f1(3), 1).plan(),
        ],
        case,
    }
}

/// Hops on day 2 that stay in for two days until the chill on day 4, a check in between; no more than one chill a day, and
/// no more heat than a batch brings that ferments for three days, or its chill.
pub fn tank_work() -> Example {
    let mut case = tiny(12);
    case.beers[0].stay[0].days = 7;
    case.beers[0].must_leave = 12;
    case.cooling.chills_a_day = Some(1);
    let chill = TankWork { name: "chill".to_owned(), kind: TankWorkKind::Chill, moves: false, ..dry_hop(4) };
    // 20 hL by 1 degree, 8 380 kJ; 12 to 11 degP in three days, some 4 500 kJ on each.
    let chill = TankWork { cools_by: TemperatureDrop(1_000), ..chill };
    case.beers[0].ferments =
        Some(Ferments { from: units::Gravity(12_000), to: units::Gravity(11_000), over: 3 });
    case.cooling.heat_a_day = Some(Heat(8_380));
    case.beers[0].tank_work = vec![
        TankWork { early: 1, slip: 1, contact: 2, ..dry_hop(2) },
        TankWork { name: "check".to_owned(), early: 1, slip: 1, moves: false, ..dry_hop(3) },
        TankWork { early: 1, slip: 4, ..chill },
    ];
    let brewed = || plan().brew(0, F1, 1);
    let done =
        |hops, check, chill| brewed().tank_work(hops, F1, 0).tank_work(check, F1, 1).tank_work(chill, F1, 2);
    let leaves = |plan: PlanBuilder, day| {
        plan.transfer(day, F1, B1, hl(1_900)).package(day + 1, CANS, CAN, B1, hl(1_881)).plan()
    };
    let second =
        |plan: PlanBuilder| plan.brew(0, F2, 1).tank_work(2, F2, 0).tank_work(3, F2, 1).tank_work(4, F2, 2);
    Example {
        good: leaves(done(2, 3, 4), 7),
        bad: vec![
            // Too early, too late, out of order, the chill before the contact time is over.
            leaves(done(0, 3, 4), 7),
            leaves(done(2, 3, 9), 10),
            leaves(done(3, 2, 4), 8),
            leaves(done(3, 4, 4), 8),
            // Left out, done twice.
            leaves(brewed().tank_work(3, F1, 1).tank_work(4, F1, 2), 7),
            brewed().tank_work(2, F1, 0).tank_work(3, F1, 1).plan(),
            leaves(done(2, 3, 4).tank_work(3, F1, 0), 7),
            // Two chills on one day.
            leaves(second(done(2, 3, 4)), 7),
            // A batch ferments while the other is chilled; two ferment at once.
            hot(3, [4, 7, 8]),
            hot(1, [3, 4, 7]),
            // Gone on the day of the last piece; carbonated before it.
            leaves(done(2, 3, 7), 7),
            done(2, 3, 8).carbonate(7, F1).package(9, CANS, CAN, F1, hl(1_862)).plan(),
        ],
        case,
    }
}

/// A batch in F1 on day 0 with all its work, and one in F2 on another day.
fn hot(day: usize, [hops, check, chill]: [usize; 3]) -> Plan {
    let first = plan().brew(0, F1, 1).tank_work(2, F1, 0).tank_work(3, F1, 1).tank_work(4, F1, 2);
    let first = first.transfer(7, F1, B1, hl(1_900)).package(8, CANS, CAN, B1, hl(1_881));
    let both = first.sanitise(day, F2).brew(day, F2, 1);
    both.tank_work(hops, F2, 0).tank_work(check, F2, 1).tank_work(chill, F2, 2).plan()
}

/// Nothing but heat is wrong with them.
#[test]
fn without_a_limit_of_heat_plans_that_are_too_hot_keep_every_rule() {
    let mut case = tank_work().case;
    for plan in [hot(3, [4, 7, 8]), hot(1, [3, 4, 7])] {
        let found = check(&case, &plan).violations;
        assert!(!found.is_empty() && found.iter().all(|found| found.what == "heat of the day"), "{found:?}");
    }
    case.cooling.heat_a_day = None;
    for plan in [hot(3, [4, 7, 8]), hot(1, [3, 4, 7])] {
        assert_eq!(check(&case, &plan).violations, []);
    }
}

pub fn one_batch() -> Example {
    Example {
        case: tiny(7),
        good: by_bright_tank().plan(),
        bad: vec![
            plan().brew(0, F1, 1).brew(2, F1, 1).carbonate(2, F1).plan(),
            plan()
                .brew(0, F1, 2)
                .sanitise(1, F2)
                .brew(1, F2, 1)
                .transfer(2, F1, B1, hl(3_800))
                .transfer(3, F2, B1, hl(1_900))
                .package(4, CANS, CAN, B1, hl(1_881))
                .plan(),
        ],
    }
}

pub fn fill_level() -> Example {
    Example {
        case: tiny(7),
        good: by_bright_tank().plan(),
        bad: vec![
            plan().brew(0, F1, 1).transfer(2, F1, B1, hl(900)).package(3, CANS, CAN, B1, hl(891)).plan(),
            plan().brew(0, F1, 1).brew(1, F1, 2).plan(),
        ],
    }
}

pub fn turns() -> Example {
    Example {
        case: tiny(7),
        good: plan().brew(0, F1, 2).sanitise(1, F2).brew(1, F2, 1).plan(),
        bad: vec![
            plan().brew(0, F1, 2).brew(0, F2, 1).plan(),
            by_bright_tank().brew(1, F2, 0).plan(),
            by_bright_tank().brew(1, F2, -3).plan(),
        ],
    }
}

pub fn ready() -> Example {
    Example {
        case: tiny(7),
        good: by_bright_tank().plan(),
        bad: vec![
            plan().brew(0, F1, 1).transfer(1, F1, B1, hl(1_900)).package(2, CANS, CAN, B1, hl(1_881)).plan(),
            plan().brew(0, F1, 1).carbonate(1, F1).package(2, CANS, CAN, F1, hl(1_862)).plan(),
        ],
    }
}

pub fn wait() -> Example {
    let leaves = |day: usize| plan().brew(0, F1, 1).transfer(day, F1, B1, hl(1_900));
    Example {
        case: tiny(14),
        good: leaves(8).package(9, CANS, CAN, B1, hl(1_881)).plan(),
        bad: vec![
            leaves(9).package(10, CANS, CAN, B1, hl(1_881)).plan(),
            leaves(4).package(10, CANS, CAN, B1, hl(1_881)).plan(),
            plan().brew(0, F1, 1).plan(),
        ],
    }
}
