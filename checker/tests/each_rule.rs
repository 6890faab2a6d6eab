//! For every rule: a plan that keeps all rules, and plans that break this one and no other.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{
    Away, BeerYeast, BoughtYeast, Carbonating, Case, Cause, Comes, Connected, Filter, Gravity, KegPool,
    KegWasher, Material, NeverAfter, Outage, Pin, PinnedWork, RoleTimes, TankWork, TankWorkKind, Tap,
    Taproom, Turnaround, Yeast, YeastCrop, YeastInStore,
};
use cellarwright_model::ids::{BeerId, CrewId, FormatId, KegPoolId, LineId, VesselId, YeastId};
use cellarwright_model::plan::{PitchFrom, Plan, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{
    B1, CAN, CANS, F1, F2, PALE, PlanBuilder, beer, bright, dry_hop, hl, hours, in_bright, in_tank, line,
    order, stock, tiny,
};
use cellarwright_model::units::{Minutes, Money, Pressure, Rate, Share, Volume};

/// A case with a plan that keeps every rule, and plans that break one.
struct Example {
    case: Case,
    good: Plan,
    bad: Vec<Plan>,
}

fn plan() -> PlanBuilder {
    PlanBuilder::new()
}

/// One turn in F1, by the bright tank.
fn by_bright_tank() -> PlanBuilder {
    plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_900)).clean(2, F1).package(3, CANS, CAN, B1, hl(1_881))
}

/// One turn in a fermenter, packaged from it.
fn direct(vessel: VesselId) -> PlanBuilder {
    plan().brew(0, vessel, 1).carbonate(2, vessel).package(3, CANS, CAN, vessel, hl(1_862))
}

fn two_brights() -> Case {
    let mut case = tiny(7);
    case.vessels.push(bright("B2"));
    case
}

const B2: VesselId = VesselId(3);

/// Two beers in two bright tanks.
fn two_lots() -> Case {
    let mut case = two_brights();
    case.beers.push(beer("Dark", CAN));
    case.in_tank = vec![in_bright(B1, hl(2_000), 1), in_bright(B2, hl(2_000), 1)];
    case.in_tank[1].beer = BeerId(1);
    case
}

/// F1 is pitched with bought yeast on day 2, cropped on day 4 before its dry hop, and F2 is pitched from the crop.
fn yeast() -> Example {
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

/// Hops on day 2 that stay in for two days until the chill on day 4, a check in between; no more than one chill a day.
fn tank_work() -> Example {
    let mut case = tiny(12);
    case.beers[0].stay[0].days = 7;
    case.beers[0].must_leave = 12;
    case.cooling.chills_a_day = Some(1);
    let chill = TankWork { name: "chill".to_owned(), kind: TankWorkKind::Chill, moves: false, ..dry_hop(4) };
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
            // Gone on the day of the last piece; carbonated before it.
            leaves(done(2, 3, 7), 7),
            done(2, 3, 8).carbonate(7, F1).package(9, CANS, CAN, F1, hl(1_862)).plan(),
        ],
        case,
    }
}

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

