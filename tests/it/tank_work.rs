//! Tank work: cases worked by hand.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::Role;
use cellarwright_model::case::{Case, Order, TankWork, TankWorkKind};
use cellarwright_model::ids::VesselId;
use cellarwright_model::plan::{Plan, Task, Work};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::Money;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, solve, solve_without};
use cellarwright_tests::small::{
    beer, case, crew, dry_hop, fast_line, hl, hours, in_fermenter, job, kegs, order, unitank,
};

use crate::oracle::exact;

fn sunday() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/sunday-dry-hop/brewplan.yaml");
    read_case(&path).case.expect("a case")
}

/// Objective in cents, and the slots of brewing and of the first piece of tank work.
fn planned(made: &Case) -> (i64, Option<usize>, Option<usize>) {
    let answer = solve(made, &exact(), &NoObserver).expect("it solves");
    let slot_of = |wanted: fn(&Work) -> bool| {
        answer.plan.tasks.iter().find(|task| wanted(&task.work)).map(|task| task.slot.0)
    };
    let brewed = slot_of(|work| matches!(work, Work::Brew { .. }));
    (answer.objective, brewed, slot_of(|work| matches!(work, Work::Tank { work: 0, .. })))
}

/// The comment of the case says why.
#[test]
fn a_dry_hop_that_falls_on_sunday_is_done_on_saturday_or_the_order_is_missed() {
    let made = sunday();
    assert_eq!(planned(&made), (200_000, Some(0), Some(5)));
    let mut late = made.clone();
    late.beers[0].tank_work[0].early = 0;
    let (objective, brewed, hopped) = planned(&late);
    assert_eq!(objective, 100_000);
    assert_ne!(brewed, Some(0));
    assert_ne!(hopped, Some(6));
    // Brewing only on Mondays: without slip the batch cannot be brewed, with it the beer is ready a day later.
    for day in 1..5 {
        late.calendar.work[Role::Brew as usize].0[day] = false;
    }
    late.calendar.planned_days = 13;
    assert_eq!(planned(&late), (0, None, None));
    late.beers[0].tank_work[0].slip = 1;
    assert_eq!(planned(&late), (100_000, Some(0), Some(7)));
    // A contact time of three days cannot be kept by Saturday's hops: the chill is due on Tuesday.
    let mut longer = made;
    longer.beers[0].tank_work[0].contact = 3;
    assert_eq!(planned(&longer), (200_000, Some(0), Some(5)));
    longer.beers[0].tank_work[1].early = 1;
    assert_eq!(planned(&longer), (200_000, Some(0), Some(5)));
    // Done on Monday or later, the hops leave no day for the chill, which may not slip.
    longer.beers[0].tank_work[0].early = 0;
    longer.beers[0].tank_work[0].slip = 1;
    assert_eq!(planned(&longer), (0, None, None));
}

/// Two fermenters with beer of four days ago, that becomes ready on day 2, and all of it wanted on day 4: worth 100 a hectolitre.
pub fn two_tanks() -> Case {
    let mut made = case(6);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    let mut one = beer("beer", &[0]);
    one.bright = false;
    one.during_chill = true;
    made.beers.push(one);
    made.rates.surplus = cellarwright_model::units::Share(0);
    made.rates.labour = Money::ZERO;
    made.rates.gas = Money::ZERO;
    made.rates.clean = Money::ZERO;
    made.rates.dirty = Money::ZERO;
    for vessel in 0..2 {
        made.vessels.push(unitank(&format!("F{vessel}"), hl(20)));
        made.in_tank.push(in_fermenter(vessel, 0, hl(20), -2, 2));
    }
    made.orders.push(Order { firm: false, ..order(0, 0, hl(30), 3) });
    made
}

fn chill(day: i64) -> TankWork {
    TankWork { name: "chill".into(), kind: TankWorkKind::Chill, ..dry_hop(day) }
}

pub fn chilled_on(plan: &Plan) -> Vec<usize> {
    let tasks = plan.tasks.iter().filter(|task| matches!(task.work, Work::Tank { .. }));
    let mut days: Vec<usize> = tasks.map(|task| task.slot.0).collect();
    days.sort_unstable();
    days
}

