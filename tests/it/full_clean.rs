//! Full cleans: what turns in small cases, and the program against trying everything.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, FullClean, Job, Marks, RoleTimes, SinceFull};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::units::Minutes;
use cellarwright_solver::{NoObserver, Options, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::money;

use crate::ahead::is_valued_alike;
use crate::best::{best, tiny};
use crate::oracle::{compare, exact};

const F1: VesselId = VesselId(0);
const F2: VesselId = VesselId(1);

/// States that the brute force looks at before a case is passed over as too big.
const STATES: usize = 4_000;

/// Gives vessels of a random case full cleans that are due soon, and its beers marks.
pub(crate) fn sharpen(made: &mut Case, random: &mut Random) {
    made.cleaning.marks = vec!["dark".into(), "nuts".into()];
    for beer in &mut made.beers {
        beer.marks = Marks(random.one_of(&[0, 0, 1, 2, 3]));
    }
    for (position, vessel) in made.vessels.iter_mut().enumerate() {
        if random.percent(30) {
            continue;
        }
        let every = random.one_of(&[None, Some(1), Some(1), Some(2)]);
        let after =
            Marks(if every.is_none() { random.between(1, 3) as u64 } else { random.one_of(&[0, 1, 3]) });
        let takes = vessel.clean.takes + Minutes(random.between(0, 16) * 30);
        let crew = RoleTimes::only(Role::Cellar, Minutes(random.between(1, 5) * 60));
        let price = money(random.between(0, 200));
        let cost = random.one_of(&[None, Some(price)]);
        vessel.full_clean = Some(FullClean { job: Job { takes, crew }, cost, every, after });
        let id = VesselId(position);
        let tank = made.in_tank.iter().find(|tank| tank.vessel == id);
        let is_clean = tank.is_none() && !made.dirty.contains(&id);
        let least = i64::from(tank.is_some());
        let most = every.unwrap_or(3) - i64::from(is_clean);
        let fills = random.between(least, most.max(least));
        let marks = match tank {
            Some(tank) => made.beers[tank.beer.0].marks,
            None if fills > 0 => Marks(random.one_of(&[0, 1, 3])),
            None => Marks::NONE,
        };
        made.since_full.insert(id, SinceFull { fills, marks });
    }
}

/// Objective of the best plan in whole units of money.
fn worth(case: &Case) -> i64 {
    best(case).objective / 100
}

#[test]
fn a_full_clean_is_due_after_so_many_fills_and_after_a_mark() {
    let made = tiny("full-clean");
    assert_eq!(worth(&made), 328);
    let mut unmarked = made.clone();
    unmarked.since_full.insert(F1, SinceFull { fills: 1, marks: Marks::NONE });
    assert_eq!(worth(&unmarked), 400);
    unmarked.since_full.insert(F2, SinceFull { fills: 2, marks: Marks::NONE });
    assert_eq!(worth(&unmarked), 480);
    // With two fills before, the nut beer's clean is full as well, and one of the two waits for the next day.
    let mut due = made;
    due.since_full.insert(F1, SinceFull { fills: 3, marks: Marks(1) });
    assert_eq!(worth(&due), 2 * 80 + 80);
}

#[test]
fn with_a_look_ahead_every_later_clean_is_short_and_valued_alike() {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for seed in 0..30 {
        let mut made = make(seed).case;
        sharpen(&mut made, &mut Random::new(seed + 9_000));
        made.calendar.look_ahead_days = 10 + (seed % 8) as usize;
        compared += usize::from(is_valued_alike(seed, &made, &mut wrong));
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared >= 20, "{compared}");
}

#[test]
fn by_the_clock_full_cleans_take_their_time() {
    let mut full = 0;
    for seed in 0..40 {
        let mut made = make(seed).case;
        sharpen(&mut made, &mut Random::new(seed + 11_000));
        made.clock_times = true;
        let options = Options { seconds: 20.0, gap: 1e-4, threads: 1, seed: 0 };
        let answer = solve(&made, &options, &NoObserver).expect("it solves");
        assert_eq!(answer.report.violations, Vec::new(), "{seed}");
        full += answer.plan.tasks.iter().filter(|task| is_full(&task.work)).count();
    }
    assert!(full >= 5, "{full}");
}

fn is_full(work: &Work) -> bool {
    matches!(work, Work::Clean { full: true, .. } | Work::Transfer { full: true, .. })
}

#[test]
fn the_program_finds_what_trying_everything_finds() {
    let cases = std::env::var("CELLARWRIGHT_ORACLE_CASES").ok().and_then(|text| text.parse().ok());
    let mut wrong = Vec::new();
    let (mut compared, mut full, mut together) = (0, 0, 0);
    for seed in 0..cases.unwrap_or(60) {
        let mut made = make(seed).case;
        sharpen(&mut made, &mut Random::new(seed + 7_000));
        let Some(brute) = best_plan(&made, STATES) else { continue };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &made, &brute, &answer));
        assert_eq!(answer.report, check(&made, &answer.plan));
        compared += 1;
        for task in &answer.plan.tasks {
            full += usize::from(matches!(task.work, Work::Clean { full: true, .. }));
            together += usize::from(matches!(task.work, Work::Transfer { full: true, .. }));
        }
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared >= 20 && full >= 3 && together >= 3, "{compared} {full} {together}");
}
