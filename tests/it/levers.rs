//! One unit more of each resource: closed forms, cases that are counted by hand, and the brute force.

use std::sync::atomic::{AtomicBool, Ordering};

use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::VesselId;
use cellarwright_model::lever::{Lever, levers, with};
use cellarwright_model::tolerance::OBJECTIVE;
use cellarwright_model::units::Money;
use cellarwright_solver::answer::{Observer, Progress};
use cellarwright_solver::levers::{Asked, Gain, Horizon, Levers, State, Steps, find, find_among};
use cellarwright_solver::{NoObserver, Options, SolveError};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::small::{hl, money, order};

use crate::oracle::rounding;
use crate::repeating::{plain, toy};
use crate::toys::{Toy, build, most_with_bright_tanks};

/// A batch of the plain cases, 10 hL, in the unit of `aim: output`.
const BATCH: i64 = 1_000_000_000 / 10;

const FERMENTER: Lever = Lever::Vessel { like: VesselId(0) };

fn exact(horizon: Horizon, pairs_of: Option<usize>) -> Asked {
    let search = Options { seconds: 120.0, gap: 0.0, threads: 2, seed: 0 };
    Asked { horizon, search, pairs_of }
}

fn tried(case: &Case, some: &[Lever], asked: &Asked) -> Levers {
    find_among(case, some, asked, &NoObserver).expect("it solves")
}

/// Batches that levers add to a cycle, each proven: what it adds at least and at most leaves room for no other whole number.
fn batches_of(found: &Levers) -> Vec<i64> {
    let whole = |gain: &Gain| {
        let (low, high) = (gain.low.expect("a least"), gain.high.expect("a most"));
        let count = (gain.found.expect("a plan") as f64 / BATCH as f64).round() as i64;
        assert!(low > (count - 1) * BATCH && high < (count + 1) * BATCH, "{gain:?}");
        assert_eq!(gain.state == State::Nothing, count == 0, "{gain:?}");
        count
    };
    found.gains.iter().map(whole).collect()
}

fn batches(case: &Case, weeks: usize, some: &[Lever]) -> Vec<i64> {
    batches_of(&tried(case, some, &exact(Horizon::Repeating(weeks), None)))
}

/// A batch takes r days with its clean: one fermenter more makes 7 / r batches a week more, until the brewhouse has no turn for them.
#[test]
fn one_fermenter_more_adds_what_its_days_hold_until_the_brewhouse_binds() {
    for (fermenters, days, weeks, more) in [(2, 7, 1, 1), (3, 14, 2, 1), (2, 14, 4, 2), (1, 7, 2, 2)] {
        let made = plain(fermenters, days - 1, 0);
        assert_eq!(batches(&made, weeks, &[FERMENTER]), [more], "{fermenters} of {days} days, {weeks} weeks");
    }
    // One turn a week: the second fermenter has no wort, a turn more a day gives it some, but there is one fermenter only.
    let mut bound = plain(1, 6, 0);
    bound.brewhouse.turns_per_day = 1;
    bound.calendar.work[Role::Brew as usize] = Weekdays([true, false, false, false, false, false, false]);
    assert_eq!(batches(&bound, 1, &[FERMENTER, Lever::Turn]), [0, 0]);
    let pairs = tried(&bound, &[FERMENTER, Lever::Turn], &exact(Horizon::Repeating(1), Some(2)));
    assert_eq!(pairs.pairs.len(), 1);
    assert_more_than_sum(&pairs, BATCH);
}

/// The only pair is proven to be worth so much more than the sum of its parts.
fn assert_more_than_sum(found: &Levers, expected: i64) {
    let pair = &found.pairs[0];
    let (low, high) = (pair.beyond_low.expect("a least"), pair.beyond_high.expect("a most"));
    assert!(low > found.nothing && low <= expected && expected <= high, "{pair:?}");
    assert!(high - low < BATCH / 2, "{pair:?}");
    assert!(pair.gain.low.is_some_and(|low| low >= expected - BATCH / 2), "{pair:?}");
}

/// K bright tanks on alternate days take 5 K fills in two weeks (common practice): one more adds five, and a fermenter nothing.
#[test]
fn one_bright_tank_more_adds_five_fills_in_two_weeks() {
    let mut made = plain(16, 6, 1);
    made.calendar.work = [Weekdays::MONDAY_TO_FRIDAY; 3];
    made.beers[0].must_leave = 13;
    let bright = Lever::Vessel { like: VesselId(16) };
    assert_eq!(batches(&made, 2, &[FERMENTER, bright]), [0, 5]);
}

/// Two fermenters of a week each and one bright tank with two fills a week: each alone adds nothing, both add a batch a week.
#[test]
fn a_fermenter_adds_nothing_until_there_is_a_second_bright_tank() {
    let mut made = plain(2, 6, 1);
    made.calendar.work = [Weekdays::MONDAY_TO_FRIDAY; 3];
    made.calendar.work[Role::Brew as usize] = Weekdays::ALL;
    made.beers[0].must_leave = 13;
    let both = [FERMENTER, Lever::Vessel { like: VesselId(2) }];
    let found = tried(&made, &both, &exact(Horizon::Repeating(1), Some(2)));
    assert_eq!(batches_of(&found), [0, 0]);
    assert_more_than_sum(&found, BATCH);
}

