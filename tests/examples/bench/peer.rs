//! CP-SAT as a peer: the referee's formulation of the same job, given the same seconds and two workers.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use cellarwright_model::case::Aim;
use cellarwright_model::yaml::read_case;
use cellarwright_tests::export::export;
use cellarwright_tests::referee::{folder, python};
use serde_json::{Value, json};

/// What CP-SAT made of a case.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    /// Variables of its model.
    pub variables: f64,
    /// Constraints of its model.
    pub constraints: f64,
    /// Seconds to build it in Python, which are not taken off its time.
    pub built: f64,
    /// Seconds of the search.
    pub seconds: f64,
    /// Seconds of the search until the first plan; infinite if there is none.
    pub to_plan: f64,
    /// Objective of its plan, money or hL; minus infinity without a plan.
    pub objective: f64,
    /// Its proven bound, in the same unit.
    pub bound: f64,
    /// Peak memory, MB.
    pub peak: f64,
}

impl Found {
    /// Its gap, relative to the size of its plan's objective like that of the others.
    pub fn gap(&self) -> f64 {
        (self.bound - self.objective) / self.objective.abs().max(1e-9)
    }
}

/// Gives a case to CP-SAT; what came of it, and its version.
pub fn measure(path: &Path, seconds: f64, gap: f64) -> Result<(Found, String), String> {
    let case = read_case(path).case.ok_or_else(|| format!("{} cannot be read", path.display()))?;
    let unit = match case.aim {
        Aim::Orders => 100.0,
        Aim::Output(_) => 1e7,
    };
    let request = json!({"case": export(&case), "seconds": seconds, "gap": gap}).to_string();
    let mut child = Command::new(python()?)
        .arg(folder().join("peer.py"))
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    let mut input = child.stdin.take().ok_or("no way to the peer")?;
    input.write_all(request.as_bytes()).map_err(|error| error.to_string())?;
    drop(input);
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    let text = String::from_utf8_lossy(&output.stdout);
    let answer: Value = serde_json::from_str(&text)
        .map_err(|_| format!("{}: {}", path.display(), String::from_utf8_lossy(&output.stderr).trim()))?;
    if answer["status"] == "refused" {
        return Err(answer["why"].as_str().unwrap_or_default().to_owned());
    }
    let number = |name: &str| answer[name].as_f64();
    let found = Found {
        variables: number("variables").unwrap_or(f64::NAN),
        constraints: number("constraints").unwrap_or(f64::NAN),
        built: number("built").unwrap_or(f64::NAN),
        seconds: number("seconds").unwrap_or(f64::NAN),
        to_plan: number("first").unwrap_or(f64::INFINITY),
        objective: number("objective").map_or(f64::NEG_INFINITY, |cents| cents / unit),
        bound: number("bound").map_or(f64::INFINITY, |cents| cents / unit),
        peak: number("peak").unwrap_or(f64::NAN),
    };
    Ok((found, answer["version"].as_str().unwrap_or_default().to_owned()))
}
