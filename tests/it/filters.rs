//! Filters, hoses and what reaches what.

use std::collections::BTreeSet;

use cellarwright_checker::check;
use cellarwright_model::case::{Aim, Case, Connected, Filter, Split};
use cellarwright_model::ids::{LineId, VesselId};
use cellarwright_model::plan::Work;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Rate, Share, Volume};
use cellarwright_solver::{Status, solve_without};
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{
    beer, bright, case, fast_line, fermenter, hl, hours, in_fermenter, kegs, percent,
};

use crate::best::{best, packaged, tiny};
use crate::oracle::exact;

#[test]
fn a_filter_sets_the_limit() {
    let made = tiny("filter");
    // 40 hL less 5 %, 1 %, 1 % and 30 L.
    let one = Volume(3_694_380);
    let answer = best(&made);
    assert_eq!(answer.report.breakdown.packaged_planned, one);
    let mut faster = made.clone();
    faster.filters[0].rate = Rate(1_200_000);
    assert_eq!(packaged(&faster), Volume(2 * one.0));
    let mut unfiltered = made.clone();
    unfiltered.beers[0].filter = None;
    assert_eq!(packaged(&unfiltered), Volume(2 * 3_762_000));
    // One hose of five hours: one transfer a day.
    unfiltered.transfer.job.takes = hours(5);
    unfiltered.transfer.at_once = Some(1);
    assert_eq!(packaged(&unfiltered), Volume(3_762_000));
    unfiltered.transfer.at_once = None;
    assert_eq!(packaged(&unfiltered), Volume(2 * 3_762_000));
    // In the look-ahead the other one is counted on.
    let mut ahead = made;
    ahead.calendar.look_ahead_days = 5;
    ahead.calendar.work[0] = cellarwright_model::calendar::Weekdays([false; 7]);
    let answer = best(&ahead);
    assert_eq!(answer.report.breakdown.packaged_look_ahead, one);
    assert_eq!(answer.status, Status::Optimal, "{} of {}", answer.objective, answer.bound);
}

#[test]
fn by_the_clock_a_filter_takes_one_transfer_at_a_time() {
    let mut made = tiny("filter");
    made.clock_times = true;
    made.filters[0].rate = Rate(1_200_000);
    made.filters[0].start_up = Minutes::ZERO;
    // Two transfers of 185 min after an hour of cleaning the first tank end after 430 min of 480.
    let answer = best(&made);
    assert_eq!(answer.report.breakdown.packaged_planned, Volume(2 * 3_694_380));
    let mut plan = answer.plan;
    let mut begins: Vec<Minutes> = Vec::new();
    for task in &plan.tasks {
        if let Work::Transfer { .. } = task.work {
            begins.extend(task.begins);
        }
    }
    begins.sort_unstable();
    assert_eq!(begins.len(), 2);
    assert!(begins[1] - begins[0] >= Minutes(185), "{begins:?}");
    for task in &mut plan.tasks {
        if let Work::Transfer { .. } = task.work {
            task.begins = Some(begins[0]);
        }
    }
    let found = check(&made, &plan).violations;
    assert!(found.iter().any(|one| one.what == "filtering begins"), "{found:?}");
}

#[test]
fn a_slow_filter_makes_a_transfer_long() {
    // 36.94 hL at 5 hL an hour take 7.4 h; with an hour of cleaning the tank that is more than the shift.
    let mut made = tiny("filter");
    made.filters[0].rate = Rate(500_000);
    made.filters[0].start_up = Minutes::ZERO;
    assert_eq!(packaged(&made), Volume::ZERO);
    made.vessels[2].clean.takes = Minutes::ZERO;
    made.vessels[3].clean.takes = Minutes::ZERO;
    assert_eq!(packaged(&made), Volume(3_694_380));
}

/// So many full fermenters of a beer each and as many bright tanks of every size, two days: what is moved on the first is
/// packaged on the second.
fn full(volumes: &[i64], beers: &[usize]) -> Case {
    let mut made = case(2);
    made.aim = Aim::Output(None);
    made.calendar.work[0] = cellarwright_model::calendar::Weekdays([false; 7]);
    made.cleaning_sets = 20;
    made.crews[0].people = 100;
    made.transfer.loss_fixed = Volume::ZERO;
    made.transfer.loss_share = Share(0);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    for number in 0..2 {
        let mut one = beer(&format!("beer {number}"), &[0]);
        one.direct = false;
        one.split = Split::Never;
        one.loss_tank = percent(0);
        made.beers.push(one);
    }
    for (number, (&volume, &of)) in volumes.iter().zip(beers).enumerate() {
        made.vessels.push(fermenter(&format!("F{number}"), hl(40)));
        made.in_tank.push(in_fermenter(number, of, hl(volume), -4, 0));
    }
    for number in 0..volumes.len() {
        let mut tank = bright(&format!("B{number}"), hl(40));
        tank.least = hl(1);
        made.vessels.push(tank);
    }
    made
}

