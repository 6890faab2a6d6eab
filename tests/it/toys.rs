//! Cellars so plain that the most batches can be counted by hand or by a few lines of dynamic programming.
//!
//! Rules of all of them (invented, counted by hand and by dynamic programming): equal fermenters, a batch is in its tank for 13 days, then one
//! day goes to cleaning; a bright tank is held for three days from the transfer. Day 0 is a Monday. Counted are the batches
//! that leave their fermenter by day H.
//!
//! In the rules of the program: a stay of 13 days with the hard end on the ready day; the clean on the day after the
//! emptying, with the next brew in the same shift; carbonating so long that a bright tank filled on day d is packaged on
//! d + 2 and filled again on d + 3. Where there is no bright tank the beer is packaged straight from the fermenter on the day
//! it leaves. Nothing is lost and nothing costs, so the packaged volume counts the batches.

use cellarwright_model::calendar::Weekdays;
use cellarwright_model::case::{Aim, Case, Stage};
use cellarwright_model::units::{Share, Volume};
use cellarwright_solver::{NoObserver, Options, solve};
use cellarwright_tests::small::{
    beer, bright, case, fast_line, fermenter, free_rates, hl, hours, kegs, unitank,
};

/// Volume of a batch.
const BATCH: i64 = 10;

pub struct Toy {
    pub fermenters: usize,
    pub brews_a_day: i64,
    pub brew_days: Weekdays,
    pub last_day: usize,
    pub brights: usize,
}

pub fn build(toy: &Toy) -> Case {
    // A bright tank filled on the last day that counts is packaged two days later, one filled after it never is.
    let days = toy.last_day + 1 + if toy.brights > 0 { 2 } else { 0 };
    let mut made = case(days);
    made.aim = Aim::Output(None);
    made.rates = free_rates();
    made.brewhouse.turn = hl(BATCH);
    made.brewhouse.turns_per_day = toy.brews_a_day;
    made.brewhouse.hours_per_day = hours(24);
    made.calendar.work[0] = toy.brew_days;
    made.cleaning_sets = 100;
    made.crews[0].people = 200;
    made.transfer.loss_fixed = Volume::ZERO;
    made.transfer.loss_share = Share(0);
    made.transfer.job.takes = hours(1);
    made.carbonate.takes = if toy.brights > 0 { hours(46) } else { hours(20) };
    let mut one = beer("beer", &[0]);
    one.stay = vec![Stage { name: "ferment".into(), days: 13 }];
    one.must_leave = 13;
    one.during_chill = true;
    one.loss_tank = Share(0);
    one.loss_direct = Share(0);
    one.direct = toy.brights == 0;
    one.bright = toy.brights > 0;
    made.beers.push(one);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    for number in 0..toy.fermenters {
        let name = format!("F{number}");
        let mut tank = if toy.brights > 0 { fermenter(&name, hl(BATCH)) } else { unitank(&name, hl(BATCH)) };
        tank.clean.takes = hours(1);
        made.vessels.push(tank);
    }
    for number in 0..toy.brights {
        let mut tank = bright(&format!("B{number}"), hl(BATCH));
        tank.clean.takes = hours(1);
        made.vessels.push(tank);
    }
    made
}

/// Solves a toy so well that the bound leaves no room for one batch more, and counts the batches.
fn batches(toy: &Toy) -> i64 {
    let made = build(toy);
    let options = Options { seconds: 120.0, gap: 0.005, threads: 1, seed: 0 };
    let answer = solve(&made, &options, &NoObserver).expect("it solves");
    let batch = 100 * hl(BATCH).0;
    let count = answer.objective / batch;
    assert_eq!(answer.objective, count * batch, "whole batches");
    assert!(answer.bound < (count + 1) * batch, "bound {} for {count} batches", answer.bound);
    count
}

/// Most brews on the brew days up to `last` with at most `tanks` in any three days on end: the bound of the bright tanks.
pub fn most_with_bright_tanks(brew_days: Weekdays, last: usize, tanks: usize) -> i64 {
    // best[a][b]: brews so far, with a on the day before and b on the day before that; one brew a day.
    let mut best = [[0_i64, i64::MIN / 2], [i64::MIN / 2, i64::MIN / 2]];
    for day in 0..=last {
        let mut next = [[i64::MIN / 2; 2]; 2];
        for (before, row) in best.into_iter().enumerate() {
            for (earlier, count) in row.into_iter().enumerate() {
                next[0][before] = next[0][before].max(count);
                if brew_days.0[day % 7] && before + earlier < tanks {
                    next[1][before] = next[1][before].max(count + 1);
                }
            }
        }
        best = next;
    }
    best.into_iter().flatten().max().unwrap_or(0)
}

#[test]
fn a_three_fermenters_and_three_brews_a_day() {
    let toy = Toy { fermenters: 3, brews_a_day: 3, brew_days: Weekdays::ALL, last_day: 56, brights: 0 };
    // F * floor((H + 1) / 14)
    assert_eq!(batches(&toy), 3 * ((56 + 1) / 14));
    assert_eq!(batches(&toy), 12);
}

#[test]
fn b_one_brew_a_day() {
    let toy = Toy { fermenters: 3, brews_a_day: 1, brew_days: Weekdays::ALL, last_day: 56, brights: 0 };
    assert_eq!(batches(&toy), 11);
}

#[test]
fn c_brewing_on_week_days() {
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    assert_eq!(batches(&Toy { fermenters: 3, brews_a_day: 1, brew_days, last_day: 56, brights: 0 }), 11);
}

#[test]
fn d_a_fourth_fermenter_starts_late() {
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    assert_eq!(batches(&Toy { fermenters: 4, brews_a_day: 1, brew_days, last_day: 56, brights: 0 }), 14);
}

#[test]
fn e_six_fermenters_for_thirteen_weeks() {
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    for brights in [0, 2] {
        let toy = Toy { fermenters: 6, brews_a_day: 1, brew_days, last_day: 91, brights };
        assert_eq!(batches(&toy), 36, "{brights} bright tanks");
    }
}

#[test]
fn f_twelve_fermenters_are_bound_by_the_brew_days() {
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    assert_eq!(batches(&Toy { fermenters: 12, brews_a_day: 1, brew_days, last_day: 91, brights: 0 }), 57);
}

/// A batch that leaves on its ready day by day 91 is brewed by day 78; a bright tank held for three
/// days takes two of the brews of a week (Monday and Thursday, or Tuesday and Friday); that is 22 in the eleven weeks to
/// day 76 and one on day 77 or 78: 23, which the dynamic program confirms. The point of the case is the same: six or twelve
/// fermenters, one bright tank sets the number.
#[test]
fn one_bright_tank_makes_twelve_fermenters_no_better_than_six() {
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    let expected = most_with_bright_tanks(brew_days, 91 - 13, 1);
    assert_eq!(expected, 23);
    for fermenters in [6, 12] {
        let toy = Toy { fermenters, brews_a_day: 1, brew_days, last_day: 91, brights: 1 };
        assert_eq!(batches(&toy), expected, "{fermenters} fermenters");
    }
}

#[test]
fn f2_two_bright_tanks_for_twelve_fermenters() {
    let brew_days = Weekdays::MONDAY_TO_FRIDAY;
    assert_eq!(most_with_bright_tanks(brew_days, 91 - 13, 2), 46);
    assert_eq!(batches(&Toy { fermenters: 12, brews_a_day: 1, brew_days, last_day: 91, brights: 2 }), 46);
}