/// Each tank gives 20 x 0.94 x 0.98 = 18.424 hL. Both are chilled on day 1 and packaged on day 2 for the order of 30 hL on day 3. With one
/// chill a day the second is chilled and ready a day later, too late; where the chill may be early it is chilled on day 0.
#[test]
fn the_cooling_plant_takes_one_tank_a_day() {
    let mut made = two_tanks();
    made.beers[0].tank_work = vec![TankWork { slip: 1, ..chill(3) }];
    let free = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((free.objective, chilled_on(&free.plan)), (300_000, vec![1, 1]));
    made.cooling.chills_a_day = Some(1);
    let limited = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((limited.objective, chilled_on(&limited.plan)), (184_240, vec![1, 2]));
    let both = Plan { tasks: free.plan.tasks, ..limited.plan };
    assert!(check(&made, &both).violations.iter().any(|found| found.rule == RuleId::TankWork));
    made.beers[0].tank_work[0].early = 1;
    let early = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((early.objective, chilled_on(&early.plan)), (300_000, vec![0, 1]));
}

/// Each dry hop takes one person's day: with one cellar hand the second is done a day later, and its beer is too late.
#[test]
fn the_crew_has_time_for_one_dry_hop_a_day() {
    let mut made = two_tanks();
    made.crews = vec![crew("hands", 2, &[Role::Cellar]), crew("packers", 2, &[Role::Package])];
    made.carbonate.crew = cellarwright_model::case::RoleTimes::default();
    made.beers[0].tank_work = vec![TankWork { slip: 1, job: job(Role::Cellar, hours(8)), ..dry_hop(3) }];
    let free = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((free.objective, chilled_on(&free.plan)), (300_000, vec![1, 1]));
    made.crews[0].people = 1;
    let short = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((short.objective, chilled_on(&short.plan)), (184_240, vec![1, 2]));
}

/// What is overdue on day 0 is done on day 0 and makes the beer late; what cannot be done at all is left out at the last resort's charge,
/// so that there is a plan.
#[test]
fn overdue_work_is_done_first_and_what_cannot_be_done_is_charged() {
    let mut made = two_tanks();
    made.in_tank.truncate(1);
    made.vessels.truncate(1);
    made.orders[0].quantity = hl(10);
    made.orders[0].due = 4;
    made.beers[0].tank_work = vec![dry_hop(1)];
    // Due on day -1, done on day 0: ready on day 3, packaged then, delivered on day 4.
    let late = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((late.objective, chilled_on(&late.plan)), (100_000, vec![0]));
    made.rates.dump = Money(5_000);
    made.orders[0].due = 3;
    made.orders[0].quantity = hl(9);
    assert_eq!(solve(&made, &exact(), &NoObserver).expect("it solves").objective, 0);
    // Nobody is in the cellar on day 0, so it is left out: 50 a hectolitre of 18.8.
    made.orders[0].due = 4;
    made.orders[0].quantity = hl(10);
    made.calendar.work[Role::Cellar as usize].0[0] = false;
    let without = solve(&made, &exact(), &NoObserver).expect("it solves");
    assert_eq!((without.objective, chilled_on(&without.plan)), (100_000 - 94_000, vec![]));
    assert_eq!(without.report.breakdown.last_resort, Money(94_000));
}

/// The comment of the case says why.
#[test]
fn a_lager_is_checked_before_it_is_moved_and_fined_where_it_then_is() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/lager-work/brewplan.yaml");
    let made = read_case(&path).case.expect("a case");
    let best = |made: &Case| solve(made, &exact(), &NoObserver).expect("it solves");
    let answer = best(&made);
    let (fermenter, tank) = (VesselId(0), VesselId(1));
    let work = |task: &Task| match task.work {
        Work::Tank { work, vessel, .. } => Some((task.slot.0, work, vessel)),
        _ => None,
    };
    let done: Vec<(usize, usize, VesselId)> = answer.plan.tasks.iter().filter_map(work).collect();
    assert_eq!(done, [(4, 0, fermenter), (9, 0, fermenter), (12, 1, tank), (17, 1, fermenter)]);
    assert_eq!(answer.report.breakdown.packaged_planned, hl(40));
    // Without the rule the work is not done, and the checker finds it out.
    let careless = solve_without(&made, RuleId::TankWork, &exact()).expect("it solves");
    let broken: Vec<RuleId> = check(&made, &careless).violations.iter().map(|found| found.rule).collect();
    assert!(broken.contains(&RuleId::TankWork), "{broken:?}");
    let mut late = made;
    late.calendar.work[Role::Cellar as usize].0[4] = false;
    assert_eq!(best(&late).report.breakdown.packaged_planned, hl(20));
    late.beers[0].tank_work[0].moves = false;
    assert_eq!(best(&late).report.breakdown.packaged_planned, hl(40));
}
