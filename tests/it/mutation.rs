//! A program that leaves out one rule makes a plan that breaks it, and the checker says so: one case for every rule.

use cellarwright_checker::check;
use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{
    Aim, Away, BeerYeast, Case, Cause, Connected, FullClean, Job, KegPool, Marks, NeverAfter, Outage,
    RoleTimes, SinceFull, Tap, Taproom,
};
use cellarwright_model::heat::Ferments;
use cellarwright_model::ids::{BeerId, FormatId, VesselId, YeastId};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Gravity, Pressure};
use cellarwright_solver::{NoObserver, solve, solve_without};
use cellarwright_tests::small::{
    beer, bright, case, dry_hop, fermenter, hl, hours, in_fermenter, kegs, line, money, order, percent,
    unitank, yeast,
};

use crate::oracle::exact;

/// A case with one beer, one line and one format, and an order worth working for.
fn one_beer(days: usize) -> Case {
    let mut made = case(days);
    made.beers.push(beer("beer", &[0]));
    made.lines.push(line("line"));
    made.formats.push(kegs(0));
    made
}

/// A ready batch in a fermenter, a bright tank, an order due on a day.
fn by_bright(days: usize, due: i64) -> Case {
    let mut made = one_beer(days);
    made.vessels = vec![fermenter("F", hl(20)), bright("B", hl(20))];
    made.in_tank.push(in_fermenter(0, 0, hl(20), -4, 0));
    made.orders.push(order(0, 0, hl(15), due));
    made
}

/// A ready batch in a fermenter that it is packaged from, an order due on a day.
fn by_direct(days: usize, due: i64) -> Case {
    let mut made = one_beer(days);
    made.beers[0].bright = false;
    made.vessels = vec![unitank("F", hl(20))];
    made.in_tank.push(in_fermenter(0, 0, hl(20), -4, 0));
    made.orders.push(order(0, 0, hl(15), due));
    made
}

/// An empty clean fermenter that is worth filling.
fn to_brew(days: usize) -> Case {
    let mut made = one_beer(days);
    made.beers[0].bright = false;
    made.rates.to_package = cellarwright_model::units::Money::ZERO;
    made.vessels = vec![unitank("F", hl(20))];
    made
}

