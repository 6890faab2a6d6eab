//! Two batches of one beer in one bright tank: worked by hand, and against trying everything.

use cellarwright_model::case::{Case, InTank};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_solver::{Answer, NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::small::{fermenter, hl};

use crate::ahead::is_valued_alike;
use crate::oracle::{compare, exact};

/// Bright tanks that were filled by two transfers in one slot.
fn blends(answer: &Answer) -> usize {
    let tasks = &answer.plan.tasks;
    let fill = |work: &Work| match *work {
        Work::Transfer { to, .. } => Some(to),
        _ => None,
    };
    let fills: Vec<_> = tasks.iter().filter_map(|task| Some((task.slot, fill(&task.work)?))).collect();
    (0..fills.len()).filter(|&position| fills[..position].contains(&fills[position])).count()
}

#[test]
fn two_small_batches_share_the_bright_tank() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/blend/brewplan.yaml");
    let mut made = cellarwright_model::yaml::read_case(&path).case.expect("a case");
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report.breakdown.packaged_planned, hl(40));
    assert_eq!(blends(&answer), 1);
    made.beers[0].blend = false;
    let alone = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!(alone.report.breakdown.packaged_planned, hl(20));
}

/// A random case with a bright tank, a second fermenter with the same beer in it, and beers that may be blended.
fn twisted(seed: u64) -> Option<Case> {
    let mut made = make(seed).case;
    let bright = made.vessels.iter().position(|vessel| vessel.uses.bright)?;
    for beer in &mut made.beers {
        beer.blend = true;
        beer.direct &= seed.is_multiple_of(3);
    }
    if made.vessels.iter().filter(|vessel| vessel.uses.ferment).count() < 2 {
        let id = VesselId(made.vessels.len());
        let first = made.in_tank.iter().find(|tank| !tank.is_bright)?.clone();
        let mut second = fermenter("second", made.vessels[first.vessel.0].holds);
        second.clean = made.vessels[0].clean;
        made.vessels.push(second);
        made.in_tank.push(InTank { vessel: id, ready: first.ready + (seed % 2) as i64, ..first });
    } else {
        for tank in &mut made.in_tank {
            tank.beer = BeerId(0);
        }
    }
    made.vessels[bright].holds = hl(45);
    if seed % 4 != 1 {
        made.vessels[bright].least = hl(22);
    }
    Some(made)
}

#[test]
fn the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut compared, mut blended) = (0, 0);
    for seed in 0..130 {
        let Some(made) = twisted(seed) else { continue };
        let Some(brute) = best_plan(&made, 900) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        compared += 1;
        blended += usize::from(blends(&answer) > 0);
    }
    assert!(wrong.is_empty(), "{} of {compared} disagree:\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared >= 35 && blended >= 8, "{compared} compared, {blended} blended");
}

#[test]
fn the_look_ahead_is_valued_alike() {
    let (mut wrong, mut compared) = (Vec::new(), 0);
    for seed in 200..220 {
        let Some(mut made) = twisted(seed) else { continue };
        made.calendar.look_ahead_days = 10;
        compared += usize::from(is_valued_alike(seed, &made, &mut wrong));
    }
    assert!(wrong.is_empty() && compared >= 8, "{compared} compared\n{}", wrong.join("\n"));
}
