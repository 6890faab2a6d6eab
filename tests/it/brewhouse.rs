//! Beers that take longer, turns of their own size, liquor: random cases against trying everything, and days worked by hand.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Case, Job, Liquor, Pin, PinnedWork, RoleTimes};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::plan::{OutlookBatch, Plan, Task, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Money, Rate, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{beer, case, hl, hours, kegs, line, money, unitank};

use crate::oracle::{compare, exact};

/// Cases that must be compared.
const CASES: usize = 20;

#[test]
fn with_beers_that_brew_differently_the_program_finds_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut compared, mut brewed, mut in_part, mut seed) = (0, 0, 0, 7_000);
    while compared < CASES {
        seed += 1;
        assert!(seed < 7_000 + 12 * CASES as u64, "too many cases are too big");
        let mut case = make(seed).case;
        let mut random = Random::new(seed);
        // Worth brewing: beer in a tank is worth something at once, and there is an empty clean fermenter.
        case.rates.to_package = Money::ZERO;
        case.in_tank.truncate(1);
        case.dirty.clear();
        case.calendar.work[Role::Brew as usize] = Weekdays::ALL;
        let mut fermenter = case.vessels[0].clone();
        fermenter.name = "F9".into();
        case.vessels.push(fermenter);
        for beer in &mut case.beers {
            let takes = Minutes(random.between(0, 5) * 60);
            let crew = RoleTimes::only(Role::Brew, Minutes(takes.0 / 2));
            beer.brewing.longer = Job { takes, crew };
            beer.brewing.turn =
                random.percent(40).then(|| Volume(case.brewhouse.turn.0 * random.between(80, 100) / 100));
            if random.percent(60) {
                beer.part_turns = vec![Volume(case.brewhouse.turn.0 * random.between(45, 75) / 100)];
            }
        }
        // A small fermenter takes part turns alone.
        let added = case.vessels.len() - 1;
        if random.percent(50) {
            case.vessels[added].holds = Volume(case.brewhouse.turn.0 * 78 / 100);
        }
        for vessel in &mut case.vessels {
            vessel.least = Volume(vessel.least.0 / 2);
        }
        let Some(brute) = best_plan(&case, 2_000) else { continue };
        match solve(&case, &exact(), &NoObserver) {
            Ok(answer) => {
                wrong.extend(compare(seed, &case, &brute, &answer));
                compared += 1;
                let tasks = &brute.plan.tasks;
                brewed += usize::from(tasks.iter().any(|task| matches!(task.work, Work::Brew { .. })));
                let is_part = |task: &Task| matches!(task.work, Work::Brew { part: Some(_), .. });
                in_part += usize::from(tasks.iter().any(is_part));
            }
            Err(error) => wrong.push(format!("seed {seed}: {error} {error:?}")),
        }
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(brewed * 3 > compared, "{brewed} of {compared} brew at all");
    assert!(in_part > 2, "{in_part} of {compared} brew a part turn");
}

/// One day, empty clean fermenters, beers that differ in what they earn; worth something as soon as they are in a tank.
fn one_day(fermenters: usize, contributions: &[i64]) -> Case {
    let mut made = case(1);
    made.rates.to_package = Money::ZERO;
    made.lines.push(line("line"));
    made.formats.push(kegs(0));
    for (number, &contribution) in contributions.iter().enumerate() {
        let mut one = beer(&format!("beer {number}"), &[0]);
        one.bright = false;
        one.packaged[0].contribution = money(contribution);
        made.beers.push(one);
    }
    made.vessels = (0..fermenters).map(|number| unitank(&format!("F{number}"), hl(20))).collect();
    made
}

fn brews(plan: &Plan) -> Vec<BeerId> {
    let mut all = Vec::new();
    for task in &plan.tasks {
        if let Work::Brew { beer, turns, .. } = task.work {
            all.extend((0..turns).map(|_| beer));
        }
    }
    all
}

/// By hand: the day has 12 h; two plain turns take 5 + 3 h, the long beer 5 + 5 h, so that no second turn fits beside it.
/// In a tank a day of four is worth a quarter of 60 % of the contribution: 18.124 hL of it (after the losses of
/// tank, direct route and line) are worth 271.9 at 100, 679.7 at 250, 407.8 at 150. Less labour at 30 an hour (8 h for two plain
/// turns, 10 h for the long one) two plain ones are worth 303.7, the long one 379.7 at 250 and 107.8 at 150.
#[test]
fn the_long_beer_takes_the_day_where_it_is_worth_it() {
    let best = |contribution| {
        let mut made = one_day(2, &[100, contribution]);
        let takes = hours(5);
        made.beers[1].brewing.longer = Job { takes, crew: RoleTimes::only(Role::Brew, takes) };
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        (brews(&answer.plan), answer.objective / 100)
    };
    let (plain, long) = (BeerId(0), BeerId(1));
    assert_eq!(best(250).0, [long]);
    assert_eq!(best(150).0, [plain, plain]);
    assert!((best(150).1 - 303).abs() < 2, "{}", best(150).1);
}