fn filter(rate: i64, start_up: i64, change: i64) -> Filter {
    Filter {
        name: "filter".into(),
        rate: Rate(rate * 100_000),
        start_up: Minutes(start_up),
        change: Minutes(change),
        loss_fixed: Volume::ZERO,
        loss_share: Share(0),
        people: 1,
    }
}

/// For random batches the plan filters the best set of them that fits the shift, found by trying all sets.
#[test]
fn no_other_set_of_transfers_is_better() {
    for seed in 0..40 {
        let mut random = Random::new(7_000 + seed);
        let count = random.between(2, 4) as usize;
        let volumes: Vec<i64> = (0..count).map(|_| random.between(5, 40)).collect();
        let beers: Vec<usize> = (0..count).map(|_| random.between(0, 1) as usize).collect();
        let mut made = full(&volumes, &beers);
        made.filters.push(filter(
            random.between(6, 14),
            15 * random.between(0, 6),
            15 * random.between(0, 6),
        ));
        made.beers[0].filter = Some(0);
        made.beers[1].filter = random.percent(70).then_some(0);
        made.transfer.at_once = random.percent(50).then_some(1);
        let hours = made.calendar.shifts[0].hours.0;
        let mut most = 0;
        for set in 0..1_usize << count {
            let chosen: Vec<usize> = (0..count).filter(|place| set & (1 << place) != 0).collect();
            let of_filter = |place: &&usize| made.beers[beers[**place]].filter.is_some();
            let rate = made.filters[0].rate.0;
            let filtered: i64 = chosen.iter().filter(of_filter).map(|&place| hl(volumes[place]).0).sum();
            let kinds: BTreeSet<usize> = chosen.iter().filter(of_filter).map(|&place| beers[place]).collect();
            let set_up = if kinds.is_empty() { 0 } else { made.filters[0].start_up.0 };
            let changes = made.filters[0].change.0 * (kinds.len() as i64 - 1).max(0);
            let fits = (set_up + changes) * rate + filtered * 60 <= hours * rate;
            let takes =
                |place: &usize| made.transfer_takes(&made.beers[beers[*place]], hl(volumes[*place])).0;
            let each_fits = chosen.iter().all(|place| takes(place) + 120 <= hours);
            let hoses = made.transfer.at_once.is_none_or(|_| chosen.iter().map(takes).sum::<i64>() <= hours);
            if fits && each_fits && hoses {
                most = most.max(chosen.iter().map(|&place| volumes[place]).sum());
            }
        }
        assert_eq!(packaged(&made), hl(most), "seed {seed}: {volumes:?} {beers:?}");
    }
}

fn connected(vessels: &[usize], lines: &[usize]) -> Option<Connected> {
    Some(Connected {
        vessels: vessels.iter().copied().map(VesselId).collect(),
        lines: lines.iter().copied().map(LineId).collect(),
    })
}

#[test]
fn beer_goes_only_where_hoses_reach() {
    // Two batches, F0 and F1, and two bright tanks, vessels 2 and 3.
    let made = full(&[30, 20], &[0, 0]);
    assert_eq!(packaged(&made), hl(50));
    let mut both_to_one = made.clone();
    both_to_one.vessels[0].reaches = connected(&[2], &[]);
    both_to_one.vessels[1].reaches = connected(&[2], &[]);
    assert_eq!(packaged(&both_to_one), hl(30));
    both_to_one.vessels[1].reaches = connected(&[3], &[]);
    assert_eq!(packaged(&both_to_one), hl(50));
    // The second bright tank reaches no line.
    let mut no_line = both_to_one.clone();
    no_line.vessels[3].reaches = connected(&[], &[]);
    assert_eq!(packaged(&no_line), hl(30));
    // Where the first reaches both, the larger batch takes the tank that reaches the line.
    no_line.vessels[1].reaches = connected(&[2, 3], &[]);
    no_line.vessels[0].reaches = connected(&[3], &[]);
    assert_eq!(packaged(&no_line), hl(20));
}

#[test]
fn a_program_without_the_rule_is_found_out() {
    let mut made = full(&[30, 20], &[0, 0]);
    made.vessels[0].reaches = connected(&[], &[]);
    let broken = |made: &Case| -> Vec<&'static str> {
        let plan = solve_without(made, RuleId::Filter, &exact()).expect("it solves");
        let found = check(made, &plan).violations;
        found.iter().filter(|one| one.rule == RuleId::Filter).map(|one| one.what).collect()
    };
    assert_eq!(broken(&made), ["beer goes"]);
    made.vessels[0].reaches = None;
    made.filters.push(filter(10, 210, 0));
    made.beers[0].filter = Some(0);
    assert_eq!(broken(&made), ["time of the filter"]);
    made.filters.clear();
    made.beers[0].filter = None;
    made.transfer.at_once = Some(1);
    made.transfer.job.takes = hours(5);
    assert_eq!(broken(&made), ["time of transfers"]);
}
