//! Tank work on random cases: program and checker agree, and the program finds what trying everything finds.

use cellarwright_model::calendar::{Role, Slot};
use cellarwright_model::case::{Case, InTank, TankWork, TankWorkKind};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Plan, Task, Work};
use cellarwright_model::units::{Minutes, Money, Volume};
use cellarwright_solver::{NoObserver, Options, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{beer, case, dry_hop, fast_line, hl, in_fermenter, job, kegs, unitank};

use crate::ahead::plan_valued_alike;
use crate::oracle::{compare, exact};
use crate::tank_work::chilled_on;

/// Tank work on the beers of a random case.
pub fn with_work(seed: u64) -> Case {
    add_work(make(seed).case, seed)
}

fn add_work(mut made: Case, seed: u64) -> Case {
    let mut random = Random::new(seed + 77);
    for data in &mut made.beers {
        let stay = data.stay_days();
        let mut day = 1;
        while day < stay && data.tank_work.len() < 3 {
            let kind = if random.percent(40) { TankWorkKind::Chill } else { TankWorkKind::DryHop };
            data.tank_work.push(TankWork {
                name: format!("work {}", data.tank_work.len()),
                kind,
                early: random.between(0, 1).min(day - 1),
                slip: random.between(0, 2),
                moves: random.percent(75),
                contact: random.between(0, stay - day),
                job: job(Role::Cellar, Minutes(random.between(1, 3) * 30)),
                ..dry_hop(day)
            });
            day += random.between(1, 2);
        }
    }
    for tank in made.in_tank.iter_mut().filter(|tank| !tank.is_bright) {
        let works = &made.beers[tank.beer.0].tank_work;
        let due = works.iter().filter(|work| tank.on + work.day < 0).count();
        let keeps = if random.percent(30) { 0 } else { due };
        tank.work_done = works[..keeps].iter().map(|work| tank.on + work.day).collect();
    }
    if random.percent(50) {
        made.cooling.chills_a_day = Some(1);
    }
    made
}

#[test]
fn program_and_checker_agree_on_random_tank_work() {
    let mut wrong = Vec::new();
    let mut done = 0;
    for seed in 0..24 {
        let mut made = with_work(seed);
        if seed % 2 == 1 {
            made.calendar.look_ahead_days = 9 + (seed % 8) as usize;
        }
        if let Some(plan) = plan_valued_alike(seed, &made, 10.0, &mut wrong) {
            done += chilled_on(&plan).len();
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(done > 10, "{done} pieces of work done");
}

/// Tank work, and a conditioning tank for all but a day of the stay.
fn with_work_and_conditioning(seed: u64) -> Case {
    // Longer stays, so that there is work before the move and after it.
    let mut long = make(seed).case;
    long.calendar.planned_days += 2;
    long.in_tank.truncate(1);
    for beer in &mut long.beers {
        beer.stay[0].days += 2;
        beer.must_leave += 2;
    }
    let mut made = add_work(long, seed);
    let like = made.vessels.iter().find(|vessel| vessel.uses.ferment).expect("a fermenter").clone();
    let mut tank = like.clone();
    tank.name = "C".into();
    tank.uses.ferment = false;
    tank.uses.condition = true;
    tank.uses.package = !seed.is_multiple_of(4);
    tank.uses.bright = seed % 6 == 5;
    tank.least = hl(1);
    made.vessels.push(tank);
    // Worth brewing: beer in a tank is worth something at once.
    made.rates.to_package = Money::ZERO;
    made.calendar.work[Role::Brew as usize] = cellarwright_model::calendar::Weekdays::ALL;
    for tank in &mut made.in_tank {
        tank.ready += 2;
    }
    for beer in &mut made.beers {
        let rest = beer.stay_days() - 1;
        beer.conditions = (rest > i64::from(beer.during_chill)).then_some(rest);
    }
    if seed % 5 == 4 {
        // Moved there before day 0, with what was due by then done.
        let (beer, stay) = (&made.beers[0], made.beers[0].stay_days());
        let on = -(stay - 1).max(1);
        let due = beer.tank_work.iter().map(|work| on + work.day).filter(|&day| day < 0).collect();
        let filled = Volume(like.holds.0 * 9 / 10);
        let tank = in_fermenter(made.vessels.len() - 1, 0, filled, on, on + stay);
        made.in_tank.push(InTank { work_done: due, ..tank });
    }
    made
}

#[test]
fn program_and_checker_agree_on_work_that_goes_on_after_a_move() {
    let mut wrong = Vec::new();
    let (mut moved, mut after) = (0, 0);
    for seed in 0..60 {
        let mut made = with_work_and_conditioning(seed);
        if seed % 2 == 1 {
            made.calendar.look_ahead_days = 9 + (seed % 8) as usize;
        }
        let tank = VesselId(made.vessels.len() - 1);
        match plan_valued_alike(seed, &made, 10.0, &mut wrong) {
            Some(plan) => {
                let into = |task: &&Task| matches!(task.work, Work::Transfer { to, .. } if to == tank);
                moved += plan.tasks.iter().filter(into).count();
                let there = |task: &&Task| matches!(task.work, Work::Tank { vessel, .. } if vessel == tank);
                after += plan.tasks.iter().filter(there).count();
            }
            None => continue,
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(moved > 10 && after > 5, "{moved} moved, {after} pieces of work after a move");
}

/// Beer in tank on day 0 has all its work done, so that nothing is left out.
fn with_all_done(mut made: Case) -> Case {
    for tank in made.in_tank.iter_mut().filter(|tank| !tank.is_bright) {
        let works = &made.beers[tank.beer.0].tank_work;
        tank.work_done = works.iter().map(|work| (tank.on + work.day).min(-1)).collect();
    }
    made
}

/// Compares random cases with trying everything; how many, and what is done in them besides.
pub fn against_everything(
    make: &dyn Fn(u64) -> Case,
    seeds: std::ops::Range<u64>,
    states: usize,
    counts: &dyn Fn(&Case, &Plan) -> usize,
) -> (usize, usize) {
    let mut wrong = Vec::new();
    let (mut compared, mut counted) = (0, 0);
    for seed in seeds {
        let made = with_all_done(make(seed));
        let Some(brute) = best_plan(&made, states) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        compared += 1;
        counted += counts(&made, &brute.plan);
    }
    assert!(wrong.is_empty(), "{} wrong of {compared}\n{}", wrong.len(), wrong.join("\n"));
    (compared, counted)
}

/// Worth brewing: beer in a tank is worth something at once.
pub fn worth_brewing(mut made: Case) -> Case {
    made.rates.to_package = Money::ZERO;
    made.calendar.work[Role::Brew as usize] = cellarwright_model::calendar::Weekdays::ALL;
    made
}

/// One fermenter, which a move into the one conditioning tank sets free for another brew; a beer with random work.
fn one_fermenter(seed: u64) -> Case {
    let mut random = Random::new(seed + 3_000);
    let mut made = worth_brewing(case(random.between(5, 9) as usize));
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.vessels = vec![unitank("F", hl(20)), unitank("C", hl(20))];
    made.vessels[1].uses.ferment = false;
    made.vessels[1].uses.condition = true;
    made.vessels[1].least = hl(1);
    let mut one = beer("beer", &[0]);
    one.bright = false;
    one.during_chill = random.percent(50);
    one.stay = vec![cellarwright_model::case::Stage { name: "stay".into(), days: random.between(3, 6) }];
    one.must_leave = one.stay_days() + 9;
    one.conditions = Some(random.between(2, one.stay_days() - 1));
    made.beers.push(one);
    let mut made = add_work(made, seed);
    for piece in &mut made.beers[0].tank_work {
        piece.contact = piece.contact.min(1);
    }
    for day in 0..7 {
        made.calendar.work[Role::Cellar as usize].0[day] = random.percent(75);
    }
    made
}

#[test]
fn with_tank_work_the_program_finds_what_trying_everything_finds() {
    let make = |seed| worth_brewing(with_work(seed));
    let works = |_: &Case, plan: &Plan| chilled_on(plan).len();
    let (compared, done) = against_everything(&make, 0..90, 1_500, &works);
    assert!(compared >= 20 && done >= 6, "{compared} compared, {done} pieces of work");
}

#[test]
fn with_work_after_a_move_the_program_finds_what_trying_everything_finds() {
    let there = |made: &Case, plan: &Plan| {
        let tank = VesselId(made.vessels.len() - 1);
        let is_there = |task: &&Task| matches!(task.work, Work::Tank { vessel, .. } if vessel == tank);
        plan.tasks.iter().filter(is_there).count()
    };
    let (compared, done) = against_everything(&one_fermenter, 0..60, 20_000, &there);
    assert!(compared >= 30 && done >= 20, "{compared} compared, {done} pieces of work after a move");
}

#[test]
fn without_tank_work_the_program_has_no_more_rows_and_columns() {
    for seed in 0..5 {
        let mut made = make(seed).case;
        let options = Options { seconds: 10.0, gap: 0.05, threads: 1, seed: 0 };
        let without = solve(&made, &options, &NoObserver).expect("it solves");
        made.cooling.chills_a_day = Some(1);
        let limited = solve(&made, &options, &NoObserver).expect("it solves");
        assert_eq!(without.size, limited.size);
        assert!(!limited.plan.tasks.iter().any(|task| matches!(task.work, Work::Tank { .. })));
        assert!(limited.plan.tasks.iter().all(|task| task.slot < Slot(made.calendar.planned_slots())));
    }
}
