//! Beer that is racked flat or conditions in its package: worked by hand, and against trying everything.

use cellarwright_model::case::{Carbonating, Case, Stock};
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::{Carbonation, Pressure};
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::small::hl;

use crate::ahead::is_valued_alike;
use crate::best::tiny;
use crate::oracle::{compare, exact};

#[test]
fn a_cask_ale_is_racked_on_the_day_it_is_ready() {
    let mut made = tiny("cask");
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((answer.objective, answer.bound), (267_000, 267_000));
    let work: Vec<&Work> = answer.plan.tasks.iter().map(|task| &task.work).collect();
    assert!(matches!(work[..], [Work::Package { .. }]), "{work:?}");
    // Forced, in a vessel that holds it: carbonated on Monday (0.5 h of work, 19 hL of gas), packaged on Tuesday, and the
    // order is missed: 0.6 x 2850 - 180 - 15 - 28.50 - 5 x 2850.
    made.beers[0].carbonating = Carbonating::Forced;
    made.beers[0].carbonation = Carbonation(1_200);
    made.vessels[0].rated = Pressure(200_000);
    made.vessels[0].relief = Pressure(200_000);
    let forced = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!(forced.objective, 171_000 - 18_000 - 1_500 - 2_850 - 1_425_000);
}

#[test]
fn the_warm_store_limits_what_is_bottled() {
    let mut made = tiny("warm-store");
    let packaged = |made: &Case| {
        let answer = solve(made, &exact(), &NoObserver).expect("it solves");
        answer.report.breakdown.packaged_planned
    };
    assert_eq!(packaged(&made), hl(20));
    // Five hectolitres bottled before day 0 stand there until Tuesday, and until Wednesday: 20 hL fit on the last day, or 15.
    made.stock[0].quantity = hl(5);
    assert_eq!(packaged(&made), hl(20));
    made.stock[0].from = 3;
    assert_eq!(packaged(&made), hl(15));
    made.warm_store = None;
    assert_eq!(packaged(&made), hl(40));
}

/// A random case in which some beers are not forced, the warm store is small and some of it is full.
fn twisted(seed: u64) -> Case {
    let mut made = make(seed).case;
    for (position, beer) in made.beers.iter_mut().enumerate() {
        beer.carbonating = match (seed as usize + position) % 3 {
            0 => Carbonating::No,
            1 => Carbonating::InPackage,
            _ => Carbonating::Forced,
        };
    }
    if seed.is_multiple_of(2) {
        made.warm_store = Some(hl(8 + (seed % 7) as i64));
        let (beer, format) = (BeerId(0), FormatId(0));
        made.stock.push(Stock {
            beer,
            format,
            quantity: hl(3),
            from: 1 + (seed % 3) as i64,
            packaged_on: -1,
        });
    }
    made
}

#[test]
fn the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut compared, mut flat) = (0, 0);
    for seed in 0..110 {
        let made = twisted(seed);
        let Some(brute) = best_plan(&made, 800) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        compared += 1;
        let is_flat = |beer: BeerId| made.beer(beer).carbonating != Carbonating::Forced;
        let stays = &answer.report.usage.stays;
        let packages = answer.plan.tasks.iter().any(|task| matches!(task.work, Work::Package { .. }));
        flat += usize::from(packages && stays.iter().any(|stay| is_flat(stay.beer)));
    }
    assert!(wrong.is_empty(), "{} of {compared} disagree:\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared >= 35 && flat >= 15, "{compared} compared, {flat} with beer that is not forced");
}

#[test]
fn the_look_ahead_is_valued_alike() {
    let (mut wrong, mut compared) = (Vec::new(), 0);
    for seed in 200..215 {
        let mut made = twisted(seed);
        made.calendar.look_ahead_days = 10;
        compared += usize::from(is_valued_alike(seed, &made, &mut wrong));
    }
    assert!(wrong.is_empty() && compared >= 12, "{compared} compared\n{}", wrong.join("\n"));
}
