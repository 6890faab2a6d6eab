//! Tanks that are only poured from: the case worked by hand, and the program against trying every way to fill and to pour them.

use cellarwright_model::calendar::{Shift, Weekdays};
use cellarwright_model::case::{Case, InTank, Rates, Spund, Tap, Taproom, Uses, Vessel};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Money, Pressure, Share, Temperature, Volume};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{
    beer, bright, case, fast_line, hl, hours, in_fermenter, kegs, money, order, unitank,
};
use cellarwright_tests::taps::{UNIT, best as best_of_all};

use crate::best::{best, tiny};

#[test]
fn a_tap_is_filled_straight_from_the_fermenter_within_three_days_of_packaging() {
    // Worked by hand in the brew plan: 6 hL x 300 - 1 hL x 200 + 1.7 hL x 100.
    let mut case = tiny("tap-from-fermenter");
    assert_eq!(best(&case).objective, 177_000);
    // By the clock too.
    case.clock_times = true;
    assert_eq!(best(&case).objective, 177_000);
}

#[test]
fn beer_that_has_to_be_carbonated_is_carbonated_in_the_fermenter_before_the_first_fill() {
    let mut case = tiny("tap-from-fermenter");
    case.beers[0].spund = None;
    // Carbonated on Monday, over on Tuesday at 07:00: nothing else changes.
    assert_eq!(best(&case).objective, 177_000);
    // A minute longer and it is over too late for Tuesday. From Wednesday on: 2 hL on Wednesday and Thursday, on Friday and Saturday,
    // 1 hL on Sunday, 5 x 300 - 2 x 200 + (8 - 5 - 0.3) x 100, of the kegs all but what was packaged by Thursday too late for the
    // order: they are packaged on Wednesday or Thursday.
    case.carbonate.takes = hours(24) + cellarwright_model::units::Minutes(1);
    assert_eq!(best(&case).objective, 500 * 300 - 200 * 200 + 270 * 100);
}

#[test]
fn a_fermenter_that_is_not_packaged_from_fills_no_tap() {
    let mut case = tiny("tap-from-fermenter");
    case.vessels[0].uses.package = false;
    assert_eq!(best(&case).objective, -700 * 200);
}

fn some_units(random: &mut Random, least: i64, most: i64) -> Volume {
    Volume(random.between(least, most) * UNIT.0)
}

fn some_days(random: &mut Random, percent: i64) -> Weekdays {
    Weekdays([(); 7].map(|()| random.percent(percent)))
}

fn held(vessel: usize, beer: usize, filled: Volume, on: i64) -> InTank {
    InTank { is_bright: true, carbonated: true, ..in_fermenter(vessel, beer, filled, on, on) }
}

