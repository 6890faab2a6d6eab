//! Serving tanks: the case worked by hand, what it turns on, and a search through every way to fill the tanks.

use cellarwright_checker::account::Fate;
use cellarwright_checker::check;
use cellarwright_model::calendar::Weekdays;
use cellarwright_model::case::{Case, InTank, Pin, PinnedWork, Rates, Split, Tap, Taproom, Turnaround};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Money, Pressure, Share, Volume};
use cellarwright_solver::{NoObserver, Options, solve};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{
    beer, bright, case, fast_line, fermenter, hl, hours, in_bright, in_fermenter, kegs, money, order,
};

use crate::best::tiny;
use crate::oracle::exact;

fn by_hand() -> Case {
    tiny("serving-tanks")
}

fn worth(case: &Case) -> i64 {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report, check(case, &answer.plan));
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
    answer.objective
}

#[test]
fn one_tank_must_be_filled_again_before_the_weekend() {
    // Worked by hand in the brew plan: 10 hL x 300 - 0.5 hL x 200.
    assert_eq!(worth(&by_hand()), 290_000);
}

#[test]
fn without_cellar_work_on_thursday_and_friday_a_tap_runs_dry_for_the_weekend() {
    let mut case = by_hand();
    for day in [10, 11] {
        case.calendar.closed.insert(jiff::civil::date(2026, 12, day));
    }
    // T3 alone can be filled, by Wednesday: with Wharf Pale; Quay Dark is dry from Friday to Sunday, 1.5 hL.
    assert_eq!(worth(&case), 900 * 300 - 150 * 200);
}

#[test]
fn without_rest_the_tank_filled_on_thursday_pours_on_friday() {
    let mut case = by_hand();
    for vessel in &mut case.vessels {
        vessel.rest = hours(0);
    }
    assert_eq!(worth(&case), 1_050 * 300);
}

#[test]
fn a_batch_goes_to_the_tap_and_into_kegs() {
    // Worked by hand in the brew plan: 4 hL x 300 - 3 hL x 200 + 3.8 hL x 100.
    let case = tiny("tap-and-kegs");
    assert_eq!(worth(&case), 98_000);
    let answer = solve(&case, &exact(), &NoObserver).expect("it solves");
    let [account] = answer.report.accounts.batches.as_slice() else { panic!("one batch") };
    assert_eq!(account.filled, hl(8));
    let fates = [(Fate::TransferLoss, 20_000), (Fate::Packaged, 380_000), (Fate::Poured, 400_000)];
    assert_eq!(account.fates, fates.map(|(fate, volume)| (fate, Volume(volume))).into());
}

#[test]
fn a_batch_fills_a_tap_and_a_smaller_tank_for_kegs_in_one_go() {
    let mut case = tiny("tap-and-kegs");
    (case.vessels[1].holds, case.vessels[2].holds) = (hl(5), Volume(350_000));
    // The cellar works on Monday alone.
    case.calendar.work[1] = Weekdays([true, false, false, false, false, false, false]);
    // 5.1 hL leave for T1, full, and 2.9 hL for B1, on Monday: 5 hL poured by Sunday, 2 hL missed, 2.8 hL in kegs.
    assert_eq!(worth(&case), 500 * 300 - 200 * 200 + 280 * 100);
    let answer = solve(&case, &exact(), &NoObserver).expect("it solves");
    let mut fills: Vec<(usize, i64)> = Vec::new();
    for task in &answer.plan.tasks {
        if let Work::Transfer { to, volume, .. } = task.work {
            assert_eq!(task.slot.0, 0);
            fills.push((to.0, volume.0));
        }
    }
    fills.sort_unstable();
    assert_eq!(fills, [(1, 510_000), (2, 290_000)]);
    // Kegs that are worth more than a pour and a dry tap, and that T1 cannot feed: B1 is full, 3.6 hL leave for it, 4.3 hL are poured.
    (case.lines[0].feed, case.lines[0].pump) = (Pressure(200_000), false);
    (case.vessels[2].rated, case.vessels[2].relief) = (Pressure(300_000), Pressure(300_000));
    case.beers[0].packaged[0].contribution = money(900);
    assert_eq!(worth(&case), 430 * 300 - 270 * 200 + 350 * 900);
}