/// A case in which the rule forbids what would pay.
fn tempting(rule: RuleId) -> Case {
    match rule {
        RuleId::OneBatch => {
            // Two batches for one bright tank, both wanted at once.
            let mut made = by_bright(2, 2);
            made.vessels.insert(1, fermenter("F2", hl(20)));
            made.in_tank.push(in_fermenter(1, 0, hl(20), -4, 0));
            made.orders[0].quantity = hl(35);
            made
        }
        RuleId::FillLevel => {
            let mut made = to_brew(2);
            made.vessels[0].holds = hl(15);
            made
        }
        RuleId::Turns => {
            let mut made = to_brew(1);
            made.brewhouse.turns_per_day = 1;
            made.vessels.push(unitank("F2", hl(20)));
            made
        }
        RuleId::Ready => {
            let mut made = by_direct(3, 3);
            made.in_tank[0].ready = 3;
            made
        }
        RuleId::Wait => {
            // The cellar works on Monday only, the packers come on Thursday.
            let mut made = by_bright(4, 4);
            made.beers[0].bright_must_leave = 1;
            made.calendar.work[Role::Cellar as usize] = only(0);
            made.calendar.work[Role::Package as usize] = only(3);
            made
        }
        RuleId::BrightRest => {
            // Carbonating takes until Wednesday, the packers come on Tuesday.
            let mut made = by_bright(2, 2);
            made.carbonate.takes = hours(30);
            made.calendar.work[Role::Package as usize] = only(1);
            made.calendar.work[Role::Cellar as usize] = only(0);
            made
        }
        RuleId::Direct => {
            let mut made = by_direct(2, 2);
            made.carbonate.takes = hours(30);
            made
        }
        RuleId::Clean => {
            // Brewed on Wednesday, clean since before Monday: it should be sanitised.
            let mut made = to_brew(3);
            made.calendar.work[Role::Brew as usize] = only(2);
            made
        }
        RuleId::Crew => {
            // One person for four hours, where a turn takes five.
            let mut made = to_brew(1);
            made.crews[0].people = 1;
            made.crews[0].hours = hours(4);
            made
        }
        RuleId::Line => {
            let mut made = by_direct(2, 2);
            made.beers.push(made.beers[0].clone());
            made.vessels.push(unitank("F2", hl(20)));
            made.in_tank.push(in_fermenter(1, 1, hl(20), -4, 0));
            made.orders.push(order(1, 0, hl(15), 2));
            for (one, other) in [(0, 1), (1, 0)] {
                made.lines[0].never_after.push(NeverAfter { beer: BeerId(one), after: BeerId(other) });
            }
            made
        }
        RuleId::Pressure => {
            let mut made = by_direct(3, 3);
            made.vessels[0].relief = Pressure(20_000);
            made
        }
        RuleId::Volume => {
            let mut made = by_bright(3, 3);
            made.beers[0].loss_tank = percent(20);
            made.orders[0].quantity = hl(19);
            made
        }
        RuleId::Orders => {
            let mut made = by_direct(2, 1);
            made.beers[0].release = 1;
            made
        }
        RuleId::Filter => {
            let mut made = by_bright(3, 3);
            made.vessels[0].reaches = Some(Connected { vessels: [].into(), lines: [].into() });
            made
        }
        RuleId::Packages => {
            let mut made = by_direct(2, 2);
            made.kegs.push(KegPool {
                name: "kegs".into(),
                formats: vec![FormatId(0)],
                clean: 10,
                ..KegPool::default()
            });
            made
        }
        RuleId::Start => by_direct(3, 3),
        RuleId::Outage | RuleId::Pinned => {
            // Beer that is ready and wanted, and its vessel is away all week.
            let mut made = by_direct(3, 3);
            made.fixed.outages.push(Outage {
                what: Away::Vessel(VesselId(0)),
                first_day: 0,
                last_day: 2,
                cause: if rule == RuleId::Outage { Cause::Outage } else { Cause::Left },
                reason: String::new(),
                must_be_empty: false,
                crew: RoleTimes::default(),
            });
            made
        }
        RuleId::Yeast => {
            // The only yeast comes after the last day.
            let mut made = to_brew(3);
            made.beers[0].yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
            made.yeast.strains.push(yeast(3));
            made
        }
        RuleId::TankWork => {
            let mut made = to_brew(4);
            made.beers[0].tank_work.push(dry_hop(2));
            made
        }
        RuleId::Calendar => {
            let mut made = by_direct(3, 3);
            made.calendar.work[Role::Package as usize] = Weekdays([false; 7]);
            made
        }
        RuleId::Use => {
            let mut made = by_direct(3, 3);
            made.vessels[0].uses.package = false;
            made
        }
        RuleId::Serving => {
            // Carbonated and rested the beer would pour from Thursday on, guests ask for it from Monday to Tuesday.
            let mut made = by_bright(2, 2);
            made.orders.clear();
            made.vessels[1].uses.serve = true;
            made.vessels[1].rest = hours(24);
            let pours =
                vec![Tap { beer: BeerId(0), a_day: [hl(5); 7], contribution: money(300), pour_within: 10 }];
            made.taproom = Taproom { opens: hours(15), pours, ..Taproom::default() };
            made
        }
        RuleId::Stages => {
            // One bright tank takes the whole batch, but the beer may be split and two small ones are quicker at hand.
            let mut made = by_bright(5, 5);
            made.aim = Aim::Output(None);
            made.orders.clear();
            made.vessels[0].holds = hl(40);
            made.in_tank[0].filled = hl(40);
            made.beers[0].split = cellarwright_model::case::Split::Never;
            made
        }
        RuleId::Hours => {
            // Two brewers and two cleaning sets are there, but one of each is needed for longer than the clean leaves.
            let mut made = to_brew(1);
            made.clock_times = true;
            made.dirty = vec![VesselId(0)];
            made.vessels[0].clean.takes = hours(5);
            made.brewhouse.hours_per_day = hours(8);
            made.brewhouse.knock_out = hours(4);
            made
        }
        RuleId::FullClean => {
            // Ready beer, and a bright tank that is due for a full clean of a whole shift.
            let mut made = by_bright(3, 3);
            let job = made.vessels[1].clean;
            let takes = made.calendar.shifts[0].hours;
            let full =
                FullClean { job: Job { takes, ..job }, cost: None, every: Some(1), after: Marks::NONE };
            made.vessels[1].full_clean = Some(full);
            made.since_full.insert(VesselId(1), SinceFull { fills: 1, marks: Marks::NONE });
            made
        }
        RuleId::WarmStore => {
            let mut made = by_direct(3, 3);
            made.beers[0].carbonating = cellarwright_model::case::Carbonating::InPackage;
            made.warm_store = Some(hl(5));
            made
        }
    }
}

