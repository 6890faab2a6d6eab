//! How a batch leaves its fermenter in parts, and what happens when it is ready late: cases worked by hand.

use std::path::Path;

use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::plan::Work;
use cellarwright_model::units::Volume;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, solve};
use cellarwright_tests::brute::best_plan;

use crate::oracle::exact;

fn tiny(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name);
    read_case(&path.join("brewplan.yaml")).case.expect("a case")
}

/// The best plan, which the checker passes and trying everything does not better.
fn best(case: &Case) -> Answer {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report, check(case, &answer.plan));
    assert!(answer.report.violations.is_empty(), "{:?}", answer.report.violations);
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
