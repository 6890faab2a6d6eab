//! Heat that the cooling plant takes out, on random cases: the program finds what trying everything finds, and the checker agrees.

use cellarwright_checker::check;
use cellarwright_model::case::{Case, InTank, TankWorkKind};
use cellarwright_model::heat::{Ferments, of_cooling};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Gravity, Heat, TemperatureDrop};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::random::Random;

use crate::ahead::plan_valued_alike;
use crate::tank_work_random::{against_everything, with_work, worth_brewing};

/// States of the search that are looked at.
const STATES: usize = 1_500;

/// Beers that ferment and chills that cool, in a plant that takes out what the largest single batch or chill brings, and up to as much again;
/// or what is in tank on day 0.
fn with_heat(seed: u64) -> Case {
    let mut made = worth_brewing(with_work(seed));
    made.cooling.chills_a_day = None;
    let mut random = Random::new(seed + 5_000);
    let mut most = 0;
    for beer in &mut made.beers {
        let over = random.between(1, beer.stay_days());
        let from = random.between(10_000, 16_000);
        let ferments = Ferments { from: Gravity(from), to: Gravity(random.between(2_000, 4_000)), over };
        beer.ferments = Some(ferments);
        let turn = beer.brewing.turn.unwrap_or(made.brewhouse.turn);
        most = most.max(ferments.heat_a_day(turn).0);
        for piece in beer.tank_work.iter_mut().filter(|piece| piece.kind == TankWorkKind::Chill) {
            piece.cools_by = TemperatureDrop(random.between(2, 6) * 1_000);
            most = most.max(of_cooling(turn, piece.cools_by).0);
        }
    }
    let on_a_day = |day: i64| {
        let heat = |tank: &InTank| {
            let ferments = made.beers[tank.beer.0].ferments.filter(|ferments| ferments.is_on(tank.on, day));
            ferments.map_or(0, |ferments| ferments.heat_a_day(tank.filled).0)
        };
        made.in_tank.iter().filter(|tank| !tank.is_bright).map(heat).sum::<i64>()
    };
    let opening = (0..made.calendar.days() as i64).map(on_a_day).max().unwrap_or(0);
    made.cooling.heat_a_day = Some(Heat((most * random.between(40, 140) / 100).max(opening)));
    made
}

fn is_too_hot(made: &Case, plan: &Plan) -> bool {
    let mut found = check(made, plan).violations.into_iter();
    found.any(|found| found.rule == RuleId::TankWork && found.what == "heat of the day")
}

#[test]
fn with_a_limit_of_heat_the_program_finds_what_trying_everything_finds() {
    // Counted are the cases in which the best plan without the limit breaks it.
    let limits = |made: &Case, plan: &Plan| {
        assert!(!is_too_hot(made, plan));
        let mut free = made.clone();
        free.cooling.heat_a_day = None;
        usize::from(best_plan(&free, STATES).is_some_and(|best| is_too_hot(made, &best.plan)))
    };
    let (compared, limited) = against_everything(&with_heat, 0..90, STATES, &limits);
    println!("{compared} compared, {limited} limited");
    assert!(compared >= 20 && limited >= 5, "{compared} compared, {limited} of them limited");
}

#[test]
fn program_and_checker_agree_on_random_heat() {
    let mut wrong = Vec::new();
    let mut limited = 0;
    for seed in 0..16 {
        let mut made = with_heat(seed);
        if seed % 2 == 1 {
            made.calendar.look_ahead_days = 9 + (seed % 8) as usize;
        }
        let plan = plan_valued_alike(seed, &made, 5.0, &mut wrong);
        let plan = plan.expect("a plan");
        let found = check(&made, &plan).violations;
        assert!(found.is_empty(), "{seed}: {found:?}");
        let mut free = made.clone();
        free.cooling.heat_a_day = None;
        let without = plan_valued_alike(seed, &free, 5.0, &mut wrong).expect("a plan");
        limited += usize::from(!check(&made, &without).violations.is_empty());
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    println!("{limited} limited");
    assert!(limited >= 3, "{limited} limited");
}
