//! How a batch leaves its fermenter in parts, and what happens when it is ready late: cases worked by hand.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Aim, Carbonating, Case, Comes};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Pressure, Share, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, solve, solve_without};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{
    beer, bright, case, fast_line, hl, hours, in_fermenter, kegs, money, order, unitank,
};

use crate::oracle::{compare, exact};

fn tiny(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name);
    read_case(&path.join("brewplan.yaml")).case.expect("a case")
}

/// The best plan, which the checker passes and trying everything does not better.
fn best(case: &Case) -> Answer {
    let answer = checked(case);
    let tried = best_plan(case, 2_000_000).expect("all is tried");
    let apart = tried.objective - answer.objective as f64;
    assert!(apart.abs() <= 50.0, "tried {} and solved {}", tried.objective, answer.objective);
    answer
}

/// Tanks filled, by name and volume in millilitres.
fn fills(case: &Case, answer: &Answer) -> Vec<(String, i64)> {
    let mut fills = Vec::new();
    for task in &answer.plan.tasks {
        if let Work::Transfer { to, volume, .. } = task.work {
            fills.push((case.vessel(to).name.clone(), volume.0));
        }
    }
    fills.sort();
    fills
}

#[test]
fn a_batch_is_split_over_three_tanks_where_none_holds_it() {
    // Worked by hand in the brew plan.
    let case = tiny("three-small-tanks");
    let answer = best(&case);
    assert_eq!(answer.report.breakdown.packaged_planned, Volume(6_000_000));
    let parts = [("B1", 1_791_044), ("B2", 1_970_149), ("B3", 2_238_807)];
    assert_eq!(fills(&case, &answer), parts.map(|(name, volume)| (name.to_owned(), volume)));
}

#[test]
fn with_two_of_the_three_tanks_a_part_comes_too_late() {
    let mut case = tiny("three-small-tanks");
    case.vessels.remove(1);
    let packaged = best(&case).report.breakdown.packaged_planned;
    // 60 x 47 / 69, give or take what rounds in three parts.
    assert!((packaged.0 - 4_086_957).abs() <= 5, "{packaged:?}");
}

#[test]
fn beer_that_has_stuck_makes_one_order_late_and_one_short() {
    // Worked by hand in the brew plan.
    assert_eq!(best(&tiny("stuck-fermentation")).objective, -383_000);
}

#[test]
fn the_same_beer_in_time_is_worth_so_much_more() {
    let mut case = tiny("stuck-fermentation");
    case.in_tank[0].ready = -1;
    assert_eq!(best(&case).objective, 135_000);
}

#[test]
fn a_part_is_moved_and_the_rest_is_packaged_from_the_fermenter() {
    // Worked by hand in the brew plan.
    let case = tiny("part-direct");
    let answer = best(&case);
    assert_eq!(answer.report.breakdown.packaged_planned, hl(80));
    assert_eq!(fills(&case, &answer), [("B1".to_owned(), hl(40).0)]);
    let mut routes = case.clone();
    routes.beers[0].both = false;
    assert_eq!(best(&routes).report.breakdown.packaged_planned, hl(40));
    routes.beers[0].bright = false;
    assert_eq!(best(&routes).report.breakdown.packaged_planned, hl(40));
    (routes.beers[0].bright, routes.beers[0].direct) = (true, false);
    assert_eq!(best(&routes).report.breakdown.packaged_planned, hl(40));
}

/// Working on one day of the week, counted from Monday.
fn only(day: usize) -> Weekdays {
    let mut days = [false; 7];
    days[day] = true;
    Weekdays(days)
}

/// A line that comes on one day of the first week.
fn on(day: i64) -> Comes {
    Comes::Every {
        from: jiff::civil::date(2026, 12, 7).saturating_add(jiff::Span::new().days(day)),
        days: 28,
    }
}

/// The best plan, which the checker passes; the search by trying everything knows no mobile lines.
fn checked(case: &Case) -> Answer {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report, check(case, &answer.plan));
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
    answer
}

/// A week in which the cellar works on Monday, the canner comes on Tuesday and the keg line on Friday, the fourth working day
/// of the packers after a transfer on Monday.
fn kegs_on_friday() -> Case {
    let mut case = tiny("part-direct");
    case.calendar.planned_days = 5;
    case.calendar.work[Role::Cellar as usize] = only(0);
    (case.lines[0].comes, case.lines[1].comes) = (on(4), on(1));
    case
}

