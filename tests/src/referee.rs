//! Starts the referee: an independent formulation of the whole job for another solver, in Python, `tests/referee`.
//!
//! Its packages are put into a virtual environment of their own (`python`).

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use serde_json::{Value, json};

use crate::python::environment;

/// How a search of the referee ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// With a proven optimum.
    Optimal,
    /// With a bound, and perhaps a plan.
    Stopped,
    /// There is no plan.
    Infeasible,
}

/// What the referee says of a case.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// It states everything that the case uses.
    Found {
        /// How the search ended.
        ended: Ended,
        /// Objective of its best plan: cents, or hundredths of a millilitre, with fractions.
        objective: Option<f64>,
        /// Proven bound, in the same unit.
        bound: Option<f64>,
    },
    /// The case uses something that it does not state.
    Refused(String),
}

/// Where the referee's files are.
#[must_use]
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("referee")
}

/// The interpreter of the virtual environment, installed if need be.
///
/// # Errors
///
/// Why there is none: no Python, no registry.
pub fn python() -> Result<PathBuf, String> {
    // Tests run side by side: one of them installs.
    static PYTHON: OnceLock<Result<PathBuf, String>> = OnceLock::new();
    PYTHON.get_or_init(|| environment("referee", &folder().join("requirements.txt"))).clone()
}

/// What the referee says of cases, in their order. The effort for each is in the deterministic time of its solver.
///
/// # Errors
///
/// What went wrong with Python or in the referee.
pub fn referee(python: &Path, cases: &[Value], effort: f64) -> Result<Vec<Verdict>, String> {
    let mut child = Command::new(python)
        .arg(folder().join("main.py"))
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    let lines: Vec<String> = cases
        .iter()
        .map(|case| json!({"case": case, "effort": effort, "seconds": 60}).to_string() + "\n")
        .collect();
    let mut input = child.stdin.take().ok_or("no way to the referee")?;
    let writer =
        std::thread::spawn(move || lines.iter().try_for_each(|line| input.write_all(line.as_bytes())));
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    let written = writer.join().map_err(|_| "the writer of the cases panicked".to_owned())?;
    written.map_err(|error| error.to_string())?;
    let text = String::from_utf8_lossy(&output.stdout);
    let verdicts: Vec<Verdict> = text.lines().map(verdict).collect::<Result<_, _>>()?;
    if verdicts.len() == cases.len() {
        Ok(verdicts)
    } else {
        Err(format!("{} answers for {} cases", verdicts.len(), cases.len()))
    }
}

fn verdict(line: &str) -> Result<Verdict, String> {
    let answer: Value = serde_json::from_str(line).map_err(|error| format!("{error}: {line}"))?;
    let why = || answer["why"].as_str().unwrap_or_default().to_owned();
    let ended = match answer["status"].as_str().unwrap_or_default() {
        "refused" => return Ok(Verdict::Refused(why())),
        "optimal" => Ended::Optimal,
        "feasible" | "unknown" => Ended::Stopped,
        "infeasible" => Ended::Infeasible,
        other => return Err(format!("{other}: {}", why())),
    };
    let (objective, bound) = (answer["objective"].as_f64(), answer["bound"].as_f64());
    Ok(Verdict::Found { ended, objective, bound })
}
