//! Who may know whom: the checker sees cases and plans only, and every rule has its file on both sides.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use cellarwright_model::rule::RuleId;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Names of the dependencies in a manifest.
fn dependencies(member: &str) -> BTreeSet<String> {
    let manifest = read(&root().join(member).join("Cargo.toml"));
    let mut found = BTreeSet::new();
    let mut is_inside = false;
    for line in manifest.lines().map(str::trim) {
        if line.starts_with('[') {
            is_inside = line == "[dependencies]";
        } else if is_inside && !line.is_empty() && !line.starts_with('#') {
            let name: String = line.chars().take_while(|&letter| letter != '.' && letter != '=').collect();
            found.insert(name.trim().to_owned());
        }
    }
    found
}

/// All Rust files under a directory.
fn sources(directory: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(directory).expect("a directory") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found
}

fn rule_files(directory: &str) -> BTreeSet<String> {
    let names = sources(&root().join(directory));
    let stems =
        names.iter().filter_map(|path| path.file_stem()).map(|stem| stem.to_string_lossy().into_owned());
    stems.filter(|stem| stem != "mod").collect()
}

/// Parts of a rule with a file of their own, in compiler and checker.
const PARTS: [&str; 1] = ["store"];
/// Parts of a rule with a file of their own in the compiler alone.
const PARTS_OF_COMPILER: [&str; 12] = [
    "blend",
    "clean_ages",
    "clean_dirt",
    "clean_flow",
    "clean_times",
    "conditioning",
    "cooling",
    "early",
    "full_clean_times",
    "line_formats",
    "serve_only",
    "tank_ways",
];

/// The file of a rule in compiler and checker.
fn file_of(rule: RuleId) -> &'static str {
    match rule {
        RuleId::OneBatch => "one_batch",
        RuleId::FillLevel => "fill_level",
        RuleId::Turns => "turns",
        RuleId::Ready => "ready",
        RuleId::Wait => "wait",
        RuleId::BrightRest => "bright_rest",
        RuleId::Direct => "direct",
        RuleId::Clean => "clean",
        RuleId::Crew => "crew",
        RuleId::Line => "line",
        RuleId::Pressure => "pressure",
        RuleId::Volume => "volume",
        RuleId::Orders => "orders",
        RuleId::Filter => "filter",
        RuleId::Packages => "packages",
        RuleId::Start => "start",
        RuleId::Outage => "outage",
        RuleId::Pinned => "pinned",
        RuleId::TankWork => "tank_work",
        RuleId::Yeast => "yeast",
        RuleId::Calendar => "calendar",
        RuleId::Use => "uses",
        RuleId::Serving => "serving",
        RuleId::Stages => "stages",
        RuleId::Hours => "hours",
        RuleId::WarmStore => "warm_store",
        RuleId::FullClean => "full_clean",
    }
}

#[test]
fn every_rule_has_one_file_in_the_compiler_and_one_in_the_checker() {
    let expected: BTreeSet<String> = RuleId::ALL.into_iter().map(|rule| file_of(rule).to_owned()).collect();
    assert_eq!(expected.len(), RuleId::ALL.len());
    let mut files = expected;
    files.extend(PARTS.map(str::to_owned));
    assert_eq!(rule_files("checker/src/rules"), files, "checker");
    files.extend(PARTS_OF_COMPILER.map(str::to_owned));
    assert_eq!(rule_files("solver/src/compile/rules"), files, "compiler");
}

#[test]
fn the_checker_knows_the_model_only() {
    let own: BTreeSet<String> =
        dependencies("checker").into_iter().filter(|name| name.starts_with("cellarwright")).collect();
    assert_eq!(own, BTreeSet::from(["cellarwright-model".to_owned()]));
    let model = dependencies("model");
    assert!(!model.iter().any(|name| name.starts_with("cellarwright")), "{model:?}");
}

#[test]
fn model_and_checker_know_no_solver() {
    for member in ["model", "checker"] {
        for name in ["good_lp", "highs", "highs-sys"] {
            assert!(!dependencies(member).contains(name), "{member} depends on {name}");
        }
        for path in sources(&root().join(member)) {
            let text = read(&path);
            for word in ["good_lp", "highs"] {
                assert!(!text.contains(&format!("{word}::")), "{} uses {word}", path.display());
            }
        }
    }
}

#[test]
fn the_brute_force_shares_nothing_with_compiler_and_checker() {
    for path in sources(&root().join("tests/src/brute")) {
        let text = read(&path);
        for word in ["cellarwright_solver", "cellarwright_checker"] {
            assert!(!text.contains(word), "{} uses {word}", path.display());
        }
    }
}