#[test]
fn a_batch_that_must_not_be_split_over_tap_and_kegs_stays() {
    let mut case = tiny("tap-and-kegs");
    case.beers[0].split = Split::Never;
    // Nothing is poured: 7 hL are missed.
    assert_eq!(worth(&case), -700 * 200);
}

#[test]
fn a_tank_that_only_pours_is_filled_twice_out_of_the_bright_tank() {
    // Worked by hand in the brew plan: 5 hL x 300 - 2 hL x 200 + 2.8 hL x 100.
    let mut case = tiny("serve-only");
    assert_eq!(worth(&case), 138_000);
    // By the clock too.
    case.clock_times = true;
    assert_eq!(worth(&case), 138_000);
}

/// The best of all choices of days to fill the tank on: each time with what is poured until the next fill (a hectolitre poured
/// is worth more than one in kegs), the rest into kegs.
fn best_days_to_fill(case: &Case) -> i64 {
    let tank = case.vessels.iter().find(|vessel| vessel.is_serve_only()).unwrap();
    let tap = &case.taproom.pours[0];
    let (asked, loss) = (tap.a_day[0].0, case.transfer.loss_fixed.0);
    let work = tank.clean.takes + case.transfer.takes() + tank.rest;
    let over = case.calendar.shifts[0].starts + work;
    let rests = if over <= case.taproom.opens { 0 } else { 1 };
    let mut most = i64::MIN;
    for days in 0..1_u32 << 5 {
        let fills: Vec<i64> = (0..5).filter(|day| days & (1 << day) != 0).collect();
        let ends = fills.iter().skip(1).copied().chain([7]);
        let poured: Vec<i64> = fills
            .iter()
            .zip(ends)
            .map(|(&day, end)| tank.holds.0.min(asked * (end - day - rests).max(0)))
            .collect();
        if poured.iter().any(|&volume| volume < tank.least.0.max(2_000)) {
            continue;
        }
        let sum: i64 = poured.iter().sum();
        let kegs = case.in_tank[0].filled.0 - sum - loss * fills.len() as i64;
        let missed = 7 * asked - sum;
        let worth = tap.contribution.for_volume(Volume(sum)).0
            - case.rates.dry_tap.for_volume(Volume(missed)).0
            + money(100).for_volume(Volume(kegs.min(case.orders[0].quantity.0))).0;
        most = most.max(worth);
    }
    most
}

