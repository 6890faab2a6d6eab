//! What a person begins with: `new` and `schema`, on the real binary.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::path::Path;

use common::{run, text};

#[test]
fn what_new_writes_plans_at_once() {
    for size in ["brewpub", "production"] {
        for units in ["metric", "us"] {
            let place = tempfile::tempdir().unwrap();
            let folder = place.path().join("mine").display().to_string();
            let new = ["new", &folder, "--size", size, "--units", units, "--starts", "2027-02-01"];
            let output = run(&new);
            assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
            let brewplan = format!("{folder}/brewplan.yaml");
            assert!(text(&output.stdout).contains(&format!("cellarwright plan {brewplan}")));
            let output = run(&["plan", &brewplan, "--quiet", "--gap", "2%"]);
            assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
            let shown = text(&output.stdout);
            assert!(shown.contains("Packaged Mon 1 Feb to Sun 7 Feb"), "{shown}");
            // Nothing in the files is odd: no caution comes from the input.
            assert!(!shown.contains("- V"), "{shown}");
            let again = run(&new);
            assert_eq!(again.status.code(), Some(2), "{}", text(&again.stderr));
        }
    }
}

#[test]
fn new_writes_the_schemas_that_its_files_name() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().display().to_string();
    assert_eq!(run(&["new", &folder]).status.code(), Some(0));
    for file in ["brewplan", "cellar"] {
        let yaml = std::fs::read_to_string(place.path().join(format!("{file}.yaml"))).unwrap();
        let named = format!("schema/{file}.schema.json");
        assert_eq!(yaml.lines().next(), Some(format!("# yaml-language-server: $schema={named}").as_str()));
        let written = std::fs::read_to_string(place.path().join(&named)).unwrap();
        assert_eq!(written, text(&run(&["schema", file]).stdout));
        let committed = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(&named);
        assert_eq!(written, std::fs::read_to_string(committed).unwrap());
    }
}
