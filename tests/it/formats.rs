//! Lines with changes of format by pair: the order of a shift, against trying every order.

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, ChangePair, FormatPair, InTank, NeverAfter, Order, OvertimeLimit};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Share, Volume};
use cellarwright_solver::{Answer, solve_without};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{beer, bright, case, crew, fast_line, hl, hours, kegs, money, order};

use crate::best::{best, tiny};
use crate::oracle::exact;

type Filling = (usize, usize);

/// So many beers, a bright tank of each, in so many formats; 2 hL of each are ordered for day 1. Running takes hardly any time.
fn shift_of(beers: usize, formats: usize) -> Case {
    let mut made = case(1);
    made.lines.push(fast_line("line"));
    let all: Vec<usize> = (0..formats).collect();
    for number in 0..formats {
        made.formats.push(kegs(0));
        made.formats[number].name = format!("format {number}");
    }
    for number in 0..beers {
        made.beers.push(beer(&format!("beer {number}"), &all));
        made.vessels.push(bright(&format!("B{number}"), hl(20)));
        made.in_tank.push(InTank {
            vessel: VesselId(number),
            beer: BeerId(number),
            filled: hl(20),
            on: -2,
            ready: -2,
            carbonated: true,
            is_bright: true,
            work_done: Vec::new(),
        });
        for format in 0..formats {
            made.orders.push(order(number, format, hl(2), 1));
        }
    }
    for order in &mut made.orders {
        order.firm = false;
    }
    made.rates.surplus = Share(0);
    made.crews = vec![crew("packers", 2, &[Role::Package])];
    made
}

fn pair(from: usize, to: usize, takes: Option<i64>) -> FormatPair {
    FormatPair { from: FormatId(from), to: FormatId(to), takes: takes.map(Minutes) }
}

/// Beers and formats in the order in which they run, each as often as it begins anew.
fn order_of(made: &Case, answer: &Answer) -> Vec<Filling> {
    let mut order = Vec::new();
    for task in &answer.plan.tasks {
        if let Work::Package { vessel, format, .. } = task.work {
            let held = made.in_tank.iter().find(|tank| tank.vessel == vessel).expect("what was in it");
            order.push((held.beer.0, format.0));
        }
    }
    order.dedup();
    order
}

/// Every order of some fillings in which each beer runs in one piece, shorter ones included.
fn orders(left: &[Filling], so_far: &mut Vec<Filling>, found: &mut Vec<Vec<Filling>>) {
    found.push(so_far.clone());
    for &next in left {
        let last = so_far.last().copied();
        let is_new = so_far.iter().all(|one| one.0 != next.0);
        if is_new || last.is_some_and(|last| last.0 == next.0) {
            so_far.push(next);
            let rest: Vec<Filling> = left.iter().copied().filter(|&one| one != next).collect();
            orders(&rest, so_far, found);
            so_far.pop();
        }
    }
}

/// Minutes from one filling to the next, by the reading of R10; none if it is never made.
fn change(made: &Case, before: Filling, next: Filling) -> Option<i64> {
    let line = &made.lines[0];
    let said = line.format_pairs.iter().find(|pair| (pair.from.0, pair.to.0) == (before.1, next.1));
    let by_pair = said.map(|pair| pair.takes.map(|takes| takes.0));
    if by_pair == Some(None) {
        return None;
    }
    let by_pair = by_pair.flatten();
    let of_beers = line.change_pairs.iter().find(|pair| (pair.from.0, pair.to.0) == (before.0, next.0));
    let by_beer = of_beers.map_or(line.change_beer.0, |pair| pair.takes.0);
    Some(if before.0 == next.0 {
        by_pair.unwrap_or(line.change_format.0)
    } else {
        by_beer.max(by_pair.unwrap_or(0))
    })
}