#[test]
fn no_other_days_to_fill_a_tank_that_only_pours_are_better() {
    let mut random = Random::new(83);
    let mut wrong = Vec::new();
    for round in 0..20 {
        let mut case = tiny("serve-only");
        if round > 0 {
            case.taproom.pours[0].a_day = [Volume(random.between(3, 9) * 10_000); 7];
            case.taproom.opens = hours(random.between(8, 18));
            case.transfer.loss_fixed = Volume(random.between(0, 3) * 5_000);
            let tank = case.vessels.iter_mut().find(|vessel| vessel.is_serve_only()).unwrap();
            tank.rest = hours(random.between(0, 14));
            tank.holds = Volume(random.between(15, 45) * 10_000);
            tank.least = Volume(random.between(1, 12) * 10_000 - 5_000);
            case.orders[0].quantity = hl(8);
        }
        let (expected, found) = (best_days_to_fill(&case), worth(&case));
        if (expected - found).abs() > 40 {
            wrong.push(format!("{round}: found {found}, the search {expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_a_tank_that_only_pours_holds_goes_on_into_the_look_ahead() {
    let mut case = tiny("serve-only");
    case.calendar.planned_days = 3;
    case.calendar.look_ahead_days = 11;
    let answer = solve(&case, &Options { gap: 0.0, ..exact() }, &NoObserver).expect("it solves");
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
    let apart = answer.bound - answer.objective;
    assert!(apart <= 200, "worth {}, proven {}", answer.objective, answer.bound);
}

/// Two beers on tap, two batches of 4 hL, three tanks; everything but pouring is free.
fn drawn_by_lot(random: &mut Random) -> Case {
    let mut made = case(7);
    made.rates = Rates {
        labour: Money::ZERO,
        clean: Money::ZERO,
        sanitise: Money::ZERO,
        transfer: Money::ZERO,
        gas: Money::ZERO,
        waiting: Money::ZERO,
        dirty: Money::ZERO,
        surplus: Share::ZERO,
        dump: money(1_000_000),
        ..Rates::default()
    };
    made.calendar.work[0] = Weekdays([false; 7]);
    made.calendar.work[2] = Weekdays([false; 7]);
    made.calendar.work[1] = Weekdays([(); 7].map(|()| random.between(0, 3) > 0));
    made.transfer.loss_fixed = Volume::ZERO;
    made.transfer.loss_share = Share::ZERO;
    made.carbonate.takes = hours(random.between(4, 30));
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    for name in ["one", "two"] {
        let mut one = beer(name, &[0]);
        one.loss_tank = Share::ZERO;
        one.must_leave = 60;
        made.beers.push(one);
        made.vessels.push(fermenter(&format!("F {name}"), hl(4)));
    }
    made.taproom = Taproom { opens: hours(random.between(8, 18)), ..Taproom::default() };
    for number in 0..2 {
        made.in_tank.push(in_fermenter(number, number, hl(4), -4, random.between(0, 4)));
        let a_day = Volume(random.between(2, 12) * 10_000);
        made.taproom.pours.push(Tap {
            beer: BeerId(number),
            a_day: [(); 7].map(|()| if random.between(0, 5) > 0 { a_day } else { Volume::ZERO }),
            contribution: money(random.between(100, 400)),
            pour_within: random.between(2, 9),
        });
    }
    let rest = hours(random.between(0, 20));
    for number in 0..3 {
        let mut tank = bright(&format!("T{number}"), hl(4));
        tank.uses.serve = true;
        tank.rest = rest;
        tank.refill = Turnaround::SameShift;
        made.vessels.push(tank);
        if random.between(0, 2) > 0 {
            let beer = random.between(0, 1) as usize;
            let filled = Volume(random.between(1, 30) * 10_000);
            let tank = in_bright(2 + number, beer, filled, -random.between(1, 3));
            made.in_tank.push(InTank { ready: 0, ..tank });
        }
    }
    made
}

/// What is in a serving tank.
#[derive(Clone, Copy)]
struct Held {
    beer: usize,
    left: i64,
    first_day: i64,
    last_day: i64,
    begun: bool,
}

/// The best of all ways to fill the tanks and to choose the next tank on tap, day by day, in cents.
fn best(case: &Case, day: i64, tanks: &[Option<Held>; 3], moved: [bool; 2]) -> i64 {
    if day == 7 {
        return 0;
    }
    let mut most = i64::MIN;
    for first in 0..=3 {
        for second in 0..=3 {
            let mut filled = *tanks;
            let mut gone = moved;
            let mut is_possible = true;
            for (beer, tank) in [(0, first), (1, second)] {
                let Some(tank) = (tank as usize).checked_sub(1) else { continue };
                let works = case.calendar.work[1].has(case.calendar.date(day));
                if !works || gone[beer] || filled[tank].is_some() || day < case.in_tank[beer].ready {
                    is_possible = false;
                    break;
                }
                gone[beer] = true;
                filled[tank] = Some(fill(case, beer, day));
            }
            if is_possible {
                most = most.max(evening(case, day, filled, gone, 0, 0));
            }
        }
    }
    most
}

fn fill(case: &Case, beer: usize, day: i64) -> Held {
    let vessel = &case.vessels[2];
    let work = vessel.clean.takes + case.transfer.takes() + case.carbonate.takes + vessel.rest;
    let over = day * 1_440 + case.calendar.shifts[0].starts.0 + work.0;
    let first_day = (0..).find(|day| day * 1_440 + case.taproom.opens.0 >= over).unwrap();
    let last_day = day + case.taproom.pours[beer].pour_within;
    Held { beer, left: 400_000, first_day, last_day, begun: false }
}

/// Pours one beer after the other; where a tank is to be tapped, every one that may be.
fn evening(case: &Case, day: i64, tanks: [Option<Held>; 3], moved: [bool; 2], beer: usize, got: i64) -> i64 {
    if beer == 2 {
        return best(case, day + 1, &tanks, moved);
    }
    let tap = &case.taproom.pours[beer];
    let asked = case.asked(BeerId(beer), day).0;
    let left_to_ask = asked - got;
    let may_pour = |held: &Held| held.beer == beer && (held.first_day..=held.last_day).contains(&day);
    let done = |got: i64, tanks| {
        let worth = tap.contribution.for_volume(Volume(got)).0;
        let missed = case.rates.dry_tap.for_volume(Volume(asked - got)).0;
        worth - missed + evening(case, day, tanks, moved, beer + 1, 0)
    };
    let open: Vec<usize> = (0..3).filter(|&tank| tanks[tank].is_some_and(|held| may_pour(&held))).collect();
    let on_tap: Vec<usize> = open.iter().copied().filter(|&tank| tanks[tank].unwrap().begun).collect();
    let choices = if on_tap.is_empty() { open } else { on_tap };
    if left_to_ask == 0 || choices.is_empty() {
        return done(got, tanks);
    }
    let mut most = i64::MIN;
    for tank in choices {
        let mut poured = tanks;
        let held = poured[tank].as_mut().unwrap();
        let volume = held.left.min(left_to_ask);
        held.left -= volume;
        held.begun = true;
        if held.left == 0 {
            poured[tank] = None;
        }
        most = most.max(evening(case, day, poured, moved, beer, got + volume));
    }
    most
}

#[test]
fn no_other_way_to_fill_the_tanks_is_better() {
    let mut random = Random::new(19);
    let mut wrong = Vec::new();
    for round in 0..40 {
        let case = if round == 0 { by_hand_free() } else { drawn_by_lot(&mut random) };
        let mut tanks = [None; 3];
        for tank in case.in_tank.iter().filter(|tank| tank.is_bright) {
            let last_day = tank.on + case.taproom.pours[tank.beer.0].pour_within;
            let held = Held { beer: tank.beer.0, left: tank.filled.0, first_day: 0, last_day, begun: false };
            tanks[tank.vessel.0 - 2] = Some(held);
        }
        let expected = best(&case, 0, &tanks, [false; 2]);
        let found = worth(&case);
        if (expected - found).abs() > 40 {
            wrong.push(format!("{round}: found {found}, the search {expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The case worked by hand, its batches first in the list of what is in tank.
fn by_hand_free() -> Case {
    let mut case = by_hand();
    case.in_tank.rotate_left(2);
    case
}

#[test]
fn with_a_look_ahead_the_taproom_is_valued_alike() {
    let mut random = Random::new(20);
    for round in 0..12 {
        let mut case = drawn_by_lot(&mut random);
        case.rates = Rates { dump: money(1_000_000), ..Rates::default() };
        case.calendar.work = [Weekdays::ALL; 3];
        case.calendar.planned_days = 4;
        case.calendar.look_ahead_days = 10;
        let options = Options { gap: 0.0, ..exact() };
        let answer = solve(&case, &options, &NoObserver).expect("it solves");
        assert!(answer.report.violations.is_empty(), "{round}: {:?}", answer.report.violations);
        let apart = answer.bound - answer.objective;
        assert!(apart <= 200, "{round}: worth {}, proven {}", answer.objective, answer.bound);
    }
}

/// A serving tank of 10 hL that is pinned to be poured away on day 0: what an order wants is packaged before, in the same shift.
#[test]
fn what_is_wanted_is_packaged_in_the_shift_in_which_the_rest_is_poured_away() {
    let mut made = case(2);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.beers.push(beer("beer", &[0]));
    let mut tank = bright("T", hl(10));
    tank.uses.serve = true;
    made.vessels.push(tank);
    made.in_tank.push(in_bright(0, 0, hl(10), -2));
    made.taproom.pours.push(Tap {
        beer: BeerId(0),
        a_day: [hl(1); 7],
        contribution: money(100),
        pour_within: 20,
    });
    made.orders.push(order(0, 0, hl(5), 1));
    let work = PinnedWork::Dump { vessel: VesselId(0) };
    made.fixed.pins.push(Pin { work, day: Some(0), shift: None });
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report, check(&made, &answer.plan));
    let done: Vec<(usize, bool)> = answer
        .plan
        .tasks
        .iter()
        .filter_map(|task| match task.work {
            Work::Package { .. } => Some((task.slot.0, true)),
            Work::Dump { .. } => Some((task.slot.0, false)),
            _ => None,
        })
        .collect();
    assert_eq!(done, [(0, true), (0, false)], "packaged, then poured away, on day 0");
    assert_eq!(answer.plan.deliveries.iter().map(|one| one.volume).sum::<Volume>(), hl(5));
    assert!(answer.plan.pours.is_empty(), "nothing is poured after it");
}
