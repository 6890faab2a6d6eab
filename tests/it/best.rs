//! The small cases of the repository, and the best plan of a case.

use std::path::Path;

use cellarwright_model::case::Case;
use cellarwright_model::units::Volume;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, solve};

use crate::oracle::exact;

/// A case of `cases/tiny`.
pub fn tiny(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name).join("brewplan.yaml");
    read_case(&path).case.expect("a case")
}

/// The best plan, which breaks no rule.
pub fn best(case: &Case) -> Answer {
    let answer = solve(case, &exact(), &NoObserver).expect("it solves");
    assert_eq!(answer.report.violations, Vec::new());
    answer
}

/// What the best plan packages in the planned days.
pub fn packaged(case: &Case) -> Volume {
    best(case).report.breakdown.packaged_planned
}
