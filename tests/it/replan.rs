//! `replan` against trying everything: in a small case every plan of the days that are left is judged by the checker, and none is better,
//! none has fewer changes.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Away, Case, Cause, Earlier, Outage, RoleTimes};
use cellarwright_model::ids::{FormatId, LineId, OrderId, VesselId};
use cellarwright_model::plan::{Delivery, Plan, Task, Work};
use cellarwright_model::units::Volume;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, Options, SolveError, by_hand, near_earlier, solve};

use crate::oracle::exact;

const F1: VesselId = VesselId(0);
const F2: VesselId = VesselId(1);
const B1: VesselId = VesselId(2);
const WHOLE: Volume = Volume(2_000_000);
/// Days of the case.
const DAYS: usize = 14;
/// The Wednesday.
const FROM: usize = 2;

fn case() -> Case {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny/three-days-late/brewplan.yaml");
    read_case(&file).case.unwrap()
}

/// A plan: what is done on Monday and Tuesday, and when the rest is; one shift a day, so that days are slots.
fn plan_of(
    done: &[Task],
    transfer: Option<usize>,
    package: Option<usize>,
    cleans: [Option<usize>; 2],
) -> Plan {
    let mut tasks = done.to_vec();
    let mut add = |day: Option<usize>, work| tasks.extend(day.map(|day| Task::new(Slot(day), work)));
    add(transfer, Work::Transfer { from: F2, to: B1, volume: WHOLE, full: false });
    add(package, Work::Package { line: LineId(0), format: FormatId(0), vessel: B1, volume: WHOLE });
    add(cleans[0], Work::Clean { vessel: F1, full: false });
    add(cleans[1], Work::Clean { vessel: F2, full: false });
    tasks.sort_by_key(|task| task.slot);
    let mut deliveries = vec![Delivery { order: OrderId(0), day: 2, volume: WHOLE }];
    // Packaged on a day before the second van comes.
    if package.is_some_and(|day| day < 9) {
        deliveries.push(Delivery { order: OrderId(1), day: 9, volume: WHOLE });
    }
    Plan { tasks, deliveries, ..Plan::default() }
}

/// All plans of the days from Wednesday on.
fn every_plan(done: &[Task]) -> Vec<Plan> {
    let days: Vec<Option<usize>> = std::iter::once(None).chain((FROM..DAYS).map(Some)).collect();
    let mut all = Vec::new();
    for &transfer in &days {
        let packages: Vec<Option<usize>> = days
            .iter()
            .copied()
            .filter(|day| day.is_none() || (transfer.is_some() && *day > transfer))
            .collect();
        for &package in &packages {
            for &first in &days {
                for &second in &days {
                    all.push(plan_of(done, transfer, package, [first, second]));
                }
            }
        }
    }
    all
}

fn out(what: Away, first_day: i64, last_day: i64) -> Outage {
    let (cause, reason, crew) = (Cause::Outage, String::new(), RoleTimes::default());
    Outage { what, first_day, last_day, cause, reason, must_be_empty: false, crew }
}

/// What may have happened: the case with it.
fn happenings() -> Vec<(String, Case)> {
    let mut all = Vec::new();
    for late in 0..=5 {
        let mut case = case();
        case.in_tank[1].ready += late;
        all.push((format!("F2 {late} days late"), case));
    }
    for (first, last) in [(2, 2), (2, 4), (3, 3), (3, 8)] {
        for what in [Away::Vessel(B1), Away::Line(LineId(0)), Away::Vessel(F2)] {
            let mut case = case();
            case.fixed.outages.push(out(what, first, last));
            all.push((format!("{what:?} out on days {first} to {last}"), case));
        }
    }
    let mut both = case();
    both.in_tank[1].ready += 2;
    both.fixed.outages.push(out(Away::Line(LineId(0)), 7, 7));
    all.push(("F2 late and the line out".to_owned(), both));
    all
}

fn carried_on(case: &Case, plan: &Plan, per_change: i64, at_most: Option<usize>) -> Case {
    let mut case = case.clone();
    let earlier = Earlier { plan: plan.clone(), from_day: FROM, per_change, at_most, is_done_kept: true };
    case.fixed.earlier = Some(Box::new(earlier));
    case
}

