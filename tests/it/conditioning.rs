//! Conditioning tanks, and fermenters used as bright tanks: worked by hand, and against trying everything.

use cellarwright_model::case::{Case, Pin, PinnedWork};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::units::Share;
use cellarwright_solver::{Answer, NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::small::{beer, case, hl, hours, in_fermenter, kegs, line, unitank};

use crate::ahead::is_valued_alike;
use crate::oracle::{compare, exact};

/// Transfers into vessels of a use.
fn moves(made: &Case, answer: &Answer, may: &dyn Fn(VesselId) -> bool) -> usize {
    let into = |work: &Work| matches!(*work, Work::Transfer { to, .. } if may(to));
    assert!(answer.plan.tasks.iter().all(|task| task.slot.0 < made.calendar.planned_slots()));
    answer.plan.tasks.iter().filter(|task| into(&task.work)).count()
}

#[test]
fn a_lager_brewery_brews_a_batch_more() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/lager/brewplan.yaml");
    let made = cellarwright_model::yaml::read_case(&path).case.expect("a case");
    let packaged = |made: &Case| {
        let answer = solve(made, &exact(), &NoObserver).expect("it solves");
        (answer.report.breakdown.packaged_planned, moves(made, &answer, &|to| to == VesselId(1)))
    };
    assert_eq!(packaged(&made), (hl(40), 1));
    let mut alone = made.clone();
    alone.vessels.pop();
    assert_eq!(packaged(&alone), (hl(20), 0));
    let mut bound = made.clone();
    bound.beers[0].conditions = None;
    assert_eq!(packaged(&bound), (hl(20), 0));
    // Half an hour less in the shift: the second brew is on day 6, and on day 22 it is too late.
    let mut slow = made;
    slow.calendar.shifts[0].hours = hours(7);
    slow.crews[0].hours = hours(7);
    assert_eq!(packaged(&slow).0, hl(20));
}

/// A random case with a conditioning tank: the beers may spend all but a day of their stay in it.
fn with_conditioning(seed: u64) -> Case {
    let mut made = make(seed).case;
    let like = made.vessels.iter().find(|vessel| vessel.uses.ferment).expect("a fermenter").clone();
    let mut tank = unitank("C", like.holds);
    tank.uses.ferment = false;
    tank.uses.condition = true;
    tank.uses.package = !seed.is_multiple_of(4);
    tank.uses.bright = seed % 6 == 5;
    tank.clean = like.clean;
    tank.clean_after = like.clean_after;
    made.vessels.push(tank);
    if seed.is_multiple_of(3) {
        made.dirty.push(VesselId(made.vessels.len() - 1));
    }
    for beer in &mut made.beers {
        let rest = beer.stay_days() - 1;
        beer.conditions = (rest > i64::from(beer.during_chill)).then_some(rest);
    }
    made.transfer.loss_share = Share(0);
    made
}

/// A random case in which every vessel that ferments may be used as a bright tank.
fn with_mixed_vessels(seed: u64) -> Case {
    let mut made = make(seed).case;
    for vessel in made.vessels.iter_mut().filter(|vessel| vessel.uses.ferment) {
        vessel.uses.bright = true;
        vessel.least = hl(1);
    }
    if made.vessels.len() == 1 {
        let mut second = made.vessels[0].clone();
        second.name = "second".into();
        made.vessels.push(second);
    }
    for beer in &mut made.beers {
        beer.bright = true;
        beer.direct &= seed.is_multiple_of(3);
    }
    made
}

fn compared(
    make: &dyn Fn(u64) -> Case,
    seeds: u64,
    states: usize,
    may: &dyn Fn(&Case, VesselId) -> bool,
) -> (usize, usize) {
    let mut wrong = Vec::new();
    let (mut compared, mut moved) = (0, 0);
    for seed in 0..seeds {
        let made = make(seed);
        let Some(brute) = best_plan(&made, states) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        compared += 1;
        moved += usize::from(moves(&made, &answer, &|to| may(&made, to)) > 0);
    }
    assert!(wrong.is_empty(), "{} of {compared} disagree:\n{}", wrong.len(), wrong.join("\n"));
    (compared, moved)
}

#[test]
fn with_conditioning_tanks_the_program_finds_what_trying_everything_finds() {
    let may = |made: &Case, to: VesselId| made.vessel(to).uses.condition;
    let (compared, moved) = compared(&with_conditioning, 120, 800, &may);
    assert!(compared >= 30 && moved >= 6, "{compared} compared, {moved} with a move");
}

#[test]
fn with_vessels_of_two_uses_the_program_finds_what_trying_everything_finds() {
    let may = |made: &Case, to: VesselId| made.vessel(to).uses.ferment;
    let (compared, moved) = compared(&with_mixed_vessels, 120, 800, &may);
    assert!(compared >= 30 && moved >= 6, "{compared} compared, {moved} with a fermenter as bright tank");
}

#[test]
fn the_look_ahead_is_valued_alike() {
    let (mut wrong, mut compared) = (Vec::new(), 0);
    for seed in 200..214 {
        let mut made = if seed % 3 == 0 { with_mixed_vessels(seed) } else { with_conditioning(seed) };
        made.calendar.look_ahead_days = 10;
        compared += usize::from(is_valued_alike(seed, &made, &mut wrong));
    }
    assert!(wrong.is_empty() && compared >= 10, "{compared} compared\n{}", wrong.join("\n"));
}

/// Two batches that are pinned to be moved on one day, each move taking five of eight hours: with one hose there is no plan.
#[test]
fn moves_share_the_hoses() {
    let mut made = case(5);
    made.lines.push(line("line"));
    made.formats.push(kegs(0));
    let mut one = beer("beer", &[0]);
    one.bright = false;
    one.conditions = Some(3);
    made.beers.push(one);
    for number in 0..4 {
        let mut vessel = unitank(&format!("V{number}"), hl(20));
        vessel.least = hl(1);
        vessel.uses.ferment = number < 2;
        vessel.uses.condition = number >= 2;
        made.vessels.push(vessel);
        if number < 2 {
            made.in_tank.push(in_fermenter(number, 0, hl(20), -2, 2));
            let work = PinnedWork::Transfer {
                beer: BeerId(0),
                from: Some(VesselId(number)),
                to: None,
                volume: None,
            };
            made.fixed.pins.push(Pin { work, day: Some(0), shift: None });
        }
    }
    made.transfer.job.takes = hours(5);
    let moved = |made: &Case| {
        solve(made, &exact(), &NoObserver).map(|answer| moves(made, &answer, &|to| to.0 >= 2)).ok()
    };
    assert_eq!(moved(&made), Some(2));
    made.transfer.at_once = Some(2);
    assert_eq!(moved(&made), Some(2));
    made.transfer.at_once = Some(1);
    assert_eq!(moved(&made), None);
    made.transfer.job.takes = hours(4);
    assert_eq!(moved(&made), Some(2));
}
