//! With a look-ahead: the checker passes what the program counts on, and values it as the program does.

use std::sync::Mutex;

use cellarwright_checker::check;
use cellarwright_model::case::{Aim, Case, Crew};
use cellarwright_model::plan::Plan;
use cellarwright_model::tolerance::OBJECTIVE;
use cellarwright_solver::{Observer, Options, Progress, Status, solve};
use cellarwright_tests::generator::make;

/// Random cases that are tried.
const CASES: u64 = 120;
/// What rounding of parts to the cent or the millilitre may add up to, in units of the answer.
const ROUNDING: f64 = 1.0;

/// Keeps the program's own objective.
#[derive(Default)]
pub struct Best(pub Mutex<Option<f64>>);

impl Observer for Best {
    fn progress(&self, progress: Progress) {
        if progress.best.is_some() {
            *self.0.lock().unwrap() = progress.best;
        }
    }

    fn stop(&self) -> bool {
        false
    }
}

#[test]
fn the_look_ahead_is_valued_alike() {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for seed in 0..CASES {
        let mut case = make(seed).case;
        case.calendar.look_ahead_days = 10 + (seed % 8) as usize;
        compared += usize::from(is_valued_alike(seed, &case, &mut wrong));
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    println!("{compared} compared");
}

/// Solves a case with a look-ahead and adds what does not agree; whether there was something to compare.
pub fn is_valued_alike(seed: u64, case: &Case, wrong: &mut Vec<String>) -> bool {
    plan_valued_alike(seed, case, 20.0, wrong).is_some()
}

/// The plan of a case that was solved in so many seconds, if there was something to compare; adds what does not agree.
pub fn plan_valued_alike(seed: u64, case: &Case, seconds: f64, wrong: &mut Vec<String>) -> Option<Plan> {
    let options = Options { seconds, gap: 0.0, threads: 1, seed: 0 };
    let best = Best::default();
    let answer = match solve(case, &options, &best) {
        Ok(answer) => answer,
        Err(error) => {
            wrong.push(format!("{seed}: {error:?}"));
            return None;
        }
    };
    assert_eq!(answer.report, check(case, &answer.plan));
    let unit = if case.aim == Aim::Orders { 100.0 } else { 10_000_000.0 };
    let (found, bound) = (answer.objective as f64 / unit, answer.bound as f64 / unit);
    let rounding = ROUNDING + OBJECTIVE * found.abs() + overtime_rounding(case);
    if bound - found > rounding && answer.status != Status::Stopped {
        wrong.push(format!("{seed}: {found}, proven {bound}"));
    }
    let best = (*best.0.lock().unwrap())?;
    if (found - best).abs() > rounding && answer.status != Status::Stopped {
        wrong.push(format!("{seed}: {found}, the program has {best}"));
    }
    Some(answer.plan)
}

/// Overtime is rounded up to whole minutes for every crew and slot.
fn overtime_rounding(case: &Case) -> f64 {
    let minute = |crew: &Crew| {
        crew.overtime.map_or(0.0, |limit| {
            limit.cost.units() * crew.shifts().map(|shift| crew.people_of_shift(shift)).sum::<i64>() as f64
                / 60.0
        })
    };
    case.crews.iter().map(minute).sum::<f64>() * case.calendar.planned_slots() as f64
}
