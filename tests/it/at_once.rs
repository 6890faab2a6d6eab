//! However short the time, and at whatever moment the search is stopped: there is a plan that breaks no rule, its bound is true, and the
//! best plan that was found is not lost.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use cellarwright_checker::{Report, check};
use cellarwright_model::case::{Case, Earlier, Stock};
use cellarwright_model::plan::{Plan, Task};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::side_by_side::alone;
use cellarwright_solver::{
    Answer, NoObserver, Observer, Options, Progress, SolveError, by_hand, idle, keep_up, solve,
};
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;

use crate::best::tiny;

/// Stops when it has been asked so often; notes the best plan that it is told of.
struct StopsAt {
    moment: usize,
    asked: AtomicUsize,
    best: Mutex<Option<f64>>,
}

impl StopsAt {
    fn new(moment: usize) -> Self {
        Self { moment, asked: AtomicUsize::new(0), best: Mutex::new(None) }
    }
}

impl Observer for StopsAt {
    fn progress(&self, progress: Progress) {
        let mut best = self.best.lock().unwrap();
        *best = best.into_iter().chain(progress.best).reduce(f64::max);
    }

    fn stop(&self) -> bool {
        self.asked.fetch_add(1, Ordering::Relaxed) + 1 >= self.moment
    }
}

/// Every case of `cases/tiny`.
fn tiny_cases() -> Vec<(String, Case)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names.into_iter().map(|name| (name.clone(), tiny(&name))).collect()
}

fn case_of(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name).join("brewplan.yaml");
    read_case(&path).case.unwrap()
}

/// Stops a search before it begins: the time is up at once, on any machine.
fn without_time(case: &Case) -> Result<Answer, SolveError> {
    let options = Options { seconds: 60.0, gap: 0.0, threads: 1, seed: 0 };
    solve(case, &options, &StopsAt::new(1))
}

fn passes(name: &str, case: &Case, answer: &Answer) {
    assert_eq!(check(case, &answer.plan).violations, Vec::new(), "{name}");
    assert!(answer.bound >= answer.objective, "{name}");
}

#[test]
fn without_any_time_there_is_a_plan_and_its_bound_is_no_less_than_the_best_plan() {
    for (name, case) in tiny_cases() {
        let answer = without_time(&case).unwrap_or_else(|error| panic!("{name}: {error:?}"));
        passes(&name, &case, &answer);
        let options = Options { seconds: 10.0, gap: 0.05, threads: 1, seed: 0 };
        let long = solve(&case, &options, &NoObserver).unwrap();
        assert!(answer.bound >= long.objective - 10, "{name}: {} {}", answer.bound, long.objective);
        assert!(answer.objective <= long.bound + 10, "{name}: {} {}", answer.objective, long.bound);
    }
}

#[test]
fn without_any_time_random_cases_have_a_plan_where_there_is_one() {
    for seed in 0..12 {
        let case = make(seed).case;
        let name = format!("seed {seed}");
        let options = Options { seconds: 20.0, gap: 0.0, threads: 1, seed: 0 };
        match (without_time(&case), solve(&case, &options, &NoObserver)) {
            (Ok(answer), Ok(long)) => {
                passes(&name, &case, &answer);
                assert!(answer.bound >= long.objective - 10, "{name}: {} {}", answer.bound, long.objective);
                assert!(answer.objective <= long.bound + 10, "{name}: {} {}", answer.objective, long.bound);
            }
            (Err(_), Err(_)) => {}
            (at_once, long) => panic!("{name}: {:?} {:?}", at_once.is_ok(), long.is_ok()),
        }
    }
}

#[test]
fn a_plan_by_hand_packages_what_the_idle_plan_leaves() {
    for name in ["fennick-wharf", "fennick-wharf-in-full", "brewpub", "brewpub-bright", "tiny/one-bright"] {
        let case = case_of(name);
        let (plan, report) = by_hand(&case).unwrap();
        assert_eq!(report.violations, Vec::new(), "{name}");
        assert!(!plan.tasks.is_empty(), "{name}");
        let nothing = idle(&case).1;
        assert!(report.breakdown.objective(&case.aim) > nothing.breakdown.objective(&case.aim), "{name}");
        let again = by_hand(&case).unwrap();
        assert_eq!(again.0, plan, "{name}: the same plan again");
    }
}

