//! The same input gives the same plan.

use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::generator::make;

use crate::oracle::exact;

#[test]
fn the_same_case_gives_the_same_plan_twice() {
    for seed in 0..25 {
        let case = make(seed).case;
        let first = solve(&case, &exact(), &NoObserver).expect("it solves");
        let second = solve(&case, &exact(), &NoObserver).expect("it solves");
        assert_eq!(first.plan, second.plan, "seed {seed}");
        assert_eq!(first.report, second.report, "seed {seed}");
        assert_eq!((first.objective, first.bound), (second.objective, second.bound), "seed {seed}");
    }
}

#[test]
fn the_same_seed_gives_the_same_case() {
    for seed in 0..25 {
        assert_eq!(make(seed).case, make(seed).case);
    }
}
