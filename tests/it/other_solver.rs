//! The program written as an MPS file and solved by another solver has the same optimum.

use std::path::Path;
use std::process::Command;

use cellarwright_model::case::Aim;
use cellarwright_solver::{NoObserver, solve, write_model};
use cellarwright_tests::generator::make;

use crate::oracle::exact;

/// Cases compared.
const CASES: usize = 12;

/// Optimum of an MPS file by GLPK or CBC; none if neither is installed.
fn optimum(file: &Path) -> Option<f64> {
    by_glpsol(file).or_else(|| by_cbc(file))
}

fn by_glpsol(file: &Path) -> Option<f64> {
    let report = file.with_extension("glpk");
    let arguments = ["--freemps", "--min", "--mipgap", "0", "--tmlim", "60", "--output"];
    let run = Command::new("glpsol").args(arguments).arg(&report).arg(file).output().ok()?;
    assert!(run.status.success(), "glpsol: {}", String::from_utf8_lossy(&run.stdout));
    let text = std::fs::read_to_string(&report).expect("glpsol writes its report");
    assert!(text.contains("OPTIMAL"), "glpsol: {}", text.lines().take(8).collect::<Vec<_>>().join(" / "));
    let line = text.lines().find(|line| line.starts_with("Objective:"))?;
    let found: f64 = line.split_whitespace().find_map(|word| word.parse().ok())?;
    // HiGHS writes the constant of the objective with the opposite sign as its right side, glpsol adds it as it stands.
    Some(found - 2.0 * objective_side(file))
}

/// The right side of the objective row of an MPS file.
fn objective_side(file: &Path) -> f64 {
    let text = std::fs::read_to_string(file).expect("the model");
    let sides = text.lines().skip_while(|line| !line.starts_with("RHS")).skip(1);
    let mut words = sides.map(|line| line.split_whitespace().collect::<Vec<_>>());
    let own = words.find(|words| words.get(1) == Some(&"Obj"));
    own.and_then(|words| words.get(2)?.parse().ok()).unwrap_or(0.0)
}

fn by_cbc(file: &Path) -> Option<f64> {
    let run = Command::new("cbc").arg(file).args(["ratioGap", "0", "solve"]).output().ok()?;
    let text = String::from_utf8_lossy(&run.stdout);
    let line = text.lines().find(|line| line.starts_with("Objective value:"))?;
    line.split_whitespace().last()?.parse().ok()
}

fn is_there() -> bool {
    ["glpsol", "cbc"].iter().any(|name| Command::new(name).arg("--version").output().is_ok())
}

#[test]
fn another_solver_agrees() {
    if !is_there() {
        let missing = "neither glpsol nor cbc is installed: no other solver has confirmed the program";
        assert!(std::env::var("CI").as_deref() != Ok("true"), "{missing}");
        println!("*** {missing} ***");
        return;
    }
    let directory = tempfile::tempdir().expect("a directory for the models");
    let mut compared = 0;
    for seed in 0.. {
        let case = make(seed).case;
        if compared == CASES {
            break;
        }
        let answer = solve(&case, &exact(), &NoObserver).expect("it solves");
        if answer.size.integers > 250 {
            continue;
        }
        let file = directory.path().join(format!("case{seed}.mps"));
        write_model(&case, &file).expect("the model is written");
        let found = optimum(&file).expect("another solver solves it");
        // The file is to be minimised, in money or litres.
        let unit = if case.aim == Aim::Orders { 100.0 } else { 100_000.0 };
        let allowed = 1e-5 * answer.bound.abs() as f64 + 10.0;
        let text = format!("seed {seed}: HiGHS {}, the other {}", answer.bound, -found * unit);
        assert!((answer.bound as f64 + found * unit).abs() <= allowed, "{text}");
        compared += 1;
    }
}