/// A fermenter, a bright tank and one or two tanks that are only poured from; everything but pouring and kegs is free.
fn drawn_by_lot(random: &mut Random) -> Case {
    let days = random.between(4, 6) as usize;
    let mut made = case(days);
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
    if days < 6 && random.percent(30) {
        made.calendar.shifts.push(Shift { name: "late".into(), starts: hours(14), hours: hours(8) });
        made.crews.push(cellarwright_model::case::Crew { shift: 1, ..made.crews[0].clone() });
    }
    made.calendar.work = [Weekdays([false; 7]), some_days(random, 75), some_days(random, random_share(days))];
    made.transfer.loss_fixed = Volume::ZERO;
    made.transfer.loss_share = Share::ZERO;
    made.carbonate.takes = hours(random.between(4, 30));
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.taproom = Taproom { opens: hours(random.between(8, 18)), ..Taproom::default() };
    let beers = random.between(1, 2) as usize;
    for number in 0..beers {
        let mut one = beer(&format!("beer {number}"), &[0]);
        (one.loss_tank, one.loss_direct, one.must_leave) = (Share::ZERO, Share::ZERO, 60);
        one.packaged[0].contribution = money(random.between(20, 250));
        if random.percent(30) {
            one.spund = Some(Spund { carbonation: one.carbonation, at: Temperature(12_000) });
        }
        (one.direct, one.bright) = random.one_of(&[(true, false), (true, true), (true, true), (false, true)]);
        made.beers.push(one);
        let a_day = some_units(random, 1, 3);
        made.taproom.pours.push(Tap {
            beer: BeerId(number),
            a_day: [(); 7].map(|()| if random.percent(85) { a_day } else { Volume::ZERO }),
            contribution: money(random.between(100, 400)),
            pour_within: random.between(1, 7),
        });
        made.orders
            .push(cellarwright_model::case::Order { firm: false, ..order(number, 0, hl(50), days as i64) });
    }
    let mut fermenter = unitank("F", hl(4));
    fermenter.rated = Pressure(400_000);
    fermenter.relief = Pressure(400_000);
    fermenter.uses.package = random.percent(90);
    made.vessels.extend([fermenter, bright("B", hl(4))]);
    let (rest, holds) = (hours(random.between(0, 20)), some_units(random, 2, 4));
    for number in 0..random.between(1, 2) {
        let uses = Uses { serve: true, ..Uses::default() };
        let least = some_units(random, 1, 2);
        made.vessels.push(Vessel { uses, holds, least, rest, ..bright(&format!("T{number}"), holds) });
    }
    if random.percent(85) {
        let mut tank = in_fermenter(0, 0, some_units(random, 3, 7), -4, random.between(0, 2));
        tank.carbonated = random.percent(25);
        made.in_tank.push(tank);
    }
    if random.percent(45) {
        made.in_tank.push(held(1, beers - 1, some_units(random, 2, 6), -1));
    }
    if random.percent(30) {
        let vessel = made.vessels.len() - 1;
        made.in_tank.push(held(vessel, 0, UNIT, -random.between(1, 3)));
    }
    made
}

fn random_share(days: usize) -> i64 {
    if days > 5 { 60 } else { 80 }
}

/// Fills of tanks that are only poured from in a plan: out of the fermenter, and out of the bright tank.
fn fills(work: &[Work]) -> (usize, usize) {
    let from = |vessel: usize| {
        let is_fill = |work: &&Work| match **work {
            Work::Transfer { from, to, .. } => from == VesselId(vessel) && to.0 > 1,
            _ => false,
        };
        work.iter().filter(is_fill).count()
    };
    (from(0), from(1))
}

#[test]
fn no_other_way_to_fill_the_taps_is_better() {
    let mut random = Random::new(31);
    let mut wrong = Vec::new();
    let (mut direct, mut bright, mut again) = (0, 0, 0);
    for round in 0..60 {
        let case = drawn_by_lot(&mut random);
        let expected = best_of_all(&case);
        let answer = best(&case);
        if (expected - answer.objective).abs() > 60 {
            wrong.push(format!("{round}: found {}, the search {expected}", answer.objective));
        }
        let work: Vec<Work> = answer.plan.tasks.iter().map(|task| task.work).collect();
        let (from_fermenter, from_bright) = fills(&work);
        direct += usize::from(from_fermenter > 0);
        bright += usize::from(from_bright > 0);
        again += usize::from(from_fermenter > 1);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(direct >= 12 && bright >= 12 && again >= 2, "{direct} from fermenters, {bright} bright, {again}");
}

#[test]
fn with_losses_a_tap_gets_its_least_fill_and_the_bound_is_reached() {
    let mut random = Random::new(32);
    for round in 0..30 {
        let mut case = drawn_by_lot(&mut random);
        case.transfer.loss_fixed = Volume(random.between(0, 30) * 101);
        case.transfer.loss_share = Share(random.between(0, 3) * 3_333);
        case.lines[0].loss = Volume(random.between(0, 3_000));
        for beer in &mut case.beers {
            beer.loss_direct = Share(random.between(0, 3) * 7_777);
        }
        case.clock_times = random.percent(30);
        let answer = best(&case);
        // The last decimals of a unit of money for each piece of work.
        let apart = answer.bound - answer.objective;
        assert!(apart <= 100, "{round}: worth {}, proven {}", answer.objective, answer.bound);
    }
}
