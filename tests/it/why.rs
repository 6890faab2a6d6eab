//! Why orders are short: cases worked by hand, and random ones against trying everything.

use std::path::Path;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Aim, Case, OvertimeLimit};
use cellarwright_model::ids::{CrewId, OrderId};
use cellarwright_model::lever::Lever;
use cellarwright_model::rule::RuleId;
use cellarwright_model::tolerance::OBJECTIVE;
use cellarwright_model::units::{Minutes, Money, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::why::{
    Asked, Change, Displaced, Forbidden, Part, Subject, Verdict, What, Why, why, with,
};
use cellarwright_solver::{NoObserver, Options};
use cellarwright_tests::brute::{search, search_filling};
use cellarwright_tests::generator::make;
use cellarwright_tests::small::{hl, money};

use crate::oracle::{compare, rounding};

/// A case of `cases/why`.
fn read(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/why").join(name).join("brewplan.yaml");
    let outcome = read_case(&path);
    outcome.case.unwrap_or_else(|| panic!("{name}: {:?}", outcome.findings))
}

fn ask(case: &Case, orders: &[usize]) -> Why {
    let orders = orders.iter().map(|&order| OrderId(order)).collect();
    let search = Options { seconds: 120.0, gap: 0.0, threads: 2, seed: 0 };
    why(case, &Asked { orders, search }, &NoObserver).expect("it solves")
}

fn displaced(why: Why) -> Displaced {
    match why.verdict {
        Verdict::Displaces(found) => *found,
        other => panic!("{other:?}"),
    }
}

/// What forbids it, all of which must be proven.
fn forbidden(why: Why) -> Forbidden {
    match why.verdict {
        Verdict::Forbidden(found) => {
            assert!(found.is_confirmed, "{found:?}");
            assert!(found.members.iter().all(|member| member.is_needed == Some(true)), "{found:?}");
            *found
        }
        other => panic!("{other:?}"),
    }
}

fn members(found: &Forbidden) -> Vec<What> {
    found.members.iter().map(|member| member.what).collect()
}

fn rule(rule: RuleId) -> What {
    What::Rule(Part::whole(rule))
}

/// Worked by hand at the top of the case.
#[test]
fn the_stout_in_time_costs_the_dearer_ale() {
    let case = read("displaced");
    let found = ask(&case, &[1]);
    assert_eq!(found.as_it_is.objective, money(1920).0);
    let found = displaced(found);
    assert_eq!(found.answer.objective, money(1520).0);
    let near = |value: i64| (value - money(400).0).abs() <= 2;
    assert!(near(found.least) && found.most.is_some_and(near), "{found:?}");
    let delivered: Vec<i64> =
        found.answer.report.usage.orders.iter().map(|result| result.delivered.0).collect();
    assert_eq!(delivered, [0, hl(20).0]);
    // The ale is filled as it is.
    assert_eq!(ask(&case, &[0]).verdict, Verdict::Filled);
}

/// Both orders of one day's line time: each can be filled, so the two orders themselves are what forbids both, with the packers' Monday.
#[test]
fn two_orders_that_can_each_be_filled_are_both_needed_to_forbid_both() {
    let case = read("displaced");
    let found = forbidden(ask(&case, &[0, 1]));
    let packers = Part { days: Some((0, 0)), ..Part::of(RuleId::Crew, Subject::Crew(CrewId(1))) };
    assert_eq!(
        members(&found),
        [What::Order(OrderId(0)), What::Order(OrderId(1)), What::Rule(packers), rule(RuleId::Orders)]
    );
    assert!(found.members.iter().all(|member| member.is_enough == Some(true)), "{found:?}");
    let most = found.deliverable.at_most.expect("a most");
    assert!((most - hl(20)).0.abs() <= 1_000, "{most:?}");
}

/// Worked by hand at the top of the case.
#[test]
fn the_packers_monday_and_the_delivery_a_day_later_forbid_a_large_order() {
    let found = forbidden(ask(&read("two-hours-more"), &[0]));
    let packers = Part { days: Some((0, 0)), ..Part::of(RuleId::Crew, Subject::Crew(CrewId(1))) };
    assert_eq!(members(&found), [What::Rule(packers), rule(RuleId::Orders)]);
    assert!(found.members.iter().all(|member| member.is_enough == Some(true)), "{found:?}");
    assert!(found.in_fractions);
    let (least, most) =
        (found.deliverable.at_least.expect("a least"), found.deliverable.at_most.expect("a most"));
    assert!((least - hl(20)).0.abs() <= 1_000 && (most - hl(20)).0.abs() <= 1_000, "{found:?}");
}

/// Worked by hand at the top of the case.
#[test]
fn beer_that_is_ready_too_late_is_forbidden_by_its_ready_day_and_the_shift_after() {
    let case = read("too-soon");
    let ready = What::Rule(Part::of(RuleId::Ready, Subject::InTank(0)));
    let fair = forbidden(ask(&case, &[0]));
    assert_eq!(members(&fair), [ready, rule(RuleId::BrightRest)]);
    // Packaged on Wednesday, the day of the fill, it would still go out on Thursday only.
    let enough: Vec<Option<bool>> = fair.members.iter().map(|member| member.is_enough).collect();
    assert_eq!(enough, [Some(true), Some(false)]);
    let inn = forbidden(ask(&case, &[1]));
    assert_eq!(members(&inn), [ready, rule(RuleId::BrightRest), rule(RuleId::Orders)]);
    assert!(inn.members.iter().all(|member| member.is_enough == Some(true)), "{inn:?}");
    // A day later it can be filled.
    let mut later = case;
    later.orders[1].due += 1;
    let verdict = ask(&later, &[1]).verdict;
    assert!(matches!(verdict, Verdict::Filled | Verdict::Displaces(_)), "{verdict:?}");
}

/// Changes that do, all of which must be the least of their kind.
fn enough(found: &Forbidden) -> Vec<Change> {
    assert!(found.changes.enough.iter().all(|enough| enough.is_least), "{found:?}");
    assert!(found.changes.open.is_empty(), "{found:?}");
    found.changes.enough.iter().map(|enough| enough.change.clone()).collect()
}

fn later(orders: &[usize], days: i64) -> Change {
    Change::Later { orders: orders.iter().map(|&order| OrderId(order)).collect(), days }
}

/// Worked by hand at the top of the case: 28 hL take 3 h and 7 h. A second shift would be there on Monday, so its kegs go out on Tuesday too.
#[test]
fn two_hours_more_on_monday_do_and_are_the_least() {
    let case = read("two-hours-more");
    let found = forbidden(ask(&case, &[0]));
    let longer = |minutes| Change::Longer { crew: CrewId(1), slot: Slot(0), time: Minutes(minutes) };
    let shift = Change::More(Lever::SecondShift { crew: CrewId(1) });
    assert_eq!(enough(&found), [longer(120), later(&[0], 1), shift]);
    // Two people for two hours at 30.00; what has no price stands after what has one.
    assert_eq!(found.changes.enough[0].price.once, Some(Money(12_000)));
    let verdict = |minutes| ask(&with(&case, &longer(minutes)).expect("it makes sense"), &[0]).verdict;
    // Ten minutes less are more than a keg less; what is less than a keg short counts as filled in a plan.
    assert!(matches!(verdict(110), Verdict::Forbidden(_)));
    assert!(!matches!(verdict(120), Verdict::Forbidden(_)));
    // One more line person does not make the line faster: that is said, and so is the day after.
    assert!(found.changes.not_enough.contains(&Change::More(Lever::Person { crew: CrewId(1), shift: 0 })));
}

/// Worked by hand: 3 h of start-up and clean-down and a quarter of an hour for each hectolitre, less the 8 h that there are.
#[test]
fn the_least_time_is_found_to_the_minute_up_to_four_hours() {
    for (litres, minutes) in [(2_100, 15), (2_477, 72), (2_801, 121), (3_600, 240)] {
        let mut case = read("two-hours-more");
        case.orders[0].quantity = Volume(litres * 1_000);
        let found = forbidden(ask(&case, &[0]));
        let longer = Change::Longer { crew: CrewId(1), slot: Slot(0), time: Minutes(minutes) };
        assert!(enough(&found).contains(&longer), "{litres} L: {found:?}");
    }
}

/// Where their overtime of a week is limited, all the overtime of that day is asked for, and the week stays as it is for other days.
#[test]
fn overtime_of_a_week_that_is_used_up_is_asked_for_on_one_day() {
    let mut case = read("two-hours-more");
    let limit = |at_most, a_week: Option<i64>| OvertimeLimit {
        at_most: Minutes(at_most),
        a_week: a_week.map(Minutes),
        cost: money(10),
    };
    case.crews[1].overtime = Some(limit(120, Some(60)));
    let found = forbidden(ask(&case, &[0]));
    assert!(enough(&found).contains(&Change::Longer { crew: CrewId(1), slot: Slot(0), time: Minutes(120) }));
    // Without a limit of the week an hour of overtime that there is leaves one to be asked for, at 30.00 and 10.00 for each of two.
    case.crews[1].overtime = Some(limit(60, None));
    let found = forbidden(ask(&case, &[0]));
    assert_eq!(enough(&found)[0], Change::Longer { crew: CrewId(1), slot: Slot(0), time: Minutes(60) });
    assert_eq!(found.changes.enough[0].price.once, Some(money(80)));
}

/// Worked by hand at the top of the case: for the fair it must be ready on Monday (moved then, packaged on Tuesday), or it is due on Friday.
#[test]
fn beer_is_ready_or_orders_are_due_the_fewest_days_otherwise() {
    let case = read("too-soon");
    let ready = |days| Change::ReadyEarlier { in_tank: 0, days };
    assert_eq!(enough(&forbidden(ask(&case, &[0]))), [ready(2), later(&[0], 2)]);
    let stay = Change::More(Lever::Stay { beer: case.orders[1].beer });
    assert_eq!(enough(&forbidden(ask(&case, &[1]))), [later(&[1], 1), ready(1), stay]);
}

/// Each of two orders that hinder each other may be due later, or both.
#[test]
fn of_several_orders_each_may_be_due_later_or_all() {
    let found = forbidden(ask(&read("displaced"), &[0, 1]));
    let all = enough(&found);
    for change in [later(&[0], 1), later(&[1], 1)] {
        assert!(all.contains(&change), "{all:?}");
    }
}

#[test]
fn nothing_that_is_tried_may_do() {
    let mut case = read("two-hours-more");
    // More than there is of the beer, and nobody brews.
    case.orders[0].quantity = hl(50);
    let found = forbidden(ask(&case, &[0]));
    assert!(found.changes.enough.is_empty() && found.changes.open.is_empty(), "{found:?}");
    assert!(found.changes.not_enough.len() > 5, "{found:?}");
}

/// Ready on Friday, moved then, packaged on Monday, delivered on Tuesday, 15 December. A coarse period from Thursday on would have it delivered
/// on Friday already.
#[test]
fn a_later_due_day_was_once_met_by_a_coarse_period_before_the_beer_was_ready() {
    let mut case = read("too-soon");
    (case.calendar.planned_days, case.calendar.look_ahead_days) = (3, 11);
    case.in_tank[0].ready = 4;
    let found = forbidden(ask(&case, &[0]));
    let all = enough(&found);
    let found = all.iter().find(|change| matches!(change, Change::Later { .. }));
    assert_eq!(found, Some(&later(&[0], 6)), "{all:?}");
}

/// A random case that is there for its orders, and the first of these that is due in time.
fn with_an_order(seed: u64) -> Option<(Case, OrderId)> {
    let case = make(seed).case;
    let due = case.order_ids().find(|&id| case.order(id).due >= 0)?;
    matches!(case.aim, Aim::Orders).then_some((case, due))
}

/// Changes that do, and changes that do not, of which so many must be compared.
const COMPARED: usize = 6;

#[test]
fn random_changes_that_do_are_the_least_and_others_do_not_as_trying_everything_says() {
    let mut wrong = Vec::new();
    let (mut enough, mut not_enough, mut seed) = (0, 0, 20_000);
    while enough < COMPARED || not_enough < COMPARED {
        seed += 1;
        assert!(seed < 20_400, "{enough} that do, {not_enough} that do not");
        let Some((case, order)) = with_an_order(seed) else { continue };
        let (None, true) = search_filling(&case, &[order], STATES) else { continue };
        let Verdict::Forbidden(found) = ask(&case, &[order.0]).verdict else { continue };
        // Whether it can be filled with a change; none where that is too big to be tried.
        let does = |change: &Change| {
            let Some(changed) = with(&case, change) else { return Some(false) };
            let (plan, is_complete) = search_filling(&changed, &[order], STATES / 4);
            is_complete.then_some(plan.is_some())
        };
        for one in &found.changes.enough {
            enough += 1;
            let less = match &one.change {
                Change::Longer { crew, slot, time } => {
                    Some(Change::Longer { crew: *crew, slot: *slot, time: Minutes(time.0 - 1) })
                }
                Change::Later { orders, days } => {
                    Some(Change::Later { orders: orders.clone(), days: days - 1 })
                }
                Change::ReadyEarlier { in_tank, days } => {
                    Some(Change::ReadyEarlier { in_tank: *in_tank, days: days - 1 })
                }
                Change::More(_) => None,
            };
            if does(&one.change) == Some(false) {
                wrong.push(format!("seed {seed}: {one:?} does not do"));
            }
            if one.is_least && less.is_some_and(|less| does(&less) == Some(true)) {
                wrong.push(format!("seed {seed}: less than {one:?} does"));
            }
        }
        // Many of them differ in little.
        for change in found.changes.not_enough.iter().take(4) {
            match does(change) {
                Some(true) => wrong.push(format!("seed {seed}: {change:?} does")),
                Some(false) => not_enough += 1,
                None => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn threads_change_nothing() {
    let case = read("too-soon");
    let ask = |threads| {
        let search = Options { seconds: 120.0, gap: 0.0, threads, seed: 0 };
        why(&case, &Asked { orders: vec![OrderId(1)], search }, &NoObserver).expect("it solves").verdict
    };
    let one = std::thread::scope(|scope| scope.spawn(|| ask(1)).join().expect("no panic"));
    assert_eq!(one, ask(2));
}

/// Cases that must be compared of each verdict.
const CASES: usize = 8;
/// States that the brute force looks at before a case is passed over as too big.
const STATES: usize = 3_000;

#[test]
fn random_orders_can_be_filled_as_trying_everything_says() {
    let mut wrong = Vec::new();
    let (mut costly, mut forbidden, mut seed) = (0, 0, 20_000);
    while costly < CASES || forbidden < CASES {
        seed += 1;
        assert!(seed < 20_400, "{costly} that cost something, {forbidden} forbidden");
        let Some((case, order)) = with_an_order(seed) else { continue };
        let (Some(free), true) = search(&case, STATES) else { continue };
        let (filled, is_complete) = search_filling(&case, &[order], STATES);
        if !is_complete {
            continue;
        }
        let is_costly = filled.as_ref().is_some_and(|filled| free.objective - filled.objective > 200.0);
        if filled.is_some() && (!is_costly || costly >= CASES) || filled.is_none() && forbidden >= CASES {
            continue;
        }
        match (filled, ask(&case, &[order.0]).verdict) {
            (Some(filled), Verdict::Displaces(found)) => {
                costly += 1;
                wrong.extend(compare(seed, &case, &filled, &found.answer));
                let cost = free.objective - filled.objective;
                let allowed = OBJECTIVE * free.objective.abs()
                    + rounding(&case, &free.plan)
                    + rounding(&case, &filled.plan)
                    + 10.0;
                let most = found.most.map_or(f64::INFINITY, |most| most as f64);
                if found.least as f64 > cost + allowed || most < cost - allowed {
                    wrong.push(format!("seed {seed}: {} to {most} for {cost}", found.least));
                }
            }
            (None, Verdict::Forbidden(found)) => {
                forbidden += 1;
                let is_proven = found.members.iter().all(|member| member.is_needed == Some(true));
                let most = found.deliverable.at_most;
                if !found.is_confirmed
                    || !is_proven
                    || most.is_none_or(|most| most >= case.order(order).quantity)
                {
                    wrong.push(format!("seed {seed}: {found:?}"));
                }
            }
            (filled, verdict) => wrong.push(format!("seed {seed}: {verdict:?} for {filled:?}")),
        }
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
}