/// No plan that the search told of is better than the one that it gives.
/// Volume missed of firm orders and of others, as shares of what was ordered.
fn missed(case: &Case, report: &Report) -> [f64; 2] {
    [true, false].map(|firm| {
        let all = report.usage.orders.iter().filter(|result| case.order(result.order).firm == firm);
        let (missed, asked) = all.fold((0, 0), |(missed, asked), result| {
            (missed + result.missed.0, asked + case.order(result.order).quantity.0)
        });
        missed as f64 / asked as f64
    })
}

#[test]
fn by_hand_firm_orders_have_their_turn_first_since_missing_them_costs_six_times_as_much() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/scale/regional-1/all-weeks.yaml");
    let case = read_case(&path).case.unwrap();
    let [firm, others] = missed(&case, &by_hand(&case).unwrap().1);
    assert!(firm < 0.6 * others, "{firm} {others}");
}

#[test]
fn what_is_in_stock_goes_to_a_firm_order_though_another_is_due_before() {
    let mut case = tiny("whole-packs");
    // Orders of Tuesday and Wednesday, 10 hL each, and no beer but what is in stock.
    case.in_tank.clear();
    case.orders.truncate(2);
    case.orders[1].firm = true;
    let (beer, format, quantity) = (case.orders[0].beer, case.orders[0].format, case.orders[0].quantity);
    case.stock = vec![Stock { beer, format, quantity, from: 0, packaged_on: -3 }];
    let (_, report) = by_hand(&case).unwrap();
    let delivered: Vec<i64> = report.usage.orders.iter().map(|result| result.delivered.0).collect();
    assert_eq!(delivered, [0, quantity.0]);
}

/// The case in which a plan is carried out up to a day.
fn carried_out(case: &Case, plan: Plan, from_day: usize) -> Case {
    let mut case = case.clone();
    let earlier = Earlier { plan, from_day, per_change: 0, at_most: None, is_done_kept: true };
    case.fixed.earlier = Some(Box::new(earlier));
    case
}

#[test]
fn by_hand_what_is_done_already_is_done_again_and_the_rest_goes_on_from_there() {
    let scale = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/scale").join(name);
        (name.to_owned(), read_case(&path.join("all-weeks.yaml")).case.unwrap())
    };
    let mut cases = tiny_cases();
    cases.extend(["brewpub", "fennick-wharf"].map(|name| (name.to_owned(), case_of(name))));
    cases.extend(["brewpub-1", "brewpub-2", "town-1"].map(scale));
    let mut carried_on = 0;
    for (name, case) in cases.into_iter().filter(|(_, case)| !case.clock_times) {
        let Some((plan, first)) = by_hand(&case) else { continue };
        for from_day in [1, case.calendar.planned_days / 2, case.calendar.planned_days] {
            let case = carried_out(&case, plan.clone(), from_day);
            let (again, report) = by_hand(&case).unwrap_or_else(|| panic!("{name}, from day {from_day}"));
            assert!(report.violations.is_empty());
            let done = |plan: &Plan| -> BTreeSet<Task> {
                let is_done = |task: &&Task| case.calendar.day(task.slot) < from_day;
                plan.tasks.iter().filter(is_done).copied().collect()
            };
            assert_eq!(done(&again), done(&plan), "{name}, from day {from_day}");
            // The walk is the same one, so what was a good way on is found again or bettered, give or take what it draws.
            let [before, after] = [&first, &report].map(|report| report.objective(&case.aim));
            let earned = first.breakdown.earned(&case.aim);
            assert!(before - after <= earned / 4, "{name}, from day {from_day}: {after} for {before}");
            carried_on += 1;
        }
    }
    assert!(carried_on >= 60, "{carried_on}");
}

fn keeps_the_best(name: &str, case: &Case, answer: &Answer, watch: &StopsAt) {
    passes(name, case, answer);
    let unit = 100.0;
    let told = watch.best.lock().unwrap().unwrap_or(f64::NEG_INFINITY);
    let given = answer.objective as f64 / unit;
    assert!(given >= told - 1e-4 * told.abs() - 1.0, "{name}: told of {told}, given {given}");
}

