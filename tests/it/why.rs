//! Why orders are short: cases worked by hand, and random ones against trying everything.

use std::path::Path;

use cellarwright_model::case::{Aim, Case};
use cellarwright_model::ids::{CrewId, OrderId};
use cellarwright_model::rule::RuleId;
use cellarwright_model::tolerance::OBJECTIVE;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::why::{Asked, Displaced, Forbidden, Part, Subject, Verdict, What, Why, why};
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
        let case = make(seed).case;
        let due = case.order_ids().find(|&id| case.order(id).due >= 0);
        let (Aim::Orders, Some(order)) = (&case.aim, due) else { continue };
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
