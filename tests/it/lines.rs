//! Lines: the order of beers with changes by pair, mobile lines, several formats from one tank.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::case::{Case, ChangePair, Comes, NeverAfter, OvertimeLimit};
use cellarwright_model::ids::{BeerId, FormatId, LineId};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Money, Volume};
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, solve_without};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{
    beer, bright, case, crew, fast_line, hl, hours, in_bright, kegs, line, money, order,
};

use crate::best::best;
use crate::oracle::exact;

/// So many beers, a bright tank of 10 hL of each, all ordered for day 1, on a line whose running takes hardly any time.
fn shift_of(beers: usize, days: usize) -> Case {
    let mut made = case(days);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    for number in 0..beers {
        made.beers.push(beer(&format!("beer {number}"), &[0]));
        made.vessels.push(bright(&format!("B{number}"), hl(10)));
        made.in_tank.push(in_bright(number, number, hl(10), -2));
        made.orders.push(order(number, 0, hl(10), 1));
    }
    made
}

fn pair(from: usize, to: usize, takes: i64) -> ChangePair {
    ChangePair { from: BeerId(from), to: BeerId(to), takes: Minutes(takes) }
}

/// Beers in the order in which they run in the first slot.
fn order_of(answer: &Answer) -> Vec<usize> {
    let mut order = Vec::new();
    for task in &answer.plan.tasks {
        if let Work::Package { vessel, .. } = task.work
            && order.last() != Some(&vessel.0)
        {
            order.push(vessel.0);
        }
    }
    order
}

/// Every order of some beers.
fn orders(beers: &[usize]) -> Vec<Vec<usize>> {
    if beers.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for &first in beers {
        let rest: Vec<usize> = beers.iter().copied().filter(|&beer| beer != first).collect();
        for mut order in orders(&rest) {
            order.insert(0, first);
            all.push(order);
        }
    }
    all
}

fn changes(made: &Case, order: &[usize]) -> i64 {
    let line = &made.lines[0];
    order.windows(2).map(|two| line.change(BeerId(two[0]), BeerId(two[1])).0).sum()
}

fn is_allowed(made: &Case, order: &[usize]) -> bool {
    made.lines[0].never_after.iter().all(|never| {
        let place = |beer: BeerId| order.iter().position(|&one| one == beer.0);
        !matches!((place(never.beer), place(never.after)), (Some(beer), Some(after)) if beer > after)
    })
}

#[test]
fn the_order_of_beers_is_the_one_of_least_changes() {
    // By hand: 0 before 1 takes 90 min, every other change 45: so 1 runs before 0.
    let mut made = shift_of(2, 1);
    made.lines[0].change_pairs = vec![pair(0, 1, 90)];
    let answer = best(&made);
    assert_eq!(order_of(&answer), [1, 0]);
    made.lines[0].never_after = vec![NeverAfter { beer: BeerId(0), after: BeerId(1) }];
    let dearer = best(&made);
    assert_eq!(order_of(&dearer), [0, 1]);
    // 45 min more of two people, at 30 an hour.
    assert!(
        (answer.objective - dearer.objective - 4_500).abs() <= 2,
        "{}",
        answer.objective - dearer.objective
    );
}

/// In one shift: for random changes the plan's runs are the best set of beers in its best order, found by trying all.
#[test]
fn changes_by_pair_are_exact() {
    for seed in 0..60 {
        let mut random = Random::new(900 + seed);
        let beers = 2 + (random.between(0, 3 - 1) as usize);
        let mut made = shift_of(beers, 1);
        made.rates.surplus = cellarwright_model::units::Share(0);
        made.crews = vec![crew("packers", 2, &[cellarwright_model::calendar::Role::Package])];
        made.crews[0].hours = Minutes(90 + 15 * (random.between(0, 12 - 1) as usize) as i64);
        if (random.between(0, 3 - 1) as usize) == 0 {
            made.crews[0].overtime = Some(OvertimeLimit { at_most: hours(1), a_week: None, cost: money(40) });
        }
        for from in 0..beers {
            for to in (0..beers).filter(|&to| to != from) {
                if (random.between(0, 3 - 1) as usize) > 0 {
                    made.lines[0].change_pairs.push(pair(
                        from,
                        to,
                        5 + 20 * (random.between(0, 8 - 1) as usize) as i64,
                    ));
                } else if (random.between(0, 6 - 1) as usize) == 0 && from < to {
                    made.lines[0].never_after.push(NeverAfter { beer: BeerId(from), after: BeerId(to) });
                }
            }
        }
        for order in &mut made.orders {
            order.firm = false;
            order.quantity = hl(1 + (random.between(0, 10 - 1) as usize) as i64);
        }
        for (number, beer) in made.beers.iter_mut().enumerate() {
            beer.packaged[0].contribution = money(8 + 9 * number as i64);
        }
        // What is left in a tank is worth nothing here, so that only the orders count.
        let answer = best(&made);
        let mut least = f64::NEG_INFINITY;
        for set in 0..1_usize << beers {
            let chosen: Vec<usize> = (0..beers).filter(|beer| set & (1 << beer) != 0).collect();
            for order in orders(&chosen).into_iter().filter(|order| is_allowed(&made, order)) {
                least = least.max(worth(&made, &order));
            }
        }
        // Hundredths of the running time are left out of the count by hand.
        let found = answer.objective as f64 / 100.0;
        assert!((found - least).abs() < 1.5, "seed {seed}: {found}, by trying all {least}");
    }
}