/// The cellar toys (`toys` has their rules), for ever: with one bright tank six and twelve fermenters make two batches a week, a fermenter more adds nothing
/// and a second bright tank one or two; twelve fermenters without bright tanks are bound by the five brew days.
#[test]
fn toys_for_ever() {
    let bright = |fermenters| Lever::Vessel { like: VesselId(fermenters) };
    assert_eq!(batches(&toy(6, 1), 1, &[FERMENTER, bright(6)]), [0, 1]);
    assert_eq!(batches(&toy(12, 1), 1, &[FERMENTER, bright(12)]), [0, 2]);
    assert_eq!(batches(&toy(12, 0), 1, &[FERMENTER]), [0]);
}

/// The same in planned days, from an empty cellar. Of the days up to 34 - 13 there are 16 from Monday to Friday, and twelve fermenters take
/// the ten brews of any two weeks: more fermenters add nothing. With one bright tank the dynamic program of `toys` says how many batches there are, and
/// with two.
#[test]
fn toys_in_planned_days() {
    let last_day = 34;
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    let toy = |brights| build(&Toy { fermenters: 12, brews_a_day: 1, brew_days, last_day, brights });
    let most = |tanks| most_with_bright_tanks(brew_days, last_day - 13, tanks);
    let (one, two) = (most(1), most(2));
    assert!(two > one);
    let asked = exact(Horizon::Planned, None);
    assert_eq!(batches_of(&tried(&toy(0), &[FERMENTER], &asked)), [0]);
    let found = tried(&toy(1), &[FERMENTER, Lever::Vessel { like: VesselId(12) }], &asked);
    assert_eq!(found.base.objective, one * BATCH);
    assert_eq!(batches_of(&found), [0, two - one]);
}

/// One batch a week of 10 hL that sells at 100: a fermenter more adds 1000 money a week, and is paid back after its price over that.
#[test]
fn what_sells_is_worth_its_contribution() {
    let mut made = plain(1, 6, 0);
    made.aim = Aim::Orders;
    made.vessels[0].price = Some(money(52_000));
    let found = tried(&made, &[FERMENTER], &exact(Horizon::Repeating(1), None));
    let gain = &found.gains[0];
    assert_eq!((gain.found, gain.price), (Some(money(1_000).0), Some(Money(5_200_000))));
    assert_eq!(gain.costs_a_week, None);
    assert_eq!(gain.volume, Some(hl(10)));
    let (low, high) = (gain.low.expect("a least"), gain.high.expect("a most"));
    assert!((low - money(1_000).0).abs() < 100 && (high - money(1_000).0).abs() < 100, "{gain:?}");
}

/// A beer of which no more is asked for: nothing adds anything, and all of it is proven.
#[test]
fn where_everything_asked_for_is_made_nothing_adds_anything() {
    let mut made = plain(3, 6, 0);
    made.aim = Aim::Orders;
    made.rates.surplus = cellarwright_model::units::Share(0);
    made.orders.push(order(0, 0, hl(10), 6));
    let found = find(&made, &exact(Horizon::Repeating(1), None), &NoObserver).expect("it solves");
    assert!(found.gains.len() >= 6, "{:?}", found.gains);
    for gain in &found.gains {
        assert_eq!(gain.state, State::Nothing, "{gain:?}");
    }
}

/// Stops after so many steps.
#[derive(Default)]
struct StopAfter {
    is_over: AtomicBool,
}

impl Observer for StopAfter {
    fn progress(&self, _progress: Progress) {}
    fn stop(&self) -> bool {
        self.is_over.load(Ordering::SeqCst)
    }
}

impl Steps for StopAfter {
    fn step(&self, _done: usize, _of: usize) {
        self.is_over.store(true, Ordering::SeqCst);
    }
}

/// Stopped by hand, and with next to no time: what is known is told, and every range holds what the whole search finds.
#[test]
fn a_search_that_is_cut_short_tells_what_it_knows() {
    let made = plain(2, 6, 0);
    let whole = find(&made, &exact(Horizon::Repeating(1), None), &NoObserver).expect("it solves");
    let one_at_a_time = Options { threads: 1, ..exact(Horizon::Planned, None).search };
    let asked = Asked { search: one_at_a_time, ..exact(Horizon::Repeating(1), None) };
    let stopped = find(&made, &asked, &StopAfter::default()).expect("it stops");
    let hasty = Options { seconds: 0.01, ..one_at_a_time };
    let hasty = find(&made, &Asked { search: hasty, ..asked }, &NoObserver).expect("it ends");
    let is_not_tried = |gain: &&Gain| gain.state == State::NotTried;
    assert!(stopped.gains.iter().filter(is_not_tried).count() >= 1, "{:?}", stopped.gains);
    for short in [&stopped, &hasty] {
        assert_eq!(short.gains.len(), whole.gains.len());
        for (gain, known) in short.gains.iter().zip(&whole.gains) {
            let (found, slack) = (known.found.expect("a plan"), 10_000);
            assert!(gain.low.is_none_or(|low| low <= found + slack), "{gain:?} {known:?}");
            assert!(gain.high.is_none_or(|high| high + slack >= found), "{gain:?} {known:?}");
        }
    }
}