fn example(rule: RuleId) -> Example {
    match rule {
        RuleId::OneBatch => Example {
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
        },
        RuleId::FillLevel => Example {
            case: tiny(7),
            good: by_bright_tank().plan(),
            bad: vec![
                plan().brew(0, F1, 1).transfer(2, F1, B1, hl(900)).package(3, CANS, CAN, B1, hl(891)).plan(),
                plan().brew(0, F1, 1).brew(1, F1, 2).plan(),
            ],
        },
        RuleId::Turns => Example {
            case: tiny(7),
            good: plan().brew(0, F1, 2).sanitise(1, F2).brew(1, F2, 1).plan(),
            bad: vec![
                plan().brew(0, F1, 2).brew(0, F2, 1).plan(),
                by_bright_tank().brew(1, F2, 0).plan(),
                by_bright_tank().brew(1, F2, -3).plan(),
            ],
        },
        RuleId::Ready => Example {
            case: tiny(7),
            good: by_bright_tank().plan(),
            bad: vec![
                plan()
                    .brew(0, F1, 1)
                    .transfer(1, F1, B1, hl(1_900))
                    .package(2, CANS, CAN, B1, hl(1_881))
                    .plan(),
                plan().brew(0, F1, 1).carbonate(1, F1).package(2, CANS, CAN, F1, hl(1_862)).plan(),
            ],
        },
        RuleId::Wait => {
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
        RuleId::BrightRest => {
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
        RuleId::Direct => Example {
            case: tiny(8),
            good: direct(F1).plan(),
            bad: vec![
                plan().brew(0, F1, 1).package(3, CANS, CAN, F1, hl(1_862)).plan(),
                plan().brew(0, F1, 1).carbonate(3, F1).package(3, CANS, CAN, F1, hl(1_862)).plan(),
                plan().brew(0, F1, 1).carbonate(2, F1).package(7, CANS, CAN, F1, hl(1_862)).plan(),
                plan().brew(0, F1, 1).carbonate(2, F1).carbonate(3, F1).plan(),
            ],
        },
        RuleId::Clean => {
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
        RuleId::Crew => {
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
        RuleId::Line => {
            let mut case = two_lots();
            case.lines[0].never_after = vec![NeverAfter { beer: BeerId(1), after: PALE }];
            case.lines.push(line("kegs"));
            case.lines[0].comes = Comes::On([case.calendar.date(0)].into());
            case.lines[0].least_visit = hl(900);
            let keg = FormatId(1);
            case.formats.push(case.formats[0].clone());
            case.formats[1].line = LineId(1);
            let pale = |plan: PlanBuilder| plan.package(0, CANS, CAN, B1, hl(500));
            let dark = |plan: PlanBuilder| plan.package(0, CANS, CAN, B2, hl(500));
            Example {
                case,
                good: pale(dark(plan())).plan(),
                bad: vec![
                    dark(pale(plan())).plan(),
                    dark(pale(dark(plan()))).plan(),
                    plan().package(0, CANS, keg, B1, hl(900)).plan(),
                    plan().package(0, LineId(1), keg, B1, hl(500)).plan(),
                    plan().package(1, CANS, CAN, B1, hl(1_000)).plan(),
                    plan().package(0, CANS, CAN, B1, hl(890)).plan(),
                ],
            }
        }
        RuleId::Pressure => {
            let mut case = tiny(7);
            case.vessels[0].rated = Pressure(60_000);
            case.vessels[0].relief = Pressure(150_000);
            Example { case, good: by_bright_tank().plan(), bad: vec![direct(F1).plan()] }
        }
        RuleId::Volume => Example {
            case: tiny(7),
            good: by_bright_tank().plan(),
            bad: vec![
                plan()
                    .brew(0, F1, 1)
                    .transfer(2, F1, B1, hl(1_950))
                    .package(3, CANS, CAN, B1, hl(1_881))
                    .plan(),
                plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_700)).clean(3, F1).plan(),
                by_bright_tank().package(4, CANS, CAN, B1, hl(500)).plan(),
                by_bright_tank().package(4, CANS, CAN, B1, hl(-500)).plan(),
                direct(F1).package(4, CANS, CAN, F1, Volume(0)).plan(),
                plan().brew(0, F1, 1).transfer(2, F1, B1, hl(1_900)).package(3, CANS, CAN, B1, hl(10)).plan(),
            ],
        },
        RuleId::Orders => {
            let mut case = tiny(7);
            case.stock = vec![stock(hl(100))];
            case.orders =
                vec![order(hl(1_000), 3, true), order(hl(1_000), 4, false), order(hl(100), 8, false)];
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
        RuleId::Filter => {
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
        RuleId::Packages => {
            let mut case = tiny(7);
            case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
            case.keg_washer = Some(KegWasher { pace: 10, people: 1, role: Role::Cellar });
            case.kegs = vec![KegPool {
                name: "kegs".to_owned(),
                formats: vec![CAN],
                clean: 100,
                dirty: 60,
                keeps: Some(3),
                back_after: None,
                returns: vec![(3, 100)],
            }];
            case.materials = vec![Material {
                name: "cans".to_owned(),
                uses: vec![(CAN, 24)],
                beers: None,
                in_stock: 3_000,
                lead: Some(2),
                least_order: 0,
                price_per_1000: Money(12_000),
                deliveries: Vec::new(),
            }];
            let wash = |kegs: i64| plan().work(0, Work::Wash { pool: KegPoolId(0), kegs });
            let pack = |plan: PlanBuilder, day: usize, volume: i64| {
                plan.package(day, CANS, CAN, B1, hl(volume)).plan()
            };
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
        RuleId::Start => Example {
            case: tiny(7),
            good: by_bright_tank().plan(),
            bad: vec![
                plan().package(0, CANS, CAN, B1, hl(1_000)).plan(),
                plan().carbonate(0, F1).plan(),
                plan().dump(0, F2).plan(),
            ],
        },
        RuleId::Outage => {
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
                    plan()
                        .brew(0, F1, 1)
                        .transfer(3, F1, B1, hl(1_900))
                        .package(4, CANS, CAN, B1, hl(1_881))
                        .plan(),
                    plan()
                        .brew(0, F2, 1)
                        .transfer(3, F2, B1, hl(1_900))
                        .package(7, CANS, CAN, B1, hl(1_881))
                        .plan(),
                ],
            }
        }
        RuleId::Pinned => {
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
            let transfer = PinnedWork::Transfer { beer: PALE, from: Some(F1), to: Some(B1) };
            let package =
                |volume, from| PinnedWork::Package { beer: PALE, format: None, line: None, from, volume };
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
        RuleId::TankWork => tank_work(),
        RuleId::Yeast => yeast(),
        RuleId::Calendar => {
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
        RuleId::Use => {
            let mut case = tiny(7);
            case.vessels[1].uses.package = false;
            Example {
                case,
                good: direct(F1).plan(),
                bad: vec![direct(F2).plan(), plan().brew(0, B1, 1).plan()],
            }
        }
        // Filled on Wednesday at 06:00: 2 h of cleaning, 2 h of transfer, 6 h of carbonating, 12 h of rest: over on Thursday at
        // 04:00. Guests ask for 2 hL a day from Tuesday to Saturday; B2 has 3 hL since Friday.
        RuleId::Serving => Example {
            case: taproom(),
            good: poured_by_b2()
                .transfer(2, F1, B1, hl(1_900))
                .pour(3, B1, hl(100))
                .pour(4, B1, hl(200))
                .plan(),
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
        },
        RuleId::Stages => Example {
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
        },
        RuleId::Hours => {
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
        RuleId::WarmStore => {
            // 10 hL less 50 L and 2 % are 9.31 hL, 20 hL are 19.11 hL; they can be delivered from Wednesday on.
            let mut case = tiny(4);
            case.beers[0].carbonating = Carbonating::InPackage;
            case.beers[0].release = 1;
            case.warm_store = Some(hl(950));
            case.in_tank = vec![in_bright(B1, hl(2_000), 1)];
            let pack = |day: usize| {
                plan().package(0, CANS, CAN, B1, hl(1_000)).package(day, CANS, CAN, B1, hl(1_000))
            };
            Example { case, good: pack(2).plan(), bad: vec![pack(0).plan(), pack(1).plan()] }
        }
    }
}

#[test]
fn every_rule_has_a_plan_that_keeps_all_rules() {
    let mut wrong = Vec::new();
    for rule in RuleId::ALL {
        let example = example(rule);
        let violations = check(&example.case, &example.good).violations;
        if !violations.is_empty() {
            wrong.push(format!("{rule:?}: {violations:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_rule_finds_what_breaks_it_alone() {
    let mut wrong = Vec::new();
    for rule in RuleId::ALL {
        let example = example(rule);
        assert!(!example.bad.is_empty(), "{rule:?}");
        for (number, bad) in example.bad.iter().enumerate() {
            let violations = check(&example.case, bad).violations;
            let mut found: Vec<RuleId> = violations.iter().map(|violation| violation.rule).collect();
            found.dedup();
            if found != [rule] {
                wrong.push(format!("{rule:?} plan {number}: {violations:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