/// What running these beers in this order is worth, in money; minus infinity if it does not fit.
fn worth(made: &Case, order: &[usize]) -> f64 {
    if order.is_empty() {
        return 0.0;
    }
    let line = &made.lines[0];
    let time = line.start_up.0 + line.clean_down.0 + changes(made, order);
    let volume: i64 = order.iter().map(|&beer| made.orders[beer].quantity.0).sum();
    let minutes = time as f64 + volume as f64 * 60.0 / line.pace().0 as f64;
    let beyond = (minutes - made.crews[0].hours.0 as f64).max(0.0);
    let overtime = made.crews[0].overtime;
    if beyond > overtime.map_or(0.0, |limit| limit.at_most.0 as f64) {
        return f64::NEG_INFINITY;
    }
    let paid = overtime.map_or(0.0, |limit| limit.cost.units()) * 2.0 * beyond / 60.0;
    let earned: f64 = order
        .iter()
        .map(|&beer| {
            made.beers[beer].packaged[0].contribution.units() * made.orders[beer].quantity.hectolitres()
        })
        .sum();
    earned - made.rates.labour.units() * 2.0 * minutes / 60.0 - paid
}

#[test]
fn several_formats_leave_one_tank_in_a_day() {
    let mut made = shift_of(1, 1);
    made.formats.push(kegs(0));
    made.formats[1].name = "small keg".into();
    made.beers[0] = beer("beer", &[0, 1]);
    made.orders[0].quantity = hl(4);
    made.orders.push(order(0, 1, hl(6), 1));
    let answer = best(&made);
    let mut formats: Vec<FormatId> = Vec::new();
    for task in &answer.plan.tasks {
        if let Work::Package { format, .. } = task.work {
            formats.push(format);
        }
    }
    formats.sort_unstable();
    assert_eq!(formats, [FormatId(0), FormatId(1)]);
    let delivered: Volume = answer.plan.deliveries.iter().map(|delivery| delivery.volume).sum();
    assert_eq!(delivered, hl(10));
}

fn mobile() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/mobile-line/brewplan.yaml");
    let outcome = read_case(&path);
    let is_meant = |code: &str| matches!(code, "V509" | "V511");
    assert!(outcome.findings.iter().all(|finding| is_meant(finding.code)), "{:?}", outcome.findings);
    outcome.case.expect("a case")
}

#[test]
fn the_mobile_line_comes_every_second_thursday() {
    let made = mobile();
    let one = Volume(3_762_000);
    assert_eq!(best(&made).report.breakdown.packaged_planned, one);
    // A day earlier both are canned on the 10th.
    let mut earlier = made.clone();
    earlier.in_tank[1].ready = 2;
    assert_eq!(best(&earlier).report.breakdown.packaged_planned, Volume(2 * one.0));
    assert_eq!(best(&earlier).report.breakdown.visits, Money(90_000));
    // With the visit of the 24th in the days planned one visit does for both.
    let mut longer = made.clone();
    longer.calendar.planned_days = 18;
    let answer = best(&longer);
    assert_eq!(answer.report.breakdown.packaged_planned, Volume(2 * one.0));
    assert_eq!(answer.report.breakdown.visits, Money(90_000));
    // It does not come for less than its smallest visit.
    let mut small = made.clone();
    small.lines[0].least_visit = hl(38);
    assert_eq!(best(&small).report.breakdown.packaged_planned, Volume::ZERO);
    // In the look-ahead the second batch is counted on for the 24th.
    let mut ahead = made;
    ahead.calendar.look_ahead_days = 14;
    let answer = best(&ahead);
    assert_eq!(answer.report.breakdown.packaged_look_ahead, one);
}

#[test]
fn two_shifts_of_a_day_are_one_visit() {
    let mut made = mobile();
    made.calendar.shifts[0].hours = hours(6);
    made.calendar.shifts.push(cellarwright_model::calendar::Shift {
        name: "late".into(),
        starts: hours(14),
        hours: hours(6),
    });
    for crew in &mut made.crews {
        crew.hours = hours(6);
    }
    let mut late = made.crews[2].clone();
    late.name = "late packers".into();
    late.shift = 1;
    made.crews.push(late);
    made.lines[0].speed.0 = 700_000;
    let answer = best(&made);
    // 5.6 hL an hour for four hours in each of the shifts of the 10th.
    let packaged = answer.report.breakdown.packaged_planned;
    assert_eq!(packaged, Volume(3_762_000));
    assert_eq!(answer.report.breakdown.visits, Money(90_000));
}

#[test]
fn a_program_without_the_rule_is_found_out() {
    let mut made = mobile();
    made.lines[0].comes = Comes::On(std::collections::BTreeSet::new());
    assert_eq!(best(&made).report.breakdown.packaged_planned, Volume::ZERO);
    let plan = solve_without(&made, RuleId::Line, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|one| (one.rule, one.what) == (RuleId::Line, "visit")), "{found:?}");
    let mut made = mobile();
    made.lines[0].least_visit = hl(100);
    let plan = solve_without(&made, RuleId::Line, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|one| one.what == "volume of the visit"), "{found:?}");
    assert_eq!(found[0].about, cellarwright_model::violation::About::Line(LineId(0)));
}

#[test]
fn without_pairs_and_dates_there_is_no_column_more() {
    let mut made = shift_of(3, 2);
    made.lines[0] = line("line");
    let before = best(&made).size;
    made.lines[0].comes = Comes::Every { from: made.calendar.starts, days: 1 };
    assert_eq!(best(&made).size, before);
}
