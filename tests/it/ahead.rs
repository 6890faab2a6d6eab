//! With a look-ahead: the checker passes what the program counts on, and values it as the program does.

use std::path::Path;
use std::sync::Mutex;

use cellarwright_checker::check;
use cellarwright_model::case::{Aim, Case, Crew, Vessel};
use cellarwright_model::plan::Plan;
use cellarwright_model::tolerance::OBJECTIVE;
use cellarwright_model::units::Volume;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, Observer, Options, Progress, Status, solve};
use cellarwright_tests::generator::make;
use cellarwright_tests::small::{
    beer, bright, case, fast_line, fermenter, hl, in_fermenter, kegs, order, unitank,
};

use crate::best::best;

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

/// Random cases in which a plan of all days is worth more than the look-ahead promises, without the rows of half weeks too: the look-ahead has
/// restrictions (see DEVELOPERS).
const RESTRICTED: [u64; 7] = [17, 18, 31, 64, 71, 106, 113];

/// Adds what is wrong if a plan of all days, of `ahead` days more than the case plans, is worth more than the case promises with these days as a look-ahead.
fn promises_enough(name: &str, case: &mut Case, ahead: usize, seconds: f64, wrong: &mut Vec<String>) -> bool {
    let options = Options { seconds, gap: 0.0, threads: 2, seed: 0 };
    let days = case.calendar.planned_days;
    (case.calendar.planned_days, case.calendar.look_ahead_days) = (days + ahead, 0);
    let all = solve(case, &options, &NoObserver);
    (case.calendar.planned_days, case.calendar.look_ahead_days) = (days, ahead);
    let first = solve(case, &options, &NoObserver);
    let (Ok(all), Ok(first)) = (all, first) else { return false };
    let (reached, promised) = (all.objective as f64 / 100.0, first.bound as f64 / 100.0);
    if reached > promised + ROUNDING + OBJECTIVE * reached.abs() {
        wrong.push(format!("{name}: {reached} is reached, no more than {promised} promised"));
    }
    true
}

#[test]
fn no_plan_of_all_days_is_worth_more_than_the_look_ahead_promises() {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for seed in (0..CASES).filter(|seed| !RESTRICTED.contains(seed)) {
        let mut case = make(seed).case;
        if case.aim == Aim::Orders {
            let ahead = 10 + (seed % 8) as usize;
            let is_compared = promises_enough(&seed.to_string(), &mut case, ahead, 1.0, &mut wrong);
            compared += usize::from(is_compared);
        }
    }
    for name in ["fennick-wharf", "scale/brewpub-1", "scale/brewpub-2", "scale/brewpub-3", "scale/brewpub-4"]
    {
        let file = if name.starts_with("scale") { "next-week.yaml" } else { "brewplan.yaml" };
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name).join(file);
        let mut case = read_case(&path).case.unwrap();
        let ahead = case.calendar.look_ahead_days;
        compared += usize::from(promises_enough(name, &mut case, ahead, 8.0, &mut wrong));
    }
    assert!(wrong.is_empty(), "{} wrong of {compared}\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared > 70, "{compared} compared");
}

/// What is delivered of an order due on a day of the look-ahead, of one batch that is ready on a day; all days are worked, Monday to Wednesday are days 7 to 9.
fn delivered(vessels: &[Vessel], ready: i64, due: i64) -> Volume {
    let mut made = case(7);
    made.calendar.look_ahead_days = 7;
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.beers.push(beer("beer", &[0]));
    made.vessels = vessels.to_vec();
    made.in_tank.push(in_fermenter(0, 0, hl(20), -2, ready));
    made.orders.push(order(0, 0, hl(10), due));
    best(&made).report.usage.orders[0].delivered
}

#[test]
fn beer_of_a_half_week_is_counted_on_from_when_it_can_be_packaged() {
    let by_bright = [fermenter("F", hl(20)), bright("B", hl(20))];
    let straight = [unitank("U", hl(20))];
    for vessels in [&by_bright[..], &straight[..]] {
        // Ready on Tuesday, moved or carbonated then, packaged on Wednesday, delivered on Thursday.
        assert_eq!([9, 10].map(|due| delivered(vessels, 8, due)), [Volume::ZERO, hl(10)]);
        // Ready on Wednesday, no day of the half week is left to package it.
        assert_eq!([10, 11].map(|due| delivered(vessels, 9, due)), [Volume::ZERO, hl(10)]);
        assert_eq!([8, 9].map(|due| delivered(vessels, 7, due)), [Volume::ZERO, hl(10)]);
    }
}