/// By hand, with turns of 3 h, a first of 5 h, a day of 12 h and 24 hL of hot liquor a turn: tank and rate, and the turns.
const LIQUOR: [(i64, i64, i64); 7] = [
    (72, 0, 3),  // three turns in the tank: 5 + 3 + 3 h
    (48, 0, 2),  // two turns in the tank, none made
    (24, 24, 3), // a turn's liquor in an hour
    (24, 4, 2),  // 6 h for each further turn: at 0 and 6 h; the third would end at 15 h
    (24, 2, 1),  // 12 h: none in time
    (30, 3, 2),  // 18 hL missing: at 6 h; the third would end at 17 h
    (48, 4, 3), // at 0 and 5 h; then 4 hL are missing less what 3 h make: at 8 h (44 hL and 20 hL are left after the first two starts)
];

#[test]
fn liquor_limits_the_turns_of_a_day() {
    for (tank, makes, turns) in LIQUOR {
        let mut made = one_day(4, &[300]);
        made.brewhouse.turns_per_day = 4;
        made.crews[0].people = 50;
        made.brewhouse.liquor = vec![Liquor { tank: hl(tank), per_turn: hl(24), makes: Rate(hl(makes).0) }];
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        assert_eq!(brews(&answer.plan).len() as i64, turns, "tank {tank} hL, {makes} hL/h");
        let more = (0..=turns).map(|number| Task {
            begins: None,
            slot: cellarwright_model::calendar::Slot(0),
            work: Work::Brew { beer: BeerId(0), vessel: VesselId(number as usize), turns: 1, part: None },
        });
        let plan = Plan { tasks: more.collect(), ..Plan::default() };
        let report = check(&made, &plan);
        assert!(report.violations.iter().all(|violation| violation.rule == RuleId::Turns));
        assert!(!report.violations.is_empty(), "tank {tank} hL, {makes} hL/h");
    }
}

/// Worked by hand at the top of the case.
#[test]
fn what_takes_longer_and_what_is_not_heated_turn_the_brew_day() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/brew-day/brewplan.yaml");
    let outcome = read_case(&path);
    let made = outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings));
    let best = |made: &Case| solve(made, &exact(), &NoObserver).expect("it solves");
    let answer = best(&made);
    let (plain, dark) = (BeerId(0), BeerId(1));
    assert_eq!(brews(&answer.plan), [plain, plain]);
    assert!((answer.objective - 31_200).abs() < 200, "{}", answer.objective);
    let mut quick = made.clone();
    quick.beers[1].brewing.longer = Job::default();
    assert_eq!(brews(&best(&quick).plan), [dark, dark]);
    let mut cold = made;
    cold.brewhouse.liquor[0].makes = Rate(hl(1).0);
    assert_eq!(brews(&best(&cold).plan), [plain]);
}

fn parts(plan: &Plan) -> Vec<(VesselId, Option<Volume>)> {
    let brew = |task: &Task| match task.work {
        Work::Brew { vessel, part, .. } => Some((vessel, part)),
        _ => None,
    };
    plan.tasks.iter().filter_map(brew).collect()
}

/// Worked by hand at the top of the case.
#[test]
fn a_part_turn_fills_the_small_fermenter() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/part-batch/brewplan.yaml");
    let outcome = read_case(&path);
    let made = outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings));
    let best = |made: &Case| {
        let answer = solve(made, &exact(), &NoObserver).expect("it solves");
        let mut brews = parts(&answer.plan);
        brews.sort_unstable();
        (brews, answer.objective / 100)
    };
    let whole = (VesselId(0), None);
    assert_eq!(best(&made), (vec![whole, (VesselId(1), Some(hl(12)))], 202));
    let mut smaller = made.clone();
    smaller.beers[0].part_turns = vec![hl(10)];
    assert_eq!(best(&smaller), (vec![whole, (VesselId(1), Some(hl(10)))], 174));
    let mut plain = made.clone();
    plain.beers[0].part_turns.clear();
    assert_eq!(best(&plain), (vec![whole], 126));
    // A pin for the smaller size costs the difference of what it is worth; one for whole turns is not kept by a part turn.
    let pin = |part, turns| {
        let mut pinned = made.clone();
        let work = PinnedWork::Brew { beer: BeerId(0), vessel: Some(VesselId(1)), turns, part };
        pinned.fixed.pins = vec![Pin { work, day: None, shift: None }];
        pinned
    };
    assert_eq!(best(&pin(Some(hl(10)), None)), best(&smaller));
    assert!(solve(&pin(None, Some(1)), &exact(), &NoObserver).is_err());
}

/// The look-ahead plans part turns too: with a week of it both fermenters are filled again and again, the small one in part.
#[test]
fn part_turns_are_planned_in_the_look_ahead() {
    let mut made = one_day(1, &[100]);
    made.calendar.look_ahead_days = 13;
    made.vessels[0].holds = hl(12);
    made.beers[0].part_turns = vec![hl(12)];
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert!(parts(&answer.plan).iter().all(|&(_, part)| part == Some(hl(12))));
    let new = |batch: &&OutlookBatch| batch.turns > 0;
    let ahead: Vec<OutlookBatch> = answer.plan.outlook.batches.iter().filter(new).copied().collect();
    assert!(!ahead.is_empty());
    assert!(ahead.iter().all(|batch| (batch.turns, batch.part) == (1, Some(hl(12)))), "{ahead:#?}");
    let mut plan = answer.plan.clone();
    for batch in plan.outlook.batches.iter_mut().filter(|batch| batch.turns > 0) {
        batch.part = Some(hl(11));
    }
    let report = check(&made, &plan);
    assert!(report.violations.iter().any(|violation| violation.rule == RuleId::FillLevel));
}