/// The same numbers however many cases are tried at a time.
#[test]
fn levers_come_out_the_same_with_one_thread_and_three() {
    let made = plain(3, 13, 0);
    let with_threads = |threads| {
        let asked = exact(Horizon::Repeating(2), Some(2));
        let search = Options { threads, ..asked.search };
        let found = find(&made, &Asked { search, ..asked }, &NoObserver).expect("it solves");
        (found.gains, found.pairs)
    };
    assert_eq!(with_threads(1), with_threads(3));
}

/// Random cases with all themes (seeded, invented): what a lever adds by trying everything lies within its range, and is never less than nothing where it is
/// said that more cannot hurt. `CELLARWRIGHT_ORACLE_CASES=300` tries more of them.
#[test]
fn every_range_holds_what_trying_everything_finds() {
    let cases =
        std::env::var("CELLARWRIGHT_ORACLE_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(5);
    let (mut compared, mut more_than_nothing) = (0, 0);
    let mut seed = 0;
    let mut cases_compared = 0;
    while cases_compared < cases {
        assert!(seed < 40 * cases, "too many cases are too big");
        let made = cellarwright_tests::generator::make(seed).case;
        seed += 1;
        let Some(base) = best_plan(&made, 400) else { continue };
        let mut some = Vec::new();
        let mut best = Vec::new();
        for lever in levers(&made) {
            let changed = with(&made, &[lever]).expect("it was offered");
            if let Some(found) = best_plan(&changed, 1_200) {
                best.push((changed, found));
                some.push(lever);
            }
        }
        let asked = Asked {
            search: Options { threads: 1, ..exact(Horizon::Planned, None).search },
            ..exact(Horizon::Planned, None)
        };
        let found = find_among(&made, &some, &asked, &NoObserver).expect("it solves");
        cases_compared += 1;
        for (gain, (changed, with_it)) in found.gains.iter().zip(&best) {
            let allowed = |objective: f64| OBJECTIVE * objective.abs() + 10.0;
            let slack = allowed(base.objective)
                + allowed(with_it.objective)
                + rounding(&made, &base.plan)
                + rounding(changed, &with_it.plan);
            let difference = with_it.objective - base.objective;
            let wrong = format!("seed {}: {difference} for {gain:?}", seed - 1);
            let (Some(low), Some(high)) = (gain.low, gain.high) else { panic!("{wrong}") };
            let (low, high) = (low as f64, high as f64);
            assert!(low <= difference + slack && difference <= high + slack, "{wrong}");
            assert!(!gain.never_hurts || difference >= -slack, "{wrong}");
            compared += 1;
            more_than_nothing += usize::from(difference > slack);
        }
    }
    assert!(compared >= 5 * cases as usize, "{compared} levers");
    assert!(more_than_nothing >= 2, "{more_than_nothing} of {compared} add anything");
}

/// A case that cannot be planned as it is has no levers, and says why.
#[test]
fn a_case_without_a_plan_says_why() {
    let mut made = plain(1, 6, 0);
    let day = Some(0);
    let brew = |vessel| cellarwright_model::case::PinnedWork::Brew {
        beer: cellarwright_model::ids::BeerId(0),
        vessel: Some(vessel),
        turns: None,
        part: None,
    };
    for _ in 0..2 {
        made.fixed.pins.push(cellarwright_model::case::Pin { work: brew(VesselId(0)), day, shift: None });
    }
    let found = find(&made, &exact(Horizon::Planned, None), &NoObserver);
    let is_conflict =
        matches!(found, Err(cellarwright_solver::levers::LeverError::Plan(SolveError::Conflict(_))));
    assert!(is_conflict, "{found:?}");
}

/// A second shift of the packers need not be used. Cut short, the search with it once found less than the plan without it, and that was shown as what it adds: thousands
/// less than nothing.
#[test]
fn the_plan_without_a_second_shift_of_the_packers_counts_with_it_too() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/fennick-wharf/brewplan.yaml");
    let case = cellarwright_model::yaml::read_case(&file).case.expect("a case");
    // Packers: with a second shift of the cellar some carbonating would be too early for its packaging (R07).
    let packers = case.crew_ids().find(|&crew| case.crew(crew).name == "packers").expect("packers");
    let shifts = [Lever::SecondShift { crew: packers }];
    let search = Options { seconds: 2.0, gap: 0.001, threads: 1, seed: 0 };
    let asked = Asked { horizon: Horizon::Planned, search, pairs_of: None };
    for gain in tried(&case, &shifts, &asked).gains {
        assert!(gain.found.is_some_and(|found| found >= 0), "{gain:?}");
    }
}
