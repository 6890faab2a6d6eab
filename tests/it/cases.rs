//! Every case of the repository is read, planned to its gap or its time, and passed by the checker.

use std::path::{Path, PathBuf};

use cellarwright_checker::check;
use cellarwright_model::finding::Severity;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, Options, Status, solve};

fn brewplans(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            brewplans(&path, found);
        } else if path.file_name().is_some_and(|name| name == "brewplan.yaml") {
            found.push(path);
        }
    }
    found.sort();
}

#[test]
fn every_case_has_a_plan_that_the_checker_passes() {
    let mut paths = Vec::new();
    brewplans(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases"), &mut paths);
    assert!(!paths.is_empty());
    for path in paths {
        let shown = path.display();
        let outcome = read_case(&path);
        let errors: Vec<_> =
            outcome.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{shown}: {errors:?}");
        let case = outcome.case.expect("a case");
        let options = Options { seconds: 20.0, gap: 0.01, threads: 2, seed: 0 };
        let answer = solve(&case, &options, &NoObserver).unwrap_or_else(|error| panic!("{shown}: {error:?}"));
        println!("{shown}: {:?}, gap {:.4}, {:.1} s", answer.status, answer.gap, answer.seconds);
        assert!(check(&case, &answer.plan).violations.is_empty(), "{shown}");
        assert!(
            answer.status == Status::Stopped || answer.gap <= options.gap + 1e-3,
            "{shown}: {}",
            answer.gap
        );
    }
}
