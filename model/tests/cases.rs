//! Every case of the repository can be read, and an empty plan of it goes to text and back.

use std::path::{Path, PathBuf};

use cellarwright_model::finding::Severity;
use cellarwright_model::plan::Plan;
use cellarwright_model::plan_file::{PlanSummary, read_plan, write_plan};
use cellarwright_model::yaml::read_case;

fn brewplans(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            brewplans(&path, found);
        } else if path.file_name().is_some_and(|name| name == "brewplan.yaml") {
            found.push(path);
        }
    }
}

#[test]
fn every_case_is_read_without_an_error() {
    let mut paths = Vec::new();
    brewplans(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases"), &mut paths);
    assert!(paths.len() >= 8, "{paths:?}");
    for path in paths {
        let outcome = read_case(&path);
        let errors = outcome.findings.iter().filter(|finding| finding.severity == Severity::Error);
        assert_eq!(errors.collect::<Vec<_>>(), Vec::<&_>::new());
        let case = outcome.case.expect("a case");
        let text = write_plan(&case, &Plan::default(), &PlanSummary::default());
        assert_eq!(read_plan(&case, "plan.yaml", &text), Ok(Plan::default()), "{}", path.display());
    }
}
