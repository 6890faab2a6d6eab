//! `study` on an engine that was not made for it: the same results with one worker, with two, in another order, and with one of them killed.
//!
//! The engine is Dask, with workers on this machine; Python and its packages are installed under `target`, pinned (`study/requirements.txt`).

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use cellarwright_tests::python::{environment, or_said_aloud};
use common::{case, cases, run, text};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/study")
}

/// Has the engine do the items; what it printed.
fn engine(python: &Path, items: &Path, results: &Path, options: &[&str]) -> String {
    let output = Command::new(python)
        .arg(folder().join("on_dask.py"))
        .args([Path::new(env!("CARGO_BIN_EXE_cellarwright")), items, results])
        .args(options)
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .output()
        .unwrap();
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    text(&output.stdout)
}

/// Results by name of their file.
fn results(folder: &Path) -> BTreeMap<String, String> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let lines = files.filter(|file| file.extension().is_some_and(|extension| extension == "jsonl"));
    let name = |file: &PathBuf| file.file_name().unwrap().to_string_lossy().into_owned();
    lines.map(|file| (name(&file), std::fs::read_to_string(&file).unwrap())).collect()
}

#[test]
fn an_engine_finds_the_same_with_any_workers_in_any_order_though_one_is_killed() {
    let pins = folder().join("requirements.txt");
    let lost = "THE ENGINE DID NOT RUN, no study was done on it";
    let Some(python) = or_said_aloud(environment("study-engine", &pins), lost) else { return };
    let place = tempfile::tempdir().unwrap();
    let items = place.path().join("items.jsonl");
    let study = cases().join("tiny/fermenter-or-bright/study.yaml").display().to_string();
    let plan = case("tiny/fermenter-or-bright");
    let output = run(&["study", "prepare", &plan, &study, "--items", &items.display().to_string()]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let [one, two] = ["one", "two"].map(|name| place.path().join(name));
    engine(&python, &items, &one, &["1"]);
    let found = results(&one);
    assert_eq!(found.len(), 30);
    let told = engine(&python, &items, &two, &["2", "--shuffled", "--kill"]);
    assert!(told.contains("killed"), "{told}");
    assert_eq!(results(&two), found);
    // Again: nothing is left to be done.
    let told = engine(&python, &items, &two, &["2"]);
    assert_eq!(told.matches("done before").count(), 30, "{told}");
    assert_eq!(results(&two), found);
}