/// What running these in this order is worth, in money; none if it is not allowed or does not fit.
fn worth(made: &Case, order: &[Filling]) -> Option<f64> {
    if order.is_empty() {
        return Some(0.0);
    }
    let line = &made.lines[0];
    let mut minutes = line.start_up.0 + line.clean_down.0;
    for two in order.windows(2) {
        minutes += change(made, two[0], two[1])?;
    }
    for never in &line.never_after {
        let place = |beer: BeerId| order.iter().position(|one| one.0 == beer.0);
        if place(never.beer).zip(place(never.after)).is_some_and(|(beer, after)| beer > after) {
            return None;
        }
    }
    let run = || made.orders.iter().filter(|one| order.contains(&(one.beer.0, one.format.0)));
    let drawn: i64 = run().map(|one| one.quantity.0).sum();
    let minutes = minutes as f64 + drawn as f64 * 60.0 / line.pace().0 as f64;
    let contribution = |one: &Order| made.beers[one.beer.0].contribution(one.format).expect("its format");
    let earned: f64 = run().map(|one| contribution(one).units() * one.quantity.hectolitres()).sum();
    let beyond = (minutes - made.crews[0].hours.0 as f64).max(0.0);
    let overtime = made.crews[0].overtime;
    if beyond > overtime.map_or(0.0, |limit| limit.at_most.0 as f64) {
        return None;
    }
    let paid = overtime.map_or(0.0, |limit| limit.cost.units()) * 2.0 * beyond / 60.0;
    Some(earned - made.rates.labour.units() * 2.0 * minutes / 60.0 - paid)
}

fn best_by_trying_all(made: &Case) -> f64 {
    let all: Vec<Filling> = made.orders.iter().map(|order| (order.beer.0, order.format.0)).collect();
    let mut found = Vec::new();
    orders(&all, &mut Vec::new(), &mut found);
    found.iter().filter_map(|order| worth(made, order)).fold(f64::NEG_INFINITY, f64::max)
}

/// In one shift: for random changes the plan's runs are the best fillings in their best order, found by trying all.
fn exact_for(seeds: std::ops::Range<u64>, between_beers: bool) {
    for seed in seeds {
        let mut random = Random::new(4_000 + seed);
        let beers = random.between(1, 3) as usize;
        let formats = random.between(2, if beers == 3 { 2 } else { 3 }) as usize;
        let mut made = shift_of(beers, formats);
        made.crews[0].hours = Minutes(100 + 20 * random.between(0, 12));
        if random.percent(30) {
            made.crews[0].overtime = Some(OvertimeLimit { at_most: hours(1), a_week: None, cost: money(40) });
        }
        made.lines[0].change_format = Minutes(random.one_of(&[0, 15, 40]));
        for from in 0..formats {
            for to in (0..formats).filter(|&to| to != from) {
                if random.percent(60) {
                    let takes = (!random.percent(30)).then(|| 5 + 20 * random.between(0, 6));
                    made.lines[0].format_pairs.push(pair(from, to, takes));
                }
            }
        }
        for from in (0..beers).filter(|_| between_beers) {
            for to in (0..beers).filter(|&to| to != from) {
                if random.percent(40) {
                    let takes = Minutes(5 + 20 * random.between(0, 6));
                    made.lines[0].change_pairs.push(ChangePair { from: BeerId(from), to: BeerId(to), takes });
                } else if random.percent(30) && from < to {
                    made.lines[0].never_after.push(NeverAfter { beer: BeerId(from), after: BeerId(to) });
                }
            }
        }
        for (beer, one) in made.beers.iter_mut().enumerate() {
            if random.percent(30) {
                let format = FormatId(random.between(0, formats as i64 - 1) as usize);
                one.packaged.retain(|packaged| packaged.format != format);
            }
            for packaged in &mut one.packaged {
                packaged.contribution = money(6 + random.between(0, 20) + beer as i64);
            }
        }
        let kept = |beer: BeerId, format: FormatId| made.beers[beer.0].contribution(format).is_some();
        let orders = made.orders.clone().into_iter().filter(|order| kept(order.beer, order.format)).collect();
        made.orders = orders;
        let answer = best(&made);
        let found = answer.objective as f64 / 100.0;
        let all = best_by_trying_all(&made);
        // Part of a minute of overtime, and litres that only come between two others are left out of the count by hand.
        assert!((found - all).abs() < 1.0, "seed {seed}: {found}, by trying all {all}");
    }
}

#[test]
fn changes_of_format_by_pair_are_exact() {
    exact_for(0..60, false);
}