#[test]
fn changes_are_as_few_and_as_cheap_as_in_the_best_of_all_plans() {
    let earlier = solve(&case(), &exact(), &NoObserver).unwrap().plan;
    let done: Vec<Task> = earlier.tasks.iter().copied().filter(|task| task.slot < Slot(FROM)).collect();
    let plans = every_plan(&done);
    assert!(plans.len() > 10_000, "{}", plans.len());
    let mut with_changes = 0;
    for (what, happened) in happenings() {
        let case = carried_on(&happened, &earlier, 1_000, None);
        let judged: Vec<(i64, usize, usize)> = plans
            .iter()
            .filter_map(|plan| {
                let report = check(&case, plan);
                let changes = report.changes.as_ref()?;
                let served = plan.deliveries.len();
                let is_good = report.violations.is_empty();
                is_good.then(|| (report.objective(&case.aim), changes.fewest, served))
            })
            .collect();
        let best = judged.iter().map(|plan| plan.0).max().unwrap();
        let answer = solve(&case, &exact(), &NoObserver).unwrap();
        assert_eq!(answer.objective, best, "{what}");
        // The fewest with which there is any plan at all.
        let fewest = judged.iter().map(|plan| plan.1).min().unwrap();
        with_changes += usize::from(fewest > 0);
        let bounded = carried_on(&happened, &earlier, 0, Some(fewest));
        let answer = solve(&bounded, &exact(), &NoObserver).unwrap();
        let changes = answer.report.changes.unwrap();
        assert!(changes.fewest <= fewest, "{what}: {} for {fewest}", changes.fewest);
        let best = judged.iter().filter(|plan| plan.1 <= fewest).count();
        assert!(best > 0);
        if fewest > 0 {
            let tighter = carried_on(&happened, &earlier, 0, Some(fewest - 1));
            let answer = solve(&tighter, &exact(), &NoObserver);
            assert!(matches!(answer, Err(SolveError::Conflict(_))), "{what}");
        }
    }
    assert!(with_changes >= 6, "{with_changes}");
}

/// A search of the whole once found only plans with some thirty changes, by dropping whole batches, when one of sixteen was a day late.
#[test]
fn one_late_batch_of_a_large_brewery_leaves_the_brews_of_other_beers_alone() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/scale/town-1/next-week.yaml");
    let mut case = read_case(&file).case.unwrap();
    let (plan, report) = by_hand(&case).unwrap();
    assert!(report.violations.is_empty());
    let of = plan.beers(&case.in_tank);
    // The first vessel of day 0 that is emptied after the first day: its beer is ready a day after that.
    let (tank, day, beer) = plan
        .tasks
        .iter()
        .zip(&of)
        .find_map(|(task, beer)| {
            let day = case.calendar.day(task.slot);
            let from = match task.work {
                Work::Transfer { from, .. } => from,
                Work::Package { vessel, .. } => vessel,
                _ => return None,
            };
            let tank = case.in_tank.iter().position(|tank| tank.vessel == from && tank.ready > 0)?;
            (day >= 1).then_some((tank, day, (*beer)?))
        })
        .unwrap();
    case.in_tank[tank].ready = day as i64 + 1;
    case.fixed.earlier = Some(Box::new(Earlier {
        plan: plan.clone(),
        from_day: day,
        per_change: 1_000,
        at_most: None,
        is_done_kept: true,
    }));
    assert!(!check(&case, &plan).violations.is_empty());
    let options = Options { seconds: 200.0, threads: 1, ..Options::default() };
    let (near, report) = near_earlier(&case, &options).expect("a plan near the earlier one");
    assert!(report.violations.is_empty(), "{:?}", report.violations);
    let brews = |plan: &Plan| -> Vec<Task> {
        let of = plan.beers(&case.in_tank);
        let others = plan.tasks.iter().zip(of).filter(|(_, other)| other.is_some_and(|other| other != beer));
        let mut brews: Vec<Task> = others
            .filter(|(task, _)| matches!(task.work, Work::Brew { .. }))
            .map(|(task, _)| *task)
            .collect();
        brews.sort_by_key(|task| task.slot);
        brews
    };
    assert!(!brews(&plan).is_empty());
    let kept = brews(&near).iter().filter(|task| brews(&plan).contains(task)).count();
    assert_eq!(kept, brews(&plan).len());
    assert!(report.changes.is_some_and(|changes| (1..=12).contains(&changes.all.len())));
}