/// Two turns on Monday pay, and the plant takes out the heat of one.
fn hot() -> Case {
    let mut made = to_brew(4);
    made.vessels.push(unitank("F2", hl(20)));
    let ferments = Ferments { from: Gravity(12_000), to: Gravity(2_000), over: 4 };
    made.beers[0].ferments = Some(ferments);
    made.cooling.heat_a_day = Some(ferments.heat_a_day(hl(20)));
    made
}

/// Work on one day of the week, 0 being Monday.
fn only(day: usize) -> Weekdays {
    let mut days = [false; 7];
    days[day] = true;
    Weekdays(days)
}

/// The plan of a program without the rule, and the case that it is judged by.
fn careless(rule: RuleId) -> (Case, Plan) {
    let made = tempting(rule);
    match rule {
        // Without what is in tank on day 0 the plan takes beer from a vessel that never held any.
        RuleId::Start => {
            let plan = solve(&made, &exact(), &NoObserver).expect("it solves").plan;
            (Case { in_tank: Vec::new(), ..made }, plan)
        }
        RuleId::OneBatch
        | RuleId::FillLevel
        | RuleId::Turns
        | RuleId::Ready
        | RuleId::Wait
        | RuleId::BrightRest
        | RuleId::Direct
        | RuleId::Clean
        | RuleId::Crew
        | RuleId::Line
        | RuleId::Pressure
        | RuleId::Volume
        | RuleId::Orders
        | RuleId::Outage
        | RuleId::Pinned
        | RuleId::TankWork
        | RuleId::Filter
        | RuleId::Packages
        | RuleId::Serving
        | RuleId::Yeast
        | RuleId::Calendar
        | RuleId::Use
        | RuleId::Stages
        | RuleId::Hours
        | RuleId::WarmStore
        | RuleId::FullClean => {
            let plan = solve_without(&made, rule, &exact()).expect("it solves");
            (made, plan)
        }
    }
}

#[test]
fn the_checker_misses_no_rule_that_the_program_leaves_out() {
    let mut missed = Vec::new();
    for rule in RuleId::ALL {
        let (made, plan) = careless(rule);
        let report = check(&made, &plan);
        if !report.violations.iter().any(|violation| violation.rule == rule) {
            let found: Vec<&str> = report.violations.iter().map(|violation| violation.rule.code()).collect();
            missed.push(format!("{} ({found:?}): {:?}", rule.code(), plan.tasks));
        }
    }
    assert!(missed.is_empty(), "not reported:\n{}", missed.join("\n"));
}

#[test]
fn with_the_rule_the_same_cases_have_clean_plans() {
    for rule in RuleId::ALL {
        let answer = solve(&tempting(rule), &exact(), &NoObserver).expect("it solves");
        assert!(answer.report.violations.is_empty(), "{}: {:?}", rule.code(), answer.report.violations);
    }
}

/// The rule of tank work has two kinds of rows: those of the pieces are left out above, those of heat here.
#[test]
fn the_checker_misses_no_heat_that_the_program_leaves_out() {
    let made = hot();
    let plan = solve_without(&made, RuleId::TankWork, &exact()).expect("it solves");
    let found = check(&made, &plan).violations;
    let of_heat = |found: &&cellarwright_model::violation::Violation| found.what == "heat of the day";
    assert_eq!(found.iter().filter(of_heat).count(), 4, "{found:?}");
    assert!(found.iter().all(|found| found.rule == RuleId::TankWork), "{found:?}");
    let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
}