#[test]
fn stopped_at_twenty_moments_the_best_plan_so_far_is_given() {
    let names = ["two-brights", "three-in-two-weeks", "lager", "tap-and-kegs", "pinned"];
    let options = Options { seconds: 60.0, gap: 0.0, threads: 1, seed: 0 };
    let mut random = Random::new(50);
    for number in 0..20 {
        let name = names[number % names.len()];
        let case = tiny(name);
        let watch = StopsAt::new(random.between(1, 40) as usize);
        let answer = solve(&case, &options, &watch).unwrap_or_else(|error| panic!("{name}: {error:?}"));
        keeps_the_best(&format!("{name}, moment {}", watch.moment), &case, &answer, &watch);
    }
}

/// A case of four weeks planned in full, which no search comes to the end of.
fn all_weeks() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/scale/brewpub-1/all-weeks.yaml");
    read_case(&path).case.unwrap()
}

/// Stops when it is told of a plan worth more than so much.
struct StopsAbove {
    least: f64,
    is_above: AtomicBool,
}

impl Observer for StopsAbove {
    fn progress(&self, progress: Progress) {
        if progress.best.is_some_and(|best| best > self.least) {
            self.is_above.store(true, Ordering::Relaxed);
        }
    }

    fn stop(&self) -> bool {
        self.is_above.load(Ordering::Relaxed)
    }
}

#[test]
fn all_weeks_in_full_are_planned_better_in_parts_than_by_hand() {
    let case = all_weeks();
    let by_hand = by_hand(&case).unwrap().1.objective(&case.aim);
    for threads in [1, 2] {
        // A tenth of what the first point gains, and money in units of the answer.
        let watch = StopsAbove { least: by_hand as f64 / 100.0 + 1_000.0, is_above: AtomicBool::new(false) };
        let options = Options { seconds: 120.0, gap: 0.005, threads, seed: 0 };
        let answer = alone(|| solve(&case, &options, &watch)).unwrap();
        passes("all weeks", &case, &answer);
        assert!(answer.objective > by_hand + 100_000, "{threads} threads: {} {by_hand}", answer.objective);
    }
}

#[test]
fn stopped_while_all_weeks_are_planned_in_parts_the_best_plan_so_far_is_given() {
    let case = all_weeks();
    let mut random = Random::new(4);
    for threads in [1, 2, 2] {
        let watch = StopsAt::new(random.between(20, 300) as usize);
        let options = Options { seconds: 60.0, gap: 0.005, threads, seed: 0 };
        let answer = alone(|| solve(&case, &options, &watch)).unwrap();
        keeps_the_best(&format!("{threads} threads, moment {}", watch.moment), &case, &answer, &watch);
    }
}

/// Stops the main case, which has two searches, at so many moments. HiGHS takes another number of threads only in another thread.
fn stop_two_searches(threads: i32, moments: usize) {
    let case = case_of("fennick-wharf");
    let mut random = Random::new(2);
    for _ in 0..moments {
        let watch = StopsAt::new(random.between(20, 400) as usize);
        let options = Options { seconds: 60.0, gap: 0.005, threads, seed: 0 };
        let answer = solve(&case, &options, &watch).unwrap();
        keeps_the_best(&format!("{threads} threads, moment {}", watch.moment), &case, &answer, &watch);
    }
}

#[test]
fn two_searches_side_by_side_are_stopped_without_losing_the_best_plan() {
    stop_two_searches(2, 2);
}

#[test]
fn two_searches_one_after_the_other_are_stopped_without_losing_the_best_plan() {
    stop_two_searches(1, 1);
}

#[test]
fn a_repeating_week_is_stopped_at_five_moments() {
    let case = tiny("two-brights");
    let mut random = Random::new(10);
    for _ in 0..5 {
        let watch = StopsAt::new(random.between(1, 40) as usize);
        let options = Options { seconds: 30.0, gap: 0.0, threads: 1, seed: 0 };
        let kept = keep_up(&case, 1, &options, &watch).unwrap();
        assert!(kept.bound >= kept.objective, "moment {}", watch.moment);
        assert_eq!(kept.kept.violations, Vec::new(), "moment {}", watch.moment);
    }
}