#[test]
fn the_rest_is_packaged_within_three_working_days_of_the_transfer() {
    let case = kegs_on_friday();
    assert_eq!(checked(&case).report.breakdown.packaged_planned, hl(40));
    // Without the rule both are done, and the checker says what that breaks.
    let plan = solve_without(&case, RuleId::Stages, &exact()).expect("it solves");
    let report = check(&case, &plan);
    let rules: Vec<RuleId> = report.violations.iter().map(|violation| violation.rule).collect();
    assert_eq!(rules, [RuleId::Stages]);
    // A day earlier it is in time.
    let mut thursday = kegs_on_friday();
    thursday.lines[0].comes = on(3);
    assert_eq!(checked(&thursday).report.breakdown.packaged_planned, hl(80));
}

/// One batch in tank, a bright tank or two, two lines or one, a few days; a beer that lists both routes together.
fn drawn_by_lot(random: &mut Random) -> Case {
    let mut made = case(random.between(3, 4) as usize);
    made.rates.dump = money(1_000_000);
    made.calendar.work[0].0 = [false; 7];
    if random.percent(40) {
        made.aim = Aim::Output(None);
    }
    made.transfer.loss_fixed = Volume(random.between(0, 30) * 1_000);
    made.transfer.loss_share = Share(random.between(0, 30) * 1_000);
    made.carbonate.takes = hours(random.between(4, 30));
    made.lines.push(fast_line("kegs"));
    made.formats.push(kegs(0));
    made.lines.push(fast_line("cans"));
    made.formats.push(kegs(1));
    for line in &mut made.lines {
        line.speed.0 = random.between(3, 12) * 100_000;
    }
    // A canner that asks for more pressure than the fermenter may give.
    (made.lines[1].feed, made.lines[1].pump) = (Pressure(150_000), random.percent(15));
    let mut one = beer("beer", &[0, 1]);
    one.both = true;
    one.loss_direct = Share(random.between(0, 4) * 10_000);
    one.may_wait = random.between(0, 3);
    if random.percent(30) {
        one.carbonating = Carbonating::No;
    }
    made.beers.push(one);
    let volume = hl(random.between(12, 40));
    made.vessels.push(unitank("F", hl(40)));
    made.vessels[0].rated = Pressure(150_000);
    for number in 0..random.between(1, 2) {
        let mut tank = bright(&format!("B{number}"), hl(random.between(8, 30)));
        tank.least = hl(random.between(2, 8));
        made.vessels.push(tank);
    }
    made.in_tank.push(in_fermenter(0, 0, volume, -4, random.between(0, 1)));
    for format in [0, 1] {
        made.orders.push(order(0, format, hl(random.between(5, 20)), random.between(2, 3)));
    }
    made
}

#[test]
fn on_both_routes_nothing_beats_the_program() {
    let (mut all, mut parted, mut wrong) = (0, 0, Vec::new());
    for seed in 0..60 {
        let case = drawn_by_lot(&mut Random::new(seed));
        let Some(tried) = best_plan(&case, 400_000) else { continue };
        all += 1;
        let answer = solve(&case, &exact(), &NoObserver).expect("it solves");
        wrong.extend(compare(seed, &case, &tried, &answer));
        let from = |is_transfer: bool| {
            answer.plan.tasks.iter().any(|task| match task.work {
                Work::Transfer { from, .. } => is_transfer && from == VesselId(0),
                Work::Package { vessel, .. } => !is_transfer && vessel == VesselId(0),
                _ => false,
            })
        };
        parted += usize::from(from(true) && from(false));
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(all >= 40 && parted >= 15, "{parted} of {all} batches leave on both routes");
}

#[test]
fn with_a_look_ahead_a_batch_on_both_routes_has_left_when_the_planned_days_end() {
    let mut case = tiny("part-direct");
    case.calendar.look_ahead_days = 14;
    let answer = checked(&case);
    assert_eq!(answer.report.breakdown.packaged_planned, hl(80));
    assert_eq!(fills(&case, &answer), [("B1".to_owned(), hl(40).0)]);
    // Kegs on Wednesday, when the planned days are over: neither the rest nor a second transfer may be left for the look-ahead
    // (restrictions of the program), so nothing is begun.
    case.lines[0].comes = on(2);
    assert_eq!(checked(&case).report.breakdown.packaged_planned, Volume::ZERO);
}