#[test]
fn changes_of_format_and_of_beer_by_pair_are_exact_together() {
    exact_for(100..160, true);
}

#[test]
fn small_bottles_come_first() {
    // All six orders by hand in the brew plan: only this one fits into the shift with all 30 hL.
    let made = tiny("format-changes");
    let answer = best(&made);
    assert_eq!(answer.objective, 300_000);
    assert_eq!(order_of(&made, &answer), [(0, 1), (0, 0), (0, 2)]);
    let mut single = made.clone();
    single.lines[0].format_pairs.clear();
    assert_eq!(best(&single).objective, 250_000);
    let mut narrow = made.clone();
    narrow.lines[0].format_pairs[1].takes = None;
    let answer = best(&narrow);
    assert_eq!(answer.objective, 225_000);
    assert_eq!(order_of(&narrow, &answer), [(0, 0), (0, 2), (0, 1)]);
}

#[test]
fn clock_times_count_the_changes_by_pair() {
    // By hand: an hour of start-up and one of running, half an hour and an hour, an hour (no pair says otherwise) and an hour.
    let mut made = tiny("format-changes");
    made.clock_times = true;
    let begins: Vec<i64> =
        best(&made).plan.tasks.iter().filter_map(|task| task.begins).map(|at| at.0).collect();
    assert_eq!(begins, [0, 120, 210]);
}

#[test]
fn a_format_between_two_makes_right_what_never_follows_directly() {
    // Format 0 never before 1: with format 2 between them it is right, from beer to beer too.
    let mut made = shift_of(2, 3);
    made.orders.retain(|order| order.format.0 == order.beer.0);
    made.lines[0].format_pairs = vec![pair(0, 1, None)];
    made.lines[0].never_after = vec![NeverAfter { beer: BeerId(0), after: BeerId(1) }];
    made.beers[1].packaged.retain(|packaged| packaged.format.0 != 0);
    // Beer 0 runs first, in format 0, then beer 1 in format 1: never. A litre of format 2 between them is allowed.
    let answer = best(&made);
    let order = order_of(&made, &answer);
    assert_eq!((order.first(), order.last()), (Some(&(0, 0)), Some(&(1, 1))));
    assert_eq!(order.len(), 3);
    assert_eq!(order[1].1, 2);
    let packaged: Volume = answer.plan.deliveries.iter().map(|delivery| delivery.volume).sum();
    assert_eq!(packaged, hl(4));
}

#[test]
fn two_rounds_of_beers_that_never_meet_are_not_one_shift() {
    // Beer 0 runs in format 0, the others in format 1, and there is no change between the two: either the one or the others.
    let mut made = shift_of(3, 2);
    for (number, one) in made.beers.iter_mut().enumerate() {
        one.packaged.retain(|packaged| (packaged.format.0 == 0) == (number == 0));
    }
    made.orders.retain(|order| (order.format.0 == 0) == (order.beer.0 == 0));
    made.lines[0].format_pairs = vec![pair(0, 1, None), pair(1, 0, None)];
    let answer = best(&made);
    let beers: Vec<usize> = order_of(&made, &answer).iter().map(|one| one.0).collect();
    assert!(beers == [1, 2] || beers == [2, 1], "{beers:?}");
}

#[test]
fn a_program_without_the_rule_is_found_out() {
    let mut made = shift_of(1, 2);
    made.lines[0].format_pairs = vec![pair(0, 1, None), pair(1, 0, None)];
    assert_eq!(order_of(&made, &best(&made)).len(), 1);
    let plan = solve_without(&made, RuleId::Line, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    let told: Vec<_> = found.iter().map(|one| (one.rule, one.what)).collect();
    assert_eq!(told, [(RuleId::Line, "order of formats")]);
}

#[test]
fn pairs_of_formats_that_never_meet_cost_nothing() {
    let mut made = shift_of(3, 3);
    for one in &mut made.beers {
        one.packaged.retain(|packaged| packaged.format.0 == 2);
    }
    made.orders.retain(|order| order.format.0 == 2);
    let before = best(&made).size;
    made.lines[0].format_pairs = vec![pair(0, 1, None), pair(1, 2, Some(90))];
    assert_eq!(best(&made).size, before);
}
